"""The order of work: what stands where a panel is to go on, where a seaming machine lacks room.

All of it common practice, no source. Ticks; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from solver.case import Case, Penetration, Plane, ends_of
from solver.case_parts import Field
from solver.field.lean import ends_at, seams_at
from solver.findings.of_case import show
from solver.findings.seam_order import seam_numbers, sides
from solver.panels.legs import panel_numbers
from solver.result import Finding, JudgedPenetration, JudgedPlane
from solver.units import format_length

STANDS, TALL, SEAMER = "stands-before", "tall", "seamer-room"


@dataclass(frozen=True, slots=True)
class Laid:
    """A panel of a plane: its number and where it lies (x, ticks)."""

    number: int
    low: int
    high: int


def panels_of(case: Case, plane: Plane, judged: JudgedPlane, y: int = 0) -> list[Laid]:
    """The panels of a plane in increasing x, numbered as `solver.layout` says, where they lie `y`
    up the slope."""
    numbers = panel_numbers(case, plane, judged.seams)
    low, high = ends_at(plane, y)
    bounds = pairwise((low, *seams_at(plane, judged.seams, y), high))
    return [Laid(number, low, high) for number, (low, high) in zip(numbers, bounds, strict=True)]


def touched(panels: list[Laid], pen: Penetration, stands: JudgedPenetration) -> list[int]:
    """The numbers of the panels that the body of a penetration takes something of, in the order of
    laying."""
    body = pen.outside or pen.across
    low2, high2 = 2 * stands.x - body, 2 * stands.x + body
    numbers = [one.number for one in panels if 2 * one.low < high2 and 2 * one.high > low2]
    return sorted(numbers, key=lambda number: (abs(number), -number))


def before_panels(case: Case, pen: Penetration) -> bool:
    """Whether a penetration stands there before the panels go on.

    As the case says; else whatever is fixed in a re-roof, and a pipe that is roughed in.
    """
    if pen.before is not None:
        return pen.before
    return (pen.status == "fixed" and case.setting == "reroof") or pen.status == "stubbed"


def standing_notes(
    case: Case, limits: Field, pen: Penetration, numbers: list[int]
) -> Iterator[Finding]:
    """What to mind of a penetration before the panels it touches (`numbers`) go on."""
    stands = before_panels(case, pen)
    many = len(numbers) > 1
    panel = f"panel{'s' if many else ''} {_joined(numbers)}"
    tall = pen.height is not None and pen.height > limits.hook
    if stands and pen.kind == "curb":
        yield Finding(STANDS, "note", (pen.id,), (
            f"{pen.id} stands before {panel} {'go' if many else 'goes'} on: cut {panel} round it, "
            "from its true place."
        ))
    elif stands:
        how = ("slit the pan to it or make it in two pieces" if tall else
               "drop the pan over it or slit the pan to it")
        yield Finding(STANDS, "note", (pen.id,), (
            f"{pen.id} stands before {panel} {'go' if many else 'goes'} on: {how}, marked from its "
            "true place."
        ))
    if pen.kind != "pipe" or pen.before is False:
        return
    if tall and pen.height is not None:
        when = "" if stands else ", if it stands by then"
        yield Finding(TALL, "warning", (pen.id,), (
            f"{pen.id} is tall: {show(case, pen.height)} above the roof, over "
            f"{show(case, limits.hook)} a pan cannot be hooked and dropped over it{when}."
        ))


def seamer_notes(
    case: Case, plane: Plane, judged: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> Iterator[tuple[int, Finding]]:
    """Seams (x at the eave) beside a penetration at which a seaming machine lacks room, from low to
    high x.

    The room is from the body to the side of the seam; seams that a curb cuts, or that land on its
    wall, have no machine run past it.
    """
    need, body = case.rules.seamer_gap, pen.outside or pen.across
    if not need:
        return
    low, high = ends_of(plane, pen)
    numbers = dict(zip(judged.seams, seam_numbers(plane, judged.seams), strict=True))
    for foot, seam in zip(judged.seams, seams_at(plane, judged.seams, pen.y), strict=True):
        if not low < seam < high:
            continue
        below, above = sides(case, plane, foot)
        own = max(below, above) if seam == stands.x else above if seam < stands.x else below
        off2 = 2 * abs(stands.x - seam)
        gap2 = off2 - 2 * own - body
        if gap2 >= 2 * need or (pen.kind == "curb" and not _whole(stands, seam)):
            continue
        if pen.kind == "curb" and stands.landed is not None and abs(off2 - body) <= 2 * (
            case.rules.land_tol
        ):
            continue
        asked = show(case, need)
        room = format_length(gap2, case.units, case.mark, how="down")
        says = (
            f"Seaming machine: only {room} beside {pen.id} at seam {numbers[foot]}, it needs "
            f"{asked}: close the seam by hand there."
            if gap2 > 0 else
            f"Seaming machine: no room at all beside {pen.id} at seam {numbers[foot]}, it needs "
            f"{asked}: close the seam by hand there."
        )
        yield foot, Finding(SEAMER, "warning", (pen.id,), says)


def _whole(stands: JudgedPenetration, seam: int) -> bool:
    """Whether a curb leaves a seam whole."""
    low = stands.seam_low is not None and seam <= stands.seam_low
    return low or (stands.seam_high is not None and seam >= stands.seam_high)


def _joined(numbers: list[int]) -> str:
    texts = [str(number) for number in numbers]
    if len(texts) > 3 and abs(numbers[-1] - numbers[0]) == len(texts) - 1:
        return f"{texts[0]} to {texts[-1]}"
    return texts[0] if len(texts) == 1 else ", ".join(texts[:-1]) + " and " + texts[-1]
