"""Which legs the panels of a plane have, and what the sides of a piece make of them.

Each pan's female leg hooks over the male leg already laid (common practice, no source): so it is on
the side where laying starts, and the male leg on the side where laying goes. The first panel's
female leg and the last one's male leg fall away where the plane ends.
"""

from __future__ import annotations

from collections.abc import Sequence

from solver.case import Case, Plane
from solver.case_parts import Sheet
from solver.findings.seam_order import from_line
from solver.panels.parts import LEGS, Leg, Made, sheet_width

Sides = tuple[Leg, Leg]


def panel_numbers(case: Case, plane: Plane, seams: Sequence[int]) -> list[int]:
    """The numbers of a plane's panels in increasing x, counted from where laying starts."""
    count = len(seams) + 1
    if from_line(case, plane) and plane.start in seams:
        below = seams.index(plane.start) + 1
        return [*range(-below, 0), *range(1, count - below + 1)]
    if plane.lay == "right-to-left":
        return list(range(count, 0, -1))
    return list(range(1, count + 1))


def legs_of(case: Case, plane: Plane, seams: Sequence[int]) -> list[Sides]:
    """The legs (left, right) every panel has at its seams, in increasing x.

    On a plane laid both ways from a line the two panels at the line would both have a female leg
    there: one of them is made with two male legs, which its neighbours hook over from both sides.
    That is panel -1, or panel 1 where -1 is the only panel on its side and 1 is not.
    """
    numbers = panel_numbers(case, plane, seams)
    forward: Sides = ("female", "male")
    backward: Sides = ("male", "female")
    if numbers[0] < 0:
        twice = 1 if numbers[0] == -1 and numbers[-1] > 1 else -1
        legs = [forward if number > 0 else backward for number in numbers]
        legs[numbers.index(twice)] = ("male", "male")
        return legs
    return [backward if plane.lay == "right-to-left" else forward for _ in numbers]


def flat_width(
    case: Case, sheet: Sheet, finished: int, sides: Sides, odd: bool, changed: bool
) -> tuple[int, Made]:
    """What a piece takes in the flat (ticks) and how it is made.

    A panel of odd width that keeps both legs is made from a full sheet by ripping and forming the
    leg anew. One of a changed module is a full pan, laid a little wider or narrower. A side that
    comes to a point takes a turn-up too: there the turned-up edge of the slant runs out.
    """
    full = sheet_width(case, sheet)
    if sides == ("male", "male"):
        return (case.panel.cover if changed else finished) + 2 * sheet.male, "two male"
    if sides[0] in LEGS and sides[1] in LEGS:
        if odd:
            return finished + sheet.male + sheet.female, "re-formed"
        if changed:
            return full, "spread"
        return full, "full"
    takes = {"male": sheet.male, "female": sheet.female, "turned up": sheet.turn_up,
             "none": sheet.turn_up}
    return finished + takes[sides[0]] + takes[sides[1]], "ripped"


def allowance(sheet: Sheet, kind: str) -> int:
    """What a piece is longer than the roof at an edge of a kind (ticks).

    Two readings of ours: a slanting rake is turned up like a ripped edge, and what ends under
    panels laid across reaches a lap below them.
    """
    return {
        "eave": sheet.eave_hook, "ridge": sheet.ridge_up, "hip": sheet.hip_up,
        "valley": sheet.valley_hook, "wall": sheet.wall_up, "curb": sheet.wall_up,
        "rake": sheet.turn_up, "across": sheet.lap,
    }[kind]
