"""All planes together: their profiles as one roof of tables, and which first widths meet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Link
from solver.odd.wide import WideProfile
from solver.ranks.roof import LinkTable, PlaneTable, Roof
from solver.tabling.profile import Profile
from solver.tabling.starts import Ticks


def meeting(case: Case, link: Link, one: Profile, other: Profile) -> NDArray[np.bool_]:
    """Which first widths of two linked planes let their seams meet: (of one, of other)."""
    cover = case.panel.cover
    if one.grids.one_panel or other.grids.one_panel:
        return np.ones((len(one.firsts), len(other.firsts)), dtype=bool)
    here, which_here = np.unique(_a_seam(one), return_inverse=True)
    there, which_there = np.unique(_a_seam(other), return_inverse=True)
    seen = one.plane.width - here if link.how == "mirror" else here
    mapped = seen + link.offset
    apart2 = 2 * ((mapped[:, None] - there[None, :]) % cover)
    wanted2 = cover if link.stagger else 0
    off2 = np.abs(apart2 - wanted2)
    # Modulo the cover: an offset just below a whole cover is just short of meeting.
    off2 = np.minimum(off2, 2 * cover - off2)
    meet = off2 <= 2 * case.rules.meet_tol
    result: NDArray[np.bool_] = meet[np.ix_(which_here, which_there)]
    return result


def _a_seam(profile: Profile) -> Ticks:
    """Where the first-laid seam stands, as an x (ticks), for every choice."""
    plane = profile.plane
    if plane.lay == "from" and plane.start is not None:
        return np.full_like(profile.firsts, plane.start)
    return profile.firsts if plane.lay == "left-to-right" else plane.width - profile.firsts


def make_roof(case: Case, profiles: list[Profile], *, drawn: bool = False) -> Roof:
    """The tables of a case. `drawn`: nothing may move."""
    planes = tuple(
        PlaneTable(
            p.firsts,
            p.stay_levels if drawn else p.levels,
            p.stay_allowed if drawn else p.allowed,
            None if p.grids.one_panel else p.narrowest,
            np.ones_like(p.settled) if drawn and not isinstance(p, WideProfile) else p.settled,
            p.clearance2(drawn),
        )
        for p in profiles
    )
    index = {plane.id: i for i, plane in enumerate(case.planes)}
    links = tuple(
        LinkTable(
            index[link.planes[0]],
            index[link.planes[1]],
            meeting(case, link, profiles[index[link.planes[0]]], profiles[index[link.planes[1]]]),
            link.must,
        )
        for link in case.links
    )
    return Roof(planes, links, case.rates.cents("misaligned"))
