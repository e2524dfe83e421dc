"""One plane's best layout for every first width, exactly.

Pipes are independent but for spacing. So every penetration first takes its own best option; where
two of those come too near each other, what they add up to is only a lower bound in the tie order.
Such a first width is unsettled. To settle it, the pipes concerned are solved together
(`solver.cluster`), and the group grows until nothing clashes: then the sum is feasible and no worse
than its own lower bound, hence the best. That is done only for first widths that come up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane, needed2
from solver.clock import Clock
from solver.cluster import Choice, ClusterTooHardError, best_choice
from solver.cluster_keys import make_choices
from solver.cluster_tree import best_by_tree
from solver.moves import Options, Pair, plane_options
from solver.phase import Grids, room2
from solver.starts import Ticks, legal_firsts
from solver.tables import (
    COST,
    DIST,
    LEVELS,
    MOVED,
    NO_MOVE,
    SHORT,
    UNEVEN,
    PenTable,
    move_rate,
    pen_table,
    shortfall2,
)
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

FEW_NODES, MANY_NODES = 300, 20_000


def uneven_unit(case: Case) -> int:
    """What one unit of unevenness is, in ticks: an inch, or 25 mm."""
    return TICKS_PER_INCH if case.units == "in" else 25 * TICKS_PER_MM


@dataclass
class Profile:
    """The best of one plane for every legal first width.

    `levels` (12, first widths) is the additive part of the tie order; `moves` (penetrations of the
    plane, first widths) the moves that reach it; `allowed` whether anything obeys the rules there.
    Where `settled` is False all three are still those of a relaxation without spacing: `levels` is
    a lower bound, and `allowed` may turn out False. `stay_levels` and `stay_allowed` are the same
    with nothing moved, forbidden states priced all the same.
    """

    plane: Plane
    grids: Grids
    members: tuple[int, ...]
    levels: Ticks
    moves: Ticks
    allowed: NDArray[np.bool_]
    stay_levels: Ticks
    stay_allowed: NDArray[np.bool_]
    settled: NDArray[np.bool_]
    clashes: Clashes | None = None

    @property
    def firsts(self) -> Ticks:
        """The legal first widths (ticks, increasing)."""
        return self.grids.firsts

    @property
    def narrowest(self) -> Ticks:
        """The narrower end for every first width (ticks)."""
        return np.minimum(self.grids.firsts, self.grids.lasts)

    def settle(self, f: int, clock: Clock) -> None:
        """Make first width number `f` exact.

        Raises:
            TimeoutError: the clock ran out first; the first width stays unsettled.
        """
        if not self.settled[f] and self.clashes is not None:
            self.clashes.mend(f, clock)
            self.settled[f] = True

    def give_up(self) -> None:
        """Out of time: fall back to nothing moved wherever the best moves are not known."""
        rest = ~self.settled
        self.moves[:, rest] = 0
        self.levels[:, rest] = self.stay_levels[:, rest]
        self.allowed[rest] = self.stay_allowed[rest]
        self.settled[:] = True


def build_profile(case: Case, plane: Plane) -> Profile:
    """Tabulate a plane. Time: linear in penetrations, options and first widths."""
    grids = Grids(case, plane, legal_firsts(case, plane))
    count = len(grids.firsts)
    opts, pairs = plane_options(case, plane)
    tables = [pen_table(grids, o) for o in opts]
    base = np.zeros((len(LEVELS), count), dtype=np.int64)
    over = np.abs(grids.firsts - grids.lasts) - case.rules.uneven_free
    base[UNEVEN] = np.maximum(over, 0) // uneven_unit(case)
    base[COST] = base[UNEVEN] * case.rates.cents("uneven")

    levels, allowed = base.copy(), np.ones(count, dtype=bool)
    stay_levels, stay_allowed = base.copy(), np.ones(count, dtype=bool)
    moves = np.zeros((len(opts), count), dtype=np.int64)
    for row, (o, table) in enumerate(zip(opts, tables, strict=True)):
        stay_levels += table.stay
        stay_allowed &= table.stay_allowed
        taken, moves[row], fine = _own_best(case, o, table)
        levels += taken
        allowed &= fine
    profile = Profile(
        plane, grids, tuple(o.pen for o in opts), levels, moves, allowed, stay_levels, stay_allowed,
        np.ones(count, dtype=bool),
    )
    if pairs:
        profile.clashes = Clashes(case, profile, opts, tables, pairs)
        profile.settled = ~(profile.clashes.anywhere() & allowed)
    return profile


def _own_best(case: Case, o: Options, table: PenTable) -> tuple[Ticks, Ticks, NDArray[np.bool_]]:
    """Levels and delta of a penetration's best option by itself, and whether it has any."""
    movable = table.move_short < NO_MOVE
    rate = move_rate(case, case.penetrations[o.pen])
    # Moving to a clear place beats staying when it is cheaper, or as cheap and not clear here: a
    # worse state comes before a move in the tie order. Staying clear is never beaten.
    gain = (rate < table.stay[COST]) | ((rate == table.stay[COST]) & (table.states != 0))
    goes = movable & (gain | ~table.stay_allowed)
    delta = np.where(goes, table.move, 0)
    taken = np.where(goes[None, :], 0, table.stay)
    taken[COST] += goes * rate
    taken[MOVED] += goes
    taken[SHORT] += np.where(goes, table.move_short, 0)
    taken[DIST] += np.abs(delta)
    return taken, delta, goes | table.stay_allowed


class Clashes:
    """Finds and mends the first widths at which own-best options come too near each other."""

    def __init__(
        self,
        case: Case,
        profile: Profile,
        opts: list[Options],
        tables: list[PenTable],
        pairs: list[Pair],
    ) -> None:
        self.case, self.profile = case, profile
        self.opts, self.tables = opts, tables
        row = {o.pen: r for r, o in enumerate(opts)}
        self.pairs = [(row[p.a], row[p.b], p.least) for p in pairs]
        self.x = np.array([case.penetrations[o.pen].x for o in opts], dtype=np.int64)

    def anywhere(self) -> NDArray[np.bool_]:
        """For each first width whether any two options taken now clash."""
        moves = self.profile.moves
        clash = np.zeros(moves.shape[1], dtype=bool)
        for a, b, least in self.pairs:
            apart = np.abs(self.x[a] + moves[a] - self.x[b] - moves[b])
            clash |= ((moves[a] != 0) | (moves[b] != 0)) & (apart < least)
        return clash

    def mend(self, f: int, clock: Clock) -> None:
        """Solve the clashing pipes of first width `f` together; `allowed` turns False if none fit.

        Raises:
            TimeoutError: the clock ran out; the profile is as it was.
        """
        profile = self.profile
        before = profile.moves[:, f].copy(), profile.levels[:, f].copy()
        groups: list[set[int]] = []
        try:
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

    def _clashing(self, f: int) -> list[tuple[int, int]]:
        moves = self.profile.moves[:, f]
        return [
            (a, b)
            for a, b, least in self.pairs
            if (moves[a] or moves[b]) and abs(self.x[a] + moves[a] - self.x[b] - moves[b]) < least
        ]

    def _solve(self, group: list[int], f: int, clock: Clock) -> bool:
        """Best joint moves of a group at first width `f`; False if nothing fits."""
        options = [self._columns(r, f) for r in group]
        if any(not deltas.size for deltas, _ in options):
            return False
        inside = {r: i for i, r in enumerate(group)}
        ties = [
            (inside[a], inside[b], least)
            for a, b, least in self.pairs
            if a in inside and b in inside
        ]
        x = [int(self.x[r]) for r in group]
        picks = _decide(options, x, ties, clock)
        if picks is None:
            return False
        profile = self.profile
        for (deltas, levels), r, k in zip(options, group, picks, strict=True):
            old = self._levels_of(r, f)
            profile.moves[r, f] = deltas[k]
            profile.levels[:, f] += levels[:, k] - old
        return True

    def _columns(self, r: int, f: int) -> tuple[Ticks, Ticks]:
        """Every option of one pipe at one first width: deltas, and levels (12, options)."""
        pen = self.case.penetrations[self.opts[r].pen]
        narrow = Grids(self.case, self.profile.plane, self.profile.firsts[f : f + 1])
        deltas = self.opts[r].deltas
        room = room2(narrow, pen.x + deltas)[:, 0]
        fine = room >= needed2(pen, self.case.rules)
        fine[0] = self.tables[r].stay_allowed[f]
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
