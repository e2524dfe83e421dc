"""What every first width does to every penetration of a plane, all first widths at once.

A penetration is seen from the end the laying starts at: `u` is its distance from there. Seams stand
at `first + k * cover` from that end. Arrays are (positions, first widths), int64 half ticks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Penetration, Plane, needed2
from solver.starts import Ticks
from solver.worst_shift import extra_seams, far_end_shift, seam_shifts, start_shift

CLEAR, TIGHT, CROSSES, ON_SEAM = 0, 1, 2, 3
PIPE_CODE = {"clear": CLEAR, "tight": TIGHT, "crosses": CROSSES, "on-seam": ON_SEAM}
CURB_CLEAR, CROWDED, SPANS = 0, 1, 2
CURB_CODE = {"clear": CURB_CLEAR, "crowded": CROWDED, "spans": SPANS}

_FAR = np.int64(1) << 60
"""Stands for "no seam there": larger than any distance on a roof."""


@dataclass(frozen=True)
class Grids:
    """The seam grids of one plane, one for every first width in `firsts` (ticks)."""

    case: Case
    plane: Plane
    firsts: Ticks

    @property
    def one_panel(self) -> bool:
        """A plane no wider than the cover has no seam."""
        return self.plane.width <= self.case.panel.cover

    @property
    def lasts(self) -> Ticks:
        """What is left at the far end (ticks) for every first width."""
        if self.one_panel:
            return self.firsts
        return (self.plane.width - self.firsts - 1) % self.case.panel.cover + 1

    @property
    def seam_counts(self) -> Ticks:
        """Number of seams for every first width."""
        if self.one_panel:
            return np.zeros_like(self.firsts)
        return (self.plane.width - self.firsts - 1) // self.case.panel.cover + 1

    def from_start(self, x: Ticks) -> Ticks:
        """Distance of `x` from the end the laying starts at."""
        return x if self.plane.lay == "left-to-right" else self.plane.width - x

    def beside(self, x: Ticks) -> tuple[Ticks, Ticks, Ticks, Ticks]:
        """Seams laid before and after positions `x`: distances (ticks) and seam numbers.

        Returns (before, after, number before, number after), each (positions, first widths); seam
        number 0 is the first. A seam exactly at `x` is counted on both sides. Where there is none
        the distance is huge, and the number is -1 or the number of seams.
        """
        cover = self.case.panel.cover
        u = self.from_start(x)[:, None]
        first, count = self.firsts[None, :], self.seam_counts[None, :]
        k_before = np.maximum(np.minimum((u - first) // cover, count - 1), -1)
        k_after = np.minimum(np.maximum(-((first - u) // cover), 0), count)
        before = np.where(k_before >= 0, u - first - k_before * cover, _FAR)
        after = np.where(k_after < count, first + k_after * cover - u, _FAR)
        return before, after, k_before, k_after

    def shift(self, number: Ticks) -> Ticks:
        """Worst shift of seams by number (ticks); 0 unless the case is to be robust."""
        return seam_shifts(self.case, number) + start_shift(self.case, self.plane)


def room2(grids: Grids, pen: Penetration, x: Ticks) -> Ticks:
    """Room of a pipe centred at each `x`, for every first width, in half ticks.

    In a robust case it is the room left after the worst shift of the seams and of the pipe. Seams
    shift unlike each other, so one farther away can bind where they creep by more than a cover.
    """
    case = grids.case
    panel, rules, cover = case.panel, case.rules, case.panel.cover
    before, after, k_before, k_after = grids.beside(x)
    count = grids.seam_counts[None, :]
    room = np.minimum(before - panel.seam_fwd, after - panel.seam_back)
    if rules.robust:
        room = np.full_like(before, _FAR)
        for more in range(extra_seams(case) + 1):
            low, high = k_before - more, k_after + more
            back = before + more * cover - panel.seam_fwd - grids.shift(low)
            ahead = after + more * cover - panel.seam_back - grids.shift(high)
            room = np.minimum(room, np.where(low >= 0, back, _FAR))
            room = np.minimum(room, np.where(high < count, ahead, _FAR))
    far = grids.plane.width - x - far_end_shift(case)
    ends = np.minimum(x, far)[:, None] - rules.end_lap
    result: Ticks = 2 * (np.minimum(room, ends) - (pen.x_tol if rules.robust else 0))
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
    cover, panel = case.panel.cover, case.panel
    before, after, k_before, k_after = (
        rows[0] for rows in grids.beside(np.array([pen.x], dtype=np.int64))
    )
    count = grids.seam_counts
    # A seam exactly at the centre stands on both sides: keep it on the side laid before.
    at_centre = (k_after < count) & (after == 0)
    k_after = k_after + at_centre
    after = np.where(at_centre, np.where(k_after < count, np.int64(cover), _FAR), after)
    n_before, n_after = k_before + 1, count - k_after
    cut_before = _cut(before, n_before, pen.across + 2 * panel.seam_fwd, cover)
    cut_after = _cut(after, n_after, pen.across + 2 * panel.seam_back, cover)
    flank2 = np.full(before.shape, _FAR)
    for more in range(extra_seams(case) + 1):
        low, high = k_before - cut_before - more, k_after + cut_after + more
        back = 2 * (before + (cut_before + more) * cover - grids.shift(low))
        ahead = 2 * (after + (cut_after + more) * cover - grids.shift(high))
        flank2 = np.minimum(flank2, np.where(low >= 0, back, _FAR))
        flank2 = np.minimum(flank2, np.where(high < count, ahead, _FAR))
    none = (cut_before == n_before) & (cut_after == n_after)
    cut = cut_before + cut_after
    slack2 = pen.across + 2 * case.rules.curb_side + (2 * pen.x_tol if case.rules.robust else 0)
    margin2 = np.where(none, 0, flank2 - slack2)
    states = np.where(~none & (margin2 < 0), CROWDED, np.where(cut > 0, SPANS, CURB_CLEAR))
    return CurbTable(states.astype(np.int8), cut, margin2, none)


def _cut(distance: Ticks, count: Ticks, reach2: int, cover: int) -> Ticks:
    """How many seams at distance, distance + cover, … stand nearer than `reach2` half ticks."""
    nearer = -((2 * distance - reach2) // (2 * cover))
    result: Ticks = np.clip(np.where(count > 0, nearer, 0), 0, count)
    return result
