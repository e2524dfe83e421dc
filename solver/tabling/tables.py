"""One penetration against every first width: what staying and its best move are worth.

The rows of `LEVELS` are the levels of the tie order that add up over planes; `ORDER` is the whole
of it, down to the first widths.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Penetration, ends_of, needed2
from solver.tabling.curb_phase import CROWDED, CURB_CODE, curb_table
from solver.tabling.moves import Options
from solver.tabling.phase import (
    CLEAR,
    CROSSES,
    ON_SEAM,
    PIPE_CODE,
    TIGHT,
    Grids,
    pipe_states,
    room2,
    rooms2,
)
from solver.tabling.starts import Ticks

LEVELS: Final = (
    "cost", "on-seam", "seams_cut", "crosses", "tight", "crowded", "moved", "links_missed",
    "off_centre", "unlanded", "odd_panels", "uneven", "stock", "altered", "shortfall2", "distance",
    "odd_width", "odd_start2", "change",
)
COST, ON, CUT, CROSS, TIGHTS, CROWD, MOVED, LINKS, CENTRES, UNLANDED = range(10)
ODD, UNEVEN, STOCK, ALTERED, SHORT, DIST, ODD_WIDTH, START2, CHANGED = range(10, 19)
COUNTS: Final = slice(ON, ALTERED)
"""The counts two candidates are compared by."""

ORDER: Final[tuple[int | str, ...]] = (
    *range(DIST + 1), "narrowest", ODD_WIDTH, "clearance2", START2, CHANGED,
)
"""The tie order: numbers are levels, smaller sums are better (the width of odd panels is counted
negative); names are columns of the roof's planes, of which the least over all is to be large."""

NO_MOVE: Final = np.int64(1) << 60


@dataclass(frozen=True)
class PenTable:
    """Levels of staying (levels, first widths), whether it is allowed, and the best clear move.

    `stay_allowed` is by the forbidden states alone; `may_stay` is False where a move is frozen.
    `move` is the signed delta (ticks) of the best move for each first width and `move_short` its
    shortfall (half ticks), NO_MOVE where no move would be clear. `mirrored` is True where that move
    the other way would be as good.
    """

    stay: Ticks
    stay_allowed: NDArray[np.bool_]
    states: NDArray[np.int8]
    move: Ticks
    move_short: Ticks
    mirrored: NDArray[np.bool_]
    may_stay: bool = True


def forbidden(
    states: NDArray[np.int8], codes: dict[str, int], pen: Penetration
) -> NDArray[np.bool_]:
    """Where a penetration is in a state its case forbids."""
    barred = [codes[state] for state in pen.forbid if state in codes]
    result: NDArray[np.bool_] = np.isin(states, barred)
    return result


def shortfall2(case: Case, pen: Penetration, room: Ticks) -> Ticks:
    """By how much a clear pipe's margin falls short of `enough` (half ticks)."""
    result: Ticks = np.maximum(2 * case.rules.enough - (room - needed2(pen, case.rules)), 0)
    return result


def pen_table(grids: Grids, opts: Options) -> PenTable:
    """Tabulate one penetration for all first widths of its plane."""
    case = grids.case
    pen = case.penetrations[opts.pen]
    if pen.kind == "curb":
        return _curb(grids, pen)
    room = room2(grids, pen, np.array([pen.x], dtype=np.int64))[0]
    states = pipe_states(case, pen, room)
    stay = np.zeros((len(LEVELS), len(grids.firsts)), dtype=np.int64)
    for code, level, rate in ((ON_SEAM, ON, "on_seam"), (CROSSES, CROSS, "crosses"),
                              (TIGHT, TIGHTS, "tight")):
        hit = states == code
        stay[level] = hit
        stay[COST] += hit * case.rates.cents(rate)
    stay[SHORT] = np.where(states == CLEAR, shortfall2(case, pen, room), 0)
    best, best_short, mirrored = _best_move(grids, pen, opts)
    allowed = ~forbidden(states, PIPE_CODE, pen)
    return PenTable(stay, allowed, states, best, best_short, mirrored, opts.may_stay)


def fixed_states(grids: Grids, pens: list[Penetration]) -> tuple[NDArray[np.int8], Ticks]:
    """State codes and rooms (half ticks) of pipes where they stand, (pipes, first widths)."""
    case = grids.case
    x = np.array([pen.x for pen in pens], dtype=np.int64)
    ends = np.array([ends_of(grids.plane, pen) for pen in pens], dtype=np.int64).reshape(-1, 2)
    x_tol = np.array([pen.x_tol for pen in pens], dtype=np.int64)
    room = rooms2(grids, x, x_tol, ends[:, 0], ends[:, 1])
    limits = np.array(
        [[needed2(p, case.rules), p.base, p.outside + 2 * case.rules.hole_gap] for p in pens],
        dtype=np.int64,
    ).reshape(len(pens), 3)
    states = np.full(room.shape, ON_SEAM, dtype=np.int8)
    for column, code in ((2, CROSSES), (1, TIGHT), (0, CLEAR)):
        states[room >= limits[:, column : column + 1]] = code
    return states, room


def fixed_levels(grids: Grids, pens: list[Penetration]) -> tuple[Ticks, NDArray[np.bool_]]:
    """What pipes that cannot move add up to (levels, first widths), and where all are allowed."""
    case = grids.case
    states, room = fixed_states(grids, pens)
    levels = np.zeros((len(LEVELS), len(grids.firsts)), dtype=np.int64)
    for code, level, rate in ((ON_SEAM, ON, "on_seam"), (CROSSES, CROSS, "crosses"),
                              (TIGHT, TIGHTS, "tight")):
        levels[level] = (states == code).sum(axis=0)
        levels[COST] += levels[level] * case.rates.cents(rate)
    needed = np.array([needed2(pen, case.rules) for pen in pens], dtype=np.int64)[:, None]
    lacks = np.maximum(2 * case.rules.enough - (room - needed), 0)
    levels[SHORT] = np.where(states == CLEAR, lacks, 0).sum(axis=0)
    allowed = np.ones(len(grids.firsts), dtype=bool)
    for row, pen in enumerate(pens):
        if pen.forbid:
            allowed &= ~forbidden(states[row], PIPE_CODE, pen)
    return levels, allowed


def _best_move(
    grids: Grids, pen: Penetration, opts: Options
) -> tuple[Ticks, Ticks, NDArray[np.bool_]]:
    """The best clear move for each first width: least shortfall, then nearest, then smaller x.

    And whether the same move the other way is as good.
    """
    count = len(grids.firsts)
    mirrored = np.zeros(count, dtype=bool)
    best = np.zeros(count, dtype=np.int64)
    best_short = np.full(count, NO_MOVE, dtype=np.int64)
    for part in np.array_split(opts.deltas[1:], max(1, len(opts.deltas) * count // 2_000_000)):
        if not len(part):
            continue
        room = room2(grids, pen, pen.x + part)
        clear = room >= needed2(pen, grids.case.rules)
        short = np.where(clear, shortfall2(grids.case, pen, room), NO_MOVE)
        pick = short.argmin(axis=0)  # the first of equals, and deltas stand in tie order
        value = short[pick, np.arange(count)]
        better = value < best_short
        best = np.where(better, part[pick], best)
        best_short = np.where(better, value, best_short)
        # Moves of one size stand side by side, towards smaller x first.
        behind = np.minimum(pick + 1, len(part) - 1)
        other = (part[behind] == -part[pick]) & (short[behind, np.arange(count)] == value)
        mirrored = np.where(better, other, mirrored)
    return best, best_short, mirrored


def _curb(grids: Grids, pen: Penetration) -> PenTable:
    case = grids.case
    table = curb_table(grids, pen)
    count = len(grids.firsts)
    stay = np.zeros((len(LEVELS), count), dtype=np.int64)
    crowded = table.states == CROWDED
    stay[CUT] = table.cut
    stay[CROWD] = crowded
    stay[UNLANDED] = table.unlanded
    stay[COST] = (
        table.cut * case.rates.cents("seam_cut") + crowded * case.rates.cents("crowded")
        + table.unlanded * case.rates.cents("unlanded")
    )
    stay[SHORT] = table.short2
    allowed = ~forbidden(table.states, CURB_CODE, pen) & ~(pen.must_land & (table.unlanded > 0))
    none = np.zeros(count, dtype=np.int64)
    no_move = np.full(count, NO_MOVE, dtype=np.int64)
    return PenTable(stay, allowed, table.states, none, no_move, np.zeros(count, dtype=bool))


def move_rate(case: Case, pen: Penetration) -> int:
    """Cents for moving this pipe, whatever the distance."""
    return case.rates.cents("move_stubbed" if pen.status == "stubbed" else "move_planned")
