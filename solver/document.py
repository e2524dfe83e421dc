"""The result file: a Result as plain JSON values in the case's units and currency."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any, Final

from solver.case import RATE_NAMES, Case
from solver.checking import Checked
from solver.findings import guessed_rates
from solver.result import (
    COUNT_NAMES,
    NOT_PROVEN,
    PROVEN,
    Blind,
    Breach,
    Cost,
    Finding,
    Judged,
    JudgedPenetration,
    JudgedStretch,
    Ranked,
    Result,
)
from solver.units import to_number
from solver.verdicts import checked_findings

FORMAT: Final = "offseam-result-1"
Json = dict[str, Any]


def money_number(cents: int) -> float:
    """Cents as currency units; two decimals are exact enough for a JSON number."""
    return cents / 100


class _Writer:
    def __init__(self, case: Case) -> None:
        self.case = case

    def ticks(self, value: int | None) -> float | None:
        return None if value is None else to_number(2 * value, self.case.units)

    def halves(self, value: int | None) -> float | None:
        return None if value is None else to_number(value, self.case.units)

    def penetration(self, pen: JudgedPenetration) -> Json:
        return {
            "id": pen.id,
            "plane": pen.plane,
            "x": self.ticks(pen.x),
            "moved": self.ticks(pen.moved),
            "state": pen.state,
            "room": self.halves(pen.room2),
            "needed": self.halves(pen.needed2),
            "margin": self.halves(pen.margin2),
            "seams_cut": pen.seams_cut,
            "seam_low": self.ticks(pen.seam_low),
            "seam_high": self.ticks(pen.seam_high),
            "clear_from": self.halves(pen.clear_from2),
            "clear_to": self.halves(pen.clear_to2),
            "worst_room": self.halves(pen.worst_room2),
            "worst_margin": self.halves(pen.worst_margin2),
            "at_risk": pen.at_risk,
        }

    def stretch(self, stretch: JudgedStretch) -> Json:
        """`change` is how much wider (+) or narrower each of its `full` panels is laid."""
        return {
            "stretch": stretch.stretch,
            "panels": [stretch.first_panel, stretch.last_panel],
            "full": stretch.full,
            "module": self.ticks(stretch.module),
            "change": self.ticks(stretch.module - self.case.panel.cover),
        }

    def layout(self, judged: Judged, windows: tuple[tuple[int, int], ...] | None = None) -> Json:
        planes = []
        for place, (given, plane) in enumerate(zip(self.case.planes, judged.planes, strict=True)):
            entry: Json = {
                "id": plane.id,
                "low_end": given.low_end,
                "high_end": given.high_end,
                "lay": given.lay,
                "from": self.ticks(given.start),
                "first": self.ticks(plane.first),
                "last": self.ticks(plane.last),
                "panels": plane.panels,
                "seams": [self.ticks(seam) for seam in plane.seams],
                "odd": [
                    {
                        "panel": odd.panel, "width": self.ticks(odd.width),
                        "low": self.ticks(odd.low), "high": self.ticks(odd.high),
                    }
                    for odd in plane.odd
                ],
            }
            if self.case.rules.play:
                entry["stretches"] = [self.stretch(stretch) for stretch in plane.stretches]
            if windows is not None:
                entry["window"] = [self.ticks(end) for end in windows[place]]
            planes.append(entry)
        return {
            "cost": cost_document(judged.cost),
            "counts": dict(zip(COUNT_NAMES, judged.counts, strict=True)),
            "planes": planes,
            "links": [
                {
                    "planes": list(link.planes), "meet": link.meet,
                    "strays": self.halves(link.strays2),
                }
                for link in judged.links
            ],
            "penetrations": [self.penetration(pen) for pen in judged.penetrations],
        }

    def entry(self, entry: Ranked) -> Json:
        against = entry.against_first
        return {
            "rank": entry.rank,
            "bound": money_number(entry.bound),
            "proof": entry.proof,
            **self.layout(entry.judged, entry.windows),
            "against_first": {
                "gains": against.gains,
                "gives": against.gives,
                "money": money_number(against.money),
                "says": against.says,
            },
        }


def cost_document(cost: Cost) -> Json:
    """The cost and its parts in currency units."""
    return {
        "total": money_number(cost.total),
        "flashing": money_number(cost.flashing),
        "moves": money_number(cost.moves),
        "odd_panels": money_number(cost.odd_panels),
        "look": money_number(cost.look),
        "play": money_number(cost.play),
    }


def _finding(finding: Finding) -> Json:
    return {
        "code": finding.code,
        "severity": finding.severity,
        "about": list(finding.about),
        "says": finding.says,
    }


def _breach(breach: Breach) -> Json:
    return {"code": breach.code, "about": list(breach.about), "says": breach.says}


def _blind(blind: Blind | None) -> Json | None:
    if blind is None:
        return None
    return {
        "mean": money_number(blind.mean),
        "worst": money_number(blind.worst),
        "starts": blind.starts,
    }


def _number(value: Decimal) -> float:
    return int(value) if value == value.to_integral_value() else float(value)


def _rates(case: Case) -> Json:
    rates = case.rates
    used: Json = {
        "crew_hour": _number(rates.crew_hour),
        "plumber_hour": _number(rates.plumber_hour),
    }
    for name in RATE_NAMES:
        rate = rates.each[name]
        used[name] = {
            "hours": _number(rate.hours),
            "material": _number(rate.material),
            "each": money_number(rates.cents(name)),
        }
    return {"used": used, "default": guessed_rates(case)}


def result_document(result: Result) -> Json:
    """The whole result as JSON values: numbers in the case's units, money in currency units."""
    case = result.case
    writer = _Writer(case)
    more: Json = {}
    if result.across:
        more["covers"] = [
            {"cover": writer.ticks(found.cover), **writer.entry(found.entry)}
            for found in result.across
        ]
    if result.unfrozen is not None and result.layouts:
        frozen = result.layouts[0].judged.cost.total
        more["freeze"] = {
            "first": {name: writer.ticks(width) for name, width in case.freeze.firsts},
            "move": {name: writer.ticks(move) for name, move in case.freeze.moves},
            "total_without": money_number(result.unfrozen),
            "costs": money_number(frozen - result.unfrozen),
        }
    return {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "cover": writer.ticks(case.panel.cover),
        "revision": case.revision,
        "date": case.date,
        "proof": PROVEN if result.proven else NOT_PROVEN,
        "versions": result.versions,
        "case_sha256": case.sha256,
        "engine": result.engine,
        "seconds": round(result.seconds, 3),
        "complete": result.complete,
        "stopped": result.stopped,
        "rates": _rates(case),
        "usual": _usual(writer, result.usual),
        "as_drawn": writer.layout(result.as_drawn) if result.as_drawn is not None else None,
        "blind": _blind(result.blind),
        "layouts": [writer.entry(entry) for entry in result.layouts],
        "findings": [_finding(finding) for finding in result.findings],
        **more,
    }


def check_document(checked: Checked, versions: dict[str, str]) -> Json:
    """The result of pricing a chosen layout: a result file with one layout of no rank."""
    case, judged = checked.case, checked.judged
    writer = _Writer(case)
    reasons = [_breach(reason) for reason in checked.reasons]
    layouts = []
    if judged is not None:
        layouts.append({
            "rank": None, "bound": None, "proof": NOT_PROVEN,
            **writer.layout(judged, checked.windows),
            "legal": checked.legal, "reasons": reasons,
        })
    return {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "cover": writer.ticks(case.panel.cover),
        "proof": NOT_PROVEN,
        "legal": checked.legal,
        "reasons": reasons,
        "versions": versions,
        "case_sha256": case.sha256,
        "seconds": round(checked.seconds, 3),
        "rates": _rates(case),
        "usual": _usual(writer, checked.usual),
        "as_drawn": writer.layout(checked.as_drawn) if checked.as_drawn is not None else None,
        "blind": _blind(checked.blind),
        "layouts": layouts,
        "findings": [_finding(finding) for finding in checked_findings(checked)],
    }


def _usual(writer: _Writer, usual: Judged | None) -> Json | None:
    if usual is None:
        return None
    return {**writer.layout(usual), "breaks": [_breach(breach) for breach in usual.breaks]}


def dump(document: Json) -> str:
    """A document as text: two-space indent, keys in the order written, a newline at the end."""
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
