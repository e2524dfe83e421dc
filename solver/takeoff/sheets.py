"""Sheets, their area and end laps of a laid roof, as the take-off counts them.

One sheet for every strip between seams that has roof in it, as long as that strip from its lowest
to its highest point and as wide as a full panel takes; the first and the last panel of a plane laid
from one end share a sheet where both and their turn-ups fit in one cover. Hooks, turn-ups at the
ends of panels and what is saved by cutting drops are not in it: that is for the panel list, whose
end laps these are.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Final

from solver.case import Case, Plane
from solver.case_parts import EDGE_KINDS, Sheet
from solver.panels.across import Placed
from solver.panels.legs import allowance
from solver.panels.list import plane_panels
from solver.result import Judged, JudgedPlane
from solver.shape.outline import strip_length
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
        placed = [(case.penetrations[i], judged.penetrations[i]) for i in case.on(plane.id)]
        lapped = _laps(case, plane, laid, sheet, placed)
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
    case: Case, plane: Plane, laid: JudgedPlane, sheet: Sheet, placed: Sequence[Placed]
) -> dict[int, int]:
    """End laps by the low end of the strip, those of the panel list; none where even the whole
    height of the plane is no longer than a panel may be."""
    most = sheet.max_length
    longest = plane.length + 2 * max(allowance(sheet, kind) for kind in (*EDGE_KINDS, "across"))
    if most is None or longest <= most:
        return {}
    found: dict[int, int] = {}
    bounds = (0, *laid.seams, plane.width)
    for mark in plane_panels(case, sheet, plane, laid, placed).marks:
        for piece in mark.pieces:
            low = bounds[bisect_right(bounds, piece.low) - 1]
            found[low] = found.get(low, 0) + len(piece.laps)
    return found
