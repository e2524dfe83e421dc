"""The optimum cost against a mixed-integer linear model solved by HiGHS, through SciPy.

Source: the optimizer HiGHS, a general-purpose library, run here and now; the model is the tests'
own (`tests/highs.py`), with its own arithmetic. It knows costs only; ties are for the oracle.
"""

from __future__ import annotations

from typing import Any

import pytest

import demo_cases
import highs
import strategies
from solver.api import case_from_document, solve

RANDOM = range(1000, 1060)


def ours(document: dict[str, Any]) -> int | None:
    """The cost of the program's first layout in cents, None where it lists none."""
    found = solve(case_from_document(document), top=1)
    assert found.proven
    return found.layouts[0].judged.cost.total if found.layouts else None


@pytest.mark.parametrize("name", demo_cases.names())
def test_demo_case(name: str) -> None:
    document = demo_cases.document(name)
    best = highs.optimum_cents(document)
    assert best is not None
    assert best > 0
    assert ours(document) == best


@pytest.mark.parametrize("seed", RANDOM)
def test_random_case(seed: int) -> None:
    document = strategies.random_case(seed)
    assert ours(document) == highs.optimum_cents(document)


def test_random_cases_are_not_all_trivial() -> None:
    """Among them are some without any layout, some free of cost, and many that cost something."""
    found = [highs.optimum_cents(strategies.random_case(seed)) for seed in RANDOM]
    assert 2 <= found.count(None) <= 30
    assert sum(1 for cents in found if cents) >= 20


def test_a_wrong_rule_would_be_noticed() -> None:
    """HiGHS on a case with one rule changed differs from the program on the case as it is."""
    document = demo_cases.document("clinic")
    for changed in (
        {"panel": {**document["panel"], "seam_back": "7/8"}},
        {"rules": {**document["rules"], "seamer_gap": 5}},
        {"moves": {"step": 5}},
        {"rates": {**document["rates"], "uneven": {"hours": 0.3}}},
    ):
        assert highs.optimum_cents({**document, **changed}) != ours(document)
