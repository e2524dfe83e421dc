"""What keeps a pipe off the places along an eave: open intervals of centres, exactly.

Seams and end laps, the edge gap, keep-outs, the spacing from everything else. A `Gap` is in half
ticks; what lies strictly between its ends is not clear.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import isqrt

import numpy as np

from solver.case import Case, Keepout, Penetration, Plane, ends_of, needed2
from solver.findings.seam_order import at_height, panels_from_first, sides, width_shift
from solver.layout import Layout
from solver.result import JudgedPlane
from solver.shape.spans import spans_at
from solver.tabling.worst_shift import far_end_shift, seam_shifts

Gap = tuple[int, int]


def flattened(case: Case) -> Case:
    """The case as if everything stood at one height of the slope: every rule at its worst."""
    planes = tuple(
        replace(plane, keepouts=tuple(replace(k, y_from=None, y_to=None) for k in plane.keepouts))
        for plane in case.planes
    )
    pens = tuple(replace(pen, y=0) for pen in case.penetrations)
    return replace(case, planes=planes, penetrations=pens, covers=())


def clear_spans(gaps: Iterable[Gap], width: int) -> list[tuple[int, int]]:
    """Whole ticks of `0 … width` in none of the open gaps (half ticks), as runs, low first."""
    spans = []
    start2 = 0
    for low2, high2 in sorted(gap for gap in gaps if gap[0] < gap[1]):
        if low2 >= start2:
            spans.append((-(-start2 // 2), min(low2, 2 * width) // 2))
        start2 = max(start2, high2)
    spans.append((-(-start2 // 2), width))
    return [(low, high) for low, high in spans if low <= high]


def _slack2(case: Case, pipe: Penetration) -> int:
    """Half ticks between a seam's near side and the centre: what is needed, and doubt if robust."""
    return needed2(pipe, case.rules) + (2 * pipe.x_tol if case.rules.robust else 0)


def room_gaps(case: Case, plane: Plane, ends: JudgedPlane, pipe: Penetration) -> list[Gap]:
    """Around seams and end laps: where the pipe's room is less than it needs."""
    lap2 = 2 * case.rules.end_lap + _slack2(case, pipe)
    off2 = 2 * far_end_shift(case)
    return [*_of_ends(plane, pipe, lap2, lap2 + off2), *_of_seams(case, plane, ends, pipe)]


def move_gaps(case: Case, plane: Plane, layout: Layout, pipe: Penetration) -> list[Gap]:
    """Where the rules of moves do not let the pipe stand: edges, keep-outs, other penetrations."""
    edge2 = pipe.outside + 2 * case.rules.edge_gap
    return [
        *_of_ends(plane, pipe, edge2, edge2),
        *_of_keepouts(plane, pipe), *_of_others(case, layout, pipe),
    ]


def _of_ends(plane: Plane, pipe: Penetration, low2: int, high2: int) -> list[Gap]:
    """Where there is no roof at the pipe's height, and next to that: so far (half ticks) from where
    a stretch of roof begins, and from where it ends."""
    if plane.lean is not None:
        spans = [ends_of(plane, pipe)]
    else:
        spans = [(0, plane.width)] if plane.outline is None else spans_at(plane, pipe.y)
    begins2 = [-1, *(2 * high - high2 for _, high in spans)]
    ends2 = [*(2 * low + low2 for low, _ in spans), 2 * plane.width + 1]
    return list(zip(begins2, ends2, strict=True))


def _of_seams(case: Case, plane: Plane, ends: JudgedPlane, pipe: Penetration) -> Iterator[Gap]:
    """Around every seam its sides, its worst shift in a robust case, and what the pipe needs."""
    ends = at_height(plane, ends, pipe.y)
    on = np.array(panels_from_first(plane, ends.seams), dtype=np.int64)
    shifts = seam_shifts(case, on) + (width_shift(case, plane) if case.rules.robust else 0)
    slack2 = _slack2(case, pipe)
    for seam, shift in zip(ends.seams, shifts, strict=True):
        low, high = sides(case, plane, seam)
        yield (2 * (seam - low - int(shift)) - slack2, 2 * (seam + high + int(shift)) + slack2)


def _of_keepouts(plane: Plane, pipe: Penetration) -> Iterator[Gap]:
    for keepout in plane.keepouts:
        up2 = _up2(keepout, pipe)
        reach2 = _root_up(pipe.outside * pipe.outside - up2 * up2)
        if reach2:
            yield 2 * keepout.x_from - reach2, 2 * keepout.x_to + reach2


def keepouts_at(plane: Plane, pipe: Penetration, x: int) -> tuple[Keepout, ...]:
    """The keep-outs that the pipe, centred at `x`, would reach into."""
    return tuple(
        keepout
        for keepout in plane.keepouts
        for low2, high2 in _of_keepouts(replace(plane, keepouts=(keepout,)), pipe)
        if low2 < 2 * x < high2
    )


def _up2(keepout: Keepout, pipe: Penetration) -> int:
    if keepout.y_from is None or keepout.y_to is None:
        return 0
    return 2 * max(keepout.y_from - pipe.y, pipe.y - keepout.y_to, 0)


def _of_others(case: Case, layout: Layout, pipe: Penetration) -> Iterator[Gap]:
    """Around every other penetration its half width and the spacing, Euclidean on the slope."""
    for pen, move in zip(case.penetrations, layout.moves, strict=True):
        if pen.plane != pipe.plane:
            continue
        apart2 = 2 * case.rules.spacing + pipe.outside + pen.outside
        up2 = max(2 * abs(pen.y - pipe.y) - pen.along, 0)
        reach2 = _root_up(apart2 * apart2 - up2 * up2)
        if reach2:
            reach2 += pen.across
            yield 2 * (pen.x + move) - reach2, 2 * (pen.x + move) + reach2


def _root_up(square: int) -> int:
    return isqrt(square - 1) + 1 if square > 0 else 0
