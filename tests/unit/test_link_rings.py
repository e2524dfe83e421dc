"""Rings of links that no layout can meet: closed forms of a hip roof, and every phase tried.

Round the four hips of a rectangular hip roof a seam comes back shifted by twice the difference of
the two eaves (plane geometry: each hip is a mirror at its corner), so they can all be met only
where that is a whole number of covers.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.api import solve
from solver.case import Case, Link
from solver.findings.link_rings import ring_findings
from solver.result import COUNT_NAMES
from tests.unit.builders import inches, make_case, make_plane

HIPS = (("S", "E"), ("E", "N"), ("N", "W"), ("W", "S"))


def hip_roof(long: int, short: int, *, stagger: int = 0, **rules: int) -> Case:
    """Rectangles do for the planes: a mirror link without offset leads round a corner."""
    planes = tuple(make_plane(id, width=long if id in "SN" else short) for id in "SENW")
    links = tuple(
        Link(pair, "mirror", 0, number < stagger, False, "hip") for number, pair in enumerate(HIPS)
    )
    return make_case(planes=planes, links=links, **rules)


@pytest.mark.parametrize(("more", "told"), [
    (0, False), (9, False), (18, False), (1, True), (3, True),
    ("1/2", False), ("33/64", True), ("17 1/2", False), ("17 31/64", True),
])
def test_the_hips_of_a_hip_roof(more: int | str, told: bool) -> None:
    # four links make up for 4 x 1/4 in, and the shift is twice the difference
    found = list(ring_findings(hip_roof(inches(180) + inches(more), inches(180))))
    assert [finding.code for finding in found] == ["cannot-meet"] * told
    if told:
        assert found[0].about == ("S", "E", "N", "W")


def test_it_says_by_how_much() -> None:
    (found,) = ring_findings(hip_roof(inches(183), inches(180)))
    assert found.says == (
        "No layout can have the seams meet at all of these links: S and E along their hip; E and N "
        "along their hip; N and W along their hip; W and S along their hip. They lead round the "
        'roof, and with panels of 18" a seam comes back 6" beside another, more than 1/4" at each '
        "link can make up. At least one of them is missed: ask for those that show most."
    )


@pytest.mark.parametrize(("more", "least"), [(0, 0), (3, 1)])
def test_the_ranking_agrees(more: int, least: int) -> None:
    case = hip_roof(inches(180 + more), inches(180), mark=inches("1/2"))
    listed = solve(case, top=30).layouts
    missed = COUNT_NAMES.index("links_missed")
    assert min(entry.judged.counts[missed] for entry in listed) == least


def test_half_a_cover_asked_for_counts() -> None:
    assert list(ring_findings(hip_roof(inches(180), inches(180), stagger=1)))
    assert not list(ring_findings(hip_roof(inches(180), inches(180), stagger=2)))
    assert not list(ring_findings(hip_roof(inches("184 1/2"), inches(180), stagger=1)))


def test_odd_panels_and_planes_without_a_seam_make_up_for_it() -> None:
    case = hip_roof(inches(183), inches(180))
    assert not list(ring_findings(replace(case, rules=replace(case.rules, odd_panels=1))))
    assert list(ring_findings(hip_roof(inches(183), inches("18 1/2"))))
    assert not list(ring_findings(hip_roof(inches(183), inches(18))))


@st.composite
def linked(draw: st.DrawFn) -> Case:
    """Up to four planes and six links on whole inches, small covers, no tolerance."""
    cover, count = draw(st.sampled_from((4, 6, 8))), draw(st.integers(2, 4))
    widths = [draw(st.integers(cover + 1, 40)) for _ in range(count)]
    pairs = draw(st.lists(st.sampled_from([(a, b) for a in range(count) for b in range(count)
                                           if a != b]),
                          min_size=1, max_size=6, unique_by=lambda pair: frozenset(pair)))
    links = tuple(
        Link((str(a), str(b)), draw(st.sampled_from(("mirror", "same"))),
             inches(draw(st.integers(-3, 5))), draw(st.booleans()), False)
        for a, b in pairs
    )
    planes = tuple(make_plane(str(n), width=inches(wide)) for n, wide in enumerate(widths))
    return make_case(planes=planes, links=links, cover=inches(cover), min_end=inches(1), meet_tol=0)


@settings(deadline=None)
@given(linked())
def test_every_phase_tried(case: Case) -> None:
    """Places on half inches are all that can matter: everything else is in whole inches."""
    cover2 = 2 * case.panel.cover
    steps = range(0, cover2, inches(1))
    number = {plane.id: place for place, plane in enumerate(case.planes)}

    def met(link: Link, at2: tuple[int, ...]) -> bool:
        one, other = (number[plane] for plane in link.planes)
        by2 = 2 * link.offset + (case.panel.cover if link.stagger else 0)
        led2 = by2 + at2[one]
        if link.how == "mirror":
            led2 = 2 * case.planes[one].width + by2 - at2[one]
        return (led2 - at2[other]) % cover2 == 0

    possible = any(
        all(met(link, at2) for link in case.links) for at2 in product(steps, repeat=len(number))
    )
    assert bool(list(ring_findings(case))) is not possible
