"""What every first width does to a curb, however it is built, all first widths at once.

A curb with a flange may crowd a seam. One that carries its own ribs asks for a seam at each of its
walls, and one that is built close to the seams wants them as near as they go. Seen from the end the
laying starts at, as in `solver.tabling.phase`; half ticks where a name ends in `2`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.case import Penetration
from solver.tabling.phase import Grids
from solver.tabling.runs import FAR
from solver.tabling.starts import Ticks
from solver.tabling.worst_shift import extra_seams

CURB_CLEAR, CROWDED, SPANS = 0, 1, 2
CURB_CODE = {"clear": CURB_CLEAR, "crowded": CROWDED, "spans": SPANS}


@dataclass(frozen=True)
class CurbTable:
    """A curb for every first width: state codes, cut seams, walls of a ribbed curb without a seam,
    and by how much it falls short of what is wanted (half ticks)."""

    states: NDArray[np.int8]
    cut: Ticks
    unlanded: Ticks
    short2: Ticks


def curb_table(grids: Grids, pen: Penetration) -> CurbTable:
    """What every first width does to a curb at its place in the case."""
    grids, rules = grids.at(pen), grids.case.rules
    u = grids.from_start(np.array([pen.x], dtype=np.int64))
    unlanded = np.zeros(grids.seam_counts.shape, dtype=np.int64)
    if pen.detail == "ribbed":
        cut, back2, ahead2, unlanded = _count_each(grids, pen, u, rules.land_tol)
    elif grids.unlike_sides <= 1:
        cut, back2, ahead2 = _count_near(grids, pen, u)
    else:
        # Where sides are unlike, seams that are cut need not be those nearest to the curb.
        cut, back2, ahead2, _ = _count_each(grids, pen, u, None)
    off2 = pen.across + (2 * pen.x_tol if rules.robust else 0)
    sides2 = [(flank2 < FAR, flank2 - off2) for flank2 in (back2, ahead2)]
    if pen.detail == "close":
        states = np.where(cut > 0, SPANS, CURB_CLEAR)
        short2 = sum(np.where(there, np.maximum(flank2, 0), 0) for there, flank2 in sides2)
        return CurbTable(states.astype(np.int8), cut, unlanded, np.asarray(short2))
    none = ~(sides2[0][0] | sides2[1][0])
    margin2 = np.minimum(back2, ahead2) - off2 - 2 * rules.curb_side
    crowded = ~none & (margin2 < 0)
    states = np.where(crowded, CROWDED, np.where(cut > 0, SPANS, CURB_CLEAR))
    short2 = np.where(crowded | none, 0, np.maximum(2 * rules.enough - margin2, 0))
    return CurbTable(states.astype(np.int8), cut, unlanded, short2)


def _count_near(grids: Grids, pen: Penetration, u: Ticks) -> tuple[Ticks, Ticks, Ticks]:
    """Seams a curb cuts, and the distances of its centre (half ticks) from those it does not cut on
    either side: the next ones."""
    count = grids.seam_counts
    here = grids.upto(u)
    uncut_before = np.minimum(_uncut_before(grids, pen, u), here)
    cut_after = np.maximum(_upto_cut_after(grids, pen, u) - here, 0)
    back2, ahead2 = np.full(here.shape, FAR), np.full(here.shape, FAR)
    for more in range(extra_seams(grids.case) + 1):
        low, high = uncut_before - 1 - more, here + cut_after + more
        back = 2 * (u - grids.seam(low) - grids.shift(low))
        ahead = 2 * (grids.seam(high) - u - grids.shift(high))
        back2 = np.minimum(back2, np.where(low >= 0, back, FAR))
        ahead2 = np.minimum(ahead2, np.where(high < count, ahead, FAR))
    return here - uncut_before + cut_after, back2, ahead2


def _count_each(
    grids: Grids, pen: Penetration, u: Ticks, land_tol: int | None
) -> tuple[Ticks, Ticks, Ticks, Ticks]:
    """The same, seam by seam, and how many walls have no seam within `land_tol` (None: of no
    matter). A seam that has landed on a wall is neither cut nor beside the curb."""
    count = grids.seam_counts
    cut = np.zeros(count.shape, dtype=np.int64)
    back2, ahead2 = np.full(count.shape, FAR), np.full(count.shape, FAR)
    near, far = np.zeros(count.shape, dtype=bool), np.zeros(count.shape, dtype=bool)
    for n in range(int(count.max(initial=0))):
        number = np.full(count.shape, n, dtype=np.int64)
        seam = grids.seam(number)
        side = np.where(seam <= u, grids.ahead_of(seam), grids.behind(seam))
        away2, there = 2 * (seam - u), n < count
        landed = np.zeros(count.shape, dtype=bool)
        if land_tol is not None:
            at_near = there & (np.abs(away2 + pen.across) <= 2 * land_tol)
            at_far = there & (np.abs(away2 - pen.across) <= 2 * land_tol)
            near, far, landed = near | at_near, far | at_far, at_near | at_far
        hit = there & ~landed & (np.abs(away2) < pen.across + 2 * side)
        cut += hit
        beside, shift2 = there & ~landed & ~hit, 2 * grids.shift(number)
        back2 = np.where(beside & (away2 <= 0), np.minimum(back2, -away2 - shift2), back2)
        ahead2 = np.where(beside & (away2 > 0), np.minimum(ahead2, away2 - shift2), ahead2)
    return cut, back2, ahead2, 2 - near.astype(np.int64) - far


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
