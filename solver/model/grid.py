"""Seams by number on one grid: whether one is there, and how far it may have crept."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.model.variables import Expr, PlaneVars, RoofVars
from solver.model.zones import most_seams_of
from solver.tabling.worst_shift import start_shift


def shift_of(roof: RoofVars, host: PlaneVars, index: Expr, reach: int) -> Expr:
    """Worst shift of the seam of that number (ticks); any value where there is no such seam.

    `reach`: by how much at most the number may lie beyond those of the plane's seams.
    """
    case = roof.case
    if not case.rules.robust:
        return 0
    start = start_shift(case, host.plane)
    tol, again = case.rules.cover_tol, case.rules.remeasure
    if not tol:
        return start
    after = most_seams_of(case, host.plane) + reach
    creep = [0] * (reach + 1) + [((n - 1) % again + 1) * tol for n in range(1, after + 1)]
    shift = roof.model.new_int_var(0, again * tol, "")
    roof.model.add_element(index + reach, creep, shift)
    return shift + start


def between(
    model: cp_model.CpModel, index: Expr, host: PlaneVars
) -> cp_model.IntVar:
    """Whether a seam of that number stands on the plane."""
    there, low, high = (model.new_bool_var("") for _ in range(3))
    model.add(index >= 0).only_enforce_if(low)
    model.add(index <= -1).only_enforce_if(~low)
    model.add(index <= host.seams - 1).only_enforce_if(high)
    model.add(index >= host.seams).only_enforce_if(~high)
    model.add_bool_and([low, high]).only_enforce_if(there)
    model.add_bool_or([there, ~low, ~high])
    return there
