"""Which widths panels may have, and the lattice that all their seams stand on.

Lengths are ticks, far finer than anything a crew sets out. A domain of whole steps of a lattice
keeps the search from going through lengths tick by tick.
"""

from __future__ import annotations

from math import gcd

from ortools.sat.python import cp_model

from solver.case import Case

Expr = cp_model.LinearExpr | int
Lit = cp_model.IntVar


def odd_widths(case: Case) -> list[int]:
    """The widths that an odd panel may have (ticks, increasing)."""
    rules, cover, mark = case.rules, case.panel.cover, case.mark
    if rules.odd_panels <= 0:
        return []
    if rules.odd_widths:
        return sorted({width for width in rules.odd_widths if 0 < width < cover})
    return [w for w in range(mark, cover - mark + 1, mark) if w >= rules.odd_min]


def change_marks(case: Case) -> int:
    """How many whole play marks a module may be changed by, either way."""
    rules = case.rules
    return rules.play // rules.play_mark if rules.play > 0 and rules.play_mark > 0 else 0


def lattice(case: Case) -> int:
    """All panels but the last of a plane are whole multiples of this (ticks)."""
    return gcd(case.mark, case.panel.cover, *odd_widths(case),
               case.rules.play_mark if change_marks(case) else 0)


def on_lattice(
    model: cp_model.CpModel, low: int, high: int, step: int, offset: int, name: str
) -> Expr:
    """A length from `low` to `high` (ticks) that is `offset` beyond a whole number of steps."""
    least, most = -((offset - low) // step), (high - offset) // step
    return model.new_int_var(least, max(most, least), name) * step + offset
