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
    """The seams of one plane, in increasing x, and what each takes of the flat beside it (ticks).

    `low_sides` are taken on the side of smaller x, `high_sides` on the side of larger x, at most
    `most_side`. `shifts` says for each seam how far it may have crept, `most_shift` the worst of
    these, `far_shift` how far the high end may be off.
    """

    seams: tuple[int, ...]
    low_sides: tuple[int, ...]
    high_sides: tuple[int, ...]
    most_side: int
    width: int
    end_lap: int
    shifts: tuple[int, ...]
    most_shift: int
    far_shift: int


def grid_of(case: Case, plane: Plane, seams: tuple[int, ...]) -> Grid:
    """The grid of one plane, its seams given in increasing x.

    `seam_back` faces where the laying starts: the starting end, or on a plane laid both ways the
    line. The line's own seam has a panel laid on either side of it, and takes the larger on both.
    """
    back, fwd = case.panel.seam_back, case.panel.seam_fwd
    count, width_tol = len(seams), case.rules.width_tol
    if plane.lay == "from" and plane.start is not None:
        below, upto = bisect_left(seams, plane.start), bisect_right(seams, plane.start)
        line = (max(back, fwd),) * (upto - below)
        lows = (fwd,) * below + line + (back,) * (count - upto)
        highs = (back,) * below + line + (fwd,) * (count - upto)
        shifts = _creep(case, below + 1, 0)[:0:-1] + _creep(case, count - below, 0)
    elif plane.lay == "right-to-left":
        lows, highs = (fwd,) * count, (back,) * count
        shifts = _creep(case, count, width_tol)[::-1]
    else:
        lows, highs = (back,) * count, (fwd,) * count
        shifts = _creep(case, count, 0)
    return Grid(
        seams, lows, highs, max(back, fwd), plane.width, case.rules.end_lap,
        tuple(shifts), max(shifts, default=0), width_tol,
    )


def _creep(case: Case, count: int, start: int) -> list[int]:
    """Worst shift of each seam in the order of laying: it grows panel by panel from the last
    control line, which is every `remeasure` panels; the first seam is measured from the end, or is
    the line that a plane laid both ways starts from."""
    shifts, gone = [], 0
    for number in range(count):
        shifts.append(start + gone * case.rules.cover_tol)
        gone = 1 if number > 0 and gone == case.rules.remeasure else gone + 1
    return shifts


def judge_penetration(case: Case, pen: Penetration, move: int, grid: Grid) -> JudgedPenetration:
    """State, room, margin and neighbouring seams of one penetration after its move (ticks)."""
    if pen.kind == "pipe":
        return _judge_pipe(case, pen, move, grid)
    return _judge_curb(case, pen, move, grid)


def _judge_pipe(case: Case, pen: Penetration, move: int, grid: Grid) -> JudgedPenetration:
    x = pen.x + move
    above = bisect_right(grid.seams, x)  # index of the first seam strictly above
    room2 = 2 * min(_beside(grid, x, crept=False))
    worst2 = 2 * min(_beside(grid, x, crept=True)) - 2 * pen.x_tol

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
    low, high = _limits(grid, above, crept=rules.robust)
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


def _beside(grid: Grid, x: int, *, crept: bool) -> list[int]:
    """Distances from `x` to what may come near it on either side, as laid or after its worst shift.

    A seam at `x` is on both sides, so the larger of its own counts. Seams are looked at from the
    nearest outwards, until not even the widest side and the worst shift of any seam could bring the
    next one nearer than what is found.
    """
    far, most_shift = (grid.far_shift, grid.most_shift) if crept else (0, 0)
    found = [x - grid.end_lap, grid.width - far - x - grid.end_lap]
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


def _limits(grid: Grid, above: int, *, crept: bool) -> tuple[int, int]:
    """How far right the seams below number `above`, and how far left those from it on, may reach.

    A wide end lap can reach past the first or last seam, so the ends bind in every pan. Seams are
    looked at from the nearest outwards, until no other can reach as far as what is found.
    """
    far, most_shift = (grid.far_shift, grid.most_shift) if crept else (0, 0)
    low, high = grid.end_lap, grid.width - far - grid.end_lap
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


def _judge_curb(case: Case, pen: Penetration, move: int, grid: Grid) -> JudgedPenetration:
    x = pen.x + move
    middle = bisect_right(grid.seams, x)
    cut_low, flanks_low = _past(grid, pen.across, x, range(middle - 1, -1, -1))
    cut_high, flanks_high = _past(grid, pen.across, x, range(middle, len(grid.seams)))
    cut = cut_low + cut_high
    seam_low = x - flanks_low[0][0] if flanks_low else None
    seam_high = x + flanks_high[0][0] if flanks_high else None
    flanks = flanks_low + flanks_high
    flanks2 = [2 * gap - pen.across for gap, _ in flanks]
    needed2 = 2 * case.rules.curb_side
    margin2 = min(flanks2) - needed2 if flanks2 else None
    worst = [gap - shift for gap, shift in flanks]
    worst2 = 2 * min(worst) - pen.across - 2 * pen.x_tol if worst else None
    counts2 = worst2 if case.rules.robust else min(flanks2, default=None)
    crowded = counts2 is not None and counts2 < needed2
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
        worst_room2=worst2,
        worst_margin2=worst2 - needed2 if worst2 is not None else None,
    )


def _past(
    grid: Grid, across: int, x: int, outwards: range
) -> tuple[int, list[tuple[int, int]]]:
    """How many seams on one side of `x` a curb cuts; distance and shift of those it does not.

    They come from the nearest outwards, as far as one may bind after its worst shift.
    """
    cut, flanks = 0, []
    for number in outwards:
        gap = abs(grid.seams[number] - x)
        low_side, high_side = grid.low_sides[number], grid.high_sides[number]
        facing = high_side if grid.seams[number] < x else low_side
        if gap == 0:
            facing = max(low_side, high_side)
        if 2 * gap < across + 2 * facing:
            cut += 1
            continue
        flanks.append((gap, grid.shifts[number]))
        beyond_cutting = 2 * gap >= across + 2 * grid.most_side
        if beyond_cutting and gap - grid.most_shift > min(at - shift for at, shift in flanks):
            break
    return cut, flanks
