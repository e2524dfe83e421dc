"""Odd panels, play and planes laid from a line, against the oracle by brute force."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

from conftest import CasesOr
from differential.answers_odd import check_differences, differences_odd
from oracle_odd_faults import ODD_FAULTS
from oracle_odd_telling import telling_cases
from strategies_odd import random_case_odd

SEEDS = 2000
CHECK_SEEDS = 500
DIRECT_SEEDS = 40


def test_tables_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(SEEDS))
        if (found := differences_odd(random_case_odd(seed)))
    }
    assert not wrong, _first(wrong)


def test_direct_engine_gives_the_oracles_answer(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(70_000, 70_000 + cases_or(DIRECT_SEEDS))
        if (found := differences_odd(random_case_odd(seed), engine="direct", top=3))
    }
    assert not wrong, _first(wrong)


@pytest.mark.parametrize("name", sorted(telling_cases()))
def test_cases_by_hand(name: str) -> None:
    """Cases that hardly come up at random: they tell the fault of that name."""
    assert differences_odd(telling_cases()[name]) == []


def test_checker_agrees_on_layouts_made_up(cases_or: CasesOr) -> None:
    wrong = {
        seed: found
        for seed in range(cases_or(CHECK_SEEDS))
        if (found := check_differences(random_case_odd(seed), seed))
    }
    assert not wrong, _first(wrong)


@pytest.mark.parametrize("fault", sorted(ODD_FAULTS))
def test_a_planted_fault_is_noticed(fault: str) -> None:
    """The comparison can fail: with a wrong reading planted in the oracle it soon does."""
    planted = frozenset({fault})
    documents: Iterable[dict[str, Any]] = map(random_case_odd, range(2000))
    if fault in telling_cases():
        documents = [telling_cases()[fault]]
    assert any(differences_odd(document, faults=planted) for document in documents), fault


def _first(wrong: dict[int, list[str]]) -> str:
    seed = min(wrong)
    return f"{len(wrong)} cases differ; seed {seed}:\n" + "\n".join(wrong[seed])
