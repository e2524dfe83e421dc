"""From cells with upright sides to the one polygon they make together. Exact: fractions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

Point = tuple[Fraction, Fraction]
Ring = tuple[Point, ...]


def doubled_area(ring: Ring) -> Fraction:
    """Twice the area inside a ring (ticks²), less than 0 where it runs clockwise."""
    before = (*ring[-1:], *ring[:-1])
    turns = (a[0] * b[1] - b[0] * a[1] for a, b in zip(before, ring, strict=True))
    return sum(turns, Fraction(0))


def rings_around(cells: Sequence[Ring]) -> tuple[Ring, tuple[Ring, ...]]:
    """The outer ring (counter-clockwise) and the holes (clockwise) of cells that make one piece.

    Each cell is counter-clockwise: low left, low right, high right, high left; sides are upright,
    and a side may be a point. Cells touch at sides only. Rings begin at their lowest point, of
    those the one at low x. No ring passes a point twice; rings may touch at points.
    """
    rings = [ring for loop in _loops(list(_boundary(cells))) for ring in _untied(loop)]
    tidy = [_tidied(ring) for ring in rings]
    outer = [ring for ring in tidy if doubled_area(ring) > 0]
    holes = sorted(ring for ring in tidy if doubled_area(ring) < 0)
    return outer[0], tuple(holes)


def _boundary(cells: Sequence[Ring]) -> Iterator[tuple[Point, Point]]:
    """The sides of cells that no other cell lies on, as they run around the piece."""
    levels: dict[Fraction, list[tuple[Fraction, int]]] = {}
    for low_left, low_right, high_right, high_left in cells:
        if low_left != low_right:
            yield low_left, low_right
        if high_right != high_left:
            yield high_right, high_left
        # upright sides as steps: +1 where one that runs up begins, and so on
        for x, bottom, top, way in (
            (low_right[0], low_right[1], high_right[1], 1),
            (low_left[0], low_left[1], high_left[1], -1),
        ):
            if bottom != top:
                levels.setdefault(x, []).extend([(bottom, way), (top, -way)])
    for x, steps in levels.items():
        # both ends of every side stay points of the ring: other sides may begin there
        sums: dict[Fraction, int] = {}
        for y, way in sorted(steps):
            sums[y] = sums.get(y, 0) + way
        total, before = 0, Fraction(0)
        for y, way in sums.items():
            if total > 0:
                yield (x, before), (x, y)
            elif total < 0:
                yield (x, y), (x, before)
            total, before = total + way, y


def _loops(sides: Sequence[tuple[Point, Point]]) -> Iterator[list[Point]]:
    """Sides put end to end into closed loops."""
    onward: dict[Point, list[Point]] = {}
    for start, end in sides:
        onward.setdefault(start, []).append(end)
    for start in sorted(onward):
        while onward[start]:
            loop, here = [start], onward[start].pop()
            while here != start:
                loop.append(here)
                here = onward[here].pop()
            yield loop


def _untied(loop: Sequence[Point]) -> Iterator[list[Point]]:
    """A closed loop cut into loops that pass no point twice."""
    run: list[Point] = []
    place: dict[Point, int] = {}
    for point in loop:
        if point in place:
            knot = place[point]
            tied = run[knot:]
            for gone in tied:
                del place[gone]
            del run[knot:]
            yield tied
        place[point] = len(run)
        run.append(point)
    yield run


def _tidied(loop: Sequence[Point]) -> Ring:
    """A loop without points in the middle of straight sides, from its lowest point on."""
    ring = [
        here
        for at, here in enumerate(loop)
        if _turn(loop[at - 1], here, loop[(at + 1) % len(loop)]) != 0
    ]
    first = min(range(len(ring)), key=lambda at: (ring[at][1], ring[at][0]))
    return tuple(ring[first:] + ring[:first])


def _turn(before: Point, here: Point, after: Point) -> Fraction:
    return (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (
        after[0] - here[0]
    )
