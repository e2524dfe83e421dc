"""Which single move, everything else as drawn, makes the best layout cheaper, and by how much.

Compared with the best layout as drawn: first widths free, links as usual, nothing moved but what is
agreed. For every first width of a plane the least cost of the rest is known
(`solver.freeing.marginals`), so one pipe's steps are all priced at once; what is reported is solved
again with the move carried out, and judged by the checker.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from solver.case import Case, needed2
from solver.checker.judge import judge
from solver.clock import Clock
from solver.errors import DisagreementError
from solver.freeing.held import (
    agreed_cents,
    agreed_moves,
    best_held,
    held_case,
    insist_same,
    profiles_of,
    set_to,
)
from solver.freeing.marginals import NEVER, rest_costs
from solver.freeing.steps import can_move, loosened, open_steps, supposed_steps
from solver.layout import Layout
from solver.ranks.assemble import make_roof
from solver.result import Judged
from solver.tabling.moves import Options
from solver.tabling.phase import Grids, room2
from solver.tabling.profile import Profile, build_profile
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, PenTable, move_rate, pen_table


@dataclass(frozen=True, slots=True)
class Single:
    """One penetration moved, all others as drawn: the move (signed ticks) and what follows.

    `total` are cents with the move's rate, where it has one; `saves` against the best as drawn,
    None where as drawn nothing obeys the rules. `firsts` are the best first widths then (ticks).
    """

    move: int
    total: int
    saves: int | None
    firsts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Freed:
    """The smallest single move of one penetration that pays, and the one that saves most.

    Both are None where none pays. `priced` is False where the case does not let it move: the move
    is only supposed, and nothing is charged for it. `steps` is how many moves the rules leave open.
    """

    pen: int
    priced: bool
    steps: int
    smallest: Single | None
    best: Single | None


@dataclass(frozen=True, slots=True)
class Freeing:
    """All of them, in case order. `drawn` is the best layout as drawn; None where there is none."""

    drawn: Judged | None
    freed: tuple[Freed, ...]
    complete: bool


def free_moves(
    case: Case, clock: Clock, *, fixed: bool = False, only: Collection[str] = ()
) -> Freeing:
    """The freeing moves of a case; of `only` those ids, if any are given.

    `fixed`: also of what cannot move. Stops early, with `complete` False, when the clock says so.

    Raises:
        DisagreementError: solving again with the move carried out says otherwise.
    """
    try:
        drawn = _Drawn(case, clock)
    except TimeoutError:
        return Freeing(None, (), False)
    freed: list[Freed] = []
    agreed = {name for name, _ in case.freeze.moves}
    for index, pen in enumerate(case.penetrations):
        if pen.id in agreed or (only and pen.id not in only):
            continue
        if not (can_move(pen) or fixed):
            continue
        if clock.over():
            return Freeing(drawn.judged, tuple(freed), False)
        clock.say(f"what a move of {pen.id} would free")
        try:
            freed.append(drawn.freed(index))
        except TimeoutError:
            return Freeing(drawn.judged, tuple(freed), False)
    return Freeing(drawn.judged, tuple(freed), True)


class _Drawn:
    """The best layout as drawn, and what single moves make of it."""

    def __init__(self, case: Case, clock: Clock) -> None:
        self.case, self.clock = case, clock
        self.held = held_case(case)
        self.agreed = agreed_cents(case)
        moves = agreed_moves(case)
        self.moves = tuple(moves.get(pen.id, 0) for pen in case.penetrations)
        self.total: int | None = None
        self.judged: Judged | None = None
        self.profiles = profiles_of(self.held) or []
        self.steps: dict[int, Ticks] = {}
        if not self.profiles:
            return
        for plane in case.planes:
            self.steps |= open_steps(case, plane)
        best = best_held(self.held, self.profiles, clock)
        if best is not None:
            self.total = best.total + self.agreed
            self.judged = judge(case, Layout(best.firsts, self.moves))
            insist_same(self.judged.cost.total, self.total, "as drawn")
        self._tabulate()

    def _tabulate(self) -> None:
        """Cents of every plane as drawn and, beside each plane, the least of all the others."""
        self.tables: dict[int, PenTable] = {}
        self.own: list[Ticks] = []
        self.barred: list[Ticks] = []
        agreed = dict(self.case.freeze.firsts)
        for profile in self.profiles:
            first = agreed.get(profile.plane.id)
            barred = np.zeros(len(profile.firsts), dtype=np.int64)
            if first is not None:
                barred += profile.firsts != first
            for index in profile.members:
                still = Options(index, np.zeros(1, dtype=np.int64))
                self.tables[index] = pen_table(profile.grids, still)
                barred += ~self.tables[index].stay_allowed
            self.own.append(profile.stay_levels[COST])
            self.barred.append(barred)
        roof = make_roof(self.held, self.profiles, drawn=True)
        costs = [
            np.where(barred == 0, own, NEVER)
            for own, barred in zip(self.own, self.barred, strict=True)
        ]
        self.rest = rest_costs(costs, roof.links, roof.missed_cents)

    def freed(self, index: int) -> Freed:
        """What single moves of one penetration are worth."""
        pen = self.case.penetrations[index]
        priced = can_move(pen)
        if not self.profiles:
            return Freed(index, priced, 0, None, None)
        at = next(i for i, p in enumerate(self.profiles) if index in p.members)
        plane = self.profiles[at].plane
        deltas = self.steps[index] if priced else supposed_steps(self.case, plane, index)
        rate = move_rate(self.case, pen) if priced else 0
        totals = self._totals(at, index, deltas) + rate + self.agreed
        limit = NEVER if self.total is None else self.total
        pays = np.flatnonzero(totals < limit)
        if not len(pays):
            return Freed(index, priced, len(deltas), None, None)
        size = np.abs(deltas[pays])
        near = pays[size == size.min()]
        smallest = int(near[totals[near].argmin()])
        best = int(pays[totals[pays].argmin()])  # the first of equals: the nearest
        singles = {
            k: self._again(at, index, int(deltas[k]), int(totals[k]), rate)
            for k in {smallest, best}
        }
        return Freed(index, priced, len(deltas), singles[smallest], singles[best])

    def _totals(self, at: int, index: int, deltas: Ticks) -> Ticks:
        """The best total for every move of one penetration, without any rate for the move."""
        profile, rest, table = self.profiles[at], self.rest[at], self.tables[index]
        if rest is None:  # links in too many rings for tables: one at a time
            bests = [best_held(*self._moved(at, index, int(d)), self.clock) for d in deltas]
            return np.array([NEVER if b is None else b.total for b in bests], dtype=np.int64)
        others = np.minimum(rest + self.own[at] - table.stay[COST], NEVER)
        fits = self.barred[at] == ~table.stay_allowed
        others = np.where(fits & (rest < NEVER), others, NEVER)
        pen = self.held.penetrations[index]
        if pen.kind == "pipe":
            clear = room2(profile.grids, pen, pen.x + deltas) >= needed2(pen, self.case.rules)
            result: Ticks = np.where(clear, others, NEVER).min(axis=1, initial=NEVER)
            return result
        still = Options(0, np.zeros(1, dtype=np.int64))
        totals = []
        for delta in deltas:
            alone = replace(self.held, penetrations=(replace(pen, x=pen.x + int(delta)),))
            there = pen_table(Grids(alone, profile.plane, profile.firsts), still)
            totals.append(np.where(there.stay_allowed, others + there.stay[COST], NEVER).min())
        return np.minimum(np.array(totals, dtype=np.int64), NEVER)

    def _moved(self, at: int, index: int, move: int) -> tuple[Case, list[Profile]]:
        """The held case with one more move carried out, and its profiles."""
        pens = self.held.penetrations
        there = set_to(pens[index], pens[index].x + move)
        case = replace(self.held, penetrations=(*pens[:index], there, *pens[index + 1 :]))
        profiles = list(self.profiles)
        profiles[at] = build_profile(case, profiles[at].plane)
        return case, profiles

    def _again(self, at: int, index: int, move: int, total: int, rate: int) -> Single:
        """Solve again with the move carried out, and let the checker judge it in the case."""
        case, profiles = self._moved(at, index, move)
        pen = self.case.penetrations[index]
        what = f"{pen.id} moved by {move} ticks"
        best = best_held(case, profiles, self.clock)
        insist_same(None if best is None else best.total + rate + self.agreed, total, what)
        assert best is not None
        judged, charged = self._judged(at, index, move, best.firsts)
        insist_same(judged.cost.total - charged + rate, total, what)
        broken = [breach.says for breach in judged.breaks if pen.id in breach.about]
        if broken:
            raise DisagreementError(f"{what} is counted as open, but: {' '.join(broken)}")
        saves = None if self.total is None else self.total - total
        return Single(move, total, saves, best.firsts)

    def _judged(
        self, at: int, index: int, move: int, firsts: tuple[int, ...]
    ) -> tuple[Judged, int]:
        """The checker's view of a layout with one move more, and what it charges for that move.

        A pipe that cannot move is loosened first; a curb is drawn where it would go.
        """
        pens = self.case.penetrations
        moves = (*self.moves[:index], move, *self.moves[index + 1 :])
        pen = pens[index]
        if pen.kind == "curb":
            there = replace(pen, x=pen.x + move)
            drawn = replace(self.case, penetrations=(*pens[:index], there, *pens[index + 1 :]))
            return judge(drawn, Layout(firsts, self.moves)), 0
        case = self.case
        if not can_move(pen):
            case = loosened(case, index, self.profiles[at].plane)
        return judge(case, Layout(firsts, moves)), move_rate(case, case.penetrations[index])
