"""The profiles of all planes of a case: plain, or with odd panels and modules where allowed."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from solver.case import Case, Freeze, Plane
from solver.clock import Clock
from solver.odd.places import can_tabulate
from solver.odd.search import TooHardError
from solver.odd.wide import WideProfile, build_wide
from solver.tabling.choices import (
    MOST_COLUMNS,
    TooManyChoicesError,
    bends,
    every_column,
    odd_widths,
    plain_columns,
)
from solver.tabling.pattern import is_special, too_bent
from solver.tabling.profile import Profile, build_profile
from solver.tabling.starts import least_end, whole_marks
from solver.tabling.tables import COST

NO_BOUND = 1 << 60
"""How much less than its plain layouts a plane could cost that was not looked at any further."""


MOST_SPECIAL: Final = 40_000
"""So many choices are looked at one by one where nothing else will do."""


class NotLookedAtError(TimeoutError):
    """A plane without a plain start has more choices than can be looked at one by one."""


def plain_profiles(case: Case, clock: Clock | None = None) -> list[Profile] | None:
    """Profiles with nothing odd and no change of module; None where a plane has no such start."""
    if not all(plain_columns(case, plane) for plane in case.planes):
        return None
    return [build_profile(case, plane, clock) for plane in case.planes]


def full_profiles(case: Case, clock: Clock, plain: list[Profile] | None) -> list[Profile]:
    """Profiles with every choice the case allows; those of `plain` where there are no others.

    Raises:
        TooHardError: a plane has too many choices for tables.
        NotLookedAtError: so it has, and has no plain start, and no other engine will do.
    """
    found = []
    for i, plane in enumerate(case.planes):
        clock.say(f"plane {plane.id}: every start")
        if not bends(case, plane):
            found.append(plain[i] if plain else build_profile(case, plane, clock))
            continue
        try:
            if clock.over():
                raise TimeoutError
            found.append(full_profile(case, plane, clock))
        except TooHardError:
            if not too_bent(case):
                raise
            if plain is None and not plain_columns(case, plane):
                raise NotLookedAtError from None
            found.append(unlooked(case, plain[i] if plain else build_profile(case, plane, clock)))
        except TimeoutError:
            if plain is None and not plain_columns(case, plane):
                raise
            found.append(unlooked(case, plain[i] if plain else build_profile(case, plane, clock)))
    return found


def unlooked(case: Case, plain: Profile) -> Profile:
    """The plain layouts of a plane that may have others, which there was no time to look at.

    Whatever the others are, they cost no less than nothing: with the plane at its cheapest plain
    start, as drawn, and all its links missed, a roof costs at most that much more than with them.
    """
    links = [link for link in case.links if plain.plane.id in link.planes]
    may = plain.allowed & plain.stay_allowed
    if not may.any() or any(link.must for link in links):
        return replace(plain, loose=NO_BOUND)
    most = int(plain.stay_levels[COST, may].min())
    return replace(plain, loose=most + len(links) * case.rates.cents("misaligned"))


def full_profile(case: Case, plane: Plane, clock: Clock) -> Profile:
    """The profile of a plane whose seams may leave the plain grid.

    Raises:
        TooHardError: it has too many choices for tables.
    """
    special = is_special(case, plane)
    most = MOST_SPECIAL if special else MOST_COLUMNS
    if _at_least(case, plane) <= most:
        try:
            return build_profile(case, plane, clock, every_column(case, plane, most))
        except TooManyChoicesError:
            pass
    if special or plane.lean is not None or not can_tabulate(case):
        raise TooHardError
    return build_wide(case, plane, clock)


def drawn_profiles(case: Case, clock: Clock, full: list[Profile]) -> list[Profile]:
    """Profiles with nothing moved.

    Raises:
        TooHardError: a plane has too many choices for tables.
    """
    still = replace(
        case,
        penetrations=tuple(
            replace(pen, reach_low=0, reach_high=0) for pen in case.penetrations
        ),
        freeze=Freeze(case.freeze.firsts),
    )
    return [
        full_profile(still, profile.plane, clock)
        if isinstance(profile, WideProfile) and _moves(case, profile) else profile
        for profile in full
    ]


def _moves(case: Case, profile: Profile) -> bool:
    pens = [case.penetrations[i] for i in profile.members]
    return any(pen.reach_low or pen.reach_high for pen in pens)


def _at_least(case: Case, plane: Plane) -> int:
    """How many choices a plane has at least: those with one odd panel, or one stretch altered."""
    panels = max(plane.width // case.panel.cover - 1, 1)
    firsts = 1 if plane.lay == "from" else len(whole_marks(case, least_end(case, plane)))
    return firsts * (1 + (panels - 1) * len(odd_widths(case)) // 2)
