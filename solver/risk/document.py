"""The file of a risk report: plain JSON values in the case's units and currency."""

from __future__ import annotations

from typing import Final

from solver.case import Case
from solver.document import Json, cost_document, money_number
from solver.result import NOT_PROVEN, PROVEN
from solver.risk.chance import LayoutChance
from solver.risk.creep import Creep, has_tolerances
from solver.risk.remeasure_first import POSITIONS, Gains
from solver.risk.report import LayoutRisk, Risk
from solver.units import to_number

FORMAT: Final = "offseam-risk-1"
ASSUMED: Final = (
    "each panel's cover off by up to cover_tol, evenly spread and independent; errors add up since "
    "the last control line, every remeasure panels; control lines exact",
    "each plane's width off by up to width_tol, evenly spread and independent",
    "each penetration's position off by up to its x_tol, evenly spread and independent",
    "moves, odd panels, changed modules, uneven ends and links cost what they do as planned",
)


def risk_document(risk: Risk, versions: dict[str, str]) -> Json:
    """Everything of a risk report: worst case, chances, costs, and what to measure again first."""
    case, result = risk.case, risk.result
    known = has_tolerances(case)
    return {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "proof": PROVEN if result.proven else NOT_PROVEN,
        "versions": versions,
        "case_sha256": case.sha256,
        "tolerances": {
            "given": known,
            "cover_tol": _ticks(case, case.rules.cover_tol),
            "remeasure": case.rules.remeasure,
            "width_tol": _ticks(case, case.rules.width_tol),
            "x_tol": {pen.id: _ticks(case, pen.x_tol) for pen in case.penetrations},
        },
        "assumed": list(ASSUMED),
        "seed": risk.seed,
        "samples": risk.asked,
        "stopped": result.stopped,
        "layouts": [_layout(case, layout) for layout in risk.layouts],
        "measure_first": _gains(case, risk.gains),
        "findings": [
            {"code": f.code, "severity": f.severity, "about": list(f.about), "says": f.says}
            for f in risk.findings
        ],
    }


def _layout(case: Case, layout: LayoutRisk) -> Json:
    chance = layout.chance
    draws = chance.penetrations if chance is not None else (None,) * len(layout.creep)
    entry: Json = {
        "rank": layout.rank,
        "usual": layout.rank is None,
        "cost": cost_document(layout.judged.cost),
        "firsts": {p.id: _ticks(case, p.first) for p in layout.judged.planes},
        "at_risk": [creep.stands.id for creep in layout.at_risk],
    }
    if chance is not None:
        entry |= _spread(chance)
    entry["penetrations"] = [
        {
            **_creep(case, creep),
            "planned": None if drawn is None else drawn.planned,
            "draws": None if drawn is None else drawn.draws,
        }
        for creep, drawn in zip(layout.creep, draws, strict=True)
    ]
    return entry


def _spread(chance: LayoutChance) -> Json:
    spread = chance.spread
    return {
        "samples": chance.samples,
        "expected_cost": {
            "mean": money_number(spread.mean),
            "p10": money_number(spread.p10),
            "p50": money_number(spread.p50),
            "p90": money_number(spread.p90),
        },
        "all_clear_stay": chance.all_clear / chance.samples,
    }


def _creep(case: Case, creep: Creep) -> Json:
    stands = creep.stands
    return {
        "id": stands.id,
        "plane": stands.plane,
        "x": _ticks(case, stands.x),
        "moved": _ticks(case, stands.moved),
        "state": stands.state,
        "at_risk": stands.at_risk,
        "seam_low": _ticks(case, stands.seam_low),
        "seam_high": _ticks(case, stands.seam_high),
        "panels_low": creep.panels_low,
        "panels_high": creep.panels_high,
        "shift_low": _ticks(case, creep.shift_low),
        "shift_high": _ticks(case, creep.shift_high),
        "x_tol": _ticks(case, creep.x_tol),
        "room": _halves(case, stands.room2),
        "needed": _halves(case, stands.needed2),
        "margin": _halves(case, stands.margin2),
        "worst_room": _halves(case, stands.worst_room2),
        "worst_margin": _halves(case, stands.worst_margin2),
    }


def _gains(case: Case, gains: Gains | None) -> Json | None:
    if gains is None:
        return None
    return {
        "possible": gains.possible,
        "looked": gains.looked,
        "uncertain": gains.uncertain,
        "positions": POSITIONS,
        "list": [
            {
                "id": gain.id,
                "plane": gain.plane,
                "x_tol": _ticks(case, gain.x_tol),
                "expected_now": money_number(gain.now),
                "saves": money_number(gain.gain),
                "other_choice": gain.other / gain.of,
            }
            for gain in gains.gains
        ],
    }


def _ticks(case: Case, value: int | None) -> float | None:
    return None if value is None else to_number(2 * value, case.units)


def _halves(case: Case, value: int | None) -> float | None:
    return None if value is None else to_number(value, case.units)
