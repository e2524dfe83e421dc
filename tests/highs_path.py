"""The panels a plane with odd panels may have, as arcs of paths: for `highs_odd`.

A path leads from the end where laying starts to the other one (for a plane laid from a line: from
its low end to its high end, over the line); each arc is a panel. A node is a seam's place together
with how many odd panels lie before it. Nothing is shared with the program or with the oracle's
lists of seams. Lengths are half ticks, money is cents.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

import oracle
from highs_rules import Flags, Ints, from_start, state_of_room
from oracle_odd_case import OddCase

FIRST, FULL, ODD, LAST = range(4)


@dataclass(frozen=True)
class Arcs:
    """All panels of a plane by increasing near edge: edges, kinds, and the nodes they join.

    The node before the near edge 0 and the node behind the far end are -1.
    """

    near: Ints
    far: Ints
    kind: Ints
    tail: Ints
    head: Ints
    nodes: int
    width: int

    def around(self, u: int, cover: int) -> Ints:
        """Numbers of the panels that hold a point; of two that meet there the one behind it."""
        low = np.searchsorted(self.near, u - cover, side="left")
        there = np.arange(low, np.searchsorted(self.near, u, side="right"))
        inside: Ints = there[(self.far[there] > u) | (self.far[there] == self.width)]
        return inside


def arcs_of(case: OddCase, plane: int) -> Arcs:
    """Every panel that any legal layout of a plane can have."""
    base, here, line = case.base, case.plane(plane), case.lines[plane]
    width, cover, least = here.width, base.cover, base.min_end
    if width <= cover:
        one = np.zeros(1, dtype=np.int64)
        return Arcs(one, one + width, one + FIRST, one - 1, one - 1, 0, width)
    odd = np.array(case.odd_widths if case.odd_panels else (), dtype=np.int64)
    firsts = np.array(oracle.whole_marks(base), dtype=np.int64)
    firsts = firsts[firsts >= least]
    if line is None:
        places = _layers(firsts, odd, case.odd_panels, cover, width)
    else:
        above = _layers(np.array([line]), odd, case.odd_panels, cover, width)
        # The same from the line downwards, seen from the line.
        below = _layers(np.zeros(1, dtype=np.int64), odd, case.odd_panels, cover, line)
        both = np.unique(np.concatenate([*above, *(line - layer for layer in below)]))
        places = [both] * (case.odd_panels + 1)
        firsts = both[(both >= least) & (both <= cover) & (both <= line)]
    begin = np.cumsum([0, *(len(layer) for layer in places)])
    parts: list[tuple[Ints, Ints, int, Ints, Ints]] = []

    def lay(layer: int, near: Ints, far: Ints, kind: int) -> None:
        """Panels between places, from `layer` to where one more odd panel leads."""
        onto = layer + (kind == ODD)
        at = np.searchsorted(places[onto], far)
        fine = (at < len(places[onto])) & (far < width)
        fine[fine] = places[onto][at[fine]] == far[fine]
        if line is not None:
            fine &= (far <= line) | (near >= line)
        tail = begin[layer] + np.searchsorted(places[layer], near)
        tail = tail if kind != FIRST else np.full(len(near), -1, dtype=np.int64)
        parts.append((near[fine], far[fine], kind, tail[fine], begin[onto] + at[fine]))

    lay(0, np.zeros(len(firsts), dtype=np.int64), firsts, FIRST)
    for layer, seams in enumerate(places):
        lay(layer, seams, seams + cover, FULL)
        if layer < case.odd_panels and len(odd):
            lay(layer, np.repeat(seams, len(odd)), (seams[:, None] + odd).ravel(), ODD)
        ends = seams[(width - seams >= least) & (width - seams <= cover) & (seams >= (line or 0))]
        tail = begin[layer] + np.searchsorted(seams, ends)
        parts.append((ends, np.full_like(ends, width), LAST, tail, np.full_like(ends, -1)))
    near, far, tail, head = (
        np.concatenate([part[k] for part in parts]) for k in (0, 1, 3, 4)
    )  # fmt: skip
    kind = np.concatenate([np.full(len(part[0]), part[2], dtype=np.int64) for part in parts])
    order = np.argsort(near, kind="stable")
    return Arcs(
        near[order], far[order], kind[order], tail[order], head[order], int(begin[-1]), width
    )


def _layers(start: Ints, odd: Ints, slots: int, cover: int, width: int) -> list[Ints]:
    """Places of seams with 0, 1, … odd panels before them, in increasing order."""
    grid = np.arange(0, width, cover, dtype=np.int64)
    found = [np.unique((start[:, None] + grid).ravel())]
    found[0] = found[0][found[0] < width]
    for _ in range(slots):
        parts = [found[-1] + w for w in odd.tolist()]
        more = np.unique(np.concatenate(parts)) if parts else np.zeros(0, dtype=np.int64)
        found.append(more[more < width])
    return found


# ------------------------------------------------------------------ what a seam takes of a panel


def along(case: OddCase, plane: int, x: int) -> int:
    """A position measured from where paths begin."""
    return x if case.lines[plane] is not None else from_start(case.plane(plane), x)


def ahead_of(case: OddCase, plane: int, seams: Ints) -> Ints:
    """What seams take of the flat on their far side, seen from where paths begin."""
    line, back, fwd = case.lines[plane], case.base.back, case.base.fwd
    if line is None:
        return np.full_like(seams, fwd)
    return np.select([seams < line, seams > line], [back, fwd], max(back, fwd))


def behind(case: OddCase, plane: int, seams: Ints) -> Ints:
    """What seams take of the flat on their near side."""
    line, back, fwd = case.lines[plane], case.base.back, case.base.fwd
    if line is None:
        return np.full_like(seams, back)
    return np.select([seams < line, seams > line], [fwd, back], max(back, fwd))


def states_in(case: OddCase, arcs: Arcs, pen: oracle.Pen, move: int) -> tuple[Ints, Ints]:
    """Panels that hold a pipe after its move, and its state in each: 0 clear … 3 on-seam."""
    base, plane = case.base, case.plane(pen.plane)
    u = along(case, pen.plane, pen.x + move)
    here = arcs.around(u, base.cover)
    near, far = arcs.near[here], arcs.far[here]
    low = u - near - ahead_of(case, pen.plane, near)
    low = np.where(near == u, -max(base.back, base.fwd), low)
    high = far - u - behind(case, pen.plane, far)
    room = np.full(len(here), min(u, plane.width - u) - base.lengths["end_lap"])
    room = np.where(near > 0, np.minimum(room, low), room)
    room = np.where(far < plane.width, np.minimum(room, high), room)
    return here, state_of_room(base, pen, room)


def curb_places(case: OddCase, plane: int, pen: oracle.Pen, seams: Ints) -> tuple[Flags, Flags]:
    """Which of some seams a curb cuts, and which of them crowd it."""
    u, half = along(case, plane, pen.x), pen.across // 2
    away = np.abs(seams - u)
    facing = np.where(seams < u, ahead_of(case, plane, seams), behind(case, plane, seams))
    facing = np.where(seams == u, max(case.base.back, case.base.fwd), facing)
    cut = away < half + facing
    return cut, ~cut & (away - half < case.base.lengths["curb_side"])
