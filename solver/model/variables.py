"""The variables of the direct model, in the roof's own words.

All lengths are ticks. A penetration is measured as `u`, its distance from the end its plane is laid
from; a seam stands at `first + k * cover` from there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from solver.case import Case, Penetration, Plane

Expr = cp_model.LinearExpr | int


@dataclass
class PlaneVars:
    """Decisions of one plane: first and last width and the number of seams (ints if one panel)."""

    plane: Plane
    first: Expr
    last: Expr
    seams: Expr
    uneven: Expr
    one_panel: bool


@dataclass
class PenVars:
    """One penetration: its move, its place among the seams, its state literals, its shortfall.

    It stands `w` past seam number `q` (0 is the first one, -1 the starting end's side of it), with
    `0 <= w <= cover`. `at_least` maps a room in half ticks to the literal "room is at least that".
    """

    pen: Penetration
    host: PlaneVars
    delta: Expr
    moved: cp_model.IntVar
    u: Expr
    q: Expr
    w: Expr
    has_before: cp_model.IntVar
    has_after: cp_model.IntVar
    at_least: dict[int, cp_model.IntVar] = field(default_factory=dict)
    sides: list[tuple[Expr, list[cp_model.IntVar]]] = field(default_factory=list)
    states: dict[str, cp_model.IntVar] = field(default_factory=dict)
    seams_cut: Expr = 0
    shortfall2: Expr = 0


@dataclass
class RoofVars:
    """All variables of a case. `missed` is a literal per link."""

    case: Case
    model: cp_model.CpModel
    planes: list[PlaneVars]
    pens: list[PenVars]
    missed: list[cp_model.IntVar]


def make_variables(case: Case) -> RoofVars:
    """Variables with their domains; no rule beyond what a domain says."""
    model = cp_model.CpModel()
    planes = [_plane(case, model, plane) for plane in case.planes]
    by_id = {host.plane.id: host for host in planes}
    pens = [_pen(case, model, pen, by_id[pen.plane]) for pen in case.penetrations]
    missed = [model.new_bool_var(f"missed_{n}") for n in range(len(case.links))]
    return RoofVars(case, model, planes, pens, missed)


def _plane(case: Case, model: cp_model.CpModel, plane: Plane) -> PlaneVars:
    cover = case.panel.cover
    if plane.width <= cover:
        return PlaneVars(plane, plane.width, plane.width, 0, 0, True)
    marks = [case.mark * k for k in range(1, cover // case.mark + 1)]
    domain = cp_model.Domain.from_values([*marks, cover])
    first = model.new_int_var_from_domain(domain, f"first_{plane.id}")
    last = model.new_int_var(1, cover, f"last_{plane.id}")
    seams = model.new_int_var(1, plane.width // cover + 1, f"seams_{plane.id}")
    uneven = model.new_int_var(0, cover, f"uneven_{plane.id}")
    return PlaneVars(plane, first, last, seams, uneven, False)


def _pen(case: Case, model: cp_model.CpModel, pen: Penetration, host: PlaneVars) -> PenVars:
    width, cover = host.plane.width, case.panel.cover
    moved = model.new_bool_var(f"moved_{pen.id}")
    if pen.kind == "pipe" and pen.status != "fixed":
        low, high = -min(pen.reach_low, pen.x), min(pen.reach_high, width - pen.x)
        step = case.step
        count = model.new_int_var(-(-low // step), high // step, f"steps_{pen.id}")
        delta: Expr = count * step
    else:
        delta = 0
        model.add(moved == 0)
    x = pen.x + delta
    u = x if host.plane.lay == "left-to-right" else width - x
    has_before = model.new_bool_var(f"before_{pen.id}")
    has_after = model.new_bool_var(f"after_{pen.id}")
    if host.one_panel:
        model.add(has_before == 0)
        model.add(has_after == 0)
        return PenVars(pen, host, delta, moved, u, 0, 0, has_before, has_after)
    q = model.new_int_var(-1, width // cover, f"seam_{pen.id}")
    w = model.new_int_var(0, cover, f"past_{pen.id}")
    return PenVars(pen, host, delta, moved, u, q, w, has_before, has_after)
