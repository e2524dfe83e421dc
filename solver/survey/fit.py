"""Least squares: corners from four sides and both diagonals, and lines through offsets."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from solver.survey.triangles import ENDS, Corners, Readings

Floats = NDArray[np.float64]
NAMES: Final = tuple(ENDS)
_UNKNOWN: Final = {"A": (None, None), "B": (0, None), "C": (1, 2), "D": (3, 4)}
"""Where x and y of a corner stand among the five unknowns; None is 0."""
_MOST_STEPS: Final = 200
_ALREADY_SMALL: Final = 1e-8
"""Relative: a step below it that no longer shrinks is rounding, not progress."""


def fit_corners(
    read: Readings, start: Corners
) -> tuple[tuple[float, ...], dict[str, float]] | None:
    """The corners that fit all six readings best, and what is left of each reading.

    Gauss-Newton with equal weights, from `start` (the corners by one diagonal), to the precision of
    a float. Returns (xB, xC, yC, xD, yD) and, by name, reading minus fitted length (ticks); None
    where the readings contradict each other so much that no steps lead to a best fit.
    """
    scale = float(max(read[name] for name in NAMES))
    taped = np.array([read[name] for name in NAMES], dtype=np.float64) / scale
    _, b, c, d = start
    at = np.array([float(v) for v in (b.x, c.x, c.y, d.x, d.y)], dtype=np.float64) / scale
    left, slopes = _left(taped, at)
    last = np.inf
    for _ in range(_MOST_STEPS):
        step = np.linalg.lstsq(slopes, left, rcond=None)[0]
        size = float(np.abs(step).max())
        if size == 0 or (size < _ALREADY_SMALL and size >= last):
            break
        last = size
        for _halving in range(60):
            trial, trial_slopes = _left(taped, at + step)
            # near the least the sum of squares is flat: what a float cannot tell apart may pass
            if float(trial @ trial) <= float(left @ left) * (1 + 1e-9) + 1e-30:
                break
            step = step / 2
        else:
            return None
        at, left, slopes = at + step, trial, trial_slopes
    else:
        return None
    residuals = {name: float(value * scale) for name, value in zip(NAMES, left, strict=True)}
    return tuple(float(value * scale) for value in at), residuals


def _left(taped: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Readings minus lengths between these corners, and how the lengths change with them."""
    lengths = np.zeros(len(NAMES))
    slopes = np.zeros((len(NAMES), len(at)))
    for row, name in enumerate(NAMES):
        one, two = (_UNKNOWN[corner] for corner in ENDS[name])
        apart = np.array([
            (0.0 if j is None else at[j]) - (0.0 if i is None else at[i])
            for i, j in zip(one, two, strict=True)
        ])
        lengths[row] = np.hypot(apart[0], apart[1])
        for i, j, away in zip(one, two, apart / max(lengths[row], 1e-300), strict=True):
            if i is not None:
                slopes[row, i] -= away
            if j is not None:
                slopes[row, j] += away
    return taped - lengths, slopes


def fit_line(points: Sequence[tuple[int, int]]) -> tuple[Fraction, Fraction]:
    """The line x = at + lean * y through places (y, x) that leaves the least sum of squares in x.

    Exact. Returns (at, lean). At least two of the `y` must differ.
    """
    count = len(points)
    middle_y = Fraction(sum(y for y, _ in points), count)
    middle_x = Fraction(sum(x for _, x in points), count)
    spread = sum(((y - middle_y) ** 2 for y, _ in points), Fraction(0))
    lean = sum(((y - middle_y) * (x - middle_x) for y, x in points), Fraction(0)) / spread
    return middle_x - lean * middle_y, lean
