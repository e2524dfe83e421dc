"""The seams of one plane and what they take of the flat: part of the independent checker.

Written straight from the rules of the trade and shared with nothing else. Exact integers.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from solver.case import Case, Plane


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
        seams, lows, highs, max(back, fwd), case.rules.end_lap,
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
