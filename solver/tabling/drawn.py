"""The best layout as drawn, whatever engine finds it."""

from __future__ import annotations

from dataclasses import replace

from solver.case import Case, Freeze
from solver.clock import Clock
from solver.odd.search import TooHardError
from solver.odd.wide import WideProfile
from solver.ranks.ranking import drawn_layout
from solver.result import Judged
from solver.tabling.planes import drawn_profiles, full_profiles
from solver.tabling.profile import Profile


def drawn(
    case: Case, plain: list[Profile] | None, clock: Clock, full: list[Profile] | None = None
) -> Judged | None:
    """The best layout with nothing moved; None where nothing as drawn obeys the rules.

    `plain` and `full` are profiles that are there already. Where the clock is over it is the best
    of what is known by then, and None where nothing is.
    """
    try:
        try:
            if full is None:
                full = profiles = full_profiles(nothing_moved(case), clock, plain)
            elif clock.over():
                raise TimeoutError
            else:
                profiles = drawn_profiles(case, clock, full)
            return drawn_layout(case, profiles, clock)
        except TimeoutError:
            known = full or plain
            return None if known is None else drawn_layout(case, [*map(_known, known)], clock)
    except TooHardError:
        return drawn_directly(case, plain, clock)


def nothing_moved(case: Case) -> Case:
    """The case with everything held where it is drawn, agreed moves not made."""
    still = tuple(replace(pen, reach_low=0, reach_high=0) for pen in case.penetrations)
    return replace(case, penetrations=still, freeze=Freeze(case.freeze.firsts))


def _known(profile: Profile) -> Profile:
    """The choices of a plane that are known so far. The profile itself stays as it is: the list is
    still to be made of it."""
    if isinstance(profile, WideProfile) and profile.known is not None:
        return profile.known
    return profile


def drawn_directly(
    case: Case, plain: list[Profile] | None, clock: Clock, *, presolve: bool = True
) -> Judged | None:
    """The same by the direct model; where that finds nothing in time, the best of full panels."""
    if not clock.over():
        from solver.model.direct import direct_list  # loads ortools

        listing = direct_list(nothing_moved(case), clock, 1, presolve)
        if listing.layouts or listing.complete:
            return listing.layouts[0].judged if listing.layouts else None
    return None if plain is None else drawn_layout(case, plain, clock)
