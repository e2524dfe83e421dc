"""Planes out of square: which first widths leave legal ends at eave and top, and where fanned seams
stand at some height.

A lean is known at the top of the plane; up the slope it grows evenly. Ticks.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane

Ticks = NDArray[np.int64]


def ends_fit(
    case: Case, plane: Plane, lows: Ticks, highs: Ticks, seams: Ticks
) -> NDArray[np.bool_]:
    """For which choices the ends of a leaning plane are legal at its top too.

    `lows`, `highs`: widths at the eave of the panels at the low and the high end; `seams`: how many
    there are. In a fan both keep their widths, and each full panel takes its share of what the top
    is wider than the eave, which must be within `play`.
    """
    lean, rules = plane.lean, case.rules
    assert lean is not None
    if lean.fan:
        full = seams - 1
        fine: NDArray[np.bool_] = abs(lean.high - lean.low) <= rules.play * full
        return fine
    tops = (lows - lean.low, highs + lean.high)
    result = np.ones(lows.shape, dtype=bool)
    for top in tops:
        result &= (top >= rules.min_end) & (top <= case.panel.cover)
    return result


def fanned(plane: Plane, y: int, number: Ticks, seams: Ticks) -> Ticks:
    """How far seams stand from their place at the eave, `y` up the slope, seen from the start.

    `number` counts from 0, `seams` is how many the choice has. Rounded once, half away from zero.
    """
    lean = plane.lean
    assert lean is not None
    own = -lean.high if plane.lay == "right-to-left" else lean.low
    full = np.maximum(seams - 1, 1)
    return _divide(y * (own * full + number * (lean.high - lean.low)), plane.length * full)


def _divide(top: Ticks, bottom: Ticks) -> Ticks:
    """Whole numbers nearest to fractions with positive denominators, halves away from zero."""
    result: Ticks = np.sign(top) * ((2 * np.abs(top) + bottom) // (2 * bottom))
    return result
