"""How a penetration stands and what that costs, for many draws at once: plain rules of states.

State codes are places in PIPE_STATES and CURB_STATES; money is cents, lengths are ticks in floating
point.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Penetration, needed2

Floats = NDArray[np.float64]


def pipe_draws(
    case: Case, pen: Penetration, room: Floats
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """State codes and cents of a pipe; `room` (ticks) is what it has on its nearer side."""
    cents = case.rates.cents
    price = np.array([0, cents("tight"), cents("crosses"), cents("on_seam")], dtype=np.int64)
    room2 = 2 * room
    clear = room2 >= needed2(pen, case.rules)
    tight = room2 >= pen.base
    crosses = room2 >= pen.outside + 2 * case.rules.hole_gap
    states = np.where(clear, 0, np.where(tight, 1, np.where(crosses, 2, 3)))
    return states, price[states]


def curb_draws(
    case: Case, pen: Penetration, apart: Floats, side: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """State codes and cents of a curb, a seam landing on its wall where it comes out that near.

    `apart` (draws, seams; ticks) is the seam's place less the centre's, `side` what the seam takes
    on the side that faces the curb.
    """
    cents = case.rates.cents
    away2 = 2 * np.abs(apart)
    walls = [np.abs(2 * apart + wall) <= 2 * case.rules.land_tol
             for wall in (pen.across, -pen.across) if pen.detail == "ribbed"]  # fmt: skip
    landed = np.logical_or.reduce(walls) if walls else np.zeros(apart.shape, dtype=bool)
    cut = ~landed & (away2 < pen.across + 2 * side)
    number = cut.sum(axis=1)
    flank2 = np.where(cut | landed, np.inf, away2 - pen.across).min(axis=1, initial=np.inf)
    wanted2 = 0 if pen.detail == "close" else 2 * case.rules.curb_side
    crowded = flank2 < wanted2
    states = np.where(crowded, 1, np.where(number > 0, 2, 0))
    price = number * cents("seam_cut") + crowded * cents("crowded")
    for wall in walls:
        price = price + ~wall.any(axis=1) * cents("unlanded")
    return states, price
