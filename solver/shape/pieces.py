"""The pieces of panels that cover a plane, as exact polygons: for lists and pictures.

Between two neighbouring seams the roof is cut at every place where an edge, or the side of a curb,
begins, ends or crosses another. That leaves upright-sided cells; cells that share more than a point
are one piece. Nothing is decided by a float.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from solver.case import Penetration, Plane
from solver.shape.edges import Edge, edges_of
from solver.shape.rings import Ring, doubled_area, rings_around


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of one panel, as the roof shows it (ticks; no allowance for its ends).

    `panel` is the panel's number, 1 at low x; one without roof has a number and no piece. `low` and
    `high` are the piece's extent in x; where the half tick of a curb's side bounds it, rounded
    outwards. `points` run counter-clockwise seen from outside, `part` counts from 1 up the slope
    where a panel has several pieces. `cut_by` are the ids of the curbs whose lower or upper side
    ends the piece or a part of its width. `holes` are what a piece goes all the way round, their
    points clockwise: a curb or a hole of the plane that is narrower than the panel.
    """

    panel: int
    low: int
    high: int
    y_low: Fraction
    y_high: Fraction
    points: tuple[tuple[Fraction, Fraction], ...]
    part: int
    cut_by: tuple[str, ...]
    holes: tuple[tuple[tuple[Fraction, Fraction], ...], ...] = ()

    @property
    def area(self) -> Fraction:
        """Its area on the slope (ticks²), exact."""
        return sum((doubled_area(ring) for ring in (self.points, *self.holes)), Fraction(0)) / 2


@dataclass(frozen=True, slots=True)
class _Box:
    """The upright rectangle that a curb takes out of the roof (ticks)."""

    id: str
    x_low: Fraction
    x_high: Fraction
    y_low: Fraction
    y_high: Fraction


@dataclass(frozen=True, slots=True)
class _Quad:
    """A cell: from `x_low` to `x_high`, its bottom and top at each of them; curbs that end it."""

    x_low: Fraction
    x_high: Fraction
    bottom: tuple[Fraction, Fraction]
    top: tuple[Fraction, Fraction]
    cut_by: tuple[str, ...]

    def ring(self) -> Ring:
        """Its corners, counter-clockwise."""
        return (
            (self.x_low, self.bottom[0]), (self.x_high, self.bottom[1]),
            (self.x_high, self.top[1]), (self.x_low, self.top[0]),
        )  # fmt: skip


def pieces_of(
    plane: Plane, seams: Sequence[int], curbs: Sequence[Penetration] = ()
) -> tuple[Piece, ...]:
    """All pieces of a plane, by panel and then up the slope.

    `seams` stand strictly inside the plane, in increasing x (ticks). `curbs` are taken out of the
    panels as rectangles of across by along. The pieces tile what is left without gap or overlap.
    """
    edges = edges_of(plane)
    boxes = [
        _Box(pen.id, pen.x - Fraction(pen.across, 2), pen.x + Fraction(pen.across, 2),
             pen.y - Fraction(pen.along, 2), pen.y + Fraction(pen.along, 2))
        for pen in curbs
    ]  # fmt: skip
    at = (0, *seams, plane.width)
    pieces: list[Piece] = []
    for number, (low, high) in enumerate(pairwise(at), 1):
        found = [_piece(number, run, curbs) for run in _runs(_cut(edges, boxes, low, high))]
        found.sort(key=lambda piece: (piece.y_low, piece.y_high, piece.points))
        pieces += [
            Piece(p.panel, p.low, p.high, p.y_low, p.y_high, p.points, part, p.cut_by, p.holes)
            for part, p in enumerate(found, 1)
        ]
    return tuple(pieces)


def _piece(number: int, run: Sequence[_Quad], curbs: Sequence[Penetration]) -> Piece:
    """The piece that a run of cells makes."""
    outer, holes = rings_around([quad.ring() for quad in run])
    cut_by = {name for quad in run for name in quad.cut_by}
    return Piece(
        number,
        floor(min(quad.x_low for quad in run)),
        ceil(max(quad.x_high for quad in run)),
        min(y for quad in run for y in quad.bottom),
        max(y for quad in run for y in quad.top),
        outer,
        1,
        tuple(pen.id for pen in curbs if pen.id in cut_by),
        holes,
    )


def _cut(
    edges: Sequence[Edge], boxes: Sequence[_Box], low: int, high: int
) -> list[list[_Quad]]:
    """The cells between two seams, a list for each stretch in which nothing begins or crosses."""
    near = [e for e in edges if min(e.start[0], e.end[0]) < high and max(e.start[0], e.end[0]) > low
            and not e.upright]  # fmt: skip
    here = [box for box in boxes if box.x_low < high and box.x_high > low]
    stops = {Fraction(low), Fraction(high)}
    stops |= {Fraction(x) for edge in near for x in (edge.start[0], edge.end[0])}
    for box in here:
        stops |= {box.x_low, box.x_high}
        for edge in near:
            for y in (box.y_low, box.y_high):
                if min(edge.start[1], edge.end[1]) < y < max(edge.start[1], edge.end[1]):
                    stops.add(edge.x_at(y))
    at = sorted(x for x in stops if low <= x <= high)
    return [_stack(near, here, a, b) for a, b in pairwise(at)]


def _stack(
    edges: Sequence[Edge], boxes: Sequence[_Box], low: Fraction, high: Fraction
) -> list[_Quad]:
    """The cells of one stretch, up the slope."""
    middle = (low + high) / 2
    # (height in the middle, heights at both ends, the curb or "", 1 where a curb begins)
    lines: list[tuple[Fraction, Fraction, Fraction, str, int]] = []
    for edge in edges:
        if min(edge.start[0], edge.end[0]) <= low and max(edge.start[0], edge.end[0]) >= high:
            lines.append((edge.y_at(middle), edge.y_at(low), edge.y_at(high), "", 0))
    for box in boxes:
        if box.x_low <= low and box.x_high >= high:
            lines.append((box.y_low, box.y_low, box.y_low, box.id, 1))
            lines.append((box.y_high, box.y_high, box.y_high, box.id, -1))
    lines.sort()
    quads: list[_Quad] = []
    roof, covered = False, 0
    begun: tuple[tuple[Fraction, Fraction], tuple[str, ...]] | None = None
    for place, (height, left, right, _, _) in enumerate(lines):
        if place and lines[place - 1][0] == height:
            continue
        same = [line for line in lines[place:] if line[0] == height]
        names = tuple(line[3] for line in same if line[3])
        roof ^= sum(not line[3] for line in same) % 2 == 1
        covered += sum(line[4] for line in same)
        if begun is not None:
            bottom, cut = begun
            quads.append(_Quad(low, high, bottom, (left, right), (*cut, *names)))
        begun = ((left, right), names) if roof and not covered else None
    return quads


def _runs(stretches: Sequence[Sequence[_Quad]]) -> Iterator[list[_Quad]]:
    """The cells of one strip in groups that share more than a point with each other."""
    quads = [quad for stretch in stretches for quad in stretch]
    group = list(range(len(quads)))

    def root(number: int) -> int:
        while group[number] != number:
            group[number] = group[group[number]]
            number = group[number]
        return number

    start = 0
    for one, other in pairwise(stretches):
        then = start + len(one)
        for i, quad in enumerate(one, start):
            for j, beyond in enumerate(other, then):
                bottom = max(quad.bottom[1], beyond.bottom[0])
                if bottom < min(quad.top[1], beyond.top[0]):
                    group[root(j)] = root(i)
        start = then
    runs: dict[int, list[_Quad]] = {}
    for number, quad in enumerate(quads):
        runs.setdefault(root(number), []).append(quad)
    yield from runs.values()
