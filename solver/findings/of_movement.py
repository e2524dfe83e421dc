"""What heat does to a roof, as far as the case alone tells: pinned panels, travel at the ends.

Where panels are laid does not matter on a plain rectangle whose panels are made in one length, and
figures are exact there; elsewhere they are the most that any layout comes to.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import ceil

from solver.case import Case, Penetration, Plane
from solver.case_parts import Metal, Movement
from solver.field.heat import GAP_STEP, coefficient, expansion, fixed_point, up_to_step
from solver.result import Finding
from solver.shape.pieces import pieces_of
from solver.units import format_length, say_length


def movement_findings(case: Case) -> Iterator[Finding]:
    """Flashings that pin a panel, then how far the ends of each plane's panels travel.

    Nothing where the case has no [movement].
    """
    movement = case.movement
    if movement is None:
        return
    metal: Metal = case.sheet.metal if case.sheet else "steel"
    alpha = coefficient(metal)
    most_kelvin = max(movement.warmer, movement.colder)
    planes = {plane.id: plane for plane in case.planes}
    for pen in case.penetrations:
        if pen.allows is None:
            continue
        free, exact = most_free(case, movement, planes[pen.plane], pen)
        moves = ceil(expansion(alpha, free, most_kelvin))
        if pen.allows < moves:
            need = _up(case, moves)
            yield Finding(
                "pinned", "warning", (pen.id,),
                f"{pen.kind} {pen.id} pins the panel: its flashing allows "
                f"{say_length(pen.allows, case.units)} either way, and the panel moves "
                f"{'' if exact else 'up to '}{need} there ({_far(case, movement, free)}; {metal}, "
                f"{_warm(case, movement)}). Pipes and curbs must never pin a panel: allow {need} "
                "or more.",
            )
    for plane in case.planes:
        yield _ends(case, movement, plane, metal, alpha)


def most_free(
    case: Case, movement: Movement, plane: Plane, pen: Penetration
) -> tuple[Fraction, bool]:
    """The most metal there can be between a penetration and where its panel is fixed (ticks), and
    whether it is so in every layout.

    Of a curb it is the wall that is farther off.
    """
    walls = [pen.y + Fraction(side * pen.along, 2) for side in (-1, 1)]
    spans, exact = _spans(case, plane, pen)
    free = Fraction(0)
    for low, high in spans:
        for wall in walls:
            at = min(max(wall, low), high)
            if exact or movement.fixed != "middle":
                free = max(free, abs(at - fixed_point(movement.fixed, low, high)))
            else:  # a shorter panel has its middle elsewhere
                free = max(free, (at - low) / 2, (high - at) / 2)
    return _within_a_length(case, movement, plane, free, exact), exact


def _spans(
    case: Case, plane: Plane, pen: Penetration
) -> tuple[list[tuple[Fraction, Fraction]], bool]:
    """From where to where panels at a penetration can reach; whether they do so however laid."""
    if plane.outline is None and not plane.holes:
        return [(Fraction(0), Fraction(plane.length))], not _may_be_lapped(case, plane)
    # No panel that its flashing touches reaches farther along the eave than a panel beyond it.
    widest = case.panel.cover + case.rules.play + max(pen.base, pen.outside, pen.across)
    stops = (pen.x - pen.reach_low - widest, pen.x + pen.reach_high + widest)
    low, high = max(stops[0], 0), min(stops[1], plane.width)
    pieces = [
        piece
        for piece in pieces_of(plane, [x for x in stops if 0 < x < plane.width])
        if piece.low < high and piece.high > low
    ]
    half = Fraction(pen.along, 2)
    meet = [p for p in pieces if p.y_low <= pen.y + half and p.y_high >= pen.y - half] or pieces
    return [(piece.y_low, piece.y_high) for piece in meet], False


def _may_be_lapped(case: Case, plane: Plane) -> bool:
    """Whether panels as long as the slope, hooked and turned up, may be too long to be made."""
    sheet = case.sheet
    if sheet is None or sheet.max_length is None:
        return False
    return plane.length + sheet.eave_hook + sheet.ridge_up > sheet.max_length


def _within_a_length(
    case: Case, movement: Movement, plane: Plane, free: Fraction, exact: bool
) -> Fraction:
    """No more metal than one length has; half of it where that is fixed in its middle.

    Lengths that only a curb parts count as one (see `solver.field.movement`).
    """
    longest = case.sheet.max_length if case.sheet else None
    parted = any(case.penetrations[i].kind == "curb" for i in case.on(plane.id))
    if exact or parted or longest is None:
        return free
    return min(free, Fraction(longest, 2 if movement.fixed == "middle" else 1))


def _ends(
    case: Case, movement: Movement, plane: Plane, metal: Metal, alpha: Fraction
) -> Finding:
    low, high = Fraction(0), Fraction(plane.length)
    exact = plane.outline is None and not plane.holes and not _may_be_lapped(case, plane)
    fixed = fixed_point(movement.fixed, low, high)
    swing = Fraction(movement.warmer) + Fraction(movement.colder)
    says = []
    for free, where in ((fixed - low, "lower"), (high - fixed, "upper")):
        most = _within_a_length(case, movement, plane, free, exact)
        if most:
            travel = ceil(expansion(alpha, most, swing))
            says.append(f"{_up(case, travel)} at their {where} ends")
    return Finding(
        "clip-travel", "note", (plane.id,),
        f"Plane {plane.id}: panels of {metal}, fixed {_fixed(case, movement)}, travel "
        f"{'' if exact else 'up to '}{' and '.join(says)} from their coldest to their hottest "
        f"({_warm(case, movement)}). Clips and trim must let them; pipes and curbs must never pin "
        "a panel. The panel maker's details come first.",
    )


def _up(case: Case, ticks: int) -> str:
    """A length rounded up to whole sixteenths or millimetres, so that it is never short."""
    return format_length(2 * up_to_step(ticks, case.units), case.units, GAP_STEP[case.units])


def _far(case: Case, movement: Movement, free: Fraction) -> str:
    where = _fixed(case, movement)
    far = format_length(2 * ceil(free), case.units, case.mark, feet=True)
    return f"{far} of metal to where it is fixed, {where}"


def _fixed(case: Case, movement: Movement) -> str:
    if movement.fixed == "middle":
        return "in the middle"
    if isinstance(movement.fixed, int):
        height = format_length(2 * movement.fixed, case.units, case.mark, feet=True)
        return f"{height} up the slope"
    return f"at the {movement.fixed}"


def _warm(case: Case, movement: Movement) -> str:
    def said(kelvin: Decimal) -> str:
        return f"{float(kelvin):.4g} K" if case.units == "mm" else (
            f"{float(kelvin * 9 / 5):.4g} F degrees"
        )

    return f"{said(movement.warmer)} warmer, {said(movement.colder)} colder than when laid"
