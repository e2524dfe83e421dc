"""What may share a blank: legs, faces, widths, lengths, to the tick.

The rule for side by side (first + last + 2 turn-ups within the cover) and where the legs are is
common practice, no source. The refusals follow from geometry: half a turn keeps the direction of a
slant and swaps left and right; turning over shows the back.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.clock import Clock
from solver.errors import ChoiceError
from solver.stock.kinds import Sizes
from solver.stock.plan import Cut, StockPlan, plan_stock
from tests.unit.builders import inches, make_case
from tests.unit.stock_brute import WIDTH, look_over, make_sheet

FT = inches(12)
RISE = inches(17)


def planned(*cuts: Cut, stock: tuple[int, ...] = ()) -> StockPlan:
    plan = plan_stock(make_sheet(*stock), cuts, 20)
    look_over(plan, cuts, stock)
    assert plan.proven
    return plan


def male(width: int, length: int = 10 * FT) -> Cut:
    return Cut("first", length, width, "male")


def female(width: int, length: int = 10 * FT) -> Cut:
    return Cut("last", length, width, "female")


def hip(mark: str, head: int, *, turned: bool = False, length: int = 10 * FT) -> Cut:
    return Cut(mark, length, inches(18), head=head, turned=turned)


def test_first_and_last_share_a_sheet_where_they_fit() -> None:
    """8 + 8 + two turn-ups of 1 in fill the cover of 18 in exactly."""
    plan = planned(male(inches(8)), female(inches(8)))
    assert plan.length == 10 * FT and plan.sheets == 1
    (blank,) = plan.blanks
    assert blank.how == "side by side"
    left, right = blank.parts
    assert (left.mark, left.left, left.right) == ("last", 0, inches("10 1/2"))
    assert (right.mark, right.left, right.right) == ("first", inches("10 1/2"), WIDTH)


def test_one_tick_more_and_they_do_not_fit() -> None:
    assert planned(male(inches(8) + 1), female(inches(8))).length == 20 * FT
    assert planned(male(inches(8) - 1), female(inches(8))).length == 10 * FT


@pytest.mark.parametrize("keeps", ["male", "female"])
def test_a_leg_serves_once(keeps: str) -> None:
    alike = Cut("A", 10 * FT, inches(4), keeps, count=2)  # type: ignore[arg-type]
    assert planned(alike).length == 20 * FT


def test_a_drop_is_used_only_where_it_is_long_enough() -> None:
    """The blank is as long as the longer piece; what the shorter leaves is waste."""
    plan = planned(male(inches(8), 6 * FT), female(inches(8), 10 * FT))
    assert plan.length == 10 * FT
    stock = planned(male(inches(8), 6 * FT), female(inches(8), 10 * FT + 1), stock=(10 * FT + 1,))
    assert stock.sheets == 1


def test_a_plane_laid_the_other_way_gives_ripped_pieces_too() -> None:
    """Turned end for end they have their legs where the sheet has them."""
    turned = replace(female(inches(8)), turned=True)
    assert planned(male(inches(8)), turned).length == 10 * FT


def test_pieces_without_legs_share_what_is_between_the_legs() -> None:
    strip = Cut("strip", 10 * FT, inches(7), "none", count=2)  # 7 + 7 + 4 turn-ups
    assert planned(strip).length == 10 * FT
    assert planned(replace(strip, width=inches(7) + 1)).length == 20 * FT
    assert planned(male(inches(8)), replace(strip, count=1)).length == 10 * FT
    assert planned(female(inches(8)), replace(strip, count=1)).length == 10 * FT


def test_full_pans_share_with_nobody_side_by_side() -> None:
    narrow = Cut("odd", 10 * FT, inches(4))
    assert planned(narrow, female(inches(4))).length == 20 * FT


def test_the_same_hip_of_planes_laid_opposite_ways_shares_a_bevel() -> None:
    """The left hips of the two slopes of a ridge; each is 10 ft with a bevel of 17 in."""
    plan = planned(hip("S", RISE), hip("N", RISE, turned=True))
    assert plan.length == 20 * FT - RISE
    low, high = plan.blanks[0].parts
    assert plan.blanks[0].how == "end to end"
    assert (low.mark, high.mark) == ("S", "N")
    assert high.low == 10 * FT - RISE and high.turned


@pytest.mark.parametrize(
    "a, b",
    [
        (hip("left", RISE), hip("right", -RISE)),  # one plane: legs, or face down
        (hip("left", RISE), hip("left too", RISE)),  # one plane: legs
        (hip("left", RISE), hip("right", -RISE, turned=True)),  # slants cross
        (hip("left", RISE), hip("square", 0)),
        (hip("left", RISE), replace(hip("peak", 0, turned=True), head=None)),
        (hip("left", RISE), replace(hip("narrow", RISE, turned=True), width=inches(17))),
        (hip("left", RISE), replace(hip("re-formed", RISE, turned=True), flat=WIDTH)),
        (replace(hip("left", RISE), keeps="male", width=inches(12)),
         replace(hip("N", RISE, turned=True), keeps="male", width=inches(12))),
    ],
)  # fmt: skip
def test_bevels_that_do_not_pair(a: Cut, b: Cut) -> None:
    assert planned(a, b).length == 20 * FT


def test_a_hip_and_a_valley_that_rise_the_same_way_pair_in_one_plane() -> None:
    valley = Cut("V", 10 * FT, inches(18), foot=RISE)
    plan = planned(hip("H", RISE), valley)
    assert plan.length == 20 * FT - RISE
    assert plan.blanks[0].marks == ("H", "V")
    assert planned(hip("H", RISE), replace(valley, foot=-RISE)).length == 20 * FT
    assert planned(hip("H", RISE), replace(valley, turned=True)).length == 20 * FT


def test_a_piece_whose_other_end_is_no_straight_cut_pairs_at_the_end_that_is() -> None:
    peak = Cut("peak", 10 * FT, inches(18), foot=RISE, head=None)
    assert planned(hip("H", RISE), peak).length == 20 * FT - RISE


def test_of_two_angles_the_smaller_rise_is_saved_in_whole_ticks() -> None:
    steep = hip("N", 2 * RISE, turned=True)
    assert planned(hip("S", RISE), steep).length == 20 * FT - RISE
    third = replace(hip("S", RISE), head=Fraction(100, 3))
    assert planned(third, steep).length == 20 * FT - 33


def test_a_bevel_longer_than_the_piece_is_no_straight_bevel() -> None:
    stub = replace(hip("N", RISE, turned=True), length=RISE - 1)
    assert planned(hip("S", RISE), stub).length == 10 * FT + RISE - 1
    assert planned(hip("S", RISE), replace(stub, length=RISE)).length == 10 * FT


def test_a_pair_too_long_for_the_stock_is_not_made() -> None:
    two = hip("S", RISE), hip("N", RISE, turned=True)
    fits = 20 * FT - RISE
    assert planned(*two, stock=(10 * FT, fits)).length == fits
    assert planned(*two, stock=(10 * FT, fits - 1)).length == 20 * FT


def test_what_the_stock_does_decides_who_shares() -> None:
    """Two 5 ft pieces lie behind one another in 10 ft; the 10 ft piece needs its own anyway."""
    cuts = (male(inches(8), 5 * FT), female(inches(8), 5 * FT), Cut("full", 5 * FT, inches(18)))
    plan = planned(*cuts, stock=(10 * FT,))
    assert plan.sheets == 1 and plan.length == 10 * FT


def test_a_piece_wider_than_the_sheet_is_said() -> None:
    wide = Cut("wide", 10 * FT, inches(18) + 1)
    first = male(inches("18 1/2"))  # its turn-up is of the leg's metal
    wider = replace(first, mark="wider", width=first.width + 1)
    plan = planned(wide, first, wider, stock=(10 * FT,))
    assert plan.wider == ("wide", "wider") and plan.sheets == 3
    assert planned(first).wider == ()


def test_a_piece_longer_than_the_stock_is_said_and_left_out() -> None:
    plan = plan_stock(
        make_sheet(10 * FT), [Cut("long", 10 * FT + 1, inches(18)), Cut("A", FT, inches(18))], 20
    )
    assert plan.longer == ("long",)
    assert [blank.marks for blank in plan.blanks] == [("A",)]


def test_nothing_to_cut() -> None:
    for cuts in ([], [Cut("A", FT, inches(18), count=0)]):
        plan = plan_stock(make_sheet(10 * FT), cuts, 20)
        assert (plan.length, plan.bound, plan.blanks, plan.stock) == (0, 0, (), ())
        assert plan.proven and plan.waste == plan.weight_lb == 0


@pytest.mark.parametrize("bad", [{"length": 0}, {"width": 0}, {"count": -1}])
def test_what_no_piece_can_be(bad: dict[str, int]) -> None:
    with pytest.raises(ValueError, match="cut A"):
        Cut("A", **{"length": 1, "width": 1, **bad})  # type: ignore[arg-type]


def test_a_case_without_a_sheet() -> None:
    with pytest.raises(ChoiceError, match="sheet"):
        plan_stock(make_case(), [Cut("A", FT, inches(18))], 20)


def test_area_weight_and_waste_by_hand() -> None:
    """12 ft of coil 20 3/4 in wide: 20.75 ft2 = 1.92773 m2; 1/64 in of steel of 7850 kg/m3.

    The bevel of 17 in over 18 in takes 153 in2 off 2988.
    """
    plan = planned(hip("A", RISE, length=12 * FT))
    assert plan.area_ft2 == pytest.approx(20.75)
    assert plan.area_m2 == pytest.approx(20.75 * 0.3048**2)
    assert plan.weight_kg == pytest.approx(20.75 * 0.3048**2 * 0.0254 / 64 * 7850)
    assert plan.weight_lb == pytest.approx(plan.weight_kg / 0.45359237)
    assert plan.waste == pytest.approx(100 * 153 / 2988)
    assert planned(Cut("A", 12 * FT, inches(18))).waste == 0


def test_without_time_there_is_still_a_plan_and_a_bound() -> None:
    cuts = [Cut(f"P{n}", inches(30 + 7 * n), inches(18), count=9) for n in range(20)]
    stopped = Clock()
    stopped.stop()
    for stock in ((), (20 * FT,)):
        for plan in (
            plan_stock(make_sheet(*stock), cuts, 0.0),
            plan_stock(make_sheet(*stock), cuts, 20, stopped),
        ):
            look_over(plan, cuts, stock)


def test_the_plan_is_the_same_again() -> None:
    cuts = [Cut(f"P{n}", inches(30 + 7 * n), inches(18), count=9) for n in range(20)]
    case = make_sheet(16 * FT, 20 * FT)
    assert plan_stock(case, cuts, 60) == plan_stock(case, cuts, 60)


def test_the_sheet_of_a_pan() -> None:
    """1 in seam: 24 in sheet makes pans of 21 1/4 in (copper handbook, read)."""
    assert Sizes(inches("21 1/4"), inches("1 1/4"), inches("1 1/2"), 0).width == inches(24)
