"""The hip house of the demo cases, held against its plan: its planes close to one roof.

Sources:

* plane geometry: equal pitches meet in plan on the line halfway between their eaves (45 degrees at
  a right angle); a plane's area is that of its plan times sqrt(1 + rise^2); heights of a shared
  corner are equal from either side. The 3-4-5 and the 5-12-13 triangle make both factors exact.
* framing square, 9:12: common rafter 15.00 and hip or valley 19.21 in per foot of run (the table
  common to framing squares, from memory for this pitch).
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from math import sqrt

import pytest

import demo_cases
from solver.api import load_case
from solver.case import Case, Plane
from solver.case_parts import Outline
from tests.unit.builders import inches

Point = tuple[Fraction, Fraction, Fraction]
Place = tuple[tuple[int, int], tuple[int, int], tuple[int, int], Fraction]
MAIN, PORCH = Fraction(9, 12), Fraction(5, 12)
FACTORS = {MAIN: Fraction(5, 4), PORCH: Fraction(13, 12)}

# Where each plane's own 0, 0 is on the ground (in; x east, y north, the south-west corner 0, 0),
# which way its eave runs and which way is up, and its rise.
PLACES: dict[str, Place] = {
    "south": ((0, 0), (1, 0), (0, 1), MAIN),
    "east": ((582, 0), (0, 1), (-1, 0), MAIN),
    "north": ((582, 330), (-1, 0), (0, -1), MAIN),
    "west": ((0, 330), (0, -1), (1, 0), MAIN),
    "wing-west": ((117, 120), (0, -1), (1, 0), MAIN),
    "wing-east": ((357, -138), (0, 1), (-1, 0), MAIN),
    "porch-east": ((489, 290), (0, 1), (-1, 0), PORCH),
    "porch-west": ((345, 402), (0, -1), (1, 0), PORCH),
}


@pytest.fixture(scope="module")
def case() -> Case:
    return load_case(demo_cases.case_path("hillhouse"))


def in_space(plane: Plane, x: int, y: int) -> Point:
    """A point of the slope (ticks) in the house (in): east, north, above the eaves."""
    (x0, y0), along, up, rise = PLACES[plane.id]
    right, run = Fraction(x, inches(1)), Fraction(y, inches(1)) / FACTORS[rise]
    return (x0 + right * along[0] + run * up[0], y0 + right * along[1] + run * up[1], run * rise)


def rings(plane: Plane) -> Iterator[Outline]:
    assert plane.outline is not None
    yield plane.outline
    yield from (hole.outline for hole in plane.holes)


def edges(plane: Plane) -> Iterator[tuple[str, frozenset[Point]]]:
    for ring in rings(plane):
        spots = [in_space(plane, x, y) for x, y in (*ring.points, ring.points[0])]
        for kind, (one, other) in zip(ring.kinds, pairwise(spots), strict=True):
            yield kind, frozenset({one, other})


def area(outline: Outline) -> Fraction:
    """Square inches on the slope."""
    twice = sum(
        a[0] * b[1] - b[0] * a[1] for a, b in pairwise((*outline.points, outline.points[0])))
    return Fraction(abs(twice), 2 * inches(1) ** 2)


def length(edge: frozenset[Point]) -> float:
    one, other = edge
    return sqrt(sum((a - b) ** 2 for a, b in zip(one, other, strict=True)))


def test_every_hip_valley_and_ridge_is_shared_by_two_planes(case: Case) -> None:
    """From corner to corner in space, to the tick; but for the dormer, whose roof is not here."""
    of_dormer = {edge for plane in case.planes for hole in plane.holes
                 for edge in _ring_edges(plane, hole.outline)}
    seen: dict[tuple[str, frozenset[Point]], int] = {}
    for plane in case.planes:
        for kind, edge in edges(plane):
            if edge not in of_dormer:
                seen[kind, edge] = seen.get((kind, edge), 0) + 1
    assert set(seen.values()) == {1, 2}
    for (kind, edge), count in seen.items():
        assert count == (2 if kind in ("hip", "valley", "ridge") else 1), (kind, edge)
    counts = [sum(kind == one for one, _ in seen) for kind in ("hip", "valley", "ridge", "eave")]
    assert counts == [4, 4, 3, 10]


def _ring_edges(plane: Plane, ring: Outline) -> Iterator[frozenset[Point]]:
    spots = [in_space(plane, x, y) for x, y in (*ring.points, ring.points[0])]
    yield from (frozenset(pair) for pair in pairwise(spots))


def test_eaves_are_level_and_ridges_as_high_as_their_run(case: Case) -> None:
    tops = {plane.id: max(z for _, edge in edges(plane) for _, _, z in edge)
            for plane in case.planes}
    assert {tops[name] for name in ("south", "east", "north", "west")} == {165 * MAIN}
    assert tops["wing-west"] == tops["wing-east"] == 120 * MAIN == 90
    assert tops["porch-east"] == tops["porch-west"] == 72 * PORCH == 30 == 40 * MAIN
    for plane in case.planes:
        for kind, edge in edges(plane):
            if kind == "eave":
                assert {z for _, _, z in edge} == {0}


def test_lengths_against_the_framing_square(case: Case) -> None:
    found = {(kind, round(length(edge), 6)) for plane in case.planes
             for kind, edge in edges(plane) if kind in ("hip", "valley")}
    per_run = sqrt(2 + MAIN**2)
    porch = sqrt(72**2 + 40**2 + 30**2)
    assert found == {
        ("hip", round(165 * per_run, 6)), ("valley", round(120 * per_run, 6)),
        ("valley", round(36 * per_run, 6)), ("valley", round(porch, 6)),
    }
    assert 12 * per_run == pytest.approx(19.21, abs=0.005)
    assert 12 * float(FACTORS[MAIN]) == 15.00


def test_areas_are_those_of_the_plan_on_the_slope(case: Case) -> None:
    dormer = 72 * 30 + 72 * 36 // 2
    trapezoid = (582 + 252) * 165 // 2
    plan = {
        "south": trapezoid - 240 * 120 // 2, "east": 330 * 165 // 2, "west": 330 * 165 // 2,
        "north": trapezoid - 144 * 40 // 2 - dormer,
        "wing-west": (138 + 258) * 120 // 2, "wing-east": (138 + 258) * 120 // 2,
        "porch-east": (72 + 112) * 72 // 2, "porch-west": (72 + 112) * 72 // 2,
    }
    for plane in case.planes:
        own = 2 * area(next(rings(plane))) - sum(area(ring) for ring in rings(plane))
        assert own == plan[plane.id] * FACTORS[PLACES[plane.id][3]], plane.id
    # The planes cover the house, its wing and its porch once, but for the dormer.
    assert sum(plan.values()) == 582 * 330 + 138 * 240 + 72 * 144 - dormer


def test_links_follow_the_shared_edges(case: Case) -> None:
    """On a mirror link x of one plane and x of the other add up to one figure all along the edge;
    where they do not, no offset makes seams meet."""
    planes = {plane.id: plane for plane in case.planes}
    assert len(case.links) == 9 and len(case.apart) == 2
    for link in case.links:
        first, second = (planes[name] for name in link.planes)
        sums = set(_sums(first, second, link.along))
        assert sums == {Fraction(first.width + link.offset, inches(1))}, link.planes
    for apart in case.apart:
        first, second = (planes[name] for name in apart.planes)
        assert len(set(_sums(first, second, apart.along))) == 2
    assert "every 9th seam of north meets every 5th seam of porch-east" in case.apart[0].says


def _sums(first: Plane, second: Plane, along: str) -> Iterator[Fraction]:
    others = {edge for kind, edge in edges(second) if kind == along}
    (shared,) = [edge for kind, edge in edges(first) if kind == along and edge in others]
    for east, north, _ in shared:
        total = Fraction(0)
        for plane in (first, second):
            (x0, y0), right, _, _ = PLACES[plane.id]
            total += (east - x0) * right[0] + (north - y0) * right[1]
        yield total
