"""Where there is roof at one height of a slope."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from solver.case import Plane
from solver.shape.edges import edges_of, holds


def spans_at(plane: Plane, y: int) -> list[tuple[int, int]]:
    """The stretches of roof on the level `y` (ticks), low first, rounded inwards to ticks.

    The same as `ends_at` of any point on them.
    """
    met: set[Fraction] = set()
    for edge in edges_of(plane):
        (x_1, y_1), (x_2, y_2) = edge.start, edge.end
        if y_1 == y_2 == y:
            met |= {Fraction(x_1), Fraction(x_2)}
        elif y_1 != y_2 and min(y_1, y_2) <= y <= max(y_1, y_2):
            met.add(edge.x_at(y))
    stops = sorted(met)
    spans: list[tuple[Fraction, Fraction]] = []
    for at, then in pairwise(stops):
        if holds(plane, (at + then) / 2, y):
            if spans and spans[-1][1] == at:
                spans[-1] = (spans[-1][0], then)
            else:
                spans.append((at, then))
    return [(ceil(low), floor(high)) for low, high in spans if ceil(low) <= floor(high)]
