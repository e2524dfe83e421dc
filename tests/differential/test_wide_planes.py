"""Planes with too many odd panels to look at one by one: the search against the full enumeration.

On small planes both can be had. The search must give the same list, and its bounds must never be
above, nor its exact values off, what tabulating a choice by itself says.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from conftest import CasesOr
from solver import planes
from solver.api import case_from_document, solve
from solver.case import Case
from solver.choices import bends, in_order
from solver.clock import Clock
from solver.errors import CaseError
from solver.odd import search as odd_search
from solver.odd.labels import column_at
from solver.odd.search import OddSearch, TooHardError
from solver.odd.wide import WideProfile, build_wide
from solver.odd.words import NEVER
from solver.profile import Profile, build_profile
from strategies_odd import random_case_odd

SEEDS = 300


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

    monkeypatch.setattr("solver.ranking._directly", no_model)
    monkeypatch.setattr("solver.drawn.drawn_directly", no_model)
    compared, wrong = 0, {}
    for seed in range(cases_or(SEEDS)):
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


def test_bounds_are_bounds_and_exact_values_exact(
    cases_or: CasesOr, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(odd_search, "merged", lambda _own, labels, *_, **__: labels)
    looked_at, wrong = 0, []
    for seed in range(1000, 1000 + cases_or(SEEDS) // 2):
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
            search = OddSearch(places, wide.search.to_go, Clock())
            labels = search.within(firsts, limit, every=True)
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
