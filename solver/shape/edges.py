"""The edges of a roof plane: its outline and its holes, on the slope, in ticks.

Exact: points of edges are whole ticks, everything decided here is an integer or a fraction. A plane
is its closed outline without its open holes, so a point on an edge is on the roof.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, sqrt

from solver.case import Plane
from solver.case_parts import EdgeKind, Outline

Point = tuple[int, int]
Number = int | Fraction


@dataclass(frozen=True, slots=True)
class Edge:
    """A straight edge from `start` to `end` (x, y; ticks), with the roof on its left.

    `hole` is empty for the outline's own edges, else says `what` the hole is. Around a hole the
    edges therefore run clockwise.
    """

    kind: EdgeKind
    start: Point
    end: Point
    hole: str = ""

    @property
    def length2(self) -> int:
        """Square of the true length on the slope (ticks²), exact."""
        return (self.end[0] - self.start[0]) ** 2 + (self.end[1] - self.start[1]) ** 2

    @property
    def length(self) -> float:
        """True length on the slope (ticks); for printing and pricing, not for deciding."""
        return sqrt(self.length2)

    @property
    def upright(self) -> bool:
        """Whether it runs straight up the slope, as seams do."""
        return self.start[0] == self.end[0]

    def y_at(self, x: Number) -> Fraction:
        """Where it stands at `x` (ticks), which must be within it; not for an upright edge."""
        (x_1, y_1), (x_2, y_2) = self.start, self.end
        return y_1 + Fraction((x - x_1) * (y_2 - y_1)) / (x_2 - x_1)

    def x_at(self, y: Number) -> Fraction:
        """Where it crosses the level `y` (ticks), which must be within it; not for a level edge."""
        (x_1, y_1), (x_2, y_2) = self.start, self.end
        return x_1 + Fraction((y - y_1) * (x_2 - x_1)) / (y_2 - y_1)


def outline_of(plane: Plane) -> Outline:
    """The outline of a plane: for a plain one a rectangle between eave, ridge and two rakes."""
    if plane.outline is not None:
        return plane.outline
    wide, high = plane.width, plane.length
    return Outline(
        ((0, 0), (wide, 0), (wide, high), (0, high)), ("eave", "rake", "ridge", "rake")
    )


def edges_of(plane: Plane) -> tuple[Edge, ...]:
    """All edges of a plane: around its outline, then around each hole."""
    edges = list(_around(outline_of(plane)))
    for hole in plane.holes:
        around = reversed(list(_around(hole.outline)))
        edges += [Edge(edge.kind, edge.end, edge.start, hole.what) for edge in around]
    return tuple(edges)


def holds(plane: Plane, x: Number, y: Number) -> bool:
    """Whether a point (ticks) is on the roof; on an edge it is."""
    if _side(outline_of(plane).points, x, y) < 0:
        return False
    return all(_side(hole.outline.points, x, y) <= 0 for hole in plane.holes)


def ends_at(plane: Plane, x: int, y: int) -> tuple[int, int] | None:
    """Where the roof ends on either side of a point at its own level, rounded inwards to ticks.

    None if the point is not on the roof. A level edge, or a corner of a hole or of the outline that
    only touches the level, does not end the roof.
    """
    if not holds(plane, x, y):
        return None
    met = sorted({at for edge in edges_of(plane) for at in _meets(edge, y)} | {Fraction(x)})
    here = met.index(Fraction(x))
    low = _run(plane, y, met[here::-1])
    high = _run(plane, y, met[here:])
    return ceil(low), floor(high)


def distance2(edge: Edge, x2: Number, y2: Number) -> Fraction:
    """Square of the distance of a point from an edge on the slope, exact.

    The point is given in half ticks, and so is the distance (its square in half ticks²).
    """
    along = (2 * (edge.end[0] - edge.start[0]), 2 * (edge.end[1] - edge.start[1]))
    off = (x2 - 2 * edge.start[0], y2 - 2 * edge.start[1])
    size = along[0] ** 2 + along[1] ** 2
    share = Fraction(off[0] * along[0] + off[1] * along[1]) / size
    share = min(max(share, Fraction(0)), Fraction(1))
    return (off[0] - share * along[0]) ** 2 + (off[1] - share * along[1]) ** 2


def _around(outline: Outline) -> Iterator[Edge]:
    """The edges of a polygon in the order of its points."""
    points = outline.points
    for at, kind in enumerate(outline.kinds):
        yield Edge(kind, points[at], points[(at + 1) % len(points)])


def _meets(edge: Edge, y: int) -> tuple[Fraction, ...]:
    """Where an edge begins or ends to stand on the level `y`; nothing if it never does."""
    (x_1, y_1), (x_2, y_2) = edge.start, edge.end
    if y_1 == y_2:
        return (Fraction(x_1), Fraction(x_2)) if y_1 == y else ()
    return (edge.x_at(y),) if min(y_1, y_2) <= y <= max(y_1, y_2) else ()


def _run(plane: Plane, y: int, stops: Sequence[Fraction]) -> Fraction:
    """How far the roof reaches without a break from the first of `stops` along the level `y`."""
    for at, then in pairwise(stops):
        # all of the open stretch between two stops lies alike, so its middle tells
        if not holds(plane, (at + then) / 2, y):
            return at
    return stops[-1]


def _side(points: Sequence[Point], x: Number, y: Number) -> int:
    """1 within a polygon, 0 on its edge, -1 outside."""
    within = False
    for at, (x_1, y_1) in enumerate(points):
        x_2, y_2 = points[at - 1]
        turn = (x_2 - x_1) * (y - y_1) - (y_2 - y_1) * (x - x_1)
        if turn == 0 and min(x_1, x_2) <= x <= max(x_1, x_2) and min(y_1, y_2) <= y <= max(
            y_1, y_2
        ):
            return 0
        # a level through a corner counts for the edge that reaches above it only
        if (y_1 > y) != (y_2 > y) and (turn > 0) == (y_2 > y_1):
            within = not within
    return 1 if within else -1
