"""Any list of cuts: every one is delivered exactly, nothing overlaps, more never takes less."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.stock.plan import Cut, plan_stock
from tests.unit.builders import inches
from tests.unit.stock_brute import look_over, make_sheet

LENGTHS = st.integers(inches(5), inches(60))
RISES = st.integers(-inches(30), inches(30)) | st.sampled_from([0, inches(17), -inches(17)])


@st.composite
def cut_lists(draw: st.DrawFn) -> list[Cut]:
    cuts = []
    for n in range(draw(st.integers(1, 5))):
        length = draw(LENGTHS)
        foot, head = (r if abs(r) <= length else 0 for r in (draw(RISES), draw(RISES)))
        cuts.append(Cut(
            f"P{n}", length, draw(st.integers(1, inches(18)) | st.just(inches(18))),
            draw(st.sampled_from(["both", "male", "female", "none"])),
            draw(st.integers(0, 3)), foot, head, draw(st.booleans()),
        ))  # fmt: skip
    return cuts


STOCK = st.lists(st.integers(inches(60), inches(240)), max_size=3, unique=True).map(
    lambda lengths: tuple(sorted(lengths))
)


@settings(max_examples=40, deadline=None)
@given(cut_lists(), STOCK)
def test_every_cut_is_delivered_and_nothing_overlaps(
    cuts: list[Cut], stock: tuple[int, ...]
) -> None:
    plan = plan_stock(make_sheet(*stock), cuts, 20)
    look_over(plan, cuts, stock)
    assert 0 <= plan.waste <= 100
    alone = sum(cut.length * cut.count for cut in cuts)
    assert stock or plan.length <= alone


@settings(max_examples=20, deadline=None)
@given(cut_lists(), STOCK)
def test_one_piece_more_takes_no_less(cuts: list[Cut], stock: tuple[int, ...]) -> None:
    case = make_sheet(*stock)
    before = plan_stock(case, cuts, 20)
    after = plan_stock(case, [replace(cuts[0], count=cuts[0].count + 1), *cuts[1:]], 20)
    assert before.bound <= after.length


@settings(max_examples=20, deadline=None)
@given(cut_lists(), STOCK)
def test_the_order_and_the_hand_of_the_whole_roof_do_not_matter(
    cuts: list[Cut], stock: tuple[int, ...]
) -> None:
    """Laid the other way throughout, seen in a mirror, every sheet only swaps its legs."""
    case = make_sheet(*stock)
    one = plan_stock(case, cuts, 20)
    turned = [replace(cut, turned=not cut.turned) for cut in reversed(cuts)]
    other = plan_stock(case, turned, 20)
    assert other.bound <= one.length and one.bound <= other.length
    if one.proven and other.proven:
        assert one.length == other.length
