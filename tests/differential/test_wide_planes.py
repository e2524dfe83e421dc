"""Planes with too many odd panels to look at one by one: the search against the full enumeration.

On small planes both can be had. The search must give the same list, and its bounds must never be
above, nor its exact values off, what tabulating a choice by itself says.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from conftest import CasesOr
from solver.api import case_from_document, solve
from solver.case import Case
from solver.clock import Clock
from solver.errors import CaseError
from solver.odd import search as odd_search
from solver.odd.labels import column_at
from solver.odd.search import TooHardError
from solver.odd.wide import WideProfile, build_wide
from solver.odd.words import NEVER
from solver.ranks import ranking
from solver.tabling import planes
from solver.tabling.choices import bends, in_order
from solver.tabling.moves import can_move
from solver.tabling.profile import Profile, build_profile
from strategies_odd import random_case_odd

SEEDS = 300

AT_THE_FAR_EDGE = (1774, 1969, 2819, 1186, 1264)
"""Cases in which a pipe stands exactly on the edge where laying ends."""


def odd_case(seed: int) -> Case | None:
    """A random case without play, in which some plane may have odd panels; or None."""
    document: dict[str, Any] = random_case_odd(seed)
    document["rules"].pop("play", None)
    try:
        case = case_from_document(document)
    except CaseError:
        return None
    return case if case.rules.odd_panels else None


def profiles(case: Case, most: int, patch: pytest.MonkeyPatch) -> list[Profile] | None:
    """The profiles with at most so many choices one by one; None where that cannot be."""
    patch.setattr(planes, "MOST_COLUMNS", most)
    try:
        return planes.full_profiles(case, Clock(), None)
    except TooHardError:
        return None


def test_the_search_lists_what_looking_at_every_choice_lists(
    cases_or: CasesOr, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_model(*_: object, **__: object) -> None:
        raise TooHardError

    monkeypatch.setattr("solver.odd.wide.worth", lambda _case: None)  # search to the end
    monkeypatch.setattr("solver.ranks.ranking._directly", no_model)
    monkeypatch.setattr("solver.tabling.drawn.drawn_directly", no_model)
    compared, wrong = 0, {}
    for seed in (*range(cases_or(SEEDS)), *AT_THE_FAR_EDGE):
        case = odd_case(seed)
        if case is None or profiles(case, -1, monkeypatch) is None:
            continue
        try:
            wide = solve(case, top=3)
        except TooHardError:  # pipes in each other's way beside odd panels: the direct model's
            continue
        every = profiles(case, 20_000, monkeypatch)
        assert every is not None and not any(isinstance(p, WideProfile) for p in every)
        whole = solve(case, top=3)
        compared += 1
        same = [e.judged.order for e in wide.layouts] == [e.judged.order for e in whole.layouts]
        bounds = [e.bound for e in wide.layouts] == [e.bound for e in whole.layouts]
        if not (same and bounds and wide.as_drawn == whole.as_drawn):
            wrong[seed] = [e.judged.order for e in wide.layouts]
    assert not wrong
    assert compared > cases_or(SEEDS) // 3


@pytest.mark.parametrize("effort", [0, 40])
def test_a_search_cut_short_hands_over_to_the_direct_model(
    effort: int, cases_or: CasesOr, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Wherever the search gives up, in the first entry or a later one, the list is the same."""
    handed, compared = [], 0
    directly = ranking._directly

    def counted(*known: Any) -> bool:
        handed.append(1)
        return directly(*known)

    monkeypatch.setattr(ranking, "_directly", counted)
    monkeypatch.setattr("solver.odd.wide.worth", lambda _case: effort)
    monkeypatch.setattr(ranking, "few_stand", lambda _case: True)
    for seed in range(2000, 2000 + cases_or(SEEDS) // 6):
        case = odd_case(seed)
        if case is None or can_move(case) or profiles(case, -1, monkeypatch) is None:
            continue
        cut = solve(case, top=3)
        every = profiles(case, 20_000, monkeypatch)
        assert every is not None
        whole = solve(case, top=3)
        compared += 1
        mine = [(e.judged.order, e.bound) for e in cut.layouts]
        assert mine == [(e.judged.order, e.bound) for e in whole.layouts], seed
    assert compared and handed


def test_bounds_are_bounds_and_exact_values_exact(
    cases_or: CasesOr, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("solver.odd.wide.worth", lambda _case: None)
    monkeypatch.setattr(odd_search, "merged", lambda _own, labels, *_, **__: labels)
    looked_at, wrong = 0, []
    for seed in (*range(1000, 1000 + cases_or(SEEDS) // 2), *AT_THE_FAR_EDGE):
        case = odd_case(seed)
        if case is None or (case.rules.robust and case.rules.cover_tol):
            continue
        for plane in case.planes:
            if not bends(case, plane):
                continue
            wide = build_wide(case, plane, Clock())
            assert wide.search is not None
            places = wide.search.places
            firsts = np.flatnonzero(wide.least < NEVER)
            limit = np.full(len(firsts), int(NEVER) - 1)
            labels = wide.search.within(firsts, limit, every=True)
            columns = [column_at(places, labels, row) for row in range(len(labels.first))]
            rows = sorted(range(len(columns)), key=lambda n: in_order(case, plane, columns[n]))
            true = build_profile(case, plane, Clock(), [columns[n] for n in rows])
            words = places.word(true.levels)
            for at, row in enumerate(rows):
                if not true.allowed[at]:
                    continue
                looked_at += 1
                low = max(int(labels.bound[row]), int(wide.least[labels.first[row]]))
                off = not labels.near[row] and labels.exact[row] != words[at]
                if low > words[at] or off:
                    wrong.append((seed, plane.id, columns[row]))
    assert not wrong
    assert looked_at > 1000
