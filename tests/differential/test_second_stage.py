"""Fittings, what is agreed, worst shifts and several covers, against the oracle by brute force."""

from __future__ import annotations

from typing import Any

import pytest

import oracle_covers
import oracle_faults
from conftest import CasesOr
from differential.answers import cover_differences, differences
from strategies import random_case_stage2

SEEDS = 1500
DIRECT_SEEDS = 30


def told(document: dict[str, Any], faults: frozenset[str] = frozenset()) -> list[str]:
    """Differences of a case, over its covers where it has several."""
    if len(oracle_covers.given_covers(document)) > 1:
        return cover_differences(document, faults=faults)
    return differences(document, faults=faults)


def test_tables_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(SEEDS))
        if (found := told(random_case_stage2(seed)))
    }
    assert not wrong, _first(wrong)


def test_direct_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {}
    for seed in range(60_000, 60_000 + cases_or(DIRECT_SEEDS)):
        document = random_case_stage2(seed)
        if len(oracle_covers.given_covers(document)) > 1:
            continue
        if found := differences(document, engine="direct", top=3):
            wrong[seed] = found
    assert not wrong, _first(wrong)


@pytest.mark.parametrize("fault", sorted(oracle_faults.STAGE2_FAULTS))
def test_a_planted_fault_is_noticed(fault: str) -> None:
    """The comparison can fail: with a wrong reading planted in the oracle it soon does."""
    planted = frozenset({fault})
    assert any(told(random_case_stage2(seed), planted) for seed in range(2000)), fault


def _first(wrong: dict[int, list[str]]) -> str:
    seed = min(wrong)
    return f"{len(wrong)} cases differ; seed {seed}:\n" + "\n".join(wrong[seed])
