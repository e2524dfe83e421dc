"""One plane's best layout for every choice of first width, odd panels and modules, exactly.

Pipes are independent but for spacing. So every penetration first takes its own best option; where
two of those come too near each other, what they add up to is only a lower bound in the tie order.
Such a first width is unsettled, and is settled by `solver.tabling.clashes` only if it comes up.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.clock import Clock
from solver.ranks.roof import HUGE
from solver.tabling.choices import plain_columns
from solver.tabling.clashes import Clashes
from solver.tabling.columns import column_runs, first_widths, odd_clearance2, own_levels
from solver.tabling.moves import Options, plane_options
from solver.tabling.pattern import add_pattern, is_fan
from solver.tabling.phase import Grids
from solver.tabling.runs import Column
from solver.tabling.starts import Ticks, legal_firsts
from solver.tabling.tables import (
    COST,
    DIST,
    LEVELS,
    MOVED,
    NO_MOVE,
    SHORT,
    UNEVEN,
    PenTable,
    fixed_levels,
    move_rate,
    pen_table,
)
from solver.units import TICKS_PER_INCH, TICKS_PER_MM


def uneven_unit(case: Case) -> int:
    """What one unit of unevenness is, in ticks: an inch, or 25 mm."""
    return TICKS_PER_INCH if case.units == "in" else 25 * TICKS_PER_MM


@dataclass
class Profile:
    """The best of one plane for every choice of it: for every legal first width and, where the case
    allows such, every choice of odd panels and modules (`columns`; None where there are none).

    `levels` (levels, choices) is the additive part of the tie order; `moves` (penetrations of the
    plane, choices) the moves that reach it; `allowed` whether anything obeys the rules there.
    Where `settled` is False all three are still those of a relaxation without spacing: `levels` is
    a lower bound, and `allowed` may turn out False. `stay_levels` and `stay_allowed` are the same
    with nothing moved, forbidden states priced all the same. `loose` is how many cents less the
    best could cost because time ran out before the moves of every pipe were looked at.
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
    loose: int = 0
    columns: list[Column] | None = None
    mirrored: NDArray[np.bool_] | None = None
    _clear2: dict[tuple[Column, bool], int] = field(default_factory=dict)

    @property
    def firsts(self) -> Ticks:
        """The first width of every choice (ticks, increasing)."""
        return self.grids.firsts

    def column(self, f: int) -> Column:
        """The choice of that number."""
        return Column(int(self.firsts[f])) if self.columns is None else self.columns[f]

    def clearance2(self, drawn: bool) -> Ticks | None:
        """The least distance of an odd panel's centre line from a penetration or an end (half
        ticks), huge where there is none; None where no choice has one. `drawn`: nothing moved."""
        if self.columns is None or not any(column.odds for column in self.columns):
            return None
        found = np.full(len(self.columns), HUGE, dtype=np.int64)
        case = self.grids.case
        x = np.array([case.penetrations[i].x for i in self.members], dtype=np.int64)
        ends = np.array([0, self.plane.width], dtype=np.int64)
        for f, column in enumerate(self.columns):
            if column.odds and (drawn or self.settled[f]):
                if (column, drawn) not in self._clear2:
                    at = x if drawn else x + self.moves[:, f]
                    away2 = odd_clearance2(case, self.plane, column, at)
                    if self.mirrored is not None and not drawn:
                        # A pipe that could as well go the other way goes where it is farther off.
                        other2 = odd_clearance2(case, self.plane, column, x - self.moves[:, f])
                        away2 = np.where(self._turned(f, other2 > away2), other2, away2)
                    ends2 = odd_clearance2(case, self.plane, column, ends)
                    self._clear2[column, drawn] = int(np.append(away2, ends2).min())
                found[f] = self._clear2[column, drawn]
        return found

    def moves_at(self, f: int, clearance2: int) -> Ticks:
        """The moves of a choice; pipes that could as well go the other way do, if only that leaves
        odd panels `clearance2` (half ticks) away."""
        moves = self.moves[:, f].copy()
        column = self.column(f)
        if self.mirrored is None or not column.odds or not self.mirrored[:, f].any():
            return moves
        case = self.grids.case
        x = np.array([case.penetrations[i].x for i in self.members], dtype=np.int64)
        away2 = odd_clearance2(case, self.plane, column, x + moves)
        result: Ticks = np.where(self._turned(f, away2 < clearance2), -moves, moves)
        return result

    def _turned(self, f: int, wanted: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Which of the pipes that are `wanted` to go the other way may, without coming too near
        each other."""
        assert self.mirrored is not None
        turn = self.mirrored[:, f] & wanted
        if self.clashes is not None and self.clashes.near(np.where(turn, -1, 1) * self.moves[:, f]):
            return np.zeros_like(turn)
        return turn

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
            before = self.moves[:, f].copy()
            self.clashes.mend(f, clock)
            self.settled[f] = True
            if self.mirrored is not None:
                self.mirrored[:, f] &= self.moves[:, f] == before

    def settle_all(self, choices: list[int], clock: Clock) -> None:
        """Make several choices exact.

        Raises:
            TimeoutError: the clock ran out first; the rest stays unsettled.
        """
        for f in choices:
            self.settle(f, clock)

    def give_up(self) -> None:
        """Out of time: fall back to nothing moved wherever the best moves are not known."""
        rest = ~self.settled
        self.moves[:, rest] = 0
        self.levels[:, rest] = self.stay_levels[:, rest]
        self.allowed[rest] = self.stay_allowed[rest]
        self.settled[:] = True


def build_profile(
    case: Case, plane: Plane, clock: Clock | None = None, columns: list[Column] | None = None
) -> Profile:
    """Tabulate a plane. Time: linear in penetrations, options and choices.

    `columns` are the choices, in the tie order; left out they are the plain ones, with every panel
    but the ends as wide as the cover. Pipes that are left when the clock is over stay where they
    are, and the profile is `loose`.
    """
    if columns is None and plane.lay == "from" and plane.width > case.panel.cover:
        columns = plain_columns(case, plane)
    if columns is None:
        grids = Grids(case, plane, legal_firsts(case, plane))
    else:
        runs = None if plane.width <= case.panel.cover else column_runs(case, plane, columns)
        grids = Grids(case, plane, first_widths(columns), runs)
    count = len(grids.firsts)
    opts, pairs = plane_options(case, plane)
    tables: dict[int, PenTable] = {}
    loose = 0
    tied = {pen for pair in pairs for pen in (pair.a, pair.b)}
    still = [
        o.pen for o in opts
        if not o.can_move and o.may_stay and o.pen not in tied
        and case.penetrations[o.pen].kind == "pipe" and not is_fan(plane)
    ]
    fixed_pens = set(still)
    for place, o in enumerate(opts):
        if o.pen in fixed_pens:
            continue
        if o.can_move and o.may_stay and clock is not None and clock.over():
            opts[place] = Options(o.pen, o.deltas[:1])
            tables[place] = pen_table(grids, opts[place])
            loose += int(tables[place].stay[COST].max(initial=0))
        else:
            tables[place] = pen_table(grids, o)
    base = np.zeros((len(LEVELS), count), dtype=np.int64)
    over = np.abs(grids.firsts - grids.lasts) - case.rules.uneven_free
    base[UNEVEN] = np.maximum(over, 0) // uneven_unit(case)
    base[COST] = base[UNEVEN] * case.rates.cents("uneven")
    for f, column in enumerate(columns or ()):
        if column.odds or column.changes:
            base[:, f] += own_levels(case, plane, column)

    agreed = dict(case.freeze.firsts).get(plane.id)
    open_ = np.ones(count, dtype=bool) if agreed is None else grids.firsts == agreed
    open_ &= add_pattern(grids, base)
    fixed, fine_fixed = fixed_levels(grids, [case.penetrations[i] for i in still])
    levels, allowed = base + fixed, open_ & fine_fixed
    stay_levels, stay_allowed = levels.copy(), allowed.copy()
    moves = np.zeros((len(opts), count), dtype=np.int64)
    mirrored = np.zeros((len(opts), count), dtype=bool) if columns and tables else None
    for row, table in tables.items():
        o = opts[row]
        stay_levels += table.stay
        stay_allowed &= table.stay_allowed
        taken, moves[row], fine = own_best(case, o, table)
        if mirrored is not None:
            mirrored[row] = table.mirrored & (moves[row] != 0)
        levels += taken
        allowed &= fine
    profile = Profile(
        plane, grids, tuple(o.pen for o in opts), levels, moves, allowed, stay_levels, stay_allowed,
        np.ones(count, dtype=bool),
        loose=loose,
        columns=columns,
        mirrored=mirrored,
    )
    if pairs:
        profile.clashes = Clashes(case, profile, opts, tables, pairs)
        profile.settled = ~(profile.clashes.anywhere() & allowed)
    return profile


def own_best(case: Case, o: Options, table: PenTable) -> tuple[Ticks, Ticks, NDArray[np.bool_]]:
    """Levels and delta of a penetration's best option by itself, and whether it has any."""
    movable = table.move_short < NO_MOVE
    rate = move_rate(case, case.penetrations[o.pen])
    # Moving to a clear place beats staying when it is cheaper, or as cheap and not clear here: a
    # worse state comes before a move in the tie order. Staying clear is never beaten.
    gain = (rate < table.stay[COST]) | ((rate == table.stay[COST]) & (table.states != 0))
    stays = table.stay_allowed & table.may_stay
    goes = movable & (gain | ~stays)
    delta = np.where(goes, table.move, 0)
    taken = np.where(goes[None, :], 0, table.stay)
    taken[COST] += goes * rate
    taken[MOVED] += goes
    taken[SHORT] += np.where(goes, table.move_short, 0)
    taken[DIST] += np.abs(delta)
    return taken, delta, goes | stays
