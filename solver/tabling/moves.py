"""Where a pipe may go: reach, fittings, plane ends, keep-outs, and spacing from what cannot move.

Everything is along the eave, so a minimum distance on the slope turns into a least |dx| for a given
pair: `y` never changes. All comparisons are exact integers.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isqrt

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Keepout, Penetration, Plane, ends_of
from solver.tabling.starts import Ticks


def can_move(case: Case) -> bool:
    """Whether a layout of the case could have anything moved."""
    return bool(case.freeze.moves) or any(p.reach_low or p.reach_high for p in case.penetrations)


@dataclass(frozen=True)
class Options:
    """The moves open to one penetration before seams are considered.

    `deltas` are signed ticks; the first is always 0 (staying), the rest by size, then towards
    smaller x first, which is the tie order among moves of equal merit. `may_stay` is False where
    the case freezes a move: then the only other delta is that one.
    """

    pen: int
    deltas: Ticks
    may_stay: bool = True

    @property
    def can_move(self) -> bool:
        """Whether anything but staying is open."""
        return len(self.deltas) > 1


@dataclass(frozen=True)
class Pair:
    """Two penetrations, at least one of which can move: |dx| must be `least` or more (ticks).

    The limit does not bind while neither has moved.
    """

    a: int
    b: int
    least: int


def _root_up(square: int) -> int:
    """Smallest whole number whose square is at least `square`; 0 for nothing or less."""
    if square <= 0:
        return 0
    return isqrt(square - 1) + 1


def least_dx(case: Case, one: Penetration, other: Penetration) -> int:
    """Least |dx| (ticks) between two penetrations of a plane once either has moved.

    Clear distance on the slope, body to body, at least `spacing`; where the case has less, at least
    what the case has.
    """
    if one.kind == "curb" and other.kind == "curb":
        return 0
    dx, dy = abs(one.x - other.x), abs(one.y - other.y)
    reach2 = 2 * case.rules.spacing + one.outside + other.outside
    curb = one if one.kind == "curb" else other
    across, along = (curb.across, curb.along) if curb.kind == "curb" else (0, 0)
    gap_y2 = max(2 * dy - along, 0)
    gap_x2 = max(2 * dx - across, 0)
    limit = min(reach2 * reach2, gap_x2 * gap_x2 + gap_y2 * gap_y2)
    gap2 = _root_up(limit - gap_y2 * gap_y2)
    return -(-(gap2 + across) // 2) if gap2 else 0


def _clear_of(keepout: Keepout, pen: Penetration, x: Ticks) -> NDArray[np.bool_]:
    """Whether a pipe's disc centred at each `x` stays off a keep-out (touching is allowed)."""
    gap_x2 = 2 * np.maximum(np.maximum(keepout.x_from - x, x - keepout.x_to), 0)
    if keepout.y_from is None or keepout.y_to is None:
        gap_y2 = 0
    else:
        gap_y2 = 2 * max(keepout.y_from - pen.y, pen.y - keepout.y_to, 0)
    least2 = _root_up(pen.outside * pen.outside - gap_y2 * gap_y2)
    off: NDArray[np.bool_] = gap_x2 >= least2
    return off


def _steps(case: Case, plane: Plane, pen: Penetration) -> Ticks:
    """Whole steps within reach, beyond a stubbed pipe's smallest offset, off the plane's ends."""
    step = case.step
    edge = -(-(pen.outside + 2 * case.rules.edge_gap) // 2)
    low_end, high_end = ends_of(plane, pen)
    low = max(-pen.reach_low, low_end + edge - pen.x)
    high = min(pen.reach_high, high_end - edge - pen.x)
    steps = np.arange(-(-low // step), high // step + 1, dtype=np.int64) * step
    size = np.abs(steps)
    open_ = size >= max(pen.min_offset if pen.status == "stubbed" else 1, 1)
    if pen.makeable is not None:
        made = np.zeros(len(steps), dtype=bool)
        for least, most in pen.makeable:
            made |= (size >= least) & (size <= most)
        open_ &= made
    return steps[open_]


def options(case: Case, plane: Plane, index: int, still: list[int]) -> Options:
    """The moves open to penetration `index`; `still` are those of its plane that cannot move."""
    pen = case.penetrations[index]
    deltas = np.zeros(1, dtype=np.int64)
    if pen.kind == "curb" or pen.status == "fixed" or not (pen.reach_low or pen.reach_high):
        return Options(index, deltas)
    steps = _steps(case, plane, pen)
    x = pen.x + steps
    good = np.ones(len(steps), dtype=bool)
    for keepout in plane.keepouts:
        good &= _clear_of(keepout, pen, x)
    for other in still:
        fixed = case.penetrations[other]
        good &= np.abs(x - fixed.x) >= least_dx(case, pen, fixed)
    steps = steps[good]
    steps = steps[np.lexsort((steps, np.abs(steps)))]
    agreed = dict(case.freeze.moves).get(pen.id)
    if agreed is not None:
        steps = steps[steps == agreed]
    return Options(index, np.concatenate([deltas, steps]), not agreed)


def plane_options(case: Case, plane: Plane) -> tuple[list[Options], list[Pair]]:
    """Options of every penetration of a plane (case order) and the pairs that tie movable ones."""
    members = case.on(plane.id)
    may_move = [
        i for i in members
        if (pen := case.penetrations[i]).kind == "pipe"
        and pen.status != "fixed"
        and (pen.reach_low or pen.reach_high)
    ]
    still = sorted(set(members) - set(may_move))
    every = [options(case, plane, i, still) for i in members]
    # One that turned out to have no move is a fixed neighbour to the others, and already counted
    # as a pair below, since its only option is to stay.
    span = {
        o.pen: (
            case.penetrations[o.pen].x + int(o.deltas.min()),
            case.penetrations[o.pen].x + int(o.deltas.max()),
        )
        for o in every
        if o.pen in set(may_move)
    }
    return every, list(_pairs(case, may_move, span))


def _pairs(case: Case, movable: list[int], span: dict[int, tuple[int, int]]) -> list[Pair]:
    """Pairs of movable pipes that could come too near, found by a sweep along the eave."""
    pairs = []
    widest = max((case.penetrations[i].outside for i in movable), default=0)
    most = case.rules.spacing + widest
    order = sorted(movable, key=lambda i: (span[i][0], i))
    active: list[int] = []
    for i in order:
        low = span[i][0]
        active = [j for j in active if span[j][1] + most >= low]
        for j in active:
            a, b = min(i, j), max(i, j)
            least = least_dx(case, case.penetrations[a], case.penetrations[b])
            nearest = max(span[i][0] - span[j][1], span[j][0] - span[i][1], 0)
            if least > nearest:
                pairs.append(Pair(a, b, least))
        active.append(i)
    return sorted(pairs, key=lambda pair: (pair.a, pair.b))
