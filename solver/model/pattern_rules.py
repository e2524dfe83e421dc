"""What the pattern of a whole plane is worth in the direct model: centres, sheets, and curbs that
ask for seams at their walls or near them.

On a plane whose panels are all of the plain cover each follows from its first width alone, so each
value is held to the first widths that have it. Where odd panels or play bend the pattern there is
no such model (see `solver.tabling.pattern.too_bent`).
"""

from __future__ import annotations

import numpy as np
from ortools.sat.python import cp_model

from solver.model.variables import Expr, PlaneVars, RoofVars
from solver.tabling.curb_phase import CROWDED, SPANS, curb_table
from solver.tabling.pattern import missed_centre, stock_units
from solver.tabling.phase import Grids
from solver.tabling.starts import Ticks, legal_firsts


def add_curbs_by_first(roof: RoofVars) -> None:
    """Curbs with ribs of their own, or built close to the seams."""
    for pen in roof.pens:
        if pen.pen.detail == "flange":
            continue
        table = curb_table(_grids(roof, pen.host), pen.pen)
        crowded = _flag(roof, pen.host, table.states == CROWDED)
        spans = _flag(roof, pen.host, table.states == SPANS)
        pen.states = {"crowded": crowded, "spans": spans}
        pen.seams_cut = by_first(roof, pen.host, table.cut)
        pen.unlanded = by_first(roof, pen.host, table.unlanded)
        pen.shortfall2 = by_first(roof, pen.host, table.short2)
        if pen.pen.must_land:
            roof.model.add(roof.nothing + pen.unlanded == 0)


def add_centres(roof: RoofVars) -> None:
    """How many centres of a plane are missed; none that must be hit."""
    by_id = {host.plane.id: host for host in roof.planes}
    for centre in roof.case.centres:
        host = by_id[centre.plane]
        missed = by_first(roof, host, missed_centre(_grids(roof, host), centre).astype(np.int64))
        if centre.must:
            roof.model.add(roof.nothing + missed == 0)
        host.off_centre = host.off_centre + missed


def add_stock(roof: RoofVars) -> None:
    """The sheets of every plane, where the case prices them."""
    if roof.case.rates.each["area"].given:
        for host in roof.planes:
            host.stock = by_first(roof, host, stock_units(_grids(roof, host)))


def by_first(roof: RoofVars, host: PlaneVars, values: Ticks) -> Expr:
    """The value that belongs to a plane's first width; `values` has one for every legal one."""
    distinct = np.unique(values)
    if len(distinct) == 1 or isinstance(host.first, int):
        return int(values[0])
    firsts = legal_firsts(roof.case, host.plane)
    lits = [roof.model.new_bool_var("") for _ in distinct]
    for lit, value in zip(lits, distinct, strict=True):
        domain = cp_model.Domain.from_values(firsts[values == value].tolist())
        roof.model.add_linear_expression_in_domain(host.first, domain).only_enforce_if(lit)
    roof.model.add_exactly_one(lits)
    return cp_model.LinearExpr.weighted_sum(lits, [int(value) for value in distinct])


def _flag(roof: RoofVars, host: PlaneVars, holds: np.typing.NDArray[np.bool_]) -> cp_model.IntVar:
    flag = roof.model.new_bool_var("")
    roof.model.add(flag == by_first(roof, host, holds.astype(np.int64)))
    return flag


def _grids(roof: RoofVars, host: PlaneVars) -> Grids:
    return Grids(roof.case, host.plane, legal_firsts(roof.case, host.plane))
