"""Findings that follow from solving: no start, no layout, hardly buildable windows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from solver.assemble import make_roof
from solver.case import Case, Freeze
from solver.clock import Clock
from solver.findings import show
from solver.phase import CURB_CODE, PIPE_CODE, Grids, curb_table, pipe_states, room2
from solver.profile import Profile, build_profile
from solver.ranking import settled_next
from solver.result import Finding, Ranked
from solver.starts import largest_min_end, legal_firsts
from solver.tables import forbidden
from solver.units import TICKS_PER_INCH, TICKS_PER_MM


def least_window(case: Case) -> int:
    """A start window (ticks) narrower than this is hardly buildable: 1/2 in or 12 mm."""
    return TICKS_PER_INCH // 2 if case.units == "in" else 12 * TICKS_PER_MM


def no_start_findings(case: Case) -> list[Finding]:
    """One error for every plane without a legal first width, with the `min_end` that has one."""
    found = []
    for plane in case.planes:
        if len(legal_firsts(case, plane)):
            continue
        best = largest_min_end(case, plane)
        mend = (
            f"The largest min_end that works is {show(case, best)}."
            if best
            else "No min_end of a whole mark works: the mark is too coarse for this width."
        )
        found.append(Finding(
            "no-start", "error", (plane.id,),
            f"Plane {plane.id}, {show(case, plane.width, feet=True)} wide, has no first width that "
            f"leaves both end panels between {show(case, case.rules.min_end)} and "
            f"{show(case, case.panel.cover)}. {mend}",
        ))
    return found


def no_layout_findings(case: Case, profiles: list[Profile]) -> list[Finding]:
    """Why no layout satisfies the rules: forbidden states, or must links."""
    found = []
    if case.freeze.firsts or case.freeze.moves:
        agreed = tuple(name for name, _ in (*case.freeze.firsts, *case.freeze.moves))
        if _serves(replace(case, freeze=Freeze())):
            alone = tuple(name for name in agreed if _serves(_thawed(case, name)))
            names = ", ".join(alone or agreed)
            mend = (
                f"Thawing any one of these is enough: {names}." if alone
                else f"No single one is to blame; thaw some of {names}."
            )
            return [Finding(
                "frozen", "error", alone or agreed,
                "With what is agreed and frozen no layout satisfies the rules; without it there is "
                f"one. {mend}",
            )]
    for profile in profiles:
        if not profile.allowed.any():
            ids = _always_barred(case, profile)
            names = ", ".join(ids)
            found.append(Finding(
                "forbidden", "error", ids,
                f"Plane {profile.plane.id}: no first width and no moves keep {names} out of the "
                "states that are forbidden. Allow a state, a longer reach, or a smaller min_end.",
            ))
    if found:
        return found
    must = [link for link in case.links if link.must]
    roof = make_roof(case, profiles)
    for link, table in zip(case.links, roof.links, strict=True):
        one, other = roof.planes[table.a].allowed, roof.planes[table.b].allowed
        if link.must and not (table.meet & one[:, None] & other[None, :]).any():
            found.append(_must(link.planes))
    return found or [_must(tuple(dict.fromkeys(p for link in must for p in link.planes)))]


def _thawed(case: Case, name: str) -> Case:
    firsts = tuple(pair for pair in case.freeze.firsts if pair[0] != name)
    moves = tuple(pair for pair in case.freeze.moves if pair[0] != name)
    return replace(case, freeze=Freeze(firsts, moves))


def _serves(case: Case) -> bool:
    """Whether any layout satisfies the rules, spacing between moved pipes settled as well."""
    profiles = [build_profile(case, plane) for plane in case.planes]
    return settled_next(case, profiles, Clock(), []) is not None


def _must(planes: tuple[str, ...]) -> Finding:
    return Finding(
        "must-link", "error", planes,
        f"No layout lets the seams of {', '.join(planes)} meet as their must link asks while the "
        "other rules hold. Widen meet_tol, give the link up, or allow more at the ends.",
    )


def _always_barred(case: Case, profile: Profile) -> tuple[str, ...]:
    """Ids of penetrations that no first width serves; where there is none, all ever barred."""
    grids: Grids = profile.grids
    never, ever = [], []
    for i in profile.members:
        pen = case.penetrations[i]
        if not pen.forbid:
            continue
        if pen.kind == "curb":
            states, codes = curb_table(grids, pen).states, CURB_CODE
        else:
            room = room2(grids, pen, np.array([pen.x], dtype=np.int64))[0]
            states, codes = pipe_states(case, pen, room), PIPE_CODE
        barred = forbidden(states, codes, pen)
        if barred.all():
            never.append(pen.id)
        if barred.any():
            ever.append(pen.id)
    return tuple(never or ever)


def result_findings(case: Case, entries: tuple[Ranked, ...]) -> list[Finding]:
    """Start windows under 1/2 in (12 mm), once per listed layout and plane."""
    found = []
    for entry in entries:
        for plane, (low, high) in zip(entry.judged.planes, entry.windows, strict=True):
            if plane.seams and high - low < least_window(case):
                play = "has no play at all; one mark off and"
                if high > low:
                    play = f"may be off only from {show(case, low)} to {show(case, high)} before"
                found.append(Finding(
                    "narrow-window", "warning", (plane.id,),
                    f"Layout {entry.rank}, plane {plane.id}: the start {play} a penetration "
                    "changes state: hardly buildable.",
                ))
    return found
