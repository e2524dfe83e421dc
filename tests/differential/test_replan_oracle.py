"""Laying on after random drift, against every way to lay the rest by brute force."""

from __future__ import annotations

from dataclasses import replace

import pytest

import oracle_replan as brute
from conftest import CasesOr
from solver.replan.read import as_built_of
from solver.replan.run import replan
from solver.tabling.tables import DIST
from strategies_replan import UnderWay, under_way

SEEDS = 250


def differences(seed: int) -> str:
    """How the program and the oracle differ on one roof; empty where they agree."""
    one = under_way(seed)
    return "" if one is None else _difference(one, one.roof)


def _difference(one: UnderWay, roof: brute.Roof) -> str:
    answer = replan(one.case, one.plan, 1, as_built_of(one.as_built, one.case))
    expected = brute.best(roof)
    if not one.drifted:
        return ""
    if expected is None:
        return "it closes, by the oracle it does not" if answer.legal else ""
    if not answer.legal:
        return f"it does not close, by the oracle it does: {expected}"
    found = answer.now.order[: DIST + 1]
    return "" if found == expected else f"{found}, by the oracle {expected}"


def test_the_rest_is_the_oracles(cases_or: CasesOr) -> None:
    wrong = {seed: said for seed in range(cases_or(SEEDS)) if (said := differences(seed))}
    assert not wrong, wrong


FAULTS = {
    "a legal end may be narrower": {"min_end": 3 * brute.INCH},
    "seams take nothing of the flat": {"back": 0, "fwd": 0},
    "no odd panel is left": {"odd_panels": 0},
    "no play": {"modules": (0,)},
    "stretches of another length": {"remeasure": 7},
    "moves are free of charge": {"cents": None},
    "the ridge is as the eave": {"ridge": None},
}


@pytest.mark.parametrize("fault", sorted(FAULTS))
def test_a_planted_fault_is_noticed(fault: str) -> None:
    """The comparison can fail: with a wrong reading planted in the oracle it soon does."""
    for seed in range(600):
        one = under_way(seed)
        if one is None:
            continue
        roof = one.roof
        for key, value in FAULTS[fault].items():
            if key == "ridge":
                roof = replace(roof, ridge=roof.eave)
            elif key == "cents":
                roof = replace(roof, cents=roof.cents | {"move_planned": 0, "move_stubbed": 0})
            else:
                roof = replace(roof, **{key: value})  # type: ignore[arg-type]
        if _difference(one, roof):
            return
    pytest.fail("600 roofs do not tell")
