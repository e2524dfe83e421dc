"""What a plane costs at least, told to the model: it finds such sums of bounds slowly by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ortools.sat.python import cp_model

from solver.case import Case, Freeze, Plane, alone
from solver.clock import Clock
from solver.model.objective import plane_cents, total_cents
from solver.model.run import minimize_in_order
from solver.model.seams import is_bent
from solver.model.variables import PlaneVars, RoofVars
from solver.model.whole import build

Bounds = Mapping[int, Sequence[tuple[int, int]]]
"""For planes, by index: pairs (first width in ticks, least cents of the plane with it)."""

Floors = Mapping[int, int]
"""For planes, by index: the least cents of the plane, links left out."""


def add_plane_bounds(roof: RoofVars, host: PlaneVars, bounds: Sequence[tuple[int, int]]) -> None:
    """The plane costs at least what the bound of its first width says."""
    cost = plane_cents(roof, host)
    if isinstance(cost, int) or isinstance(host.first, int):
        return
    for floor in sorted({least for _, least in bounds if least > 0}):
        dear = cp_model.Domain.from_values([first for first, least in bounds if least >= floor])
        reaches = roof.model.new_bool_var("")
        roof.model.add(cost >= floor).only_enforce_if(reaches)
        roof.model.add_linear_expression_in_domain(
            host.first, dear.complement()
        ).only_enforce_if(~reaches)


def add_floors(roof: RoofVars, floors: Floors) -> None:
    """The planes cost at least what their floors say."""
    for index, floor in floors.items():
        cost = plane_cents(roof, roof.planes[index])
        if not isinstance(cost, int):
            roof.model.add(cost >= floor)


_SECONDS = 5.0
"""So long a plane is looked at by itself, no more; a part of it where time is short."""


def plane_floors(
    case: Case, clock: Clock, *, presolve: bool = True, known: Bounds | None = None
) -> Floors:
    """The least each plane costs by itself, where there are several and odd panels or play.

    Where time runs out what is found by then; it holds all the same. Planes with `known` bounds are
    left out.
    """
    floors: dict[int, int] = {}
    if len(case.planes) < 2 or not any(is_bent(case, plane) for plane in case.planes):
        return floors
    left = clock.left()
    share = _SECONDS if left is None else min(_SECONDS, 0.2 * left / len(case.planes))
    for i, plane in enumerate(case.planes):
        if i in (known or {}):
            continue
        own = Clock(share)
        with clock.stopping(own.stop):
            roof = None if clock.over() else build(_alone(case, plane), own)
            total = 0 if roof is None else total_cents(roof)
            if roof is None or isinstance(total, int):
                continue
            outcome = minimize_in_order(
                roof.model, [total], [roof.nothing], own, presolve=presolve, in_turns=True)
        if outcome.first_bound:
            floors[i] = outcome.first_bound
    return floors


def _alone(case: Case, plane: Plane) -> Case:
    """The case with one plane only."""
    pens = tuple(pen for pen in case.penetrations if pen.plane == plane.id)
    own = {pen.id for pen in pens}
    freeze = Freeze(
        tuple(first for first in case.freeze.firsts if first[0] == plane.id),
        tuple(move for move in case.freeze.moves if move[0] in own),
    )
    return replace(alone(case, (plane.id,)), penetrations=pens, freeze=freeze)
