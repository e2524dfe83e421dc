"""End laps: how many lengths, how long, and what a lap keeps away from (figures in inches)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.case import Penetration
from solver.case_parts import Hole
from solver.panels.cuts import cuts_of
from solver.panels.laps import lengths_needed
from solver.panels.parts import PanelPiece
from tests.unit.builders import inches, make_curb, make_pipe, make_plane
from tests.unit.panel_cases import SHEET, inch, listed, outline, piece_at, roof, shaped

F = Fraction


def panel(longest: int, *pens: Penetration, length: int = 200) -> PanelPiece:
    """The second panel (14 to 32) of a plane; 200 + 2 1/2 in allowances, laps of 6."""
    sheet = replace(SHEET, max_length=inches(longest))
    plane = make_plane(length=inches(length))
    return piece_at(listed(roof(*pens, planes=(plane,), sheet=sheet), (14, 32, 50, 68, 86)), 20)


def test_a_panel_that_can_be_made_has_no_lap() -> None:
    assert panel(203).laps == () and panel(203).lengths == (panel(203).length,)


def test_the_lap_is_added_and_lengths_are_equal() -> None:
    piece = panel(150)
    assert [inch(length) for length in piece.lengths] == [F("104.25")] * 2  # (202.5 + 6) / 2
    # It begins where the upper length does: 202.5 - 104.25 from the lower end, which is 1 below 0.
    assert [inch(lap.y) for lap in piece.laps] == [F("98.25") - 1]
    three = panel(75)
    assert [inch(length) for length in three.lengths] == [F("71.5")] * 3  # (202.5 + 12) / 3
    assert [inch(lap.y) for lap in three.laps] == [F("64.5"), F("130")]


@given(length=st.integers(1, 3000), longest=st.integers(10, 400), lap=st.integers(0, 9))
def test_as_few_lengths_as_will_do(length: int, longest: int, lap: int) -> None:
    count = lengths_needed(F(length), longest, lap)
    assert count * longest - (count - 1) * lap >= length
    assert count == 1 or (count - 1) * longest - (count - 2) * lap < length


def test_a_lap_is_shifted_off_a_flashing() -> None:
    # A base of 8 in at 100: 96 to 104. A lap of 6 keeps 6 away: it begins at or below 84, or at or
    # above 110; from 97 1/4 the nearer is 110.
    piece = panel(150, make_pipe(inches(23), y=inches(100)))
    assert [(inch(lap.y), inch(lap.shifted), lap.near) for lap in piece.laps] == [
        (110, F("12.75"), ())]
    assert [inch(length) for length in piece.lengths] == [117, F("91.5")]
    assert sum(piece.lengths) == piece.length + inches(6)
    # In the next pan, not reaching this one, it does not matter.
    other = panel(150, make_pipe(inches(41), y=inches(100)))
    assert other.laps == panel(150).laps
    # A pipe that reaches over the seam matters in both.
    both = panel(150, make_pipe(inches(33), y=inches(100)))
    assert inch(both.laps[0].y) == 110


def test_where_a_lap_cannot_be_kept_off_it_says_so() -> None:
    # No longer than 106: it begins between 95.5 and 99 (202.5 - 106 - 1, 106 - 6 - 1).
    piece = panel(106, make_pipe(inches(23), y=inches(100)))
    assert [(lap.near, lap.shifted) for lap in piece.laps] == [(("V1",), 0)]


@pytest.mark.parametrize("y, begins", [(103, F(87)), (102, F(86))])
def test_just_far_enough_is_far_enough(y: int, begins: Fraction) -> None:
    # A lap at 97 1/4 must be below y - 4 - 12 or above y + 4 + 6.
    piece = panel(150, make_pipe(inches(23), y=inches(y)))
    assert inch(piece.laps[0].y) in (begins, F(y + 10))
    assert not piece.laps[0].near
    exactly = panel(150, make_pipe(inches(23), y=inches("113 1/4")))
    assert exactly.laps[0].shifted == 0
    a_tick_nearer = panel(150, make_pipe(inches(23), y=inches("113 1/4") - 1))
    assert a_tick_nearer.laps[0].shifted == -1


def test_a_curb_that_notches_a_panel_counts_with_its_own_size() -> None:
    # 24 wide at 38: from 26 on, 85 to 115: below 73 or above 121.
    curb = make_curb(inches(38), across=inches(24))
    assert inch(panel(150, curb).laps[0].y) == 121
    assert inch(panel(150, replace(curb, y=inches(97))).laps[0].y) == F(118)


def test_a_lap_keeps_off_a_dormer_that_notches_its_panel() -> None:
    # Cut out from 25 on between 80 and 110: a lap begins at or below 68, or from 116 on.
    dormer = Hole("dormer", outline((25, 80, "wall"), (60, 80, "wall"), (60, 110, "wall"),
                                    (25, 110, "wall")))
    plane = shaped((0, 0, "eave"), (100, 0, "rake"), (100, 200, "ridge"), (0, 200, "rake"),
                   holes=(dormer,))
    sheet = replace(SHEET, max_length=inches(150))
    found = listed(roof(planes=(plane,), sheet=sheet), (14, 32, 50, 68, 86))
    assert [inch(lap.y) for lap in piece_at(found, 20).laps] == [116]
    assert [inch(lap.y) for lap in piece_at(found, 10).laps] == [F("97.25")]


def test_one_shift_may_push_the_next_lap() -> None:
    # Lengths up to 75: laps begin at 64.5 and 130; 68 at most for the first (75 - 6 - 1).
    piece = panel(75, make_pipe(inches(23), y=inches(132)))
    low, high = (inch(lap.y) for lap in piece.laps)
    # The second must be below 116 or above 142: the last length would then be 85.5 or 59.5 long;
    # 142 needs a first lap at 73 or more (142 + 6 - 75), which is too long: neither will do.
    assert (low, high) == (F("64.5"), F(130)) and piece.laps[1].near == ("V1",)
    roomy = panel(90, make_pipe(inches(23), y=inches(132)))
    assert [inch(lap.y) for lap in roomy.laps] == [F("64.5"), F(142)]


def test_a_lap_keeps_out_of_a_slanting_end() -> None:
    # The hip falls from 140 to 60 over 18 in; laps begin below 60 - 6 + allowances or not at all.
    plane = shaped((0, 0, "eave"), (36, 0, "rake"), (36, 60, "ridge"), (18, 60, "hip"),
                   (0, 140, "rake"))
    sheet = replace(SHEET, max_length=inches(100))
    piece = piece_at(listed(roof(planes=(plane,), sheet=sheet), (18,)), 9)
    assert inch(piece.length) == F("142.75")
    assert inch(piece.laps[0].y) == 60 + F("1.75") - 6 and not piece.laps[0].bevel
    assert max(inch(length) for length in piece.lengths) <= 100
    short = replace(SHEET, max_length=inches(80))
    tight = piece_at(listed(roof(planes=(plane,), sheet=short), (18,)), 9)
    assert tight.laps[0].bevel


def test_each_length_is_a_cut_of_its_own() -> None:
    sheet = replace(SHEET, max_length=inches(75))
    plane = make_plane(length=inches(200))
    cuts = cuts_of(listed(roof(planes=(plane,), sheet=sheet), (14, 32, 50, 68, 86)))
    assert [(cut.mark, cut.count) for cut in cuts[3:6]] == [
        ("S-2/1", 4), ("S-2/2", 4), ("S-2/3", 4)]
    assert all(cut.length == inches("71 1/2") for cut in cuts)


def test_a_kilometre_of_short_lengths_is_no_trouble() -> None:
    piece = panel(40, make_pipe(inches(23), y=inches(5000)), length=39_000)
    assert len(piece.lengths) == lengths_needed(piece.length, inches(40), inches(6))
    assert sum(piece.lengths) == piece.length + inches(6) * len(piece.laps)
    assert max(piece.lengths) <= inches(40)
