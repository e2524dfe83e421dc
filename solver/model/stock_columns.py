"""Column generation for cutting stock: the linear bound, exact, and cuttings worth choosing from.

P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961) 849-859 (memory); the bound that holds
at every step, A. A. Farley, Operations Research 38 (1990) 922-923 (memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, gcd

from ortools.linear_solver import pywraplp

from solver.clock import Clock
from solver.stock.kinds import Kind
from solver.stock.patterns import Knapsack, knapsack

Column = tuple[int, tuple[int, ...]]
"""A stock length and the kinds of blank (their numbers) that are cut from one."""

_SCALE = 1024
"""Prices of cuts are whole parts of a tick, so that the bound is exact."""
_MOST_ROUNDS = 400
_MORE = 60


@dataclass(frozen=True)
class Linear:
    """What the linear relaxation gives: no plan takes less than `bound` ticks of stock.

    `columns` are all cuttings met, `takes` how often the relaxation takes each.
    """

    bound: Fraction
    columns: tuple[Column, ...]
    takes: tuple[float, ...]


def relaxed(
    counts: Sequence[int], kinds: Sequence[Kind], stock: Sequence[int], clock: Clock
) -> Linear:
    """Solve the linear relaxation; what is met before the clock is over if that comes first.

    Every wanted count is at least 1 and every cut fits in the longest stock length.
    """
    solver = pywraplp.Solver.CreateSolver("GLOP")
    rows = [solver.Constraint(float(count), solver.infinity()) for count in counts]
    solver.Objective().SetMinimization()
    columns: list[Column] = []
    variables = []
    known: dict[Column, int] = {}

    def add(column: Column) -> bool:
        if column in known:
            return False
        known[column] = len(columns)
        columns.append(column)
        variable = solver.NumVar(0.0, solver.infinity(), "")
        solver.Objective().SetCoefficient(variable, float(column[0]))
        uses: dict[int, int] = {}
        for kind in column[1]:
            for i in kinds[kind].of:
                uses[i] = uses.get(i, 0) + 1
        for i, times in uses.items():
            rows[i].SetCoefficient(variable, float(times))
        variables.append(variable)
        return True

    for n, kind in enumerate(kinds):
        if kind.how == "alone":
            capacity = min(each for each in stock if each >= kind.length)
            add((capacity, (n,) * (capacity // kind.length)))
    bound = Fraction(0)
    step = gcd(*stock)
    takes: tuple[float, ...] = ()
    for _ in range(_MOST_ROUNDS):
        if clock.over() or solver.Solve() != pywraplp.Solver.OPTIMAL:
            break
        takes = tuple(variable.solution_value() for variable in variables)
        prices = [max(floor(row.dual_value() * _SCALE), 0) for row in rows]
        best, worth = _dearest(kinds, prices)
        sack = knapsack(worth, max(stock))
        values = {capacity: sack.best(capacity) for capacity in stock}
        total = sum(count * price for count, price in zip(counts, prices, strict=True))
        # Prices divided by the worst overcharge satisfy every cutting, so their total is a bound.
        over = max(Fraction(values[capacity], capacity) for capacity in stock)
        if over:
            bound = max(bound, total / over)
        if ceil(bound / step) * step >= solver.Objective().Value() - 1e-3:
            break  # rounded up to what stock lengths can add up to it will not rise any more
        fresh = False
        for capacity in stock:
            if values[capacity] > capacity * _SCALE:
                for made in _worth_adding(sack, worth, capacity):
                    fresh |= add((capacity, tuple(best[length] for length in made)))
        if not fresh:
            break
    return Linear(bound, tuple(columns), takes + (0.0,) * (len(columns) - len(takes)))


def _worth_adding(
    sack: Knapsack, worth: dict[int, int], capacity: int
) -> list[tuple[int, ...]]:
    """Cuttings that are worth more than the stock length: the best, and the best with a length.

    The best alone needs many more rounds.
    """
    found = [sack.pattern(capacity)]
    with_it = [
        (worth[length] + sack.best(capacity - length), length)
        for length in sorted(worth)
        if length <= capacity
    ]
    for value, length in sorted(with_it, key=lambda each: (-each[0], each[1]))[:_MORE]:
        if value > capacity * _SCALE:
            rest = sack.pattern(capacity - length)
            found.append(tuple(sorted((length, *rest), reverse=True)))
    return list(dict.fromkeys(found))


def _dearest(
    kinds: Sequence[Kind], prices: Sequence[int]
) -> tuple[dict[int, int], dict[int, int]]:
    """For every length the kind of blank that is worth most, and that worth."""
    best: dict[int, int] = {}
    worth: dict[int, int] = {}
    for n, kind in enumerate(kinds):
        value = sum(prices[i] for i in kind.of)
        if value > worth.get(kind.length, -1):
            best[kind.length], worth[kind.length] = n, value
    return best, worth
