"""Moves that would be better: what a layout must not leave undone if it is to be a candidate.

A candidate is the best layout for its choice of first widths, odd panels and modules. So with any
of its pipes put elsewhere it must not be better, unless that breaks a rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ortools.sat.python import cp_model

from solver.model import constraints, odd_rules, zone_rules
from solver.model.variables import Expr, PenVars, RoofVars, make_pen
from solver.tabling.moves import least_dx
from solver.tabling.tables import move_rate

STANDING = (
    constraints.add_place,
    zone_rules.add_place_in_zones,
    odd_rules.add_place_among_seams,
    constraints.add_room,
    zone_rules.add_zone_limits,
    constraints.add_pipe_states,
)
"""The rules that say in which state each pipe is where it stands."""

Alternative = tuple[tuple[int, int], ...]
"""Some pipes, by index, and other moves for them (ticks)."""


def better_ones(moves: Sequence[int], better: Sequence[int]) -> list[Alternative]:
    """What to hold against other layouts when `better` moves beat `moves` for one choice.

    Each pipe that moves otherwise by itself, and all of them together.
    """
    changed = [
        (i, after) for i, (before, after) in enumerate(zip(moves, better, strict=True))
        if before != after
    ]
    found: list[Alternative] = [(one,) for one in changed]
    return [*found, tuple(changed)] if len(changed) > 1 else found


def add_alternative(roof: RoofVars, alternative: Alternative) -> None:
    """With these pipes moved so instead, the layout breaks a rule or is no better.

    Compared are the total and the counts that pipes have a part in. Where the pipes stand then is
    modelled like a fixed pipe.
    """
    model = roof.model
    there: list[PenVars] = []
    for i, move in alternative:
        pen = roof.pens[i]
        moved = replace(pen.pen, x=pen.pen.x + move, status="fixed", reach_low=0, reach_high=0)
        there.append(make_pen(roof.case, model, moved, pen.host))
    ghost = replace(roof, pens=there)
    for add_rule in STANDING:
        add_rule(ghost)
    breaks = _breaks(roof, alternative, there)
    allowed = model.new_bool_var("")
    model.add_bool_or([allowed, *breaks])
    here = [roof.pens[i] for i, _ in alternative]
    rates = [move_rate(roof.case, pen.pen) for pen in here]
    model.add(
        _worth(roof, here, [pen.moved for pen in here], rates)
        <= _worth(roof, there, [int(move != 0) for _, move in alternative], rates)
    ).only_enforce_if(allowed)


def _breaks(
    roof: RoofVars, alternative: Alternative, there: list[PenVars]
) -> list[cp_model.IntVar]:
    """Literals that hold only if the alternative breaks a rule in the layout."""
    model = roof.model
    found: list[cp_model.IntVar] = []
    others = {i for i, _ in alternative}
    for (i, move), pen in zip(alternative, there, strict=True):
        found += [pen.states[state] for state in roof.pens[i].pen.forbid if state in pen.states]
        if move:
            found += [pen.states[state] for state in ("tight", "crosses", "on-seam")]
        for j, other in enumerate(roof.pens):
            least = 0
            if j not in others and other.host is pen.host:
                least = least_dx(roof.case, roof.pens[i].pen, other.pen)
            if least <= 0 or (not move and isinstance(other.delta, int)):
                continue
            near = model.new_bool_var("")
            apart = pen.pen.x - other.pen.x - other.delta
            model.add(apart <= least - 1).only_enforce_if(near)
            model.add(apart >= 1 - least).only_enforce_if(near)
            if not move:
                model.add_implication(near, other.moved)
            found.append(near)
    return found


def _worth(
    roof: RoofVars, pens: list[PenVars], moved: Sequence[Expr], rates: list[int]
) -> Expr:
    """Total and counts of some pipes as one number that orders them alike."""
    cents, base = roof.case.rates.cents, len(pens) + 1
    total: Expr = sum(
        pen.states[state] * cents(rate)
        for pen in pens
        for state, rate in (("on-seam", "on_seam"), ("crosses", "crosses"), ("tight", "tight"))
    )
    total += sum(goes * rate for goes, rate in zip(moved, rates, strict=True))
    levels = [
        *(sum(pen.states[state] for pen in pens) for state in ("on-seam", "crosses", "tight")),
        sum(moved),
    ]
    for level in levels:
        total = total * base + level
    return total
