"""Offsets of a pipe made with two equal fittings: travel, advance, and what can be made at all.

Geometry of the simple offset (pipefitters' constants): travel = offset / sin θ, advance =
offset / tan θ; for 45° they are 1.4142 and 1, for 60° 1.1547 and 0.5774, for 22 1/2° 2.6131 and
2.4142. Two fittings that touch hub to hub are 2 × centre-to-end apart along the travel, so the
least offset is 2 sin θ × centre-to-end. All limits are whole ticks, rounded so that nothing is
promised that cannot be made.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isqrt, radians, sin, tan
from typing import Final

from solver.case import Fitting

ANGLES: Final = ("22.5", "45", "60")
ANGLE_WORDS: Final = {"22.5": "22 1/2°", "45": "45°", "60": "60°"}


def travel(offset: int, angle: str) -> float:
    """Distance between the centres of the two fittings, in the unit of `offset`."""
    return abs(offset) / sin(radians(float(angle)))


def advance(offset: int, angle: str) -> float:
    """Height between the centres of the two fittings, in the unit of `offset`."""
    return abs(offset) / tan(radians(float(angle)))


def height(offset: int, fitting: Fitting) -> float:
    """Height the whole offset takes, end to end of the two fittings (ticks): the headroom."""
    return advance(offset, fitting.angle) + 2 * fitting.centre_to_end


def least_offset(fitting: Fitting) -> int:
    """Least offset (ticks, rounded up) of two equal fittings that touch hub to hub."""
    square = fitting.centre_to_end**2
    if fitting.angle == "45":
        return _root_up(2 * square)
    if fitting.angle == "60":
        return _root_up(3 * square)
    # 2 sin 22 1/2° is the root of 2 - √2: the least d with d² >= c² (2 - √2).
    offset = int(fitting.centre_to_end * 0.7653668647) + 2
    while _reaches(offset - 1, square):
        offset -= 1
    return offset


def _reaches(offset: int, square: int) -> bool:
    """Whether offset² >= square * (2 - √2), in whole numbers."""
    short = 2 * square - offset * offset
    return offset >= 0 and (short <= 0 or 2 * square * square >= short * short)


def most_offset(fitting: Fitting, headroom: int) -> int:
    """Largest offset (ticks, rounded down) whose height fits in `headroom`; negative if none."""
    free = headroom - 2 * fitting.centre_to_end
    if free < 0:
        return -1
    if fitting.angle == "45":
        return free
    if fitting.angle == "60":
        return isqrt(3 * free * free)
    return isqrt(2 * free * free) - free


def makeable(
    fittings: tuple[Fitting, ...], nominal: str | None, headroom: int | None, most: int
) -> tuple[tuple[int, int], ...] | None:
    """Offsets up to `most` (ticks) that two equal fittings of a size can make, as intervals.

    None where no fitting of that size is given, so nothing is known.
    """
    own = [fitting for fitting in fittings if fitting.nominal == nominal]
    if nominal is None or not own:
        return None
    spans = []
    for fitting in own:
        high = most if headroom is None else min(most, most_offset(fitting, headroom))
        low = least_offset(fitting)
        if low <= high:
            spans.append((low, high))
    merged: list[tuple[int, int]] = []
    for low, high in sorted(spans):
        if merged and low <= merged[-1][1] + 1:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return tuple(merged)


def _root_up(square: int) -> int:
    return isqrt(square - 1) + 1 if square > 0 else 0


@dataclass(frozen=True, slots=True)
class FittingPair:
    """One offset made with two equal fittings of `angle` degrees; lengths in ticks.

    `travel` is centre to centre along the offset, `advance` centre to centre up the pipe. The rest
    is None where the case gives no such fitting: `centre_to_end` as given, `least` the least offset
    hub to hub, `between` the pipe that shows between the fittings' ends, `height` end to end.
    `fits`: whether `height` fits the headroom given; None where either is not known.
    """

    angle: str
    offset: int
    travel: float
    advance: float
    centre_to_end: int | None = None
    least: int | None = None
    between: float | None = None
    height: float | None = None
    fits: bool | None = None

    @property
    def possible(self) -> bool:
        """Whether the fittings are known to make this offset, as far as headroom is known."""
        return self.least is not None and self.offset >= self.least and self.fits is not False

    @property
    def counts_as_vertical(self) -> bool:
        """Whether the travel stands 45° or more from the horizontal (IPC 202, memory)."""
        return float(self.angle) <= 45


def pairs_for(
    fittings: tuple[Fitting, ...], nominal: str | None, headroom: int | None, offset: int
) -> tuple[FittingPair, ...]:
    """Every way to make an offset (ticks, either sign) with fittings of a size, flattest bend last.

    Where the case gives no fitting of the size, the geometry of all three angles alone.
    """
    size = abs(offset)
    own = {f.angle: f for f in fittings if nominal is not None and f.nominal == nominal}
    found = []
    for angle in ANGLES:
        fitting = own.get(angle)
        if fitting is None:
            if not own:
                found.append(FittingPair(angle, size, travel(size, angle), advance(size, angle)))
            continue
        fits = None if headroom is None else size <= most_offset(fitting, headroom)
        length = travel(size, angle)
        found.append(FittingPair(
            angle, size, length, advance(size, angle), fitting.centre_to_end,
            least_offset(fitting), length - 2 * fitting.centre_to_end, height(size, fitting), fits,
        ))
    return tuple(found)


def best_pair(pairs: tuple[FittingPair, ...]) -> FittingPair | None:
    """The pair to use, or None where none is known to make the offset.

    Rule: a run that stands 45° or more from the horizontal comes first, because a flatter one
    counts as horizontal pipe and must be graded (IPC 202, memory; NYC 905.2, read); then the least
    height.
    """
    able = [pair for pair in pairs if pair.possible]
    return min(
        able, key=lambda pair: (not pair.counts_as_vertical, pair.height or 0.0), default=None
    )
