"""The whole answer against brute force by an oracle that shares no code with the program.

List, costs, counts, first widths, moves, tie order, windows, usual, as drawn and blind start, over
thousands of small random cases of every feature in both units. `--cases N` takes more or fewer.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

import oracle
from conftest import CasesOr
from differential.answers import differences
from strategies import cases, random_case

SEEDS = 3000
DIRECT_SEEDS = 40


def test_tables_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {
        seed: told
        for seed in range(cases_or(SEEDS))
        if (told := differences(random_case(seed)))
    }
    assert not wrong, _first(wrong)


def test_direct_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {
        seed: told
        for seed in range(50_000, 50_000 + cases_or(DIRECT_SEEDS))
        if (told := differences(random_case(seed), engine="direct", top=3))
    }
    assert not wrong, _first(wrong)


@settings(
    max_examples=150,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(document=cases())
def test_hypothesis_finds_no_difference(document: dict[str, object]) -> None:
    assert differences(document) == []


@pytest.mark.parametrize("fault", sorted(oracle.FAULTS))
def test_a_planted_fault_is_noticed(fault: str) -> None:
    """The comparison can fail: with a wrong reading planted in the oracle it soon does."""
    planted = frozenset({fault})
    assert any(
        differences(random_case(seed), faults=planted) for seed in range(100_000, 102_000)
    ), f"2000 cases do not notice {fault!r}"


def _first(wrong: dict[int, list[str]]) -> str:
    seed = min(wrong)
    return f"{len(wrong)} cases differ; seed {seed}:\n" + "\n".join(wrong[seed])
