"""What every answer is compared with: the usual layout and the blind start."""

from __future__ import annotations

from fractions import Fraction

from solver.case import Case
from solver.layout import Layout
from solver.result import Blind
from solver.tabling.profile import Profile
from solver.tabling.starts import usual_first
from solver.tabling.tables import COST


def usual_layout(case: Case, profiles: list[Profile]) -> Layout:
    """Both ends equal or nearly, penetrations ignored, nothing moved (common practice)."""
    firsts = tuple(usual_first(case, p.plane, p.firsts) for p in profiles)
    return Layout(firsts, (0,) * len(case.penetrations))


def blind_start(profiles: list[Profile]) -> Blind:
    """Every plane started anywhere legal with equal chance, nothing moved, links left out.

    `mean` is the exact sum of the planes' means, rounded once to the cent, halves up.
    """
    mean = Fraction(0)
    worst = 0
    for profile in profiles:
        costs = [int(cents) for cents in profile.stay_levels[COST]]
        mean += Fraction(sum(costs), len(costs))
        worst += max(costs)
    rounded = (2 * mean.numerator + mean.denominator) // (2 * mean.denominator)
    return Blind(rounded, worst, {p.plane.id: len(p.firsts) for p in profiles})
