"""Every rule of the panel list on roofs small enough to cut by hand (figures in inches)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.case import Case
from solver.case_parts import Hole
from solver.panels.cuts import cuts_of
from solver.panels.list import panel_list, sheet_of
from solver.panels.parts import PanelList
from solver.result import JudgedOdd
from tests.unit.builders import inches, make_case, make_curb, make_pipe, make_plane, mm
from tests.unit.panel_cases import (
    SHEET,
    inch,
    laid,
    listed,
    marks,
    notched,
    outline,
    piece_at,
    roof,
    shaped,
)

F = Fraction


def three(lay: str = "left-to-right", width: int = 50, start: int | None = None) -> Case:
    plane = make_plane(width=inches(width), lay=lay, start=start)  # type: ignore[arg-type]
    return roof(planes=(replace(plane, length=inches(200)),))


def rows(case: Case, *seams: int) -> list[tuple[object, ...]]:
    """Mark, count, numbers of its panels, finished, in the flat, left, right."""
    return [
        (mark.name, len(mark.pieces), [one.panel for one in mark.pieces],
         inch(mark.piece.finished), inch(mark.piece.rip), mark.piece.left, mark.piece.right)
        for mark in marks(listed(case, seams))
    ]


def test_first_loses_the_female_leg_and_last_the_male_one() -> None:
    assert rows(three(width=64), 14, 32, 50) == [
        ("S-1", 1, [1], 14, F("16.25"), "turned up", "male"),  # 14 + 1 + 1 1/4
        ("S-2", 2, [2, 3], 18, F("20.75"), "female", "male"),  # 18 + 1 1/4 + 1 1/2
        ("S-3", 1, [4], 14, F("16.5"), "female", "turned up"),  # 14 + 1 1/2 + 1
    ]


def test_laid_right_to_left_everything_is_mirrored() -> None:
    assert rows(three("right-to-left", width=64), 14, 32, 50) == [
        ("S-1", 1, [1], 14, F("16.25"), "male", "turned up"),
        ("S-2", 2, [2, 3], 18, F("20.75"), "male", "female"),
        ("S-3", 1, [4], 14, F("16.5"), "turned up", "female"),
    ]


def test_a_single_panel_is_turned_up_on_both_sides() -> None:
    assert rows(three(width=17)) == [("S-1", 1, [1], 17, 19, "turned up", "turned up")]


def test_from_a_line_both_ends_are_lasts_and_one_panel_has_two_male_legs() -> None:
    # The line at 50: panels 1 and 2 to its right, -1, -2 and -3 to its left.
    assert rows(three(start=inches(50), width=84), 14, 32, 50, 68) == [
        ("S-1", 1, [-3], 14, F("16.5"), "turned up", "female"),
        ("S-2", 1, [-2], 18, F("20.75"), "male", "female"),
        ("S-3", 1, [-1], 18, F("20.5"), "male", "male"),  # 18 + 2 x 1 1/4
        ("S-4", 1, [1], 18, F("20.75"), "female", "male"),
        ("S-5", 1, [2], 16, F("18.5"), "female", "turned up"),
    ]


def test_beside_the_line_an_end_panel_stays_a_last_where_it_can() -> None:
    found = rows(three(start=inches(14)), 14, 32)
    assert [row[5:] for row in found] == [
        ("turned up", "female"), ("male", "male"), ("female", "turned up")]
    two = rows(three(start=inches(14), width=30), 14)
    assert [row[4:] for row in two] == [
        (F("16.25"), "turned up", "male"), (F("18.5"), "female", "turned up")]


def test_an_odd_panel_keeps_both_legs_and_is_formed_anew() -> None:
    case = three()
    odd = [JudgedOdd(2, inches(12), inches(14), inches(26))]
    found = panel_list(case, laid(case, (14, 26, 44), odd=odd), 1)
    second = marks(found)[1].piece
    assert (second.made, inch(second.rip)) == ("re-formed", F("14.75"))  # 12 + 2 3/4
    assert [mark.piece.made for mark in marks(found)] == ["ripped", "re-formed", "full", "ripped"]


def test_a_full_pan_of_another_module_takes_a_full_sheet() -> None:
    case = three(width=64)
    plane = laid(case, (14, 32, 50))
    seams = (inches(14), inches("32 1/16"), inches("50 1/8"))
    moved = replace(plane, planes=(replace(plane.planes[0], seams=seams),))
    second = marks(panel_list(case, moved, 1))[1].piece
    assert (second.made, inch(second.rip), inch(second.finished)) == (
        "spread", F("20.75"), F("18.0625"))


def test_length_is_the_extent_and_the_allowances_of_both_ends() -> None:
    for mark in marks(listed(three(), (14, 32))):
        assert inch(mark.piece.length) == F("202.5")  # 200 + eave 1 + ridge 1 1/2


def test_alike_pieces_differ_by_less_than_a_mark() -> None:
    # The eave runs 1/64 in deeper at the right: the first two round to one mark, 1/16.
    case = roof(planes=(replace(make_plane(width=inches(90)), length=inches(200)),))
    case = replace(case, mark=inches("1/16"))
    assert [len(mark.pieces) for mark in marks(listed(case, (18, 36, 54, 72)))] == [1, 3, 1]
    shape = outline((0, 0, "eave"), (90, 0, "rake"), (90, 200, "ridge"), (0, 200, "rake"))
    points = list(shape.points)
    points[2] = (points[2][0], points[2][1] + inches("1/64"))
    bent = replace(case.planes[0], outline=replace(shape, points=tuple(points)),
                   length=points[2][1])
    found = listed(replace(case, planes=(bent,)), (18, 36, 54, 72))
    assert [len(mark.pieces) for mark in marks(found)] == [1, 3, 1]
    points[2] = (points[2][0], points[2][1] + inches(2))
    bent = replace(bent, outline=replace(shape, points=tuple(points)), length=points[2][1])
    found = listed(replace(case, planes=(bent,)), (18, 36, 54, 72))
    assert [len(mark.pieces) for mark in marks(found)] == [1, 1, 1, 1, 1]


TRIANGLE = (0, 0, "eave"), (72, 0, "hip"), (36, 48, "hip")


def test_hip_ends_slant_and_come_to_a_point() -> None:
    # Both hips rise 48 over 36: 4/3; tan 53.13 degrees (the 3-4-5 triangle); 24 over 18 in.
    found = listed(roof(planes=(shaped(*TRIANGLE),)), (9, 27, 45, 63))
    first, second, third, fourth, fifth = (mark.piece for mark in marks(found))
    assert (first.left, first.right, inch(first.rip)) == ("none", "male", F("11.25"))
    assert inch(first.length) == 12 + 1 + F("1.75")  # 9 x 4/3, eave, hip
    assert inch(second.length) == 36 + F("2.75")
    assert [round(piece.upper[0].degrees, 1) for piece in (first, second, fourth)] == [53.1] * 3
    assert inch(second.upper[0].slant * 18 * inches(1)) == 24
    assert [piece.upper[0].long for piece in (first, second, fourth, fifth)] == [
        "right", "right", "left", "left"]
    assert (fifth.left, fifth.right, inch(fifth.rip)) == ("female", "none", F("11.5"))
    # The peak stands in the middle of the third panel: two cuts, 9 in each, 12 in back.
    assert inch(third.length) == 48 + F("2.75")
    assert [(inch(cut.left[0]), inch(cut.left[1]), inch(cut.right[0]), inch(cut.right[1]))
            for cut in third.upper] == [(0, 12, 9, 0), (9, 0, 18, 12)]
    assert [cut.long for cut in third.upper] == ["right", "left"]
    assert third.lower[0].long == "" and third.lower[0].degrees == 0


def test_valleys_slant_the_lower_end() -> None:
    # A valley along the lower edge from (0, 0) up to (36, 36), 45 degrees; ridge at 60.
    plane = shaped((0, 0, "valley"), (36, 36, "rake"), (36, 60, "ridge"), (0, 60, "rake"))
    one, two = (mark.piece for mark in marks(listed(roof(planes=(plane,)), (18,))))
    assert inch(one.length) == 60 + F("0.75") + F("1.5")
    assert inch(two.length) == 42 + F("0.75") + F("1.5")
    assert (one.lower[0].kind, one.lower[0].long, one.lower[0].degrees) == ("valley", "left", 45)


def test_the_farther_of_two_allowances_counts_at_an_end_of_two_kinds() -> None:
    # Level at 100, a wall (2) above the left half of the panel, the ridge (1 1/2) on the right.
    plane = shaped((0, 0, "eave"), (18, 0, "rake"), (18, 100, "ridge"), (9, 100, "wall"),
                   (0, 100, "rake"))
    piece = marks(listed(roof(planes=(plane,)), ()))[0].piece
    assert inch(piece.length) == 100 + 1 + 2
    assert [(cut.kind, inch(cut.left[1])) for cut in piece.upper] == [
        ("wall", 0), ("ridge", F("0.5"))]


DORMER = Hole("dormer", outline((23, 60, "wall"), (50, 60, "wall"), (50, 90, "wall"),
                                (23, 90, "wall")))


def dormer() -> Case:
    corners = (0, 0, "eave"), (90, 0, "rake"), (90, 150, "ridge"), (0, 150, "rake")
    return roof(planes=(shaped(*corners, holes=(DORMER,)),))


def test_a_hole_splits_panels_and_notches_those_beside_it() -> None:
    found = listed(dormer(), (18, 36, 54, 72))
    # 36 to 54 runs on beside the hole from 50; 18 to 36 beside it up to 23.
    left, right = piece_at(found, 20), piece_at(found, 53)
    assert (notched(left), left.right) == ([("dormer", 60, 90, "left", 5)], "male")
    assert (notched(right), right.left) == ([("dormer", 60, 90, "right", 4)], "female")
    assert inch(left.length) == inch(right.length) == F("152.5")
    exact = listed(dormer(), (5, 23, 41, 59, 77))
    below, above = piece_at(exact, 30), piece_at(exact, 30, part=2)
    assert inch(below.length) == 60 + 1 + 2  # eave hook, up the wall
    assert inch(above.length) == 60 + 2 + F("1.5")  # 90 to 150, up the wall, ridge
    assert (below.upper[0].kind, above.lower[0].kind) == ("wall", "wall")
    # The hole's side at 50 parts the strip 41 to 59; at 23 it stands on the seam.
    assert notched(piece_at(exact, 45)) == [("dormer", 60, 90, "right", 9)]
    assert not piece_at(exact, 20).notches
    assert exact.roof == inches(1) ** 2 * (90 * 150 - 27 * 30)


def test_a_side_at_an_inner_wall_loses_its_leg() -> None:
    # An L: the roof is 90 wide up to 60, and from there only 50: an upright wall at 50.
    plane = shaped((0, 0, "eave"), (90, 0, "rake"), (90, 60, "ridge"), (50, 60, "wall"),
                   (50, 120, "ridge"), (0, 120, "rake"))
    found = listed(roof(planes=(plane,)), (14, 32, 50, 68, 86))
    inner = piece_at(found, 40)  # 32 to 50: a seam up to 60, the wall from there
    assert inner.right == "male"
    # Where the whole side is wall it is turned up.
    stepped = shaped((0, 0, "eave"), (40, 0, "wall"), (40, 50, "ridge"), (0, 50, "rake"))
    last = marks(listed(roof(planes=(stepped,)), (14, 32)))[-1].piece
    assert (last.left, last.right, inch(last.rip)) == ("female", "turned up", F("10.5"))


def test_a_side_at_a_curb_loses_its_leg() -> None:
    # Curbs right across 32 to 50 at 50 to 60 and at 90 to 100, and one beside from 32 to 40.
    curbs = [
        make_curb(inches(41), f"C{y}", across=inches(wide), y=inches(y), along=inches(long))
        for wide, y, long in ((18, 55, 10), (18, 95, 10))
    ]
    between = make_curb(inches(36), across=inches(8), y=inches(75), along=inches(40))
    case = roof(*curbs, between, planes=(make_plane(),))
    piece = piece_at(listed(case, (14, 32, 50, 68, 86)), 45, part=2)
    assert (inch(piece.finished), piece.left, piece.right) == (10, "turned up", "male")
    assert (inch(piece.rip), piece.made) == (F("12.25"), "ripped")
    assert inch(piece.length) == 30 + 2 + 2


@pytest.mark.parametrize("curb, beside", [(make_curb(inches(50), across=inches(36)), None),
                                          (make_curb(inches(50), across=inches(24)), 6)])
def test_a_curb_interrupts_panels_or_notches_them(curb: object, beside: int | None) -> None:
    # 36 wide: from seam 32 to seam 68. 24 wide: 38 to 62, 6 in run on beside it on either side.
    case = roof(curb, planes=(make_plane(),))  # type: ignore[arg-type]
    found = listed(case, (14, 32, 50, 68, 86))
    if beside is None:
        below, above = piece_at(found, 40), piece_at(found, 40, part=2)
        assert inch(below.length) == 85 + 1 + 2  # the curb stands from 85 to 115
        assert inch(above.length) == 85 + 2 + F("1.5")
        assert (below.upper[0].kind, above.lower[0].kind) == ("curb", "curb")
        assert (below.left, below.right) == ("female", "male")
        assert found.planes[0].pieces == 8
    else:
        piece = piece_at(found, 36)
        assert notched(piece) == [("C1", 85, 115, "left", beside)]
        assert inch(piece.length) == F("202.5") and found.planes[0].pieces == 6


def test_a_curb_within_a_panel_is_cut_out_of_it() -> None:
    curb = make_curb(inches(41), across=inches(10))
    piece = piece_at(listed(roof(curb, planes=(make_plane(),)), (14, 32, 50, 68, 86)), 40)
    assert notched(piece) == [("C1", 85, 115, "left", 4), ("C1", 85, 115, "right", 4)]
    assert piece.made == "full"
    assert piece.area == inches(1) ** 2 * (18 * 200 - 10 * 30)


def test_the_walls_of_a_ribbed_curb_are_where_its_seams_landed() -> None:
    curb = replace(make_curb(inches(50), across=inches("36 1/8")), detail="ribbed")
    case = roof(curb, planes=(make_plane(),))
    seams = (14, 32, 50, 68, 86)
    sliver = panel_list(case, laid(case, seams), 1)
    assert notched(piece_at(sliver, 20)) == [("C1", 85, 115, "left", 18 - F(1, 16))]
    found = panel_list(case, laid(case, seams, landed=(True, True)), 1)
    assert not piece_at(found, 20).notches and found.planes[0].pieces == 8


def test_what_is_left_between_a_wall_and_a_seam_just_beside_it_is_no_panel() -> None:
    curb = make_curb(inches(50), across=inches("35 7/8"))  # 1/16 short of the seams at 32 and 68
    case = roof(curb, planes=(make_plane(),))
    seams = (14, 32, 50, 68, 86)

    def within(land_tol: int) -> PanelList:
        return listed(replace(case, rules=replace(case.rules, land_tol=land_tol)), seams)

    sliver = within(inches("1/16") - 1)
    assert notched(piece_at(sliver, 40)) == [("C1", 85, 115, "left", F(1, 16))]
    assert (sliver.planes[0].pieces, within(inches("1/16")).planes[0].pieces) == (6, 8)


def test_above_a_close_curb_panels_lie_across() -> None:
    # 20 wide at 50: from 40 to 60; the seams beside it stand at 32 and 68. Its upper edge is at
    # 115, the ridge at 200: 85 / 18 = 4.7, so five; 36 between, 1 1/4 + 1 1/2 for the legs.
    curb = replace(make_curb(inches(50)), detail="close")
    case = roof(curb, planes=(make_plane(),))
    found = listed(case, (14, 32, 50, 68, 86))
    across = found.planes[0].across
    assert [(one.name, one.curb, one.count, inch(one.between), inch(one.length)) for one in across
            ] == [("S-6", "C1", 5, 36, F("38.75"))]
    assert (across[0].left, across[0].right) == ("female", "male")
    assert inch(across[0].width) == F("20.75")
    left = piece_at(found, 36)
    assert inch(left.length) == 115 + 1 + 6  # laps under those across
    assert notched(left) == [("C1", 85, 115, "left", 8)]
    assert {cut.kind for cut in left.upper} == {"across", "curb"}
    assert found.planes[0].pieces == 6 + 5
    assert found.roof == inches(1) ** 2 * (100 * 200 - 20 * 30)
    # One seam is beside it only: at the other side they lie up to the rake.
    wide = replace(curb, x=inches(87), across=inches(20))  # 77 to 97; seams at 68 and none
    ends = listed(roof(wide, planes=(make_plane(),)), (14, 32, 50, 68, 86)).planes[0].across[0]
    assert (inch(ends.between), ends.right, inch(ends.length)) == (32, "turned up", F("34.5"))
    # Right up to the ridge there is nothing to lay across.
    high = replace(curb, y=inches(185))
    assert not listed(roof(high, planes=(make_plane(),)), (14, 32, 50, 68, 86)).planes[0].across


def test_half_ticks_of_a_curb_do_no_harm() -> None:
    curb = replace(make_curb(inches(50), across=inches(36) + 1), along=inches(30) + 1)
    found = listed(roof(curb, planes=(make_plane(),)), (14, 32, 50, 68, 86))
    area = sum(piece.area for mark in marks(found) for piece in mark.pieces)
    assert area == found.roof == inches(100) * inches(200) - curb.across * curb.along


def test_totals_add_up() -> None:
    found = listed(three(width=64), (14, 32, 50))
    assert found.roof == inches(64) * inches(200)
    flat = F("16.25") + 2 * F("20.75") + F("16.5")
    assert found.metal == inches(1) ** 2 * flat * F("202.5")
    assert found.pieces == 4


def test_without_a_sheet_the_usual_one_counts() -> None:
    case = make_case()
    assert sheet_of(case).female == inches("1 1/2") and not sheet_of(case).given
    metric = replace(case, units="mm")
    assert (sheet_of(metric).male, sheet_of(metric).wall_up) == (mm(32), mm(50))
    assert sheet_of(replace(case, sheet=SHEET)) is SHEET


def test_cuts_for_the_stock_plan() -> None:
    found = listed(roof(planes=(shaped(*TRIANGLE),)), (9, 27, 45, 63))
    first, second, third, fourth, last = cuts_of(found)
    assert (first.keeps, second.keeps, last.keeps) == ("male", "both", "female")
    assert (first.head, second.head, third.head, fourth.head) == (
        inches(12), inches(24), None, -inches(24))  # as much higher at the right, or lower
    assert (second.foot, second.length, second.width, second.turned) == (
        0, inches("38 3/4"), inches(18), False)
    mirrored = replace(shaped(*TRIANGLE), lay="right-to-left")
    turned = cuts_of(listed(roof(planes=(mirrored,)), (9, 27, 45, 63)))
    assert all(cut.turned for cut in turned) and turned[0].head == -inches(12)
    assert cuts_of(listed(three(start=inches(50), width=84), (14, 32, 50, 68)))[2].flat == inches(
        "20 1/2")
    valley = shaped((0, 0, "valley"), (18, 18, "rake"), (18, 60, "ridge"), (0, 60, "rake"))
    assert cuts_of(listed(roof(planes=(valley,)), ()))[0].foot == inches(18)


def test_pipes_cut_nothing_from_the_list() -> None:
    plain = listed(three(), (14, 32))
    piped = listed(roof(make_pipe(inches(20)), planes=three().planes), (14, 32))
    assert piped.planes == plain.planes
