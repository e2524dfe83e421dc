"""Which edge of one plane can be which of another: a ridge, hip or valley has two sides.

Two planes meet in one straight line, so both sides are equally long; what was drawn, rounded and
put on the slope for each plane by itself may differ a little.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from solver.shape.edges import Edge

_ROUNDING: Final = 4
"""Ticks."""
_DRAWN: Final = 200
"""Drawn sizes may make one side longer than the other by this part of it; a choice of ours."""


def sides_of_one(
    first: Sequence[Edge], second: Sequence[Edge], along: str
) -> list[tuple[int, int]]:
    """Pairs of edges (their numbers) of a kind that could be the two sides of one, by their hands.

    Those most nearly equal in length come first. A hip or valley at the right end of the one plane
    is at the left end of the other.
    """
    pairs = [
        (i, j)
        for i, one in enumerate(first)
        for j, other in enumerate(second)
        if one.kind == other.kind == along and (along == "ridge" or _rises(one) != _rises(other))
    ]
    return sorted(pairs, key=lambda pair: abs(first[pair[0]].length - second[pair[1]].length))


def as_long(one: Edge, other: Edge) -> bool:
    """Whether two edges are equally long, but for rounding and drawing."""
    longer = max(one.length, other.length)
    return abs(one.length - other.length) <= _ROUNDING + longer / _DRAWN


def _rises(edge: Edge) -> bool:
    """Whether it goes up, the roof on its left: then it is at the right end of its plane."""
    return edge.end[1] > edge.start[1]
