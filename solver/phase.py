"""What every first width does to every penetration of a plane, all first widths at once.

A penetration is seen from the end the laying starts at: `u` is its distance from there. Seams stand
at `first + k * cover` from that end. Arrays are (positions, first widths), int64 half ticks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Penetration, Plane, needed2
from solver.runs import FAR, Runs
from solver.starts import Ticks
from solver.worst_shift import (
    extra_seams,
    far_end_shift,
    least_panel,
    seam_shifts,
    start_shift,
)

CLEAR, TIGHT, CROSSES, ON_SEAM = 0, 1, 2, 3
PIPE_CODE = {"clear": CLEAR, "tight": TIGHT, "crosses": CROSSES, "on-seam": ON_SEAM}
CURB_CLEAR, CROWDED, SPANS = 0, 1, 2
CURB_CODE = {"clear": CURB_CLEAR, "crowded": CROWDED, "spans": SPANS}

@dataclass(frozen=True)
class Grids:
    """The seams of one plane, one set for every column: for every first width in `firsts` (ticks).

    `runs` are given where odd panels or play bend them; without, every panel behind the first is as
    wide as the cover. On a plane laid both ways everything is seen from the low end.
    """

    case: Case
    plane: Plane
    firsts: Ticks
    runs: Runs | None = None

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
        return Grids(self.case, self.plane, self.firsts[columns], runs)

    def from_start(self, x: Ticks) -> Ticks:
        """Distance of `x` from the end the laying starts at."""
        return self.plane.width - x if self.plane.lay == "right-to-left" else x

    def upto(self, u: Ticks) -> Ticks:
        """How many seams stand at or before distance `u` from the start."""
        if self.runs is not None:
            return self.runs.upto(u)
        reached = (u - self.firsts) // self.case.panel.cover + 1
        found: Ticks = np.clip(reached, 0, self.seam_counts)
        return found

    def seam(self, number: Ticks) -> Ticks:
        """Distance from the start of the seam of that number; any value if there is none."""
        if self.runs is not None:
            return self.runs.seam(number)
        return self.firsts + number * self.case.panel.cover

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
    return rooms2(grids, x, pen.x_tol)


def rooms2(grids: Grids, x: Ticks, x_tol: Ticks | int) -> Ticks:
    """Room at each `x`, for every first width, in half ticks; `x_tol` is one for all or for each.

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
    far = grids.plane.width - x - far_end_shift(case)
    ends = np.minimum(x, far) - rules.end_lap
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


@dataclass(frozen=True)
class CurbTable:
    """A curb for every first width: state codes, cut seams, margin (half ticks) or its absence."""

    states: NDArray[np.int8]
    cut: Ticks
    margin2: Ticks
    no_flank: NDArray[np.bool_]


def curb_table(grids: Grids, pen: Penetration) -> CurbTable:
    """What every first width does to a curb at its place in the case."""
    case = grids.case
    u = grids.from_start(np.array([pen.x], dtype=np.int64))
    # Where sides are unlike, seams that are cut need not be those nearest to the curb.
    count = _count_near if grids.unlike_sides <= 1 else _count_each
    cut, flank2 = count(grids, pen, u)
    none = flank2 >= FAR
    slack2 = pen.across + 2 * case.rules.curb_side + (2 * pen.x_tol if case.rules.robust else 0)
    margin2 = np.where(none, 0, flank2 - slack2)
    states = np.where(~none & (margin2 < 0), CROWDED, np.where(cut > 0, SPANS, CURB_CLEAR))
    return CurbTable(states.astype(np.int8), cut, margin2, none)


def _count_near(grids: Grids, pen: Penetration, u: Ticks) -> tuple[Ticks, Ticks]:
    """Seams a curb cuts, and the least flank (half ticks) to those it does not: the next ones."""
    count = grids.seam_counts
    here = grids.upto(u)
    uncut_before = np.minimum(_uncut_before(grids, pen, u), here)
    cut_after = np.maximum(_upto_cut_after(grids, pen, u) - here, 0)
    flank2 = np.full(here.shape, FAR)
    for more in range(extra_seams(grids.case) + 1):
        low, high = uncut_before - 1 - more, here + cut_after + more
        back = 2 * (u - grids.seam(low) - grids.shift(low))
        ahead = 2 * (grids.seam(high) - u - grids.shift(high))
        flank2 = np.minimum(flank2, np.where(low >= 0, back, FAR))
        flank2 = np.minimum(flank2, np.where(high < count, ahead, FAR))
    return here - uncut_before + cut_after, flank2


def _count_each(grids: Grids, pen: Penetration, u: Ticks) -> tuple[Ticks, Ticks]:
    """The same, seam by seam."""
    count = grids.seam_counts
    cut, flank2 = np.zeros(count.shape, dtype=np.int64), np.full(count.shape, FAR)
    for n in range(int(count.max(initial=0))):
        number = np.full(count.shape, n, dtype=np.int64)
        seam = grids.seam(number)
        side = np.where(seam <= u, grids.ahead_of(seam), grids.behind(seam))
        away2 = 2 * np.abs(seam - u)
        hit = (n < count) & (away2 < pen.across + 2 * side)
        cut += hit
        own = np.where((n < count) & ~hit, away2 - 2 * grids.shift(number), FAR)
        flank2 = np.minimum(flank2, own)
    return cut, flank2


def _uncut_before(grids: Grids, pen: Penetration, u: Ticks) -> Ticks:
    """How many seams stand at or before a curb's centre and far enough from it not to be cut."""
    panel, line = grids.case.panel, grids.line

    def outside(side: int) -> Ticks:
        return (2 * u - pen.across - 2 * side) // 2

    if line is None:
        return grids.upto(outside(panel.seam_fwd))
    both = max(panel.seam_back, panel.seam_fwd)
    left = grids.upto(np.minimum(outside(panel.seam_back), line - 1))
    right = np.maximum(grids.upto(outside(panel.seam_fwd)) - grids.upto(np.array(line)), 0)
    on_line = grids.upto(np.array(line)) - grids.upto(np.array(line - 1))
    result: Ticks = left + right + on_line * (outside(both) >= line)
    return result


def _upto_cut_after(grids: Grids, pen: Penetration, u: Ticks) -> Ticks:
    """How many seams stand before the first one behind a curb's centre that is not cut."""
    panel, line = grids.case.panel, grids.line

    def inside(side: int) -> Ticks:
        return -((-2 * u - pen.across - 2 * side) // 2) - 1

    if line is None:
        return grids.upto(inside(panel.seam_back))
    both = max(panel.seam_back, panel.seam_fwd)
    left = grids.upto(np.minimum(inside(panel.seam_fwd), line - 1))
    right = np.maximum(grids.upto(inside(panel.seam_back)) - grids.upto(np.array(line)), 0)
    on_line = grids.upto(np.array(line)) - grids.upto(np.array(line - 1))
    result: Ticks = left + right + on_line * (inside(both) >= line)
    return result
