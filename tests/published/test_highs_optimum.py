"""The optimum cost against a mixed-integer linear model solved by HiGHS, through SciPy.

Source: the optimizer HiGHS, a general-purpose library, run here and now; the model is the tests'
own (`tests/highs.py`; with odd panels a path through panels, `tests/highs_odd.py`), with its own
arithmetic. It knows costs only; ties are for the oracle.
"""

from __future__ import annotations

from typing import Any

import pytest

import demo_cases
import highs
import highs_odd
import strategies
import strategies_odd
from roofs import fixed_roof
from solver.api import case_from_document, solve

RANDOM = range(1000, 1060)
RANDOM_ODD = range(2000, 2060)


def ours(document: dict[str, Any]) -> int | None:
    """The cost of the program's first layout in cents, None where it lists none."""
    found = solve(case_from_document(document), top=1)
    assert found.proven
    return found.layouts[0].judged.cost.total if found.layouts else None


def random_odd(seed: int) -> dict[str, Any]:
    """A random case with odd panels or lines, without what the linear model leaves out."""
    document = strategies_odd.random_case_odd(seed)
    document["rules"] = {**document["rules"], "play": 0, "robust": False}
    document.pop("freeze", None)
    return document


@pytest.mark.parametrize("name", demo_cases.plain_names())
def test_demo_case(name: str) -> None:
    """Rectangles, with curbs on flanges: what the linear model knows."""
    document = demo_cases.plain_document(name)
    best = highs.optimum_cents(document)
    assert best is not None
    assert best > 0
    assert ours(document) == best


@pytest.mark.parametrize("seed", RANDOM)
def test_random_case(seed: int) -> None:
    document = strategies.random_case(seed)
    assert ours(document) == highs.optimum_cents(document)


@pytest.mark.parametrize("seed", RANDOM_ODD)
def test_random_case_with_odd_panels(seed: int) -> None:
    document = random_odd(seed)
    assert ours(document) == highs.optimum_cents(document)


@pytest.mark.parametrize("planes", [1, 2])
def test_odd_panels_among_many_pipes(planes: int) -> None:
    """Tens of thousands of ways to lay each plane, at a mark that leaves HiGHS a chance."""
    document = fixed_roof(planes, 12, 50, 1, mark="1/4")
    best = highs.optimum_cents(document)
    assert best is not None
    assert best > 0
    assert ours(document) == best
    plain = {**document, "rules": {**document["rules"], "odd_panels": 0}}
    dearer = highs.optimum_cents(plain)
    assert dearer is not None
    assert dearer > best


def test_what_the_path_model_leaves_out_is_said() -> None:
    document = fixed_roof(1, 2, 10, 1, mark="1/4")
    for rules in ({"play": "1/8"}, {"robust": True, "cover_tol": "1/8"}):
        more = {**document, "rules": {**document["rules"], **rules}}
        with pytest.raises(highs_odd.NotCoveredError):
            highs.optimum_cents(more)


def test_random_cases_with_odd_panels_use_them() -> None:
    """Of those cases a good many have an optimum that needs an odd panel."""
    needed = 0
    for seed in RANDOM_ODD:
        document = random_odd(seed)
        if document["rules"].get("odd_panels"):
            plain = {**document, "rules": {**document["rules"], "odd_panels": 0}}
            needed += highs.optimum_cents(plain) != highs.optimum_cents(document)
    assert needed >= 8


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
