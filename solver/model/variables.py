"""The variables of the direct model, in the roof's own words.

All lengths are ticks. A penetration is measured as `u`, its distance from the end its plane is laid
from (from the low end where the plane is laid both ways from a line). Where nothing bends the grid
a seam stands at `first + k * cover` from there; else `solver.model.seams` has the seams one by one.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import gcd

from ortools.sat.python import cp_model

from solver.case import Case, Penetration, Plane
from solver.model.lattice import Expr as Expr
from solver.model.lattice import Lit, lattice, on_lattice
from solver.model.seams import Bent, Slot, is_bent, make_bent
from solver.model.zones import (
    Zoned,
    ZonePlace,
    is_zoned,
    make_place,
    make_zoned,
    most_seams_of,
)
from solver.tabling.starts import legal_firsts, whole_marks


@dataclass
class PlaneVars:
    """Decisions of one plane: first and last width and the number of seams (ints if one panel).

    On a plane laid both ways from a line these are the widths at its low and at its high end.
    Where the seams stand on one grid `zoned` and `bent` are None; `zoned` where nothing but odd
    panels shifts it; `bent` elsewhere, and then `seams` does not count.
    """

    plane: Plane
    first: Expr
    last: Expr
    seams: Expr
    uneven: Expr
    one_panel: bool
    bent: Bent | None = None
    zoned: Zoned | None = None
    off_centre: Expr = 0
    stock: Expr = 0

    @property
    def slots(self) -> list[Slot]:
        """The odd panels it may have."""
        if self.zoned is not None:
            return self.zoned.slots
        return self.bent.slots if self.bent is not None else []


@dataclass
class PenVars:
    """One penetration: its move, its place among the seams, its state literals, its shortfall.

    It stands `w` past seam number `q` (0 is the first one, -1 the starting end's side of it), with
    `0 <= w <= cover`; on a bent plane `stands` has a literal for each pan (by its index) it may
    stand in, and where its plane has zones `place` says in which. `at_least` maps a room in half
    ticks to the literal "room is at least that".
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
    stands: dict[int, Lit] = field(default_factory=dict)
    place: ZonePlace | None = None
    at_least: dict[int, cp_model.IntVar] = field(default_factory=dict)
    sides: list[tuple[Expr, list[cp_model.IntVar]]] = field(default_factory=list)
    states: dict[str, cp_model.IntVar] = field(default_factory=dict)
    seams_cut: Expr = 0
    unlanded: Expr = 0
    shortfall2: Expr = 0


@dataclass
class RoofVars:
    """All variables of a case. `missed` is a literal per link, `nothing` a variable that is 0."""

    case: Case
    model: cp_model.CpModel
    planes: list[PlaneVars]
    pens: list[PenVars]
    missed: list[cp_model.IntVar]
    nothing: cp_model.IntVar


def make_variables(case: Case) -> RoofVars:
    """Variables with their domains; no rule beyond what a domain says."""
    model = cp_model.CpModel()
    planes = [_plane(case, model, plane) for plane in case.planes]
    by_id = {host.plane.id: host for host in planes}
    pens = [make_pen(case, model, pen, by_id[pen.plane]) for pen in case.penetrations]
    missed = [model.new_bool_var(f"missed_{n}") for n in range(len(case.links))]
    return RoofVars(case, model, planes, pens, missed, model.new_constant(0))


def _plane(case: Case, model: cp_model.CpModel, plane: Plane) -> PlaneVars:
    cover = case.panel.cover
    if plane.width <= cover:
        return PlaneVars(plane, plane.width, plane.width, 0, 0, True)
    shaped = plane.outline is not None or plane.lean is not None
    if shaped and not is_bent(case, plane):
        marks = legal_firsts(case, plane).tolist()
    else:
        marks = whole_marks(case, 0).tolist()
    domain = cp_model.Domain.from_values(marks)
    first: Expr = model.new_int_var_from_domain(domain, f"first_{plane.id}")
    if is_bent(case, plane) and not is_zoned(case, plane):
        bent = make_bent(case, model, plane, first)
        uneven = model.new_int_var(0, cover, f"uneven_{plane.id}")
        ends = [run.end for run in bent.runs]
        if len(ends) == 2:
            first = ends[0]
        return PlaneVars(plane, first, ends[-1], 0, uneven, False, bent)
    last = model.new_int_var(1, cover, f"last_{plane.id}")
    seams = model.new_int_var(1, most_seams_of(case, plane), f"seams_{plane.id}")
    uneven = model.new_int_var(0, cover, f"uneven_{plane.id}")
    zoned = make_zoned(case, model, plane, first) if is_zoned(case, plane) else None
    return PlaneVars(plane, first, last, seams, uneven, False, zoned=zoned)


def make_pen(case: Case, model: cp_model.CpModel, pen: Penetration, host: PlaneVars) -> PenVars:
    """The variables of one penetration."""
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
    u = width - x if host.plane.lay == "right-to-left" else x
    at = width - pen.x if host.plane.lay == "right-to-left" else pen.x
    has_before = model.new_bool_var(f"before_{pen.id}")
    has_after = model.new_bool_var(f"after_{pen.id}")
    if host.one_panel or (host.zoned is not None and pen.kind == "curb"):
        model.add(has_before == 0)
        model.add(has_after == 0)
        return PenVars(pen, host, delta, moved, u, 0, 0, has_before, has_after)
    if host.bent is not None:
        model.add(has_before == 0)
        model.add(has_after == 0)
        reach = (0, 0)
        if not isinstance(delta, int):
            reach = (pen.reach_low, pen.reach_high)
            if host.plane.lay == "right-to-left":
                reach = reach[::-1]
        pans = _may_stand_in(host.bent, at - reach[0], at + reach[1])
        stands = {i: model.new_bool_var(f"{pen.id}_in_{host.bent.pans[i].number}") for i in pans}
        return PenVars(pen, host, delta, moved, u, 0, 0, has_before, has_after, stands)
    q = model.new_int_var(-1, most_seams_of(case, host.plane) - 1, f"seam_{pen.id}")
    if host.zoned is not None:
        place = make_place(case, model, host.zoned, pen.id, at)
        return PenVars(pen, host, delta, moved, u, q, place.behind, has_before, has_after,
                       place=place)
    step = gcd(lattice(case), case.step)
    w = on_lattice(model, 0, cover, step, at % step, f"past_{pen.id}")
    return PenVars(pen, host, delta, moved, u, q, w, has_before, has_after)


def _may_stand_in(bent: Bent, low: int, high: int) -> list[int]:
    """The pans, by index, that reach into `low` … `high` in some layout."""
    found = []
    for i in range(len(bent.pans)):
        below = bent.seams[i - 1].least if i > 0 else 0
        above = bent.seams[i].most if i < len(bent.seams) else high
        if below <= high and above >= low:
            found.append(i)
    return found
