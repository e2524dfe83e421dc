"""Outlines, centres, curbs as built and stock, against the oracle by brute force.

List, costs, the twelve counts, tie order, windows, usual, as drawn, blind start, breaches of
layouts made up and the rules on pieces, over small random roofs. `--cases N` takes more or fewer.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings

from conftest import CasesOr
from differential.answers_outline import (
    EVERYTHING,
    check_differences_outline,
    differences_outline,
    strip_differences,
)
from oracle_outline_faults import OUTLINE_FAULTS
from solver.api import Result, solve
from solver.case import Case
from strategies_outline import random_roof, roofs

SEEDS = 600
CHECK_SEEDS = 300
DIRECT_SEEDS = 40
FAULT_SEEDS = 1000


def test_tables_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(SEEDS))
        if (found := differences_outline(random_roof(seed)))
    }
    assert not wrong, _first(wrong)


def test_direct_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {}
    for seed in range(80_000, 80_000 + cases_or(DIRECT_SEEDS)):
        case = plainly_laid(random_roof(seed))
        if found := differences_outline(case, engine="direct", top=3):
            wrong[seed] = found
    assert not wrong, _first(wrong)


def test_checker_agrees_on_layouts_made_up(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(CHECK_SEEDS))
        if (found := check_differences_outline(random_roof(seed), seed))
    }
    assert not wrong, _first(wrong)


def test_pieces_and_ends_anywhere(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(CHECK_SEEDS))
        if (found := strip_differences(random_roof(seed), seed))
    }
    assert not wrong, _first(wrong)


def plainly_laid(case: Case) -> Case:
    """What the direct engine knows beside outlines: nothing odd, no play, laid from an end."""
    planes = tuple(
        replace(plane, start=None, lay="right-to-left") if plane.lay == "from" else plane
        for plane in case.planes
    )
    rules = replace(case.rules, odd_panels=0, odd_widths=(), play=0)
    return replace(case, planes=planes, rules=rules)


@settings(
    max_examples=100,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(case=roofs())
def test_hypothesis_finds_no_difference(case: Case) -> None:
    assert differences_outline(case) == []


@cache
def _answer(seed: int) -> Result:
    return solve(random_roof(seed), top=EVERYTHING)


@pytest.mark.parametrize("fault", sorted(OUTLINE_FAULTS))
def test_a_planted_fault_is_noticed(fault: str) -> None:
    """The comparison can fail: with a wrong reading planted in the oracle it soon does."""
    planted = frozenset({fault})
    assert any(
        differences_outline(random_roof(seed), faults=planted, ours=_answer(seed))
        for seed in range(FAULT_SEEDS)
    ), f"{FAULT_SEEDS} roofs do not notice {fault!r}: {OUTLINE_FAULTS[fault]}"


def _first(wrong: dict[int, list[str]]) -> str:
    seed = min(wrong)
    return f"{len(wrong)} cases differ; seed {seed}:\n" + "\n".join(wrong[seed])
