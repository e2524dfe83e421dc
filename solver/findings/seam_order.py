"""The seams of a laid plane as the crew counts them: numbers, sides, panels gone on.

Seams are numbered from the end where laying starts: seam 1 is the far edge of panel 1. On a plane
laid both ways from a line that line's own seam is 0; numbers go up towards the high end and below
nothing towards the low end, as its panels are numbered (1, 2, … and -1, -2, …). Lengths in ticks.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from fractions import Fraction

from solver.case import Case, Plane
from solver.result import JudgedPlane
from solver.units import round_half_away

Seams = tuple[int, ...]


def seam_numbers(plane: Plane, seams: Seams) -> range:
    """The number of every seam, in increasing x."""
    count = len(seams)
    if plane.start is not None and count:
        before = bisect_left(seams, plane.start)
        return range(-before, count - before)
    return range(count, 0, -1) if plane.lay == "right-to-left" else range(1, count + 1)


def panels_from_first(plane: Plane, seams: Seams) -> list[int]:
    """How many panels lie between each seam, in increasing x, and the one laid to first."""
    if plane.start is not None:
        return [abs(number) for number in seam_numbers(plane, seams)]
    return [number - 1 for number in seam_numbers(plane, seams)]


def at_height(plane: Plane, laid: JudgedPlane, y: int) -> JudgedPlane:
    """The plane as it is laid `y` up the slope (ticks): its seams there. Another one only where
    seams are fanned: those between the outermost share out evenly how the rakes lean."""
    lean, last = plane.lean, len(laid.seams) - 1
    if lean is None or not lean.fan or last < 0:
        return laid
    if not last:
        own = lean.high if plane.lay == "right-to-left" else lean.low
        shifts = [Fraction(own * y, plane.length)]
    else:
        shifts = [
            Fraction(y * (lean.low * last + (lean.high - lean.low) * number), plane.length * last)
            for number in range(last + 1)
        ]
    moved = (seam + round_half_away(by) for seam, by in zip(laid.seams, shifts, strict=True))
    return replace(laid, seams=tuple(moved))


def sides(case: Case, plane: Plane, seam: int) -> tuple[int, int]:
    """What a seam takes of the flat on its side of smaller x and on that of larger x (ticks).

    `seam_back` faces where the laying starts. The seam on the line of a plane laid both ways is
    taken by both runs: the larger of the two counts on either side.
    """
    back, fwd = case.panel.seam_back, case.panel.seam_fwd
    if plane.start is not None:
        if seam == plane.start:
            return max(back, fwd), max(back, fwd)
        return (back, fwd) if seam > plane.start else (fwd, back)
    return (fwd, back) if plane.lay == "right-to-left" else (back, fwd)


def width_shift(case: Case, plane: Plane) -> int:
    """How far all seams may be off against positions taped from the low end (ticks).

    Only those of a plane laid from its high end go with the error of its width.
    """
    return case.rules.width_tol if plane.lay == "right-to-left" else 0


def ends_from_line(case: Case, plane: Plane) -> tuple[int, int]:
    """End widths (low end, high end; ticks) that plain panels from the line of a plane leave."""
    assert plane.start is not None
    cover = case.panel.cover
    return (plane.start - 1) % cover + 1, (plane.width - plane.start - 1) % cover + 1


def from_line(case: Case, plane: Plane) -> bool:
    """Whether a plane is laid both ways from a line: one no wider than a panel is but a panel."""
    return plane.start is not None and plane.width > case.panel.cover


def may_bend(case: Case) -> bool:
    """Whether a plane may have odd panels, or stretches of another module."""
    return bool(case.rules.odd_panels or case.rules.play)
