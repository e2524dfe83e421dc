"""A roof plane cut straight up the slope at every corner: cells that lie between two edges.

A piece of a panel is a run of such cells, cut off at its seams. Exact: ticks and fractions.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final

from solver.case import Plane
from solver.shape.edges import Edge, edges_of

WALLED: Final = ("rake", "wall")
"""Kinds of edges along which, where they are upright, a panel must not be a sliver."""


@dataclass(frozen=True, slots=True)
class Cell:
    """All of the roof between `low` and `high` (in y) from `x_low` to `x_high` (ticks).

    `walled_low` and `walled_high`: an upright rake or wall bounds part of that side. `beyond`:
    numbers of the cells that go on where this one ends at `x_high`, over more than a point.
    """

    x_low: int
    x_high: int
    low: Edge
    high: Edge
    walled_low: bool
    walled_high: bool
    beyond: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Cells:
    """The cells of one plane. `corners`: x of all corners, increasing; `between`: the numbers of
    the cells between one of them and the next."""

    cells: tuple[Cell, ...]
    corners: tuple[int, ...]
    between: tuple[tuple[int, ...], ...]

    def parts(self, low: int, high: int) -> list[list[Cell]]:
        """The connected parts of the open strip from `low` to `high` (ticks), as cells.

        Parts that have no more than a point in common are apart. Cells reach beyond the strip.
        """
        first = max(bisect_right(self.corners, low) - 1, 0)
        last = bisect_left(self.corners, high)
        inside = {at: -1 for row in self.between[first:last] for at in row}
        parts: list[list[Cell]] = []
        joined: dict[int, list[int]] = {at: [] for at in inside}
        for at in inside:
            if self.cells[at].x_high < high:
                for other in self.cells[at].beyond:
                    joined[at].append(other)
                    joined[other].append(at)
        for at in inside:
            if inside[at] >= 0:
                continue
            inside[at] = len(parts)
            run, place = [at], 0
            while place < len(run):
                for other in joined[run[place]]:
                    if inside[other] < 0:
                        inside[other] = len(parts)
                        run.append(other)
                place += 1
            parts.append([self.cells[number] for number in run])
        return parts


@lru_cache(maxsize=256)
def cells_of(plane: Plane) -> Cells:
    """Cut a plane at all its corners."""
    edges = edges_of(plane)
    corners = sorted({x for edge in edges for x in (edge.start[0], edge.end[0])})
    rows = [_pairs(edges, low, high) for low, high in pairwise(corners)]
    begun: dict[tuple[int, int], int] = {}
    spans: list[tuple[int, int, tuple[int, int]]] = []
    for at, row in enumerate([*rows, []]):
        # a pair of edges that were neighbours before and still are bounds one and the same cell
        going = {pair: begun.get(pair, corners[at]) for pair in row}
        spans += [(since, corners[at], pair) for pair, since in begun.items() if pair not in going]
        begun = going
    spans.sort()
    sides = _Sides(edges, spans)
    cells = tuple(
        Cell(
            since, until, edges[low], edges[high],
            sides.walled(since, edges[low], edges[high], upwards=False),
            sides.walled(until, edges[low], edges[high], upwards=True),
            sides.beyond(until, edges[low], edges[high]),
        )
        for since, until, (low, high) in spans
    )  # fmt: skip
    between: list[list[int]] = [[] for _ in rows]
    for number, cell in enumerate(cells):
        for at in range(bisect_left(corners, cell.x_low), bisect_left(corners, cell.x_high)):
            between[at].append(number)
    return Cells(cells, tuple(corners), tuple(tuple(row) for row in between))


def _pairs(edges: Sequence[Edge], low: int, high: int) -> list[tuple[int, int]]:
    """Numbers of the edges below and above every stretch of roof between neighbouring corners."""
    middle = Fraction(low + high, 2)
    over = sorted(
        (edge.y_at(middle), number)
        for number, edge in enumerate(edges)
        if min(edge.start[0], edge.end[0]) <= low and max(edge.start[0], edge.end[0]) >= high
    )
    numbers = [number for _, number in over]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


class _Sides:
    """What lies beside the upright sides of cells."""

    def __init__(
        self, edges: Sequence[Edge], spans: Sequence[tuple[int, int, tuple[int, int]]]
    ) -> None:
        self._walls: dict[tuple[int, bool], list[tuple[Fraction, Fraction]]] = {}
        for edge in edges:
            if edge.upright and edge.kind in WALLED:
                y_1, y_2 = Fraction(edge.start[1]), Fraction(edge.end[1])
                # the roof is on an edge's left, so an edge that runs up has it towards low x
                key = (edge.start[0], y_2 > y_1)
                self._walls.setdefault(key, []).append((min(y_1, y_2), max(y_1, y_2)))
        self._begin: dict[int, list[tuple[int, Fraction, Fraction]]] = {}
        for number, (since, _, (low, high)) in enumerate(spans):
            side = (number, edges[low].y_at(since), edges[high].y_at(since))
            self._begin.setdefault(since, []).append(side)

    def walled(self, x: int, low: Edge, high: Edge, *, upwards: bool) -> bool:
        """Whether a rake or wall bounds more than a point of the side of a cell at `x`."""
        bottom, top = low.y_at(x), high.y_at(x)
        return any(max(bottom, b) < min(top, t) for b, t in self._walls.get((x, upwards), ()))

    def beyond(self, x: int, low: Edge, high: Edge) -> tuple[int, ...]:
        """Numbers of the cells that begin where one ends at `x`."""
        bottom, top = low.y_at(x), high.y_at(x)
        return tuple(
            number for number, b, t in self._begin.get(x, ()) if max(bottom, b) < min(top, t)
        )
