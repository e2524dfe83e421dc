"""Sheets, their area and end laps of a laid roof, as the take-off counts them.

One sheet for every strip between seams that has roof in it, as long as that strip from its lowest
to its highest point and as wide as a full panel takes; the first and the last panel of a plane laid
from one end share a sheet where both and their turn-ups fit in one cover. Hooks, turn-ups at the
ends of panels and what is saved by cutting drops are not in it: that is for the panel list.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Final

from solver.case import Case, Penetration, Plane
from solver.case_parts import EdgeKind, Sheet
from solver.result import Judged, JudgedPlane
from solver.shape.edges import Edge, edges_of
from solver.shape.outline import strip_length
from solver.shape.pieces import Piece, pieces_of
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

AREA_UNIT: Final = {"in": (12 * TICKS_PER_INCH) ** 2, "mm": (1000 * TICKS_PER_MM) ** 2 // 10}
"""Square ticks in a square foot, and in a tenth of a square metre."""


@dataclass(frozen=True, slots=True)
class Stock:
    """Area without and of the sheets for odd panels (square feet, or square metres to a tenth;
    rounded up for each plane), number of sheets, number of end laps.
    """

    area: Decimal
    odd_area: Decimal
    sheets: int
    laps: int


def stock_of(case: Case, judged: Judged, sheet: Sheet) -> Stock:
    """The stock of all planes."""
    wide = case.panel.cover + sheet.male + sheet.female
    unit = AREA_UNIT[case.units]
    area = odd_area = sheets = laps = 0
    for plane, laid in zip(case.planes, judged.planes, strict=True):
        curbs = [
            case.penetrations[i] for i in case.on(plane.id) if case.penetrations[i].kind == "curb"
        ]
        lapped = _laps(plane, laid, sheet, curbs)
        odd = {(panel.low, panel.high) for panel in laid.odd}
        plain_ticks = odd_ticks = 0
        for strip in _sheets(case, plane, laid, sheet):
            if strip[0] in odd:
                odd_ticks += max(plane_length(plane, *panel) for panel in strip)
            else:
                plain_ticks += max(plane_length(plane, *panel) for panel in strip)
            sheets += 1 + max(lapped.get(panel[0], 0) for panel in strip)
        area += -(-wide * plain_ticks // unit)
        odd_area += -(-wide * odd_ticks // unit)
        laps += sum(lapped.values())
    scale = 1 if case.units == "in" else 10
    return Stock(Decimal(area) / scale, Decimal(odd_area) / scale, sheets, laps)


def plane_length(plane: Plane, low: int, high: int) -> int:
    """How far up the slope a strip reaches from its lowest to its highest point (ticks)."""
    return plane.length if plane.outline is None else strip_length(plane, low, high)


def _sheets(
    case: Case, plane: Plane, laid: JudgedPlane, sheet: Sheet
) -> list[tuple[tuple[int, int], ...]]:
    """The panels (low, high) that every sheet makes: one, or the first and the last."""
    bounds = (0, *laid.seams, plane.width)
    strips = list(pairwise(bounds))
    panels = [strip for strip in strips if plane_length(plane, *strip)]
    first, last = strips[0], strips[-1]
    ends = first[1] - first[0] + last[1] - last[0] + 2 * sheet.turn_up
    shares = len(strips) > 1 and plane.start is None and ends <= case.panel.cover
    if shares and first in panels and last in panels:
        return [(first, last), *((panel,) for panel in panels[1:-1])]
    return [(panel,) for panel in panels]


def _laps(
    plane: Plane, laid: JudgedPlane, sheet: Sheet, curbs: Sequence[Penetration]
) -> dict[int, int]:
    """End laps by the low end of the strip: pieces longer than the longest panel there can be."""
    most = sheet.max_length
    longest = plane.length + 2 * max(_allowance(sheet, kind) for kind in ("eave", "ridge", "hip",
                                                                         "valley", "wall"))
    if most is None or longest <= most:
        return {}
    found: dict[int, int] = {}
    edges = edges_of(plane)
    bounds = (0, *laid.seams, plane.width)
    for piece in pieces_of(plane, laid.seams, curbs):
        low = bounds[piece.panel - 1]
        found[low] = found.get(low, 0) + laps_in(_cut_length(piece, edges, sheet), most, sheet.lap)
    return found


def laps_in(length: Fraction | int, most: int, lap: int) -> int:
    """Least number of laps with which sheets of at most `most` make a panel of `length`."""
    if length <= most:
        return 0
    return -(-(length - lap) // max(most - lap, 1)) - 1


def _cut_length(piece: Piece, edges: Sequence[Edge], sheet: Sheet) -> Fraction:
    """A piece from its lowest to its highest point, with what its ends are longer than the roof."""
    below = above = 0
    for edge in edges:
        if edge.upright or not _bounds(piece, edge):
            continue
        more = _allowance(sheet, edge.kind)
        if edge.end[0] > edge.start[0]:  # the roof is on its left: above it
            below = max(below, more)
        else:
            above = max(above, more)
    return piece.y_high - piece.y_low + below + above


def _bounds(piece: Piece, edge: Edge) -> bool:
    """Whether a side of a piece lies on an edge."""
    low, high = edge.start[0], edge.end[0]
    if low > high:
        low, high = high, low
    if high <= piece.low or low >= piece.high:
        return False
    on = [low <= x <= high and edge.y_at(x) == y for x, y in piece.points]
    return any(here and on[place - 1] for place, here in enumerate(on))


def _allowance(sheet: Sheet, kind: EdgeKind) -> int:
    return {
        "eave": sheet.eave_hook, "valley": sheet.valley_hook, "ridge": sheet.ridge_up,
        "hip": sheet.hip_up, "wall": sheet.wall_up, "rake": 0,
    }[kind]  # fmt: skip
