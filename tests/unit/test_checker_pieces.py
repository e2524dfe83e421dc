"""Pieces of panels on planes with an outline, each rule to the tick; shapes worked by hand.

The rules are the program's own, no published standard. Seams stand at 14, 32, 50, 68 and 86 in
unless another first width is given; the cover is 18 in, `min_piece` 2, `min_length` 4, `min_end` 6.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from solver.case import Case, Plane
from solver.case_parts import EdgeKind, Outline
from solver.checker.judge import judge
from solver.checker.outlines import Piece, length_of, pieces_of
from solver.layout import Layout
from tests.unit.builders import (
    HIP,
    codes,
    inches,
    look,
    make_case,
    make_hole,
    make_outline,
    make_outlined,
    make_plane,
)

TICK = 1
SEAMS = (14, 32, 50, 68, 86)


def extents(plane: Plane, *seams: int) -> list[list[tuple[int, ...]]]:
    """From and to along the eave and up the slope of every piece (inches, all of them whole)."""
    at = [0, *(inches(seam) for seam in seams), plane.width]
    found = []
    for pieces in pieces_of(plane, list(pairwise(at))):
        row = [(p.low, p.high, p.bottom, p.top) for p in pieces]
        assert all(value % inches(1) == 0 for piece in row for value in piece)
        found.append([tuple(int(value) // inches(1) for value in piece) for piece in row])
    return found


def on(outline: Outline, **rules: int) -> Case:
    return make_case(planes=(make_outlined(outline),), **rules)  # type: ignore[arg-type]


# ------------------------------------------------------------------ shapes by hand


def test_a_hip_plane_by_hand() -> None:
    # The hips rise an inch for each inch, so a panel is as long as its far side is from the corner,
    # and at most 40; the ridge runs from 40 to 60.
    assert extents(make_outlined(HIP), *SEAMS) == [
        [(0, 14, 0, 14)], [(14, 32, 0, 32)], [(32, 50, 0, 40)], [(50, 68, 0, 40)],
        [(68, 86, 0, 32)], [(86, 100, 0, 14)],
    ]  # fmt: skip
    assert look(on(HIP)).breaks == ()


L_SHAPE = make_outline(
    (0, 0, "eave"), (100, 0, "rake"), (100, 90, "ridge"), (60, 90, "wall"), (60, 50, "ridge"),
    (0, 50, "rake"),
)  # fmt: skip


def test_an_l_shaped_plane_by_hand() -> None:
    # The wall at 60 stands within the panel from 50 to 68, whose low part joins both sides of it.
    assert extents(make_outlined(L_SHAPE), *SEAMS) == [
        [(0, 14, 0, 50)], [(14, 32, 0, 50)], [(32, 50, 0, 50)], [(50, 68, 0, 90)],
        [(68, 86, 0, 90)], [(86, 100, 0, 90)],
    ]  # fmt: skip
    assert look(on(L_SHAPE)).breaks == ()


SQUARE = make_outline((0, 0, "eave"), (100, 0, "rake"), (100, 100, "ridge"), (0, 100, "rake"))
DORMER = make_hole((28, 30), (55, 30), (55, 60), (28, 60))


def test_a_dormer_by_hand() -> None:
    # The panel from 32 to 50 is cut in two, below and above; its neighbours go past the dormer.
    plane = make_outlined(SQUARE, holes=(DORMER,))
    assert extents(plane, *SEAMS) == [
        [(0, 14, 0, 100)], [(14, 32, 0, 100)], [(32, 50, 0, 30), (32, 50, 60, 100)],
        [(50, 68, 0, 100)], [(68, 86, 0, 100)], [(86, 100, 0, 100)],
    ]  # fmt: skip
    at = [0, *(inches(seam) for seam in SEAMS), plane.width]
    lengths = [length_of(p) for p in pieces_of(plane, list(pairwise(at)))]
    assert lengths == [inches(100)] * 6  # the opening of the dormer comes out of the sheet
    assert look(make_case(planes=(plane,))).breaks == ()


def test_what_meets_in_a_point_is_two_pieces() -> None:
    # A diamond from seam to seam parts the panel; a tick less and it goes round one corner.
    diamond = make_hole((32, 50), (41, 40), (50, 50), (41, 60), what="skylight")
    plane = make_outlined(SQUARE, holes=(diamond,))
    strip = [(inches(32), inches(50))]
    assert [(p.bottom, p.top) for p in pieces_of(plane, strip)[0]] == [
        (0, inches(60) - inches(10)), (inches(50), inches(100))
    ]  # fmt: skip
    assert len(pieces_of(plane, [(inches(32) - TICK, inches(50))])[0]) == 1
    assert len(pieces_of(plane, [(inches(32) + TICK, inches(50))])[0]) == 2


def test_sloping_edges_are_crossed_exactly() -> None:
    # 1 up for 3 along, in ticks: at x = 10 and 20 the edge stands at 10/3 and 20/3.
    slope = Outline(((0, 0), (90, 0), (90, 30)), ("eave", "rake", "hip"))
    plane = replace(make_plane(width=90, length=30), outline=slope)
    (piece,), (last,) = pieces_of(plane, [(10, 20), (80, 90)])
    assert (piece.bottom, piece.top) == (0, pytest.approx(20 / 3))
    assert 3 * piece.top == 20
    assert length_of([piece]) == 7  # rounded up
    assert length_of([last]) == 30
    assert length_of([]) == 0
    assert isinstance(piece, Piece) and piece.beside == ()
    assert [edge.x for edge in last.beside] == [90]


def test_the_points_may_be_needle_thin_or_far_apart() -> None:
    far = 640_000 * 1000  # a kilometre
    thin = Outline(((0, 0), (far, 0), (far, 1)), ("eave", "rake", "hip"))
    plane = replace(make_plane(width=far, length=1), outline=thin)
    ((piece,),) = pieces_of(plane, [(far - 3, far - 2)])
    assert piece.top * far == far - 2


# ------------------------------------------------------------------ narrow and short


def test_min_piece_to_the_tick() -> None:
    # Steep hips, 20 up for 1 along: with a first of 2 in the piece is 2 wide and 40 long. Of the
    # others the last is the narrowest: 100 - 2 - 5 x 18 = 8. No end rule at a hip.
    steep = make_outline((0, 0, "eave"), (100, 0, "hip"), (96, 80, "ridge"), (4, 80, "hip"))
    for least, broken in (
        (inches(2) - TICK, []), (inches(2), []), (inches(2) + TICK, ["piece-narrow"])
    ):  # fmt: skip
        judged = look(on(steep, min_piece=least), first=inches(2))
        assert codes(judged) == broken
    assert judged.breaks[0].about == ("S",)
    assert judged.breaks[0].says == (
        'Panel 1 of plane S has a piece 2" wide, from 0" to 2": it must be at least 2 1/16" wide.'
    )


def test_min_length_to_the_tick() -> None:
    # Hips an inch for an inch: a first of 4 in is 4 long; the last is 100 - 4 - 90 = 6.
    for least, broken in (
        (inches(4) - TICK, []), (inches(4), []), (inches(4) + TICK, ["piece-short"])
    ):  # fmt: skip
        judged = look(on(HIP, min_length=least), first=inches(4))
        assert codes(judged) == broken
    assert judged.breaks[0].says == (
        'Panel 1 of plane S has a piece 4" long, from 0" to 4" along the eave: it must be at least '
        '4 1/16" long.'
    )


def test_panels_are_numbered_from_where_the_laying_starts() -> None:
    case = make_case(planes=(make_outlined(HIP, lay="right-to-left"),), min_length=inches(5))
    judged = look(case, first=inches(4))
    assert codes(judged) == ["piece-short"]
    assert "Panel 1 of plane S has a piece 4\" long, from 8' 0\" to 8' 4\"" in judged.breaks[0].says


def test_the_worst_piece_of_a_panel_is_told() -> None:
    # A hole takes the panel from 32 to 50 but for 3 in at the eave and 1 in below the ridge.
    hole = make_hole((30, 3), (52, 3), (52, 99), (30, 99))
    case = make_case(planes=(make_outlined(SQUARE, holes=(hole,)),))
    judged = look(case)
    assert codes(judged) == ["piece-short"]
    assert 'Panel 3 of plane S has a piece 1" long, from 2\' 8" to 4\' 2"' in judged.breaks[0].says


def test_a_plane_without_an_outline_has_no_pieces() -> None:
    case = make_case(planes=(make_plane(length=inches(1)),))
    assert look(case).breaks == ()


# ------------------------------------------------------------------ the end rule


@pytest.mark.parametrize(
    ("kind", "asked"),
    [("rake", True), ("wall", True), ("hip", False), ("valley", False), ("eave", False)],
)
def test_the_end_rule_at_upright_edges(kind: EdgeKind, asked: bool) -> None:
    # A first of 6 leaves 100 - 6 - 90 = 4 at the other end, a hip there.
    outline = make_outline((0, 0, "eave"), (100, 0, "hip"), (100, 60, "ridge"), (0, 60, kind))
    for least, broken in (
        (inches(6) - TICK, []), (inches(6), []), (inches(6) + TICK, ["end-rule"] * asked)
    ):  # fmt: skip
        judged = look(on(outline, min_end=least), first=inches(6))
        assert codes(judged) == broken
    if asked:
        assert judged.breaks[0].says == (
            f'Panel 1 of plane S has a piece 6" wide beside the {kind} at 0": it must be at least '
            '6 1/16" wide there.'
        )


def test_a_sloping_rake_asks_for_no_end() -> None:
    outline = make_outline((0, 0, "eave"), (100, 0, "rake"), (99, 60, "ridge"), (1, 60, "rake"))
    assert look(on(outline), first=inches(4)).breaks == ()


def test_the_end_of_an_arm_obeys_it_too() -> None:
    # The upper arm of a U ends at a wall at 70. With a first of 10 in a seam at 64 leaves it 6 in,
    # with 10 1/16 in a sixteenth less; the lower arm goes on to the rake at 100.
    u_shape = make_outline(
        (0, 0, "eave"), (100, 0, "rake"), (100, 30, "ridge"), (50, 30, "wall"), (50, 60, "eave"),
        (70, 60, "wall"), (70, 100, "ridge"), (0, 100, "rake"),
    )  # fmt: skip
    assert look(on(u_shape), first=inches(10)).breaks == ()
    judged = look(on(u_shape), first=inches("10 1/16"))
    assert [breach.says for breach in judged.breaks] == [
        'Panel 5 of plane S has a piece 5 15/16" wide beside the wall at 5\' 10": it must be at '
        'least 6" wide there.'
    ]


def test_a_pocket_of_a_hole_obeys_it_too() -> None:
    # A hole like a C: its pocket runs from its wall at 30 to 60, and the seam at 32 leaves 2 in.
    c_shape = make_hole(
        (20, 20), (60, 20), (60, 30), (30, 30), (30, 50), (60, 50), (60, 60), (20, 60), what="yard"
    )
    case = make_case(planes=(make_outlined(SQUARE, holes=(c_shape,)),))
    assert [breach.says for breach in look(case).breaks] == [
        'Panel 2 of plane S has a piece 2" wide beside the wall of the yard at 2\' 6": it must be '
        'at least 6" wide there.'
    ]
    # A seam upon the wall itself: the pocket begins with a full panel.
    assert look(case, first=inches(12)).breaks == ()


def test_a_full_panel_is_always_enough() -> None:
    assert look(on(SQUARE, min_end=inches(30)), first=inches(10)).breaks != ()
    full = make_outline((0, 0, "eave"), (90, 0, "rake"), (90, 50, "ridge"), (0, 50, "rake"))
    assert look(on(full, min_end=inches(30)), first=inches(18)).breaks == ()


def test_a_wall_that_is_met_in_a_point_only_asks_for_nothing() -> None:
    # The first panel, 5 in wide below a wall that begins where its far top corner is.
    step = make_outline(
        (0, 0, "eave"), (95, 0, "rake"), (95, 90, "ridge"), (5, 90, "wall"), (5, 50, "ridge"),
        (0, 50, "hip"),
    )  # fmt: skip
    assert look(on(step), first=inches(5)).breaks == ()
    upright = replace(step, kinds=(*step.kinds[:-1], "rake"))
    assert codes(look(on(upright), first=inches(5))) == ["end-rule"]


# ------------------------------------------------------------------ first and last


def test_first_widths_are_whole_marks_and_at_most_the_cover() -> None:
    assert codes(look(on(HIP), first=inches(14) + TICK)) == ["whole-mark"]
    assert codes(look(on(HIP), first=inches(18))) == []
    assert codes(look(on(HIP), first=inches("18 1/16"))) == ["end-rule"]
    loose = on(HIP, min_piece=0, min_length=0)
    assert look(loose, first=inches("1/16")).breaks == ()
    # The last is 1/16 for a first of 9 15/16 (9 15/16 + 90 = 99 15/16), a tick less is too little.
    assert look(loose, first=inches("9 15/16")).breaks == ()
    narrow = look(loose, first=inches("9 15/16") + TICK)
    assert [breach.says for breach in narrow.breaks if breach.code == "end-rule"] == [
        'The last width of plane S is 0": it must be at least 1/16".'
    ]


def test_a_single_panel_is_always_legal() -> None:
    tiny = make_outline((0, 0, "eave"), (1, 0, "rake"), (1, 1, "ridge"), (0, 1, "rake"))
    assert look(on(tiny), first=inches(1)).breaks == ()


def test_a_plane_laid_both_ways() -> None:
    # The line at 42 leaves 6 in at the low rake and 4 in at the high one.
    outline = make_outlined(SQUARE, start=inches(42))
    judged = judge(make_case(planes=(outline,)), Layout((0,), ()))
    assert [breach.says for breach in judged.breaks] == [
        'Panel 4 of plane S has a piece 4" wide beside the rake at 8\' 4": it must be at least 6" '
        "wide there."
    ]
