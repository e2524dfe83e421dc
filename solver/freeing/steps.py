"""By which whole steps one penetration alone may move while all others stay.

Pipes that can move go by the rules of moves. For those that cannot, and for curbs, the question is
only supposed: the same rules, as far as the usual reach.
"""

from __future__ import annotations

from dataclasses import replace
from math import isqrt

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Freeze, Keepout, Penetration, Plane, ends_of
from solver.case_file.defaults import LENGTHS
from solver.freeing.held import positions
from solver.tabling.moves import least_dx, plane_options
from solver.tabling.starts import Ticks


def can_move(pen: Penetration) -> bool:
    """Whether the case lets a penetration move at all."""
    return pen.kind == "pipe" and pen.status != "fixed" and bool(pen.reach_low or pen.reach_high)


def usual_reach(case: Case, plane: Plane) -> int:
    """The largest reach (ticks) of the pipes of a plane; where none can move, that of
    the case, and where that is nothing the usual default."""
    reaches = [
        max(pen.reach_low, pen.reach_high)
        for pen in case.penetrations
        if pen.plane == plane.id and can_move(pen)
    ]
    return max(reaches, default=0) or case.reach or LENGTHS[case.units]["reach"]


def loosened(case: Case, index: int, plane: Plane) -> Case:
    """The case in which one pipe that cannot move may, as far as the usual reach."""
    reach = usual_reach(case, plane)
    loose = replace(
        case.penetrations[index], status="planned", written_status="planned", hold=None,
        reach_low=reach, reach_high=reach, min_offset=0, makeable=None,
    )
    pens = case.penetrations
    return replace(
        case, setting="new", penetrations=(*pens[:index], loose, *pens[index + 1 :]), covers=()
    )


def open_steps(case: Case, plane: Plane) -> dict[int, Ticks]:
    """Signed moves (ticks, nearest first) open to each pipe of a plane that can move.

    All others stand where they are drawn, or where they are agreed to go.
    """
    at = positions(case)
    every, pairs = plane_options(replace(case, freeze=Freeze()), plane)
    found = {o.pen: o.deltas[1:] for o in every if can_move(case.penetrations[o.pen])}
    for pair in pairs:
        for one, other in ((pair.a, pair.b), (pair.b, pair.a)):
            if one in found:
                apart = np.abs(case.penetrations[one].x + found[one] - at[other])
                found[one] = found[one][apart >= pair.least]
    return found


def supposed_steps(case: Case, plane: Plane, index: int) -> Ticks:
    """The same for one that cannot move, as far as the usual reach."""
    if case.penetrations[index].kind == "pipe":
        return open_steps(loosened(case, index, plane), plane)[index]
    return _curb_steps(case, plane, index)


def _curb_steps(case: Case, plane: Plane, index: int) -> Ticks:
    curb, step = case.penetrations[index], case.step
    most = usual_reach(case, plane) // step
    steps = np.arange(-most, most + 1, dtype=np.int64) * step
    steps = steps[steps != 0]
    steps = steps[np.lexsort((steps, np.abs(steps)))]
    x = curb.x + steps
    edge2 = curb.across + 2 * case.rules.edge_gap
    low_end, high_end = ends_of(plane, curb)
    good = 2 * np.minimum(x - low_end, high_end - x) >= edge2
    for keepout in plane.keepouts:
        good &= _off(keepout, curb, x)
    at = positions(case)
    for other in case.on(plane.id):
        if other != index:
            pen = case.penetrations[other]
            least = _curbs_dx2(case, curb, pen) if pen.kind == "curb" else 2 * least_dx(
                case, curb, pen)
            good &= 2 * np.abs(x - at[other]) >= least
    result: Ticks = steps[good]
    return result


def _off(keepout: Keepout, curb: Penetration, x: Ticks) -> NDArray[np.bool_]:
    """Whether a curb centred at each `x` keeps off a keep-out; touching is allowed."""
    beside: NDArray[np.bool_] = 2 * np.maximum(keepout.x_from - x, x - keepout.x_to) >= curb.across
    if keepout.y_from is None or keepout.y_to is None:
        return beside
    above = 2 * max(keepout.y_from - curb.y, curb.y - keepout.y_to) >= curb.along
    return beside | above


def _curbs_dx2(case: Case, one: Penetration, other: Penetration) -> int:
    """Least |dx| (half ticks) between two curbs: the spacing, or what the case has if less."""
    widths2 = one.across + other.across
    gap_y2 = max(2 * abs(one.y - other.y) - one.along - other.along, 0)
    gap_x2 = max(2 * abs(one.x - other.x) - widths2, 0)
    drawn = gap_x2 * gap_x2 + gap_y2 * gap_y2
    asked = 4 * case.rules.spacing * case.rules.spacing
    short = min(asked, drawn) - gap_y2 * gap_y2
    gap2 = isqrt(short - 1) + 1 if short > 0 else 0
    return widths2 + gap2 if gap2 else 0
