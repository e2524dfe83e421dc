"""Where an odd panel best stands among equals: as far as can be from everything."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.odd.places import Places
from solver.tabling.starts import Ticks


def no_better(
    own: Places, here: Ticks, places: Ticks, width: Ticks
) -> NDArray[np.bool_]:
    """Odd panels that could as well stand one panel earlier, farther from everything."""
    s, e = own.at[places] - own.cover, own.at[places] + width
    # One panel back must still be behind the last odd panel, with nothing in between.
    same = places - len(own.residues) >= here
    before = own.before[np.maximum(places - len(own.residues), 0)]
    same &= np.searchsorted(own.u, e) == before
    for low, high in own.windows:
        same &= (e < low) | (s > high)
    if own.line is not None:
        # Nearer to the line is later on its low side.
        same &= s >= own.line
    rows = np.flatnonzero(same)
    centre2 = 2 * own.at[places[rows]] + width[rows]
    same[rows] = clearance2(own, centre2 - 2 * own.cover) >= clearance2(own, centre2)
    return same


def clearance2(own: Places, centre2: Ticks) -> Ticks:
    """How far centre lines (half ticks) are from the nearest penetration or end."""
    k = np.searchsorted(own.stops2, centre2)
    low = own.stops2[np.maximum(k - 1, 0)]
    high = own.stops2[np.minimum(k, len(own.stops2) - 1)]
    result: Ticks = np.minimum(np.abs(centre2 - low), np.abs(high - centre2))
    return result
