"""A replan as JSON values: numbers in the case's units, + is towards larger x."""

from __future__ import annotations

from typing import Any, Final

from solver.replan.answer import Replan, RestPanel, Run
from solver.replan.least_bad import LeastBad
from solver.result import COUNT_NAMES
from solver.units import Units, to_number

FORMAT: Final = "offseam-replan-1"
Json = dict[str, Any]


def replan_document(answer: Replan, versions: dict[str, str]) -> Json:
    """The whole answer. Distances are from where the laying of the plane starts."""
    case, units = answer.case, answer.case.units
    cost = answer.now.cost
    return {
        "format": FORMAT,
        "title": case.title,
        "units": units,
        "revision": case.revision,
        "date": case.date,
        "as_built_date": answer.date,
        "case_sha256": case.sha256,
        "versions": versions,
        "layout": answer.rank,
        "closes": answer.legal,
        "proof": "proven" if answer.proven else "not proven",
        "cost": {"total": cost.total / 100, "planned": answer.plan.cost.total / 100},
        "counts": dict(zip(COUNT_NAMES, answer.now.counts, strict=True)),
        "planned_counts": dict(zip(COUNT_NAMES, answer.plan.counts, strict=True)),
        "planes": [_run(run, units) for run in answer.runs],
        "states_changed": [
            {"id": one.id, "was": one.was, "now": one.now, "panel": one.panel or None,
             "laid": one.laid,
             "room": None if one.room2 is None else to_number(one.room2, units),
             "needed": None if one.needed2 is None else to_number(one.needed2, units)}
            for one in answer.changed
        ],
        "moves_changed": [
            {"id": one.id, "was": _at(one.was, units), "now": _at(one.now, units)}
            for one in answer.moves
        ],
        "penetrations": [
            {"id": pen.id, "plane": pen.plane, "x": _at(pen.x, units), "state": pen.state,
             "to_move": _at(pen.moved, units)}
            for pen in answer.now.penetrations
        ],
        "links": [
            {"planes": list(link.now.planes), "planned_meet": link.was.meet,
             "meet": link.now.meet, "strays": to_number(link.now.strays2, units),
             "must": link.now.must}
            for link in answer.links
        ],
        "findings": [
            {"code": f.code, "severity": f.severity, "about": list(f.about), "says": f.says}
            for f in answer.findings
        ],
    }


def _run(run: Run, units: Units) -> Json:
    front = run.front
    return {
        "id": run.plane.id,
        "seam": front.sign * front.seam,
        "measured": {"eave": _at(front.eave, units), "ridge": _at(front.taped_ridge, units)},
        "planned": _at(front.planned[-1], units),
        "closes": run.legal,
        "as_planned": run.as_planned,
        "proven": run.proven,
        "panels": [_panel(panel, units) for panel in run.panels],
        "planned_last": _at(run.planned_last, units),
        "decision": {"panel": run.decision, "says": run.why},
        "least_bad": _bad(run.least_bad, units),
        "breaks": list(run.breaks),
    }


def _panel(panel: RestPanel, units: Units) -> Json:
    return {
        "panel": panel.number, "kind": panel.kind, "stretch": panel.stretch,
        "width_eave": _at(panel.width[0], units), "width_ridge": _at(panel.width[1], units),
        "far_eave": _at(panel.far[0], units), "far_ridge": _at(panel.far[1], units),
    }


def _bad(bad: LeastBad | None, units: Units) -> Json | None:
    if bad is None:
        return None
    mend = bad.mend
    return {
        "last_eave": _at(bad.last[0], units), "last_ridge": _at(bad.last[1], units),
        "off": _at(bad.off, units), "too": "narrow" if bad.narrow else "wide",
        "mend": {
            "full_panels": mend.panels,
            "each_narrower": None if mend.narrower is None else _at(mend.narrower, units),
            "each_wider": None if mend.wider is None else _at(mend.wider, units),
            "odd_panel": None if mend.odd is None else _at(mend.odd, units),
        },
    }


def _at(ticks: int, units: Units) -> float:
    return to_number(2 * ticks, units)
