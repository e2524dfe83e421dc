"""Curbs as the panels meet them, and the panels laid across above curbs of detail "close".

Above such a curb the roof between the seams beside it is covered by panels laid across, so the
panels in there stop at the curb's upper edge.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from solver.case import Case, Penetration, Plane
from solver.case_parts import Sheet
from solver.panels.legs import Sides
from solver.panels.parts import LEGS, Across, Leg, sheet_width
from solver.result import JudgedPenetration
from solver.shape.pieces import Piece

Placed = tuple[Penetration, JudgedPenetration]
Zone = tuple[Penetration, int, int]
"""A close curb and the x of what its panels across lie between."""


def boxes(placed: Iterable[Placed], seams: Sequence[int], land_tol: int) -> list[Penetration]:
    """The curbs of a plane where they stand.

    A ribbed one is as wide as the seams it landed on. A seam within `land_tol` beside the wall of
    any other counts as at the wall: what is left between them is no panel.
    """
    found: list[Penetration] = []
    for pen, stands in placed:
        if pen.kind != "curb":
            continue
        curb = replace(pen, x=stands.x)
        walls2 = (2 * curb.x - curb.across, 2 * curb.x + curb.across)
        landed = stands.landed or (False, False)
        at: list[int | None] = []
        for wall2, on, outwards in zip(walls2, landed, (-1, 1), strict=True):
            seam = _nearest(seams, wall2)
            beside = seam is not None and 0 < outwards * (2 * seam - wall2) <= 2 * land_tol
            at.append(seam if on or (beside and curb.detail != "ribbed") else None)
        if at == [None, None]:
            found.append(curb)
            continue
        low = walls2[0] // 2 if at[0] is None else at[0]
        high = -(-walls2[1] // 2) if at[1] is None else at[1]
        found += _from_to(curb, low, high)
    return found


def _nearest(seams: Sequence[int], at2: int) -> int | None:
    return min(seams, key=lambda seam: abs(2 * seam - at2), default=None)


def _from_to(curb: Penetration, low: int, high: int) -> list[Penetration]:
    """A curb that reaches from `low` to `high`: where its middle is no whole tick, as two that
    overlap and together do."""
    odd = (high - low) % 2
    spans = {(low, high - odd), (low + odd, high)}
    return [
        replace(curb, x=(one + other) // 2, across=other - one) for one, other in sorted(spans)
    ]


def zones(plane: Plane, placed: Iterable[Placed]) -> list[Zone]:
    """The close curbs of a plane with the seams, or the ends of the roof, beside each."""
    found = []
    for pen, stands in placed:
        if pen.kind == "curb" and pen.detail == "close":
            low = 0 if stands.seam_low is None else stands.seam_low
            high = plane.width if stands.seam_high is None else stands.seam_high
            found.append((replace(pen, x=stands.x), low, high))
    return found


def above(plane: Plane, zone: Zone) -> list[Penetration]:
    """What the panels across take up, as if it were the curb's: from its upper edge all the way up.
    """
    curb, low, high = zone
    more = 2 * plane.length
    tall = replace(curb, y=curb.y + curb.along + more // 2, along=curb.along + more)
    return _from_to(tall, low, high)


def across_of(
    case: Case, sheet: Sheet, zone: Zone, pieces: Sequence[Piece], legs: dict[int, Sides],
    name: str,
) -> Across | None:
    """The panels across above a close curb; None where the roof ends at the curb.

    `pieces` are those of the plane as if no panels lay across; `legs` says by the x of a seam
    which legs stand there, of the panel below it in x and of the one above. A panel across is
    locked into the long panels beside it: it has the leg at each end that theirs takes.
    """
    curb, low, high = zone
    upper = curb.y + Fraction(curb.along, 2)
    over = [p for p in pieces if low <= p.low and p.high <= high and p.y_high > upper]
    if not over:
        return None
    height = max(p.y_high for p in over) - upper
    between = max(p.high for p in over) - min(p.low for p in over)
    left = _counterpart(legs[low][0]) if low in legs else "turned up"
    right = _counterpart(legs[high][1]) if high in legs else "turned up"
    takes = {"male": sheet.male, "female": sheet.female, "turned up": sheet.turn_up}
    return Across(
        name=name, curb=curb.id, count=-(-height // case.panel.cover), between=between,
        length=between + takes[left] + takes[right], height=height, left=left, right=right,
        width=sheet_width(case, sheet),
    )


def _counterpart(leg: Leg) -> Leg:
    """The leg that goes together with a neighbour's."""
    assert leg in LEGS
    return "female" if leg == "male" else "male"
