"""A comparison as a JSON document: numbers in the results' units, money in currency units."""

from __future__ import annotations

from typing import Any, Final

from solver.comparing.compared import Comparison, Figure, Laid, Spot
from solver.comparing.result_file import FileFinding
from solver.units import Units, to_number

FORMAT: Final = "offseam-compare-1"
Json = dict[str, Any]


def comparison_document(found: Comparison, files: tuple[str, str]) -> Json:
    """Everything that changed, sorted by whom it concerns; empty lists where nothing did."""
    units = found.units
    return {
        "format": FORMAT,
        "title": found.titles[1],
        "units": units,
        "old": _side(found, files, 0),
        "new": _side(found, files, 1),
        "same_case": found.same_case,
        "nothing_changed": found.nothing,
        "plumber": [
            {
                "id": one.id, "changes": list(one.kinds),
                "old": _spot(one.old, one.towards_old, units),
                "new": _spot(one.new, one.towards, units),
            }
            for one in found.plumber
        ],
        "crew": [
            {
                "plane": one.id, "old": _laid(one.old, units), "new": _laid(one.new, units),
                "seams_shifted": None if one.shift is None else _at(one.shift, units),
                "same_seams": one.same_seams,
            }
            for one in found.crew
        ],
        "estimator": {
            "costs": [_figure(one, 100) for one in found.costs],
            "counts": [_figure(one, 1) for one in found.counts],
            "rates": [
                {
                    "name": one.name, "old": _rate(one.old), "new": _rate(one.new),
                    "old_default": one.old_default, "new_default": one.new_default,
                }
                for one in found.rates
            ],
        },
        "detailer": {
            "states": [
                {
                    "id": one.id, "old": one.old, "new": one.new,
                    "seams_cut_old": one.cut_old, "seams_cut_new": one.cut_new,
                    "at_risk_old": one.risk_old, "at_risk_new": one.risk_new,
                }
                for one in found.states
            ],
            "links": [
                {"planes": list(planes), "old": old, "new": new}
                for planes, old, new in found.links
            ],
            "findings_new": [_finding(one) for one in found.findings_new],
            "findings_gone": [_finding(one) for one in found.findings_gone],
        },
    }


def _side(found: Comparison, files: tuple[str, str], place: int) -> Json:
    cover = found.covers[place]
    return {
        "file": files[place],
        "title": found.titles[place],
        "revision": found.revisions[place],
        "layout": found.ranks[place],
        "proof": found.proofs[place],
        "cover": None if cover is None else _at(cover, found.units),
        "total": found.totals[place] / 100,
    }


def _at(value: int, units: Units) -> float:
    return to_number(2 * value, units)


def _spot(spot: Spot | None, towards: str, units: Units) -> Json | None:
    if spot is None:
        return None
    return {
        "plane": spot.plane, "as_drawn": _at(spot.drawn, units), "moved": _at(spot.moved, units),
        "towards": towards, "set_to": _at(spot.x, units),
    }


def _laid(laid: Laid | None, units: Units) -> Json | None:
    if laid is None:
        return None
    window = None if laid.window is None else [_at(end, units) for end in laid.window]
    return {
        "first": _at(laid.first, units), "last": _at(laid.last, units), "panels": laid.panels,
        "window": window,
        "from": None if laid.line is None else _at(laid.line, units),
        "odd": [
            {
                "panel": panel, "width": _at(width, units), "low": _at(low, units),
                "high": _at(high, units),
            }
            for panel, width, low, high in laid.odds
        ],
        "modules": [
            {"stretch": stretch, "panels": [first, last], "change": _at(change, units)}
            for stretch, first, last, change in laid.modules
        ],
    }


def _figure(figure: Figure, per: int) -> Json:
    old, new = figure.old, figure.new
    return {
        "name": figure.name, "old": old / per if per > 1 else old,
        "new": new / per if per > 1 else new,
        "change": (new - old) / per if per > 1 else new - old,
    }


def _rate(values: tuple[float, ...]) -> Json | float | None:
    if len(values) == 3:
        return dict(zip(("hours", "material", "each"), values, strict=True))
    return values[0] if values else None


def _finding(finding: FileFinding) -> Json:
    return {
        "code": finding.code, "severity": finding.severity, "about": finding.about,
        "says": finding.says,
    }
