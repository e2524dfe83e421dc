"""The tie order of the direct model: the total first, then every tie level, smaller is better."""

from __future__ import annotations

from collections.abc import Iterable

from ortools.sat.python import cp_model

from solver.model.seams import Slot
from solver.model.variables import Expr, PenVars, PlaneVars, RoofVars
from solver.tabling.tables import move_rate


def count_levels(roof: RoofVars) -> list[Expr]:
    """The counts, in the order two candidates are compared by."""
    pens = roof.pens
    return [
        _sum(pen.states.get("on-seam", 0) for pen in pens),
        _sum(pen.seams_cut for pen in pens),
        _sum(pen.states.get("crosses", 0) for pen in pens),
        _sum(pen.states.get("tight", 0) for pen in pens),
        _sum(pen.states.get("crowded", 0) for pen in pens),
        _sum(pen.moved for pen in pens if not isinstance(pen.delta, int)),
        _sum(roof.missed),
        _sum(host.off_centre for host in roof.planes),
        _sum(pen.unlanded for pen in pens),
        _sum(slot.used for slot, _ in _slots(roof)),
        _sum(host.uneven for host in roof.planes),
        _sum(host.stock for host in roof.planes),
    ]


def total_cents(roof: RoofVars) -> Expr:
    """The extra cost in cents."""
    missed = roof.case.rates.cents("misaligned")
    return _sum([
        *(plane_cents(roof, host) for host in roof.planes),
        *(literal * missed for literal in roof.missed),
    ])


def plane_cents(roof: RoofVars, host: PlaneVars) -> Expr:
    """The extra cost in cents of one plane, links left out."""
    case, cents = roof.case, roof.case.rates.cents
    terms: list[Expr] = [
        host.uneven * cents("uneven"), host.off_centre * cents("off_centre"),
        host.stock * cents("area"),
    ]
    terms += [slot.used * cents("odd_panel") for slot in host.slots]
    if host.bent is not None:
        terms += [altered * cents("play") for altered in host.bent.altered.values()]
    for pen in roof.pens:
        if pen.host is not host:
            continue
        for state, rate in (("on-seam", "on_seam"), ("crosses", "crosses"), ("tight", "tight"),
                            ("crowded", "crowded")):
            terms.append(pen.states.get(state, 0) * cents(rate))
        terms += [pen.seams_cut * cents("seam_cut"), pen.unlanded * cents("unlanded")]
        if not isinstance(pen.delta, int):
            terms.append(pen.moved * move_rate(case, pen.pen))
    return _sum(terms)


def tie_levels(roof: RoofVars) -> list[Expr]:
    """Every level of the order, in the shape of `Judged.order`.

    Total, counts, stretches altered, shortfall, distance, ends, odd panels (width, clearance,
    start), changes, then every plane's choices, and the moves.
    """
    bents = [host.bent for host in roof.planes if host.bent is not None]
    return [
        total_cents(roof),
        *count_levels(roof),
        _sum(altered for bent in bents for altered in bent.altered.values()),
        _sum(pen.shortfall2 for pen in roof.pens),
        _sum(_size(roof, pen.delta, max(pen.pen.reach_low, pen.pen.reach_high))
             for pen in roof.pens if not isinstance(pen.delta, int)),
        _minus_narrowest(roof),
        -1 * _sum(slot.width for slot, _ in _slots(roof)),
        _minus_clearance2(roof),
        _sum(slot.start2 for slot, _ in _slots(roof)),
        _sum(_size(roof, change, roof.case.rules.play)
             for bent in bents for change in bent.changes.values()),
        *(choice for host in roof.planes for choice in plane_choices(roof, host)),
        *(pen.delta for pen in roof.pens),
    ]


def plane_choices(roof: RoofVars, host: PlaneVars) -> list[Expr]:
    """First width, odd panels as number and width, and changes of module, as ties go by them."""
    rules, cover = roof.case.rules, roof.case.panel.cover
    slots = host.slots
    changes = host.bent.changes if host.bent is not None else {}
    found: list[Expr] = [host.first]
    for slot in slots:
        found += [slot.number, slot.width]
    found += [0] * (2 * (rules.odd_panels - len(slots)))
    if rules.play:
        most = host.plane.width // (cover - rules.play) + 1
        for sign in (1, -1) if host.plane.lay == "from" else (1,):
            found += [changes.get(sign * n, 0) for n in range(1, most + 1)]
    return found


def _slots(roof: RoofVars) -> list[tuple[Slot, PlaneVars]]:
    """All odd panels that the roof may have, with their planes."""
    return [(slot, host) for host in roof.planes for slot in host.slots]


def _size(roof: RoofVars, value: Expr, most: int) -> Expr:
    size = roof.model.new_int_var(0, most, "")
    roof.model.add(size >= value)
    roof.model.add(size >= -1 * value)
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


def _minus_clearance2(roof: RoofVars) -> Expr:
    """Minus the least distance from an odd panel's centre line to a penetration or an end."""
    slots, model = _slots(roof), roof.model
    if not slots:
        return 0
    least = model.new_int_var(0, max(host.plane.width for _, host in slots), "clearance")
    any_used = model.new_bool_var("")
    model.add_bool_or([slot.used for slot, _ in slots]).only_enforce_if(any_used)
    model.add(least == 0).only_enforce_if(~any_used)
    for slot, host in slots:
        model.add(least <= slot.centre2).only_enforce_if(slot.used)
        model.add(least <= 2 * host.plane.width - slot.centre2).only_enforce_if(slot.used)
        for pen in roof.pens:
            if pen.host is host:
                _keep_off(model, slot, pen, least)
    return -least


def _keep_off(
    model: cp_model.CpModel, slot: Slot, pen: PenVars, least: cp_model.IntVar
) -> None:
    """`least` is at most the distance (half ticks) of a used odd panel from a penetration."""
    beyond = model.new_bool_var("")
    model.add(least <= slot.centre2 - 2 * pen.u).only_enforce_if([slot.used, beyond])
    model.add(least <= 2 * pen.u - slot.centre2).only_enforce_if([slot.used, ~beyond])


def _sum(terms: Iterable[Expr]) -> Expr:
    """A sum that stays a plain 0 where there is nothing to add up."""
    items = [term for term in terms if not (isinstance(term, int) and term == 0)]
    return cp_model.LinearExpr.sum(items) if items else 0
