"""How far seams may have crept when a robust case asks: the optimizer's own arithmetic.

Each panel's real cover may be off by `cover_tol`; after every `remeasure` panels the crew comes
back to a control line. Seam 0 is the first; panels gone on since it was last controlled: none for
seam 0, then 1, 2, … `remeasure`, and from 1 again (common practice, no source). All lengths are
ticks, and all are 0 unless the case is to be robust.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane

Ticks = NDArray[np.int64]


def seam_shifts(case: Case, number: Ticks) -> Ticks:
    """Worst creep of seams by number; anything for numbers that are no seam's."""
    if not case.rules.robust:
        return np.zeros_like(number)
    gone = np.where(number > 0, (number - 1) % case.rules.remeasure + 1, 0)
    result: Ticks = gone * case.rules.cover_tol
    return result


def start_shift(case: Case, plane: Plane) -> int:
    """Shift of every seam against positions measured from the low end."""
    if not case.rules.robust or plane.lay != "right-to-left":
        return 0
    return case.rules.width_tol


def far_end_shift(case: Case) -> int:
    """Shift of the plane's high end against positions measured from the low end."""
    return case.rules.width_tol if case.rules.robust else 0


def extra_seams(case: Case) -> int:
    """How many seams beyond the nearest can bind: those that creep by whole panels more."""
    if not case.rules.robust:
        return 0
    return (case.rules.remeasure * case.rules.cover_tol) // least_panel(case)


def least_panel(case: Case) -> int:
    """The width (ticks) of the narrowest panel between the ends that the case allows."""
    rules = case.rules
    least = case.panel.cover - rules.play
    if rules.odd_panels:
        least = min((least, *(rules.odd_widths or (rules.odd_min,))))
    return max(least, 1)
