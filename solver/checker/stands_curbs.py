"""How a curb stands among the seams of its plane, however it is built.

Part of the independent checker: written straight from the rules of the trade and shared with
nothing else. Exact integers; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from bisect import bisect_right

from solver.case import Case, Penetration, State
from solver.checker.stands_grid import Grid
from solver.result import JudgedPenetration

Flanks = list[tuple[int, int]]
"""Distance from the curb's centre and shift of the seams on one side that flank it (ticks)."""


def judge_curb(case: Case, pen: Penetration, move: int, grid: Grid) -> JudgedPenetration:
    """State, cut seams, flanks and landed walls of a curb after its move (ticks).

    A seam that has landed on a wall of a ribbed curb is neither cut nor beside it; landing goes by
    the seams as laid, unshifted. A close curb wants its seams near: none crowds it.
    """
    x, close = pen.x + move, pen.detail == "close"
    landed = _landed(case, pen, x, grid) if pen.detail == "ribbed" else None
    cut_low, low, cut_high, high = _around(case, pen, x, grid)
    cut, flanks = cut_low + cut_high, low + high
    room2 = min((2 * gap - pen.across for gap, _ in flanks), default=None)
    worst2 = _worst2(pen, flanks)
    needed2 = 0 if close else 2 * case.rules.curb_side
    counts2 = worst2 if case.rules.robust else room2
    crowded = not close and counts2 is not None and counts2 < needed2
    state: State = "crowded" if crowded else "spans" if cut else "clear"
    return JudgedPenetration(
        id=pen.id,
        plane=pen.plane,
        x=x,
        moved=move,
        state=state,
        room2=room2,
        needed2=needed2,
        margin2=room2 - needed2 if room2 is not None else None,
        seams_cut=cut,
        seam_low=x - low[0][0] if low else None,
        seam_high=x + high[0][0] if high else None,
        clear_from2=None,
        clear_to2=None,
        worst_room2=worst2,
        worst_margin2=worst2 - needed2 if worst2 is not None else None,
        landed=landed,
    )


def apart2(case: Case, pen: Penetration, move: int, grid: Grid) -> int:
    """How far the seams beside a curb are from its two walls, together (half ticks).

    After their worst shift in a robust case, and never less than nothing; a side without a seam
    adds nothing.
    """
    _, low, _, high = _around(case, pen, pen.x + move, grid)
    total2 = 0
    for flanks in (low, high):
        as_laid2 = 2 * flanks[0][0] - pen.across if flanks else 0
        worst2 = _worst2(pen, flanks) if case.rules.robust else as_laid2
        total2 += max(0, worst2 or 0)
    return total2


def _worst2(pen: Penetration, flanks: Flanks) -> int | None:
    if not flanks:
        return None
    return 2 * min(gap - shift for gap, shift in flanks) - pen.across - 2 * pen.x_tol


def _walls2(pen: Penetration, x: int) -> tuple[int, int]:
    return 2 * x - pen.across, 2 * x + pen.across


def _at_wall(case: Case, seam: int, wall2: int) -> bool:
    return abs(2 * seam - wall2) <= 2 * case.rules.land_tol


def _landed(case: Case, pen: Penetration, x: int, grid: Grid) -> tuple[bool, bool]:
    """Whether a seam stands at the wall at the low and at the high end."""
    low, high = (
        any(_at_wall(case, seam, wall2) for seam in _near(grid, wall2)) for wall2 in _walls2(pen, x)
    )
    return low, high


def _near(grid: Grid, wall2: int) -> tuple[int, ...]:
    """The seams on either side of a wall: no other can be nearer."""
    place = bisect_right(grid.seams, wall2 // 2)
    return grid.seams[max(0, place - 1) : place + 1]


def _around(
    case: Case, pen: Penetration, x: int, grid: Grid
) -> tuple[int, Flanks, int, Flanks]:
    """Seams cut and flanks towards the low end, then the same towards the high end."""
    middle = bisect_right(grid.seams, x)
    low = _past(case, pen, x, grid, range(middle - 1, -1, -1))
    return *low, *_past(case, pen, x, grid, range(middle, len(grid.seams)))


def _past(
    case: Case, pen: Penetration, x: int, grid: Grid, outwards: range
) -> tuple[int, Flanks]:
    """How many seams on one side of `x` a curb cuts; distance and shift of those that flank it.

    They come from the nearest outwards, as far as one may bind after its worst shift.
    """
    cut, flanks, across = 0, [], pen.across
    for number in outwards:
        seam = grid.seams[number]
        if pen.detail == "ribbed" and any(_at_wall(case, seam, at2) for at2 in _walls2(pen, x)):
            continue
        gap = abs(seam - x)
        low_side, high_side = grid.low_sides[number], grid.high_sides[number]
        facing = high_side if seam < x else low_side
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
