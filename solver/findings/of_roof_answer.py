"""Findings on layouts that were found or chosen: centres missed, walls without a seam, split pans.

A name ending in `2` counts half ticks.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from solver.case import Case, Penetration, Plane
from solver.case_parts import Centre, EdgeKind
from solver.findings.of_roof import EDGE_WORDS
from solver.findings.seam_order import at_height, seam_numbers, sides
from solver.panels.legs import allowance
from solver.result import Finding, Judged, JudgedCentre, JudgedPenetration, JudgedPlane
from solver.shape.edges import edges_of
from solver.units import format_length

Named = Sequence[tuple[str, Judged]]


class Stop(NamedTuple):
    """Where the roof ends along a panel: at `y` (ticks), at an edge of a kind."""

    y: Fraction
    kind: EdgeKind


def roof_verdicts(case: Case, named: Named) -> list[Finding]:
    """What to know of layouts, each under its name ("Layout 1"): of all of them what was wanted and
    missed, of the first the pans it splits."""
    found = []
    for name, judged in named:
        found += [*_off_centre(case, name, judged), *_unlanded(case, name, judged)]
    for name, judged in named[:1]:
        found += _split_pans(case, name, judged)
    return found


def binding_seam(
    case: Case, plane: Plane, laid: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> int | None:
    """The seam (ticks) that leaves a pipe the least room; None where an end of the roof does."""
    x, laid = stands.x, at_height(plane, laid, pen.y)
    least: int | None = None
    binding: int | None = None
    if is_seam(laid, x):
        least, binding = -max(sides(case, plane, x)), x
    for seam, facing in ((stands.seam_low, 1), (stands.seam_high, 0)):
        if seam is None:
            continue
        room = abs(x - seam) - sides(case, plane, seam)[facing]
        if least is None or room < least:
            least, binding = room, seam
    low, high = pen.ends or (0, plane.width)
    end = min(x - low, high - x) - case.rules.end_lap
    return binding if least is not None and least <= end else None


def is_seam(laid: JudgedPlane, x: int) -> bool:
    """Whether a seam stands exactly there (ticks)."""
    place = bisect_left(laid.seams, x)
    return place < len(laid.seams) and laid.seams[place] == x


def wall_gaps2(pen: Penetration, laid: JudgedPlane) -> tuple[int | None, int | None]:
    """How far the nearest seam is off a curb's wall of smaller x, and off that of larger x.

    Half ticks, + where the seam stands at larger x; None where the plane has no seam.
    """
    low, high = (_nearest2(laid, 2 * pen.x + side) for side in (-pen.across, pen.across))
    return low, high


def _nearest2(laid: JudgedPlane, x2: int) -> int | None:
    """From there to the nearest seam; of two equally near that of smaller x."""
    place = bisect_left(laid.seams, x2, key=lambda seam: 2 * seam)
    near = [2 * seam - x2 for seam in laid.seams[max(place - 1, 0) : place + 1]]
    return min(near, key=lambda off2: (abs(off2), off2)) if near else None


def _off_centre(case: Case, name: str, judged: Judged) -> Iterator[Finding]:
    planes = {plane.id: plane for plane in case.planes}
    for asked, centre in zip(case.centres, judged.centres, strict=True):
        if not centre.hit:
            yield Finding(
                "off-centre", "warning", (centre.plane,),
                f"{name}: {centre_words(case, planes[centre.plane], asked, centre)}.",
            )


def centre_words(case: Case, plane: Plane, asked: Centre, centre: JudgedCentre) -> str:
    """Whether a pan or a rib stands where one was asked for, and how far off; no full stop.

    The text of the case is in it as it is: who shows it cleans it.
    """
    where = f"{centre.what} of plane {plane.id} ({_place(case, 2 * centre.at)})"
    which = "its middle is" if centre.on == "pan" else "it is"
    if centre.off2 is None:
        return f"NO {centre.on} stands on the {where}: the plane has no seam"
    off = "exactly there"
    if centre.off2:
        off = (f"{_near(case, abs(centre.off2))} off, towards the "
               f"{plane.high_end if centre.off2 > 0 else plane.low_end}")
    if centre.hit:
        return f"a {centre.on} stands on the {where}: {which} {off}"
    which = "the middle of the nearest is" if centre.on == "pan" else "the nearest is"
    return (f"NO {centre.on} stands on the {where}: {which} {off}; {_near(case, 2 * asked.tol)} is "
            "allowed")


def _unlanded(case: Case, name: str, judged: Judged) -> Iterator[Finding]:
    planes = {plane.id: plane for plane in case.planes}
    laid = {plane.id: plane for plane in judged.planes}
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        if stands.landed is None or all(stands.landed):
            continue
        plane = planes[pen.plane]
        gaps = wall_gaps2(pen, at_height(plane, laid[pen.plane], pen.y))
        walls = []
        for high, (landed, off2) in enumerate(zip(stands.landed, gaps, strict=True)):
            if not landed:
                end = plane.high_end if high else plane.low_end
                off = "there is none" if off2 is None else f"{_near(case, abs(off2))} off"
                walls.append(f"its wall towards the {end} (the nearest seam: {off})")
        yield Finding(
            "unlanded", "warning", (pen.id,),
            f"{name}: curb {pen.id} carries its own ribs, but no seam lands on "
            f"{' and '.join(walls)}; {_near(case, 2 * case.rules.land_tol)} is allowed.",
        )


def _split_pans(case: Case, name: str, judged: Judged) -> Iterator[Finding]:
    planes = {plane.id: plane for plane in case.planes}
    laid = {plane.id: plane for plane in judged.planes}
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        if pen.kind != "pipe" or stands.state != "on-seam":
            continue
        plane, seams = planes[pen.plane], laid[pen.plane]
        seam = binding_seam(case, plane, seams, pen, stands)
        if seam is None:
            continue  # it meets an end of the roof: no pan to splice
        there = at_height(plane, seams, pen.y).seams
        number = seam_numbers(plane, there)[bisect_left(there, seam)]
        low, high = chord(plane, stands.x, pen.y)
        bottom2 = 2 * pen.y - pen.outside - 2 * case.rules.split_below
        top2 = 2 * pen.y + pen.outside
        short = bottom2 < 2 * low.y
        bottom2 = max(bottom2, ceil(2 * low.y))
        below = _near(case, 2 * case.rules.split_below)
        start = f"{below} below its body" if not short else (
            f"the {EDGE_WORDS[low.kind]}, nearer below its body than {below},")
        says = (
            f"{name}: pipe {pen.id} meets seam {number}, so its pan is split: a splice from "
            f"{start} to the top of it is {_near(case, top2 - bottom2)} long, from "
            f"{_place(case, bottom2)} to {_place(case, top2)} up the slope"
        )
        keep = "Keep it off end laps and fixed points"
        lap2 = 0 if case.sheet is None else 2 * case.sheet.lap
        near = next(
            (at2 for at2 in end_laps2(case, low, high)
             if at2 - top2 < lap2 and bottom2 - (at2 + lap2) < lap2), None,
        )
        if near is not None:
            keep = (
                f"Equal lengths would lap at {_place(case, floor(near))} to "
                f"{_place(case, floor(near + lap2))}, nearer to it than {_near(case, lap2)}: shift "
                "the lap, and keep the splice off fixed points"
            )
        yield Finding(
            "split-pan", "note" if near is None and not short else "warning", (pen.id,),
            f"{says}. {keep}.",
        )


def end_laps2(case: Case, low: Stop, high: Stop) -> list[Fraction]:
    """Lower edges (half ticks) of the laps that a panel between two stops needs, were it of equal
    lengths no longer than they may be; none where it is short enough."""
    sheet = case.sheet
    if sheet is None or sheet.max_length is None or sheet.max_length <= sheet.lap:
        return []
    bottom = low.y - allowance(sheet, low.kind)
    whole = high.y + allowance(sheet, high.kind) - bottom
    if whole <= sheet.max_length:
        return []
    count = ceil((whole - sheet.lap) / (sheet.max_length - sheet.lap))
    step = (whole - sheet.lap) / count
    return [2 * (bottom + number * step) for number in range(1, count)]


def chord(plane: Plane, x: int, y: int) -> tuple[Stop, Stop]:
    """Where the roof ends straight below and straight above a point on it (ticks)."""
    met = [
        Stop(edge.y_at(x), edge.kind) for edge in edges_of(plane)
        if not edge.upright and min(edge.start[0], edge.end[0]) <= x
        and x <= max(edge.start[0], edge.end[0])
    ]
    return (
        max((stop for stop in met if stop.y <= y), key=lambda stop: stop.y,
            default=Stop(Fraction(0), "eave")),
        min((stop for stop in met if stop.y >= y), key=lambda stop: stop.y,
            default=Stop(Fraction(plane.length), "ridge")),
    )


def _near(case: Case, halves: int) -> str:
    return format_length(halves, case.units, case.mark)


def _place(case: Case, halves: int) -> str:
    return format_length(halves, case.units, case.mark, feet=True)
