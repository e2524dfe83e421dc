"""Where a late pipe could stand, as plain JSON values in the case's units."""

from __future__ import annotations

from typing import Any, Final

from solver.placing.stretches import Placed, Spot
from solver.units import to_number

FORMAT: Final = "offseam-place-1"
Json = dict[str, Any]


def place_document(placed: Placed, against: str, versions: dict[str, str]) -> Json:
    """The whole answer; `against` says in words which layout it is held against."""
    case, wanted = placed.case, placed.wanted
    units = case.units
    at = next(i for i, plane in enumerate(case.planes) if plane.id == wanted.plane)
    ends = placed.judged.planes[at]
    stands = placed.at_wanted
    return {
        "format": FORMAT,
        "title": case.title,
        "units": units,
        "versions": versions,
        "case_sha256": case.sha256,
        "against": against,
        "plane": wanted.plane,
        "first": to_number(2 * ends.first, units),
        "odd": [
            {"panel": odd.panel, "width": to_number(2 * odd.width, units)} for odd in ends.odd
        ],
        "modules": [
            {"stretch": one.stretch, "panels": [one.first_panel, one.last_panel],
             "module": to_number(2 * one.module, units)}
            for one in ends.stretches if one.full and one.module != case.panel.cover
        ],
        "seams": [to_number(2 * seam, units) for seam in ends.seams],
        "near": to_number(2 * wanted.near, units),
        "y": None if wanted.y is None else to_number(2 * wanted.y, units),
        "outside": to_number(2 * wanted.outside, units),
        "base": to_number(2 * wanted.base, units),
        "clear_as_wanted": not placed.broken,
        "state_as_wanted": stands.state,
        "reasons": [
            {"code": b.code, "about": list(b.about), "says": b.says} for b in placed.broken
        ],
        "stretches": [
            {
                "from": to_number(2 * stretch.low, units),
                "to": to_number(2 * stretch.high, units),
                "nearest": _spot(placed, stretch.nearest),
                "roomiest": _spot(placed, stretch.roomiest),
            }
            for stretch in placed.stretches
        ],
        "findings": [
            {"code": f.code, "severity": f.severity, "about": list(f.about), "says": f.says}
            for f in placed.findings
        ],
    }


def _spot(placed: Placed, spot: Spot) -> Json:
    units, stands = placed.case.units, spot.stands

    def whole(value: int | None) -> float | None:
        return None if value is None else to_number(2 * value, units)

    return {
        "x": to_number(2 * spot.x, units),
        "away": to_number(2 * spot.away, units),
        "margin": to_number(spot.margin2, units),
        "at_risk": stands.at_risk,
        "seam_low": whole(stands.seam_low),
        "seam_high": whole(stands.seam_high),
    }
