"""What panels cover of a plane with an outline, exactly: for oracle_outline.

The outline is cut into triangles (ears; holes are first joined to it by cuts), each triangle is
clipped to the panel (Sutherland and Hodgman, "Reentrant polygon clipping", 1974; from memory), and
what is left of them is put together again along the sides that two of them share.

Whatever ears are cut off, all of them turning left: they cover each point as often as the outline
goes round it, which is once inside and never outside. So a wrong ear cannot go unnoticed: some
later one would turn right. Lengths are half ticks, as everywhere in the oracle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations, pairwise

Point = tuple[int, int]
Ring = tuple[Point, ...]
Spot = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Edge:
    """A straight edge of the outline or of a hole, the roof on its left."""

    kind: str
    start: Point
    end: Point
    hole: bool

    @property
    def upright(self) -> bool:
        return self.start[0] == self.end[0]


@dataclass(frozen=True)
class Part:
    """A connected part of what a panel covers: its extents and the edges that bound it."""

    x_low: Fraction
    x_high: Fraction
    y_low: Fraction
    y_high: Fraction
    beside: tuple[Edge, ...]

    @property
    def width(self) -> Fraction:
        return self.x_high - self.x_low

    @property
    def length(self) -> Fraction:
        return self.y_high - self.y_low


def turn(a: Point, b: Point, c: Point) -> int:
    """Twice the area of a triangle; + where it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def area2(ring: Sequence[Point]) -> int:
    """Twice the area of a ring; + where it goes round counter-clockwise."""
    ahead = [*ring[1:], *ring[:1]]
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, ahead, strict=True))


def inside(ring: Sequence[Point], x: Fraction | int, y: Fraction | int) -> int:
    """1 where a point is within a ring, 0 where it lies on it, -1 outside."""
    within = False
    for (ax, ay), (bx, by) in zip(ring, [*ring[1:], *ring[:1]], strict=True):
        side = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
        if side == 0 and min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by):
            return 0
        if (ay > y) != (by > y) and (side > 0) == (by > ay):
            within = not within
    return 1 if within else -1


# ---------------------------------------------------------------------------- triangles

Triangle = tuple[Point, Point, Point]


def ears(ring: Sequence[Point]) -> list[Triangle] | None:
    """Triangles that make up a ring, which may touch itself along cuts; None if it will not do."""
    left, found = list(ring), []

    def rank(i: int) -> int | None:
        a, b, c = left[i - 1], left[i], left[(i + 1) % len(left)]
        way = turn(a, b, c)
        if way <= 0:
            return 0 if way == 0 else None
        others = [p for p in left if p not in (a, b, c)]
        near = [min(turn(a, b, p), turn(b, c, p), turn(c, a, p)) for p in others]
        if any(least > 0 for least in near):
            return None
        return 2 if any(least == 0 for least in near) else 1

    while len(left) >= 3:
        ranks = [(how, i) for i in range(len(left)) if (how := rank(i)) is not None]
        if not ranks:
            return None
        how, i = min(ranks)
        if how:
            found.append((left[i - 1], left[i], left[(i + 1) % len(left)]))
        del left[i]
    return found


def joined(outer: Ring, holes: Sequence[Ring]) -> Iterator[Ring]:
    """The outline with its holes (clockwise) joined to it by cuts, one way after the other."""
    if not holes:
        yield outer
        return
    hole = holes[0]
    rings = [outer, *holes]
    cuts = sorted(
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2, i, j)
        for i, a in enumerate(outer)
        for j, b in enumerate(hole)
    )
    for _, i, j in cuts:
        a, b = outer[i], hole[j]
        if any(meets(a, b, c, d) for ring in rings for c, d in pairwise((*ring, ring[0]))):
            continue
        one = (*outer[: i + 1], *hole[j:], *hole[: j + 1], *outer[i:])
        yield from joined(one, holes[1:])


def meets(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether cut ab touches cd elsewhere than in an end of ab that is one of cd as well."""
    ends = [p for p in (c, d) if p in (a, b)]
    if len(ends) == 2:
        return True
    if ends:
        shared = ends[0]
        one, two = (b if shared == a else a), (d if shared == c else c)
        same_way = (one[0] - shared[0]) * (two[0] - shared[0])
        same_way += (one[1] - shared[1]) * (two[1] - shared[1])
        return turn(shared, one, two) == 0 and same_way > 0
    return touching(a, b, c, d)


def touching(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two segments have a point in common."""
    boxes = all(
        max(min(a[k], b[k]), min(c[k], d[k])) <= min(max(a[k], b[k]), max(c[k], d[k]))
        for k in (0, 1)
    )
    one, two, three, four = turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)
    apart = min(one, two) > 0 or max(one, two) < 0 or min(three, four) > 0 or max(three, four) < 0
    return boxes and not apart


def clip(spots: Sequence[Spot], low: int, high: int) -> list[Spot]:
    """A convex polygon without what lies outside low ≤ x ≤ high."""
    for bound, way in ((low, 1), (high, -1)):
        kept: list[Spot] = []
        for (ax, ay), (bx, by) in pairwise([*spots[-1:], *spots]):
            a_in, b_in = way * (ax - bound) >= 0, way * (bx - bound) >= 0
            if a_in != b_in:
                kept.append((Fraction(bound), ay + (by - ay) * (bound - ax) / (bx - ax)))
            if b_in:
                kept.append((bx, by))
        spots = kept
    return list(spots)


def shared(one: Triangle, two: Triangle) -> list[tuple[Fraction, Fraction]]:
    """The extents in x of the stretches of their sides that two triangles share; no points."""
    found = []
    for a, b in pairwise((*one, one[0])):
        for c, d in pairwise((*two, two[0])):
            if turn(a, b, c) or turn(a, b, d):
                continue
            axis = 0 if a[0] != b[0] else 1
            if (b[axis] > a[axis]) == (d[axis] > c[axis]):
                continue
            low = max(min(a[axis], b[axis]), min(c[axis], d[axis]))
            high = min(max(a[axis], b[axis]), max(c[axis], d[axis]))
            if low < high:
                at = (low, high) if axis == 0 else (a[0], a[0])
                found.append((Fraction(at[0]), Fraction(at[1])))
    return found


# ---------------------------------------------------------------------------- a plane


@dataclass(frozen=True)
class Shape:
    """An outline counter-clockwise and its holes clockwise, with the kinds of their edges."""

    rings: tuple[Ring, ...]
    kinds: tuple[tuple[str, ...], ...]

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        return tuple(
            Edge(kind, a, b, number > 0)
            for number, (ring, kinds) in enumerate(zip(self.rings, self.kinds, strict=True))
            for kind, a, b in zip(kinds, ring, [*ring[1:], *ring[:1]], strict=True)
        )

    @cached_property
    def triangles(self) -> tuple[Triangle, ...]:
        for ring in joined(self.rings[0], self.rings[1:]):
            found = ears(ring)
            if found is not None:
                assert sum(turn(*t) for t in found) == sum(area2(r) for r in self.rings)
                return tuple(found)
        raise AssertionError("no triangles")

    @cached_property
    def seams_between(self) -> tuple[tuple[int, int, Fraction, Fraction], ...]:
        """(triangle, triangle, from x, to x) of every stretch that two triangles share."""
        return tuple(
            (i, j, *at)
            for (i, one), (j, two) in combinations(enumerate(self.triangles), 2)
            for at in shared(one, two)
        )

    @cached_property
    def edges_of(self) -> tuple[tuple[Edge, ...], ...]:
        """The edges that each triangle has a stretch of as a side."""
        return tuple(
            tuple(
                e
                for e in self.edges
                if shared(t, (e.end, e.start, e.end))
                and any(turn(e.start, e.end, p) > 0 for p in t)
            )
            for t in self.triangles
        )

    @cached_property
    def points(self) -> frozenset[Point]:
        return frozenset(p for t in self.triangles for p in t)

    @cached_property
    def _known(self) -> dict[tuple[int, int, bool], tuple[Part, ...]]:
        return {}

    def parts(self, low: int, high: int, touch_joins: bool = False) -> tuple[Part, ...]:
        """The connected parts of the roof between two x, by increasing y."""
        if (low, high, touch_joins) not in self._known:
            self._known[low, high, touch_joins] = self._parts(low, high, touch_joins)
        return self._known[low, high, touch_joins]

    def _parts(self, low: int, high: int, touch_joins: bool) -> tuple[Part, ...]:
        bits: dict[int, list[Spot]] = {}
        for i, triangle in enumerate(self.triangles):
            xs = [x for x, _ in triangle]
            if max(min(xs), low) < min(max(xs), high):
                bits[i] = clip([(Fraction(x), Fraction(y)) for x, y in triangle], low, high)
        group = {i: i for i in bits}

        def join(i: int, j: int) -> None:
            if i in group and j in group and group[i] != group[j]:
                old, new = group[i], group[j]
                group.update({k: new for k, g in group.items() if g == old})

        for i, j, x_from, x_to in self.seams_between:
            within = low < x_from < high if x_from == x_to else max(x_from, low) < min(x_to, high)
            if within:
                join(i, j)
        if touch_joins:
            for i, j in combinations(bits, 2):
                if set(bits[i]) & set(bits[j]):
                    join(i, j)
        found = []
        for name in sorted(set(group.values())):
            mine = [i for i in bits if group[i] == name]
            spots = [spot for i in mine for spot in bits[i]]
            sides = [e for i in mine for e in self.edges_of[i]]
            found.append(
                Part(
                    min(x for x, _ in spots), max(x for x, _ in spots),
                    min(y for _, y in spots), max(y for _, y in spots),
                    tuple(
                        e
                        for n, e in enumerate(sides)
                        if e not in sides[:n] and (not e.upright or low <= e.start[0] <= high)
                    ),
                )
            )  # fmt: skip
        return tuple(sorted(found, key=lambda p: (p.y_low, p.y_high, p.x_low)))

    # ------------------------------------------------------------------------ at one height

    def holds(self, x: Fraction | int, y: int) -> bool:
        """Whether a point is on the closed outline and not within an open hole."""
        return inside(self.rings[0], x, y) >= 0 and all(
            inside(hole, x, y) <= 0 for hole in self.rings[1:]
        )

    def stretches(self, y: int) -> list[tuple[Fraction, Fraction]]:
        """Where the closed plane is at a height: intervals, some of them perhaps points."""
        at: set[Fraction] = set()
        for e in self.edges:
            (ax, ay), (bx, by) = e.start, e.end
            if ay == by == y:
                at |= {Fraction(ax), Fraction(bx)}
            elif min(ay, by) <= y <= max(ay, by) and ay != by:
                at.add(ax + Fraction((bx - ax) * (y - ay), by - ay))
        found: list[tuple[Fraction, Fraction]] = []
        for x in sorted(at):
            if found and self.holds((found[-1][1] + x) / 2, y):
                found[-1] = (found[-1][0], x)
            else:
                found.append((x, x))
        return found
