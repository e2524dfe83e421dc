"""How one penetration stands among the seams of its plane: part of the independent checker.

Written straight from the rules of the trade and shared with nothing but `solver.checker`. Exact
integers; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from solver.case import Case, Penetration, Plane, State
from solver.result import JudgedPenetration


@dataclass(frozen=True, slots=True)
class Grid:
    """The seams of one plane, in increasing x, and what a seam takes of the flat beside it (ticks).

    `low_side` is taken on the side of smaller x, `high_side` on the side of larger x.
    """

    seams: tuple[int, ...]
    low_side: int
    high_side: int
    width: int
    end_lap: int


def grid_of(case: Case, plane: Plane, seams: tuple[int, ...]) -> Grid:
    """The grid of one plane, its seams given in increasing x.

    `seam_back` faces the starting end, so laying from the right swaps the sides.
    """
    back, fwd = case.panel.seam_back, case.panel.seam_fwd
    low, high = (back, fwd) if plane.lay == "left-to-right" else (fwd, back)
    return Grid(seams, low, high, plane.width, case.rules.end_lap)


def judge_penetration(case: Case, pen: Penetration, move: int, grid: Grid) -> JudgedPenetration:
    """State, room, margin and neighbouring seams of one penetration after its move (ticks)."""
    if pen.kind == "pipe":
        return _judge_pipe(case, pen, move, grid)
    return _judge_curb(case, pen, move, grid)


def _judge_pipe(case: Case, pen: Penetration, move: int, grid: Grid) -> JudgedPenetration:
    x = pen.x + move
    below = bisect_left(grid.seams, x)  # how many seams lie strictly below
    above = bisect_right(grid.seams, x)  # index of the first seam strictly above
    # On one side every seam takes the same, so the nearest there is the one that binds.
    rooms = [x - grid.end_lap, grid.width - x - grid.end_lap]
    if below:
        rooms.append(x - grid.seams[below - 1] - grid.high_side)
    if above < len(grid.seams):
        rooms.append(grid.seams[above] - x - grid.low_side)
    if below != above:  # the centre stands on a seam
        rooms.append(-max(grid.low_side, grid.high_side))
    room2 = 2 * min(rooms)

    rules = case.rules
    needed2 = max(pen.base + 2 * rules.work_gap, pen.outside + 2 * rules.seamer_gap)
    state: State
    if room2 >= needed2:
        state = "clear"
    elif room2 >= pen.base:
        state = "tight"
    elif room2 >= pen.outside + 2 * rules.hole_gap:
        state = "crosses"
    else:
        state = "on-seam"

    seam_low = grid.seams[above - 1] if above else None
    seam_high = grid.seams[above] if above < len(grid.seams) else None
    # A wide end lap can reach past the first or last seam, so the ends bind in every pan.
    lows = [grid.end_lap] + ([seam_low + grid.high_side] if seam_low is not None else [])
    highs = [grid.width - grid.end_lap]
    highs += [seam_high - grid.low_side] if seam_high is not None else []
    from2, to2 = 2 * max(lows) + needed2, 2 * min(highs) - needed2
    return JudgedPenetration(
        id=pen.id,
        plane=pen.plane,
        x=x,
        moved=move,
        state=state,
        room2=room2,
        needed2=needed2,
        margin2=room2 - needed2,
        seams_cut=0,
        seam_low=seam_low,
        seam_high=seam_high,
        clear_from2=from2 if from2 <= to2 else None,
        clear_to2=to2 if from2 <= to2 else None,
    )


def _judge_curb(case: Case, pen: Penetration, move: int, grid: Grid) -> JudgedPenetration:
    x = pen.x + move
    # Cut are the seams with 2 * seam strictly between these two (the facing side counts).
    low2 = 2 * x - pen.across - 2 * grid.high_side
    high2 = 2 * x + pen.across + 2 * grid.low_side
    start = bisect_right(grid.seams, low2 // 2)
    stop = bisect_left(grid.seams, -(-high2 // 2))
    cut = max(0, stop - start)
    seam_low = grid.seams[start - 1] if start else None
    seam_high = grid.seams[stop] if stop < len(grid.seams) else None
    flanks2 = []
    if seam_low is not None:
        flanks2.append(2 * (x - seam_low) - pen.across)
    if seam_high is not None:
        flanks2.append(2 * (seam_high - x) - pen.across)
    needed2 = 2 * case.rules.curb_side
    margin2 = min(flanks2) - needed2 if flanks2 else None
    crowded = margin2 is not None and margin2 < 0
    state: State = "crowded" if crowded else "spans" if cut else "clear"
    return JudgedPenetration(
        id=pen.id,
        plane=pen.plane,
        x=x,
        moved=move,
        state=state,
        room2=min(flanks2, default=None),
        needed2=needed2,
        margin2=margin2,
        seams_cut=cut,
        seam_low=seam_low,
        seam_high=seam_high,
        clear_from2=None,
        clear_to2=None,
    )
