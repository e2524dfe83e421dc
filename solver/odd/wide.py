"""The profile of a plane with too many choices of odd panels to look at one by one.

At first every first width stands for all its choices, with a bound: it is unsettled. Settling one
finds its best choices exactly. For later entries of a list, `widen` finds the best choice for every
set of counts up to a cost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.clock import Clock
from solver.odd.bounds import ToGo
from solver.odd.effort import worth
from solver.odd.fronts import best_by_counts, best_of, without_clashes
from solver.odd.labels import Labels, column_at
from solver.odd.places import Places
from solver.odd.search import OddSearch, TooHardError
from solver.odd.words import NEVER
from solver.ranks.roof import HUGE
from solver.tabling.choices import in_order, plain_columns
from solver.tabling.phase import Grids
from solver.tabling.profile import Profile, build_profile
from solver.tabling.runs import Column
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, LEVELS

MOST_CHOICES = 20_000
SETTLED_TOGETHER = 16


@dataclass
class WideProfile(Profile):
    """A profile over first widths (bounds) and exact choices; see `Profile` for its arrays.

    `lowest` is what the plane costs at least (cents). `beyond` is what every choice that is not in
    it costs more than (cents), None where none is missing.
    """

    search: OddSearch | None = None
    lowest: int = 0
    beyond: int | None = None
    least: Ticks = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    upper: Ticks = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    known: Profile | None = None
    exact: dict[int, Profile] = field(default_factory=dict)

    @property
    def alone(self) -> bool:
        """Whether no link ties the plane's start to that of another plane."""
        links = self.grids.case.links
        return not any(self.plane.id in link.planes for link in links)

    def clearance2(self, drawn: bool) -> Ticks | None:
        """As for any profile; huge for what is not settled yet."""
        found = super().clearance2(False)
        return found if found is not None else np.full(len(self.firsts), HUGE, dtype=np.int64)

    @property
    def narrowest(self) -> Ticks:
        """The narrower end (ticks); the cover for what is not settled yet."""
        whole = np.minimum(self.grids.firsts, self.grids.lasts)
        return np.where(self.settled, whole, self.grids.case.panel.cover)

    def settle_all(self, choices: list[int], clock: Clock) -> None:
        """Find the best choices of the first widths these stand for, and a few cheap ones more.

        Raises:
            TimeoutError: the clock ran out; they stay unsettled.
            TooHardError: there are too many near-best choices, or pipes are in each other's way.
        """
        search = self.search
        assert search is not None
        widths = {int(self.firsts[f]) for f in choices if not self.settled[f]}
        own = search.places
        wanted = [n for n, first in enumerate(own.firsts) if int(first) in widths]
        if not wanted:
            return
        open_ = [
            n for n in np.argsort(self.least, kind="stable")
            if n not in self.exact and self.least[n] < NEVER and n not in wanted
        ]
        limit = self.upper
        # Without links only the best of all first widths counts: those with nothing as good as the
        # best that is known are left without a choice. `widen` looks at them again.
        at_once = self.alone and limit.min(initial=NEVER) < NEVER - 1
        if at_once:
            limit = np.full_like(limit, limit.min())
        wanted += [int(n) for n in open_[: None if at_once else SETTLED_TOGETHER - len(wanted)]]
        firsts = np.array(sorted(wanted), dtype=np.int64)
        labels = search.within(firsts, limit[firsts], every=False)
        found = self._priced(search.best(labels, alone=at_once), clock)
        for n in wanted:
            rows = np.flatnonzero(found.firsts == own.firsts[n])
            self.exact[n] = _part(found, without_clashes(found, best_of(found, rows)))
        self._assemble()

    def widen(self, cents: int, clock: Clock, listed: Sequence[tuple[int, ...]]) -> None:
        """Hold every choice that is best for its counts and costs no more than `cents`.

        Choices that cannot have a smaller count against each of `listed` are left out.

        Raises:
            TimeoutError: the clock ran out.
            TooHardError: as for `settle_all`.
        """
        search = self.search
        assert search is not None
        places = search.places
        firsts = np.flatnonzero(self.least < NEVER)
        limit = min((cents + 1) * int(places.weight[COST]) - 1, int(NEVER) - 1)
        labels = search.within(firsts, np.full(len(firsts), limit), every=True, listed=listed)
        found = self._priced(search.best(labels, alone=self.alone, by_counts=True), clock)
        rows = best_by_counts(found, alone=self.alone)
        if len(without_clashes(found, rows)) < len(rows):
            raise TooHardError
        self._take(_part(found, rows), np.zeros(0, dtype=np.int64))
        self.beyond = None if search.whole else cents

    def bounds(self) -> list[tuple[int, int]]:
        """What the plane costs at least for every first width: (ticks, cents), links left out."""
        search = self.search
        assert search is not None
        own = search.places
        open_ = np.flatnonzero(self.least < NEVER)
        cents = own.levels_of(self.least[open_])[COST]
        return [(int(own.firsts[n]), int(c)) for n, c in zip(open_, cents, strict=True)]

    def give_up(self) -> None:
        """Out of time: fall back to choices that are known, best or not."""
        if self.known is None or self.settled.all():
            return
        self.known.give_up()
        parts = [self.known, *(self.exact[n] for n in sorted(self.exact))]
        self._take(_together(self, parts), np.zeros(0, dtype=np.int64))

    def _priced(self, labels: Labels, clock: Clock) -> Profile:
        """Complete labels as choices, each with its exact levels."""
        search = self.search
        assert search is not None
        if len(labels.first) > MOST_CHOICES:
            raise TooHardError
        case, plane = self.grids.case, self.plane
        columns = {column_at(search.places, labels, row) for row in range(len(labels.first))}
        ordered = sorted(columns, key=lambda column: in_order(case, plane, column))
        return build_profile(case, plane, clock, ordered)

    def _assemble(self) -> None:
        """All that is settled, and a bound for every first width that is not."""
        search = self.search
        assert search is not None
        parts = [self.exact[n] for n in sorted(self.exact)]
        open_ = [
            n for n in range(len(self.least)) if n not in self.exact and self.least[n] < NEVER
        ]
        whole = _together(self, parts) if parts else _none(self)
        self._take(whole, np.array(open_, dtype=np.int64))

    def _take(self, whole: Profile, open_: Ticks) -> None:
        """Make the arrays those of `whole`, with bounds for first widths `open_` (numbers)."""
        search = self.search
        assert search is not None and whole.columns is not None
        own, count = search.places, len(open_)
        bounds = own.levels_of(self.least[open_])
        firsts = own.firsts[open_]
        plane_columns = [Column(int(first)) for first in firsts]
        case = self.grids.case
        columns = [*whole.columns, *plane_columns]
        keys = [(in_order(case, self.plane, column), n) for n, column in enumerate(columns)]
        order = np.array([n for _, n in sorted(keys)], dtype=np.int64)
        none = np.zeros((len(self.members), count), dtype=np.int64)
        yes, no = np.ones(count, dtype=bool), np.zeros(count, dtype=bool)

        self.columns = [columns[n] for n in order]
        self.levels = np.concatenate([whole.levels, bounds], axis=1)[:, order]
        self.moves = np.concatenate([whole.moves, none], axis=1)[:, order]
        self.allowed = np.concatenate([whole.allowed, yes])[order]
        self.stay_levels = np.concatenate([whole.stay_levels, bounds], axis=1)[:, order]
        self.stay_allowed = np.concatenate([whole.stay_allowed, yes])[order]
        self.settled = np.concatenate([whole.settled, no])[order]
        lasts = np.concatenate([whole.grids.lasts, np.full(count, case.panel.cover)])[order]
        self.mirrored = np.concatenate([_mirrored(whole), none > 0], axis=1)[:, order]
        self.grids = _Ends(case, self.plane, np.concatenate([whole.firsts, firsts])[order], lasts)


class _Ends(Grids):
    """First and last widths alone: a wide profile's seams are looked up choice by choice."""

    def __init__(self, case: Case, plane: Plane, firsts: Ticks, lasts: Ticks) -> None:
        super().__init__(case, plane, firsts)
        object.__setattr__(self, "_lasts", lasts)

    @property
    def lasts(self) -> Ticks:
        """What is left at the far end (ticks)."""
        found: Ticks = object.__getattribute__(self, "_lasts")
        return found


def build_wide(case: Case, plane: Plane, clock: Clock) -> WideProfile:
    """The profile of a plane with odd panels, nothing settled yet.

    Raises:
        TooHardError: the case has something that `Places` cannot tabulate.
        TimeoutError: the clock ran out.
    """
    places = Places(case, plane)
    search = OddSearch(places, ToGo(places, clock), clock, worth(case))
    least = search.least()
    agreed = dict(case.freeze.firsts).get(plane.id)
    if agreed is not None:
        least = np.where(places.firsts == agreed, least, NEVER)
    columns = {column for column in (*search.greedy(), *plain_columns(case, plane))}
    known = build_profile(
        case, plane, clock, sorted(columns, key=lambda one: in_order(case, plane, one))
    )
    upper = np.full(len(places.firsts), NEVER - 1, dtype=np.int64)
    words = np.where(known.allowed & known.settled, places.word(known.levels), NEVER - 1)
    np.minimum.at(upper, np.searchsorted(places.firsts, known.firsts), words)
    profile = WideProfile(
        plane, known.grids, known.members, known.levels, known.moves, known.allowed,
        known.stay_levels, known.stay_allowed, known.settled, search=search, least=least,
        upper=upper, known=known,
    )
    cheapest = least.min(initial=NEVER)
    profile.lowest = int(places.levels_of(np.array([cheapest]))[COST, 0]) if cheapest < NEVER else 0
    profile.beyond = -1
    profile._take(_none(profile), np.flatnonzero(least < NEVER))
    return profile


def _mirrored(profile: Profile) -> NDArray[np.bool_]:
    """Which moves could as well go the other way; none where that was never asked."""
    if profile.mirrored is None:
        return np.zeros(profile.moves.shape, dtype=bool)
    return profile.mirrored


def _part(profile: Profile, rows: Ticks) -> Profile:
    """Some choices of a profile."""
    assert profile.columns is not None
    return Profile(
        profile.plane, profile.grids.pick(rows), profile.members, profile.levels[:, rows],
        profile.moves[:, rows], profile.allowed[rows], profile.stay_levels[:, rows],
        profile.stay_allowed[rows], profile.settled[rows],
        columns=[profile.columns[n] for n in rows], mirrored=_mirrored(profile)[:, rows],
    )


def _none(profile: Profile) -> Profile:
    """A profile of the same plane without any choice."""
    rows = np.zeros(0, dtype=np.int64)
    levels = np.zeros((len(LEVELS), 0), dtype=np.int64)
    yes = np.zeros(0, dtype=bool)
    moves = np.zeros((len(profile.members), 0), dtype=np.int64)
    grids = _Ends(profile.grids.case, profile.plane, rows, rows)
    return Profile(profile.plane, grids, profile.members, levels, moves, yes, levels, yes, yes,
                   columns=[])


def _together(profile: Profile, parts: list[Profile]) -> Profile:
    """Several profiles of one plane as one."""
    firsts = np.concatenate([part.firsts for part in parts])
    lasts = np.concatenate([part.grids.lasts for part in parts])
    return Profile(
        profile.plane, _Ends(profile.grids.case, profile.plane, firsts, lasts), profile.members,
        np.concatenate([part.levels for part in parts], axis=1),
        np.concatenate([part.moves for part in parts], axis=1),
        np.concatenate([part.allowed for part in parts]),
        np.concatenate([part.stay_levels for part in parts], axis=1),
        np.concatenate([part.stay_allowed for part in parts]),
        np.concatenate([part.settled for part in parts]),
        columns=[column for part in parts for column in part.columns or ()],
        mirrored=np.concatenate([_mirrored(part) for part in parts], axis=1),
    )
