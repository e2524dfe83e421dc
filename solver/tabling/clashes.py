"""Settling a first width at which pipes get in each other's way.

The pipes concerned are solved together, and the group grows until nothing clashes: then the sum is
feasible and no worse than its own lower bound, hence the best.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, needed2
from solver.clock import Clock
from solver.tabling.cluster import Choice, ClusterTooHardError, best_choice
from solver.tabling.cluster_keys import make_choices
from solver.tabling.cluster_tree import best_by_tree
from solver.tabling.moves import Options, Pair
from solver.tabling.phase import room2
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, DIST, LEVELS, MOVED, SHORT, PenTable, move_rate, shortfall2

if TYPE_CHECKING:
    from solver.tabling.profile import Profile

FEW_NODES, MANY_NODES = 300, 20_000
MANY_CLASHES = 3
"""From so many clashing pairs on, a row of pipes is settled whole rather than by growing groups."""


class Clashes:
    """Finds and mends the first widths at which own-best options come too near each other."""

    def __init__(
        self,
        case: Case,
        profile: Profile,
        opts: list[Options],
        tables: dict[int, PenTable],
        pairs: list[Pair],
    ) -> None:
        self.case, self.profile = case, profile
        self.opts, self.tables = opts, tables
        row = {o.pen: r for r, o in enumerate(opts)}
        self.pairs = [(row[p.a], row[p.b], p.least) for p in pairs]
        self.x = np.array([case.penetrations[o.pen].x for o in opts], dtype=np.int64)
        self.rows: list[set[int]] = []
        for a, b, _ in self.pairs:
            joined = {a, b}.union(*(row for row in self.rows if row & {a, b}))
            self.rows = [row for row in self.rows if not row & joined] + [joined]

    def anywhere(self) -> NDArray[np.bool_]:
        """For each first width whether any two options taken now clash."""
        moves = self.profile.moves
        clash = np.zeros(moves.shape[1], dtype=bool)
        for a, b, least in self.pairs:
            apart = np.abs(self.x[a] + moves[a] - self.x[b] - moves[b])
            clash |= ((moves[a] != 0) | (moves[b] != 0)) & (apart < least)
        return clash

    def near(self, moves: Ticks) -> bool:
        """Whether any two pipes come too near each other with these moves."""
        return any(
            (moves[a] or moves[b]) and abs(self.x[a] + moves[a] - self.x[b] - moves[b]) < least
            for a, b, least in self.pairs
        )

    def mend(self, f: int, clock: Clock) -> None:
        """Solve the clashing pipes of first width `f` together; `allowed` turns False if none fit.

        Raises:
            TimeoutError: the clock ran out; the profile is as it was.
        """
        profile = self.profile
        before = profile.moves[:, f].copy(), profile.levels[:, f].copy()
        groups: list[set[int]] = []
        try:
            self._try_rows(f, clock)
            while troubled := self._clashing(f):
                solved = list(groups)
                for a, b in troubled:
                    merged = {a, b}.union(*(g for g in groups if g & {a, b}))
                    groups = [g for g in groups if not g & merged] + [merged]
                for group in groups:
                    if group not in solved and not self._solve(sorted(group), f, clock):
                        profile.allowed[f] = False
                        return
        except TimeoutError:
            profile.moves[:, f], profile.levels[:, f] = before
            raise

    def _try_rows(self, f: int, clock: Clock) -> None:
        """Where many of a row of pipes clash, settle the whole row at once if its tree decides."""
        troubled = self._clashing(f)
        for row in self.rows:
            if sum(a in row for a, _ in troubled) < MANY_CLASHES:
                continue
            if clock.over():
                raise TimeoutError
            group = sorted(row)
            options, x, ties = self._question(group, f)
            if all(deltas.size for deltas, _ in options):
                decided, picks = best_by_tree(options, x, ties)
                if decided and picks is not None:
                    self._take(group, f, options, picks)

    def _clashing(self, f: int) -> list[tuple[int, int]]:
        moves = self.profile.moves[:, f]
        return [
            (a, b)
            for a, b, least in self.pairs
            if (moves[a] or moves[b]) and abs(self.x[a] + moves[a] - self.x[b] - moves[b]) < least
        ]

    def _solve(self, group: list[int], f: int, clock: Clock) -> bool:
        """Best joint moves of a group at first width `f`; False if nothing fits."""
        options, x, ties = self._question(group, f)
        if any(not deltas.size for deltas, _ in options):
            return False
        picks = _decide(options, x, ties, clock)
        if picks is None:
            return False
        self._take(group, f, options, picks)
        return True

    def _question(
        self, group: list[int], f: int
    ) -> tuple[list[tuple[Ticks, Ticks]], list[int], list[tuple[int, int, int]]]:
        """Options, drawn centres and ties of a group of pipes at first width `f`."""
        inside = {r: i for i, r in enumerate(group)}
        ties = [
            (inside[a], inside[b], least)
            for a, b, least in self.pairs
            if a in inside and b in inside
        ]
        options = [self._columns(r, f) for r in group]
        return options, [int(self.x[r]) for r in group], ties

    def _take(
        self, group: list[int], f: int, options: list[tuple[Ticks, Ticks]], picks: list[int]
    ) -> None:
        profile = self.profile
        for (deltas, levels), r, k in zip(options, group, picks, strict=True):
            old = self._levels_of(r, f)
            profile.moves[r, f] = deltas[k]
            profile.levels[:, f] += levels[:, k] - old

    def _columns(self, r: int, f: int) -> tuple[Ticks, Ticks]:
        """Every option of one pipe at one first width: deltas, and levels (levels, options)."""
        pen = self.case.penetrations[self.opts[r].pen]
        narrow = self.profile.grids.pick(slice(f, f + 1))
        deltas = self.opts[r].deltas
        room = room2(narrow, pen, pen.x + deltas)[:, 0]
        fine = room >= needed2(pen, self.case.rules)
        fine[0] = self.tables[r].stay_allowed[f] and self.tables[r].may_stay
        levels = np.zeros((len(LEVELS), len(deltas)), dtype=np.int64)
        levels[COST, 1:] = move_rate(self.case, pen)
        levels[MOVED, 1:] = 1
        levels[SHORT] = shortfall2(self.case, pen, room)
        levels[DIST] = np.abs(deltas)
        levels[:, 0] = self.tables[r].stay[:, f]
        return deltas[fine], levels[:, fine]

    def _levels_of(self, r: int, f: int) -> Ticks:
        """Levels of the option that pipe `r` takes now at first width `f`."""
        deltas, levels = self._columns(r, f)
        result: Ticks = levels[:, int(np.flatnonzero(deltas == self.profile.moves[r, f])[0])]
        return result


def _decide(
    options: list[tuple[Ticks, Ticks]],
    x: list[int],
    ties: list[tuple[int, int, int]],
    clock: Clock,
) -> list[int] | None:
    """The best option of each pipe of a group: by search, over its tree, or by CP-SAT.

    Raises:
        TimeoutError: the clock ran out first.
    """
    if clock.over():
        raise TimeoutError
    choices, orders = make_choices(options, x, ties)
    picks: list[int] | None
    try:
        picks = best_choice(choices, FEW_NODES)
    except ClusterTooHardError:
        decided, by_tree = best_by_tree(options, x, ties)
        if decided:
            return by_tree
        picks = _search_on(choices, clock)
    if picks is None:
        return None
    return [order[k] for order, k in zip(orders, picks, strict=True)]


def _search_on(choices: list[Choice], clock: Clock) -> list[int] | None:
    try:
        return best_choice(choices, MANY_NODES)
    except ClusterTooHardError:
        from solver.model.cluster_model import solve_cluster  # loads ortools: only when needed

        return solve_cluster(choices, clock)
