"""The field sheets as a JSON document: numbers in the case's units, exact where they are lengths.

Distances grow from where laying starts; those of a tape are from where it is hooked.
"""

from __future__ import annotations

from typing import Any, Final

from solver.case import Case
from solver.field.movement import Movements, PenetrationMovement, PlaneMovement
from solver.field.parts import (
    Ahead,
    Closing,
    Diagonal,
    FieldSheets,
    PlaneField,
    Row,
    Run,
    Triangle,
)
from solver.result import Finding
from solver.units import TICKS_PER, Units, to_number

FORMAT: Final = "offseam-field-1"
CAUTIONS: Final = (
    "Fall protection for everyone on the roof.",
    "Every open hole covered, the cover fastened and marked.",
    "Pipes and curbs must never pin a panel.",
    "The panel maker's written details, the local code and the licensed trades govern.",
)
Json = dict[str, Any]


def field_document(
    found: FieldSheets | None, *, case: Case, versions: dict[str, str], proof: str,
    findings: tuple[Finding, ...],
) -> Json:
    """The sheets as JSON values; without a layout they are empty and the findings say why."""
    units = case.units
    return {
        "format": FORMAT,
        "title": case.title,
        "units": units,
        "revision": case.revision,
        "date": case.date,
        "layout": found.rank if found is not None else None,
        "proof": proof,
        "versions": versions,
        "case_sha256": case.sha256,
        "cautions": list(CAUTIONS),
        "limits": None if found is None else {
            "tape_mark": _at(found.limits.tape_mark, units),
            "control": _at(found.limits.control, units),
            "closing": _at(found.limits.closing, units),
            "hook": _at(found.limits.hook, units),
            "remeasure": case.rules.remeasure,
        },
        "planes": [_plane(sheet, units) for sheet in found.planes] if found is not None else [],
        "movement": None if found is None or found.movement is None else (
            _movement(found.movement, units)
        ),
        "findings": [_finding(one) for one in findings],
    }


def _plane(sheet: PlaneField, units: Units) -> Json:
    plane = sheet.plane
    return {
        "id": plane.id,
        "width": _at(plane.width, units),
        "length": _at(plane.length, units),
        "low_end": plane.low_end,
        "high_end": plane.high_end,
        "panels": sheet.judged.panels,
        "triangle": None if sheet.triangle is None else _triangle(sheet.triangle, units),
        "diagonals": [_diagonal(one, units) for one in sheet.diagonals],
        "runs": [_run(sheet, run, units) for run in sheet.runs],
    }


def _triangle(one: Triangle, units: Units) -> Json:
    return {
        "n": one.n,
        "unit": _at(one.unit, units),
        "corner_x": _at(one.corner, units),
        "at_seam": one.seam,
        "on_the_tape": _at(one.at, units),
        "towards": "high" if one.way == 1 else "low",
        "along_eave": _at(one.along, units),
        "up_slope": _at(one.up, units),
        "across": _at(one.across, units),
    }


def _diagonal(one: Diagonal, units: Units) -> Json:
    return {
        "panel": one.panel,
        "to_seam": one.seam,
        "width": _at(one.wide, units),
        "length": _at(one.long, units),
        "diagonal": _at(one.length, units),
        "top_off": [
            {"reads_long": _at(extra, units), "to_the_side": _at(top, units)}
            for extra, top in one.off
        ],
    }


def _run(sheet: PlaneField, run: Run, units: Units) -> Json:
    return {
        "towards": "high" if run.way == 1 else "low",
        "towards_end": sheet.plane.high_end if run.way == 1 else sheet.plane.low_end,
        "start_x": _at(run.start, units),
        "tape_hooked_at": _at(run.datum, units),
        "far_end": _at(run.far, units),
        "no_eave": [[_at(low, units), _at(high, units)] for low, high in run.gaps],
        "rows": [_row(row, units) for row in run.rows],
        "no_control_line": [
            {"near": _at(one.target, units), "about": list(one.about), "on_eave": one.eave}
            for one in run.no_line
        ],
        "closing": None if run.closing is None else _closing(run.closing, units),
    }


def _row(row: Row, units: Units) -> Json:
    return {
        "kind": row.kind,
        "seam": row.number,
        "centre": _at(row.centre, units),
        "start_to_mark": _at(row.at, units),
        "start_to_mark_at_ridge": None if row.top is None else _at(row.top, units),
        "from_control": None if row.kind == "start" else _at(row.back, units),
        "control_at_seam": row.control,
        "control_line": row.line or None,
        "measure_back": row.measure,
        "closing_begins": row.closing,
        "obstructions": [_ahead(one, units) for one in row.here],
        "next_obstruction": None if row.next is None else row.next.pen.id,
        "panels": [
            {"first": one.first, "last": one.last, "width": _at(one.width, units),
             "width_at_ridge": None if one.top is None else _at(one.top, units),
             "kind": one.kind}
            for one in row.lay
        ],
        "notes": [_finding(note) for note in row.notes],
        "measured_eave": None,
        "measured_ridge": None,
        "correct_by": None,
    }


def _ahead(one: Ahead, units: Units) -> Json:
    return {
        "id": one.pen.id,
        "kind": one.pen.kind,
        "behind_seam": one.low,
        "before_seam": one.high,
        "centre_past_mark": _at(one.past, units),
        "on_seam": one.on,
        "cuts": list(one.cut),
        "up_slope": _at(one.pen.y, units),
    }


def _closing(one: Closing, units: Units) -> Json:
    return {
        "seam": one.seam,
        "remains": _at(one.remains, units),
        "panels": one.panels,
        "full_panels": one.full,
        "panel_width": [_at(one.least, units), _at(one.most, units)],
        "last": _at(one.last, units),
        "last_width": [_at(one.last_least, units), _at(one.last_most, units)],
        "closes_if_more_by": _at(one.ahead, units),
        "closes_if_less_by": _at(one.behind, units),
        "about": list(one.about),
    }


def _movement(one: Movements, units: Units) -> Json:
    fixed = one.fixed
    return {
        "metal": one.metal,
        "per_kelvin": float(one.alpha),
        "source": one.source,
        "warmer": float(one.warmer),
        "colder": float(one.colder),
        "fixed": _at(fixed, units) if isinstance(fixed, int) else fixed,
        "planes": [_plane_movement(plane, units) for plane in one.planes],
    }


def _plane_movement(plane: PlaneMovement, units: Units) -> Json:
    run = plane.longest
    return {
        "id": plane.id,
        "longest_panel": _float(float(run.length), units),
        "fixed_at": _float(float(run.fixed), units),
        "lower_end_travels": _at(plane.lower.total, units),
        "upper_end_travels": _at(plane.upper.total, units),
        "penetrations": [_penetration_movement(one, units) for one in plane.penetrations],
    }


def _penetration_movement(one: PenetrationMovement, units: Units) -> Json:
    return {
        "id": one.id,
        "from_fixed": _float(float(one.free), units),
        "up": _at(one.travel.up, units),
        "down": _at(one.travel.down, units),
        "gap_above": _at(one.gap_above, units),
        "gap_below": _at(one.gap_below, units),
        "allows": None if one.allows is None else _at(one.allows, units),
        "suffices": one.suffices,
    }


def _finding(one: Finding) -> Json:
    return {"code": one.code, "severity": one.severity, "about": list(one.about),
            "says": one.says}


def _at(ticks: int, units: Units) -> float:
    return to_number(2 * ticks, units)


def _float(ticks: float, units: Units) -> float:
    return round(ticks / TICKS_PER[units], 4)
