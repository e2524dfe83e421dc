"""Laying on from where the plan itself says the crew should be gives the plan back."""

from __future__ import annotations

from typing import Any

import pytest

from conftest import CasesOr
from solver.replan.read import as_built_of
from solver.replan.run import replan
from strategies_replan import UnderWay, under_way


def test_from_the_plans_own_positions_the_plan_comes_back(cases_or: CasesOr) -> None:
    """All lays, odd panels, play: the same seams, moves and states; and the search finds nothing
    better from there, for the first of the list is the best. (Inside a stretch it may: measuring
    makes a control line, and stretches of another module are counted from there.)"""
    looked = 0
    for seed in range(5000, 5000 + cases_or(300)):
        one = under_way(seed, drift=False)
        if one is None:
            continue
        looked += 1
        answer = replan(one.case, one.plan, 1, as_built_of(one.as_built, one.case))
        assert answer.legal, seed
        assert answer.now.planes[0].seams == one.plan.planes[0].seams, seed
        assert [pen.x for pen in answer.now.penetrations] == [
            pen.x for pen in one.plan.penetrations], seed
        assert not answer.changed and not answer.moves, seed
        assert (answer.now.cost, answer.now.counts) == (one.plan.cost, one.plan.counts), seed
        assert not answer.better or not _at_control_line(one), seed
    assert looked > 10


def _at_control_line(one: UnderWay) -> bool:
    """Whether stretches counted from the front are those of the plan."""
    rules, seam = one.case.rules, abs(one.roof.seam)
    behind = seam if one.roof.lay == "from" else seam - 1
    return not rules.play or behind % rules.remeasure == 0


@pytest.mark.parametrize("seam", [1, 3])
def test_what_was_seen_where_it_is_planned_changes_nothing(seam: int) -> None:
    for seed in range(6000, 6060):
        one = under_way(seed, drift=False)
        if one is None or abs(int(one.as_built["plane"][0]["seam"])) != seam:
            continue
        document: dict[str, Any] = dict(one.as_built)
        document["penetration"] = [
            {"id": pen.id, "x": f"{pen.x / 640} mm"} for pen in one.plan.penetrations
        ]
        answer = replan(one.case, one.plan, 1, as_built_of(document, one.case))
        assert answer.legal and not answer.changed, seed
        assert answer.now.planes[0].seams == one.plan.planes[0].seams, seed
