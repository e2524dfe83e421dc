"""What the whole pattern of a plane is worth: centres that are hit or missed, sheets it takes.

Not one penetration but where all the seams stand decides it. Arrays are over the columns of a
plane, as in `solver.tabling.phase`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.case_parts import Centre
from solver.shape.strip_lengths import strip_lengths
from solver.tabling.choices import bends
from solver.tabling.phase import Grids
from solver.tabling.starts import Ticks
from solver.tabling.tables import CENTRES, COST, STOCK
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

AREA_UNIT = {"in": (12 * TICKS_PER_INCH) ** 2, "mm": (1000 * TICKS_PER_MM) ** 2 // 10}
"""What stock is counted by, in square ticks: a square foot, a tenth of a square metre."""


def is_fan(plane: Plane) -> bool:
    """Whether the plane's seams are fanned, so that where they stand hangs on the height."""
    return plane.lean is not None and plane.lean.fan


def is_special(case: Case, plane: Plane) -> bool:
    """Whether more than penetrations in single panels, links and plain ends decides on a plane."""
    return (
        plane.outline is not None
        or is_fan(plane)
        or case.rates.each["area"].given
        or any(centre.plane == plane.id for centre in case.centres)
        or any(pen.plane == plane.id and pen.detail != "flange" for pen in case.penetrations)
    )


def too_bent(case: Case) -> bool:
    """Whether such a plane may have odd panels or play, or is fanned, which only tables know how to
    look at."""
    return any(
        is_special(case, plane) and (bends(case, plane) or is_fan(plane)) for plane in case.planes
    )


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
    case, sheet = grids.case, grids.case.sheet
    assert sheet is not None
    wide, unit = case.panel.cover + sheet.male + sheet.female, AREA_UNIT[case.units]
    if grids.runs is not None:
        return _units(grids, wide, sheet.turn_up, unit)
    own = _Plain(
        grids.plane, grids.firsts.tobytes(), case.panel.cover, wide, sheet.turn_up, unit, grids
    )
    return _plain_units(own)


@dataclass(frozen=True, slots=True)
class _Plain:
    """All that the sheets of plain columns hang on, whatever penetrations and rules are."""

    plane: Plane
    firsts: bytes
    cover: int
    wide: int
    turn_up: int
    unit: int
    grids: Grids = field(compare=False, repr=False)


@lru_cache(maxsize=256)
def _plain_units(own: _Plain) -> Ticks:
    """What is asked again whenever something else of the case is varied; not to be written to."""
    found = _units(own.grids, own.wide, own.turn_up, own.unit)
    found.flags.writeable = False
    return found


def _units(grids: Grids, wide: int, turn_up: int, unit: int) -> Ticks:
    case, plane = grids.case, grids.plane
    total, narrow = np.zeros(len(grids.firsts), dtype=np.int64), np.zeros_like(grids.firsts)
    ends = np.zeros_like(total)
    for number, (low, high, there) in enumerate(_strips(grids)):
        lengths = np.where(there, strip_lengths(plane, low, high), 0)
        total += lengths
        last = there & (number == grids.seam_counts)
        ends += np.where(last, high - low, 0)
        if not number:
            ends += high - low
            narrow = lengths
        narrow = np.where(last, np.minimum(narrow, lengths), narrow)
    if plane.lay != "from":  # laid from one end, both ends may come out of one sheet
        shares = (grids.seam_counts > 0) & (ends + 2 * turn_up <= case.panel.cover)
        total -= np.where(shares, narrow, 0)
    # square ticks may be more than 64 bits hold
    return np.array([-(-int(length) * wide // unit) for length in total], dtype=np.int64)


def _strips(grids: Grids) -> Iterator[tuple[Ticks, Ticks, NDArray[np.bool_]]]:
    """The panels from where laying starts: for each column from where to where in x, and whether
    it has so many."""
    width, count = grids.plane.width, grids.seam_counts
    before = np.zeros(len(grids.firsts), dtype=np.int64)
    for number in range(int(count.max(initial=0)) + 1):
        there = number <= count
        after = np.where(number < count, grids.seam(np.full(len(count), number)), width)
        after = np.where(there, after, before)
        if grids.plane.lay == "right-to-left":
            yield width - after, width - before, there
        else:
            yield before, after, there
        before = after
