"""What the reader must know about a case before any layout is chosen."""

from __future__ import annotations

from collections.abc import Iterator
from math import isqrt

from solver.case import Case, Keepout, Penetration, Plane, needed2
from solver.findings.of_movement import movement_findings
from solver.findings.of_roof import WIDE_CURB, near_ends, roof_findings
from solver.findings.of_survey import survey_findings
from solver.result import Finding
from solver.units import TICKS_PER_INCH, format_length

MOST_PAIRS = 200
"""Near pairs named one by one; what is beyond is counted."""
MOST_PLAY = TICKS_PER_INCH // 8
"""More play than this a panel is not common: 1/8 in, 3 mm; common practice, no source."""


def _wide(case: Case) -> str:
    return "600 mm (23 5/8 in)" if case.units == "in" else "600 mm"


def show(case: Case, ticks: int, *, feet: bool = False) -> str:
    """A length in ticks as the case's reader writes it."""
    return format_length(2 * ticks, case.units, case.mark, feet=feet)


def case_findings(case: Case) -> list[Finding]:
    """Findings that follow from the case alone, in case order."""
    found: list[Finding] = []
    if guesses := guessed_rates(case):
        names = ", ".join(guesses)
        found.append(Finding(
            "rates-default", "warning", (),
            f"These rates are guesses until the case gives the estimator's own: {names}.",
        ))
    for plane in case.planes:
        if plane.width < case.rules.min_end:
            found.append(Finding(
                "narrow-plane", "warning", (plane.id,),
                f"Plane {plane.id} is {show(case, plane.width)} wide, narrower than the least end "
                f"panel of {show(case, case.rules.min_end)}.",
            ))
    found += _wide_play(case)
    found += _same_lay(case)
    for pen in case.penetrations:
        found += _alone(case, pen)
    for plane in case.planes:
        found += _pairs(case, plane)
    found += roof_findings(case)
    found += movement_findings(case)
    found += survey_findings(case)
    return found


def guessed_rates(case: Case) -> list[str]:
    """The rates that are still guesses, those left out that nothing in the case can be charged."""
    unused = [
        name
        for name, charged in (
            ("play", case.rules.play),
            ("off_centre", case.centres),
            ("unlanded", any(pen.detail == "ribbed" for pen in case.penetrations)),
        )
        if not charged
    ]
    return [name for name in case.rates.default if name not in unused]


def _wide_play(case: Case) -> Iterator[Finding]:
    if case.rules.play > MOST_PLAY:
        yield Finding(
            "wide-play", "warning", (),
            f"A play of {show(case, case.rules.play)} a panel is more than the "
            f"{'1/8 in' if case.units == 'in' else '3 mm'} that is common (practice, no source): "
            "has the panel maker agreed to it?",
        )


def _same_lay(case: Case) -> Iterator[Finding]:
    planes = {plane.id: plane for plane in case.planes}
    for link in case.links:
        if link.along in ("hip", "valley"):
            continue  # no gable to start from
        one, other = (planes[name] for name in link.planes)
        if link.how == "mirror" and one.lay == other.lay and one.lay != "from":
            yield Finding(
                "same-lay", "warning", link.planes,
                f"Planes {one.id} and {other.id} share a ridge and are both laid {one.lay}: they "
                "start from opposite gables. Slopes that start from the same gable have opposite "
                "lay.",
            )


def _alone(case: Case, pen: Penetration) -> Iterator[Finding]:
    plane = next(p for p in case.planes if p.id == pen.plane)
    panel = case.panel
    what = f"{pen.kind} {pen.id}"
    if case.setting == "reroof" and pen.written_status != "fixed":
        yield Finding(
            "reroof-status", "warning", (pen.id,),
            f"{what} is given as {pen.written_status}; in a re-roof everything is fixed, so it is "
            "read as fixed.",
        )
    elif pen.hold is not None and pen.written_status != "fixed":
        yield Finding(
            "held", "note", (pen.id,),
            f"{what} is given as {pen.written_status} but held ({pen.hold}): it is read as fixed.",
        )
    if pen.kind == "pipe" and (pen.reach_low or pen.reach_high) and not _any_step(case, pen):
        yield Finding(
            "no-move", "warning", (pen.id,),
            f"{what} is {pen.status} but cannot move: no whole step of {show(case, case.step)} "
            "lies between its smallest offset and its reach.",
        )
    if pen.makeable == ():
        yield Finding(
            "no-fitting", "warning", (pen.id,),
            f"{what}: no two equal fittings of nominal size {pen.nominal} make an offset within "
            "its reach and headroom, so it stays where it is.",
        )
    sizes = {fitting.nominal for fitting in case.fittings}
    if pen.status == "stubbed" and sizes and pen.nominal not in sizes:
        yield Finding(
            "no-fitting-size", "note", (pen.id,),
            f"{what} is stubbed in and its nominal size ({pen.nominal or 'not given'}) has no "
            f"entry in [fittings], which has {', '.join(sorted(sizes))}: any offset from "
            f"{show(case, pen.min_offset)} is taken to be possible.",
        )
    flat = panel.cover - panel.seam_back - panel.seam_fwd
    if pen.kind == "pipe" and flat < needed2(pen, case.rules):
        need = format_length(2 * needed2(pen, case.rules), case.units, case.mark)
        yield Finding(
            "wide-base", "warning", (pen.id,),
            f"{what} cannot be clear in a full pan: it needs {need} of flat, and there are "
            f"{show(case, flat)}.",
        )
    taken = pen.base if pen.kind == "pipe" else pen.across
    if 2 * taken > panel.cover:
        part = "flashing" if pen.kind == "pipe" else "width"
        yield Finding(
            "blocked-pan", "warning", (pen.id,),
            f"{what} blocks over half the pan: its {part} is {show(case, taken)} of "
            f"{show(case, panel.cover)}. Water must get past it.",
        )
    if pen.kind == "curb" and pen.across > WIDE_CURB:
        yield Finding(
            "wide-curb", "warning", (pen.id,),
            f"{what} is {show(case, pen.across)} across: above {_wide(case)} it needs a cricket or "
            "diverter.",
        )
    yield from near_ends(case, plane, pen)
    for keepout in plane.keepouts:
        if _inside(keepout, pen):
            named = f" ({keepout.what})" if keepout.what else ""
            yield Finding(
                "in-keepout", "warning", (pen.id,),
                f"{what} as drawn stands in a keep-out from "
                f"{show(case, keepout.x_from, feet=True)} to "
                f"{show(case, keepout.x_to, feet=True)}{named}.",
            )


def _any_step(case: Case, pen: Penetration) -> bool:
    """Whether some whole step is within reach, whatever stands there."""
    least = max(pen.min_offset if pen.status == "stubbed" else 1, 1)
    first = -(-least // case.step) * case.step
    return first <= max(pen.reach_low, pen.reach_high)


def _inside(keepout: Keepout, pen: Penetration) -> bool:
    """Whether a body overlaps a keep-out; touching is not inside."""
    dx2 = 2 * max(keepout.x_from - pen.x, pen.x - keepout.x_to, 0)
    dy2 = 0
    if keepout.y_from is not None and keepout.y_to is not None:
        dy2 = 2 * max(keepout.y_from - pen.y, pen.y - keepout.y_to, 0)
    if pen.kind == "curb":
        return dx2 < pen.across and dy2 < pen.along
    return dx2 * dx2 + dy2 * dy2 < pen.outside * pen.outside


def _pairs(case: Case, plane: Plane) -> Iterator[Finding]:
    """Pairs nearer than `spacing` as drawn, by a sweep along the eave."""
    members = sorted(
        (case.penetrations[i] for i in case.on(plane.id)),
        key=lambda pen: 2 * pen.x - pen.outside - pen.across,
    )
    named = beyond = 0
    active: list[Penetration] = []
    for pen in members:
        start2 = 2 * pen.x - pen.outside - pen.across
        active = [
            a for a in active
            if 2 * a.x + a.outside + a.across + 2 * case.rules.spacing > start2
        ]
        for other in active:
            square2, body2 = _apart(pen, other)
            if square2 < 0:
                code, says = "overlap", "overlap as drawn"
            elif square2 < (body2 + 2 * case.rules.spacing) ** 2:
                code = "near-pair"
                gap2 = isqrt(square2) - body2
                apart = format_length(gap2, case.units, case.mark, how="down")
                says = (
                    f"stand {apart} apart, body to body, nearer than the spacing of "
                    f"{show(case, case.rules.spacing)}"
                )
            else:
                continue
            named += 1
            if named > MOST_PAIRS:
                beyond += 1
                if beyond > 10 * MOST_PAIRS:
                    break
                continue
            yield Finding(
                code, "warning", (other.id, pen.id), f"{other.id} and {pen.id} {says}."
            )
        active.append(pen)
        if beyond > 10 * MOST_PAIRS:
            break
    if beyond:
        yield Finding(
            "near-pair", "warning", (plane.id,),
            f"Plane {plane.id} has at least {beyond} more pairs that stand too near each other.",
        )


def _apart(one: Penetration, other: Penetration) -> tuple[int, int]:
    """Squared distance in half ticks between what is left after the rectangles are taken off.

    Returns (square, radii): the bodies clear each other where the root of `square` is at least
    `radii`. `square` is -1 where they overlap.
    """
    gap_x2 = max(2 * abs(one.x - other.x) - one.across - other.across, 0)
    gap_y2 = max(2 * abs(one.y - other.y) - one.along - other.along, 0)
    body2 = one.outside + other.outside
    square = gap_x2 * gap_x2 + gap_y2 * gap_y2
    curbs = one.kind == "curb" and other.kind == "curb"
    if (curbs and not gap_x2 and not gap_y2 and not _touching(one, other)) or square < body2**2:
        return -1, body2
    return square, body2


def _touching(one: Penetration, other: Penetration) -> bool:
    """Two rectangles that share an edge but no area."""
    return (
        2 * abs(one.x - other.x) == one.across + other.across
        or 2 * abs(one.y - other.y) == one.along + other.along
    )
