"""Quantities of the take-off against hand arithmetic and closed forms.

The plane of the builders: 100 in wide and 200 in long, covers of 18 in; with a first width of 14 in
the seams stand at 14, 32, 50, 68 and 86 in and the last width is 14 in.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import sqrt

import pytest

from solver.case import Case, Plane
from solver.case_parts import Hole, Outline, Pitch
from solver.checker.judge import judge
from solver.layout import Layout, Odd
from solver.panels.laps import lengths_needed
from solver.panels.list import panel_list
from solver.shape.edges import edges_of
from solver.takeoff.lines import take_off
from solver.takeoff.seams import clips_along, on_roof
from tests.unit.builders import (
    USUAL_RATES,
    inches,
    look,
    make_case,
    make_curb,
    make_pipe,
    make_plane,
    mm,
)
from tests.unit.takeoff_cases import SHEET, counted, priced

FT = inches(12)


def of(case: Case, first: int | None = None) -> dict[str, Decimal]:
    case = priced(case) if case.sheet is None else case
    return counted(take_off(case, look(case, first=first)))


def test_a_plain_slope() -> None:
    found = of(make_case())
    # 6 panels x 20.75 in x 200 in = 24 900 sq in = 172.9 sq ft
    assert found["Panels, area of sheets"] == 173
    assert found["Sheets, number"] == 6
    # 200 in / 24 in = 8.3: 9 spaces, 10 clips on each of 5 seams
    assert found['Clips at 24"'] == 50
    assert found["Fasteners, 2 a clip"] == 100
    assert found["Eave, along the slope"] == Decimal("8.3")  # 100 / 12 = 8.33
    assert found["Ridge, along the slope"] == Decimal("8.3")
    assert found["Rake, along the slope"] == Decimal("33.3")  # 400 / 12 = 33.33
    assert found["Closures, eave, ridge, hip"] == Decimal("16.6")
    assert "End laps" not in found


def test_metric_units() -> None:
    plane = replace(make_plane(), width=mm(2500), length=mm(5000))
    case = priced(make_case(planes=(plane,), units="mm", cover=mm(500), mark=mm(1)), sheet=replace(
        SHEET, male=mm(32), female=mm(38), clip_spacing=mm(600)))
    found = counted(take_off(case, judge(case, Layout((mm(500),), ()))))
    # 5 x 0.57 m x 5 m = 14.25 m2, to the next tenth
    assert found["Panels, area of sheets"] == Decimal("14.3")
    # 5000 / 600 = 8.3: 10 clips on each of 4 seams
    assert found["Clips at 600 mm"] == 40
    assert found["Rake, along the slope"] == Decimal("10")
    assert found["Closures, eave, ridge, hip"] == Decimal("5")


@pytest.mark.parametrize(("length", "clips"), [(0, 1), (1, 2), (24, 2), (25, 3), (192, 9)])
def test_clips_stand_at_both_ends_and_no_farther_apart(length: int, clips: int) -> None:
    assert clips_along(Fraction(inches(length)), inches(24)) == clips


def test_one_sheet_makes_both_ends_where_they_and_their_turn_ups_fit() -> None:
    # 8 + 5 x 18 + 8 = 106 in; 8 + 8 + 2 = 18 in, just the cover: 7 panels, 6 sheets
    for more, sheets in ((0, 6), (2, 7)):
        plane = make_plane(width=inches(106) + more)
        found = of(make_case(planes=(plane,)), inches(8))
        assert found["Sheets, number"] == sheets
        # 6 x 20.75 x 200 / 144 = 172.9; 7 x 20.75 x 200 / 144 = 201.7 sq ft
        assert found["Panels, area of sheets"] == (173 if sheets == 6 else 202)


def test_a_plane_laid_both_ways_shares_no_sheet() -> None:
    plane = make_plane(width=inches(106), start=inches(44))
    case = priced(make_case(planes=(plane,)))
    judged = judge(case, Layout((inches(8),), ()))
    assert judged.planes[0].seams[0] == inches(8)
    assert counted(take_off(case, judged))["Sheets, number"] == 7


def test_the_sheet_of_an_odd_panel_is_in_its_rate() -> None:
    # 14, 18, 10, 18, 18, 18, 4 in: 6 sheets and one for the odd panel: 28.8 sq ft
    layout = Layout((inches(14),), (), (Odd(0, 3, inches(10)),))
    case = priced(make_case(odd_panels=1))
    found = counted(take_off(case, judge(case, layout)))
    assert found["Panels, area of sheets"] == 173
    assert found["Sheets of odd panels"] == 29
    assert found["Sheets, number"] == 7
    free = replace(USUAL_RATES.each["odd_panel"], material=Decimal(0))
    rates = replace(USUAL_RATES, each=USUAL_RATES.each | {"odd_panel": free})
    found = counted(take_off(replace(case, rates=rates), judge(replace(case, rates=rates), layout)))
    assert found["Panels, area of sheets"] == 173 + 29
    assert "Sheets of odd panels" not in found


@pytest.mark.parametrize(("length", "laps"), [(240, 0), (241, 1), (474, 1), (475, 2), (708, 2)])
def test_sheets_lapped_by_six_inches(length: int, laps: int) -> None:
    # n sheets of 240 in reach n x 240 - (n - 1) x 6 in: 240, 474, 708
    assert lengths_needed(Fraction(inches(length)), inches(240), inches(6)) == 1 + laps


def test_panels_longer_than_can_be_made_are_lapped() -> None:
    # 200 in + 1 in hook + 1 1/2 in turn-up = 202 1/2 in; two of 104 1/4 in lapped 6 in make that
    for most, laps in (("202 1/2", 0), (202, 6), (150, 6), ("104 1/4", 6), (104, 12), (80, 12)):
        case = priced(make_case(), sheet=replace(SHEET, max_length=inches(most)))
        found = of(case)
        assert found.get("End laps", 0) == laps
        assert found["Sheets, number"] == 6 + laps


def test_panels_that_a_curb_parts_need_no_lap() -> None:
    # 30 to 70 in: the panels from 32 to 50 and 50 to 68 in end at it, 85 in below and above
    case = priced(make_case(make_curb(inches(50), across=inches(40))),
                  sheet=replace(SHEET, max_length=inches(150)))
    assert of(case)["End laps"] == 4


@pytest.mark.parametrize(("across", "most", "laps"), [
    # A ribbed curb from 32 1/8 to 67 7/8 in, its seams 1/8 in beside its walls, parts the panels
    # from 32 to 50 and 50 to 68 in like one that reaches them: 4 long panels are left.
    ("35 3/4", 150, 4),
    # Above and below a curb 85 in of roof, a hook or turn-up of 1 or 1 1/2 in, and 2 in at the
    # curb: 88 and 88 1/2 in. With at most 88 in the 2 upper ones are lapped, with 87 in all 4.
    (36, "88 1/2", 4 * 2), (36, 88, 4 * 2 + 2), (36, 87, 4 * 2 + 4),
])
def test_the_laps_are_those_of_the_panel_list(
    across: str | int, most: str | int, laps: int
) -> None:
    curb = replace(make_curb(inches(50), along=inches(30), across=inches(across)), detail="ribbed")
    case = priced(make_case(curb), sheet=replace(SHEET, max_length=inches(most)))
    case = replace(case, rules=replace(case.rules, land_tol=inches("1/8")))
    judged = look(case, first=inches(14))
    listed = panel_list(case, judged, 1)
    assert sum(len(piece.laps) for plane in listed.planes for mark in plane.marks
               for piece in mark.pieces) == laps
    assert counted(take_off(case, judged))["End laps"] == laps


def test_a_seam_stops_at_a_curb() -> None:
    # the curb cuts the seam at 50 in from 50 to 150 in: 50 in twice, 4 clips each; 4 x 10 + 8
    found = of(make_case(make_curb(inches(50), along=inches(100))))
    assert found['Clips at 24"'] == 48
    assert found['Curb 20" x 100"'] == 1
    assert found["Seam cut at a curb"] == 1


def test_a_curb_that_reaches_past_the_ridge_takes_what_is_on_the_roof() -> None:
    found = of(make_case(make_curb(inches(50), y=inches(190), along=inches(40))))
    assert found['Clips at 24"'] == 49  # 170 in: 8 spaces, 9 clips; and 4 x 10


def test_a_landed_seam_is_not_cut() -> None:
    # 68 - 32 = 36 in across: seams on both walls, that at 50 in cut
    curb = replace(make_curb(inches(50), across=inches(36), along=inches(100)), detail="ribbed")
    case = make_case(curb)
    case = replace(case, rules=replace(case.rules, land_tol=inches("1/8")))
    found = of(case)
    assert found["Seam cut at a curb"] == 1
    assert found['Clips at 24"'] == 48
    assert found['Curb 36" x 100", ribbed'] == 1


def test_boots_by_size_and_state_and_splices() -> None:
    # seams take 1/2 in, the base is 8 in, the gap 1/2 in: clear from 4 1/2 in of room, tight from
    # 4 in, crossing from 2 + 3/8 in
    case = make_case(
        make_pipe(inches(23), "A"), make_pipe(inches(41), "B"),
        make_pipe(inches("18 3/4"), "C", y=inches(20)), make_pipe(inches("17 1/2"), "D"),
        make_pipe(inches(50), "E"), make_pipe(inches(59), "F", outside=inches("2 3/8")),
        make_pipe(inches(68), "G", y=inches(10)),
    )
    case = replace(case, rules=replace(case.rules, split_below=inches(16)))
    found = of(case)
    assert found['Boot 4", in the flat'] == 2
    assert found['Boot 4", tight'] == found['Boot 4", crossing'] == 1
    assert found['Boot 4", on a seam'] == 2
    assert found['Boot 2 3/8", in the flat'] == 1
    assert found['Splice 20" long'] == 1  # 16 + 4 in
    assert found['Splice 12" long'] == 1  # from the eave to 10 + 2 in
    order = [name for name in found if name.startswith('Boot ') and '"' in name]
    assert order[0] == 'Boot 2 3/8", in the flat' and order[-1] == 'Boot 4", on a seam'


def test_a_cricket_above_every_wide_curb_and_every_curb_on_a_flat_slope() -> None:
    # wider than 600 mm, or below 10 degrees: NZ Metal Roof and Wall Cladding Code of Practice 8.3
    wide, edge, small = (
        make_curb(inches(50), "A", across=mm(600) + 2), make_curb(inches(50), "B", across=mm(600)),
        make_curb(inches(50), "C", across=inches(8), along=inches(16)),
    )
    assert of(make_case(wide, edge, small))["Crickets above curbs"] == 1
    for rise, crickets in (("2/12", 3), ("3/12", 1)):  # 9.5 and 14 degrees
        plane = replace(make_plane(), pitch=Pitch(rise, Fraction(rise)))
        found = of(make_case(wide, edge, small, planes=(plane,)))
        assert found["Crickets above curbs"] == crickets


def hip_end(run: int) -> Plane:
    """The hip end of a roof of 12 in 12: as wide as two runs, on the slope run x root 2 high."""
    top = round(run * sqrt(2))
    outline = Outline(((0, 0), (2 * run, 0), (run, top)), ("eave", "hip", "hip"))
    return replace(make_plane(), width=2 * run, length=top, outline=outline)


def test_hips_against_the_framing_square() -> None:
    # 20.78 in of hip for each foot of common run at 12 in 12: framing-square table, Griffith,
    # Carpentry, appendix IV (read); exactly 12 x root 3
    found = of(make_case(planes=(hip_end(100 * FT),)))
    assert float(found["Hip, along the slope"]) == pytest.approx(2 * 100 * 20.78 / 12, abs=0.14)
    assert found["Hip, along the slope"] == Decimal("346.4")  # 2 x 100 x root 3 = 346.41
    assert found["Eave, along the slope"] == 200
    assert found["Closures, eave, ridge, hip"] == Decimal("546.4")


def test_seams_on_a_hip_end_end_at_the_hips() -> None:
    plane = hip_end(10 * FT)
    edges = edges_of(plane)
    for x in (FT, 9 * FT, 10 * FT, 11 * FT, 19 * FT):
        ((low, high),) = on_roof(edges, x)
        assert low == 0
        assert float(high) == pytest.approx(min(x, 20 * FT - x) * sqrt(2), abs=1)


def test_seams_around_holes() -> None:
    square = Outline(((0, 0), (100, 0), (100, 200), (0, 200)), ("eave", "rake", "ridge", "rake"))
    box = Outline(((40, 50), (70, 50), (70, 90), (40, 90)), ("wall",) * 4)
    tip = Outline(((20, 150), (30, 140), (30, 160)), ("wall",) * 3)
    plane = replace(make_plane(), width=100, length=200, outline=square,
                    holes=(Hole("atrium", box), Hole("dormer", tip)))
    edges = edges_of(plane)
    assert on_roof(edges, 10) == [(0, 200)]
    assert on_roof(edges, 20) == [(0, 200)]  # touches the tip
    assert on_roof(edges, 25) == [(0, 145), (155, 200)]
    assert on_roof(edges, 30) == [(0, 140), (160, 200)]
    for x in (40, 55, 70):  # along a wall there is roof on one side only
        assert on_roof(edges, x) == [(0, 50), (90, 200)]


def test_holes_count_as_walls() -> None:
    square = Outline(((0, 0), (inches(100), 0), (inches(100), inches(200)), (0, inches(200))),
                     ("eave", "rake", "ridge", "rake"))
    box = Outline(tuple((inches(x), inches(y)) for x, y in ((40, 50), (60, 50), (60, 90), (40, 90))
                        ), ("wall",) * 4)
    plane = replace(make_plane(), outline=square, holes=(Hole("atrium", box),))
    found = of(make_case(planes=(plane,)))
    assert found["Wall, along the slope"] == 10  # 2 x (20 + 40) in
    # the seam at 50 in stops at 50 and at 90 in: 50 in and 110 in, 4 and 6 clips; 4 x 10 + 10
    assert found['Clips at 24"'] == 50
    assert found["Panels, area of sheets"] == 173


def test_nothing_is_made_up_where_the_case_has_no_sheet() -> None:
    case = make_case()
    found = counted(take_off(case, look(case)))
    assert not {"Sheets, number", 'Clips at 24"'} & set(found)
    assert found["Eave, along the slope"] == Decimal("8.3")
