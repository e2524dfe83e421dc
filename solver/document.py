"""The result file: a Result as plain JSON values in the case's units and currency."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Final

from solver.case import RATE_NAMES, Case
from solver.checking import Checked
from solver.findings.of_answer import checked_findings
from solver.findings.of_case import guessed_rates
from solver.layout_document import Json, LayoutWriter, cost_document, money_number
from solver.result import NOT_PROVEN, PROVEN, Blind, Breach, Finding, Judged, Result

__all__ = [
    "FORMAT", "ONLY_IF_GIVEN", "Json", "check_document", "cost_document", "dump", "money_number",
    "result_document",
]

FORMAT: Final = "offseam-result-1"
ONLY_IF_GIVEN: Final = frozenset({"area"})
"""Rates without a default: what a case does not give is not charged, nor among the rates used."""


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
        if name in ONLY_IF_GIVEN and not rate.given:
            continue
        used[name] = {
            "hours": _number(rate.hours),
            "material": _number(rate.material),
            "each": money_number(rates.cents(name)),
        }
    return {"used": used, "default": guessed_rates(case)}


def result_document(result: Result) -> Json:
    """The whole result as JSON values: numbers in the case's units, money in currency units."""
    case = result.case
    writer = LayoutWriter(case)
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
    writer = LayoutWriter(case)
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


def _usual(writer: LayoutWriter, usual: Judged | None) -> Json | None:
    if usual is None:
        return None
    return {**writer.layout(usual), "breaks": [_breach(breach) for breach in usual.breaks]}


def dump(document: Json) -> str:
    """A document as text: two-space indent, keys in the order written, a newline at the end."""
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
