"""Where the first seam may stand: legal first widths, the usual one, the mend if there is none."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.shape.outline import legal_mask
from solver.tabling.lean import ends_fit

Ticks = NDArray[np.int64]


def whole_marks(case: Case, least: int) -> Ticks:
    """Whole marks from `least` to the cover, and the cover itself, which always counts as one."""
    mark, cover = case.mark, case.panel.cover
    widths = np.arange(max(-(-least // mark), 1) * mark, cover + 1, mark, dtype=np.int64)
    if not len(widths) or widths[-1] != cover:
        widths = np.append(widths, np.int64(cover))
    return widths


def least_end(case: Case, plane: Plane) -> int:
    """How wide the first and the last panel are at least, whatever their shape (ticks)."""
    return case.rules.min_end if plane.outline is None else case.mark


def legal_firsts(case: Case, plane: Plane) -> Ticks:
    """Every first width (ticks, increasing) that obeys the end rule at both ends.

    A plane no wider than the cover is one panel: its width is the only entry. On a plane with an
    outline the pieces decide (`solver.shape.outline`).
    """
    cover, least = case.panel.cover, least_end(case, plane)
    if plane.width <= cover:
        return np.array([plane.width], dtype=np.int64)
    firsts = whole_marks(case, least)
    lasts = (plane.width - firsts - 1) % cover + 1
    firsts, lasts = firsts[lasts >= least], lasts[lasts >= least]
    if plane.lean is not None:
        ends = (lasts, firsts) if plane.lay == "right-to-left" else (firsts, lasts)
        seams = (plane.width - firsts - 1) // cover + 1
        return firsts[ends_fit(case, plane, *ends, seams)]
    return firsts if plane.outline is None else firsts[legal_mask(case, plane, firsts)]


def usual_first(case: Case, plane: Plane, firsts: Ticks) -> int:
    """The legal first width nearest to the ideal one of equal ends; of two equally near the wider.

    Common practice, no source: ends equal; where half the remainder is too narrow, one full panel
    is taken out and its width shared too. `firsts` must not be empty.
    """
    cover = case.panel.cover
    if plane.width <= cover:
        return plane.width
    rest = plane.width % cover
    if rest == 0:
        ideal2 = 2 * cover
    elif rest >= 2 * case.rules.min_end:
        ideal2 = rest
    else:
        ideal2 = rest + cover
    off = np.abs(2 * firsts - ideal2)
    return int(firsts[off == off.min()][-1])


def largest_min_end(case: Case, plane: Plane) -> int:
    """The largest whole-mark `min_end` (ticks) for which the plane has a legal first width.

    0 where even a single mark leaves none.
    """
    firsts = whole_marks(case, 0)
    lasts = (plane.width - firsts - 1) % case.panel.cover + 1
    best = int(np.minimum(firsts, lasts).max())
    return best // case.mark * case.mark


def run_around(case: Case, firsts: Ticks, chosen: int, same: NDArray[np.bool_]) -> tuple[int, int]:
    """The run of consecutive legal first widths around `firsts[chosen]` for which `same` holds.

    Two neighbours further apart than one mark are not consecutive: between them no start is legal.
    """
    low = high = chosen
    while low > 0 and same[low - 1] and firsts[low] - firsts[low - 1] <= case.mark:
        low -= 1
    last = len(firsts) - 1
    while high < last and same[high + 1] and firsts[high + 1] - firsts[high] <= case.mark:
        high += 1
    return int(firsts[low]), int(firsts[high])
