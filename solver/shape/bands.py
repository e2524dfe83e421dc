"""Where a strip that slides or grows along a plane has a piece that breaks a rule.

Between two places where a seam of the strip meets a corner, the pieces stay the same cells, their
widths are linear in where the strip is, and their lengths the largest of a few linear functions. So
what is wrong there is wrong on whole intervals of ticks, found from a handful of fractions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import ceil, floor

from solver.case import Plane
from solver.shape.cells import Cell, cells_of
from solver.shape.edges import Edge

Bands = tuple[tuple[int, int], ...]
"""Closed intervals of ticks, increasing, apart from each other."""


@dataclass(frozen=True, slots=True)
class Limits:
    """The least width and length of a piece, and its least width along a rake or wall (ticks)."""

    min_piece: int
    min_length: int
    min_end: int


@dataclass(frozen=True, slots=True)
class _Line:
    """at + per × t, where t (ticks) says where the strip is."""

    at: Fraction
    per: Fraction

    def less(self, other: _Line) -> _Line:
        return _Line(self.at - other.at, self.per - other.per)

    def value(self, t: int) -> Fraction:
        return self.at + self.per * t

    def below(self, limit: int, least: int, most: int) -> tuple[int, int]:
        """The ticks t from `least` to `most` at which it is less than `limit`; empty if low > high.
        """
        room = limit - self.at
        if self.per > 0:
            return least, min(most, ceil(room / self.per) - 1)
        if self.per < 0:
            return max(least, floor(room / self.per) + 1), most
        return (least, most) if room > 0 else (1, 0)


@dataclass(frozen=True, slots=True)
class _Strip:
    """A family of strips: each end is a fixed place or t + some ticks."""

    low: _Line
    high: _Line

    def at(self, t: int) -> tuple[int, int]:
        return int(self.low.value(t)), int(self.high.value(t))

    @property
    def moving(self) -> tuple[_Line, ...]:
        return tuple(end for end in (self.low, self.high) if end.per)


@lru_cache(maxsize=1024)
def bad_bands(
    plane: Plane, limits: Limits, fixed_low: int | None, wide: int | None, least: int, most: int
) -> Bands:
    """All t (ticks) from `least` to `most` at which a strip has a piece that breaks a rule.

    The strip reaches from `fixed_low` to t; or without it from t to t + `wide`, or to the plane's
    high end if `wide` is None.
    """
    if fixed_low is not None:
        strip = _Strip(_fixed(fixed_low), _Line(Fraction(0), Fraction(1)))
    else:
        high = _fixed(plane.width) if wide is None else _Line(Fraction(wide), Fraction(1))
        strip = _Strip(_Line(Fraction(0), Fraction(1)), high)
    corners = cells_of(plane).corners
    stops = {int(x - end.at) for end in strip.moving for x in corners}
    marks = [least - 1, *sorted(t for t in stops if least <= t <= most), most + 1]
    bands: list[tuple[int, int]] = []
    for before, after in pairwise(marks):
        if before >= least:
            bands += _between(plane, limits, strip, before, before)
        if after - before > 1:
            bands += _between(plane, limits, strip, before + 1, after - 1)
    return _merged(bands)


def _between(
    plane: Plane, limits: Limits, strip: _Strip, least: int, most: int
) -> list[tuple[int, int]]:
    """The bad t from `least` to `most`, over which no corner enters or leaves the strip."""
    low, high = strip.at(least)
    bands = []
    for part in cells_of(plane).parts(low, high):
        wide = _end(strip.high, high, max(cell.x_high for cell in part), high=True).less(
            _end(strip.low, low, min(cell.x_low for cell in part), high=False)
        )
        walled = any(
            (cell.walled_low and cell.x_low >= low) or (cell.walled_high and cell.x_high <= high)
            for cell in part
        )
        need = max(limits.min_piece, limits.min_end) if walled else limits.min_piece
        bands.append(wide.below(need, least, most))
        bands.append(_short(part, limits.min_length, strip, least, most))
    return [(a, b) for a, b in bands if a <= b]


def _short(
    part: Sequence[Cell], limit: int, strip: _Strip, least: int, most: int
) -> tuple[int, int]:
    """The t at which a piece is shorter than `limit`: where every top is near every bottom."""
    bottoms: dict[str, _Line] = {}
    tops: dict[str, _Line] = {}
    low, high = strip.at(least)
    # Edges do not cross, so of all that the low (or high) seam meets, one is on top all the way.
    for cell in part:
        left = ("low", strip.low) if cell.x_low < low else ("fixed", _fixed(cell.x_low))
        right = ("high", strip.high) if cell.x_high > high else ("fixed", _fixed(cell.x_high))
        for name, x in (left, right):
            bottom, top = _along(cell.low, x), _along(cell.high, x)
            if name not in tops or top.value(least) > tops[name].value(least):
                tops[name] = top
            if name not in bottoms or bottom.value(least) < bottoms[name].value(least):
                bottoms[name] = bottom
    for top in tops.values():
        for bottom in bottoms.values():
            least, most = top.less(bottom).below(limit, least, most)
            if least > most:
                return 1, 0
    return least, most


def _end(seam: _Line, now: int, reach: int, *, high: bool) -> _Line:
    """Where a piece ends: at the strip's seam, which is `now` there, or before it at `reach`."""
    return seam if (reach > now if high else reach < now) else _fixed(reach)


def _fixed(x: int) -> _Line:
    return _Line(Fraction(x), Fraction(0))


def _along(edge: Edge, x: _Line) -> _Line:
    """Where an edge stands at a place that moves."""
    (x_1, y_1), (x_2, y_2) = edge.start, edge.end
    slope = Fraction(y_2 - y_1, x_2 - x_1)
    return _Line(y_1 + (x.at - x_1) * slope, x.per * slope)


def _merged(bands: list[tuple[int, int]]) -> Bands:
    """The same ticks as disjoint intervals in increasing order."""
    merged: list[tuple[int, int]] = []
    for low, high in sorted(bands):
        if merged and low <= merged[-1][1] + 1:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return tuple(merged)
