"""The stub-up list as a JSON document: numbers in the case's units, + is towards larger x."""

from __future__ import annotations

from typing import Any, Final

from solver.case_file.fittings import FittingPair
from solver.result import Finding
from solver.stubs.list import PlaneSheet, StubList, StubRow
from solver.stubs.stretch import Limit, Stretch
from solver.stubs.vent_notes import ALL_VENTS, DEFER, VentNote, is_vent
from solver.units import TICKS_PER, Units, to_number

FORMAT: Final = "offseam-stubs-1"
Json = dict[str, Any]


def stubs_document(
    found: StubList | None, *, title: str, units: Units, revision: str, date: str, sha256: str,
    versions: dict[str, str], proof: str, findings: tuple[Finding, ...],
) -> Json:
    """The list as JSON values; without a layout it is empty and the findings say why."""
    return {
        "format": FORMAT,
        "title": title,
        "units": units,
        "revision": revision,
        "date": date,
        "layout": found.rank if found is not None else None,
        "proof": proof,
        "versions": versions,
        "case_sha256": sha256,
        "positions": "centres at the roof surface, along the eave; x from the plane's low end",
        "planes": [_plane(sheet, units) for sheet in found.sheets] if found is not None else [],
        "vents": {"defer": DEFER, "every_vent": [_note(note) for note in ALL_VENTS]},
        "findings": [
            {"code": f.code, "severity": f.severity, "about": list(f.about), "says": f.says}
            for f in findings
        ],
    }


def _plane(sheet: PlaneSheet, units: Units) -> Json:
    return {
        "id": sheet.plane.id,
        "low_end": sheet.low_end.name,
        "high_end": sheet.high_end.name,
        "grid_lines": [{"id": mark.name, "x": _at(mark.x, units)} for mark in sheet.lines],
        "grid_line_needed": not sheet.lines,
        "seams_counted_from": sheet.start.name,
        "seams": len(sheet.judged.seams),
        "pipes": [_row(row, units) for row in sheet.rows],
    }


def _row(row: StubRow, units: Units) -> Json:
    pen, stands, datum = row.pen, row.stands, row.taping.datum
    bay = row.bay
    good = row.stretch if isinstance(row.stretch, Stretch) else None
    against = row.stretch if isinstance(row.stretch, Limit) else None
    aside_low = None if bay.low is None else _at(stands.x - bay.low, units)
    aside_high = None if bay.high is None else _at(bay.high - stands.x, units)
    return {
        "id": pen.id,
        "kind": pen.kind,
        "use": pen.use,
        "nominal": pen.nominal,
        "outside": _at(pen.outside, units) if pen.kind == "pipe" else None,
        "status": pen.status,
        "to_set": row.listed,
        "agreed_before": row.frozen,
        "state": stands.state,
        "bay": {"seam_low": bay.low_no, "seam_high": bay.high_no, "on_seam": bay.on},
        "measured_from": {"kind": datum.kind, "name": datum.name, "x": _at(datum.x, units)},
        "x_as_drawn": _at(pen.x, units),
        "x_set_to": _at(stands.x, units),
        "as_drawn": _at(pen.x - datum.x, units),
        "set_to": _at(stands.x - datum.x, units),
        "on_the_tape": _at(row.taped - datum.x, units),
        "from_seam_low": aside_low,
        "from_seam_high": aside_high,
        "acceptable_from": None if good is None else _at(good.low.x - datum.x, units),
        "acceptable_to": None if good is None else _at(good.high.x - datum.x, units),
        "acceptable_ends_at": None if good is None else [_limit(good.low), _limit(good.high)],
        "stands_against": None if against is None else _limit(against),
        "moved": _at(stands.moved, units),
        "towards": None if row.towards is None else row.towards.says(),
        "headroom": None if pen.headroom is None else _at(pen.headroom, units),
        "make_with": None if row.pair is None else _pair(row.pair, units),
        "alternatives": [_pair(pair, units) for pair in row.pairs if pair is not row.pair],
        "vent": is_vent(pen),
        "vent_notes": [_note(note) for note in row.vent],
        "agreed_by": "",
        "as_built": "",
    }


def _pair(pair: FittingPair, units: Units) -> Json:
    return {
        "angle": float(pair.angle) if "." in pair.angle else int(pair.angle),
        "travel": _float(pair.travel, units),
        "advance": _float(pair.advance, units),
        "centre_to_end": None if pair.centre_to_end is None else _at(pair.centre_to_end, units),
        "least_offset": None if pair.least is None else _at(pair.least, units),
        "between_ends": _float(pair.between, units),
        "height": _float(pair.height, units),
        "makes_it": None if pair.least is None else pair.offset >= pair.least,
        "fits_headroom": pair.fits,
        "counts_as_vertical": pair.counts_as_vertical,
    }


def _limit(limit: Limit) -> Json:
    return {"kind": limit.kind, "about": limit.about}


def _note(note: VentNote) -> Json:
    return {"code": note.code, "says": note.sentence(), "known": list(note.known)}


def _at(ticks: int, units: Units) -> float:
    return to_number(2 * ticks, units)


def _float(ticks: float | None, units: Units) -> float | None:
    return None if ticks is None else round(ticks / TICKS_PER[units], 4)
