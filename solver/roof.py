"""What the combining engines see: tables of choices and which of them fit, no geometry."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.starts import Ticks


@dataclass(frozen=True)
class PlaneTable:
    """One plane for every legal first width: levels (12, first widths), and what may be chosen.

    Where `settled` is False, `levels` is a lower bound in the tie order, and counts may differ
    either way. `narrowest` is None for a plane without seams.
    """

    firsts: Ticks
    levels: Ticks
    allowed: NDArray[np.bool_]
    narrowest: Ticks | None
    settled: NDArray[np.bool_]


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


@dataclass(frozen=True)
class Found:
    """One choice of first widths (indices, plane order) and the proven least cost (cents).

    Where a pick is unsettled its cost, and so `bound`, is only a lower bound. `proven` is False
    where time ran out before every level of the tie order was settled.
    """

    picks: tuple[int, ...]
    bound: int
    proven: bool = True
