"""The combining engine for few planes: every combination of first widths at once, in numpy.

Exact, and quicker than loading a solver as long as the combinations fit in memory.
"""

from __future__ import annotations

from math import prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.ranks.roof import Found, Roof
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, COUNTS, LINKS, ORDER

MOST_COMBINATIONS = 1_500_000


def combinations(roof: Roof) -> int:
    """How many combinations of first widths a roof has."""
    return prod(len(plane.firsts) for plane in roof.planes)


class Enumeration:
    """All combinations in row-major order, so that a smaller index has smaller first widths."""

    def __init__(self, roof: Roof) -> None:
        self.roof = roof
        self.shape = tuple(len(plane.firsts) for plane in roof.planes)
        self._arrays: dict[int, Ticks] = {}
        self._missed = np.zeros(self.shape, dtype=np.int64)
        self.live = np.ones(self.shape, dtype=bool)
        self._unsettled = np.zeros(self.shape, dtype=bool)
        for i, plane in enumerate(roof.planes):
            self.live &= self._spread(plane.allowed, i)
            self._unsettled |= ~self._spread(plane.settled, i)
        for link in roof.links:
            table = link.meet if link.a < link.b else link.meet.T
            low, high = min(link.a, link.b), max(link.a, link.b)
            where = [1] * len(self.shape)
            where[low], where[high] = table.shape
            meet = table.reshape(where)
            self._missed += ~meet
            if link.must:
                self.live &= meet
        self.live = self.live.ravel()
        self._unsettled = self._unsettled.ravel()
        self._missed = self._missed.ravel()

    def next(self, listed: list[tuple[int, ...]]) -> Found | None:
        """The first combination with a smaller count against each of `listed`; None if none is.

        A combination that is not settled may have any counts, so it is taken to qualify.
        """
        mask = self.live.copy()
        for counts in listed:
            smaller = np.zeros(len(mask), dtype=bool)
            for level, limit in zip(range(COUNTS.start, COUNTS.stop), counts, strict=True):
                if limit > 0:
                    smaller |= self._level(level) < limit
            mask &= smaller | self._unsettled
        left = np.flatnonzero(mask)
        if not len(left):
            return None
        bound = int(self._level(COST)[left].min())
        for step in ORDER:
            if isinstance(step, int):
                value = self._level(step)[left]
                left = left[value == value.min()]
            else:
                least = self._least(step, left)
                left = left[least == least.max()]
        pick = int(left[0])
        picks = tuple(int(i) for i in np.unravel_index(pick, self.shape))
        return Found(picks, bound)

    def _spread(self, values: NDArray[Any], plane: int) -> NDArray[Any]:
        where = [1] * len(self.shape)
        where[plane] = len(values)
        return values.reshape(where)

    def _level(self, level: int) -> Ticks:
        if level not in self._arrays:
            total = np.zeros(self.shape, dtype=np.int64)
            for i, plane in enumerate(self.roof.planes):
                total += self._spread(plane.levels[level], i)
            flat = total.ravel()
            if level == LINKS:
                flat = flat + self._missed
            if level == COST:
                flat = flat + self._missed * self.roof.missed_cents
            self._arrays[level] = flat
        return self._arrays[level]

    def _least(self, name: str, left: Ticks) -> Ticks:
        """The least over all planes of a column such as the narrowest end."""
        least = np.full(len(left), np.iinfo(np.int64).max, dtype=np.int64)
        for i, index in enumerate(np.unravel_index(left, self.shape)):
            own = self.roof.planes[i].least(name)
            if own is not None:
                least = np.minimum(least, own[index])
        return least
