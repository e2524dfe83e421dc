"""Findings that follow from solving: no start, no layout, hardly buildable windows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from solver.case import Case, Freeze, Plane
from solver.clock import Clock
from solver.findings.no_start import (
    bent_finding,
    no_bent_start_findings,
    no_start_findings,
    plain_ends,
)
from solver.findings.of_case import show
from solver.findings.of_pattern import must_findings
from solver.findings.of_roof_answer import roof_verdicts
from solver.findings.seam_order import from_line, may_bend
from solver.findings.shifts import checked_findings, shift_findings
from solver.ranks.assemble import make_roof
from solver.ranks.ranking import settled_next
from solver.result import Finding, Ranked
from solver.tabling.curb_phase import CURB_CODE, curb_table
from solver.tabling.phase import PIPE_CODE, Grids, pipe_states, room2
from solver.tabling.profile import Profile, build_profile
from solver.tabling.tables import forbidden
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

__all__ = [
    "checked_findings", "least_window", "no_layout_findings", "no_start_findings",
    "result_findings",
]


def least_window(case: Case) -> int:
    """A start window (ticks) narrower than this is hardly buildable: 1/2 in or 12 mm."""
    return TICKS_PER_INCH // 2 if case.units == "in" else 12 * TICKS_PER_MM


def no_layout_findings(case: Case, profiles: list[Profile]) -> list[Finding]:
    """Why no layout satisfies the rules: the ends, forbidden states, or must links."""
    found = no_bent_start_findings(case)
    told = {name for finding in found for name in finding.about}
    if may_bend(case):
        # A profile of every choice that has none: the sums of widths alone may not have shown it.
        bare = {p.plane.id for p in profiles if not len(p.firsts)} - told
        found += [bent_finding(case, plane) for plane in case.planes if plane.id in bare]
        places = {plane.id: place for place, plane in enumerate(case.planes)}
        found.sort(key=lambda finding: places[finding.about[0]])
    if found:
        return found
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
            if told_must := must_findings(case, profile):
                found += told_must
                continue
            ids = _always_barred(case, profile) if profile.allowed.size else ()
            if not ids and may_bend(case):
                found.append(bent_finding(case, profile.plane))
                continue
            names = ", ".join(ids)
            what = _choices(case, profile.plane)
            found.append(Finding(
                "forbidden", "error", ids,
                f"Plane {profile.plane.id}: {what} keep {names} out of the states that are "
                "forbidden. Allow a state, a longer reach, or a smaller min_end.",
            ))
    if found:
        return found
    must = [link for link in case.links if link.must]
    roof = make_roof(case, profiles)
    for link, table in zip(case.links, roof.links, strict=True):
        one, other = roof.planes[table.a].allowed, roof.planes[table.b].allowed
        if link.must and not (table.meet & one[:, None] & other[None, :]).any():
            found.append(_must(link.planes))
    if not found and not must:  # the ends, though the sum of their widths did not show it
        own = [plane for plane in case.planes if not plain_ends(case, plane)] or case.planes
        return [bent_finding(case, plane) for plane in own]
    return found or [_must(tuple(dict.fromkeys(p for link in must for p in link.planes)))]


def _choices(case: Case, plane: Plane) -> str:
    """What was tried on a plane: "no first width, no odd panels and no moves"."""
    tried = [] if from_line(case, plane) else ["no first width"]
    tried += ["no odd panels"] if case.rules.odd_panels else []
    tried += ["no play"] if case.rules.play else []
    tried.append("no moves")
    return tried[0] if len(tried) == 1 else f"{', '.join(tried[:-1])} and {tried[-1]}"


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
    """Start windows under 1/2 in (12 mm), once per listed layout and plane; seams that stray; what
    was wanted and missed; the pans that the first layout splits.

    A plane laid both ways has no first width to be off.
    """
    found = []
    for entry in entries:
        for given, plane, (low, high) in zip(
            case.planes, entry.judged.planes, entry.windows, strict=True
        ):
            if plane.seams and given.start is None and high - low < least_window(case):
                play = "must be exact; one mark off and"
                if high > low:
                    play = f"may be off only from {show(case, low)} to {show(case, high)} before"
                found.append(Finding(
                    "narrow-window", "warning", (plane.id,),
                    f"Layout {entry.rank}, plane {plane.id}: the start {play} a penetration "
                    "changes state: hardly buildable.",
                ))
    named = [(f"Layout {entry.rank}", entry.judged) for entry in entries]
    return [*found, *shift_findings(case, named), *roof_verdicts(case, named)]
