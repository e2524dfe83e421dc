"""Cutting stock against a published example with a known optimum.

Source: the paper-mill instance of the encyclopaedic article on the cutting stock problem (rolls of
5600 mm, thirteen widths): linear bound 72.92, optimum 73 rolls, waste 0.401 % (read; the waste and
the bound of the material, 72.7075, recomputed).
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from solver.clock import Clock
from solver.model import stock as model
from solver.model.stock_columns import relaxed
from solver.stock.kinds import Kind
from solver.stock.plan import Cut, plan_stock
from tests.unit.builders import inches, mm
from tests.unit.stock_brute import look_over, make_sheet

ROLL = mm(5600)
WIDTHS = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12,
    2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
CUTS = [Cut(f"{w}", mm(w), inches(18), count=n) for w, n in WIDTHS.items()]


@pytest.mark.parametrize("few", [model._FEW, -1], ids=["all patterns", "generated patterns"])
def test_the_paper_mill_takes_73_rolls(few: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(model, "_FEW", few)
    plan = plan_stock(make_sheet(ROLL), CUTS, 60)
    look_over(plan, CUTS, (ROLL,))
    assert plan.sheets == 73
    assert plan.length == plan.bound == 73 * ROLL
    assert plan.proven and plan.fewest
    assert plan.waste == pytest.approx(0.401, abs=0.0005)


def test_its_linear_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.model.stock_columns.gcd", lambda *_: 1)  # no early end
    kinds = [Kind(cut.length, (i,), "alone") for i, cut in enumerate(CUTS)]
    linear = relaxed([cut.count for cut in CUTS], kinds, [ROLL], Clock())
    assert float(linear.bound / ROLL) == pytest.approx(72.92, abs=0.005)
    material = Fraction(sum(w * n for w, n in WIDTHS.items()), 5600)
    assert material < linear.bound / ROLL < 73


def test_bins_of_three_that_material_alone_does_not_see() -> None:
    """Closed form: pieces just over half a length never share one, whatever their number."""
    cuts = [Cut("A", mm(2801), inches(18), count=17)]
    plan = plan_stock(make_sheet(ROLL), cuts, 60)
    assert plan.sheets == 17 and plan.proven


def test_forty_lengths_of_fifty_pieces() -> None:
    """2000 pieces: no outside figure, but the plan meets its bound, which is exact."""
    lengths = [inches(20) + 254 * ((n * 2654435761) % 8321) for n in range(40)]  # odd 64ths
    cuts = [Cut(f"P{n}", length, inches(18), count=50) for n, length in enumerate(lengths)]
    stock = (inches(240),)
    plan = plan_stock(make_sheet(*stock), cuts, 60)
    look_over(plan, cuts, stock)
    assert plan.proven
