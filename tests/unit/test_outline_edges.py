"""Edges, ends and distances of outlines, by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.case import Plane
from solver.case_parts import EdgeKind, Hole, Outline
from solver.shape.edges import distance2, edges_of, ends_at, holds, outline_of
from tests.unit.builders import make_plane

WALL: EdgeKind = "wall"
WALLS = (WALL,) * 4
HOLE = Hole("dormer", Outline(((40, 40), (60, 40), (60, 60), (40, 60)), WALLS))
# a diamond: its corners only touch the levels y = 30 and y = 70
DIAMOND = Hole("atrium", Outline(((40, 50), (50, 30), (60, 50), (50, 70)), WALLS))


def shaped(
    points: tuple[tuple[int, int], ...], *holes: Hole, kinds: tuple[EdgeKind, ...] | None = None
) -> Plane:
    outline = Outline(points, kinds or ("hip",) * len(points))
    wide, high = max(x for x, _ in points), max(y for _, y in points)
    return replace(make_plane(width=wide, length=high), outline=outline, holes=holes)


SQUARE = ((0, 0), (100, 0), (100, 100), (0, 100))
NOTCHED = ((0, 0), (100, 0), (100, 100), (70, 100), (50, 60), (30, 100), (0, 100))


def test_a_plane_without_outline_is_a_rectangle() -> None:
    plane = make_plane(width=300, length=200)
    assert outline_of(plane).points == ((0, 0), (300, 0), (300, 200), (0, 200))
    assert [(e.kind, e.start, e.end) for e in edges_of(plane)] == [
        ("eave", (0, 0), (300, 0)), ("rake", (300, 0), (300, 200)),
        ("ridge", (300, 200), (0, 200)), ("rake", (0, 200), (0, 0)),
    ]  # fmt: skip


def test_the_roof_is_on_the_left_of_every_edge() -> None:
    plane = shaped(SQUARE, HOLE)
    for edge in edges_of(plane):
        (x_1, y_1), (x_2, y_2) = edge.start, edge.end
        mid = (Fraction(x_1 + x_2, 2), Fraction(y_1 + y_2, 2))
        left = (Fraction(y_1 - y_2, 100), Fraction(x_2 - x_1, 100))
        assert holds(plane, mid[0] + left[0], mid[1] + left[1])
        assert not holds(plane, mid[0] - left[0], mid[1] - left[1])
    holes = [edge for edge in edges_of(plane) if edge.hole]
    assert [edge.hole for edge in holes] == ["dormer"] * 4
    assert all(a.end == b.start for a, b in zip(holes, [*holes[1:], holes[0]], strict=True))


def test_each_kind_stays_with_its_edge_around_a_hole() -> None:
    kinds: tuple[EdgeKind, ...] = ("eave", "rake", "ridge", "wall")
    hole = replace(HOLE, outline=replace(HOLE.outline, kinds=kinds))
    found = {e.kind: {e.start, e.end} for e in edges_of(shaped(SQUARE, hole)) if e.hole}
    assert found["eave"] == {(40, 40), (60, 40)}
    assert found["rake"] == {(60, 40), (60, 60)}
    assert found["wall"] == {(40, 60), (40, 40)}


def test_a_3_4_5_edge_is_5_long() -> None:
    edge = edges_of(shaped(((0, 0), (3, 4), (0, 4))))[0]
    assert (edge.length2, edge.length) == (25, 5.0)


@pytest.mark.parametrize(
    ("x", "y", "on"),
    [(0, 0, True), (100, 50, True), (101, 50, False), (-1, 50, False), (50, 0, True),
     (50, -1, False), (50, 50, False), (40, 50, True), (41, 50, False), (39, 50, True),
     (40, 40, True), (60, 60, True), (59, 59, False), (50, 101, False)],
)  # fmt: skip
def test_edges_belong_to_the_roof_and_the_inside_of_a_hole_does_not(
    x: int, y: int, on: bool
) -> None:
    assert holds(shaped(SQUARE, HOLE), x, y) is on


@pytest.mark.parametrize(
    ("x", "y", "ends"),
    [(20, 50, (0, 40)), (40, 50, (0, 40)), (41, 50, None), (60, 50, (60, 100)),
     (80, 50, (60, 100)), (50, 40, (0, 100)), (50, 39, (0, 100)), (20, 41, (0, 40)),
     (50, 60, (0, 100)), (0, 0, (0, 100)), (5, 100, (0, 100)), (101, 50, None)],
)  # fmt: skip
def test_the_roof_ends_at_a_hole_but_not_along_its_level_edge(
    x: int, y: int, ends: tuple[int, int] | None
) -> None:
    assert ends_at(shaped(SQUARE, HOLE), x, y) == ends


@pytest.mark.parametrize(
    ("x", "y", "ends"),
    [(20, 30, (0, 100)), (20, 31, (0, 49)), (80, 31, (51, 100)), (20, 50, (0, 40)),
     (50, 70, (0, 100)), (50, 69, None)],
)  # fmt: skip
def test_a_corner_of_a_hole_that_touches_the_level_ends_nothing(
    x: int, y: int, ends: tuple[int, int] | None
) -> None:
    """At y = 31 the diamond reaches from 49.5 to 50.5: rounded inwards on both sides."""
    assert ends_at(shaped(SQUARE, DIAMOND), x, y) == ends


@pytest.mark.parametrize(
    ("x", "y", "ends"),
    [(10, 60, (0, 100)), (10, 61, (0, 49)), (90, 61, (51, 100)), (10, 100, (0, 30)),
     (50, 61, None), (50, 60, (0, 100)), (70, 100, (70, 100))],
)  # fmt: skip
def test_a_notch_ends_the_roof_above_its_bottom(
    x: int, y: int, ends: tuple[int, int] | None
) -> None:
    assert ends_at(shaped(NOTCHED), x, y) == ends


def test_two_teeth_of_a_roof_that_meet_a_level_in_a_point_each() -> None:
    plane = shaped(((0, 0), (100, 0), (100, 50), (75, 100), (50, 50), (25, 100), (0, 50)))
    assert ends_at(plane, 25, 100) == (25, 25)
    assert ends_at(plane, 26, 100) is None
    assert ends_at(plane, 10, 50) == (0, 100)


@pytest.mark.parametrize(
    ("point2", "square"),
    [((100, 40), 1600), ((100, 0), 0), ((-60, 80), 10000), ((260, 80), 10000),
     ((101, -3), 9), ((0, 5), 25)],
)  # fmt: skip
def test_distance_of_a_point_from_a_level_edge_in_half_ticks(
    point2: tuple[int, int], square: int
) -> None:
    """The eave runs from 0 to 100 ticks, 0 to 200 half ticks; beyond its ends the corner counts."""
    assert distance2(edges_of(shaped(SQUARE))[0], *point2) == square


def test_distance_from_a_sloping_edge_is_exact() -> None:
    """From (0, 0) to the line 3x + 4y = 12 it is 12/5 ticks, 24/5 half ticks."""
    edge = edges_of(shaped(((0, 0), (4, 0), (0, 3))))[1]
    assert distance2(edge, 0, 0) == Fraction(24, 5) ** 2
    assert distance2(edge, 1, 1) == Fraction(17, 5) ** 2  # (24 - 3 - 4) / 5
