"""Planes out of square, laid square or fanned, against the oracle by brute force.

List, costs, the twelve counts, tie order, windows, usual, as drawn, blind start, widths at the top,
seams beside each pipe at its own height, and breaches of layouts made up, over small random roofs.
`--cases N` takes more or fewer.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings

from conftest import CasesOr
from differential.answers_lean import EVERYTHING, check_differences_lean, differences_lean
from oracle_lean import LEAN_FAULTS
from solver.api import Result, solve
from solver.case import Case
from strategies_lean import leaning_roofs, random_leaning_roof

SEEDS = 250
CHECK_SEEDS = 300
DIRECT_SEEDS = 30
FAULT_SEEDS = 600


def test_tables_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(SEEDS))
        if (found := differences_lean(random_leaning_roof(seed)))
    }
    assert not wrong, _first(wrong)


def test_direct_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {}
    for seed in range(50_000, 50_000 + cases_or(DIRECT_SEEDS)):
        case = plainly_laid(random_leaning_roof(seed))
        if found := differences_lean(case, engine="direct", top=3):
            wrong[seed] = found
    assert not wrong, _first(wrong)


def test_checker_agrees_on_layouts_made_up(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(CHECK_SEEDS))
        if (found := check_differences_lean(random_leaning_roof(seed), seed))
    }
    assert not wrong, _first(wrong)


def plainly_laid(case: Case) -> Case:
    """What the direct engine knows beside planes that lean: no fans, nothing odd, no play, no
    centres, laid from an end."""
    planes = tuple(
        replace(plane, start=None, lay="right-to-left") if plane.lay == "from" else plane
        for plane in case.planes
    )
    planes = tuple(
        plane if plane.lean is None else replace(plane, lean=replace(plane.lean, fan=False))
        for plane in planes
    )  # fmt: skip
    rules = replace(case.rules, odd_panels=0, odd_widths=(), play=0)
    return replace(case, planes=planes, rules=rules, centres=())


@settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(case=leaning_roofs())
def test_hypothesis_finds_no_difference(case: Case) -> None:
    assert differences_lean(case) == []


@cache
def _answer(seed: int) -> Result:
    return solve(random_leaning_roof(seed), top=EVERYTHING)


@pytest.mark.parametrize("fault", sorted(LEAN_FAULTS))
def test_a_planted_fault_is_noticed(fault: str) -> None:
    """The comparison can fail: with a wrong reading planted in the oracle it soon does."""
    planted = frozenset({fault})
    assert any(
        differences_lean(random_leaning_roof(seed), faults=planted, ours=_answer(seed))
        or check_differences_lean(random_leaning_roof(seed), seed, planted)
        for seed in range(FAULT_SEEDS)
    ), f"{FAULT_SEEDS} roofs do not notice {fault!r}: {LEAN_FAULTS[fault]}"


def _first(wrong: dict[int, list[str]]) -> str:
    seed = min(wrong)
    return f"{len(wrong)} cases differ; seed {seed}:\n" + "\n".join(wrong[seed])
