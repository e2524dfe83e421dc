"""Squaring a plane: the largest 3-4-5 triangle, and what a diagonal says.

Exact: squares and integer roots, nothing is rounded but the figure that is printed, once. Source of
the triangle: Army carpentry course EN0069, Squaring Building Lines (the larger the better).
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from math import isqrt
from typing import Literal

from solver.case import Case, Plane
from solver.field.eave import Spans, on_eave
from solver.field.limits import tape_fineness
from solver.field.parts import Diagonal, Run, Triangle
from solver.shape.edges import edges_of, holds
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

_SIDES: tuple[tuple[int, int], ...] = ((4, 3), (3, 4))


def unit_of(case: Case) -> int:
    """What the 3, 4 and 5 are whole multiples of (ticks): feet, or half metres."""
    return 12 * TICKS_PER_INCH if case.units == "in" else 500 * TICKS_PER_MM


def reads_long(case: Case) -> tuple[int, int]:
    """By how much a diagonal is taken to read too long (ticks): 1/8 and 1/4 in, 3 and 6 mm."""
    if case.units == "in":
        return TICKS_PER_INCH // 8, TICKS_PER_INCH // 4
    return 3 * TICKS_PER_MM, 6 * TICKS_PER_MM


def root_to(square: int, fine: int) -> int:
    """The square root of `square` to the nearest whole multiple of `fine`, exactly decided.

    floor(2 sqrt(s) / f) = isqrt(floor(4 s / f^2)); a half goes up.
    """
    return (isqrt(4 * square // fine**2) + 1) // 2 * fine


def top_off(wide: int, long: int, extra: int, fine: int) -> int | None:
    """How far the top is to the side where the diagonal reads `extra` too long (ticks).

    The panel leans: its sides keep their lengths, so the far corner of the diagonal d goes from
    (w, L) to (w + t, sqrt(L^2 - t^2)). Hence (d + e)^2 = w^2 + L^2 + 2 w t and
    t = (2 d e + e^2) / (2 w). None where no lean makes it read so: t would be more than L.
    """
    square = wide**2 + long**2
    twice = (isqrt(4 * extra**2 * square) + extra**2) // (wide * fine)  # floor(2 t / fine)
    off = (twice + 1) // 2 * fine
    return off if off <= long else None


def triangle_of(case: Case, plane: Plane, runs: tuple[Run, ...], spans: Spans) -> Triangle | None:
    """The largest triangle that lies on the plane, its right angle on the eave.

    At the start where it fits as large there, else at the mark of the seam nearest to the start. Of
    two as large, the one whose longer side runs along the longer room.
    """
    unit = unit_of(case)
    plain = plane.outline is None and not plane.holes
    best: tuple[int, Triangle] | None = None
    for run in runs:
        places = [(None, 0)] + [
            (row.number, row.at) for row in run.rows if row.kind == "seam" and not plain
        ]
        for seam, at in places:
            corner = run.start + run.way * (run.datum + at)
            if not on_eave(spans, corner):
                continue
            ways: Iterable[Literal[1, -1]] = (run.way,) if seam is None else (run.way, _back(run))
            for way in ways:
                room = _room(spans, corner, way)
                sides = _SIDES if room >= plane.length else _SIDES[::-1]
                for along, up in sides:
                    n = min(room // (along * unit), plane.length // (up * unit))
                    least = best[0] if best is not None else 0
                    while n > least and not plain and not _fits(
                        plane, corner, way, along * n * unit, up * n * unit
                    ):
                        n -= 1
                    if n > least:
                        best = n, Triangle(n, unit, corner, seam, at, way, along * n * unit,
                                           up * n * unit)
    return best[1] if best is not None else None


def _back(run: Run) -> Literal[1, -1]:
    return -1 if run.way == 1 else 1


def _room(spans: Spans, corner: int, way: Literal[1, -1]) -> int:
    """How far the eave goes on from a place on it."""
    return max(
        (high - corner if way == 1 else corner - low)
        for low, high in spans if low <= corner <= high
    )


def _fits(plane: Plane, corner: int, way: int, along: int, up: int) -> bool:
    """Whether all three sides of a triangle are on the roof: it is taped along them."""
    here, there, top = (corner, 0), (corner + way * along, 0), (corner, up)
    return all(_on_roof(plane, *side) for side in ((here, top), (top, there), (here, there)))


def _on_roof(plane: Plane, one: tuple[int, int], two: tuple[int, int]) -> bool:
    """Whether a straight line lies on the roof, its edges included; exact."""
    (x, y), (dx, dy) = one, (two[0] - one[0], two[1] - one[1])
    stops = {Fraction(0), Fraction(1)}
    for edge in edges_of(plane):
        ex, ey = edge.end[0] - edge.start[0], edge.end[1] - edge.start[1]
        px, py = edge.start[0] - x, edge.start[1] - y
        turn = dx * ey - dy * ex
        if turn:
            share, along = Fraction(px * ey - py * ex, turn), Fraction(px * dy - py * dx, turn)
            if 0 <= share <= 1 and 0 <= along <= 1:
                stops.add(share)
        elif px * dy == py * dx:  # on the same straight line: what lies between its ends is alike
            size = dx * dx + dy * dy
            ends = (edge.start, edge.end)
            stops |= {Fraction((a - x) * dx + (b - y) * dy, size) for a, b in ends}
    inside = sorted(stop for stop in stops if 0 <= stop <= 1)
    middles = [(low + high) / 2 for low, high in pairwise(inside)]
    return all(holds(plane, x + dx * at, y + dy * at) for at in (*inside, *middles))


def diagonals_of(
    case: Case, plane: Plane, runs: tuple[Run, ...], panels: list[tuple[int, int, int]],
    spans: Spans,
) -> tuple[Diagonal, ...]:
    """The diagonal of the first panel and that of the stretch up to the first control line.

    `panels` are (number, low, high), in the order of laying. On a roof that is no rectangle: that
    of the panel which has the longest rectangle standing on the eave.
    """
    found = []
    if plane.outline is None and not plane.holes:
        number, low, high = panels[0]
        found.append(_diagonal(case, high - low, plane.length, number, None))
        lines = [row for row in runs[0].rows if row.line == 1]
        if lines and lines[0].at != high - low:
            found.append(_diagonal(case, lines[0].at, plane.length, None, lines[0].number))
        return tuple(found)
    heights = [(_height(plane, spans, low, high), number, high - low)
               for number, low, high in panels]
    long, number, wide = max(heights, key=lambda one: one[0])
    return (_diagonal(case, wide, long, number, None),) if long else ()


def _height(plane: Plane, spans: Spans, low: int, high: int) -> int:
    """How long a rectangle from `low` to `high` can stand on the eave (ticks, rounded down)."""
    if not any(a <= low and high <= b for a, b in spans):
        return 0
    tops = []
    for edge in edges_of(plane):
        (x_1, y_1), (x_2, y_2) = edge.start, edge.end
        left, right = max(low, min(x_1, x_2)), min(high, max(x_1, x_2))
        if y_1 == y_2 == 0 or left > right or (left == right and not low < left < high):
            continue
        tops += [y_1, y_2] if edge.upright else [int(edge.y_at(left)), int(edge.y_at(right))]
    return min(tops, default=0)


def _diagonal(case: Case, wide: int, long: int, panel: int | None, seam: int | None) -> Diagonal:
    fine = tape_fineness(case)
    square = wide**2 + long**2
    off = [(extra, top_off(wide, long, extra, fine)) for extra in reads_long(case)]
    return Diagonal(
        wide, long, panel, seam, square, root_to(square, fine), fine,
        tuple((extra, top) for extra, top in off if top is not None),
    )
