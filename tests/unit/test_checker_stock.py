"""Sheets in the ranking, and the money of what came with outlines; areas by hand.

A pan of 18 in takes 18 + 1 1/4 + 1 1/2 = 20 3/4 in of sheet. Areas are exact: 1 ft = 12 in.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from solver.case import Case, Plane, Rate
from solver.checker.judge import judge
from solver.checker.order import HEAD_NAMES
from solver.layout import Layout, Odd
from solver.result import COUNT_NAMES, Cost, Judged
from tests.unit.builders import (
    HIP,
    USUAL_RATES,
    inches,
    look,
    make_case,
    make_centre,
    make_curb,
    make_hole,
    make_outline,
    make_outlined,
    make_plane,
    make_sheet,
    mm,
)

RATES = replace(
    USUAL_RATES, each={**USUAL_RATES.each, "area": Rate(Decimal(0), Decimal("4.25"), True)}
)


def sheets(*planes: Plane, **more: object) -> Case:
    more = {"rates": RATES, "sheet": make_sheet(), **more}
    return make_case(planes=planes, **more)  # type: ignore[arg-type]


def stock(judged: Judged) -> int:
    assert judged.cost.stock == 425 * judged.counts[COUNT_NAMES.index("stock")]
    return judged.counts[COUNT_NAMES.index("stock")]


def test_a_rectangle_to_the_square_inch() -> None:
    # Six panels of 200 in, ends of 14: 14 + 14 + 2 is more than 18, so six sheets:
    # 6 x 200 x 20 3/4 = 24900 sq in = 172.92 sq ft: 173 begun.
    judged = look(sheets(make_plane()))
    assert stock(judged) == 173
    assert judged.cost == Cost(flashing=0, moves=0, odd_panels=0, look=0, stock=173 * 425)
    assert judged.cost.total == judged.cost.stock == judged.order[0]
    assert judged.order[12] == 173


def test_a_square_foot_is_begun_by_a_tick() -> None:
    # Sheets of 18 in (no legs) and 40 in: 6 x 18 x 40 = 4320 sq in = 30 sq ft just so.
    bare = make_sheet(male=0, female=0)
    for length, feet in ((inches(40) - 1, 30), (inches(40), 30), (inches(40) + 1, 31)):
        assert stock(look(sheets(make_plane(length=length), sheet=bare))) == feet


@pytest.mark.parametrize(("width", "feet"), [("88", 25), ("88 1/16", 30), ("87 15/16", 25)])
def test_one_sheet_makes_both_ends_to_the_mark(width: str, feet: int) -> None:
    # First 8, five seams, last 8: 8 + 8 + 2 x 1 = 18 fits just so: five sheets of 5 sq ft for six
    # panels; a sixteenth more is a sheet more.
    plane = make_plane(width=inches(width), length=inches(40))
    bare = make_sheet(male=0, female=0)
    assert stock(look(sheets(plane, sheet=bare), first=inches(8))) == feet
    both_ways = replace(plane, lay="from", start=inches(8))
    judged = judge(sheets(both_ways, sheet=bare), Layout((0,), ()))
    assert stock(judged) == 30  # from a line the two ends keep the same leg


def test_a_single_panel_takes_a_sheet() -> None:
    plane = make_plane(width=inches(6), length=inches(40))
    bare = make_sheet(male=0, female=0)
    assert stock(look(sheets(plane, sheet=bare), first=inches(6))) == 5


def test_a_hip_plane() -> None:
    # Panels of 14, 32, 40, 40, 32 and 14 in: 172 in of 20 3/4 = 3569 sq in = 24.78 sq ft.
    assert stock(look(sheets(make_outlined(HIP)))) == 25
    # First 6, seams at 24, 42, 60, 78 and 96, last 4: lengths 6, 24, 40, 40, 40, 22 and 4. One
    # sheet makes both ends (6 + 4 + 2 in) and is as long as the longer of them, so 172 in again;
    # with a sheet for each end it would be 176 in, 25.36 sq ft.
    assert stock(look(sheets(make_outlined(HIP)), first=inches(6))) == 25


def test_an_l_shaped_plane_and_a_dormer() -> None:
    # 50, 50, 50 and 90, 90, 90 in: 420 x 18 / 144 = 52.5.
    outline = make_outline(
        (0, 0, "eave"), (100, 0, "rake"), (100, 90, "ridge"), (60, 90, "wall"), (60, 50, "ridge"),
        (0, 50, "rake"),
    )  # fmt: skip
    bare = make_sheet(male=0, female=0)
    assert stock(look(sheets(make_outlined(outline), sheet=bare))) == 53
    # The opening of a dormer comes out of the sheet: nothing is saved.
    hole = make_hole((70, 20), (85, 20), (85, 40), (70, 40))
    assert stock(look(sheets(make_outlined(outline, holes=(hole,)), sheet=bare))) == 53
    # Nor by one that leaves 3 in at the eave and 5 in at the ridge of a whole panel.
    deep = make_hole((30, 3), (52, 3), (52, 45), (30, 45))
    assert stock(look(sheets(make_outlined(outline, holes=(deep,)), sheet=bare))) == 53


def test_the_sheet_of_both_ends_is_as_long_as_the_longer() -> None:
    # Ends of 8 and 8 in, 50 and 90 in long; between them 50, 50, 90 and 90: 370 x 18 / 144 = 46.25.
    outline = make_outline(
        (0, 0, "eave"), (88, 0, "rake"), (88, 90, "ridge"), (60, 90, "wall"), (60, 50, "ridge"),
        (0, 50, "rake"),
    )  # fmt: skip
    bare = make_sheet(male=0, female=0)
    assert stock(look(sheets(make_outlined(outline), sheet=bare), first=inches(8))) == 47


def test_odd_panels_take_a_full_sheet() -> None:
    # 16, 18, 12, 18, 18, 18: six sheets of 5 sq ft.
    case = sheets(make_plane(length=inches(40)), sheet=make_sheet(male=0, female=0), odd_panels=1)
    judged = judge(case, Layout((inches(16),), (), (Odd(0, 3, inches(12)),)))
    assert stock(judged) == 30


def test_planes_are_rounded_one_by_one() -> None:
    # 18 x 82 in = 10.25 sq ft, 11 begun, on either plane: 22, where both together take 20.5.
    bare = make_sheet(male=0, female=0)
    planes = tuple(make_plane(id, width=inches(18), length=inches(82)) for id in ("S", "N"))
    assert stock(look(sheets(*planes, sheet=bare), first=inches(18))) == 22


def test_metric_cases_count_tenths_of_a_square_metre() -> None:
    # Three panels of 500 x 1000 mm (first 500): 1.5 sq m = 15 tenths; a tick longer 16.
    for length, tenths in ((mm(1000), 15), (mm(1000) + 1, 16)):
        case = sheets(
            make_plane(width=mm(1500), length=length), units="mm", mark=mm(1), cover=mm(500),
            sheet=make_sheet(male=0, female=0), min_end=mm(100), uneven_free=mm(50),
        )  # fmt: skip
        assert stock(look(case, first=mm(500))) == tenths


def test_without_the_rate_no_sheets_are_counted() -> None:
    judged = look(make_case(sheet=make_sheet()))
    assert (judged.counts[-1], judged.cost.stock) == (0, 0)


def test_the_order_with_everything() -> None:
    # A missed pan (4 in off), both walls of a ribbed curb bare (from 37 to 45: clear of 32 and 50
    # by 5: margin -1, crowded), six sheets.
    case = sheets(
        make_plane(length=inches(40)), sheet=make_sheet(male=0, female=0),
        centres=(make_centre(inches(45)),),
    )  # fmt: skip
    case = replace(
        case,
        penetrations=(make_curb(inches(41), across=inches(8), y=inches(20), detail="ribbed"),),
    )
    judged = look(case)
    assert judged.cost == Cost(
        flashing=26000 + 2 * 26000, moves=0, odd_panels=0, look=5000, stock=30 * 425
    )
    assert dict(zip(HEAD_NAMES, judged.order, strict=False)) == {
        "total": judged.cost.total,
        "on-seam": 0, "seams_cut": 0, "crosses": 0, "tight": 0, "crowded": 1, "moved": 0,
        "links_missed": 0, "off_centre": 1, "unlanded": 2, "odd_panels": 0, "uneven": 0,
        "stock": 30, "stretches altered": 0, "shortfall": 0, "distance": 0,
        "narrowest end, negative": -inches(14), "odd widths, negative": 0,
        "odd panel to the next, negative": 0, "odd panels to the start": 0, "sizes of changes": 0,
    }  # fmt: skip
