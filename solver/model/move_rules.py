"""The move rules of the direct model, a function a rule."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.case import ends_of
from solver.model.variables import Expr, RoofVars
from solver.tabling.moves import least_dx


def add_agreed(roof: RoofVars) -> None:
    """Agreed first widths and moves stay put; a stubbed pipe moves by what its fittings make."""
    firsts, moves = dict(roof.case.freeze.firsts), dict(roof.case.freeze.moves)
    for host in roof.planes:
        if host.plane.id in firsts and not host.one_panel:
            roof.model.add(host.first == firsts[host.plane.id])
    for pen in roof.pens:
        if isinstance(pen.delta, int):
            continue
        if pen.pen.id in moves:
            roof.model.add(pen.delta == moves[pen.pen.id])
        if pen.pen.makeable is not None:
            spans = [[0, 0]]
            spans += [list(span) for span in pen.pen.makeable]
            spans += [[-most, -least] for least, most in pen.pen.makeable]
            domain = cp_model.Domain.from_intervals(spans)
            roof.model.add_linear_expression_in_domain(pen.delta, domain)


def add_move_rules(roof: RoofVars) -> None:
    """A moved pipe: beyond the least offset, off the ends and keep-outs, clear of the seams."""
    case, model = roof.case, roof.model
    for pen in roof.pens:
        if isinstance(pen.delta, int):
            continue
        body, moved = pen.pen.outside, pen.moved
        model.add(pen.delta == 0).only_enforce_if(~moved)
        least = pen.pen.min_offset if pen.pen.status == "stubbed" else 1
        _outside(roof, pen.delta, -max(least, 1), max(least, 1), moved)
        x2 = 2 * (pen.pen.x + pen.delta)
        low_end, high_end = ends_of(pen.host.plane, pen.pen)
        model.add(x2 - 2 * low_end >= body + 2 * case.rules.edge_gap).only_enforce_if(moved)
        model.add(2 * high_end - x2 >= body + 2 * case.rules.edge_gap).only_enforce_if(moved)
        for keepout in pen.host.plane.keepouts:
            low2, high2 = 2 * keepout.x_from, 2 * keepout.x_to
            needs2 = body
            if keepout.y_from is not None and keepout.y_to is not None:
                rise2 = 2 * max(keepout.y_from - pen.pen.y, pen.pen.y - keepout.y_to, 0)
                if rise2 >= body:
                    continue
                needs2 = next_root(body * body - rise2 * rise2)
            _outside(roof, x2, low2 - needs2, high2 + needs2, moved)
        model.add_implication(moved, pen.states["clear"])


def next_root(square: int) -> int:
    """Smallest whole number whose square is at least `square` (positive), by bisection."""
    low, high = 0, 1
    while high * high < square:
        high *= 2
    while high - low > 1:
        middle = (low + high) // 2
        if middle * middle < square:
            low = middle
        else:
            high = middle
    return high


def _outside(
    roof: RoofVars, value: Expr, low: int, high: int, when: cp_model.IntVar
) -> None:
    """`value` is at most `low` or at least `high` when `when` holds."""
    below = roof.model.new_bool_var("")
    roof.model.add(value <= low).only_enforce_if([when, below])
    roof.model.add(value >= high).only_enforce_if([when, ~below])


def add_spacing(roof: RoofVars) -> None:
    """Two penetrations of a plane keep their least distance once either has moved."""
    for n, one in enumerate(roof.pens):
        for other in roof.pens[:n]:
            if one.host is not other.host:
                continue
            movers = [p.moved for p in (one, other) if not isinstance(p.delta, int)]
            least = least_dx(roof.case, one.pen, other.pen)
            apart = one.pen.x + one.delta - other.pen.x - other.delta
            for moved in movers:
                if least > 0:
                    _outside(roof, apart, -least, least, moved)
