"""What the combining engines see: tables of choices and which of them fit, no geometry."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, LINKS, ORDER

HUGE = 1 << 60
"""The clearance of odd panels where there is none."""


@dataclass(frozen=True)
class PlaneTable:
    """One plane for every choice of it: levels (levels, choices), and what may be chosen.

    Where `settled` is False, `levels` is a lower bound in the tie order, and counts may differ
    either way. `narrowest` is None for a plane without seams. `clearance2` is the least distance of
    an odd panel's centre line from a penetration or an end, huge where there is no odd panel.
    Choices stand in the order that decides between equals.
    """

    firsts: Ticks
    levels: Ticks
    allowed: NDArray[np.bool_]
    narrowest: Ticks | None
    settled: NDArray[np.bool_]
    clearance2: Ticks | None = None

    def least(self, name: str) -> Ticks | None:
        """A column of which the least over all planes counts; None where it never binds."""
        return self.narrowest if name == "narrowest" else self.clearance2


@dataclass(frozen=True)
class LinkTable:
    """A link between planes `a` and `b` (indices): `meet` is (first widths of a, of b)."""

    a: int
    b: int
    meet: NDArray[np.bool_]
    must: bool


@dataclass(frozen=True)
class Roof:
    """The tables of all planes, their links, and what a missed link costs (cents)."""

    planes: tuple[PlaneTable, ...]
    links: tuple[LinkTable, ...]
    missed_cents: int


def order_of(roof: Roof, picks: tuple[int, ...]) -> tuple[int, ...]:
    """The tie order of a choice as the tables know it, down to but not with the first widths."""
    missed = sum(not link.meet[picks[link.a], picks[link.b]] for link in roof.links)
    found = []
    for step in ORDER:
        if isinstance(step, int):
            total = sum(
                int(plane.levels[step, f]) for plane, f in zip(roof.planes, picks, strict=True)
            )
            each = {LINKS: 1, COST: roof.missed_cents}.get(step, 0)
            found.append(total + missed * each)
        else:
            ends = [
                int(values[f])
                for plane, f in zip(roof.planes, picks, strict=True)
                if (values := plane.least(step)) is not None and values[f] < HUGE
            ]
            found.append(-min(ends, default=0))
    return tuple(found)


@dataclass(frozen=True)
class Found:
    """One choice of first widths (indices, plane order) and the proven least cost (cents).

    Where a pick is unsettled its cost, and so `bound`, is only a lower bound. `proven` is False
    where time ran out before every level of the tie order was settled.
    """

    picks: tuple[int, ...]
    bound: int
    proven: bool = True
