"""The rules of planes whose odd panels part them into zones, a function a rule."""

from __future__ import annotations

from itertools import pairwise

from ortools.sat.python import cp_model

from solver.model.lattice import Expr, Lit
from solver.model.seams import Seam
from solver.model.variables import PenVars, PlaneVars, RoofVars
from solver.model.zones import most_seams_of
from solver.tabling.worst_shift import far_end_shift, start_shift


def add_zones(roof: RoofVars) -> None:
    """Odd panels are sorted by number, neither first nor last; only used ones have a width."""
    for host in roof.planes:
        if host.zoned is None:
            continue
        model, slots = roof.model, host.zoned.slots
        for i, slot in enumerate(slots):
            for value in (slot.number, slot.width, slot.centre2):
                model.add(value == 0).only_enforce_if(~slot.used)
            model.add(slot.width >= 1).only_enforce_if(slot.used)
            model.add(slot.number <= host.seams).only_enforce_if(slot.used)
            model.add(
                slot.centre2 == 2 * host.zoned.nears[i] + slot.width
            ).only_enforce_if(slot.used)
            least: Expr = 2
            if i:
                model.add_implication(slot.used, slots[i - 1].used)
                least = slots[i - 1].number + 1
            model.add(slot.number >= least).only_enforce_if(slot.used)


def add_place_in_zones(roof: RoofVars) -> None:
    """A penetration stands in one zone, among the seams of its grid, or in one odd panel."""
    cover = roof.case.panel.cover
    for pen in roof.pens:
        zoned, place, model = pen.host.zoned, pen.place, roof.model
        if zoned is None or place is None:
            continue
        model.add_exactly_one([*place.in_zone, *place.in_odd])
        for z, here in enumerate(place.in_zone):
            seam = zoned.origins[z] + cover * pen.q
            model.add(pen.u == seam + place.behind).only_enforce_if(here)
            model.add(place.behind + place.ahead == cover).only_enforce_if(here)
            if z:
                before = zoned.slots[z - 1]
                model.add_implication(here, before.used)
                model.add(zoned.nears[z - 1] + before.width <= pen.u).only_enforce_if(here)
            if z < len(zoned.slots):
                model.add(zoned.nears[z] >= pen.u).only_enforce_if([here, zoned.slots[z].used])
        for i, here in enumerate(place.in_odd):
            slot = zoned.slots[i]
            model.add_implication(here, slot.used)
            model.add(pen.u == zoned.nears[i] + place.behind).only_enforce_if(here)
            model.add(place.behind + place.ahead == slot.width).only_enforce_if(here)
            model.add(pen.q == slot.number - 2).only_enforce_if(here)
        model.add(pen.q <= pen.host.seams - 1)
        model.add(pen.q >= 0).only_enforce_if(pen.has_before)
        model.add(pen.q == -1).only_enforce_if(~pen.has_before)
        model.add(pen.q <= pen.host.seams - 2).only_enforce_if(pen.has_after)
        model.add(pen.q == pen.host.seams - 1).only_enforce_if(~pen.has_after)


def add_zone_order(roof: RoofVars) -> None:
    """Of two fixed penetrations the farther one is behind whatever the nearer is behind.

    This follows from the other rules; it spares the search finding out.
    """
    for host in roof.planes:
        fixed = [pen for pen in roof.pens
                 if pen.host is host and pen.place is not None and isinstance(pen.u, int)]
        fixed.sort(key=_place_of)
        for one, other in pairwise(fixed):
            assert one.place is not None and other.place is not None
            for i in range(1, len(one.place.in_zone)):
                nearer = [*one.place.in_zone[i:], *one.place.in_odd[i:]]
                beyond = [*other.place.in_zone[i:], *other.place.in_odd[i:]]
                roof.model.add(sum(beyond) >= sum(nearer))


def _place_of(pen: PenVars) -> int:
    assert isinstance(pen.u, int)
    return pen.u


def add_zone_limits(roof: RoofVars) -> None:
    """A room is reached in a zone exactly where the zone's grid has certain origins.

    This follows from the other rules too, but says it of one variable.
    """
    for pen in roof.pens:
        if pen.place is None or not isinstance(pen.u, int):
            continue
        for limit, reached in pen.at_least.items():
            reach = _origins(roof, pen, limit)
            assert pen.host.zoned is not None
            for origin, here in zip(pen.host.zoned.origins, pen.place.in_zone, strict=True):
                model = roof.model
                model.add_linear_expression_in_domain(origin, reach).only_enforce_if(
                    [reached, here])
                if _end_room2(roof, pen) >= limit:
                    model.add_linear_expression_in_domain(
                        origin, reach.complement()
                    ).only_enforce_if([~reached, here])


def _end_room2(roof: RoofVars, pen: PenVars) -> int:
    """Room of a fixed pipe to the nearer end (half ticks)."""
    rules, u = roof.case.rules, pen.pen.x
    off = pen.pen.x_tol if rules.robust else 0
    far = pen.host.plane.width - far_end_shift(roof.case) - u
    return 2 * (min(u, far) - rules.end_lap - off)


def _origins(roof: RoofVars, pen: PenVars, limit: int) -> cp_model.Domain:
    """Where the first seam of a grid may stand that leaves a fixed pipe that room (half ticks)."""
    case, width, zoned = roof.case, pen.host.plane.width, pen.host.zoned
    cover, u = case.panel.cover, _place_of(pen)
    assert zoned is not None
    lost = len(zoned.slots) * (cover - zoned.slim)  # no origin is less than minus that
    wants = -(-limit // 2) + (pen.pen.x_tol if case.rules.robust else 0)
    spans = []
    for k in range(max((u - 2 * cover) // cover, -1), (u + lost) // cover + 1):
        behind = case.panel.seam_fwd + _creep(roof, pen.host, k)
        ahead = case.panel.seam_back + _creep(roof, pen.host, k + 1)
        high = u - behind - wants - k * cover if k >= 0 else cover
        low = min(u + ahead + wants, width) - (k + 1) * cover
        if low <= high and low <= cover and high >= -lost:
            spans.append([low, high])
    return cp_model.Domain.from_intervals(spans)


def _creep(roof: RoofVars, host: PlaneVars, k: int) -> int:
    """Worst shift of the seam with `k` others before it (ticks)."""
    rules = roof.case.rules
    gone = (k - 1) % rules.remeasure + 1 if k > 0 else 0
    return gone * rules.cover_tol + start_shift(roof.case, host.plane) if rules.robust else 0


def seams_between(roof: RoofVars, host: PlaneVars, low: int, high: int) -> list[Seam]:
    """The seams that can stand between two distances from the start (ticks), one by one."""
    zoned, cover, width = host.zoned, roof.case.panel.cover, host.plane.width
    assert zoned is not None
    found = []
    for number in range(1, most_seams_of(roof.case, host.plane) + 1):
        odd = min(len(zoned.slots), number - 1)
        least = roof.case.rules.min_end + odd * zoned.slim + (number - 1 - odd) * cover
        most = min(number * cover, width)
        if least < width and least <= high and most >= low:
            if number not in zoned.seams:
                zoned.seams[number] = _seam(roof, host, number, least, most)
            found.append(zoned.seams[number])
    return found


def _seam(roof: RoofVars, host: PlaneVars, number: int, least: int, most: int) -> Seam:
    """It stands on the grid of the zone that its number is in, or at the end if it is not there."""
    model, zoned, panel = roof.model, host.zoned, roof.case.panel
    assert zoned is not None
    at = model.new_int_var(least, most, f"seam_{number}_{host.plane.id}")
    real = None
    if most >= host.plane.width:
        real = model.new_bool_var("")
        model.add(host.seams >= number).only_enforce_if(real)
        model.add(host.seams <= number - 1).only_enforce_if(~real)
        model.add(at == host.plane.width).only_enforce_if(~real)
    given = [] if real is None else [real]
    beyond: list[Lit] = []  # it is the far seam of that odd panel, or stands behind it
    for slot in zoned.slots:
        behind = model.new_bool_var("")
        model.add_implication(behind, slot.used)
        model.add(slot.number <= number).only_enforce_if(behind)
        model.add(slot.number >= number + 1).only_enforce_if([slot.used, ~behind])
        beyond.append(behind)
    for z, origin in enumerate(zoned.origins):
        zone = [*beyond[z - 1 : z], *(~lit for lit in beyond[z : z + 1])]
        model.add(at == origin + (number - 1) * panel.cover).only_enforce_if([*zone, *given])
    shift = _creep(roof, host, number - 1)
    return Seam(at, real, panel.seam_back, panel.seam_fwd, shift, least, most)
