"""What-ifs against plain solving of a case file that says so: removals, joins, rules, all clear."""

from __future__ import annotations

import copy
from decimal import Decimal
from typing import Any

import pytest
from builders import inches, make_case, make_curb, make_pipe, make_plane, make_rates

from solver.api import case_from_document, solve
from solver.case import Join
from solver.clock import Clock
from solver.errors import ChoiceError
from solver.freeing.run import free
from solver.freeing.whatif import (
    Outcome,
    all_clear,
    best_layout,
    join_cents,
    joins,
    removals,
    rule_changes,
)
from solver.result import Judged
from solver.units import parse_length, to_number
from strategies import random_case

SEEDS = range(440_000, 440_060)
Document = dict[str, Any]


def total(document: Document) -> int | None:
    result = solve(case_from_document(document), top=1)
    assert result.proven
    return result.layouts[0].judged.cost.total if result.layouts else None


def saves(now: int | None, then: int | None) -> int | None:
    return None if now is None or then is None else now - then


def same(outcome: Outcome, now: int | None, then: int | None) -> None:
    assert outcome.total == then
    assert outcome.saves == saves(now, then)


def now_of(document: Document) -> Judged | None:
    return best_layout(case_from_document(document), Clock())


@pytest.mark.parametrize("seed", SEEDS)
def test_removal_is_the_case_without_it(seed: int) -> None:
    document = random_case(seed)
    now = now_of(document)
    found = list(removals(case_from_document(document), now, Clock()))
    assert [o.about for o in found] == [(p["id"],) for p in document.get("penetration", [])]
    for place, outcome in enumerate(found):
        left = copy.deepcopy(document)
        del left["penetration"][place]
        same(outcome, total(document), total(left))


def eased(document: Document) -> Document:
    """With a `min_end` an inch or 25 mm smaller."""
    case = case_from_document(document)
    less = parse_length("1 in" if case.units == "in" else "25 mm", case.units)
    rules = document.setdefault("rules", {})
    rules["min_end"] = to_number(2 * max(case.rules.min_end - less, 0), case.units)
    return document


@pytest.mark.parametrize("seed", SEEDS)
def test_rules_are_those_of_a_changed_file(seed: int) -> None:
    document = random_case(seed)
    now = now_of(document)
    told = total(document)
    found = list(rule_changes(case_from_document(document), now, Clock()))
    for outcome in found:
        changed = copy.deepcopy(document)
        if outcome.kind == "min-end":
            changed = eased(changed)
        elif outcome.kind == "no-crossing":
            general = changed.get("rules", {}).get("forbid", [])
            for pen in changed["penetration"]:
                if pen["kind"] == "pipe":
                    pen["forbid"] = list({*pen.get("forbid", general), "crosses"})
        else:
            at = next(
                n for n, link in enumerate(changed["link"])
                if tuple(link["planes"]) == outcome.about
                and (outcome.kind != "wish" or link.get("must"))
            )
            if outcome.kind == "wish":
                changed["link"][at]["must"] = False
            else:
                del changed["link"][at]
        same(outcome, told, total(changed))
    kinds = [outcome.kind for outcome in found]
    links = document.get("link", [])
    assert kinds.count("no-link") == len(links)
    assert kinds.count("wish") == sum(link.get("must", False) for link in links)


@pytest.mark.parametrize("seed", SEEDS)
def test_everything_clear_is_the_case_with_all_else_forbidden(seed: int) -> None:
    document = random_case(seed)
    found = all_clear(case_from_document(document), Clock())

    def barred(but: tuple[str, ...] = (), only: str | None = None) -> int | None:
        changed = copy.deepcopy(document)
        general = document.get("rules", {}).get("forbid", [])
        pens = changed.get("penetration", [])
        if only is not None:
            pens = changed["penetration"] = [pen for pen in pens if pen["id"] == only]
        for pen in pens:
            states = ("tight", "crosses", "on-seam") if pen["kind"] == "pipe" else (
                "crowded", "spans")
            kept = pen.get("forbid", general)
            pen["forbid"] = list(kept if pen["id"] in but else states)
        return total(changed)

    everything = barred()
    assert (None if found.judged is None else found.judged.cost.total) == everything
    if found.judged is not None:
        assert {pen.state for pen in found.judged.penetrations} <= {"clear"}
        return
    ids = [pen["id"] for pen in document.get("penetration", [])]
    assert found.alone == tuple(name for name in ids if barred(only=name) is None)
    if found.alone and len(found.alone) < len(ids):
        rest = barred(but=found.alone)
        assert (None if found.rest is None else found.rest.cost.total) == rest


@pytest.mark.parametrize("seed", SEEDS)
def test_joins_are_the_case_with_the_group_replaced(seed: int) -> None:
    document = random_case(seed)
    groups: dict[str, list[Document]] = {}
    for pen in document.get("penetration", []):
        groups.setdefault(pen["plane"], []).append(pen)
    pair = next((group[:2] for group in groups.values() if len(group) > 1), None)
    if pair is None:
        return
    case = case_from_document(document)
    now = now_of(document)
    ids = (pair[0]["id"], pair[1]["id"])
    others = [pen for pen in document["penetration"] if pen["id"] not in ids]
    kept = {**document, "penetration": [
        pen for pen in document["penetration"] if pen["id"] != ids[1]]}
    width = case.planes[[p.id for p in case.planes].index(pair[0]["plane"])].width
    x, across = width // 2, width // 5
    curb = {
        "id": "J", "plane": pair[0]["plane"], "kind": "curb",
        "x": to_number(2 * x, case.units), "y": 0, "across": to_number(2 * across, case.units),
        "along": to_number(2 * across, case.units),
    }
    cases = (
        (Join("J", ids, ids[0], None, Decimal(2), Decimal("1.005")), kept),
        (Join("J", ids, None, (x, 0, across, across), Decimal("0.1"), Decimal(0)),
         {**document, "penetration": [*others, curb]}),
    )
    for join, then in cases:
        from dataclasses import replace

        joined = replace(case, joins=(join,))
        (outcome,) = joins(joined, now, Clock())
        hours = Decimal(str(document.get("rates", {}).get("plumber_hour", 120)))
        exact = (join.hours * hours + join.material) * 100
        price = int(exact + Decimal("0.5"))
        assert outcome.price == price
        plain = total(then)
        same(outcome, total(document), None if plain is None else plain + price)


def test_half_a_cent_of_a_join_goes_up() -> None:
    case = make_case(rates=make_rates(plumber_hour="0.01"))
    join = Join("J", ("A", "B"), "A", None, Decimal("0.5"), Decimal("1"))
    assert join_cents(case, join) == 101


def test_a_new_curb_brings_its_warnings() -> None:
    """The curb of a join that blocks half the pan and stands near another pipe is warned of."""
    case = make_case(
        make_pipe(inches(40), "A"), make_pipe(inches(44), "B"), make_pipe(inches(60), "C"),
    )
    from dataclasses import replace

    curb = (inches(42), inches(100), inches(12), inches(12))
    case = replace(case, joins=(Join("J", ("A", "B"), None, curb, Decimal(1), Decimal(0)),))
    (outcome,) = joins(case, best_layout(case, Clock()), Clock())
    assert {finding.code for finding in outcome.findings} == {"blocked-pan", "near-pair"}


def test_a_wide_curb_alone_prevents_all_clear() -> None:
    case = make_case(make_curb(inches(50), "C1", across=inches(20)), make_pipe(inches(22), "A"))
    found = all_clear(case, Clock())
    assert (found.judged, found.alone) == (None, ("C1",))
    assert found.rest is not None


def test_two_that_exclude_each_other_name_nobody() -> None:
    """Two fixed pipes 9 in apart under 18 in: each needs 5 in from a seam's centre (4 + 1/2 + 1/2),
    so between them there is no room for one and the pan that holds both is short by 1 in."""
    case = make_case(make_pipe(inches(40), "A"), make_pipe(inches(49), "B", y=inches(20)))
    found = all_clear(case, Clock())
    assert (found.judged, found.alone, found.rest) == (None, (), None)


def test_a_stopped_clock_gives_what_is_known() -> None:
    case = make_case(make_pipe(inches(40), "A", status="planned"), make_pipe(inches(60), "B"))
    clock = Clock()
    clock.stop()
    freed = free(case, clock)
    assert not freed.solved
    assert not freed.complete
    assert freed.stopped == "interrupt"


def test_stopping_part_way_keeps_what_was_found() -> None:
    case = make_case(make_pipe(inches(40), "A", status="planned"), make_pipe(inches(60), "B"))

    def say(sentence: str) -> None:
        if sentence == "everything clear":
            clock.stop()

    clock = Clock(None, say)
    freed = free(case, clock)
    assert freed.solved
    assert freed.moves is not None
    assert freed.moves.complete
    assert freed.clear is None
    assert not freed.removed


def test_no_legal_start_is_an_answer() -> None:
    """20 in under 18 in panels with ends of at least 12 in: no first width. 11 in ends do not do
    either; the what-if says so, and nothing else is asked of single moves."""
    case = make_case(
        make_pipe(inches(10), "A", status="planned"), planes=(make_plane(width=inches(20)),),
        min_end=inches(12),
    )
    freed = free(case)
    assert freed.complete
    assert freed.now is None
    assert freed.no_start
    assert freed.moves is not None
    assert freed.moves.drawn is None
    assert [one.smallest for one in freed.moves.freed] == [None]
    assert freed.rules[0].kind == "min-end"
    assert freed.rules[0].judged is None


def test_narrower_ends_can_make_a_layout() -> None:
    """20 in with ends of at least 10 1/2: none; of at least 9 1/2 there is 10 + 10."""
    case = make_case(planes=(make_plane(width=inches(20)),), min_end=inches("10 1/2"))
    freed = free(case)
    assert freed.now is None
    assert freed.rules[0].judged is not None
    assert freed.rules[0].saves is None


def test_an_unknown_id_is_refused() -> None:
    with pytest.raises(ChoiceError, match="'Z'"):
        free(make_case(make_pipe(inches(40), "A")), only=("Z",))
