"""Pieces of panels as polygons, by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.case import Plane
from solver.case_parts import EdgeKind, Hole, Outline
from solver.shape.pieces import Piece, pieces_of
from tests.unit.builders import make_curb, make_plane

PLAIN = make_plane(width=100, length=200)
TRIANGLE = replace(
    make_plane(width=60, length=30),
    outline=Outline(((0, 0), (60, 0), (30, 30)), ("eave", "hip", "hip")),
)


def holed(*corners: tuple[int, int]) -> Plane:
    plane = make_plane(width=100, length=200)
    rectangle = Outline(((0, 0), (100, 0), (100, 200), (0, 200)), ("eave", "rake", "ridge", "rake"))
    wall: EdgeKind = "wall"
    hole = Hole("dormer", Outline(corners, (wall,) * len(corners)))
    return replace(plane, outline=rectangle, holes=(hole,))


def told(pieces: tuple[Piece, ...]) -> list[tuple[int, int, list[tuple[int, int]]]]:
    """Panel, part and corners, which all stand on whole ticks."""
    assert all(c.denominator == 1 for piece in pieces for point in piece.points for c in point)
    return [(p.panel, p.part, [(int(x), int(y)) for x, y in p.points]) for p in pieces]


def test_panels_of_a_rectangle() -> None:
    assert told(pieces_of(PLAIN, (40, 80))) == [
        (1, 1, [(0, 0), (40, 0), (40, 200), (0, 200)]),
        (2, 1, [(40, 0), (80, 0), (80, 200), (40, 200)]),
        (3, 1, [(80, 0), (100, 0), (100, 200), (80, 200)]),
    ]


def test_panels_of_a_triangle_between_hips() -> None:
    pieces = pieces_of(TRIANGLE, (20, 40))
    assert told(pieces) == [
        (1, 1, [(0, 0), (20, 0), (20, 20)]),
        (2, 1, [(20, 0), (40, 0), (40, 20), (30, 30), (20, 20)]),
        (3, 1, [(40, 0), (60, 0), (40, 20)]),
    ]
    assert [piece.area for piece in pieces] == [200, 500, 200]
    assert [(p.low, p.high, int(p.y_low), int(p.y_high)) for p in pieces] == [
        (0, 20, 0, 20), (20, 40, 0, 30), (40, 60, 0, 20),
    ]  # fmt: skip


def test_places_off_the_ticks_are_exact() -> None:
    plane = replace(
        make_plane(width=3, length=2), outline=Outline(((0, 0), (3, 0), (3, 2)), ("hip",) * 3)
    )
    assert pieces_of(plane, (1,))[0].points[2] == (Fraction(1), Fraction(2, 3))


def test_a_hole_across_a_panel_leaves_a_piece_below_and_one_above() -> None:
    pieces = pieces_of(holed((30, 50), (90, 50), (90, 70), (30, 70)), (40, 80))
    assert told(pieces)[1:3] == [
        (2, 1, [(40, 0), (80, 0), (80, 50), (40, 50)]),
        (2, 2, [(40, 70), (80, 70), (80, 200), (40, 200)]),
    ]
    assert [piece.panel for piece in pieces] == [1, 2, 2, 3]
    assert told(pieces)[0][2] == [
        (0, 0), (40, 0), (40, 50), (30, 50), (30, 70), (40, 70), (40, 200), (0, 200),
    ]  # fmt: skip


def test_a_hole_within_a_panel_is_a_hole_of_its_piece() -> None:
    pieces = pieces_of(holed((50, 50), (70, 50), (70, 70), (50, 70)), (40, 80))
    assert len(pieces) == 3
    assert told(pieces)[1][2] == [(40, 0), (80, 0), (80, 200), (40, 200)]
    assert [[(int(x), int(y)) for x, y in ring] for ring in pieces[1].holes] == [
        [(50, 50), (50, 70), (70, 70), (70, 50)]
    ]
    assert pieces[1].area == 40 * 200 - 20 * 20


def test_a_hole_whose_corner_touches_a_seam_parts_nothing() -> None:
    pieces = pieces_of(holed((40, 100), (60, 80), (70, 100), (60, 120)), (40, 80))
    assert [(p.panel, p.part) for p in pieces] == [(1, 1), (2, 1), (3, 1)]
    assert len(pieces[0].points) == 4  # the corner makes none on the other side
    assert pieces[1].area == 40 * 200 - 30 * 40 // 2
    assert len(pieces[1].holes) == 1


def test_a_hole_from_seam_to_seam_by_its_corners_parts_the_panel() -> None:
    pieces = pieces_of(holed((40, 100), (60, 80), (80, 100), (60, 120)), (40, 80))
    assert [(p.panel, p.part) for p in pieces] == [(1, 1), (2, 1), (2, 2), (3, 1)]
    assert pieces[1].area + pieces[2].area == 40 * 200 - 40 * 40 // 2
    assert not pieces[1].holes


def test_a_panel_without_roof_has_a_number_and_no_piece() -> None:
    pieces = pieces_of(holed((30, 0), (90, 0), (90, 200), (30, 200)), (40, 80))
    assert [piece.panel for piece in pieces] == [1, 3]


def test_a_curb_on_a_seam_cuts_both_panels() -> None:
    """Across 20 and along 30 around (40, 100): x from 30 to 50, y from 85 to 115."""
    curb = make_curb(40, across=20, along=30, y=100)
    one, two, three = pieces_of(PLAIN, (40, 80), (curb,))
    assert (one.cut_by, two.cut_by, three.cut_by) == (("C1",), ("C1",), ())
    assert one.area == 40 * 200 - 10 * 30
    assert two.area == 40 * 200 - 10 * 30
    assert (one.part, two.part) == (1, 1)


def test_a_curb_wider_than_a_panel_leaves_a_piece_below_and_one_above() -> None:
    curb = make_curb(60, across=60, along=30, y=100)
    pieces = pieces_of(PLAIN, (40, 80), (curb,))
    assert [(p.panel, p.part, p.cut_by) for p in pieces] == [
        (1, 1, ("C1",)), (2, 1, ("C1",)), (2, 2, ("C1",)), (3, 1, ("C1",)),
    ]  # fmt: skip
    assert [(int(p.y_low), int(p.y_high)) for p in pieces if p.panel == 2] == [(0, 85), (115, 200)]


def test_a_curb_between_seams_cuts_only_where_it_stands() -> None:
    """Flush with both seams it interrupts its own panel, and its neighbours not at all."""
    curb = make_curb(60, across=40, along=30, y=100)
    pieces = pieces_of(PLAIN, (40, 80), (curb,))
    assert [(p.panel, p.part, p.cut_by) for p in pieces] == [
        (1, 1, ()), (2, 1, ("C1",)), (2, 2, ("C1",)), (3, 1, ()),
    ]  # fmt: skip


def test_a_curb_with_an_odd_size_stands_on_half_ticks() -> None:
    curb = make_curb(60, across=21, along=31, y=100)
    piece = pieces_of(PLAIN, (40, 80), (curb,))[1]
    half = Fraction(1, 2)
    assert piece.holes == (
        ((49 + half, 84 + half), (49 + half, 115 + half), (70 + half, 115 + half),
         (70 + half, 84 + half)),
    )  # fmt: skip
    assert piece.area == 40 * 200 - 21 * 31


def test_a_curb_over_a_hip_takes_what_is_roof_of_it() -> None:
    """Around (10, 10), 10 by 10: below the hip y = x half of the rectangle is roof."""
    curb = make_curb(10, across=10, along=10, y=10)
    pieces = pieces_of(TRIANGLE, (20, 40), (curb,))
    assert sum(p.area for p in pieces if p.panel == 1) == 200 - 50
    assert [(p.panel, p.part) for p in pieces if p.panel == 1] == [(1, 1)]


def test_two_curbs_side_by_side_or_one_over_the_other() -> None:
    one = make_curb(50, "C1", across=20, along=20, y=100)
    flush = make_curb(70, "C2", across=20, along=20, y=100)
    over = make_curb(55, "C3", across=20, along=20, y=110)
    side = pieces_of(PLAIN, (40, 80), (one, flush))
    assert [(p.panel, p.part, p.cut_by) for p in side] == [
        (1, 1, ()), (2, 1, ("C1", "C2")), (2, 2, ("C1", "C2")), (3, 1, ()),
    ]  # fmt: skip
    both = pieces_of(PLAIN, (40, 80), (one, over))
    assert sum(p.area for p in both) == 100 * 200 - 2 * 400 + 15 * 10


@pytest.mark.parametrize("seams", [(), (1, 2, 3, 59), (30,)])
def test_any_seams_tile_the_triangle(seams: tuple[int, ...]) -> None:
    assert sum(piece.area for piece in pieces_of(TRIANGLE, seams)) == 900
