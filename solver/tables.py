"""One penetration against every first width: what staying and its best move are worth.

The rows of `LEVELS` are the tie order of a layout as far as it adds up over penetrations.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Penetration, needed2
from solver.moves import Options
from solver.phase import (
    CLEAR,
    CROSSES,
    CROWDED,
    CURB_CODE,
    ON_SEAM,
    PIPE_CODE,
    TIGHT,
    Grids,
    curb_table,
    pipe_states,
    room2,
)
from solver.starts import Ticks

LEVELS: Final = (
    "cost", "on-seam", "seams_cut", "crosses", "tight", "crowded", "moved", "links_missed",
    "odd_panels", "uneven", "shortfall2", "distance",
)
COST, ON, CUT, CROSS, TIGHTS, CROWD, MOVED, LINKS, ODD, UNEVEN, SHORT, DIST = range(12)
COUNTS: Final = slice(ON, SHORT)
"""The nine counts two candidates are compared by."""

NO_MOVE: Final = np.int64(1) << 60


@dataclass(frozen=True)
class PenTable:
    """Levels of staying (12, first widths), whether it is allowed, and the best clear move.

    `stay_allowed` is by the forbidden states alone; `may_stay` is False where a move is frozen.
    `move` is the signed delta (ticks) of the best move for each first width and `move_short` its
    shortfall (half ticks), NO_MOVE where no move would be clear.
    """

    stay: Ticks
    stay_allowed: NDArray[np.bool_]
    states: NDArray[np.int8]
    move: Ticks
    move_short: Ticks
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
    best, best_short = _best_move(grids, pen, opts)
    allowed = ~forbidden(states, PIPE_CODE, pen)
    return PenTable(stay, allowed, states, best, best_short, opts.may_stay)


def _best_move(grids: Grids, pen: Penetration, opts: Options) -> tuple[Ticks, Ticks]:
    """The best clear move for each first width: least shortfall, then nearest, then smaller x."""
    count = len(grids.firsts)
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
    return best, best_short


def _curb(grids: Grids, pen: Penetration) -> PenTable:
    case = grids.case
    table = curb_table(grids, pen)
    count = len(grids.firsts)
    stay = np.zeros((len(LEVELS), count), dtype=np.int64)
    crowded = table.states == CROWDED
    stay[CUT] = table.cut
    stay[CROWD] = crowded
    stay[COST] = table.cut * case.rates.cents("seam_cut") + crowded * case.rates.cents("crowded")
    short = np.maximum(2 * case.rules.enough - table.margin2, 0)
    stay[SHORT] = np.where(crowded | table.no_flank, 0, short)
    allowed = ~forbidden(table.states, CURB_CODE, pen)
    none = np.zeros(count, dtype=np.int64)
    return PenTable(stay, allowed, table.states, none, np.full(count, NO_MOVE, dtype=np.int64))


def move_rate(case: Case, pen: Penetration) -> int:
    """Cents for moving this pipe, whatever the distance."""
    return case.rates.cents("move_stubbed" if pen.status == "stubbed" else "move_planned")
