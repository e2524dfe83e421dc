"""The arithmetic behind a group, where the seams alone explain it: numbers, no words.

A penetration well inside its plane only feels where it stands within one cover, because the seams
repeat. Laying goes from the starting end; `u` is the distance from there. It is clear where the
seam laid before it is at least `before` away from its centre and the one laid after at least
`after`: a pipe's needed room and the seam's side, or half a curb and the larger of the curb side
(none beside a close curb) and the seam's side; seams land on the walls of a ribbed one.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from solver.case import Case, Penetration, ends_of, needed2
from solver.conflicts.result import Need, PairSum, SingleSum
from solver.conflicts.world import World


def need_of(case: Case, pen: Penetration) -> Need:
    """How far a penetration's centre must be from the seams laid before and after it."""
    back, fwd = 2 * case.panel.seam_back, 2 * case.panel.seam_fwd
    if pen.kind == "pipe":
        own = needed2(pen, case.rules)
        return Need(pen.id, own, own + fwd, own + back)
    if pen.detail == "ribbed":  # at the nearest its seams stand on its walls, or just inside
        least = pen.across - 2 * case.rules.land_tol
        return Need(pen.id, pen.across, least, least)
    side = 0 if pen.detail == "close" else 2 * case.rules.curb_side
    return Need(pen.id, pen.across, pen.across + max(side, fwd), pen.across + max(side, back))


def seams_alone(world: World, p: int) -> bool:
    """Whether the seams beside it alone say when a penetration is clear, at every legal start.

    False near an end of the plane, where a seam may be missing or the end itself bind, in a robust
    case, where seams shift unlike each other, and on a plane laid both ways from a line, where they
    turn their sides at that line and leave one start only.
    """
    case, i = world.case, world.plane_of[p]
    pen, plane, cover = case.penetrations[p], case.planes[i], case.panel.cover
    if plane.width <= cover or not len(world.firsts[i]) or plane.lay == "from":
        return False
    need = need_of(case, pen)
    u = pen.x if plane.lay == "left-to-right" else plane.width - pen.x
    before2 = 2 * ((u - world.firsts[i]) % cover)
    clear = (before2 >= need.before2) & (2 * cover - before2 >= need.after2)
    return bool(np.array_equal(clear, world.flags[p]))


def pair_sum(world: World, group: tuple[int, ...]) -> PairSum | None:
    """The sum that shows that two penetrations on one plane exclude each other; None if none does.

    Seen by the seams, which repeat every cover, the second stands `over` past the first and `short`
    before it. One seam runs in one of these gaps, and must keep clear of both.
    """
    if len(group) != 2 or world.plane_of[group[0]] != world.plane_of[group[1]]:
        return None
    if not all(seams_alone(world, p) for p in group):
        return None
    case, cover = world.case, world.case.panel.cover
    plane = case.planes[world.plane_of[group[0]]]
    pens = sorted((case.penetrations[p] for p in group), key=lambda pen: pen.x)
    if plane.lay != "left-to-right":
        pens.reverse()
    apart = abs(pens[1].x - pens[0].x)
    pans, over = divmod(apart, cover)
    found = PairSum(need_of(case, pens[0]), need_of(case, pens[1]), apart, pans, over, cover - over)
    return found if found.further2 > 0 and found.nearer2 > 0 else None


def single_sum(world: World, p: int, nearest: tuple[int, int] | None) -> SingleSum:
    """Why one penetration is never clear; `nearest` as the checker found it."""
    case = world.case
    pen, plane = case.penetrations[p], case.planes[world.plane_of[p]]
    need = need_of(case, pen)
    wide = need.before2 + need.after2 > 2 * case.panel.cover and bool(
        plane.width > case.panel.cover)
    end: Literal["", "low", "high"] = ""
    low_end, high_end = ends_of(plane, pen)
    room2 = 2 * (min(pen.x - low_end, high_end - pen.x) - case.rules.end_lap)
    needed = needed2(pen, case.rules) if pen.kind == "pipe" else 2 * case.rules.curb_side
    if pen.kind == "pipe" and room2 < needed:
        end = "low" if 2 * pen.x <= low_end + high_end else "high"
    return SingleSum(pen.id, need if wide else None, end, room2, needed, nearest)
