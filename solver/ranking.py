"""From tables to the ranked list: candidates, trade-offs, windows, the usual and the drawn layout.

A candidate is the best layout for given first widths. The list starts with the first candidate in
the tie order; each next one is the first that has, against every one already listed, at least one
smaller count. Everything returned has passed the checker.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from solver.assemble import make_roof
from solver.case import Case
from solver.checker import compare, judge
from solver.clock import Clock
from solver.enumerate import MOST_COMBINATIONS, Enumeration, combinations
from solver.layout import Layout
from solver.profile import Profile
from solver.result import Judged, Ranked
from solver.rings import cut_planes, first_choice
from solver.roof import Found, Roof
from solver.tables import COST, COUNTS, DIST, LINKS, SHORT
from solver.tradeoff import against
from solver.windows import start_windows


class Combiner(Protocol):
    """An engine that picks first widths: the next candidate of the list, exactly."""

    def next(self, listed: list[tuple[int, ...]]) -> Found | None:
        """The first choice with a smaller count against each of `listed`; None if none is."""


@dataclass(frozen=True)
class Listing:
    """The list as far as it goes. `complete` is False where time ended it."""

    layouts: tuple[Ranked, ...]
    complete: bool


class _ManyPlanes:
    """Too many combinations to enumerate: trees for the first entry, CP-SAT for the others."""

    def __init__(self, roof: Roof, clock: Clock) -> None:
        self.roof, self.clock = roof, clock

    def next(self, listed: list[tuple[int, ...]]) -> Found | None:
        cut = cut_planes(self.roof)
        if not listed and cut is not None:
            return first_choice(self.roof, cut)
        from solver.model.master import next_by_master  # loads ortools

        return next_by_master(self.roof, self.clock, listed)


def choose_combiner(roof: Roof, clock: Clock) -> Combiner:
    """The quickest exact engine for a roof: enumeration where it fits."""
    if combinations(roof) <= MOST_COMBINATIONS:
        return Enumeration(roof)
    return _ManyPlanes(roof, clock)


def layout_of(
    case: Case, profiles: list[Profile], picks: tuple[int, ...], *, drawn: bool
) -> Layout:
    """The decisions behind a choice of first widths."""
    moves = [0] * len(case.penetrations)
    for profile, f in zip(profiles, picks, strict=True):
        if not drawn:
            for row, i in enumerate(profile.members):
                moves[i] = int(profile.moves[row, f])
    firsts = tuple(int(p.firsts[f]) for p, f in zip(profiles, picks, strict=True))
    return Layout(firsts, tuple(moves))


def checked(case: Case, roof: Roof, picks: tuple[int, ...], layout: Layout) -> Judged:
    """The checker's view of a choice, compared with what the tables say of it.

    Raises:
        DisagreementError: the two differ in anything, or the checker finds a rule broken.
    """
    levels = [0] * (DIST + 1)
    for plane, f in zip(roof.planes, picks, strict=True):
        for level in range(DIST + 1):
            levels[level] += int(plane.levels[level, f])
    missed = sum(not link.meet[picks[link.a], picks[link.b]] for link in roof.links)
    levels[LINKS] += missed
    levels[COST] += missed * roof.missed_cents
    narrow = [
        int(plane.narrowest[f])
        for plane, f in zip(roof.planes, picks, strict=True)
        if plane.narrowest is not None
    ]
    order = (*levels[:SHORT], levels[SHORT], levels[DIST], -min(narrow, default=0),
             *layout.firsts, *layout.moves)
    judged = judge(case, layout)
    compare(judged, levels[COST], tuple(levels[COUNTS]), order)
    return judged


def drawn_layout(case: Case, profiles: list[Profile], clock: Clock) -> Judged | None:
    """The best layout with nothing moved; None where nothing as drawn obeys the rules."""
    roof = make_roof(case, profiles, drawn=True)
    found = choose_combiner(roof, clock).next([])
    if found is None:
        return None
    return checked(case, roof, found.picks, layout_of(case, profiles, found.picks, drawn=True))


def ranked_list(
    case: Case,
    profiles: list[Profile],
    clock: Clock,
    top: int,
    on_found: Callable[[Ranked], None] | None = None,
) -> Listing:
    """The first `top` entries of the list, each checked, with windows and trade-offs."""
    listed: list[Ranked] = []
    floor: int | None = None  # a bound from before the best moves had to be given up
    settled_all = True
    while len(listed) < top:
        counts = [entry.judged.counts for entry in listed]
        settled = settled_next(case, profiles, clock, counts)
        if settled is None:
            settled_all = settled_all and not clock.over()
            break
        roof, found, gave_up = settled
        floor = gave_up if floor is None else floor
        layout = layout_of(case, profiles, found.picks, drawn=False)
        judged = checked(case, roof, found.picks, layout)
        bound = found.bound if floor is None else min(floor, found.bound)
        loose = sum(profile.loose for profile in profiles)
        bound, settled_all = max(bound - loose, 0), settled_all and not loose
        entry = make_entry(case, profiles, judged, bound, listed)
        listed.append(entry)
        if on_found is not None:
            on_found(entry)
        settled_all = settled_all and found.proven and floor is None
        if clock.over() and len(listed) < top:
            settled_all = False
            break
    return Listing(tuple(listed), settled_all)


def settled_next(
    case: Case, profiles: list[Profile], clock: Clock, listed: list[tuple[int, ...]]
) -> tuple[Roof, Found, int | None] | None:
    """The next choice whose first widths are all settled, settling whatever comes up before it.

    Unsettled first widths count with a lower bound and qualify for the list, so nothing before the
    returned choice is passed over. The last value is a bound, if time ran out and moves were given
    up.
    """
    floor: int | None = None
    while True:
        roof = make_roof(case, profiles)
        found = choose_combiner(roof, clock).next(listed)
        if found is None:
            return None
        todo = [
            (p, f) for p, f in zip(profiles, found.picks, strict=True) if not p.settled[f]
        ]
        if not todo:
            return roof, found, floor
        try:
            for profile, f in todo:
                clock.say(f"plane {profile.plane.id}: pipes in each other's way")
                for g in _nearby(profile, f, combinations(roof)):
                    profile.settle(g, clock)
        except TimeoutError:
            floor = found.bound
            for profile in profiles:
                profile.give_up()


def _nearby(profile: Profile, f: int, size: int) -> list[int]:
    """`f` and, on a large roof, a few more unsettled first widths: each round costs a search."""
    extra = min(size // 20_000, 12)
    waiting = np.flatnonzero(~profile.settled & profile.allowed)
    cheapest = waiting[np.argsort(profile.levels[COST, waiting], kind="stable")]
    return [f, *(int(g) for g in cheapest[:extra] if g != f)]


def make_entry(
    case: Case, profiles: list[Profile], judged: Judged, bound: int, listed: list[Ranked]
) -> Ranked:
    """A list entry behind those already listed."""
    first = listed[0].judged if listed else judged
    windows = start_windows(case, profiles, judged.layout)
    return Ranked(len(listed) + 1, judged, bound, windows, against(first, judged))
