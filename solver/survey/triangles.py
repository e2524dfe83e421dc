"""Corners from four sides and one diagonal, by two triangles, exact; what a sixth reading must be.

Lengths are whole ticks. Corners are A (low end of the eave), B (high end of the eave), C (high end
of the ridge) and D (low end of the ridge); A is the origin and B lies on the x axis.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import hypot, isqrt, sqrt
from typing import Final, NamedTuple

ENDS: Final = {
    "eave": "AB", "high_rake": "BC", "ridge": "CD", "low_rake": "DA", "up": "AC", "down": "BD",
}
"""The two corners each reading of a survey runs between, by its name in the case."""
TRIANGLES: Final[dict[str, tuple[tuple[str, str, str], ...]]] = {
    "up": (("eave", "high_rake", "up"), ("up", "ridge", "low_rake")),
    "down": (("eave", "low_rake", "down"), ("down", "ridge", "high_rake")),
}
"""The two triangles a diagonal makes with the four sides."""
_BITS: Final = 512
"""A root that is no fraction is cut off so many bits below a tick: far below where any sum of two
such roots could be mistaken for half a tick."""

Readings = Mapping[str, int]


class Point(NamedTuple):
    """A place on the slope, in ticks but not rounded: along the eave and up the slope."""

    x: Fraction
    y: Fraction


Corners = tuple[Point, Point, Point, Point]
"""A, B, C, D."""


def root(square: Fraction) -> Fraction:
    """The square root: exact where it is a fraction, else cut off 512 bits below the unit."""
    under = square.numerator * square.denominator
    whole = isqrt(under)
    if whole * whole == under:
        return Fraction(whole, square.denominator)
    return Fraction(isqrt(under << (2 * _BITS)), square.denominator << _BITS)


def closes(one: int, two: int, three: int) -> bool:
    """Whether three lengths make a triangle that is not flat."""
    longest = max(one, two, three)
    return one + two + three > 2 * longest


def corners_by_triangles(read: Readings, diagonal: str) -> Corners:
    """The corners from the four sides and the diagonal of that name ("up" or "down").

    Both triangles of that diagonal must close. Law of cosines in both of them; the coordinates are
    a fraction plus the root of a fraction, or two such roots.
    """
    if diagonal == "down":  # seen in a mirror it is the other diagonal
        a, b, c, d = _by_up(read["eave"], read["low_rake"], read["ridge"], read["high_rake"],
                            read["down"])
        return (a, b, Point(b.x - d.x, d.y), Point(b.x - c.x, c.y))
    return _by_up(read["eave"], read["high_rake"], read["ridge"], read["low_rake"], read["up"])


def _by_up(eave: int, high: int, ridge: int, low: int, up: int) -> Corners:
    cx = Fraction(eave * eave + up * up - high * high, 2 * eave)
    cy2 = up * up - cx * cx
    # D = part * C + turn * (C turned a quarter towards the low end)
    part = Fraction(low * low + up * up - ridge * ridge, 2 * up * up)
    turn2 = Fraction(low * low, up * up) - part * part
    cy = root(cy2)
    zero = Fraction(0)
    return (
        Point(zero, zero), Point(Fraction(eave), zero), Point(cx, cy),
        Point(part * cx - root(turn2 * cy2), part * cy + cx * root(turn2)),
    )  # fmt: skip


def must_be(read: Readings, name: str) -> float | None:
    """What one of the six readings has to be (ticks) where the five others are right.

    They make two triangles on the line between the corners it does not touch; None where these do
    not close.
    """
    lengths = {frozenset(ENDS[other]): read[other] for other in ENDS if other != name}
    one, two = ENDS[name][0], ENDS[name][1]
    left, right = (corner for corner in "ABCD" if corner not in ENDS[name])
    base = lengths[frozenset((left, right))]
    places = []
    for tip in (one, two):
        to_left, to_right = (lengths[frozenset((tip, corner))] for corner in (left, right))
        if not closes(base, to_left, to_right):
            return None
        along = Fraction(base * base + to_left * to_left - to_right * to_right, 2 * base)
        places.append((float(along), sqrt(to_left * to_left - along * along)))
    (x1, y1), (x2, y2) = places
    return hypot(x1 - x2, y1 + y2 if name in TRIANGLES else y1 - y2)
