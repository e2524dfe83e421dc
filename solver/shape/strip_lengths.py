"""How far up the slope strips reach, for many strips at once.

The same as `solver.shape.outline.strip_length`, strip by strip, but in arrays. Exact: a height is a
whole number and a rest over the run of its edge, both 64-bit integers. Lengths go up to 1 km, which
is less than 2**30 ticks, so that no product exceeds 2**60.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from solver.case import Plane
from solver.shape.cells import cells_of
from solver.shape.edges import Edge

Ints = NDArray[np.int64]


@dataclass(slots=True)
class _Heights:
    """Heights `whole + rest / run` (ticks), with 0 <= rest < run; one for each strip."""

    whole: Ints
    rest: Ints
    run: Ints

    def take(self, other: _Heights, where: NDArray[np.bool_], which: Literal["up", "down"]) -> None:
        """Take the other height `where` it is the higher ("up") or lower one ("down")."""
        one, two = self.rest * other.run, other.rest * self.run
        if which == "up":
            beyond = (other.whole > self.whole) | ((other.whole == self.whole) & (two > one))
        else:
            beyond = (other.whole < self.whole) | ((other.whole == self.whole) & (two < one))
        beyond &= where
        self.whole = np.where(beyond, other.whole, self.whole)
        self.rest = np.where(beyond, other.rest, self.rest)
        self.run = np.where(beyond, other.run, self.run)


def strip_lengths(plane: Plane, low: Ints, high: Ints) -> Ints:
    """From the lowest to the highest point of all pieces of every strip (ticks).

    `low` and `high` say from where to where each of them reaches along the eave. Rounded up to a
    whole tick; 0 where there is no piece.
    """
    far = np.int64(1) << 40
    zero, one = np.zeros(len(low), dtype=np.int64), np.ones(len(low), dtype=np.int64)
    bottom, top = _Heights(zero + far, zero, one), _Heights(zero - far, zero, one)
    met = np.zeros(len(low), dtype=np.bool_)
    for cell in cells_of(plane).cells:
        here = (low < cell.x_high) & (high > cell.x_low)
        if not here.any():
            continue
        met |= here
        for x in (np.maximum(low, cell.x_low), np.minimum(high, cell.x_high)):
            bottom.take(_heights(cell.low, x), here, "down")
            top.take(_heights(cell.high, x), here, "up")
    # The rests differ by less than a tick: what is left of it counts as a whole one.
    more = top.rest * bottom.run > bottom.rest * top.run
    return np.where(met, top.whole - bottom.whole + more, 0)


def _heights(edge: Edge, x: Ints) -> _Heights:
    """Where an edge stands at every `x`; outside it what it would be, which nothing takes."""
    (x_1, y_1), (x_2, y_2) = sorted((edge.start, edge.end))
    run = x_2 - x_1
    whole, rest = np.divmod(np.clip(x - x_1, 0, run) * (y_2 - y_1), run)
    return _Heights(whole + y_1, rest, np.full(len(x), run, dtype=np.int64))
