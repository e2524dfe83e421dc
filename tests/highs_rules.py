"""Coefficients of the linear model in `highs`: what a first width does, where a pipe may go.

Computed from the position within the panel rhythm (modular arithmetic), not from lists of seams, so
that neither the program's tables nor the oracle's lists are repeated here. All lengths are half
ticks, as `oracle.read` gives them; money is cents.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

import oracle

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


# ------------------------------------------------------------------ what a first width does


def first_widths(case: oracle.Case, plane: oracle.Plane) -> Ints:
    """The legal first widths of a plane (half ticks), increasing."""
    if plane.width <= case.cover:
        return np.array([plane.width], dtype=np.int64)
    mark = case.lengths["mark"]
    widths = np.unique(np.append(np.arange(mark, case.cover + 1, mark), case.cover))
    ends = rest(plane.width - widths, case.cover)
    return np.asarray(widths[(widths >= case.min_end) & (ends >= case.min_end)], dtype=np.int64)


def rest(length: Ints, cover: int) -> Ints:
    """What whole covers leave of a length, between just above 0 and a whole cover."""
    return (length - 1) % cover + 1


def from_start(plane: oracle.Plane, x: int) -> int:
    """A position measured from the end where laying starts."""
    return x if plane.rightward else plane.width - x


def pipe_states(case: oracle.Case, pen: oracle.Pen, firsts: Ints, move: int) -> Ints:
    """A pipe's state at each first width: 0 clear, 1 tight, 2 crosses, 3 on-seam."""
    plane = case.planes[pen.plane]
    at, cover = from_start(plane, pen.x + move), case.cover
    room = np.full(len(firsts), min(at, plane.width - at) - case.lengths["end_lap"])
    if plane.width > cover:
        steps = (at - firsts) // cover  # the number of the last seam not beyond the pipe
        behind = firsts + steps * cover
        ahead = behind + cover
        here = (steps >= 0) & (behind < plane.width)
        room = np.where(here, np.minimum(room, at - behind - case.fwd), room)
        on_it = here & (behind == at)  # at the seam itself the larger side counts
        room = np.where(on_it, np.minimum(room, -max(case.fwd, case.back)), room)
        room = np.where(ahead < plane.width, np.minimum(room, ahead - at - case.back), room)
    return state_of_room(case, pen, room)


def state_of_room(case: oracle.Case, pen: oracle.Pen, room: Ints) -> Ints:
    """A pipe's state for each room: 0 clear, 1 tight, 2 crosses, 3 on-seam."""
    radius, half_base = pen.outside // 2, pen.base // 2
    needed = max(half_base + case.lengths["work_gap"], radius + case.lengths["seamer_gap"])
    bands = [room >= needed, room >= half_base, room >= radius + case.lengths["hole_gap"]]
    return np.asarray(np.select(bands, [0, 1, 2], 3), dtype=np.int64)


def pipe_cost(case: oracle.Case, pen: oracle.Pen, firsts: Ints) -> tuple[Ints, Flags]:
    """Cents for a pipe that stays, at each first width, and where its state is forbidden."""
    states = pipe_states(case, pen, firsts, 0)
    charge = np.array([0, *(case.cents[name] for name in ("tight", "crosses", "on_seam"))])
    barred = np.array([name in pen.forbid for name in ("clear", "tight", "crosses", "on-seam")])
    return charge[states], barred[states]


def curb_cost(case: oracle.Case, pen: oracle.Pen, firsts: Ints) -> tuple[Ints, Flags]:
    """Cents for a curb at each first width, and where its state is forbidden."""
    plane = case.planes[pen.plane]
    at, half, cover = from_start(plane, pen.x), pen.across // 2, case.cover
    if plane.width <= cover:
        cuts, crowded = np.zeros_like(firsts), np.zeros(len(firsts), dtype=bool)
    else:
        count = (plane.width - firsts - 1) // cover + 1  # seams of the plane
        # Seams up to the low side and from the high side of the curb on, by number.
        upto = np.clip((at - half - case.fwd - firsts) // cover, -1, count - 1)
        since = np.clip(-(-(at + half + case.back - firsts) // cover), 0, count)
        cuts = since - upto - 1
        low = at - half - (firsts + upto * cover)
        high = firsts + since * cover - at - half
        side = case.lengths["curb_side"]
        crowded = ((upto >= 0) & (low < side)) | ((since < count) & (high < side))
    cents = cuts * case.cents["seam_cut"] + crowded * case.cents["crowded"]
    spans = (cuts > 0) & ~crowded
    barred = crowded & ("crowded" in pen.forbid) | spans & ("spans" in pen.forbid)
    return cents, barred


def uneven_cost(case: oracle.Case, plane: oracle.Plane, firsts: Ints) -> Ints:
    """Cents for ends that differ, at each first width."""
    if plane.width <= case.cover:
        return np.zeros_like(firsts)
    differ = np.abs(firsts - rest(plane.width - firsts, case.cover))
    beyond = np.maximum(differ - case.lengths["uneven_free"], 0)
    cents: Ints = beyond // case.lengths["uneven_unit"] * case.cents["uneven"]
    return cents


def meeting(case: oracle.Case, link: oracle.Link, one: Ints, two: Ints) -> Flags:
    """Which first widths of two linked planes let their seams meet, as a table."""
    a, b = case.planes[link.one], case.planes[link.two]
    if a.width <= case.cover or b.width <= case.cover:
        return np.ones((len(one), len(two)), dtype=bool)
    seam_a = one if a.rightward else a.width - one
    seam_b = two if b.rightward else b.width - two
    return seams_meet(case, link, seam_a, seam_b)


def seams_meet(case: oracle.Case, link: oracle.Link, seam_a: Ints, seam_b: Ints) -> Flags:
    """The same for one seam of each grid, by its place on its plane."""
    a = case.planes[link.one]
    mapped = a.width + link.offset - seam_a if link.mirror else seam_a + link.offset
    twice = 2 * (mapped[:, None] - seam_b[None, :]) - (case.cover if link.stagger else 0)
    apart = np.minimum(twice % (2 * case.cover), -twice % (2 * case.cover))
    return np.asarray(apart <= 2 * case.lengths["meet_tol"])


# ------------------------------------------------------------------ where a pipe may go


def allowed_moves(case: oracle.Case, pen: oracle.Pen) -> list[int]:
    """Every move but 0 that reach, step, least offset, edge gap and keep-outs allow."""
    if not pen.pipe or pen.status == "fixed":
        return []
    step, plane, radius = case.lengths["step"], case.planes[pen.plane], pen.outside // 2
    least = pen.min_offset if pen.status == "stubbed" else 0
    found = []
    for move in range(-(pen.reach_low // step) * step, pen.reach_high + 1, step):
        x = pen.x + move
        edge = radius + case.lengths["edge_gap"]
        if move == 0 or abs(move) < least or not edge <= x <= plane.width - edge:
            continue
        if not any(touches(keepout, x, pen.y, radius) for keepout in plane.keepouts):
            found.append(move)
    return found


def touches(keepout: oracle.Keepout, x: int, y: int, radius: int) -> bool:
    """Whether a disc overlaps a keep-out (touching is not overlapping)."""
    dx = x - min(max(x, keepout.lo), keepout.hi)
    dy = 0
    if keepout.y_lo is not None and keepout.y_hi is not None:
        dy = y - min(max(y, keepout.y_lo), keepout.y_hi)
    return dx * dx + dy * dy < radius * radius


def too_near(case: oracle.Case, one: oracle.Pen, other: oracle.Pen, shift: int) -> bool:
    """Whether two bodies stand too near once `one` is shifted by `shift` against the other."""

    def squared(dx: int) -> int:
        gap_x = max(abs(dx) - (one.across + other.across) // 2, 0)
        gap_y = max(abs(one.y - other.y) - (one.along + other.along) // 2, 0)
        return gap_x * gap_x + gap_y * gap_y

    least = (case.lengths["spacing"] + (one.outside + other.outside) // 2) ** 2
    apart = one.x - other.x
    return squared(apart + shift) < min(least, squared(apart))
