"""The whole problem as one CP-SAT model: every rule of it, in the order they need each other."""

from __future__ import annotations

from solver.case import Case
from solver.clock import Clock
from solver.model import constraints, curbs, move_rules, odd_rules, pattern_rules, zone_rules
from solver.model.alternatives import STANDING
from solver.model.variables import RoofVars, make_variables

RULES = (
    constraints.add_end_rule,
    constraints.add_unevenness,
    zone_rules.add_zones,
    odd_rules.add_panels,
    odd_rules.add_whole_width,
    odd_rules.add_odd_panels,
    odd_rules.add_play,
    zone_rules.add_zone_order,
    *STANDING,
    curbs.add_curbs,
    curbs.add_curbs_among_seams,
    pattern_rules.add_curbs_by_first,
    pattern_rules.add_centres,
    pattern_rules.add_stock,
    constraints.add_shortfall,
    constraints.add_forbidden,
    constraints.add_links,
    move_rules.add_agreed,
    move_rules.add_move_rules,
    move_rules.add_spacing,
)


def build(case: Case, clock: Clock) -> RoofVars | None:
    """The model of a case, every rule added; None where time runs out first."""
    roof = make_variables(case)
    for add_rule in RULES:
        if clock.over():
            return None
        add_rule(roof)
    return roof
