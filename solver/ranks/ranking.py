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

from solver.case import Case
from solver.checker.judge import compare, judge
from solver.clock import Clock
from solver.findings.tradeoff import against
from solver.layout import Layout
from solver.odd.effort import few_stand
from solver.odd.search import TooHardError
from solver.odd.wide import WideProfile
from solver.ranks.assemble import make_roof
from solver.ranks.enumerate import MOST_COMBINATIONS, Enumeration, combinations
from solver.ranks.rings import cut_planes, first_choice
from solver.ranks.roof import Found, Roof, order_of
from solver.ranks.windows import start_windows
from solver.result import Judged, Ranked
from solver.tabling.choices import in_order
from solver.tabling.columns import column_of, layout_from
from solver.tabling.profile import Profile
from solver.tabling.tables import COST, COUNTS

FIRST_SLACK = 30_000
"""Cents above the best that choices are looked at for first, where there are too many for all."""


class Combiner(Protocol):
    """An engine that picks first widths: the next candidate of the list, exactly."""

    def next(self, listed: list[tuple[int, ...]]) -> Found | None:
        """The first choice with a smaller count against each of `listed`; None if none is."""


@dataclass(frozen=True)
class Listing:
    """The list as far as it goes. `complete` is False where time ended it; `wide` is True where a
    plane has so many choices that not every tie was compared with every other."""

    layouts: tuple[Ranked, ...]
    complete: bool
    wide: bool = False


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
    if not drawn:
        least2 = [
            int(clear[f]) for p, f in zip(profiles, picks, strict=True)
            if (clear := p.clearance2(False)) is not None
        ]
        for profile, f in zip(profiles, picks, strict=True):
            own = profile.moves_at(f, min(least2, default=0))
            for row, i in enumerate(profile.members):
                moves[i] = int(own[row])
    columns = [p.column(f) for p, f in zip(profiles, picks, strict=True)]
    return layout_from(columns, tuple(moves))


def checked(case: Case, roof: Roof, picks: tuple[int, ...], layout: Layout) -> Judged:
    """The checker's view of a choice, compared with what the tables say of it.

    Raises:
        DisagreementError: the two differ in anything, or the checker finds a rule broken.
    """
    order = order_of(roof, picks)
    planes = [
        number
        for i, plane in enumerate(case.planes)
        for number in in_order(case, plane, column_of(layout, i))
    ]
    judged = judge(case, layout)
    compare(judged, order[COST], order[COUNTS], (*order, *planes, *layout.moves), case)
    return judged


def drawn_layout(case: Case, profiles: list[Profile], clock: Clock) -> Judged | None:
    """The best layout with nothing moved; None where nothing as drawn obeys the rules.

    Profiles that are not settled must be of a case in which nothing can move.

    Raises:
        TimeoutError: the clock ran out before it was found.
    """
    while True:
        roof = make_roof(case, profiles, drawn=True)
        found = choose_combiner(roof, clock).next([])
        if found is None:
            return None
        todo = _bounds(profiles, found.picks)
        if not todo:
            break
        for profile, f in todo:
            profile.settle_all([f], clock)
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
        try:
            settled = settled_next(case, profiles, clock, counts)
        except TimeoutError:
            settled_all = False
            break
        except TooHardError:
            settled_all &= _directly(case, profiles, clock, top, listed, on_found)
            break
        if settled is None:
            loose = any(profile.loose for profile in profiles)
            settled_all = settled_all and not clock.over() and not loose
            break
        roof, found, gave_up = settled
        floor = gave_up if floor is None else floor
        layout = layout_of(case, profiles, found.picks, drawn=False)
        judged = checked(case, roof, found.picks, layout)
        bound = found.bound if floor is None else min(floor, found.bound)
        less = sum(profile.loose for profile in profiles)
        bound, settled_all = max(bound - less, 0), settled_all and not less
        entry = make_entry(case, judged, bound, listed)
        listed.append(entry)
        clock.next_search()
        if on_found is not None:
            on_found(entry)
        settled_all = settled_all and found.proven and floor is None
        if clock.over() and len(listed) < top:
            settled_all = False
            break
    wide = any(isinstance(profile, WideProfile) for profile in profiles)
    return Listing(tuple(listed), settled_all, wide)


def _directly(
    case: Case,
    profiles: list[Profile],
    clock: Clock,
    top: int,
    listed: list[Ranked],
    on_found: Callable[[Ranked], None] | None,
) -> bool:
    """Go on with the list by the direct model, with what tables know as bounds. Returns whether
    the list is complete."""
    from solver.model.direct import direct_list  # loads ortools

    bounds = {
        i: profile.bounds() for i, profile in enumerate(profiles)
        if isinstance(profile, WideProfile) and not few_stand(case)
    }
    return direct_list(
        case, clock, top, on_found=on_found, plane_bounds=bounds, listed=listed
    ).complete


def settled_next(
    case: Case, profiles: list[Profile], clock: Clock, listed: list[tuple[int, ...]]
) -> tuple[Roof, Found, int | None] | None:
    """The next choice whose first widths are all settled, settling whatever comes up before it.

    Unsettled first widths count with a lower bound and qualify for the list, so nothing before the
    returned choice is passed over. The last value is a bound, if time ran out and moves were given
    up.
    """
    if listed and any(isinstance(p, WideProfile) and p.beyond is not None for p in profiles):
        return _widened_next(case, profiles, clock, listed)
    return _settled_next(case, profiles, clock, listed)


def _settled_next(
    case: Case, profiles: list[Profile], clock: Clock, listed: list[tuple[int, ...]]
) -> tuple[Roof, Found, int | None] | None:
    floor: int | None = None
    while True:
        roof = make_roof(case, profiles)
        found = choose_combiner(roof, clock).next(listed)
        if found is None:
            return None
        if floor is None and not any(profile.loose for profile in profiles):
            clock.at_least(found.bound)
        todo = [
            (p, f) for p, f in zip(profiles, found.picks, strict=True) if not p.settled[f]
        ]
        if not todo:
            return roof, found, floor
        try:
            for profile, f in todo:
                clock.say(f"plane {profile.plane.id}: one choice after the other")
                profile.settle_all(_nearby(profile, f, combinations(roof)), clock)
        except TimeoutError:
            floor = found.bound
            for profile in profiles:
                profile.give_up()


def _widened_next(
    case: Case, profiles: list[Profile], clock: Clock, listed: list[tuple[int, ...]]
) -> tuple[Roof, Found, int | None] | None:
    """The next choice where planes have too many choices to hold: only those up to a cost are held,
    and more as long as what is found costs more than what may be missing.

    Raises:
        TimeoutError: the clock ran out.
    """
    wide = [profile for profile in profiles if isinstance(profile, WideProfile)]
    lowest = sum(
        p.lowest if isinstance(p, WideProfile) else int(p.levels[COST][p.allowed].min(initial=0))
        for p in profiles
    )
    slack = max(max(p.beyond or 0, p.lowest + FIRST_SLACK) - p.lowest for p in wide)
    while True:
        for profile in wide:
            clock.say(f"plane {profile.plane.id}: every choice near the best")
            if profile.beyond is not None and profile.beyond < profile.lowest + slack:
                least = _least_counts(profiles, profile)
                rest = [tuple(c - n for c, n in zip(row, least, strict=True)) for row in listed]
                profile.widen(profile.lowest + slack, clock, rest)
        settled = _settled_next(case, profiles, clock, listed)
        whole = all(profile.beyond is None for profile in wide)
        if whole or (settled is not None and settled[1].bound <= lowest + slack):
            return settled
        slack = 2 * slack if settled is None else max(settled[1].bound - lowest, slack + 1)


def _least_counts(profiles: list[Profile], but: Profile) -> list[int]:
    """What the other planes add to every count at least."""
    found = [0] * (COUNTS.stop - COUNTS.start)
    for profile in profiles:
        if profile is not but and not isinstance(profile, WideProfile) and profile.settled.all():
            rows = profile.levels[COUNTS][:, profile.allowed]
            if not rows.shape[1]:
                continue
            found = [n + int(row.min()) for n, row in zip(found, rows, strict=True)]
    return found


def _bounds(profiles: list[Profile], picks: tuple[int, ...]) -> list[tuple[WideProfile, int]]:
    """Picks of wide profiles that are only bounds so far."""
    return [
        (p, f) for p, f in zip(profiles, picks, strict=True)
        if isinstance(p, WideProfile) and not p.settled[f]
    ]


def _nearby(profile: Profile, f: int, size: int) -> list[int]:
    """`f` and, on a large roof, a few more unsettled first widths: each round costs a search."""
    extra = min(size // 20_000, 12)
    waiting = np.flatnonzero(~profile.settled & profile.allowed)
    cheapest = waiting[np.argsort(profile.levels[COST, waiting], kind="stable")]
    return [f, *(int(g) for g in cheapest[:extra] if g != f)]


def make_entry(
    case: Case, judged: Judged, bound: int, listed: list[Ranked]
) -> Ranked:
    """A list entry behind those already listed."""
    first = listed[0].judged if listed else judged
    windows = start_windows(case, judged.layout)
    return Ranked(len(listed) + 1, judged, bound, windows, against(first, judged))
