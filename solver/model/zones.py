"""Odd panels on a plane laid from one end at its own cover: plain grids, one behind the other.

Each odd panel shifts the grid behind it. Zone 0 lies before the first odd panel, zone `i` behind
odd panel `i`; in a zone seams stand on one grid. That takes a few variables for the plane and a few
for each penetration, where seams one by one (`solver.model.seams`) would take some for every panel.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import gcd

from ortools.sat.python import cp_model

from solver.case import Case, Plane
from solver.model.lattice import Expr, Lit, change_marks, lattice, odd_widths, on_lattice
from solver.model.seams import Seam, Slot
from solver.tabling.worst_shift import extra_seams


@dataclass
class Zoned:
    """The zones of a plane. `origins[z]`: where the grid of zone `z` would put the first seam.

    Odd panel `i` (from 0) lies between zones `i` and `i + 1`, its near edge at `nears[i]` from the
    start (ticks); any value where it is not used. `slim` is the least width an odd panel may have.
    `seams` are those made one by one, where a curb stands, by number (1 is the first).
    """

    slim: int
    slots: list[Slot]
    origins: list[Expr]
    nears: list[Expr]
    seams: dict[int, Seam] = field(default_factory=dict)


@dataclass
class ZonePlace:
    """Where a penetration stands: in which zone, or in which odd panel, a literal each.

    `behind` is the distance to the seam behind it (ticks), `ahead` to the one ahead, on the grid of
    its zone whether the seam is there or not.
    """

    in_zone: list[Lit]
    in_odd: list[Lit]
    behind: Expr
    ahead: Expr


def is_zoned(case: Case, plane: Plane) -> bool:
    """Whether odd panels are all that bends the plane, and only nearest seams can bind."""
    plain = plane.lay != "from" and not change_marks(case) and not extra_seams(case)
    return plain and plane.width > case.panel.cover and bool(odd_widths(case))


def most_seams_of(case: Case, plane: Plane) -> int:
    """No layout of the plane has more seams."""
    cover, rules = case.panel.cover, case.rules
    widths = odd_widths(case)
    lost = rules.odd_panels * (cover - widths[0]) if widths else 0
    return (plane.width + lost) // cover + 1


def make_zoned(case: Case, model: cp_model.CpModel, plane: Plane, first: Expr) -> Zoned:
    """The variables of a plane with odd panels."""
    widths, cover, width = odd_widths(case), case.panel.cover, plane.width
    most_seams, step = most_seams_of(case, plane), lattice(case)
    slots: list[Slot] = []
    origins: list[Expr] = [first]
    nears: list[Expr] = []
    for i in range(case.rules.odd_panels):
        name = f"{i}_{plane.id}"
        used = model.new_bool_var(f"used_{name}")
        number = model.new_int_var(0, most_seams, f"number_{name}")
        wide = model.new_int_var_from_domain(
            cp_model.Domain.from_values([0, *widths]), f"width_{name}")
        centre2 = on_lattice(model, 0, 2 * width, step, 0, f"centre_{name}")
        slots.append(Slot(used, number, wide, centre2, centre2))
        lost = (cover - widths[0]) * (i + 1)
        origin = on_lattice(model, -lost, cover, step, 0, f"origin_{name}")
        model.add(origin == origins[-1] - cover * used + wide)
        nears.append(origins[-1] + cover * number - 2 * cover)
        origins.append(origin)
    return Zoned(widths[0], slots, origins, nears)


def make_place(
    case: Case, model: cp_model.CpModel, zoned: Zoned, name: str, u: int
) -> ZonePlace:
    """The variables of a pipe among zones that stands at `u`, or whole moves from it (ticks)."""
    cover, step = case.panel.cover, gcd(lattice(case), case.step)
    return ZonePlace(
        [model.new_bool_var(f"{name}_zone_{z}") for z in range(len(zoned.origins))],
        [model.new_bool_var(f"{name}_odd_{i}") for i in range(len(zoned.slots))],
        on_lattice(model, 0, cover, step, u % step, f"behind_{name}"),
        on_lattice(model, 0, cover, step, -u % step, f"ahead_{name}"),
    )
