"""The ways to lay a surveyed roof as a JSON document: numbers in the case's units."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from solver.layout_document import LayoutWriter, cost_document, money_number
from solver.result import NOT_PROVEN, PROVEN, Breach, Finding, Judged
from solver.survey.corners import corners_of
from solver.survey.document import survey_document
from solver.survey.rerun import surveyed
from solver.survey.surveyed import SurveyError
from solver.survey.ways import Change, EndPanels, OnRoof, Way, Ways
from solver.units import TICKS_PER

FORMAT: Final = "offseam-survey-1"
Json = dict[str, Any]


def ways_document(found: Ways, versions: dict[str, str]) -> Json:
    """Surveys, ways, the layout by the drawing on the roof as it stands, and the cheapest way."""
    case = found.case
    return {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "revision": case.revision,
        "date": case.date,
        "versions": versions,
        "case_sha256": case.sha256,
        "surveys": [_survey(found, plane.id) for plane in surveyed(case)],
        "ways": [_way(way) for way in found.ways],
        "drawn_on_roof": None if found.on_roof is None else _on_roof(found.on_roof),
        "cheapest": None if found.cheapest is None else found.cheapest.run,
        "findings": [_finding(one) for one in found.findings],
    }


def _survey(found: Ways, name: str) -> Json:
    plane = next(plane for plane in found.case.planes if plane.id == name)
    assert plane.survey is not None
    head = {"plane": name, "run": plane.survey.run}
    try:
        return {**head, "survey": survey_document(corners_of(plane, found.case.units)),
                "impossible": []}
    except SurveyError as error:
        return {**head, "survey": None, "impossible": list(error.problems)}


def _way(way: Way) -> Json:
    best, writer = way.best, LayoutWriter(way.case)
    result = way.result
    return {
        "run": way.run,
        "possible": best is not None,
        "why": [{"plane": plane, "says": says} for plane, says in way.why],
        "complete": result is None or result.complete,
        "total": None if best is None else money_number(best.judged.cost.total),
        "bound": None if best is None else money_number(best.bound),
        "proof": NOT_PROVEN if best is None or best.proof != PROVEN else PROVEN,
        "ends": [_ends(way, one) for one in way.ends],
        "changes": [_change(way, one) for one in way.changes],
        "layout": None if best is None else writer.entry(best),
        "findings": [] if result is None else [_finding(one) for one in result.findings],
    }


def _on_roof(on: OnRoof) -> Json:
    judged: Judged | None = on.judged
    return {
        "why": on.why,
        "legal": judged is not None and not judged.breaks,
        "cost": None if judged is None else cost_document(judged.cost),
        "breaks": [] if judged is None else _breaks(judged.breaks),
        "ends": [_ends(on, one) for one in on.ends],
        "changes": [_change(on, one) for one in on.changes],
    }


def _ends(of: Way | OnRoof, one: EndPanels) -> Json:
    per = TICKS_PER[of.case.units]
    writer = LayoutWriter(of.case)
    return {
        "plane": one.plane,
        "first": {"eave": writer.ticks(one.eave[0]), "top": writer.ticks(one.top[0])},
        "last": {"eave": writer.ticks(one.eave[1]), "top": writer.ticks(one.top[1])},
        "fanned_panels": one.full,
        "each_wider_at_top": round(one.share / per, 6) + 0.0,  # no minus zero
    }


def _change(of: Way | OnRoof, one: Change) -> Json:
    writer = LayoutWriter(of.case)
    return {
        "id": one.id, "was": one.was, "now": one.now,
        "was_moved": writer.ticks(one.was_moved), "moved": writer.ticks(one.moved),
        "was_cut": one.was_cut, "seams_cut": one.cut,
    }  # fmt: skip


def _breaks(breaks: Iterable[Breach]) -> list[Json]:
    return [{"code": one.code, "about": list(one.about), "says": one.says} for one in breaks]


def _finding(one: Finding) -> Json:
    return {"code": one.code, "severity": one.severity, "about": list(one.about),
            "says": one.says}
