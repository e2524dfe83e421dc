"""Which choices of a plane can be on a list: the best, alone or for their counts."""

from __future__ import annotations

import numpy as np

from solver.odd.search import TooHardError
from solver.tabling.profile import Profile
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, COUNTS, DIST


def best_of(profile: Profile, rows: Ticks) -> Ticks:
    """Of some choices those with the first levels of the tie order down to the distance moved."""
    rows = rows[profile.allowed[rows]]
    for level in range(DIST + 1):
        values = profile.levels[level, rows]
        rows = rows[values == values.min(initial=np.int64(1) << 62)]
    return rows


def without_clashes(profile: Profile, rows: Ticks) -> Ticks:
    """Those choices in which moved pipes do not come too near each other.

    The search knows nothing of spacing. A best choice that keeps it is the best of all; where none
    does, what was merged away could be better.

    Raises:
        TooHardError: there are choices, but none keeps the spacing.
    """
    fine = rows[profile.settled[rows]]
    if len(rows) and not len(fine):
        raise TooHardError
    return fine


def best_by_counts(profile: Profile, *, alone: bool) -> Ticks:
    """Choices that none of the same first width (any, if `alone`) beats with no higher count."""
    kept = []
    groups = [np.arange(len(profile.firsts))]
    if not alone:
        groups = [np.flatnonzero(profile.firsts == first) for first in np.unique(profile.firsts)]
    for group in groups:
        rows = group[profile.allowed[group]]
        order = np.lexsort(profile.levels[DIST::-1, rows])
        front: list[int] = []
        for n in rows[order]:
            mine = profile.levels[COST : DIST + 1, n]
            beaten = any(
                (profile.levels[COUNTS, m] <= profile.levels[COUNTS, n]).all()
                and (profile.levels[COST : DIST + 1, m] != mine).any()
                for m in front
            )
            if not beaten:
                front.append(int(n))
        kept += front
    return np.array(sorted(kept), dtype=np.int64)
