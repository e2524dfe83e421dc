"""What every first width does to every penetration of a plane, all first widths at once.

A penetration is seen from the end the laying starts at: `u` is its distance from there. Seams stand
at `first + k * cover` from that end. Arrays are (positions, first widths), int64 half ticks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Penetration, Plane, ends_of, needed2
from solver.tabling.lean import fanned
from solver.tabling.runs import FAR, Runs
from solver.tabling.starts import Ticks
from solver.tabling.worst_shift import (
    extra_seams,
    far_end_shift,
    least_panel,
    seam_shifts,
    start_shift,
)

CLEAR, TIGHT, CROSSES, ON_SEAM = 0, 1, 2, 3
PIPE_CODE = {"clear": CLEAR, "tight": TIGHT, "crosses": CROSSES, "on-seam": ON_SEAM}

@dataclass(frozen=True)
class Grids:
    """The seams of one plane, one set for every column: for every first width in `firsts` (ticks).

    `runs` are given where odd panels or play bend them; without, every panel behind the first is as
    wide as the cover. On a plane laid both ways everything is seen from the low end. `y` is the
    height (ticks) at which fanned seams are looked at; None at the eave, and where none are fanned.
    """

    case: Case
    plane: Plane
    firsts: Ticks
    runs: Runs | None = None
    y: int | None = None

    def at(self, pen: Penetration) -> Grids:
        """The grids at a penetration's height: others only where seams are fanned."""
        lean = self.plane.lean
        return replace(self, y=pen.y) if lean is not None and lean.fan else self

    @property
    def one_panel(self) -> bool:
        """A plane no wider than the cover has no seam."""
        return self.plane.width <= self.case.panel.cover

    @property
    def lasts(self) -> Ticks:
        """What is left at the far end (ticks) for every first width."""
        if self.one_panel:
            return self.firsts
        return self.plane.width - self.seam(self.seam_counts - 1)

    @property
    def seam_counts(self) -> Ticks:
        """Number of seams for every first width."""
        if self.runs is not None:
            return self.runs.count
        if self.one_panel:
            return np.zeros_like(self.firsts)
        return (self.plane.width - self.firsts - 1) // self.case.panel.cover + 1

    def pick(self, columns: slice | Ticks) -> Grids:
        """The grids of some of the columns."""
        runs = None if self.runs is None else self.runs.pick(columns)
        return Grids(self.case, self.plane, self.firsts[columns], runs, self.y)

    def from_start(self, x: Ticks) -> Ticks:
        """Distance of `x` from the end the laying starts at."""
        return self.plane.width - x if self.plane.lay == "right-to-left" else x

    def upto(self, u: Ticks) -> Ticks:
        """How many seams stand at or before distance `u` from the start."""
        if self.runs is not None:
            return self.runs.upto(u)
        reached = (u - self.firsts) // self.case.panel.cover + 1
        found: Ticks = np.clip(reached, 0, self.seam_counts)
        if self.y is not None:
            found = self._corrected(found, u)
        return found

    def _corrected(self, found: Ticks, u: Ticks) -> Ticks:
        """Seams at or before `u`, from what it would be at the eave: fanned seams keep in order."""
        count = self.seam_counts
        while (more := (found < count) & (self.seam(found) <= u)).any():
            found = found + more
        while (less := (found > 0) & (self.seam(found - 1) > u)).any():
            found = found - less
        return found

    def seam(self, number: Ticks) -> Ticks:
        """Distance from the start of the seam of that number; any value if there is none."""
        if self.runs is not None:
            return self.runs.seam(number)
        there = self.firsts + number * self.case.panel.cover
        if self.y is not None:
            there = there + fanned(self.plane, self.y, number, self.seam_counts)
        return there

    def beside(self, x: Ticks) -> tuple[Ticks, Ticks]:
        """Numbers of the seams before and after positions `x`, each (positions, columns).

        Seam number 0 is the first. A seam exactly at `x` is both. Where there is none the number is
        -1 or the number of seams.
        """
        u = self.from_start(x)[:, None]
        return self.upto(u) - 1, self.upto(u - 1)

    def ahead_of(self, seam: Ticks) -> Ticks | int:
        """What seams take of the flat on their far side, away from the start."""
        return self._side(seam, self.case.panel.seam_fwd, self.case.panel.seam_back)

    def behind(self, seam: Ticks) -> Ticks | int:
        """What seams take of the flat on their near side, towards the start."""
        return self._side(seam, self.case.panel.seam_back, self.case.panel.seam_fwd)

    def _side(self, seam: Ticks, right: int, left: int) -> Ticks | int:
        """A side of seams; on a plane laid both ways it is the other one left of the line."""
        line = self.line
        if line is None:
            return right
        both = max(right, left)
        return np.where(seam > line, right, np.where(seam < line, left, both))

    @property
    def unlike_sides(self) -> int:
        """How many seams farther out can bind since seams left and right of a line have their
        sides the other way round; 0 on a plane laid from one end to the other."""
        if self.line is None:
            return 0
        panel = self.case.panel
        return -(-abs(panel.seam_back - panel.seam_fwd) // least_panel(self.case))

    @property
    def line(self) -> int | None:
        """Where the line stands that a plane laid both ways is laid from (ticks), or None."""
        return self.plane.start if self.plane.lay == "from" and not self.one_panel else None

    def shift(self, number: Ticks) -> Ticks:
        """Worst shift of seams by number (ticks); 0 unless the case is to be robust."""
        line = self.line
        if line is not None and self.case.rules.robust:
            number = np.abs(number - (self.upto(np.array(line)) - 1))
        shift: Ticks = seam_shifts(self.case, number) + start_shift(self.case, self.plane)
        return shift


def room2(grids: Grids, pen: Penetration, x: Ticks) -> Ticks:
    """Room of a pipe centred at each `x`, for every first width, in half ticks."""
    return rooms2(grids.at(pen), x, pen.x_tol, *ends_of(grids.plane, pen))


def rooms2(
    grids: Grids, x: Ticks, x_tol: Ticks | int, low_end: Ticks | int, high_end: Ticks | int
) -> Ticks:
    """Room at each `x`, for every first width, in half ticks; `x_tol`, and where the roof ends
    (ticks), are one for all or for each.

    In a robust case it is the room left after the worst shift of the seams and of the pipe. Seams
    shift unlike each other, so one farther away can bind where they creep by more than a cover.
    """
    case = grids.case
    rules = case.rules
    k_before, k_after = grids.beside(x)
    count, u = grids.seam_counts[None, :], grids.from_start(x)[:, None]
    room = np.full(k_before.shape, FAR)
    for more in range(extra_seams(case) + grids.unlike_sides + 1):
        low, high = k_before - more, k_after + more
        before, after = grids.seam(low), grids.seam(high)
        back = u - before - grids.ahead_of(before)
        ahead = after - u - grids.behind(after)
        if rules.robust:
            back, ahead = back - grids.shift(low), ahead - grids.shift(high)
        room = np.minimum(room, np.where(low >= 0, back, FAR))
        room = np.minimum(room, np.where(high < count, ahead, FAR))
    far = high_end - x - far_end_shift(case)
    ends = np.minimum(x - low_end, far) - rules.end_lap
    off = np.broadcast_to(x_tol if rules.robust else 0, x.shape)
    result: Ticks = 2 * (np.minimum(room, ends[:, None]) - off[:, None])
    return result


def pipe_states(case: Case, pen: Penetration, room: Ticks) -> NDArray[np.int8]:
    """State codes of a pipe for rooms in half ticks."""
    states = np.full(room.shape, ON_SEAM, dtype=np.int8)
    states[room >= pen.outside + 2 * case.rules.hole_gap] = CROSSES
    states[room >= pen.base] = TIGHT
    states[room >= needed2(pen, case.rules)] = CLEAR
    return states
