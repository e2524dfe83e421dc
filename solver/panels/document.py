"""The panel list as a JSON document: numbers in the case's units, rounded to the case's mark.

Left and right are those of someone outside who looks up the slope; y is up the slope from the
plane's lowest point. Areas are in square feet (units "in") or square metres (units "mm").
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any, Final

from solver.case import Case
from solver.case_parts import Sheet
from solver.panels.list import rounded
from solver.panels.parts import Across, Cut, Mark, PanelList, PanelPiece, PlanePanels
from solver.result import Finding
from solver.stock.parts import StockPlan
from solver.units import TICKS_PER, Units, to_number

FORMAT: Final = "offseam-panels-1"
TO_VERIFY: Final = "Quantities and sizes are to be verified before anything is ordered or cut."
Json = dict[str, Any]


def panels_document(
    found: PanelList | None, stock: StockPlan | None, *, case: Case, versions: dict[str, str],
    proof: str, findings: tuple[Finding, ...],
) -> Json:
    """The list as JSON values; without a layout it is empty and the findings say why."""
    return {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "revision": case.revision,
        "date": case.date,
        "layout": found.rank if found is not None else None,
        "proof": proof,
        "versions": versions,
        "case_sha256": case.sha256,
        "to_verify": TO_VERIFY,
        "sheet": _sheet(case, found.sheet) if found is not None else None,
        "totals": _totals(case, found) if found is not None else None,
        "planes": [_plane(case, plane) for plane in found.planes] if found is not None else [],
        "stock": _stock(case, stock) if stock is not None else None,
        "findings": [
            {"code": f.code, "severity": f.severity, "about": list(f.about), "says": f.says}
            for f in findings
        ],
    }


def area_number(square_ticks: Fraction | int, units: Units) -> float:
    """Square ticks in square feet or square metres, to two decimals."""
    side = 12 * TICKS_PER["in"] if units == "in" else 1000 * TICKS_PER["mm"]
    return round(float(Fraction(square_ticks) / side**2), 2)


def _totals(case: Case, found: PanelList) -> Json:
    return {
        "roof_area": area_number(found.roof, case.units),
        "panel_area": area_number(found.metal, case.units),
        "pieces": found.pieces,
    }


def _sheet(case: Case, sheet: Sheet) -> Json:
    names = ("male", "female", "turn_up", "eave_hook", "ridge_up", "hip_up", "valley_hook",
             "wall_up", "lap")
    return {
        "given": sheet.given,
        "metal": sheet.metal,
        "cover": _exact(case, case.panel.cover),
        **{name: _exact(case, getattr(sheet, name)) for name in names},
        "max_length": None if sheet.max_length is None else _exact(case, sheet.max_length),
        "stock": [_exact(case, length) for length in sheet.stock],
    }


def _plane(case: Case, plane: PlanePanels) -> Json:
    return {
        "id": plane.plane.id,
        "lay": plane.plane.lay,
        "panels": plane.judged.panels,
        "pieces": plane.pieces,
        "roof_area": area_number(plane.roof, case.units),
        "panel_area": area_number(plane.metal, case.units),
        "marks": [_mark(case, mark) for mark in plane.marks],
        "laid_across": [_across(case, across) for across in plane.across],
    }


def _mark(case: Case, mark: Mark) -> Json:
    piece = mark.piece
    return {
        "mark": mark.name,
        "count": len(mark.pieces),
        "made": piece.made,
        "finished_width": _at(case, piece.finished),
        "rip_width": _at(case, piece.rip),
        "left": piece.left,
        "right": piece.right,
        "cut_length": _at(case, piece.length),
        "lower_end": [_cut(case, cut) for cut in piece.lower],
        "upper_end": [_cut(case, cut) for cut in piece.upper],
        "lengths": [_at(case, length) for length in piece.lengths],
        "end_laps": [
            {
                "from_lower_end": _at(case, lap.y - piece.bottom),
                "shifted": _at(case, lap.shifted),
                "near": list(lap.near),
                "in_end_cut": lap.bevel,
            }
            for lap in piece.laps
        ],
        "cut_out_for": [
            {
                "what": notch.name,
                "from_lower_end": _at(case, notch.low - piece.bottom),
                "to": _at(case, notch.high - piece.bottom),
                "side": notch.side,
                "width_left": _at(case, notch.left),
            }
            for notch in piece.notches
        ],
        "outline": [
            [[_at(case, x - piece.low), _at(case, y - piece.y_low)] for x, y in ring]
            for ring in piece.rings
        ],
        "pieces": [_piece(case, one) for one in mark.pieces],
    }


def _piece(case: Case, piece: PanelPiece) -> Json:
    return {
        "panel": piece.panel,
        "part": piece.part,
        "x_from": _at(case, piece.low),
        "x_to": _at(case, piece.high),
        "y_from": _at(case, piece.y_low),
        "y_to": _at(case, piece.y_high),
        "end_laps_y": [_at(case, lap.y) for lap in piece.laps],
    }


def _cut(case: Case, cut: Cut) -> Json:
    return {
        "kind": cut.kind,
        "degrees_from_square": round(cut.degrees, 1),
        "rise_per_cover": _at(case, cut.slant * case.panel.cover),
        "long_side": cut.long or None,
        "x_from": _at(case, cut.left[0]),
        "x_to": _at(case, cut.right[0]),
        "back_at_left": _at(case, cut.left[1]),
        "back_at_right": _at(case, cut.right[1]),
    }


def _across(case: Case, across: Across) -> Json:
    return {
        "mark": across.name,
        "above": across.curb,
        "count": across.count,
        "rip_width": _at(case, across.width),
        "between_seams": _at(case, across.between),
        "cut_length": _at(case, across.length),
        "left": across.left,
        "right": across.right,
        "height_covered": _at(case, across.height),
    }


def _stock(case: Case, plan: StockPlan) -> Json:
    return {
        "length": _exact(case, plan.length),
        "bound": _exact(case, plan.bound),
        "proven": plan.proven,
        "fewest_proven": plan.fewest,
        "sheet_width": _exact(case, plan.sheet_width),
        "sheets": plan.sheets,
        "area_m2": plan.area_m2,
        "area_ft2": plan.area_ft2,
        "weight_kg": plan.weight_kg,
        "weight_lb": plan.weight_lb,
        "waste_percent": plan.waste,
        "blanks": [
            {
                "length": _exact(case, blank.length),
                "how": blank.how,
                "marks": list(blank.marks),
                "count": blank.count,
            }
            for blank in plan.blanks
        ],
        "stock_sheets": [
            {
                "length": _exact(case, one.length),
                "blanks": list(one.blanks),
                "count": one.count,
            }
            for one in plan.stock
        ],
        "wider_than_sheet": list(plan.wider),
        "longer_than_stock": list(plan.longer),
    }


def _exact(case: Case, ticks: int) -> float:
    return to_number(2 * ticks, case.units)


def _at(case: Case, ticks: Fraction | int) -> float:
    return to_number(2 * rounded(ticks, case.mark), case.units)
