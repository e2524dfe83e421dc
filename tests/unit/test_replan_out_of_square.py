"""Laying on where a plane is out of square: the tape is hooked at the rake, at eave and ridge.

A plane of 100 x 200 in, panels of 18 in. Figures by hand, or by fractions that this file works out
for itself from where the rakes stand.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from solver.case import Case, Plane
from solver.case_parts import Lean
from solver.checker.judge import judge
from solver.checker.leaning import roof_at
from solver.errors import CaseError
from solver.layout import Layout
from solver.replan.answer import Replan
from solver.replan.read import as_built_of
from solver.replan.run import replan
from solver.result import Judged
from tests.unit.builders import inches, make_case, make_pipe, make_plane

INCH, WIDE, LONG = 16256, 100, 200
LAYS = ("left-to-right", "right-to-left")


def leaning(low: str, high: str, *, fan: bool, lay: str = LAYS[0]) -> Plane:
    plane = make_plane(lay=lay)  # type: ignore[arg-type]
    return replace(plane, lean=Lean(inches(low), inches(high), fan, inches(WIDE)))


def roof(plane: Plane, *, first: int = 14, **more: Any) -> tuple[Case, Judged]:
    """Seams at 14, 32, 50, 68 and 86 from the start; pipes low, at half height and high up."""
    pens = (make_pipe(inches(25), "V1", y=inches(20)), make_pipe(inches(55), "V2", y=inches(100)),
            make_pipe(inches(77), "V3", y=inches(190)))
    pens = tuple(replace(pen, ends=roof_at(plane, pen.y)) for pen in pens)
    case = make_case(*pens, planes=(plane,), play=inches("1/2"), play_mark=inches("1/2"), **more)
    return case, judge(case, Layout((inches(first),), (0, 0, 0), (), ()))


def on(case: Case, plan: Judged, **told: Any) -> Replan:
    return replan(case, plan, 1, as_built_of({"plane": [{"id": "S", **told}]}, case))


def rakes(plane: Plane) -> tuple[Fraction, Fraction]:
    """How far the starting and the far rake stand further on at the top, seen from the start."""
    assert plane.lean is not None
    low, high = Fraction(plane.lean.low, INCH), Fraction(plane.lean.high, INCH)
    return (low, high) if plane.lay == LAYS[0] else (-high, -low)


@pytest.mark.parametrize("lay", LAYS)
@pytest.mark.parametrize("fan", [False, True])
@pytest.mark.parametrize(("low", "high"), [("1 3/4", "1 1/8"), ("-1", "1/2"), ("2", "2")])
def test_what_the_plan_reads_at_eave_and_ridge_gives_the_plan_back(
    lay: str, fan: bool, low: str, high: str
) -> None:
    """At the ridge a square seam reads less by what its rake leans in; a fanned one its share."""
    case, plan = roof(plane := leaning(low, high, fan=fan, lay=lay))
    near, far = rakes(plane)
    for seam in range(1, 6):
        at = 14 + 18 * (seam - 1)
        top = at + (near + (far - near) * Fraction(seam - 1, 4) if fan else 0) - near
        ticks = round(top * INCH)
        assert ticks == top * INCH, "the case is to leave whole ticks"
        for told in ({"eave": at}, {"eave": at, "ridge": float(top)}):
            answer = on(case, plan, seam=seam, **told)
            run = answer.runs[0]
            assert answer.legal and run.as_planned and not answer.changed and not answer.findings
            assert answer.now.penetrations == plan.penetrations
            last = run.panels[-1]
            assert last.width[0] == inches(14)
            tapers = Fraction(0) if fan else far
            assert last.width[1] == inches(14) + tapers * INCH
            assert [p.far[0] for p in run.panels[:-1]] == [
                inches(14 + 18 * k) for k in range(seam, 5)]
            assert [p.far[1] for p in run.panels[:-1]] == [
                INCH * (14 + 18 * k + (near + (far - near) * Fraction(k, 4) if fan else 0) - near)
                for k in range(seam, 5)]


def test_drift_of_a_square_run_goes_to_both_widths_of_the_last_panel() -> None:
    """Rakes lean in by 1 and out by 2: seam 3 is to read 50 and 49. At 50 1/2 and 49 3/4 the
    seams lean by 1/4, the last is 14 - 1/2 at the eave and 14 + 2 - 3/4 at the top."""
    case, plan = roof(leaning("1", "2", fan=False))
    answer = on(case, plan, seam=3, eave=50.5, ridge=49.75)
    assert answer.runs[0].panels[-1].width == (inches("13 1/2"), inches("15 1/4"))
    assert [f.code for f in answer.findings] == ["leaning"] and '1/4"' in answer.findings[0].says


def test_a_last_panel_that_is_too_wide_at_the_top_alone_does_not_close() -> None:
    """A far rake out by 3 1/2: 14 at the eave, 17 1/2 at the top. With 3/4 lost it is 18 1/4 there,
    and the strip left when one panel more is laid is 1/4."""
    case, plan = roof(leaning("0", "3 1/2", fan=False), odd_panels=0)
    case = replace(case, rules=replace(case.rules, play=0))
    answer = on(case, plan, seam=3, eave=49.25)
    bad = answer.runs[0].least_bad
    assert not answer.legal and bad is not None
    assert (bad.last, bad.off, bad.narrow) == (
        (inches("14 3/4"), inches("18 1/4")), inches("1/4"), False)


@pytest.mark.parametrize("lay", LAYS)
def test_drift_of_a_fan_is_judged_at_every_height(lay: str) -> None:
    """With seam 3 an inch on at the ridge alone, seam 4 is 3/4 in on at three quarters of the way
    up; a pipe there is clear 5 in from its centre: a leg, half its base and the gap."""
    plane = leaning("1", "0", fan=True, lay=lay)
    near, far = rakes(plane)
    case = make_case(planes=(plane,), play=inches("1/2"), play_mark=inches("1/2"))
    seam_4 = 68 + Fraction(3, 4) * (near + (far - near) * Fraction(3, 4)) + Fraction(3, 4)
    for beside, state in ((Fraction(5), "clear"), (5 - Fraction(1, 640), "tight")):
        along = round((seam_4 + beside) * INCH)
        x = along if lay == LAYS[0] else inches(WIDE) - along
        pipe = replace(make_pipe(x, y=inches(150)), ends=roof_at(plane, inches(150)))
        now = replace(case, penetrations=(pipe,))
        plan = judge(now, Layout((inches(14),), (0,), (), ()))
        top = 50 + (near + (far - near) / 2) - near + 1
        answer = on(now, plan, seam=3, eave=50, ridge=float(top))
        assert answer.now.penetrations[0].state == state


def test_readings_at_the_ridge_are_held_against_the_rake_there() -> None:
    """Rake in by 2: seam 3 reads 48 up there; 39 and less, 57 and more is half a panel off."""
    case, plan = roof(leaning("2", "2", fan=False))
    assert on(case, plan, seam=3, eave=50, ridge=56.9).runs
    with pytest.raises(CaseError, match='seam 3 should stand about 48"'):
        on(case, plan, seam=3, eave=50, ridge=57)
