"""Small random roofs under way: a case, its plan by the program, and measurements with drift."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

import oracle_replan as brute
from solver.api import case_from_document, solve
from solver.case import Case
from solver.result import Judged

Json = dict[str, Any]
RATES = {
    "tight": 50, "crosses": 200, "on_seam": 500, "seam_cut": 150, "crowded": 200,
    "move_planned": 50, "move_stubbed": 150, "odd_panel": 150, "play": 25, "uneven": 25,
}
IN = brute.INCH


@dataclass(frozen=True)
class UnderWay:
    """A case, the layout being built, what was measured, and the same for the oracle."""

    case: Case
    plan: Judged
    as_built: Json
    roof: brute.Roof
    drifted: bool


def random_document(r: Random) -> Json:
    """A plane of a few panels, 18 or 16 in wide, marks of 1 in, a few pipes and curbs."""
    cover = r.choice((16, 18))
    panels = r.randint(3, 6)
    width = cover * panels + r.choice((0, 1, 3, 5.5, 7, 9, 12, 13.25))
    lay = r.choice(("left-to-right", "right-to-left", "from"))
    plane: Json = {"id": "S", "width": width, "length": r.choice((120, 200)), "lay": lay}
    if lay == "from":
        plane["from"] = r.choice((cover * 2 + 1, cover + 7, width / 2))
    rules: Json = {
        "min_end": r.choice((4, 6, 8)), "end_lap": 4, "spacing": r.choice((4, 12)),
        "edge_gap": 8, "enough": 1.5, "curb_side": r.choice((3, 6)), "uneven_free": 2,
        "work_gap": 0.5, "hole_gap": 0.375, "remeasure": r.choice((1, 2, 3, 4)),
    }
    if r.random() < 0.6:
        rules |= {"odd_panels": r.choice((1, 1, 2)), "odd_widths": sorted(
            r.sample((9, 10, 12, 13, 14.5), r.choice((1, 2))))}
    if r.random() < 0.5:
        rules |= {"play": 0.125, "play_mark": 0.125}
    document: Json = {
        "title": "random", "units": "in", "mark": r.choice((1, 0.5)),
        "panel": {"cover": cover, "seam_back": r.choice((0.375, 0.5)), "seam_fwd": 0.5},
        "rules": rules, "moves": {"step": 2}, "plane": [plane],
        "rates": {"crew_hour": 100, "plumber_hour": 100,
                  **{name: {"hours": n / 100, "material": 0} for name, n in RATES.items()}},
        "penetration": [_penetration(r, k, width) for k in range(r.randint(1, 4))],
    }
    return document


def _penetration(r: Random, k: int, width: float) -> Json:
    x = r.randint(4, int(width) - 4) + r.choice((0, 0.25, 0.5))
    pen: Json = {"id": f"P{k}", "plane": "S", "x": x, "y": r.choice((20, 50, 90))}
    if r.random() < 0.25:
        return pen | {"kind": "curb", "across": r.choice((6, 14, 24, 40)), "along": 20}
    pen |= {"kind": "pipe", "outside": r.choice((2, 3.5)), "base": r.choice((6.5, 8.5))}
    pen["status"] = r.choice(("fixed", "planned", "planned", "stubbed"))
    if pen["status"] != "fixed":
        pen["reach"] = r.choice((2, 4, 6))
        if pen["status"] == "stubbed":
            pen["min_offset"] = 3
    if r.random() < 0.12:
        pen["forbid"] = ["on-seam"]
    return pen


def under_way(seed: int, *, drift: bool = True) -> UnderWay | None:
    """A random roof under way; None where the case has no layout, no seam, or no sound reading."""
    r = Random(seed)
    document = random_document(r)
    try:
        case = case_from_document(document)
    except ValueError:
        return None
    result = solve(case, top=1)
    if not result.layouts:
        return None
    plan = result.layouts[0].judged
    plane, seams = case.planes[0], plan.planes[0].seams
    start = {"left-to-right": 0, "right-to-left": plane.width}.get(plane.lay, plane.start or 0)
    high = sorted(s - start for s in seams if s > start)
    low = sorted(start - s for s in seams if s < start)
    sign = -1 if plane.lay == "from" and r.random() < 0.5 else 1
    run = low if plane.lay == "right-to-left" or sign < 0 else high
    room = {"left-to-right": plane.width, "right-to-left": plane.width}.get(
        plane.lay, start if sign < 0 else plane.width - start)
    if not run:
        return None
    seam = r.randint(1, len(run))
    eave = ridge = run[seam - 1]
    if drift:
        eave += r.randint(-32, 32) * IN // 16
        ridge = eave + (r.randint(-12, 12) * IN // 16 if r.random() < 0.4 else 0)
    if not all(0 < at < room and 2 * abs(at - run[seam - 1]) < case.panel.cover
               for at in (eave, ridge)):
        return None
    as_built: Json = {"plane": [{"id": "S", "seam": sign * seam, "eave": eave / IN}]}
    if ridge != eave:
        as_built["plane"][0]["ridge"] = ridge / IN
    seen: dict[str, int] = {}
    if drift and r.random() < 0.3:
        pen = r.choice(case.penetrations)
        x = pen.x + r.randint(-16, 16) * IN // 16
        seen[pen.id] = x
        as_built["penetration"] = [{"id": pen.id, "x": x / IN}]
    roof = _roof(case, plan, sign * seam, eave, ridge, seen)
    return UnderWay(case, plan, as_built, roof, (eave, ridge) != (run[seam - 1],) * 2 or bool(seen))


def _roof(
    case: Case, plan: Judged, seam: int, eave: int, ridge: int, seen: dict[str, int]
) -> brute.Roof:
    """The oracle's view: numbers of the case and of the plan's decisions, nothing judged."""
    plane, rules, layout = case.planes[0], case.rules, plan.layout
    odd = rules.odd_widths
    modules = (0,) if not rules.play else (-IN // 8, 0, IN // 8)
    pens = tuple(
        brute.Pen(
            pen.id, seen.get(pen.id, pen.x), pen.y, pen.outside, pen.base, pen.across, pen.along,
            "fixed" if pen.id in seen else pen.status, pen.reach_low, pen.min_offset, pen.forbid,
            0 if pen.id in seen else move, pen.id in seen,
        )
        for pen, move in zip(case.penetrations, layout.moves, strict=True)
    )
    return brute.Roof(
        plane.width, plane.length, plane.lay, plane.start or 0, case.panel.cover,
        case.panel.seam_back, case.panel.seam_fwd, rules.min_end, rules.end_lap, rules.work_gap,
        rules.hole_gap, rules.seamer_gap, rules.curb_side, rules.edge_gap, rules.spacing,
        rules.enough, rules.uneven_free, case.step, rules.odd_panels, odd, modules,
        rules.remeasure, {name: cents * 100 for name, cents in RATES.items()}, pens,
        plan.planes[0].seams, {o.panel: o.width for o in layout.odds},
        {c.stretch: c.ticks for c in layout.changes if c.ticks}, seam, eave, ridge,
    )
