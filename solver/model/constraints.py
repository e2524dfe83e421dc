"""The rules of the direct model, a function a rule. Half ticks wherever a half width can be odd."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.case import needed2
from solver.model.variables import Expr, PenVars, PlaneVars, RoofVars
from solver.profile import uneven_unit
from solver.worst_shift import extra_seams, far_end_shift, start_shift


def add_end_rule(roof: RoofVars) -> None:
    """First and last width are at least `min_end`, at most the cover; the pans fill the plane."""
    for host in roof.planes:
        if host.one_panel:
            continue
        cover = roof.case.panel.cover
        roof.model.add(host.first >= roof.case.rules.min_end)
        roof.model.add(host.last >= roof.case.rules.min_end)
        roof.model.add(host.first + cover * (host.seams - 1) + host.last == host.plane.width)


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
        if host.one_panel:
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
    panel, rules, width = case.panel, case.rules, pen.host.plane.width
    x = pen.pen.x + pen.delta
    off = pen.pen.x_tol if rules.robust else 0
    found: list[tuple[Expr, list[cp_model.IntVar]]] = [
        (2 * (x - rules.end_lap - off), []),
        (2 * (width - far_end_shift(case) - x - rules.end_lap - off), []),
    ]
    if pen.host.one_panel:
        return found
    for more in range(extra_seams(case) + 1):
        back = pen.w + more * panel.cover - panel.seam_fwd - off
        ahead = (more + 1) * panel.cover - pen.w - panel.seam_back - off
        for gap, index, nearest in (
            (back, pen.q - more, pen.has_before),
            (ahead, pen.q + 1 + more, pen.has_after),
        ):
            there = _between(roof.model, index, pen.host) if more else nearest
            found.append((2 * (gap - _shift(roof, pen.host, index)), [there]))
    return found


def _shift(roof: RoofVars, host: PlaneVars, index: Expr) -> Expr:
    """Worst shift of the seam of that number (ticks); any value where there is no such seam."""
    case = roof.case
    if not case.rules.robust:
        return 0
    start = start_shift(case, host.plane)
    tol, again = case.rules.cover_tol, case.rules.remeasure
    if not tol:
        return start
    before, most = extra_seams(case) + 2, host.plane.width // case.panel.cover + 1
    after = most + before
    creep = [0] * (before + 1) + [((n - 1) % again + 1) * tol for n in range(1, after + 1)]
    shift = roof.model.new_int_var(0, again * tol, "")
    roof.model.add_element(index + before, creep, shift)
    return shift + start


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


def add_curbs(roof: RoofVars) -> None:
    """Which seams a curb cuts, whether an uncut one crowds it, and by how much it falls short."""
    case, model = roof.case, roof.model
    cover, rules = case.panel.cover, case.rules
    for pen in roof.pens:
        if pen.pen.kind != "curb":
            continue
        across = pen.pen.across
        cuts, near = [], []
        short = model.new_int_var(0, 2 * (rules.enough + rules.curb_side) + 2, "")
        crowded = model.new_bool_var(f"{pen.pen.id}_crowded")
        off = pen.pen.x_tol if rules.robust else 0
        creep = rules.remeasure * rules.cover_tol + rules.width_tol + off if rules.robust else 0
        widest = max(rules.curb_side + rules.enough + creep, case.panel.seam_back,
                     case.panel.seam_fwd)
        far = (across + 2 * widest) // (2 * cover) + 2
        for k in range(far if not pen.host.one_panel else 0):
            for distance, index, side in (
                (pen.w + k * cover, pen.q - k, case.panel.seam_fwd),
                (cover - pen.w + k * cover, pen.q + 1 + k, case.panel.seam_back),
            ):
                there = _between(model, index, pen.host)
                cut = model.new_bool_var("")
                model.add(2 * distance <= across + 2 * side - 1).only_enforce_if(cut)
                model.add_implication(cut, there)
                whole = model.new_bool_var("")
                model.add(2 * distance >= across + 2 * side).only_enforce_if(whole)
                model.add_implication(whole, there)
                model.add_bool_or([cut, whole, ~there])
                flank2 = 2 * (distance - off - _shift(roof, pen.host, index)) - across
                close = model.new_bool_var("")
                model.add_implication(close, whole)
                model.add(flank2 <= 2 * rules.curb_side - 1).only_enforce_if(close)
                model.add(flank2 >= 2 * rules.curb_side).only_enforce_if([~close, whole])
                model.add(
                    short >= 2 * rules.enough + 2 * rules.curb_side - flank2
                ).only_enforce_if([whole, ~crowded])
                cuts.append(cut)
                near.append(close)
        model.add_bool_or(near).only_enforce_if(crowded)
        for close in near:
            model.add_implication(close, crowded)
        spans = model.new_bool_var(f"{pen.pen.id}_spans")
        model.add_implication(spans, ~crowded)
        model.add_bool_or(cuts).only_enforce_if(spans)
        for cut in cuts:
            model.add_bool_or([~cut, spans, crowded])
        pen.states = {"crowded": crowded, "spans": spans}
        pen.seams_cut = sum(cuts) if cuts else 0
        pen.shortfall2 = short


def _between(
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
    if host.plane.lay == "left-to-right":
        return host.first
    return host.plane.width - host.first
