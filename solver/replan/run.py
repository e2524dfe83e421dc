"""Laying on from where the crew stands: each run under way solved again, the roof judged anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from solver.case import Case
from solver.clock import Clock
from solver.errors import DisagreementError
from solver.replan.answer import Replan
from solver.replan.best import Choice, best_choice_of
from solver.replan.compare import changed_states, links_now, new_moves, told_findings
from solver.replan.least_bad import LeastBad, least_bad
from solver.replan.measured import (
    find_fronts,
    is_as_planned,
    moves_to_make,
    other_plan,
    planned_seams,
    row_of,
    rows_of,
)
from solver.replan.panels import run_of
from solver.replan.read import AsBuilt
from solver.replan.row import Row, plan_way
from solver.replan.stood import Stood, stand
from solver.replan.synthetic import broken_panels, rest_case, way_from
from solver.replan.truth import truth_of
from solver.replan.ways import (
    TooManyWaysError,
    Way,
    fanned_ways,
    neighbours,
    plain_way,
    ways_of,
)
from solver.result import Judged
from solver.tabling.starts import least_end


@dataclass(frozen=True)
class _Laid:
    """A run with the way chosen for it, and how that came about."""

    row: Row
    way: Way
    legal: bool
    closes: bool
    proven: bool
    bad: LeastBad | None


def replan(
    case: Case, plan: Judged, rank: int | None, as_built: AsBuilt, clock: Clock | None = None
) -> Replan:
    """Lay the rest of every plane under way again.

    `plan` is the layout being built, `rank` its place in the list (None: by first widths). A plane
    not named stays as planned.

    Raises:
        CaseError: the as-built file tells what cannot be on this layout; all problems at once.
        DisagreementError: the search and the checker differ.
    """
    clock = clock or Clock()
    fronts = find_fronts(case, plan, as_built)
    report = as_built.report()
    stood = stand(case, plan.layout.moves, rows_of(case, plan, fronts), as_built.seen, report)
    report.close()
    planned_moves = moves_to_make(case, stood, plan.layout, as_built)
    chosen = dict(planned_moves)
    laid: list[_Laid] = []
    for front in fronts:
        clock.say(f"plane {case.planes[front.plane].id}: the rest")
        done = next(((one.row.front, one.way) for one in laid
                     if one.row.front.plane == front.plane), None)
        row = row_of(stood.case, plan, front, fronts, done)
        one, moves = _lay_on(case, plan, stood, row, chosen, clock)
        chosen |= moves
        laid.append(one)
    now = truth_of(case, stood, plan.layout, _finals(laid), chosen)
    kept = [_as_planned(case, plan, one) for one in laid]
    planned = None
    if all(_holds(case, plan, one) for one in kept):
        planned = truth_of(case, stood, plan.layout, _finals(kept), planned_moves)
    exact = is_as_planned(case, plan, fronts, as_built)
    better = planned is not None and exact and now.key < planned.key
    if planned is not None and not planned.breaks and (
        exact or not all(one.legal for one in laid) or planned.key <= now.key
    ):
        now, laid = planned, kept
    changed = changed_states(case, plan, now.judged, stood, [(o.row, o.way) for o in laid])
    runs = tuple(
        run_of(case, plan, one.row, one.way, now, changed, legal=one.legal, closes=one.closes,
               proven=one.proven, bad=one.bad)
        for one in laid
    )
    return Replan(
        case, stood.case, as_built.date, rank, plan, now.judged, runs, changed,
        new_moves(case, plan, now, stood), links_now(case, plan, now.judged, fronts),
        told_findings(case, plan, now.judged, stood, fronts), better,
    )


def _as_planned(case: Case, plan: Judged, one: _Laid) -> _Laid:
    """The same run with the plan's own rest, and that of the other run where it is under way."""
    row = one.row
    way = plan_way(plan.layout, row.front, planned_seams(plan, row.front, case))
    row = replace(row, other_way=other_plan(row, plan, case))
    return replace(one, row=row, way=way, legal=True, closes=True, bad=None)


def _holds(case: Case, plan: Judged, one: _Laid) -> bool:
    """Whether the plan's own rest still closes, its odd panels and pieces allowed."""
    slots = _slots(case, one.row, plan)
    return (
        _closes(case, one.row, one.way) and len(one.way.odds) <= slots
        and not broken_panels(one.row, one.way, slots)
    )


def _finals(laid: Sequence[_Laid]) -> list[tuple[Row, Way]]:
    """One row for each plane under way: of its last run, which knows the other one."""
    last = {one.row.front.plane: (one.row, one.way) for one in laid}
    return [last[plane] for plane in sorted(last)]


def _closes(case: Case, row: Row, way: Way) -> bool:
    low, high = sorted(row.front.lasts(way.widths))
    return least_end(case, row.plane) <= low and high <= case.panel.cover


def _slots(case: Case, row: Row, plan: Judged) -> int:
    """How many odd panels the plane may still have on this run."""
    gone = len(row.front.odds)
    if row.plane.lay == "from":
        if row.other_front is not None and row.other_way is not None:
            gone += len(row.other_front.odds) + len(row.other_way.odds)
        else:
            gone += sum(1 for odd in plan.layout.odds
                        if odd.plane == row.front.plane and odd.panel * row.front.sign < 0)
    return max(0, case.rules.odd_panels - gone)


def _lay_on(
    case: Case, plan: Judged, stood: Stood, row: Row, chosen: dict[int, int], clock: Clock
) -> tuple[_Laid, dict[int, int]]:
    """The best way for one run, and the moves of the pipes ahead of its front."""
    ahead = [i for i in stood.case.on(row.plane.id)
             if row.distance(stood.case.penetrations[i].x) >= 0]
    held = _held(stood.case, row, ahead, chosen)
    row = replace(row, case=held)
    slots = _slots(case, row, plan)
    own = plan_way(plan.layout, row.front, planned_seams(plan, row.front, case))
    ways, whole = _ways(row, slots, clock)
    if _closes(case, row, own) and len(own.odds) <= slots:
        ways = [own, *ways]
    bad: LeastBad | None = None
    legal, closes, proven = True, True, whole and not _split(case, row)
    try:
        found = best_choice_of(row, ways, clock)
        if not whole and found is not None:
            ways, found = _descend(row, ways, found, clock)
        if found is None:
            legal = False
            found = best_choice_of(row, ways, clock, lawful=False)
        if found is None and not ways:
            closes = False
            bad, ways = _bad(case, row, slots)
            found = best_choice_of(row, ways, clock, lawful=False)
    except TimeoutError:
        found, proven = None, False
    if found is None:
        ways = ways or [plain_way(case, row.front.left[1])]
        return _Laid(row, ways[0], False, closes and bool(ways), False, bad), {}
    way = ways[found.way]
    _hold_against(row, way, found, stood, plan, case, slots, closes, chosen)
    moves = {i: found.moves[i] for i in ahead if i in found.moves}
    return _Laid(row, way, legal, closes, proven, bad), moves


def _descend(
    row: Row, ways: list[Way], found: Choice, clock: Clock
) -> tuple[list[Way], Choice]:
    """From the best of a few ways on to better ones, a stretch at a time, as far as that leads."""
    while not clock.over():
        here = ways[found.way]
        if here.planned and here.changes:  # its stretches are the plan's, not those from here on
            break
        here = replace(here, planned=False, altered_=0)
        near = neighbours(row.case, row.plane, row.front.left, here)
        try:
            best = best_choice_of(row, near, clock)
        except TimeoutError:
            break
        if best is None or best.key >= found.key:
            break
        ways, found = near, best
    return ways, found


def _held(case: Case, row: Row, ahead: list[int], chosen: dict[int, int]) -> Case:
    """The case with what stands on the plane's other run held where it is chosen to be."""
    mine, pens = set(ahead), list(case.penetrations)
    for i in case.on(row.plane.id):
        if i not in mine:
            pens[i] = replace(pens[i], x=pens[i].x + chosen.get(i, 0), status="fixed",
                              reach_low=0, reach_high=0, forbid=(), must_land=False)
    return replace(case, penetrations=tuple(pens))


def _split(case: Case, row: Row) -> bool:
    """Whether two runs of one plane under way share what is settled one after the other."""
    return row.other_front is not None and bool(case.rules.odd_panels or case.rules.play)


def _ways(row: Row, slots: int, clock: Clock) -> tuple[list[Way], bool]:
    """The ways to look at, and whether those are all there are."""
    case, plane, front = row.case, row.plane, row.front
    if front.tilt.full:
        return fanned_ways(front, least_end(case, plane), case.panel.cover, case.panel.cover), True
    try:
        return ways_of(case, plane, front.left, slots), True
    except TooManyWaysError:
        pass
    found = [plain_way(case, front.left[1])]
    if plane.outline is None:
        from solver.api import solve

        rest, _ = rest_case(row, slots)
        result = solve(rest, top=1, clock=clock)
        if result.layouts:
            found.insert(0, way_from(result.layouts[0].judged.layout, rest))
    found += _without_play(case, row, slots)
    return [way for way in found if _closes(case, row, way)], False


def _without_play(case: Case, row: Row, slots: int) -> list[Way]:
    """Every way that has no play and as many odd panels as can still be looked at one by one."""
    bare = replace(case, rules=replace(case.rules, play=0))
    for odd in range(slots, 0, -1):
        try:
            return ways_of(bare, row.plane, row.front.left, odd)
        except TooManyWaysError:
            continue
    return []


def _bad(case: Case, row: Row, slots: int) -> tuple[LeastBad, list[Way]]:
    try:
        return least_bad(case, row.plane, row.front, slots)
    except TooManyWaysError:
        bare = replace(case, rules=replace(case.rules, play=0))
        return least_bad(bare, row.plane, row.front, 0)


def _hold_against(
    row: Row, way: Way, found: Choice, stood: Stood, plan: Judged, case: Case, slots: int,
    closes: bool, chosen: dict[int, int],
) -> None:
    """Hold what the search says of a way against the checker.

    Raises:
        DisagreementError: they differ, or the checker finds a rule of panels broken.
    """
    if closes and (broken := broken_panels(row, way, slots)):
        raise DisagreementError("The checker finds the rest of the panels wrong: "
                                + " ".join(broken))
    if way.last(row.front.room - row.front.eave) > case.panel.cover:
        return  # no panel is that wide: the checker would lay another
    true = truth_of(case, stood, plan.layout, [(row, way)], {**chosen, **found.moves})
    mine = set(found.concerned)
    of = [true.judged.penetrations[i] for i in sorted(mine)]
    states = [pen.state for pen in of]
    counts = (
        states.count("on-seam"), sum(pen.seams_cut for pen in of), states.count("crosses"),
        states.count("tight"), states.count("crowded"),
        sum(1 for i in sorted(mine) if found.moves.get(i)),
    )
    if counts != found.key[1:7]:
        raise DisagreementError(
            "The checker and the search disagree about the rest of a plane (pipes on seams, seams "
            f"cut, crossing, tight, crowded, moved): checker {counts}, search {found.key[1:7]}"
        )
