"""What came out otherwise than planned: states, moves, links; what the crew must know. Ticks."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from solver.case import Case
from solver.case_file.load_report import length_said
from solver.replan.answer import Changed, LinkNow, NewMove
from solver.replan.front import Front
from solver.replan.row import Row, run_at
from solver.replan.stood import Stood
from solver.replan.truth import Truth
from solver.replan.ways import Way
from solver.result import Finding, Judged
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, format_length


def changed_states(
    case: Case, plan: Judged, now: Judged, stood: Stood, rows: Sequence[tuple[Row, Way]]
) -> tuple[Changed, ...]:
    """Every penetration whose state is no longer the planned one, in case order."""
    found = []
    for i, (was, is_) in enumerate(zip(plan.penetrations, now.penetrations, strict=True)):
        if was.state == is_.state:
            continue
        panel = 0
        for row, way in rows:
            along = row.distance(is_.x)
            if row.plane.id == is_.plane and along >= 0:
                y = stood.case.penetrations[i].y
                panel = row.front.sign * (bisect_left(run_at(row.front, way, y), along) + 1)
        found.append(Changed(is_.id, was.state, is_.state, is_.room2, is_.needed2, panel,
                             i in stood.behind))
    return tuple(found)


def new_moves(case: Case, plan: Judged, now: Truth, stood: Stood) -> tuple[NewMove, ...]:
    """Pipes still to be set whose move is no longer the planned one."""
    found = []
    for i, pen in enumerate(case.penetrations):
        still = stood.case.penetrations[i]
        was, is_ = plan.layout.moves[i], now.moves[i]
        if i not in stood.behind and (still.x, still.y) == (pen.x, pen.y) and was != is_:
            found.append(NewMove(pen.id, was, is_))
    return tuple(found)


def links_now(
    case: Case, plan: Judged, now: Judged, fronts: Sequence[Front]
) -> tuple[LinkNow, ...]:
    """The links of planes under way."""
    under_way = {case.planes[front.plane].id for front in fronts}
    return tuple(
        LinkNow(was, is_) for was, is_ in zip(plan.links, now.links, strict=True)
        if under_way & set(is_.planes)
    )


def told_findings(
    case: Case, plan: Judged, now: Judged, stood: Stood, fronts: Sequence[Front]
) -> tuple[Finding, ...]:
    """What the crew must know beside the panels."""
    found = []
    tol2 = 2 * case.rules.meet_tol
    for link in links_now(case, plan, now, fronts):
        if max(link.now.strays2, 0 if link.now.meet else tol2 + 1) <= tol2:
            continue
        if (link.was.meet and link.was.strays2 <= tol2) or link.now.must:
            off = length_said(-(-link.now.strays2 // 2), case.units, "up")
            must = ", which they must" if link.now.must else ""
            found.append(Finding(
                "must-link" if link.now.must else "link-strays",
                "error" if link.now.must else "warning", link.now.planes,
                f"The seams of planes {' and '.join(link.now.planes)} no longer meet as their link "
                f"asks{must}: they miss by up to {off}.",
            ))
    for i in sorted(stood.behind):
        pen, stands = case.penetrations[i], now.penetrations[i]
        if stands.state in pen.forbid:
            found.append(Finding(
                "forbidden", "warning", (pen.id,),
                f"{pen.id} lies behind the front and is {stands.state.replace('-', ' a ')}, which "
                "the case forbids: no way to lay the rest can change that.",
            ))
    under_way = {case.planes[front.plane].id for front in fronts}
    on = {pen.id: pen.plane for pen in case.penetrations}
    for breach in now.breaks:
        if not under_way & {on.get(name, name) for name in breach.about}:
            found.append(Finding(breach.code, "warning", breach.about, breach.says))
    for front in fronts:
        if front.leans:
            fine = TICKS_PER_INCH // 64 if case.units == "in" else TICKS_PER_MM // 10
            off = format_length(2 * abs(front.off_line), case.units, min(fine, case.mark))
            more = " more than the fan asks" if front.tilt.full else ""
            found.append(Finding(
                "leaning", "warning", (case.planes[front.plane].id,),
                f"Seam {front.sign * front.seam} of plane {case.planes[front.plane].id} leans by "
                f"{off} between eave and ridge{more}: "
                "panels of one width lean on, and the last one takes it up.",
            ))
    return tuple(found)
