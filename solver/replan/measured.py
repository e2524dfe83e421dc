"""The runs under way, from what was measured and the plan. Ticks."""

from __future__ import annotations

from solver.case import Case
from solver.layout import Layout
from solver.replan.front import Front, front_of, run_seams
from solver.replan.read import AsBuilt
from solver.replan.row import Row, plan_way
from solver.replan.stood import Stood
from solver.replan.ways import Way
from solver.result import Judged


def find_fronts(case: Case, plan: Judged, as_built: AsBuilt) -> list[Front]:
    """Every run under way, in plane order, that towards the high end first.

    Raises:
        CaseError: the plan has no such seam, or nobody can have measured it there.
    """
    report = as_built.report()
    index = {plane.id: i for i, plane in enumerate(case.planes)}
    mark = case.field.tape_mark if case.field is not None else case.panel.seam_back
    found = []
    for read in as_built.planes:
        assert read.entry is not None
        i = index[read.entry.id]
        front = front_of(case, i, plan.planes[i], plan.layout, read, mark, report)
        if front is not None:
            found.append(front)
    report.close()
    return sorted(found, key=lambda front: (front.plane, -front.sign))


def planned_seams(plan: Judged, front: Front, case: Case) -> list[int]:
    """The seams of a front's run as planned, as distances from where laying starts."""
    return run_seams(case.planes[front.plane], plan.planes[front.plane].seams, front.sign)


def rows_of(case: Case, plan: Judged, fronts: list[Front]) -> list[Row]:
    """One row for every front, other runs as laid and planned."""
    return [row_of(case, plan, front, fronts, None) for front in fronts]


def moves_to_make(
    case: Case, stood: Stood, layout: Layout, as_built: AsBuilt
) -> dict[int, int]:
    """The plan's moves of pipes that are not yet where they stay."""
    seen = {read.entry.id for read in as_built.seen if read.entry is not None}
    return {
        i: layout.moves[i] for i, pen in enumerate(case.penetrations)
        if layout.moves[i] and i not in stood.made and pen.id not in seen
    }


def is_as_planned(case: Case, plan: Judged, fronts: list[Front], as_built: AsBuilt) -> bool:
    """Whether everything measured is as planned."""
    for front in fronts:
        planned = planned_seams(plan, front, case)[: front.seam]
        if front.leans or front.eave != planned[-1] or list(front.planned) != planned:
            return False
    stands = {pen.id: pen for pen in plan.penetrations}
    drawn = {pen.id: pen for pen in case.penetrations}
    for read in as_built.seen:
        entry = read.entry
        assert entry is not None
        y = drawn[entry.id].y if entry.y is None else entry.y
        if (entry.x, y) != (stands[entry.id].x, drawn[entry.id].y):
            return False
    return True


def row_of(
    case: Case, plan: Judged, front: Front, fronts: list[Front], done: tuple[Front, Way] | None
) -> Row:
    """The row of a front; its other run is what was chosen for it (`done`), else as laid and
    planned."""
    plane = case.planes[front.plane]
    if done is not None:
        return Row(case, plane, front, (), *done)
    other = next((f for f in fronts if f.plane == front.plane and f.sign != front.sign), None)
    if other is not None:
        way = plan_way(plan.layout, other, planned_seams(plan, other, case))
        return Row(case, plane, front, (), other, way)
    beyond = () if plane.lay != "from" else tuple(
        run_seams(plane, plan.planes[front.plane].seams, -front.sign)
    )
    return Row(case, plane, front, beyond)


def other_plan(row: Row, plan: Judged, case: Case) -> Way | None:
    """The plan's own rest of the other run, where that is under way too."""
    if row.other_front is None:
        return None
    return plan_way(plan.layout, row.other_front, planned_seams(plan, row.other_front, case))
