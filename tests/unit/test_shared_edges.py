"""Hips that two planes share: counted once where they are as long, told where they are not.

Closed form: a hip whose plan runs equally far along and up is run x sqrt(2 + rise^2) long, with the
rise of its plane for one of run; 4:12 and 8:12 make that 1.4530 and 1.5635 times its run.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import isqrt

import pytest

from solver.case import Case, Link, Plane
from solver.case_parts import Outline
from solver.findings.of_roof import roof_findings
from solver.result import Finding
from solver.takeoff.edges import edge_runs
from solver.takeoff.quantities import length_of
from tests.unit.builders import inches, make_case, make_plane

RUN = inches(200)


def up_the_slope(run: int, rise12: int) -> int:
    return isqrt(run * run * (144 + rise12 * rise12) // 144)


def plane(id: str, wide: int, rise12: int, more: int = 0) -> Plane:
    """An end or a side of a hip roof; its left hip runs `more` farther up."""
    high = up_the_slope(RUN, rise12) + more
    points = [(0, 0), (wide, 0), (wide - RUN, high), (RUN, high)]
    kinds = ("eave", "hip", "ridge", "hip")
    if wide == 2 * RUN:
        points, kinds = points[:3], ("eave", "hip", "hip")  # type: ignore[assignment]
    return replace(make_plane(id, width=wide, length=high), outline=Outline(tuple(points), kinds))


def corner(rise12: int = 4, more: int = 0) -> Case:
    planes = plane("S", inches(600), 4), plane("E", 2 * RUN, rise12, more)
    return make_case(planes=planes, links=(Link(("S", "E"), "mirror", 0, False, False, "hip"),))


def told(case: Case) -> list[Finding]:
    return [finding for finding in roof_findings(case) if finding.code == "unequal-sides"]


def feet(case: Case) -> tuple[Decimal, Decimal]:
    hip = edge_runs(case)["hip"]
    return length_of(hip.once, "in"), length_of(hip.sides, "in")


def test_a_hip_that_two_planes_share_is_counted_once() -> None:
    # four hips of 200 x 1.4530 = 290.6 in = 24.216 ft, one of them from either side
    assert told(corner()) == []
    assert feet(corner()) == (Decimal("72.6"), Decimal("96.9"))


def test_a_hip_drawn_a_little_longer_on_one_plane_is_still_one() -> None:
    case = corner(more=inches("1/2"))
    assert told(case) == []
    once, sides = feet(case)
    assert sides - once == Decimal("24.2")


def test_planes_of_two_pitches_do_not_meet_in_one_hip_at_half_a_right_angle() -> None:
    (found,) = told(corner(rise12=8))
    assert found.about == ("S", "E")
    # 290.59 in and 312.69 in
    assert found.says == (
        "the hip of S and E is 24' 2 9/16\" long on S and 26' 0 11/16\" on E: two planes that meet "
        "along all of it have it equally long. Check their outlines and pitches; the take-off "
        "counts both."
    )
    once, sides = feet(corner(rise12=8))
    assert once == sides


@pytest.mark.parametrize(("part", "is_told"), [(201, False), (190, True)])
def test_a_half_percent_is_drawing(part: int, is_told: bool) -> None:
    # the hip grows by 0.725 of what its height does: sin of its slope on the plane
    grown = 0.0
    more = 0
    while grown < RUN * 1.4530 / part:
        more += inches("1/64")
        high = up_the_slope(RUN, 4) + more
        grown = (RUN**2 + high**2) ** 0.5 - RUN * 1.4529663
    assert bool(told(corner(more=more))) is is_told
