"""The rules of panels on a bent plane, a function a rule: odd panels, play, laying from a line."""

from __future__ import annotations

from solver.model.lattice import Lit
from solver.model.seams import Bent, Run, Seam
from solver.model.variables import Expr, PenVars, RoofVars


def add_panels(roof: RoofVars) -> None:
    """Panels fill each run: full ones with their stretch's module, odd ones, and one last."""
    for host in roof.planes:
        if host.bent is not None:
            for run in host.bent.runs:
                for place in range(len(run.pans)):
                    _add_panel(roof, host.bent, run, place)


def _add_panel(roof: RoofVars, bent: Bent, run: Run, place: int) -> None:
    """A panel is full only where what is left is more than a cover; the last takes what is left."""
    model, cover = roof.model, roof.case.panel.cover
    pan, begin = run.pans[place], run.along[place]
    assert pan.near is not None
    if pan.far is None or pan.full is None:
        model.add(run.end == run.length - begin).only_enforce_if(pan.near.given)
        return
    stop, real = run.along[place + 1], pan.far.given
    kinds = [pan.full] if pan.odd is None else [pan.full, pan.odd]
    model.add_exactly_one([*kinds, *(~lit for lit in real)])
    change = bent.changes.get(pan.stretch, 0)
    model.add(stop - begin == cover + change).only_enforce_if(pan.full)
    model.add(begin <= run.length - cover - 1).only_enforce_if(pan.full)
    model.add(stop <= run.length - 1).only_enforce_if(real)
    for slot, here in zip(bent.slots, pan.slots, strict=True):
        model.add(stop - begin == slot.width).only_enforce_if(here)
    if pan.odd is not None:
        model.add(sum(pan.slots) == pan.odd)
    if not real:
        return
    there = real[0]
    for before in pan.near.given:
        model.add_implication(there, before)
    model.add(stop == run.length).only_enforce_if(~there)
    model.add(run.end == run.length - begin).only_enforce_if([~there, *pan.near.given])


def add_whole_width(roof: RoofVars) -> None:
    """The widths of all panels add up to the plane's, but for what changed modules make of it.

    This follows from the panels one by one; said of the whole plane it bounds both ends at once.
    """
    cover, rules = roof.case.panel.cover, roof.case.rules
    for host in roof.planes:
        bent = host.bent
        if bent is None:
            continue
        full = [pan.full for pan in bent.pans if pan.full is not None]
        odd = [slot.width for slot in bent.slots]
        rest = host.plane.width - host.first - host.last - cover * sum(full) - sum(odd)
        most = rules.play * rules.remeasure * sum(bent.altered.values())
        roof.model.add(rest <= most)
        roof.model.add(rest >= -1 * most)


def add_odd_panels(roof: RoofVars) -> None:
    """Each odd panel of a plane is one of its panels, or not used; they are sorted by number."""
    for host in roof.planes:
        if host.bent is None:
            continue
        model, slots, start = roof.model, host.bent.slots, host.plane.start or 0
        for i, slot in enumerate(slots):
            able = [pan for pan in host.bent.pans if pan.slots]
            model.add(sum(pan.slots[i] for pan in able) == slot.used)
            for value, unused in ((slot.width, 0), (slot.centre2, 2 * start), (slot.start2, 0)):
                model.add(value == unused).only_enforce_if(~slot.used)
            model.add(slot.width >= 1).only_enforce_if(slot.used)
            if i:
                model.add_implication(slot.used, slots[i - 1].used)
                model.add(slot.number >= slots[i - 1].number + 1).only_enforce_if(slot.used)
            for pan in able:
                assert pan.near is not None and pan.far is not None
                here = pan.slots[i]
                model.add(slot.centre2 == pan.near.at + pan.far.at).only_enforce_if(here)
                if host.plane.lay == "from":
                    sign = 1 if pan.number > 0 else -1
                    away = sign * (slot.centre2 - 2 * start)
                    model.add(slot.start2 == away).only_enforce_if(here)


def add_play(roof: RoofVars) -> None:
    """A stretch is altered exactly where its change is not nothing; it then has a full panel."""
    for host in roof.planes:
        if host.bent is None:
            continue
        for stretch, change in host.bent.changes.items():
            altered = host.bent.altered[stretch]
            roof.model.add(change != 0).only_enforce_if(altered)
            roof.model.add(change == 0).only_enforce_if(~altered)
            full = [pan.full for pan in host.bent.pans
                    if pan.stretch == stretch and pan.full is not None]
            roof.model.add_bool_or(full).only_enforce_if(altered)


def add_place_among_seams(roof: RoofVars) -> None:
    """A penetration stands in one pan, between the seams of it."""
    for pen in roof.pens:
        bent, model = pen.host.bent, roof.model
        if bent is None:
            continue
        model.add_exactly_one(pen.stands.values())
        for i, here in pen.stands.items():
            near = bent.pans[i].near
            for there in near.given if near is not None else []:
                model.add_implication(here, there)
            if i > 0:
                model.add(bent.seams[i - 1].at <= pen.u).only_enforce_if(here)
            if i < len(bent.seams):
                model.add(bent.seams[i].at >= pen.u).only_enforce_if(here)


def sides_among_seams(roof: RoofVars, pen: PenVars) -> list[tuple[Expr, list[Lit]]]:
    """Rooms to the seams of the pan a pipe stands in, in half ticks, with when they count.

    In a robust case, after the worst shift, with those of seams farther off that may creep nearer.
    """
    bent, rules = pen.host.bent, roof.case.rules
    assert bent is not None
    off = pen.pen.x_tol if rules.robust else 0
    found: list[tuple[Expr, list[Lit]]] = []
    for i, here in pen.stands.items():
        for seam in _binding(bent, i - 1, -1):
            gap = pen.u - seam.at - seam.above - seam.shift - off
            found.append((2 * gap, [here, *seam.given]))
        for seam in _binding(bent, i, 1):
            gap = seam.at - pen.u - seam.below - seam.shift - off
            found.append((2 * gap, [here, *seam.given]))
    return found


def _binding(bent: Bent, nearest: int, step: int) -> list[Seam]:
    """The seams from number `nearest` outwards that can leave the least room."""
    found: list[Seam] = []
    worst = 0
    for n, i in enumerate(range(nearest, len(bent.seams) if step > 0 else -1, step)):
        seam = bent.seams[i]
        takes = seam.shift + (seam.below if step > 0 else seam.above)
        if not found:
            worst = takes
            found.append(seam)
        elif takes > worst + n * bent.least_pan:
            found.append(seam)
    return found
