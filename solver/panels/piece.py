"""A piece of a panel as it is cut: its sides, its end cuts, what it is cut out for.

A piece is a polygon, counter-clockwise: what runs to the right bounds it from below, what runs to
the left from above, what runs straight up or down is a side. Exact throughout.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from solver.case import Case, Penetration, Plane
from solver.case_parts import Sheet
from solver.panels.legs import Sides, allowance, flat_width
from solver.panels.parts import Cut, EndKind, Leg, Notch, PanelPiece
from solver.shape.edges import Edge, edges_of
from solver.shape.pieces import Piece

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Course:
    """A panel: its number and place, its legs at the seams, whether its width is odd or changed."""

    number: int
    low: int
    high: int
    legs: Sides
    odd: bool
    changed: bool


@dataclass(frozen=True, slots=True)
class _Side:
    """A straight part of a piece's boundary, from left to right, and what it lies on."""

    left: Point
    right: Point
    kind: EndKind

    def y_at(self, x: Fraction) -> Fraction:
        (x_1, y_1), (x_2, y_2) = self.left, self.right
        return y_1 + (x - x_1) * (y_2 - y_1) / (x_2 - x_1)


@dataclass(frozen=True, slots=True)
class _Near:
    """Edges of the roof and curbs that a piece may touch."""

    edges: Sequence[Edge]
    curbs: Sequence[Penetration]

    def within(self, low: int, high: int) -> _Near:
        """Those of them that reach into a stretch of the eave, or touch it."""
        return _Near(
            [e for e in self.edges if max(e.start[0], e.end[0]) >= low
             and min(e.start[0], e.end[0]) <= high],
            [c for c in self.curbs if 2 * c.x + c.across >= 2 * low
             and 2 * c.x - c.across <= 2 * high],
        )


class Cutter:
    """Makes pieces of one plane ready to cut; `curbs` are the ones that its panels stop at."""

    def __init__(
        self, case: Case, plane: Plane, sheet: Sheet, curbs: Sequence[Penetration]
    ) -> None:
        self.case, self.plane, self.sheet = case, plane, sheet
        self._all = _Near(edges_of(plane), curbs)

    def cut(self, piece: Piece, course: Course) -> PanelPiece:
        """A piece with its widths, cuts and cut-outs; no end laps yet."""
        points, low, high = piece.points, piece.low, piece.high
        near = self._all.within(low, high)
        around = list(zip(points, [*points[1:], points[0]], strict=True))
        below = [side for a, b in around if a[0] < b[0] for side in self._parts(near, a, b)]
        above = [side for a, b in around if a[0] > b[0] for side in self._parts(near, b, a)]
        ends = min(x for x, _ in points), max(x for x, _ in points)
        sides = (
            self._leg(near, around, ends[0], course.low, course.legs[0], high=False),
            self._leg(near, around, ends[1], course.high, course.legs[1], high=True),
        )
        rip, made = flat_width(
            self.case, self.sheet, high - low, sides, course.odd, course.changed)
        under, over = _outermost(below, lowest=True), _outermost(above, lowest=False)
        bottom, lower = self._cuts(under, low, lowest=True)
        top, upper = self._cuts(over, low, lowest=False)
        for hole in piece.holes:
            around += zip(hole, [*hole[1:], hole[0]], strict=True)
        notches = self._notches(near, around, *ends)
        return PanelPiece(
            plane=self.plane.id, panel=course.number, part=piece.part, low=low, high=high,
            y_low=piece.y_low, y_high=piece.y_high, bottom=bottom, top=top,
            left=sides[0], right=sides[1], rip=rip, made=made, lower=lower, upper=upper,
            notches=notches, laps=(), lengths=(top - bottom,), area=piece.area,
            rings=(points, *piece.holes),
        )

    def _parts(self, near: _Near, left: Point, right: Point) -> list[_Side]:
        """A level or slanting part of the boundary, by what it lies on: edges, else a curb."""
        whole = _Side(left, right, _curb_kind(near, left[1]))
        under = [e for e in near.edges if _along(e, left, right)]
        stops = {left[0], right[0]}
        stops |= {Fraction(x) for e in under for x in (e.start[0], e.end[0])
                  if left[0] < x < right[0]}
        found = []
        for x_1, x_2 in pairwise(sorted(stops)):
            on = next((e for e in under if min(e.start[0], e.end[0]) <= x_1
                       and max(e.start[0], e.end[0]) >= x_2), None)
            kind = whole.kind if on is None else on.kind
            found.append(_Side((x_1, whole.y_at(x_1)), (x_2, whole.y_at(x_2)), kind))
        return found

    def _leg(
        self, near: _Near, around: Sequence[tuple[Point, Point]], at: Fraction,
        seam: int, leg: Leg, *, high: bool,
    ) -> Leg:
        """What stands at the side of a piece at `at`: the panel's own leg where it has one there.

        A leg runs along a seam; where the roof itself, a hole or a curb ends the piece it is turned
        up; where the piece comes to a point there is nothing.
        """
        runs = [
            (a, b) for a, b in around
            if a[0] == b[0] == at and (b[1] > a[1] if high else b[1] < a[1])
        ]
        if not runs:
            return "none"
        free = at == seam and 0 < at < self.plane.width
        on_seam = [run for run in runs if free and not self._walled(near, run)]
        return leg if on_seam else "turned up"

    def _walled(self, near: _Near, run: tuple[Point, Point]) -> bool:
        """Whether all of an upright part of the boundary lies on edges of the roof or at curbs."""
        x, (low, high) = run[0][0], sorted((run[0][1], run[1][1]))
        spans = [tuple(sorted((Fraction(e.start[1]), Fraction(e.end[1])))) for e in near.edges
                 if e.upright and e.start[0] == x]
        spans += [(c.y - Fraction(c.along, 2), c.y + Fraction(c.along, 2)) for c in near.curbs
                  if 2 * x in (2 * c.x - c.across, 2 * c.x + c.across)]
        for one, other in sorted(spans):
            if one <= low < other:
                low = other
        return low >= high

    def _cuts(
        self, sides: Sequence[_Side], low: int, *, lowest: bool
    ) -> tuple[Fraction, tuple[Cut, ...]]:
        """How far the piece reaches with its allowances, and the cuts of that end."""
        sign = -1 if lowest else 1
        reach = [
            (side, [sign * y + allowance(self.sheet, side.kind) for y in (side.left[1],
                                                                         side.right[1])])
            for side in sides
        ]
        far = max(max(ends) for _, ends in reach)
        cuts = tuple(
            Cut(side.kind, (side.left[0] - low, far - ends[0]), (side.right[0] - low,
                                                                far - ends[1]))
            for side, ends in reach
        )
        return sign * far, cuts

    def _notches(
        self, near: _Near, around: Sequence[tuple[Point, Point]], low: Fraction,
        high: Fraction,
    ) -> tuple[Notch, ...]:
        """The upright sides within a piece: what it is cut out for."""
        found: list[Notch] = []
        for one, other in around:
            x = one[0]
            if x != other[0] or x in (low, high):
                continue
            low_y, high_y = sorted((one[1], other[1]))
            rising = other[1] > one[1]  # then the piece lies to its left
            found.append(Notch(
                self._beside(near, x, low_y, high_y), low_y, high_y,
                "left" if rising else "right", x - low if rising else high - x,
            ))
        return tuple(sorted(found, key=lambda notch: (notch.low, notch.side, notch.left)))

    def _beside(self, near: _Near, x: Fraction, low: Fraction, high: Fraction) -> str:
        """What stands at an upright side within a panel: a hole, a kind of edge, or a curb."""
        for edge in near.edges:
            ends = sorted((edge.start[1], edge.end[1]))
            if edge.upright and edge.start[0] == x and ends[0] < high and ends[1] > low:
                return edge.hole or edge.kind
        beside = (
            c.id for c in near.curbs if 2 * x in (2 * c.x - c.across, 2 * c.x + c.across)
            and 2 * c.y - c.along < 2 * high and 2 * c.y + c.along > 2 * low
        )
        return next(beside, "curb")


def _curb_kind(near: _Near, y: Fraction) -> EndKind:
    """What ends a piece at a level that is no edge of the roof."""
    close = any(c.detail == "close" and 2 * y == 2 * c.y + c.along for c in near.curbs)
    return "across" if close else "curb"


def _along(edge: Edge, left: Point, right: Point) -> bool:
    """Whether an edge lies on the line through two points, and between them at least in part."""
    if edge.upright or min(edge.start[0], edge.end[0]) >= right[0] or max(
        edge.start[0], edge.end[0]
    ) <= left[0]:
        return False
    wide, high = right[0] - left[0], right[1] - left[1]
    return all(wide * (y - left[1]) == high * (x - left[0]) for x, y in (edge.start, edge.end))


def _outermost(sides: Sequence[_Side], *, lowest: bool) -> list[_Side]:
    """The parts of the boundary one meets first from below, or from above, from left to right."""
    stops = sorted({x for side in sides for x in (side.left[0], side.right[0])})
    found: list[_Side] = []
    for x_1, x_2 in pairwise(stops):
        middle = (x_1 + x_2) / 2
        over = [s for s in sides if s.left[0] <= x_1 and s.right[0] >= x_2]
        pick = min if lowest else max
        side = pick(over, key=lambda s: s.y_at(middle))
        part = _Side((x_1, side.y_at(x_1)), (x_2, side.y_at(x_2)), side.kind)
        if found and found[-1].kind == part.kind and _straight(found[-1], part):
            part = _Side(found.pop().left, part.right, part.kind)
        found.append(part)
    return found


def _straight(one: _Side, other: _Side) -> bool:
    """Whether one part goes straight on in the other."""
    if one.right != other.left:
        return False
    return one.y_at(other.right[0]) == other.right[1]
