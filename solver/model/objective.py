"""The tie order of the direct model: the total first, then every tie level, smaller is better."""

from __future__ import annotations

from collections.abc import Iterable

from ortools.sat.python import cp_model

from solver.model.variables import Expr, PenVars, RoofVars
from solver.tables import move_rate


def count_levels(roof: RoofVars) -> list[Expr]:
    """The nine counts, in the order two candidates are compared by."""
    pens = roof.pens
    return [
        _sum(pen.states.get("on-seam", 0) for pen in pens),
        _sum(pen.seams_cut for pen in pens),
        _sum(pen.states.get("crosses", 0) for pen in pens),
        _sum(pen.states.get("tight", 0) for pen in pens),
        _sum(pen.states.get("crowded", 0) for pen in pens),
        _sum(pen.moved for pen in pens if not isinstance(pen.delta, int)),
        _sum(roof.missed),
        0,
        _sum(host.uneven for host in roof.planes),
    ]


def total_cents(roof: RoofVars) -> Expr:
    """The extra cost in cents."""
    case = roof.case
    on, cut, crosses, tight, crowded, _, missed, _, uneven = count_levels(roof)
    cents = case.rates.cents
    return _sum([
        on * cents("on_seam"), cut * cents("seam_cut"), crosses * cents("crosses"),
        tight * cents("tight"), crowded * cents("crowded"), missed * cents("misaligned"),
        uneven * cents("uneven"),
        *(pen.moved * move_rate(case, pen.pen) for pen in roof.pens
          if not isinstance(pen.delta, int)),
    ])


def tie_levels(roof: RoofVars) -> list[Expr]:
    """Every level of the order: total, counts, shortfall, distance, ends, first widths, moves."""
    movers = [pen for pen in roof.pens if not isinstance(pen.delta, int)]
    return [
        total_cents(roof),
        *count_levels(roof),
        _sum(pen.shortfall2 for pen in roof.pens),
        _sum(_distance(roof, pen) for pen in movers),
        _minus_narrowest(roof),
        *(host.first for host in roof.planes),
        *(pen.delta for pen in movers),
    ]


def _distance(roof: RoofVars, pen: PenVars) -> Expr:
    size = roof.model.new_int_var(0, max(pen.pen.reach_low, pen.pen.reach_high), "")
    roof.model.add(size >= pen.delta)
    roof.model.add(size >= -pen.delta)
    return size


def _minus_narrowest(roof: RoofVars) -> Expr:
    seamed = [host for host in roof.planes if not host.one_panel]
    if not seamed:
        return 0
    narrow = roof.model.new_int_var(0, roof.case.panel.cover, "narrowest")
    for host in seamed:
        roof.model.add(narrow <= host.first)
        roof.model.add(narrow <= host.last)
    return -narrow


def _sum(terms: Iterable[Expr]) -> Expr:
    """A sum that stays a plain 0 where there is nothing to add up."""
    items = [term for term in terms if not (isinstance(term, int) and term == 0)]
    return cp_model.LinearExpr.sum(items) if items else 0
