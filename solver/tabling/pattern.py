"""What the whole pattern of a plane is worth: centres that are hit or missed, sheets it takes.

Not one penetration but where all the seams stand decides it. Arrays are over the columns of a
plane, as in `solver.tabling.phase`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.case_parts import Centre
from solver.shape.outline import strip_length
from solver.tabling.choices import bends
from solver.tabling.phase import Grids
from solver.tabling.starts import Ticks
from solver.tabling.tables import CENTRES, COST, STOCK
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

AREA_UNIT = {"in": (12 * TICKS_PER_INCH) ** 2, "mm": (1000 * TICKS_PER_MM) ** 2 // 10}
"""What stock is counted by, in square ticks: a square foot, a tenth of a square metre."""


def is_special(case: Case, plane: Plane) -> bool:
    """Whether more than penetrations in single panels, links and plain ends decides on a plane."""
    return (
        plane.outline is not None
        or case.rates.each["area"].given
        or any(centre.plane == plane.id for centre in case.centres)
        or any(pen.plane == plane.id and pen.detail != "flange" for pen in case.penetrations)
    )


def too_bent(case: Case) -> bool:
    """Whether such a plane may have odd panels or play, which only tables know how to look at."""
    return any(is_special(case, plane) and bends(case, plane) for plane in case.planes)


def add_pattern(grids: Grids, levels: Ticks) -> NDArray[np.bool_]:
    """Add to `levels` (levels, columns) what centres and stock are worth; returns which columns hit
    every centre that they must."""
    case, plane = grids.case, grids.plane
    allowed = np.ones(len(grids.firsts), dtype=bool)
    for centre in case.centres:
        if centre.plane == plane.id:
            missed = missed_centre(grids, centre)
            levels[CENTRES] += missed
            levels[COST] += missed * case.rates.cents("off_centre")
            allowed &= ~(missed & centre.must)
    if case.rates.each["area"].given:
        stock = stock_units(grids)
        levels[STOCK] += stock
        levels[COST] += stock * case.rates.cents("area")
    return allowed


def missed_centre(grids: Grids, centre: Centre) -> NDArray[np.bool_]:
    """Which columns have no pan's middle (rib) within the tolerance of a centre."""
    near2 = np.full(len(grids.firsts), np.int64(1) << 60)
    u = grids.from_start(np.array([centre.at], dtype=np.int64))[0]
    count = grids.seam_counts
    here = grids.upto(np.full(len(grids.firsts), u))  # number of the first seam beyond the centre

    def edge(number: Ticks) -> Ticks:
        """Seam `number`; the ends of the plane stand before the first and behind the last."""
        inside = np.where(number >= count, grids.plane.width, grids.seam(np.maximum(number, 0)))
        result: Ticks = np.where(number < 0, 0, inside)
        return result

    # The nearest seam is one of two; the nearest middle is that of a pan next to one of them.
    for step in (-2, -1, 0, 1):
        number = here + step
        if centre.on == "rib":
            there = (number >= 0) & (number < count)
            away2 = 2 * np.abs(edge(number) - u)
        else:
            there = (number >= -1) & (number < count)
            away2 = np.abs(edge(number) + edge(number + 1) - 2 * u)
        near2 = np.where(there, np.minimum(near2, away2), near2)
    missed: NDArray[np.bool_] = near2 > 2 * centre.tol
    return missed


def stock_units(grids: Grids) -> Ticks:
    """Whole square feet (tenths of a square metre) of sheets that each column takes.

    A sheet for each panel, as long as all its pieces together reach up the slope; the first and the
    last come out of one where both and their turn-ups fit in a cover (common practice, no source).
    """
    case, plane = grids.case, grids.plane
    sheet = case.sheet
    assert sheet is not None
    wide = case.panel.cover + sheet.male + sheet.female
    known: dict[tuple[int, int], int] = {}
    found = np.zeros(len(grids.firsts), dtype=np.int64)
    for f, ends in enumerate(_edges(grids)):
        lengths = []
        for pair in pairwise(ends):
            if pair not in known:
                known[pair] = strip_length(plane, *pair)
            lengths.append(known[pair])
        total = sum(lengths)
        first, last = ends[1] - ends[0], ends[-1] - ends[-2]
        if (
            len(lengths) > 1 and plane.lay != "from"
            and first + last + 2 * sheet.turn_up <= case.panel.cover
        ):
            total -= min(lengths[0], lengths[-1])
        found[f] = -(-total * wide // AREA_UNIT[case.units])
    return found


def _edges(grids: Grids) -> Iterator[list[int]]:
    """For each column the ends of the plane and the seams between, as increasing x."""
    width, count = grids.plane.width, grids.seam_counts
    for f in range(len(grids.firsts)):
        one = grids.pick(slice(f, f + 1))
        seams = [int(one.seam(np.array([n]))[0]) for n in range(int(count[f]))]
        at = [0, *seams, width]
        yield [width - x for x in reversed(at)] if grids.plane.lay == "right-to-left" else at
