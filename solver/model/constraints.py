"""The rules of the direct model, a function a rule. Half ticks wherever a half width can be odd."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.case import needed2
from solver.model.variables import Expr, PenVars, PlaneVars, RoofVars
from solver.moves import least_dx
from solver.profile import uneven_unit


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


def add_room(roof: RoofVars) -> None:
    """For each limit of a state, exactly when the room reaches it.

    At a seam itself both limits fail, whichever pan `q` counts it to: a seam's side plus a positive
    room is more than nothing.
    """
    case, model = roof.case, roof.model
    for pen in roof.pens:
        if pen.pen.kind != "pipe":
            continue
        width = pen.host.plane.width
        for limit in _limits(roof, pen):
            reached = model.new_bool_var(f"{pen.pen.id}_room_{limit}")
            pen.at_least[limit] = reached
            short = []
            for room2, there in (
                (2 * (pen.w - case.panel.seam_fwd), pen.has_before),
                (2 * (case.panel.cover - pen.w - case.panel.seam_back), pen.has_after),
                (2 * (pen.pen.x + pen.delta - case.rules.end_lap), None),
                (2 * (width - pen.pen.x - pen.delta - case.rules.end_lap), None),
            ):
                given = [reached] if there is None else [reached, there]
                model.add(room2 >= limit).only_enforce_if(given)
                lacks = model.new_bool_var("")
                model.add(room2 <= limit - 1).only_enforce_if(lacks)
                if there is not None:
                    model.add_implication(lacks, there)
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
        far = (across + 2 * max(rules.curb_side + rules.enough, case.panel.seam_back,
                                case.panel.seam_fwd)) // (2 * cover) + 2
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
                flank2 = 2 * distance - across
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
        clear = pen.states["clear"]
        x = pen.pen.x + pen.delta
        for room2, there in (
            (2 * (pen.w - case.panel.seam_fwd), [pen.has_before]),
            (2 * (case.panel.cover - pen.w - case.panel.seam_back), [pen.has_after]),
            (2 * (x - case.rules.end_lap), []),
            (2 * (pen.host.plane.width - x - case.rules.end_lap), []),
        ):
            model.add(short >= wanted - room2).only_enforce_if([clear, *there])
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
        model.add(x2 >= body + 2 * case.rules.edge_gap).only_enforce_if(moved)
        model.add(
            2 * pen.host.plane.width - x2 >= body + 2 * case.rules.edge_gap
        ).only_enforce_if(moved)
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
