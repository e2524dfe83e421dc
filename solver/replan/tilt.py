"""How a plane out of square stands at its top: its rakes, its fanned seams, what a tape reads.

A tape is hooked at the rake, at the eave and again at the ridge. All is told as distances from
where laying starts at the eave. Ticks.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from solver.case import Plane
from solver.units import round_half_away


@dataclass(frozen=True)
class Tilt:
    """One run of a plane of some `length`. At the top the rake it starts from stands `start`
    further on than at the eave (0 from a line), the end of the run `end` further on. `full`: how
    many full panels a fan shares the difference among; 0 where no seam is turned."""

    length: int
    start: int = 0
    end: int = 0
    full: int = 0

    def seam(self, number: int, y: int) -> int:
        """How far a planned seam (from 1) stands at height `y` from its place at the eave: rounded
        once, half away from zero."""
        if not self.full:
            return 0
        own = self.start * self.full + (number - 1) * (self.end - self.start)
        return round_half_away(Fraction(y * own, self.length * self.full))

    def top(self, number: int) -> int:
        """The same at the top of the plane."""
        return self.seam(number, self.length)

    def wider(self, number: int, panels: int) -> int:
        """How much wider so many full panels behind a seam are at the top than at the eave."""
        return self.top(number + panels) - self.top(number)


def tilt_of(plane: Plane, sign: int, seams: int) -> Tilt:
    """How one run of a plane stands that is planned with so many seams; `sign` is -1 for the run
    towards the low end of a plane laid both ways."""
    lean = plane.lean
    if lean is None:
        return Tilt(plane.length)
    back = plane.lay == "right-to-left" or sign < 0
    start, end = (-lean.high, -lean.low) if back else (lean.low, lean.high)
    if plane.lay == "from":
        start = 0
    return Tilt(plane.length, start, end, max(seams - 1, 1) if lean.fan else 0)
