"""The stretch of centres in which a pipe may end up: what the plumber's tolerance really is.

Around where a layout puts a pipe, towards both sides, as far as it stays clear of seams and laps
and keeps the rules of a move: edge gap, keep-outs, spacing from all others where they finally
stand, its reach and, for a stubbed pipe that moves, what fittings can make. Exact ticks. Whether a
place is clear is asked of the checker, so the stretch follows whatever the case calls clear.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import isqrt
from typing import Literal

from solver.case import Case, Keepout, Penetration, Plane, ends_of
from solver.case import alone as only
from solver.checker.judge import judge
from solver.layout import Layout
from solver.result import Judged, JudgedPenetration
from solver.tabling.moves import least_dx

LimitKind = Literal["seams", "edge", "keepout", "spacing", "reach", "fittings"]


@dataclass(frozen=True, slots=True)
class Limit:
    """What ends a stretch: `x` (ticks) is the last good centre; `about` an id or a keep-out."""

    x: int
    kind: LimitKind
    about: str = ""


@dataclass(frozen=True, slots=True)
class Stretch:
    """The good centres from `low.x` to `high.x` (ticks), and what ends them on each side."""

    low: Limit
    high: Limit


class Neighbours:
    """Where everything on a plane finally stands, in increasing x."""

    def __init__(self, case: Case, plane: Plane, judged: Judged) -> None:
        self._case = case
        stands = judged.penetrations
        self._at = sorted((stands[i].x, i) for i in case.on(plane.id))
        widest = max((_width(case.penetrations[i]) for _, i in self._at), default=0)
        # Beyond this a neighbour cannot end a stretch that lies within one pan.
        self._most = widest + case.rules.spacing + case.panel.cover

    def limits(self, index: int, x: int) -> tuple[list[Limit], list[Limit]]:
        """What the others leave of the eave below and above a pipe at `x` (ticks)."""
        case, lows, highs = self._case, [], []
        pen = case.penetrations[index]
        start = bisect_left(self._at, (x - self._most, -1))
        stop = bisect_right(self._at, (x + self._most, len(case.penetrations)))
        for other_x, other in self._at[start:stop]:
            if other == index:
                continue
            least = least_dx(case, pen, case.penetrations[other])
            if least <= 0:
                continue
            about = case.penetrations[other].id
            if other_x < x:
                lows.append(Limit(other_x + least, "spacing", about))
            else:
                highs.append(Limit(other_x - least, "spacing", about))
        return lows, highs


def stretch_of(
    case: Case, plane: Plane, layout: Layout, index: int, stands: JudgedPenetration,
    others: Neighbours,
) -> Stretch | Limit | None:
    """The good centres around where pipe `index` stands on its plane as the layout lays it.

    None where it is not clear there; a Limit, with what is broken, where it stands as drawn against
    a rule of moves (then no centre beside it is known to be good).
    """
    if stands.state != "clear":
        return None
    pen, x = case.penetrations[index], stands.x
    seams = _clear_span(case, plane, layout, pen, stands)
    lows, highs = [Limit(seams[0], "seams")], [Limit(seams[1], "seams")]
    edge = -(-(pen.outside + 2 * case.rules.edge_gap) // 2)
    low_end, high_end = ends_of(plane, pen)
    lows.append(Limit(low_end + edge, "edge"))
    highs.append(Limit(high_end - edge, "edge"))
    for keepout in plane.keepouts:
        bounds = keepout_bounds(keepout, pen)
        if bounds is None:
            continue
        last_below, first_above = bounds
        if last_below < x < first_above:
            return Limit(x, "keepout", keepout.what)
        if x <= last_below:
            highs.append(Limit(last_below, "keepout", keepout.what))
        else:
            lows.append(Limit(first_above, "keepout", keepout.what))
    beside = others.limits(index, x)
    lows += beside[0]
    highs += beside[1]
    lows.append(Limit(pen.x - pen.reach_low, "reach"))
    highs.append(Limit(pen.x + pen.reach_high, "reach"))
    if pen.status == "stubbed" and pen.makeable and not stands.moved:
        most = max(high for _, high in pen.makeable)
        lows.append(Limit(pen.x - most, "fittings"))
        highs.append(Limit(pen.x + most, "fittings"))
    elif pen.status == "stubbed" and stands.moved:
        near, far = _offsets(pen, abs(stands.moved))
        upwards = stands.moved > 0
        inner, outer = (lows, highs) if upwards else (highs, lows)
        inner.append(Limit(pen.x + near if upwards else pen.x - near, "fittings"))
        if far is not None:
            outer.append(Limit(pen.x + far if upwards else pen.x - far, "fittings"))
    low = max(lows, key=lambda limit: limit.x)
    high = min(highs, key=lambda limit: limit.x)
    if low.x > x:
        return low
    return Stretch(low, high) if high.x >= x else high


def keepout_bounds(keepout: Keepout, pen: Penetration) -> tuple[int, int] | None:
    """The last good centre below a keep-out and the first above it (ticks).

    None where the pipe passes above or below it. A disc may touch a keep-out.
    """
    up = 0
    if keepout.y_from is not None and keepout.y_to is not None:
        up = max(keepout.y_from - pen.y, pen.y - keepout.y_to, 0)
    square = pen.outside * pen.outside - 4 * up * up
    if square <= 0:
        return None
    aside = -(-(isqrt(square - 1) + 1) // 2)
    return keepout.x_from - aside, keepout.x_to + aside


def _offsets(pen: Penetration, size: int) -> tuple[int, int | None]:
    """The run of offsets around `size` that can be made of a stubbed pipe (most None: no limit)."""
    for low, high in pen.makeable or ():
        if low <= size <= high:
            return max(low, pen.min_offset), high
    return pen.min_offset, None


def _clear_span(
    case: Case, plane: Plane, layout: Layout, pen: Penetration, stands: JudgedPenetration
) -> tuple[int, int]:
    """First and last clear centre (ticks) of the pan in which a clear pipe stands.

    Room is a least of distances, so it falls away on both sides: the clear centres of one pan are
    one run. The checker's own stretch is tried first; where it does not hold (a case that judges by
    the worst shift of a seam) the ends are looked for by halving.
    """
    alone = replace(only(case, (plane.id,)), penetrations=(pen,))

    laid = _only(layout, case.planes.index(plane))

    low_end, high_end = ends_of(plane, pen)

    def clear(x: int) -> bool:
        if not low_end <= x <= high_end:
            return False
        judged = judge(alone, replace(laid, moves=(x - pen.x,)))
        return judged.penetrations[0].state == "clear"

    below = stands.seam_low if stands.seam_low is not None else -1
    above = stands.seam_high if stands.seam_high is not None else plane.width + 1
    from2, to2 = stands.clear_from2, stands.clear_to2
    low = None if from2 is None else -(-from2 // 2)
    high = None if to2 is None else to2 // 2
    return (
        _last_good(clear, stands.x, below, low, -1), _last_good(clear, stands.x, above, high, 1)
    )


def _only(layout: Layout, place: int) -> Layout:
    """How one plane is laid, as the only one of a case; the moves are left out."""
    return Layout(
        (layout.firsts[place],), (),
        tuple(replace(odd, plane=0) for odd in layout.odds if odd.plane == place),
        tuple(replace(change, plane=0) for change in layout.changes if change.plane == place),
    )


def _last_good(
    good: Callable[[int], bool], inside: int, outside: int, guess: int | None, way: int
) -> int:
    """The last good x from `inside` (good) towards `outside` (not good)."""
    if guess is not None and (guess - inside) * way >= 0 and good(guess) and not good(guess + way):
        return guess
    while abs(outside - inside) > 1:
        middle = (inside + outside) // 2
        if good(middle):
            inside = middle
        else:
            outside = middle
    return inside


def _width(pen: Penetration) -> int:
    return pen.outside if pen.kind == "pipe" else pen.across
