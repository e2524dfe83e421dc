"""Planes laid out as they were found, out of square: where their seams and rakes stand at a height.

Everything else of a sheet is told at the eave. Ticks; x is from the eave's low corner.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np

from solver.case import Plane
from solver.case_parts import Outline
from solver.tabling.lean import fanned
from solver.units import round_half_away


def seams_at(plane: Plane, seams: tuple[int, ...], y: int) -> tuple[int, ...]:
    """The seams of a plane `y` up the slope, in increasing x; elsewhere than in a fan those at the
    eave."""
    if plane.lean is None or not plane.lean.fan or not seams:
        return seams
    count = len(seams)
    numbers = np.arange(count, dtype=np.int64)
    back = plane.lay == "right-to-left"
    moved = fanned(plane, y, numbers[::-1] if back else numbers, np.full(count, count))
    return tuple(
        seam + (-int(by) if back else int(by)) for seam, by in zip(seams, moved, strict=True)
    )


def ends_at(plane: Plane, y: int) -> tuple[int, int]:
    """Where the two ends of a plane stand `y` up the slope, to the nearest tick."""
    if plane.lean is None:
        return 0, plane.width
    low, high = (Fraction(lean * y, plane.length) for lean in (plane.lean.low, plane.lean.high))
    return round_half_away(low), plane.width + round_half_away(high)


def grounded(plane: Plane) -> Plane:
    """The plane with an outline that says how it leans; itself where it does not."""
    if plane.lean is None:
        return plane
    low, high = ends_at(plane, plane.length)
    points = ((0, 0), (plane.width, 0), (high, plane.length), (low, plane.length))
    return replace(plane, outline=Outline(points, ("eave", "rake", "ridge", "rake")), lean=None)
