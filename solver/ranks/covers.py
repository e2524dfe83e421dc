"""Several covers in one run: the list rule over the candidates of all of them together."""

from __future__ import annotations

from dataclasses import dataclass

from solver.case import Case
from solver.checker.judge import judge
from solver.clock import Clock
from solver.odd.search import TooHardError
from solver.ranks.ranking import checked, layout_of, make_entry, settled_next
from solver.result import CoverRanked, Judged, Ranked
from solver.tabling.planes import full_profiles
from solver.tabling.profile import Profile


@dataclass(frozen=True)
class _Next:
    """The next candidate of one cover, not yet an entry."""

    place: int
    judged: Judged
    bound: int


def rank_covers(cases: tuple[Case, ...], clock: Clock, top: int) -> tuple[CoverRanked, ...]:
    """The first `top` entries over all covers, in the tie order, then in the order of the covers.

    Covers for which some plane has no legal first width take no part. Ends early when the clock
    is over.
    """
    tables = {place: _profiles(case, clock) for place, case in enumerate(cases)}
    tables = {
        place: profiles for place, profiles in tables.items()
        if profiles is None or (profiles and all(len(p.firsts) for p in profiles))
    }
    listed: list[Ranked] = []
    found: list[CoverRanked] = []
    while len(listed) < top and not clock.over():
        counts = [entry.judged.counts for entry in listed]
        nexts = [
            upcoming
            for place, profiles in tables.items()
            if (upcoming := _next(place, cases[place], profiles, clock, counts)) is not None
        ]
        if not nexts:
            break
        best = min(nexts, key=lambda upcoming: (upcoming.judged.order, upcoming.place))
        bound = min(upcoming.bound for upcoming in nexts)
        case = cases[best.place]
        entry = make_entry(case, best.judged, bound, listed)
        listed.append(entry)
        found.append(CoverRanked(case.panel.cover, entry))
    return tuple(found)


def one_cover(case: Case, clock: Clock) -> Case:
    """The case itself, or where it compares covers the one whose best layout is cheapest."""
    if not case.covers:
        return case
    across = rank_covers(case.covers, clock, 1)
    cover = across[0].cover if across else case.covers[0].panel.cover
    return next(one for one in case.covers if one.panel.cover == cover)


def _next(
    place: int,
    case: Case,
    profiles: list[Profile] | None,
    clock: Clock,
    listed: list[tuple[int, ...]],
) -> _Next | None:
    try:
        settled = None if profiles is None else settled_next(case, profiles, clock, listed)
    except TooHardError:
        profiles = None
    except TimeoutError:
        return None
    if profiles is None:
        from solver.model.direct import next_candidate  # loads ortools

        answer = next_candidate(case, clock, listed)
        return None if answer is None else _Next(place, judge(case, answer.layout), answer.bound)
    if settled is None:
        return None
    roof, found, floor = settled
    layout = layout_of(case, profiles, found.picks, drawn=False)
    judged = checked(case, roof, found.picks, layout)
    return _Next(place, judged, found.bound if floor is None else min(floor, found.bound))


def _profiles(case: Case, clock: Clock) -> list[Profile] | None:
    """The profiles of one cover; None where there are too many choices for tables, none where time
    ran out before they were there."""
    try:
        return full_profiles(case, clock, None)
    except TooHardError:
        return None
    except TimeoutError:
        return []
