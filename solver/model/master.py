"""The combining engine for many planes: a literal per plane and first width, links as clauses."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from ortools.sat.python import cp_model

from solver.clock import Clock
from solver.model.run import minimize_in_order
from solver.model.variables import Expr
from solver.ranks.rings import cut_planes, marginal_costs
from solver.ranks.roof import HUGE, Found, Roof
from solver.ranks.tree import UNREACHABLE
from solver.tabling.tables import COST, COUNTS, LEVELS, LINKS, ORDER


def next_by_master(roof: Roof, clock: Clock, listed: list[tuple[int, ...]]) -> Found | None:
    """The next list entry of a roof with many planes.

    Unless the links form many rings, dynamic programming tells for every first width the least
    total with it. First widths that cannot be on a choice within some slack of the best are left
    out; if nothing is found within it, the slack grows. What is found within it is the best of all.
    """
    cut = cut_planes(roof)
    if cut is None:
        return Master(roof, clock).next(listed)
    costs = marginal_costs(roof, cut)
    least = int(costs[0].min())
    if least >= UNREACHABLE:
        return None
    above = [cost - least for cost in costs]
    most = max(int(a[cost < UNREACHABLE].max()) for a, cost in zip(above, costs, strict=True))
    slack = least // 256 + 100
    while not clock.over():
        kept = [a <= slack for a in above]
        planes = tuple(
            replace(p, allowed=p.allowed & keep) for p, keep in zip(roof.planes, kept, strict=True)
        )
        everything = slack >= most
        limit = None if everything else least + slack
        found = Master(replace(roof, planes=planes), clock).next(listed, limit)
        if found is not None or everything:
            return found
        slack *= 4
    return None


class Master:
    """Picks first widths over profiles. One model is built for each question."""

    def __init__(self, roof: Roof, clock: Clock, *, presolve: bool = True) -> None:
        self.roof = roof
        self.clock = clock
        self.presolve = presolve

    def next(self, listed: list[tuple[int, ...]], limit: int | None = None) -> Found | None:
        """The first choice with a smaller count against each of `listed`; None if none was found.

        `limit` is the most it may cost (cents).
        """
        model = cp_model.CpModel()
        takes = [
            [model.new_bool_var(f"plane{i}_first{f}") for f in range(len(plane.firsts))]
            for i, plane in enumerate(self.roof.planes)
        ]
        for plane, row in zip(self.roof.planes, takes, strict=True):
            model.add_exactly_one(row)
            for f in np.flatnonzero(~plane.allowed):
                model.add(row[int(f)] == 0)
        missed = self._links(model, takes)
        levels = self._levels(takes, missed)
        open_takes = [
            row[int(f)]
            for plane, row in zip(self.roof.planes, takes, strict=True)
            for f in np.flatnonzero(~plane.settled & plane.allowed)
        ]
        for counts in listed:
            self._at_least_one_smaller(model, levels, counts, open_takes)
        if limit is not None and not isinstance(levels[COST], int):
            model.add(levels[COST] <= limit)
        order = [
            levels[step] if isinstance(step, int) else self._least(model, takes, step)
            for step in ORDER
        ]
        order += [
            cp_model.LinearExpr.weighted_sum(row, list(range(len(row)))) if len(row) > 1 else 0
            for row in takes
        ]
        watch = [take for row in takes for take in row]
        outcome = minimize_in_order(model, order, watch, self.clock, presolve=self.presolve)
        if outcome.values is None:
            return None
        picks, at = [], 0
        for row in takes:
            picks.append(outcome.values[at : at + len(row)].index(1))
            at += len(row)
        return Found(tuple(picks), outcome.first_bound or 0, outcome.proven)

    def _links(
        self, model: cp_model.CpModel, takes: list[list[cp_model.IntVar]]
    ) -> list[cp_model.IntVar]:
        """A literal per link: its seams do not meet. True is always possible, and never cheaper."""
        missed = []
        for n, link in enumerate(self.roof.links):
            miss = model.new_bool_var(f"link{n}_missed")
            missed.append(miss)
            if link.must:
                model.add(miss == 0)
            for f, row in enumerate(link.meet):
                meeting = [takes[link.b][int(g)] for g in np.flatnonzero(row)]
                if len(meeting) < len(row):
                    model.add_bool_or([*meeting, miss, ~takes[link.a][f]])
        return missed

    def _levels(
        self, takes: list[list[cp_model.IntVar]], missed: list[cp_model.IntVar]
    ) -> list[Expr]:
        levels: list[Expr] = []
        for level in range(len(LEVELS)):
            literals: list[cp_model.IntVar] = []
            weights: list[int] = []
            constant = 0
            for plane, row in zip(self.roof.planes, takes, strict=True):
                values = plane.levels[level]
                low = int(values[plane.allowed].min()) if plane.allowed.any() else 0
                constant += low
                above = np.flatnonzero(values > low)
                literals += [row[int(f)] for f in above]
                weights += [int(values[f] - low) for f in above]
            if level in (LINKS, COST):
                each = 1 if level == LINKS else self.roof.missed_cents
                literals += missed
                weights += [each] * len(missed)
            if any(weights):
                levels.append(cp_model.LinearExpr.weighted_sum(literals, weights) + constant)
            else:
                levels.append(constant)
        return levels

    def _at_least_one_smaller(
        self,
        model: cp_model.CpModel,
        levels: list[Expr],
        counts: tuple[int, ...],
        open_takes: list[cp_model.IntVar],
    ) -> None:
        """What is not settled may have any counts, so it is taken to qualify."""
        reasons = list(open_takes)
        for level, limit in zip(range(COUNTS.start, COUNTS.stop), counts, strict=True):
            expression = levels[level]
            if limit == 0 or isinstance(expression, int):
                if isinstance(expression, int) and expression < limit:
                    return
                continue
            smaller = model.new_bool_var("")
            model.add(expression <= limit - 1).only_enforce_if(smaller)
            reasons.append(smaller)
        model.add_bool_or(reasons)

    def _least(
        self, model: cp_model.CpModel, takes: list[list[cp_model.IntVar]], name: str
    ) -> Expr:
        """Minus the least of a column, such as the narrowest end, over planes where it binds."""
        own = [
            (values, row)
            for plane, row in zip(self.roof.planes, takes, strict=True)
            if (values := plane.least(name)) is not None
        ]
        most = max((int(v[v < HUGE].max(initial=0)) for v, _ in own), default=0)
        if not most:
            return 0
        least = model.new_int_var(0, most, name)
        for values, row in own:
            own_least = [int(min(value, most)) for value in values]
            model.add(least <= cp_model.LinearExpr.weighted_sum(row, own_least))
        return -least


