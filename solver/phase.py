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
        """Seams laid before and after positions `x`: distances (ticks) and how many there are.

        Returns (before, after, count before, count after), each (positions, first widths). A seam
        exactly at `x` is counted on both sides. Where there is none the distance is huge.
        """
        cover = self.case.panel.cover
        u = self.from_start(x)[:, None]
        first, count = self.firsts[None, :], self.seam_counts[None, :]
        k_before = np.minimum((u - first) // cover, count - 1)
        k_after = np.maximum(-((first - u) // cover), 0)
        before = np.where(k_before >= 0, u - first - k_before * cover, _FAR)
        after = np.where(k_after < count, first + k_after * cover - u, _FAR)
        return before, after, np.maximum(k_before + 1, 0), np.maximum(count - k_after, 0)


def room2(grids: Grids, x: Ticks) -> Ticks:
    """Room of a pipe centred at each `x`, for every first width, in half ticks."""
    panel, rules = grids.case.panel, grids.case.rules
    before, after, _, _ = grids.beside(x)
    ends = np.minimum(x, grids.plane.width - x)[:, None] - rules.end_lap
    room = np.minimum(before - panel.seam_fwd, after - panel.seam_back)
    result: Ticks = 2 * np.minimum(room, ends)
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
    before, after, n_before, n_after = (
        rows[0] for rows in grids.beside(np.array([pen.x], dtype=np.int64))
    )
    # A seam exactly at the centre stands in both counts: keep it on the side laid before.
    at_centre = (n_after > 0) & (after == 0)
    after = np.where(at_centre, np.where(n_after > 1, np.int64(cover), _FAR), after)
    n_after = n_after - at_centre
    cut_before = _cut(before, n_before, pen.across + 2 * panel.seam_fwd, cover)
    cut_after = _cut(after, n_after, pen.across + 2 * panel.seam_back, cover)
    flank2 = np.minimum(
        np.where(cut_before < n_before, 2 * (before + cut_before * cover), _FAR),
        np.where(cut_after < n_after, 2 * (after + cut_after * cover), _FAR),
    ) - pen.across
    none = (cut_before == n_before) & (cut_after == n_after)
    cut = cut_before + cut_after
    margin2 = np.where(none, 0, flank2 - 2 * case.rules.curb_side)
    states = np.where(~none & (margin2 < 0), CROWDED, np.where(cut > 0, SPANS, CURB_CLEAR))
    return CurbTable(states.astype(np.int8), cut, margin2, none)


def _cut(distance: Ticks, count: Ticks, reach2: int, cover: int) -> Ticks:
    """How many seams at distance, distance + cover, … stand nearer than `reach2` half ticks."""
    nearer = -((2 * distance - reach2) // (2 * cover))
    result: Ticks = np.clip(np.where(count > 0, nearer, 0), 0, count)
    return result
