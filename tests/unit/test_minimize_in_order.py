"""Levels minimized one after the other, held against trying every solution."""

from __future__ import annotations

import random
from itertools import product

import pytest
from ortools.sat.python import cp_model

from solver.clock import Clock
from solver.model import run
from solver.model.run import minimize_in_order


@pytest.mark.parametrize("together", [1, 30, 100_000], ids=["one by one", "some", "all"])
def test_the_order_of_levels(together: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "_TOGETHER", together)
    for seed in range(200):
        rnd = random.Random(seed)
        spans = [sorted((rnd.randint(-3, 3), rnd.randint(-3, 3))) for _ in range(3)]
        rows = [
            ([rnd.choice((0, 0, rnd.randint(-2, 2))) for _ in spans], rnd.randint(-5, 5))
            for _ in range(rnd.randint(1, 6))
        ]
        least = rnd.randint(-6, 6)
        model = cp_model.CpModel()
        own = [model.new_int_var(low, high, "") for low, high in spans]
        model.add(sum(own) >= least)
        levels = [
            sum(times * x for times, x in zip(row, own, strict=True)) + more
            if any(row) else more
            for row, more in rows
        ]
        outcome = minimize_in_order(model, levels, own, Clock())
        values = [
            tuple(sum(a * x for a, x in zip(row, point, strict=True)) + more for row, more in rows)
            for point in product(*(range(low, high + 1) for low, high in spans))
            if sum(point) >= least
        ]
        if not values:
            assert outcome.infeasible
            continue
        assert outcome.proven
        assert outcome.levels == min(values)
        assert outcome.first_bound == min(values)[0]
