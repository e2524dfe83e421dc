"""The rules of curbs in the direct model: cut seams, flanks, states. Half ticks where named `2`."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.model.grid import between, shift_of
from solver.model.lattice import Lit
from solver.model.seams import Seam
from solver.model.variables import PenVars, RoofVars
from solver.model.zone_rules import seams_between


def add_curbs(roof: RoofVars) -> None:
    """Which seams a curb cuts, whether an uncut one crowds it, and by how much it falls short."""
    case, model = roof.case, roof.model
    cover, rules = case.panel.cover, case.rules
    for pen in roof.pens:
        if pen.pen.kind != "curb" or pen.host.bent is not None or pen.host.zoned is not None:
            continue
        if pen.pen.detail != "flange":  # see `pattern_rules`
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
                there = between(model, index, pen.host)
                cut = model.new_bool_var("")
                model.add(2 * distance <= across + 2 * side - 1).only_enforce_if(cut)
                model.add_implication(cut, there)
                whole = model.new_bool_var("")
                model.add(2 * distance >= across + 2 * side).only_enforce_if(whole)
                model.add_implication(whole, there)
                model.add_bool_or([cut, whole, ~there])
                shift = shift_of(roof, pen.host, index, k + 1)
                flank2 = 2 * (distance - off - shift) - across
                close = model.new_bool_var("")
                model.add_implication(close, whole)
                model.add(flank2 <= 2 * rules.curb_side - 1).only_enforce_if(close)
                model.add(flank2 >= 2 * rules.curb_side).only_enforce_if([~close, whole])
                model.add(
                    short >= 2 * rules.enough + 2 * rules.curb_side - flank2
                ).only_enforce_if([whole, ~crowded])
                cuts.append(cut)
                near.append(close)
        _finish(model, pen, crowded, cuts, near, short)


def add_curbs_among_seams(roof: RoofVars) -> None:
    """Near seams are cut by a curb, or stand uncut on one side of it; an uncut one may crowd it."""
    model, rules = roof.model, roof.case.rules
    for pen in roof.pens:
        host, across = pen.host, pen.pen.across
        if pen.pen.kind != "curb" or (host.bent is None and host.zoned is None):
            continue
        assert isinstance(pen.u, int)
        off = pen.pen.x_tol if rules.robust else 0
        short = model.new_int_var(0, 2 * (rules.enough + rules.curb_side) + across + 2, "")
        crowded = model.new_bool_var(f"{pen.pen.id}_crowded")
        cuts: list[Lit] = []
        near: list[Lit] = []
        for seam in _seams_near(roof, pen):
            creep = seam.shift + off if rules.robust else 0
            low = (2 * pen.u - across - 2 * seam.above) // 2 + 1
            high = -((-2 * pen.u - across - 2 * seam.below) // 2) - 1
            cut, below, above = (model.new_bool_var("") for _ in range(3))
            model.add_exactly_one([cut, below, above, *(~lit for lit in seam.given)])
            model.add(seam.at >= low).only_enforce_if(cut)
            model.add(seam.at <= high).only_enforce_if(cut)
            cuts.append(cut)
            for side, flank, limit in (
                (below, pen.u - seam.at, seam.at <= low - 1),
                (above, seam.at - pen.u, seam.at >= high + 1),
            ):
                model.add(limit).only_enforce_if(side)
                flank2 = 2 * (flank - creep) - across
                close = model.new_bool_var("")
                model.add_implication(close, side)
                model.add(flank2 <= 2 * rules.curb_side - 1).only_enforce_if(close)
                model.add(flank2 >= 2 * rules.curb_side).only_enforce_if([~close, side])
                model.add(
                    short >= 2 * rules.enough + 2 * rules.curb_side - flank2
                ).only_enforce_if([side, ~crowded])
                near.append(close)
        _finish(model, pen, crowded, cuts, near, short)


def _seams_near(roof: RoofVars, pen: PenVars) -> list[Seam]:
    """The seams that a curb may cut, or whose flank may count."""
    panel, rules, host = roof.case.panel, roof.case.rules, pen.host
    assert isinstance(pen.u, int)
    creep = 0
    if rules.robust:
        creep = rules.remeasure * rules.cover_tol + rules.width_tol + pen.pen.x_tol
    widest = max(panel.seam_back, panel.seam_fwd, rules.curb_side + rules.enough + creep)
    reach = pen.pen.across // 2 + widest + 1
    low, high = pen.u - reach, pen.u + reach
    if host.bent is None:
        return seams_between(roof, host, low, high)
    return [seam for seam in host.bent.seams if seam.least <= high and seam.most >= low]


def _finish(
    model: cp_model.CpModel,
    pen: PenVars,
    crowded: Lit,
    cuts: list[Lit],
    near: list[Lit],
    short: cp_model.IntVar,
) -> None:
    """A curb's state follows from which seams it cuts and which uncut ones are too near."""
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
