"""Surveys as a tape would read them off known corners."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from math import isqrt
from typing import Any

from solver.case import Plane
from solver.case_parts import Survey
from tests.unit.builders import inches, make_plane

Quad = tuple[tuple[int, int], tuple[int, int], tuple[int, int], tuple[int, int]]
"""A, B, C, D in ticks."""
PAIRS = {"eave": (0, 1), "ridge": (2, 3), "low_rake": (0, 3), "high_rake": (1, 2), "up": (0, 2),
         "down": (1, 3)}


def feet(number: str | int, more: str | int = 0) -> int:
    """Feet and inches as ticks."""
    return inches(str(Fraction(number) * 12)) + inches(more)


def read_off(corners: Any, names: Iterable[str]) -> dict[str, int]:
    """The distances between corners, to the nearest tick."""
    read = {}
    for name in names:
        (x0, y0), (x1, y1) = (corners[place] for place in PAIRS[name])
        # half a tick up, then cut off: the root of four times the square is twice the root
        read[name] = (isqrt(4 * ((x1 - x0) ** 2 + (y1 - y0) ** 2)) + 1) // 2
    return read


def surveyed_plane(read: Mapping[str, int], **more: Any) -> Plane:
    """A plane of 40 x 30 ft (unless `width` or `length` is given) with this survey."""
    plane = make_plane(width=more.pop("width", feet(40)), length=more.pop("length", feet(30)))
    plane = replace(plane, low_end="west gable", high_end="east gable")
    return replace(plane, survey=Survey(**read, **more))
