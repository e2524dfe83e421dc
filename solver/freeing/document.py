"""What `free` found as plain JSON values, in the case's units and currency."""

from __future__ import annotations

from typing import Any, Final

from solver.case import Case
from solver.document import cost_document, money_number
from solver.findings.left_out import left_out
from solver.freeing.paying import Single
from solver.freeing.run import Freed
from solver.freeing.whatif import AllClear, Outcome
from solver.layout_document import counts_document
from solver.result import Finding, Judged
from solver.units import to_number

FORMAT: Final = "offseam-free-1"
Json = dict[str, Any]


def free_document(freed: Freed, versions: dict[str, str]) -> Json:
    """The whole answer. Money two decimals, lengths in the case's units, moves signed."""
    case = freed.case
    drawn = freed.moves.drawn if freed.moves is not None else None
    return {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "versions": versions,
        "case_sha256": case.sha256,
        "complete": freed.complete,
        "stopped": freed.stopped,
        "seconds": round(freed.seconds, 3),
        "left_out": left_out(case, "what follows"),
        "now": _layout(case, freed.now),
        "as_drawn": _layout(case, drawn),
        "moves": _moves(freed),
        "all_clear": _clear(case, freed.clear),
        "rules": [_outcome(case, outcome) for outcome in freed.rules],
        "joins": [_outcome(case, outcome) for outcome in freed.joined],
        "removals": [_outcome(case, outcome) for outcome in freed.removed],
        "findings": [_finding(finding) for finding in freed.no_start],
    }


def _layout(case: Case, judged: Judged | None) -> Json | None:
    if judged is None:
        return None
    moved = zip(case.penetrations, judged.layout.moves, strict=True)
    return {
        "cost": cost_document(judged.cost),
        "counts": counts_document(case, judged),
        "first": _firsts(case, judged.layout.firsts),
        "moved": {pen.id: to_number(2 * move, case.units) for pen, move in moved if move},
    }


def _firsts(case: Case, firsts: tuple[int, ...]) -> Json:
    return {
        plane.id: to_number(2 * first, case.units)
        for plane, first in zip(case.planes, firsts, strict=True)
    }


def _moves(freed: Freed) -> list[Json]:
    if freed.moves is None:
        return []
    case = freed.case
    return [
        {
            "id": case.penetrations[one.pen].id,
            "plane": case.penetrations[one.pen].plane,
            "priced": one.priced,
            "open": one.steps,
            "smallest": _single(case, one.smallest),
            "best": _single(case, one.best),
        }
        for one in freed.moves.freed
    ]


def _single(case: Case, single: Single | None) -> Json | None:
    if single is None:
        return None
    return {
        "moved": to_number(2 * single.move, case.units),
        "total": money_number(single.total),
        "saves": _money(single.saves),
        "first": _firsts(case, single.firsts),
    }


def _money(cents: int | None) -> float | None:
    return None if cents is None else money_number(cents)


def _clear(case: Case, clear: AllClear | None) -> Json | None:
    if clear is None:
        return None
    return {
        "layout": _layout(case, clear.judged),
        "alone": list(clear.alone),
        "rest": _layout(case, clear.rest),
    }


def _outcome(case: Case, outcome: Outcome) -> Json:
    told: Json = {
        "what": outcome.kind,
        "about": list(outcome.about),
        "total": _money(outcome.total),
        "price": money_number(outcome.price),
        "saves": _money(outcome.saves),
        "findings": [_finding(finding) for finding in outcome.findings],
    }
    if outcome.value is not None:
        told["value"] = to_number(2 * outcome.value, case.units)
    if outcome.judged is not None:
        told["first"] = _firsts(case, outcome.judged.layout.firsts)
    return told


def _finding(finding: Finding) -> Json:
    return {
        "code": finding.code,
        "severity": finding.severity,
        "about": list(finding.about),
        "says": finding.says,
    }
