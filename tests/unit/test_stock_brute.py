"""The stock plan against every way of pairing and cutting, on small random instances."""

from __future__ import annotations

import random

import pytest

from solver.stock.plan import Cut, plan_stock
from tests.unit.builders import inches
from tests.unit.stock_brute import least_stock, look_over, make_sheet


def random_cuts(rnd: random.Random, pieces: int) -> list[Cut]:
    cuts = []
    while pieces > 0:
        count = rnd.choice((1, 1, 2, min(3, pieces)))
        keeps = rnd.choice(("both", "both", "male", "female", "none"))
        both = keeps == "both"
        cuts.append(Cut(
            mark=f"P{len(cuts)}",
            length=inches(rnd.randint(8, 40)) + rnd.choice((0, 0, 1)),
            width=inches(rnd.choice((18, 18, 18, 16)) if both else rnd.randint(3, 13)),
            keeps=keeps,  # type: ignore[arg-type]
            count=min(count, pieces),
            foot=inches(rnd.choice((0, 0, 3, -3, -7))),
            head=rnd.choice((0, inches(4), inches(7), inches(-7), None)),
            turned=rnd.random() < 0.5,
        ))
        pieces -= cuts[-1].count
    return cuts


@pytest.mark.parametrize("part", range(8))
def test_the_optimum_is_the_brute_force_one(part: int) -> None:
    shared = 0
    for seed in range(50 * part, 50 * part + 50):
        rnd = random.Random(seed)
        cuts = random_cuts(rnd, rnd.randint(1, 6))
        stock = tuple(inches(s) for s in sorted(rnd.sample(range(41, 100), rnd.choice((0, 1, 2)))))
        plan = plan_stock(make_sheet(*stock), cuts, 60)
        look_over(plan, cuts, stock)
        assert plan.proven and plan.fewest, seed
        assert (plan.length, plan.sheets) == least_stock(cuts, stock), seed
        shared += any(blank.how != "alone" for blank in plan.blanks)
    assert shared > 5  # else this would show nothing


def test_column_generation_alone_gives_true_bounds(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where not all cuttings are in the model the plan may miss, its bound may not."""
    from solver.model import stock as model

    monkeypatch.setattr(model, "_FEW", -1)
    proven = 0
    for seed in range(1000, 1120):
        rnd = random.Random(seed)
        cuts = random_cuts(rnd, rnd.randint(2, 6))
        stock = tuple(inches(s) for s in sorted(rnd.sample(range(41, 100), rnd.choice((1, 2)))))
        plan = plan_stock(make_sheet(*stock), cuts, 60)
        look_over(plan, cuts, stock)
        length, sheets = least_stock(cuts, stock)
        assert plan.bound <= length <= plan.length, seed
        assert not plan.proven or plan.length == length, seed
        assert not plan.fewest or plan.sheets == sheets, seed
        proven += plan.proven
    assert proven > 60
