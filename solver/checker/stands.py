"""How one penetration stands among the seams of its plane: part of the independent checker.

Written straight from the rules of the trade and shared with nothing but `solver.checker.judge`.
Exact integers; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from solver.case import Case, Penetration, State
from solver.checker.stands_curbs import judge_curb
from solver.checker.stands_grid import Grid
from solver.result import JudgedPenetration


def judge_penetration(
    case: Case, pen: Penetration, move: int, grid: Grid, ends: tuple[int, int]
) -> JudgedPenetration:
    """State, room, margin and neighbouring seams of one penetration after its move (ticks).

    `ends` is where the roof ends on either side of it, at its own height.
    """
    if pen.kind == "pipe":
        return _judge_pipe(case, pen, move, grid, ends)
    return judge_curb(case, pen, move, grid)


def _judge_pipe(
    case: Case, pen: Penetration, move: int, grid: Grid, ends: tuple[int, int]
) -> JudgedPenetration:
    x = pen.x + move
    above = bisect_right(grid.seams, x)  # index of the first seam strictly above
    room2 = 2 * min(_beside(grid, x, ends, crept=False))
    worst2 = 2 * min(_beside(grid, x, ends, crept=True)) - 2 * pen.x_tol

    rules = case.rules
    needed2 = max(pen.base + 2 * rules.work_gap, pen.outside + 2 * rules.seamer_gap)
    counts2 = worst2 if rules.robust else room2
    state: State
    if counts2 >= needed2:
        state = "clear"
    elif counts2 >= pen.base:
        state = "tight"
    elif counts2 >= pen.outside + 2 * rules.hole_gap:
        state = "crosses"
    else:
        state = "on-seam"

    seam_low = grid.seams[above - 1] if above else None
    seam_high = grid.seams[above] if above < len(grid.seams) else None
    low, high = _limits(grid, above, ends, crept=rules.robust)
    needs2 = needed2 + (2 * pen.x_tol if rules.robust else 0)
    from2, to2 = 2 * low + needs2, 2 * high - needs2
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
        worst_room2=worst2,
        worst_margin2=worst2 - needed2,
    )


def _beside(grid: Grid, x: int, ends: tuple[int, int], *, crept: bool) -> list[int]:
    """Distances from `x` to what may come near it on either side, as laid or after its worst shift.

    A seam at `x` is on both sides, so the larger of its own counts. Seams are looked at from the
    nearest outwards, until not even the widest side and the worst shift of any seam could bring the
    next one nearer than what is found.
    """
    far, most_shift = (grid.far_shift, grid.most_shift) if crept else (0, 0)
    found = [x - ends[0] - grid.end_lap, ends[1] - far - x - grid.end_lap]
    most = grid.most_side + most_shift
    for number in range(bisect_right(grid.seams, x) - 1, -1, -1):
        gap = x - grid.seams[number]
        if gap - most > min(found):
            break
        found.append(gap - grid.high_sides[number] - (grid.shifts[number] if crept else 0))
    for number in range(bisect_left(grid.seams, x), len(grid.seams)):
        gap = grid.seams[number] - x
        if gap - most > min(found):
            break
        found.append(gap - grid.low_sides[number] - (grid.shifts[number] if crept else 0))
    return found


def _limits(
    grid: Grid, above: int, ends: tuple[int, int], *, crept: bool
) -> tuple[int, int]:
    """How far right the seams below number `above`, and how far left those from it on, may reach.

    A wide end lap can reach past the first or last seam, so the ends bind in every pan. Seams are
    looked at from the nearest outwards, until no other can reach as far as what is found.
    """
    far, most_shift = (grid.far_shift, grid.most_shift) if crept else (0, 0)
    low, high = ends[0] + grid.end_lap, ends[1] - far - grid.end_lap
    most = grid.most_side + most_shift
    for number in range(above - 1, -1, -1):
        if grid.seams[number] + most <= low:
            break
        shift = grid.shifts[number] if crept else 0
        low = max(low, grid.seams[number] + grid.high_sides[number] + shift)
    for number in range(above, len(grid.seams)):
        if grid.seams[number] - most >= high:
            break
        shift = grid.shifts[number] if crept else 0
        high = min(high, grid.seams[number] - grid.low_sides[number] - shift)
    return low, high
