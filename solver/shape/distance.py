"""How far a penetration's body is from an edge of its plane, and whether the edge runs through it.

On the slope, exact. A pipe's body is a disc of `outside`, a curb's a rectangle `across` by `along`.
A `…2` in a name counts half ticks; squares of them are squares of half ticks.
"""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

from solver.case import Penetration
from solver.shape.edges import Edge, distance2

Box = tuple[int, int, int, int]
"""Least x, least y, largest x, largest y (half ticks)."""


def body_box2(pen: Penetration) -> Box:
    """The rectangle around a body: the body itself, where it is a curb's."""
    across, along = (pen.across, pen.along) if pen.kind == "curb" else (pen.outside, pen.outside)
    return 2 * pen.x - across, 2 * pen.y - along, 2 * pen.x + across, 2 * pen.y + along


def square_to_edge(pen: Penetration, edge: Edge) -> Fraction:
    """Squared distance from an edge: of a pipe's centre, of a curb's nearest point (0: it meets).
    """
    if pen.kind == "pipe":
        return distance2(edge, 2 * pen.x, 2 * pen.y)
    box = body_box2(pen)
    if _within(edge, box) is not None:
        return Fraction(0)
    corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    ends = (_square_to_box(box, 2 * x, 2 * y) for x, y in (edge.start, edge.end))
    return min(*(distance2(edge, x2, y2) for x2, y2 in corners), *(Fraction(one) for one in ends))


def is_nearer(pen: Penetration, edge: Edge, least: int) -> bool:
    """Whether less than `least` (ticks) is left between the body and an edge; `least` itself is
    enough."""
    box, reach = body_box2(pen), 2 * least
    if reach and sum(gap * gap for gap in _apart(edge, box)) >= reach * reach:
        return False  # not even what is drawn around them is that near: spares the exact figure
    return square_to_edge(pen, edge) < (pen.outside + reach) ** 2


def gap2(pen: Penetration, edge: Edge) -> int:
    """What is left between the body and an edge, rounded down to half ticks; below 0 where a pipe
    reaches over it."""
    square = square_to_edge(pen, edge)
    return isqrt(square.numerator // square.denominator) - pen.outside


def runs_through(edge: Edge, pen: Penetration) -> bool:
    """Whether an edge passes inside a curb's rectangle; along its side, or touching it, is not."""
    box = body_box2(pen)
    part = _within(edge, box)
    if part is None:
        return False
    middle = (part[0] + part[1]) / 2
    (x0, y0), (x1, y1) = edge.start, edge.end
    x2, y2 = 2 * (x0 + middle * (x1 - x0)), 2 * (y0 + middle * (y1 - y0))
    return box[0] < x2 < box[2] and box[1] < y2 < box[3]


def _within(edge: Edge, box: Box) -> tuple[Fraction, Fraction] | None:
    """From where to where (0 its start, 1 its end) an edge lies in a closed rectangle; Liang and
    Barsky's clipping of a line, in fractions."""
    if any(_apart(edge, box)):
        return None
    first, last = Fraction(0), Fraction(1)
    for axis in (0, 1):
        start, step = 2 * edge.start[axis], 2 * (edge.end[axis] - edge.start[axis])
        low, high = box[axis] - start, box[axis + 2] - start
        if not step:
            if low > 0 or high < 0:
                return None
            continue
        if step < 0:
            low, high = high, low
        first, last = max(first, Fraction(low, step)), min(last, Fraction(high, step))
    return (first, last) if first <= last else None


def _apart(edge: Edge, box: Box) -> tuple[int, int]:
    """How far the rectangle around an edge is from another in x and in y; 0 where they meet."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    return (
        max(2 * min(x0, x1) - box[2], box[0] - 2 * max(x0, x1), 0),
        max(2 * min(y0, y1) - box[3], box[1] - 2 * max(y0, y1), 0),
    )


def _square_to_box(box: Box, x2: int, y2: int) -> int:
    dx = max(box[0] - x2, x2 - box[2], 0)
    dy = max(box[1] - y2, y2 - box[3], 0)
    return dx * dx + dy * dy
