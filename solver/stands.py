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

    `low_side` is taken on the side of smaller x, `high_side` on the side of larger x. `shifts` says
    for each seam how far it may have crept, `most_shift` the worst of these, `far_shift` how far
    the high end may be off.
    """

    seams: tuple[int, ...]
    low_side: int
    high_side: int
    width: int
    end_lap: int
    shifts: tuple[int, ...]
    most_shift: int
    far_shift: int


def grid_of(case: Case, plane: Plane, seams: tuple[int, ...]) -> Grid:
    """The grid of one plane, its seams given in increasing x.

    `seam_back` faces the starting end, so laying from the right swaps the sides.
    """
    back, fwd = case.panel.seam_back, case.panel.seam_fwd
    starts_low = plane.lay == "left-to-right"
    low, high = (back, fwd) if starts_low else (fwd, back)
    shifts = _creep(case, len(seams), 0 if starts_low else case.rules.width_tol)
    if not starts_low:
        shifts.reverse()
    return Grid(
        seams, low, high, plane.width, case.rules.end_lap,
        tuple(shifts), max(shifts, default=0), case.rules.width_tol,
    )


def _creep(case: Case, count: int, start: int) -> list[int]:
    """Worst shift of each seam in the order of laying: it grows panel by panel from the last
    control line, which is every `remeasure` panels; the first seam is measured from the end."""
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
    worst2 = 2 * min(_lows_and_highs(grid, x)) - 2 * pen.x_tol

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
    # A wide end lap can reach past the first or last seam, so the ends bind in every pan.
    lows = [grid.end_lap] + ([seam_low + grid.high_side] if seam_low is not None else [])
    highs = [grid.width - grid.end_lap]
    highs += [seam_high - grid.low_side] if seam_high is not None else []
    if rules.robust:
        lows, highs = _worst_limits(grid, x, above)
        needs2 = needed2 + 2 * pen.x_tol
    else:
        needs2 = needed2
    from2, to2 = 2 * max(lows) + needs2, 2 * min(highs) - needs2
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


def _lows_and_highs(grid: Grid, x: int) -> list[int]:
    """Distances from `x` to what may come near it on either side, after its worst shift.

    Seams are looked at from the nearest outwards, until not even the worst shift of any seam could
    bring the next one nearer than what is found.
    """
    found = [x - grid.end_lap, grid.width - grid.far_shift - x - grid.end_lap]
    for number in range(bisect_right(grid.seams, x) - 1, -1, -1):
        gap = x - grid.seams[number] - grid.high_side
        if gap - grid.most_shift > min(found):
            break
        found.append(gap - grid.shifts[number])
    for number in range(bisect_left(grid.seams, x), len(grid.seams)):
        gap = grid.seams[number] - x - grid.low_side
        if gap - grid.most_shift > min(found):
            break
        found.append(gap - grid.shifts[number])
    return found


def _worst_limits(grid: Grid, x: int, above: int) -> tuple[list[int], list[int]]:
    """How far right the seams up to `x`, and how far left those beyond it, may reach."""
    lows = [grid.end_lap]
    lows += [
        seam + grid.high_side + shift
        for seam, shift in zip(grid.seams[:above], grid.shifts[:above], strict=True)
    ]
    highs = [grid.width - grid.far_shift - grid.end_lap]
    highs += [
        seam - grid.low_side - shift
        for seam, shift in zip(grid.seams[above:], grid.shifts[above:], strict=True)
    ]
    return lows, highs


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
    worst = [
        x - grid.seams[n] - grid.shifts[n] for n in range(start)
    ] + [grid.seams[n] - x - grid.shifts[n] for n in range(stop, len(grid.seams))]
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
