"""One plane's best layout for every first width, exactly.

Pipes are independent but for spacing. So every penetration first takes its own best option; where
two of those come too near each other, what they add up to is only a lower bound in the tie order.
Such a first width is unsettled, and is settled by `solver.clashes` only if it comes up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.clashes import Clashes
from solver.clock import Clock
from solver.moves import Options, plane_options
from solver.phase import Grids
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
)
from solver.units import TICKS_PER_INCH, TICKS_PER_MM


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


def build_profile(case: Case, plane: Plane, clock: Clock | None = None) -> Profile:
    """Tabulate a plane. Time: linear in penetrations, options and first widths.

    Pipes that are left when the clock is over stay where they are, and the profile is `loose`.
    """
    grids = Grids(case, plane, legal_firsts(case, plane))
    count = len(grids.firsts)
    opts, pairs = plane_options(case, plane)
    tables: list[PenTable] = []
    loose = 0
    for place, o in enumerate(opts):
        if o.can_move and o.may_stay and clock is not None and clock.over():
            opts[place] = Options(o.pen, o.deltas[:1])
            tables.append(pen_table(grids, opts[place]))
            loose += int(tables[-1].stay[COST].max(initial=0))
        else:
            tables.append(pen_table(grids, o))
    base = np.zeros((len(LEVELS), count), dtype=np.int64)
    over = np.abs(grids.firsts - grids.lasts) - case.rules.uneven_free
    base[UNEVEN] = np.maximum(over, 0) // uneven_unit(case)
    base[COST] = base[UNEVEN] * case.rates.cents("uneven")

    agreed = dict(case.freeze.firsts).get(plane.id)
    open_ = np.ones(count, dtype=bool) if agreed is None else grids.firsts == agreed
    levels, allowed = base.copy(), open_.copy()
    stay_levels, stay_allowed = base.copy(), open_.copy()
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
        loose=loose,
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
    stays = table.stay_allowed & table.may_stay
    goes = movable & (gain | ~stays)
    delta = np.where(goes, table.move, 0)
    taken = np.where(goes[None, :], 0, table.stay)
    taken[COST] += goes * rate
    taken[MOVED] += goes
    taken[SHORT] += np.where(goes, table.move_short, 0)
    taken[DIST] += np.abs(delta)
    return taken, delta, goes | stays
