"""Random shifts against closed forms.

Sources: variance of an even spread over ±a is a²/3 and variances of independent errors add up:
JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3.7 and 5.1.2 (memory).
Sum of n even spreads: the distribution of J. O. Irwin and P. Hall, Biometrika 19, 1927 (memory).
A bias of 1/32 in per panel drifts 4 in over 134 panels: arithmetic.
Chances are held to 4.5 binomial standard errors, sqrt(p (1 - p) / N); the seeds are fixed.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import comb, factorial, floor, sqrt

import numpy as np
import pytest

from solver.case import Case, Penetration
from solver.checker.judge import judge
from solver.layout import Layout
from solver.risk.chance import crept, layout_chances
from solver.risk.creep import panels_since_control
from tests.unit.builders import inches, make_case, make_pipe, make_plane

DRAWS = 20_000
TOL = inches("1/8")


def irwin_hall(t: Fraction, n: int) -> float:
    """P(sum of n errors, each even over ±1, is at most t)."""
    x = (t + n) / 2
    if x <= 0:
        return 0.0
    if x >= n:
        return 1.0
    terms = (Fraction((-1) ** k * comb(n, k)) * (x - k) ** n for k in range(floor(x) + 1))
    return float(sum(terms) / factorial(n))


def clear_share(case: Case, first: int, draws: int = DRAWS) -> float:
    judged = judge(case, Layout((first,), (0,) * len(case.penetrations)))
    chance = layout_chances(case, [judged], draws, 11)[0]
    return chance.penetrations[0].draws["clear"] / draws


def within(share: float, p: float) -> bool:
    return abs(share - p) <= 4.5 * sqrt(p * (1 - p) / DRAWS) + 1e-12


def small_pipe(x: int, x_tol: int = 0) -> Penetration:
    """Needs 4 1/2 in (base 8 in and its gap), so it is clear from 5 in beside a seam's centre."""
    return replace(make_pipe(x), x_tol=x_tol)


@pytest.mark.parametrize("margin", ["-1/4", "-1/8", "0", "1/16", "1/8", "3/16", "1/4", "3/8"])
def test_one_pipe_beside_one_seam_is_linear(margin: str) -> None:
    """Position even over ±1/4 in: P(clear) = (a + m) / 2a between the limits."""
    off = inches(margin.removeprefix("-")) * (-1 if margin.startswith("-") else 1)
    a = inches("1/4")
    case = make_case(small_pipe(inches(14 + 5) + off, a))
    p = min(max((a + off) / (2 * a), 0.0), 1.0)
    assert within(clear_share(case, inches(14)), p)


@pytest.mark.parametrize(("panels", "seam"), [(1, 1), (2, 2), (3, 3), (4, 4), (1, 5), (2, 6)])
@pytest.mark.parametrize("part", ["-7/8", "-1/2", "0", "1/4", "1", "3/2"])
def test_panels_since_the_control_line_add_up_as_irwin_and_hall_say(
    panels: int, seam: int, part: str
) -> None:
    """A pipe `part` tolerances from losing its margin to the seam that 4 panels at most carry."""
    off = Fraction(part)
    x = inches(14) + seam * inches(18) + inches(5) + int(off * TOL)
    case = make_case(small_pipe(x), planes=(make_plane(width=inches(158)),))
    case = replace(case, rules=replace(case.rules, cover_tol=TOL, remeasure=4))
    assert within(clear_share(case, inches(14)), irwin_hall(off, panels))


@pytest.mark.parametrize("part", ["-3/2", "-1/2", "0", "1/2", "1", "7/4"])
def test_width_and_position_together_are_a_triangle(part: str) -> None:
    """Laid from the high end: the first seam goes with the width, and the pipe is off as well."""
    a, off = inches("1/4"), Fraction(part)
    # The first seam stands at 86 in; the pipe on its low side.
    case = make_case(
        small_pipe(inches(86 - 5) - int(off * a), a), planes=(make_plane(lay="right-to-left"),)
    )
    case = replace(case, rules=replace(case.rules, width_tol=a))
    assert within(clear_share(case, inches(14)), irwin_hall(off, 2))


def test_in_the_middle_of_a_pan_both_sides_count() -> None:
    """18 in pan: 8 1/2 in of room in its middle, 1/2 in to spare for a base of 15 in."""
    pipe = replace(make_pipe(inches(23), base=inches(15)), x_tol=inches(2))
    assert within(clear_share(make_case(pipe), inches(14)), 0.5 / 2)


def test_variance_of_a_shift_is_n_a_squared_over_three() -> None:
    n, draws, a = 4, 40_000, 0.125
    errors = np.random.Generator(np.random.PCG64(5)).uniform(-a, a, (draws, 2 * n))
    shifts = crept(errors, n)
    for seam in range(2 * n + 1):
        panels = panels_since_control(seam, n)
        expected = panels * a * a / 3
        # Standard error of a sample variance: at most the normal law's, these have thinner tails.
        assert abs(shifts[:, seam].var() - expected) <= 4.5 * expected * sqrt(2 / draws)


def test_expected_cost_is_the_rate_times_the_chance() -> None:
    a = inches("1/4")
    case = make_case(small_pipe(inches(14 + 5) + inches("1/8"), a))
    judged = judge(case, Layout((inches(14),), (0,)))
    chance = layout_chances(case, [judged], DRAWS, 3)[0]
    rate, p = case.rates.cents("tight"), 0.25
    fixed = judged.cost.total
    assert abs(chance.spread.mean - fixed - rate * p) <= 4.5 * rate * sqrt(p * (1 - p) / DRAWS) + 1
    assert (chance.spread.p10, chance.spread.p50, chance.spread.p90) == (fixed, fixed, fixed + rate)


def test_a_32nd_in_every_panel_drifts_four_inches_over_134() -> None:
    drift = panels_since_control(134, 10_000) * inches("1/32")
    assert drift == inches("4 3/16")
    assert panels_since_control(134, 4) * inches("1/32") == inches("1/16")
