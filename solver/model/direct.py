"""The direct engine: one CP-SAT model of the whole problem, solved again for every list entry.

A model that must have a smaller count may buy it by a worse choice of moves for first widths whose
best layout lacks it. Such a layout is no candidate. So each answer is held against the best layout
for its first widths; where they differ those first widths are ruled out, and the search goes on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from solver.case import Case
from solver.checker import compare, judge
from solver.clock import Clock
from solver.layout import Layout
from solver.model import constraints, move_rules
from solver.model.objective import count_levels, tie_levels
from solver.model.run import minimize_in_order
from solver.model.variables import RoofVars, make_variables
from solver.profile import Profile
from solver.ranking import Listing, make_entry
from solver.result import Ranked

RULES = (
    constraints.add_end_rule,
    constraints.add_unevenness,
    constraints.add_place,
    constraints.add_room,
    constraints.add_pipe_states,
    constraints.add_curbs,
    constraints.add_shortfall,
    constraints.add_forbidden,
    constraints.add_links,
    move_rules.add_agreed,
    move_rules.add_move_rules,
    move_rules.add_spacing,
)


@dataclass(frozen=True)
class _Answer:
    layout: Layout
    bound: int
    proven: bool


def build(case: Case) -> RoofVars:
    """The whole problem, every rule added."""
    roof = make_variables(case)
    for add_rule in RULES:
        add_rule(roof)
    return roof


def best_layout(
    case: Case,
    clock: Clock,
    *,
    presolve: bool = True,
    listed: list[tuple[int, ...]] | None = None,
    excluded: list[tuple[int, ...]] | None = None,
    firsts: tuple[int, ...] | None = None,
) -> _Answer | None:
    """The best layout with a smaller count against each of `listed`, away from `excluded` first
    widths, or for given `firsts`; None if there is none or time ran out."""
    roof = build(case)
    model = roof.model
    for counts in listed or []:
        reasons = []
        for level, limit in zip(count_levels(roof), counts, strict=True):
            if limit and not isinstance(level, int):
                smaller = model.new_bool_var("")
                model.add(level <= limit - 1).only_enforce_if(smaller)
                reasons.append(smaller)
        model.add_bool_or(reasons)
    hosts = [host for host in roof.planes if not host.one_panel]
    for widths in excluded or []:
        differs = []
        for host, width in zip(roof.planes, widths, strict=True):
            if not host.one_panel:
                other = model.new_bool_var("")
                model.add(host.first != width).only_enforce_if(other)
                differs.append(other)
        model.add_bool_or(differs)
    if firsts is not None:
        for host, width in zip(roof.planes, firsts, strict=True):
            if not host.one_panel:
                model.add(host.first == width)
    watch, deltas = [], []
    for host in hosts:
        shown = model.new_int_var(0, case.panel.cover, "")
        model.add(shown == host.first)
        watch.append(shown)
    for pen in roof.pens:
        shown = model.new_int_var(-pen.pen.reach_low, pen.pen.reach_high, "")
        model.add(shown == pen.delta)
        deltas.append(shown)
    watch_all = [*watch, *deltas] or [model.new_bool_var("")]
    outcome = minimize_in_order(model, tie_levels(roof), watch_all, clock, presolve=presolve)
    if outcome.values is None:
        return None
    widths_found = iter(outcome.values[: len(watch)])
    chosen = tuple(
        host.plane.width if host.one_panel else next(widths_found) for host in roof.planes
    )
    moves = tuple(outcome.values[len(watch) : len(watch) + len(deltas)])
    return _Answer(Layout(chosen, moves), outcome.first_bound or 0, outcome.proven)


def direct_list(
    case: Case,
    profiles: list[Profile],
    clock: Clock,
    top: int,
    presolve: bool = True,
    on_found: Callable[[Ranked], None] | None = None,
) -> Listing:
    """The first `top` entries of the list. `profiles` only serve the start windows."""
    listed: list[Ranked] = []
    complete = True
    while len(listed) < top:
        answer = _next(case, clock, presolve, [entry.judged.counts for entry in listed])
        if answer is None:
            complete = not clock.over()
            break
        judged = judge(case, answer.layout)
        if answer.proven:
            compare(judged, judged.cost.total, judged.counts, judged.order)
        entry = make_entry(case, profiles, judged, answer.bound, listed)
        listed.append(entry)
        if on_found is not None:
            on_found(entry)
        if not answer.proven:
            complete = False
            break
    return Listing(tuple(listed), complete)


def _next(
    case: Case, clock: Clock, presolve: bool, listed: list[tuple[int, ...]]
) -> _Answer | None:
    excluded: list[tuple[int, ...]] = []
    while True:
        answer = best_layout(case, clock, presolve=presolve, listed=listed, excluded=excluded)
        if answer is None or not answer.proven or not listed:
            return answer
        own_best = best_layout(case, clock, presolve=presolve, firsts=answer.layout.firsts)
        if own_best is None or not own_best.proven:
            return None
        if own_best.layout == answer.layout:
            return answer
        excluded.append(answer.layout.firsts)
