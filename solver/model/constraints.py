"""The rules of the direct model, a function a rule. Half ticks wherever a half width can be odd."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.case import ends_of, needed2
from solver.model.grid import between, shift_of
from solver.model.odd_rules import sides_among_seams
from solver.model.variables import Expr, PenVars, PlaneVars, RoofVars
from solver.tabling.profile import uneven_unit
from solver.tabling.starts import least_end
from solver.tabling.worst_shift import extra_seams, far_end_shift


def add_end_rule(roof: RoofVars) -> None:
    """First and last width are at least `min_end`, at most the cover; the pans fill the plane.

    On a plane with an outline the first widths that its pieces allow are the variable's domain.
    """
    for host in roof.planes:
        if host.one_panel:
            continue
        cover, least = roof.case.panel.cover, least_end(roof.case, host.plane)
        roof.model.add(host.first >= least)
        roof.model.add(host.last >= least)
        lean = host.plane.lean
        if lean is not None and not lean.fan:  # the ends taper, and are as legal at the top
            wider = (-lean.low, lean.high)
            if host.plane.lay == "right-to-left":
                wider = wider[::-1]
            for end, more in zip((host.first, host.last), wider, strict=True):
                roof.model.add(end + more >= least)
                roof.model.add(end + more <= cover)
        if host.bent is not None:  # its panels are laid one by one
            continue
        # behind the last odd panel the grid is that of another first width
        first = host.first if host.zoned is None else host.zoned.origins[-1]
        roof.model.add(first + cover * (host.seams - 1) + host.last == host.plane.width)


def add_unevenness(roof: RoofVars) -> None:
    """Whole inches (25 mm) by which the ends differ beyond `uneven_free`, rounded down."""
    unit, free = uneven_unit(roof.case), roof.case.rules.uneven_free
    for host in roof.planes:
        if not host.one_panel:
            for apart in (host.first - host.last, host.last - host.first):
                roof.model.add(host.uneven * unit >= apart - free - (unit - 1))


def add_place(roof: RoofVars) -> None:
    """Where a penetration stands among the seams, and whether there is one before and after it."""
    for pen in roof.pens:
        host, model = pen.host, roof.model
        if host.one_panel or host.bent is not None or host.zoned is not None:
            continue
        model.add(pen.u == host.first + roof.case.panel.cover * pen.q + pen.w)
        model.add(pen.q <= host.seams - 1)
        model.add(pen.q >= 0).only_enforce_if(pen.has_before)
        model.add(pen.q == -1).only_enforce_if(~pen.has_before)
        model.add(pen.q <= host.seams - 2).only_enforce_if(pen.has_after)
        model.add(pen.q == host.seams - 1).only_enforce_if(~pen.has_after)


def sides(roof: RoofVars, pen: PenVars) -> list[tuple[Expr, list[cp_model.IntVar]]]:
    """Rooms of a pipe in half ticks, each with the literals under which it counts.

    Its room is the least of them. In a robust case each is what the worst shift leaves.
    """
    case = roof.case
    panel, rules = case.panel, case.rules
    low_end, high_end = ends_of(pen.host.plane, pen.pen)
    x = pen.pen.x + pen.delta
    off = pen.pen.x_tol if rules.robust else 0
    found: list[tuple[Expr, list[cp_model.IntVar]]] = [
        (2 * (x - low_end - rules.end_lap - off), []),
        (2 * (high_end - far_end_shift(case) - x - rules.end_lap - off), []),
    ]
    if pen.host.one_panel:
        return found
    if pen.host.bent is not None:
        return found + sides_among_seams(roof, pen)
    behind: Expr = pen.w
    before: Expr = panel.cover - pen.w
    if pen.place is not None:  # in an odd panel the two are less than a cover apart
        before = pen.place.ahead
    for more in range(extra_seams(case) + 1):
        back = behind + more * panel.cover - panel.seam_fwd - off
        ahead = before + more * panel.cover - panel.seam_back - off
        for gap, index, nearest in (
            (back, pen.q - more, pen.has_before),
            (ahead, pen.q + 1 + more, pen.has_after),
        ):
            there = between(roof.model, index, pen.host) if more else nearest
            shift = shift_of(roof, pen.host, index, more + 1)
            found.append((2 * (gap - shift), [there]))
    return found


def add_room(roof: RoofVars) -> None:
    """For each limit of a state, exactly when the room reaches it.

    At a seam itself both limits fail, whichever pan `q` counts it to: a seam's side plus a positive
    room is more than nothing.
    """
    model = roof.model
    for pen in roof.pens:
        if pen.pen.kind != "pipe":
            continue
        pen.sides = sides(roof, pen)
        for limit in _limits(roof, pen):
            reached = model.new_bool_var(f"{pen.pen.id}_room_{limit}")
            pen.at_least[limit] = reached
            short = []
            for room2, there in pen.sides:
                model.add(room2 >= limit).only_enforce_if([reached, *there])
                lacks = model.new_bool_var("")
                model.add(room2 <= limit - 1).only_enforce_if(lacks)
                for given in there:
                    model.add_implication(lacks, given)
                short.append(lacks)
            model.add_bool_or([reached, *short])


def _limits(roof: RoofVars, pen: PenVars) -> list[int]:
    rules = roof.case.rules
    return sorted({
        needed2(pen.pen, rules), pen.pen.base, pen.pen.outside + 2 * rules.hole_gap,
    })


def add_pipe_states(roof: RoofVars) -> None:
    """Each pipe is in exactly one state, the first in the list whose limit its room reaches."""
    rules = roof.case.rules
    for pen in roof.pens:
        if pen.pen.kind != "pipe":
            continue
        reach = {
            "clear": pen.at_least[needed2(pen.pen, rules)],
            "tight": pen.at_least[pen.pen.base],
            "crosses": pen.at_least[pen.pen.outside + 2 * rules.hole_gap],
        }
        better: list[cp_model.IntVar] = []
        for state in ("clear", "tight", "crosses", "on-seam"):
            holds = roof.model.new_bool_var(f"{pen.pen.id}_{state}")
            own = [reach[state]] if state in reach else []
            roof.model.add_bool_and([*own, *(~b for b in better)]).only_enforce_if(holds)
            roof.model.add_bool_or([holds, *(~o for o in own), *better])
            better += own
            pen.states[state] = holds


def add_shortfall(roof: RoofVars) -> None:
    """A clear pipe falls short by what its margin lacks of `enough`."""
    case, model = roof.case, roof.model
    for pen in roof.pens:
        if pen.pen.kind != "pipe":
            continue
        wanted = 2 * case.rules.enough + needed2(pen.pen, case.rules)
        short = model.new_int_var(0, 2 * case.rules.enough, f"short_{pen.pen.id}")
        for room2, there in pen.sides:
            model.add(short >= wanted - room2).only_enforce_if([pen.states["clear"], *there])
        pen.shortfall2 = short


def add_forbidden(roof: RoofVars) -> None:
    """No penetration is in a state its case forbids."""
    for pen in roof.pens:
        for state in pen.pen.forbid:
            if state in pen.states:
                roof.model.add(pen.states[state] == 0)


def add_links(roof: RoofVars) -> None:
    """Unless missed, two linked grids agree within `meet_tol` (or half a cover off), mod cover."""
    case, model = roof.case, roof.model
    by_id = {host.plane.id: host for host in roof.planes}
    cover, tol = case.panel.cover, case.rules.meet_tol
    for link, missed in zip(case.links, roof.missed, strict=True):
        one, other = (by_id[name] for name in link.planes)
        if link.must:
            model.add(missed == 0)
        if one.one_panel or other.one_panel:
            continue
        here = _a_seam(one)
        mapped = one.plane.width + link.offset - here if link.how == "mirror" else (
            here + link.offset)
        turns = model.new_int_var(-10**7, 10**7, "")
        off2 = 2 * (mapped - _a_seam(other) - cover * turns) - (cover if link.stagger else 0)
        model.add(off2 <= 2 * tol).only_enforce_if(~missed)
        model.add(off2 >= -2 * tol).only_enforce_if(~missed)


def _a_seam(host: PlaneVars) -> Expr:
    """The seam that the laying of a plane starts with."""
    if host.plane.lay == "from" and host.plane.start is not None:
        return host.plane.start
    if host.plane.lay == "left-to-right":
        return host.first
    return host.plane.width - host.first
