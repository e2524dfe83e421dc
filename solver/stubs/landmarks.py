"""What a plumber can tape from: grid lines and the ends of a plane, named so that no name flips.

"Left" and "right" change sides between the plumber inside and the roofer outside. An end whose name
says either, as the names do that count where a case gives none, is called by the laying instead:
the starting end or the far end; the low end (x = 0) or the high end where neither starts it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from solver.case import Case, Plane

_FLIPS: Final = re.compile(r"\b(left|right)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Landmark:
    """A grid line or an end of a plane; `x` in ticks, `name` as the case writes it.

    A "line" is the one that a plane laid both ways is laid from.
    """

    kind: Literal["grid line", "end", "line"]
    name: str
    x: int

    def says(self) -> str:
        """The landmark in a sentence: "grid line 4", "the west gable"."""
        return f"grid line {self.name}" if self.kind == "grid line" else f"the {self.name}"


def says_a_side(name: str) -> bool:
    """Whether a name says left or right."""
    return _FLIPS.search(name) is not None


def flips(plane: Plane) -> bool:
    """Whether the names of a plane's ends say left or right."""
    return says_a_side(plane.low_end) or says_a_side(plane.high_end)


def end_of(plane: Plane, *, high: bool) -> Landmark:
    """An end of a plane, by a name that means the same to everyone."""
    if flips(plane) and plane.start is not None:  # neither end is where laying starts
        name = "high end" if high else "low end"
    elif flips(plane):
        starts = high == (plane.lay == "right-to-left")
        name = "starting end" if starts else "far end"
    else:
        name = plane.high_end if high else plane.low_end
    return Landmark("end", name, plane.width if high else 0)


def start_of(plane: Plane) -> Landmark:
    """Where laying starts and seams are numbered from: an end, or the line of a plane."""
    if plane.start is not None:
        return Landmark("line", "line the panels are laid from", plane.start)
    return end_of(plane, high=plane.lay == "right-to-left")


def grid_lines(case: Case, plane: Plane) -> tuple[Landmark, ...]:
    """The grid lines that cross a plane's eave, in increasing x."""
    own = [Landmark("grid line", g.id, g.x) for g in case.gridlines if g.plane == plane.id]
    return tuple(sorted(own, key=lambda mark: (mark.x, mark.name)))


@dataclass(frozen=True, slots=True)
class Taping:
    """What positions beside one landmark are told by: the tape's end and a name for each way."""

    datum: Landmark
    towards_low: Landmark
    towards_high: Landmark

    def towards(self, x: int) -> Landmark | None:
        """The landmark in whose direction `x` (ticks) lies from the datum; None at the datum."""
        if x == self.datum.x:
            return None
        return self.towards_high if x > self.datum.x else self.towards_low


def taping_at(plane: Plane, lines: tuple[Landmark, ...], x: int) -> Taping:
    """How to tape `x` (ticks): from the nearest grid line, of two equally near the one of lower x.

    Without grid lines from the plane's end at x = 0.
    """
    low, high = end_of(plane, high=False), end_of(plane, high=True)
    if not lines:
        return Taping(low, low, high)
    datum = min(lines, key=lambda mark: (abs(mark.x - x), mark.x))
    below = [mark for mark in lines if mark.x < datum.x]
    above = [mark for mark in lines if mark.x > datum.x]
    return Taping(datum, below[-1] if below else low, above[0] if above else high)


def way_of(plane: Plane, lines: tuple[Landmark, ...], start: int, stop: int) -> Landmark:
    """Towards what a move from `start` to `stop` (ticks) goes and does not pass it."""
    if stop > start:
        ahead = [mark for mark in lines if mark.x >= stop]
        return ahead[0] if ahead else end_of(plane, high=True)
    ahead = [mark for mark in lines if mark.x <= stop]
    return ahead[-1] if ahead else end_of(plane, high=False)
