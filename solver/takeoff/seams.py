"""Where the seams of a laid plane run: stretches up the slope, within the roof, outside its curbs.

Lengths in ticks, exact. Clips are counted along these stretches.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from fractions import Fraction

from solver.case import Case, Penetration, Plane
from solver.result import Judged, JudgedPenetration, JudgedPlane
from solver.shape.edges import Edge, edges_of

Stretch = tuple[Fraction, Fraction]
"""From and to, up the slope."""


def seam_stretches(
    case: Case, plane: Plane, laid: JudgedPlane, judged: Judged
) -> list[list[Stretch]]:
    """For every seam of a plane, in increasing x, the stretches in which it is built."""
    edges = sorted(edges_of(plane), key=_span)
    cuts: dict[int, list[Stretch]] = {}
    for index in case.on(plane.id):
        pen, stands = case.penetrations[index], judged.penetrations[index]
        if pen.kind != "curb":
            continue
        taken = (pen.y - Fraction(pen.along, 2), pen.y + Fraction(pen.along, 2))
        for seam in cut_seams(case, pen, stands, laid.seams):
            cuts.setdefault(seam, []).append(taken)
    found, reached = [], 0
    near: list[Edge] = []  # edges that reach beside the seam, whatever their number
    for seam in laid.seams:
        near = [edge for edge in near if _span(edge)[1] >= seam]
        while reached < len(edges) and _span(edges[reached])[0] <= seam:
            near.append(edges[reached])
            reached += 1
        found.append(without(on_roof(near, seam), cuts.get(seam, [])))
    return found


def cut_seams(
    case: Case, pen: Penetration, stands: JudgedPenetration, seams: Sequence[int]
) -> list[int]:
    """The seams that a curb interrupts: all between its flanks but those landed on its walls."""
    low = 0 if stands.seam_low is None else bisect_right(seams, stands.seam_low)
    high = len(seams) if stands.seam_high is None else bisect_left(seams, stands.seam_high)
    between = list(seams[low:high])
    if pen.detail != "ribbed":
        return between
    walls2 = (2 * stands.x - pen.across, 2 * stands.x + pen.across)
    tol2 = 2 * case.rules.land_tol
    return [seam for seam in between if all(abs(2 * seam - wall) > tol2 for wall in walls2)]


def on_roof(edges: Sequence[Edge], x: int) -> list[Stretch]:
    """Where a seam at `x` has roof on both sides; along an upright edge it has not."""
    beside = [_beside(edges, x, high=False), _beside(edges, x, high=True)]
    both = [
        (max(one[0], other[0]), min(one[1], other[1])) for one in beside[0] for other in beside[1]
    ]
    return _merged([stretch for stretch in both if stretch[0] < stretch[1]])


def _beside(edges: Sequence[Edge], x: int, *, high: bool) -> list[Stretch]:
    """The roof just beside a line up the slope: between every other edge that reaches there."""
    crossed = []
    for edge in edges:
        left, right = _span(edge)
        if left <= x < right if high else left < x <= right:
            crossed.append(edge.y_at(x))
    crossed.sort()
    return list(zip(crossed[::2], crossed[1::2], strict=True))


def _span(edge: Edge) -> tuple[int, int]:
    """From where to where an edge reaches along the eave."""
    one, other = edge.start[0], edge.end[0]
    return (one, other) if one < other else (other, one)


def _merged(stretches: list[Stretch]) -> list[Stretch]:
    """Those that touch as one, from the eave up."""
    found: list[Stretch] = []
    for low, high in sorted(stretches):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(high, found[-1][1]))
        else:
            found.append((low, high))
    return found


def without(stretches: Sequence[Stretch], taken: Sequence[Stretch]) -> list[Stretch]:
    """What is left of stretches where others are taken out of them."""
    left = list(stretches)
    for low, high in taken:
        parts = []
        for start, end in left:
            parts += [(start, min(end, low)), (max(start, high), end)]
        left = [(start, end) for start, end in parts if start < end]
    return left


def clips_along(length: Fraction, spacing: int) -> int:
    """Clips on one stretch of a seam: at both ends and nowhere farther apart than `spacing`.

    Common practice, no source; the maker's table for wind comes first.
    """
    return -(-length // spacing) + 1
