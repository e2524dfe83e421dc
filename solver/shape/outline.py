"""Which seams the shape of a plane allows: no slivers, no stubs, no narrow panel along a rake.

A *piece* is one connected part (connected through more than a point) of a plane, without its holes,
between two neighbouring seams. Curbs do not count here. Common practice, no source: a piece has
some least width and length, and along an upright rake or wall the least width of an end panel.
The rules hold on planes with an outline only. Exact: ticks and fractions decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import ceil

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.shape.bands import Bands, Limits, bad_bands
from solver.shape.cells import cells_of

CODES = ("piece-narrow", "piece-short", "end-rule")


@dataclass(frozen=True, slots=True)
class Extent:
    """Where a piece reaches (ticks); `walled`: it has a stretch of an upright rake or wall."""

    x_low: int
    x_high: int
    y_low: Fraction
    y_high: Fraction
    walled: bool


@lru_cache(maxsize=65536)
def strip_extents(plane: Plane, low: int, high: int) -> tuple[Extent, ...]:
    """The pieces of the strip from `low` to `high` (ticks); none where the plane has nothing there.

    They come in the order of their low ends.
    """
    found = []
    for part in cells_of(plane).parts(low, high):
        spans = [(cell, max(cell.x_low, low), min(cell.x_high, high)) for cell in part]
        found.append(
            Extent(
                min(a for _, a, _ in spans),
                max(b for _, _, b in spans),
                min(min(cell.low.y_at(a), cell.low.y_at(b)) for cell, a, b in spans),
                max(max(cell.high.y_at(a), cell.high.y_at(b)) for cell, a, b in spans),
                any(
                    (cell.walled_low and cell.x_low >= low)
                    or (cell.walled_high and cell.x_high <= high)
                    for cell in part
                ),
            )
        )
    return tuple(sorted(found, key=lambda piece: (piece.y_low, piece.x_low, piece.y_high)))


def strip_faults(case: Case, plane: Plane, low: int, high: int) -> tuple[str, ...]:
    """What is wrong with the pieces between two neighbouring seams or ends (ticks), as codes.

    The codes are those of `CODES`, in that order; empty where all is well, and always on a plane
    without an outline.
    """
    if plane.outline is None:
        return ()
    rules = case.rules
    return _faults(plane, Limits(rules.min_piece, rules.min_length, rules.min_end), low, high)


@lru_cache(maxsize=65536)
def _faults(plane: Plane, limits: Limits, low: int, high: int) -> tuple[str, ...]:
    """Asked again and again where a plane has many choices of odd panels."""
    pieces = strip_extents(plane, low, high)
    wrong = (
        any(piece.x_high - piece.x_low < limits.min_piece for piece in pieces),
        any(piece.y_high - piece.y_low < limits.min_length for piece in pieces),
        any(piece.walled and piece.x_high - piece.x_low < limits.min_end for piece in pieces),
    )
    return tuple(code for code, is_so in zip(CODES, wrong, strict=True) if is_so)


def legal_panels(case: Case, plane: Plane, at: Sequence[int]) -> bool:
    """Whether all pieces are right; `at`: 0, the seams in increasing x, the width (ticks)."""
    if plane.outline is None:
        return True
    return not any(
        strip_faults(case, plane, low, high) for low, high in pairwise(at)
    )


def strip_length(plane: Plane, low: int, high: int) -> int:
    """From the lowest to the highest point of all pieces between `low` and `high` (ticks).

    Rounded up to a whole tick; 0 where there is no piece.
    """
    pieces = strip_extents(plane, low, high)
    if not pieces:
        return 0
    return ceil(max(p.y_high for p in pieces) - min(p.y_low for p in pieces))


def legal_mask(case: Case, plane: Plane, firsts: NDArray[np.int64]) -> NDArray[np.bool_]:
    """For each first width (ticks, at least 1) whether all pieces are right on its plain grid.

    Seams stand at first + k × cover from the end that is laid first; on a plane laid both ways,
    from its low end. All True on a plane without an outline.
    """
    cover, width = case.panel.cover, plane.width
    fine = np.ones(len(firsts), dtype=np.bool_)
    if plane.outline is None or not len(firsts):
        return fine
    count = np.maximum((width - firsts - 1) // cover + 1, 0)
    if width <= cover:
        count = np.zeros_like(count)
    seamed = count > 0
    fine[~seamed] = not strip_faults(case, plane, 0, width)
    first, count = firsts[seamed], count[seamed]
    if not len(first):
        return fine
    low, high = first, first + (count - 1) * cover
    if plane.lay == "right-to-left":
        low, high = width - high, width - low
    limits = Limits(case.rules.min_piece, case.rules.min_length, case.rules.min_end)

    def bands(fixed_low: int | None, wide: int | None, least: int, most: int) -> Bands:
        return bad_bands(plane, limits, fixed_low, wide, least, most)

    wrong = _meets(bands(0, None, int(low.min()), int(low.max())), low, low, cover)
    wrong |= _meets(bands(None, None, int(high.min()), int(high.max())), high, high, cover)
    wrong |= _meets(bands(None, cover, int(low.min()), int(high.max()) - cover), low, high - cover,
                    cover)
    fine[seamed] = ~wrong
    return fine


def _meets(
    bands: Bands, start: NDArray[np.int64], stop: NDArray[np.int64], step: int
) -> NDArray[np.bool_]:
    """Whether any of start, start + step, … up to stop (each an array) lies in a band."""
    found = np.zeros(len(start), dtype=np.bool_)
    for low, high in bands:
        at = start + np.maximum(-((start - low) // step), 0) * step
        found |= (at <= high) & (at <= stop)
    return found
