"""The direct engine: one CP-SAT model of the whole problem, solved again for every list entry.

A model that must have a smaller count may buy it by a worse choice of moves for a choice of first
widths, odd panels and modules whose best layout lacks it. Such a layout is no candidate. So each
answer is held against the best layout for its choice; where they differ that choice is ruled out,
and with it every choice for which the same other moves are better, and the search goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.case import Case
from solver.checker.judge import compare, judge
from solver.clock import Clock
from solver.layout import Layout
from solver.model.alternatives import Alternative, add_alternative, better_ones
from solver.model.bounds import Bounds, Floors, add_floors, add_plane_bounds, plane_floors
from solver.model.decisions import Choice, chosen, layout_of
from solver.model.objective import count_levels, tie_levels, total_cents
from solver.model.run import minimize_in_order
from solver.model.variables import Expr, RoofVars
from solver.model.whole import build
from solver.ranks.ranking import Listing, make_entry
from solver.result import COUNT_NAMES, Ranked
from solver.tabling.pattern import too_bent


@dataclass(frozen=True)
class Answer:
    """A layout, the proven least total (cents), and the model's view of it in the tie order."""

    layout: Layout
    bound: int
    proven: bool
    order: tuple[int, ...]


def best_layout(
    case: Case,
    clock: Clock,
    *,
    presolve: bool = True,
    listed: Sequence[tuple[int, ...]] = (),
    excluded: Sequence[Choice] = (),
    alternatives: Sequence[Alternative] = (),
    choice: Choice | None = None,
    at_least: int | None = None,
    plane_bounds: Bounds | None = None,
    floors: Floors | None = None,
) -> Answer | None:
    """The best layout with a smaller count against each of `listed`, whose choice is none of
    `excluded`, or for a given `choice`; None if there is none or time ran out.

    None of the `alternatives` makes it better: no layout that is the best for its choice is lost.
    `at_least` (cents) is known to be no more than the total of any such layout, and so are
    `plane_bounds` and `floors` for the cost of the planes they name, links left out.
    """
    roof = build(case, clock)
    if roof is None:
        return None
    model = roof.model
    for counts in listed:
        _add_smaller_count(roof, counts)
    for other in excluded:
        model.add_bool_or([
            _differs(model, value, theirs) for value, theirs in chosen(roof, other)
        ])
    for alternative in alternatives:
        add_alternative(roof, alternative)
    if choice is not None:
        for value, wanted in chosen(roof, choice):
            model.add(value == wanted)
    if at_least is not None:
        total = total_cents(roof)
        if not isinstance(total, int):
            model.add(total >= at_least)
    for index, bounds in (plane_bounds or {}).items():
        add_plane_bounds(roof, roof.planes[index], bounds)
    add_floors(roof, floors or {})
    outcome = minimize_in_order(
        model, tie_levels(roof), [roof.nothing], clock, presolve=presolve, in_turns=True
    )
    if outcome.levels is None:
        return None
    return Answer(
        layout_of(roof, outcome.levels), outcome.first_bound or 0, outcome.proven,
        outcome.levels,
    )


def _add_smaller_count(roof: RoofVars, counts: tuple[int, ...]) -> None:
    reasons = []
    for level, limit in zip(count_levels(roof), counts, strict=True):
        if limit and not isinstance(level, int):
            smaller = roof.model.new_bool_var("")
            roof.model.add(level <= limit - 1).only_enforce_if(smaller)
            reasons.append(smaller)
    roof.model.add_bool_or(reasons)


def _differs(model: cp_model.CpModel, value: Expr, theirs: int) -> cp_model.IntVar:
    other = model.new_bool_var("")
    model.add(value != theirs).only_enforce_if(other)
    return other


def direct_list(
    case: Case,
    clock: Clock,
    top: int,
    presolve: bool = True,
    on_found: Callable[[Ranked], None] | None = None,
    *,
    at_least: int | None = None,
    plane_bounds: Bounds | None = None,
    listed: list[Ranked] | None = None,
) -> Listing:
    """The first `top` entries of the list; those that are `listed` already come first.

    New ones are added to `listed`. `at_least` and `plane_bounds` hold for every layout of the case
    (see `best_layout`). Of a case that is `too_bent` for this model it finds nothing more.
    """
    listed = [] if listed is None else listed
    if too_bent(case):
        return Listing(tuple(listed), False)
    complete = True
    alternatives: list[Alternative] = []
    floors = plane_floors(case, clock, presolve=presolve, known=plane_bounds)
    while len(listed) < top:
        counts = [entry.judged.counts for entry in listed]
        answer = next_candidate(
            case, clock, counts, presolve=presolve, at_least=at_least, plane_bounds=plane_bounds,
            floors=floors, alternatives=alternatives,
        )
        if answer is None:
            complete = not clock.over()
            break
        judged = judge(case, answer.layout)
        if answer.proven:
            compare(
                judged, answer.order[0], answer.order[1 : 1 + len(COUNT_NAMES)], answer.order, case
            )
        entry = make_entry(case, judged, answer.bound, listed)
        listed.append(entry)
        if on_found is not None:
            on_found(entry)
        if not answer.proven:
            complete = False
            break
    return Listing(tuple(listed), complete)


def next_candidate(
    case: Case,
    clock: Clock,
    listed: Sequence[tuple[int, ...]],
    *,
    presolve: bool = True,
    at_least: int | None = None,
    plane_bounds: Bounds | None = None,
    floors: Floors | None = None,
    alternatives: list[Alternative] | None = None,
) -> Answer | None:
    """The first candidate with a smaller count against each of `listed`; None if there is none or
    time ran out.

    `at_least`, `plane_bounds` and `floors` as in `best_layout`. `alternatives` have been found
    before; more are added.
    """
    excluded: list[Choice] = []
    if too_bent(case):
        return None
    alternatives = [] if alternatives is None else alternatives
    floor = at_least
    while True:
        answer = best_layout(
            case, clock, presolve=presolve, listed=listed, excluded=excluded, at_least=floor,
            plane_bounds=plane_bounds, floors=floors, alternatives=alternatives if listed else (),
        )
        if answer is None or not answer.proven or not listed or not _anything_moves(case):
            return answer
        choice = Choice.of(answer.layout)
        own_best = best_layout(case, clock, presolve=presolve, choice=choice)
        if own_best is None or not own_best.proven:
            return None
        if own_best.layout == answer.layout:
            return answer
        excluded.append(choice)
        better = better_ones(answer.layout.moves, own_best.layout.moves)
        alternatives += [one for one in better if one not in alternatives]
        floor = answer.bound


def _anything_moves(case: Case) -> bool:
    """Whether a choice leaves anything open, so that its best layout is one of many."""
    return any(pen.kind == "pipe" and pen.status != "fixed" for pen in case.penetrations)
