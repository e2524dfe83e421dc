"""What a plane with an outline looks like under its panels: pieces of them, where the roof ends.

Part of the independent checker and shared with nothing else. The plane is cut at every corner into
bands, in which the edges stand one above the other; a strip is put together from what it takes of
the bands. Ticks, and exact fractions of them where a sloping edge is crossed.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import ceil, floor
from typing import NamedTuple

from solver.case import Plane
from solver.case_parts import EdgeKind, Outline

Exact = Fraction | int


class Upright(NamedTuple):
    """An edge parallel to the seams; `hole` says what it belongs to, empty for the outline."""

    x: int
    y_low: int
    y_high: int
    kind: EdgeKind
    hole: str


class Piece(NamedTuple):
    """One connected part of a panel: its extent along the eave (ticks) and up the slope.

    `beside` are the upright edges with the end rule that it has on its side.
    """

    low: int
    high: int
    bottom: Exact
    top: Exact
    beside: tuple[Upright, ...]


class _Line(NamedTuple):
    """An edge that is not upright, its left end first."""

    x1: int
    y1: int
    x2: int
    y2: int

    def at(self, x: int) -> Exact:
        if self.y1 == self.y2 or x == self.x1:
            return self.y1
        if x == self.x2:
            return self.y2
        wide = self.x2 - self.x1
        return Fraction(self.y1 * wide + (self.y2 - self.y1) * (x - self.x1), wide)


class _Band(NamedTuple):
    """What lies between two neighbouring corners: the lower and upper edges of its parts."""

    low: int
    high: int
    parts: tuple[tuple[_Line, _Line], ...]


class _Cut(NamedTuple):
    """A part of a band as a strip has it: its left and right side, lower and upper end of each."""

    low: int
    high: int
    bottom: tuple[Exact, Exact]
    top: tuple[Exact, Exact]


@dataclass(frozen=True, slots=True)
class _Bands:
    """The bands of a plane in increasing x, where they begin, and its upright rakes and walls."""

    bands: tuple[_Band, ...]
    lows: tuple[int, ...]
    uprights: tuple[Upright, ...]


Segment = tuple[tuple[int, int], tuple[int, int], EdgeKind, str]


def _segments(plane: Plane) -> Iterator[Segment]:
    """Start, end, kind of every edge, and the hole it belongs to."""

    def around(outline: Outline, hole: str) -> Iterator[Segment]:
        points = outline.points
        turned = (*points[1:], points[0])
        for start, end, kind in zip(points, turned, outline.kinds, strict=True):
            yield start, end, kind, hole

    if plane.outline is not None:
        yield from around(plane.outline, "")
    for hole in plane.holes:
        yield from around(hole.outline, hole.what or "hole")


@lru_cache(maxsize=256)
def _bands_of(plane: Plane) -> _Bands:
    lines, uprights, corners = [], [], set()
    for start, end, kind, hole in _segments(plane):
        (x1, y1), (x2, y2) = sorted((start, end))
        corners |= {x1, x2}
        if x1 != x2:
            lines.append(_Line(x1, y1, x2, y2))
        elif kind in ("rake", "wall"):
            uprights.append(Upright(x1, y1, y2, kind, hole))
    at = sorted(corners)
    bands = []
    for low, high in pairwise(at):
        # Edges do not cross: one that is higher in the middle of a band is so all over it.
        across = sorted(
            (line for line in lines if line.x1 <= low and high <= line.x2),
            key=lambda line: Fraction(line.at(low)) + line.at(high),
        )
        bands.append(_Band(low, high, tuple(zip(across[::2], across[1::2], strict=True))))
    return _Bands(tuple(bands), tuple(at[:-1]), tuple(sorted(uprights)))


def pieces_of(plane: Plane, strips: Sequence[tuple[int, int]]) -> tuple[tuple[Piece, ...], ...]:
    """The pieces of each strip between two neighbouring seams (or an end of the plane and a seam).

    They come from left to right by where they begin, then from the eave up. What meets in a single
    point only is two pieces.
    """
    known = _bands_of(plane)
    return tuple(_pieces_in(known, low, high) for low, high in strips)


def _pieces_in(known: _Bands, low: int, high: int) -> tuple[Piece, ...]:
    cuts: list[_Cut] = []
    group: list[int] = []  # of each cut the number of a cut that it hangs together with, or its own
    before: Sequence[int] = ()
    for band in known.bands[max(0, bisect_right(known.lows, low) - 1) :]:
        if band.low >= high:
            break
        a, b = max(low, band.low), min(high, band.high)
        if a >= b:
            continue
        here = range(len(cuts), len(cuts) + len(band.parts))
        for lower, upper in band.parts:
            cuts.append(_Cut(a, b, (lower.at(a), lower.at(b)), (upper.at(a), upper.at(b))))
        group += here
        _join(cuts, group, before, here)
        before = here
    uprights = _between(known.uprights, low, high)
    found: dict[int, Piece] = {}
    for number, cut in enumerate(cuts):
        root = _root(group, number)
        beside = tuple(edge for edge in uprights if _touches(cut, edge))
        bottom, top = min(cut.bottom), max(cut.top)
        if root in found:
            own = found[root]
            found[root] = Piece(
                min(own.low, cut.low), max(own.high, cut.high),
                min(own.bottom, bottom), max(own.top, top), own.beside + beside,
            )  # fmt: skip
        else:
            found[root] = Piece(cut.low, cut.high, bottom, top, beside)
    return tuple(found.values())


def _join(cuts: list[_Cut], group: list[int], before: Sequence[int], here: Sequence[int]) -> None:
    """Put together what lies side by side left and right of a corner; both from the eave up."""
    i = j = 0
    while i < len(before) and j < len(here):
        left, right = cuts[before[i]], cuts[here[j]]
        if max(left.bottom[1], right.bottom[0]) < min(left.top[1], right.top[0]):
            one, other = _root(group, before[i]), _root(group, here[j])
            group[max(one, other)] = min(one, other)
        if left.top[1] < right.top[0]:
            i += 1
        else:
            j += 1


def _root(group: list[int], number: int) -> int:
    while group[number] != number:
        group[number] = group[group[number]]
        number = group[number]
    return number


def _between(uprights: tuple[Upright, ...], low: int, high: int) -> tuple[Upright, ...]:
    start = bisect_left(uprights, low, key=lambda edge: edge.x)
    return uprights[start : bisect_right(uprights, high, key=lambda edge: edge.x)]


def _touches(cut: _Cut, edge: Upright) -> bool:
    """Whether a stretch of an upright edge is on the left or right side of a part."""
    for side, x in enumerate((cut.low, cut.high)):
        if edge.x == x and max(cut.bottom[side], edge.y_low) < min(cut.top[side], edge.y_high):
            return True
    return False


def length_of(pieces: Sequence[Piece]) -> int:
    """How far all pieces of a panel together reach up the slope, rounded up to a tick."""
    if not pieces:
        return 0
    return ceil(max(piece.top for piece in pieces) - min(piece.bottom for piece in pieces))


def ends_beside(plane: Plane, x: int, y: int) -> tuple[int, int] | None:
    """Where the roof ends on either side of a point at its own height: 0 and the width of a plain
    rectangle; else the stretch of the roof with its edges (ticks, rounded towards its inside). None
    where the point is not on the roof.
    """
    if plane.outline is None:
        return 0, plane.width
    # A point on the roof is one where the roof goes on just above it or just below it.
    above: list[Exact] = []
    below: list[Exact] = []
    for start, end, _, _ in _segments(plane):
        (y1, x1), (y2, x2) = sorted((start[::-1], end[::-1]))
        if y1 <= y <= y2 and y1 != y2:
            at = _Line(y1, x1, y2, x2).at(y)
            if y < y2:
                above.append(at)
            if y1 < y:
                below.append(at)
    stretches = sorted(
        stretch for row in (sorted(above), sorted(below))
        for stretch in zip(row[::2], row[1::2], strict=True)
    )  # fmt: skip
    low = high = None
    for left, right in stretches:
        if high is None or left > high:
            if high is not None and high >= x:
                break
            low, high = left, right
        else:
            high = max(high, right)
    if low is None or high is None or not low <= x <= high:
        return None
    return ceil(low), floor(high)
