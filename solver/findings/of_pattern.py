"""What the pattern of a whole plane cannot do: centres and walls that no start serves, choices that
were not looked at."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case import Case
from solver.findings.of_case import show
from solver.result import Finding
from solver.tabling.choices import bends, plain_columns
from solver.tabling.curb_phase import curb_table
from solver.tabling.pattern import is_special, missed_centre
from solver.tabling.profile import Profile


def must_findings(case: Case, profile: Profile) -> list[Finding]:
    """Why a plane that nothing serves fails at a centre or a wall that the case insists on.

    One error for each that no choice of the plane serves; where each alone could be served, one for
    all of them together; none where nothing of that kind is asked for.
    """
    grids = profile.grids
    asked: list[tuple[str, str, NDArray[np.bool_]]] = []
    for centre in case.centres:
        if centre.plane == profile.plane.id and centre.must:
            what = (
                f"the {centre.on} that must stand within {show(case, centre.tol)} of "
                f"{show(case, centre.at, feet=True)} ({centre.what})"
            )
            asked.append((centre.plane, what, ~missed_centre(grids, centre)))
    for i in profile.members:
        pen = case.penetrations[i]
        if pen.must_land:
            what = f"a seam at both walls of {pen.id} within {show(case, case.rules.land_tol)}"
            asked.append((pen.id, what, curb_table(grids, pen).unlanded == 0))
    if not asked or not profile.allowed.size:
        return []
    never = [one for one in asked if not one[2].any()]
    if not never and np.logical_and.reduce([fine for _, _, fine in asked]).any():
        return []  # something else is to blame
    about = tuple(dict.fromkeys(name for name, _, _ in never or asked))
    code = "must-centre" if about[0] == profile.plane.id else "must-land"
    together = "" if never else " all together"
    names = " and ".join(what for _, what, _ in never or asked)
    return [Finding(
        code, "error", about,
        f"Plane {profile.plane.id}: no start gives {names}{together}. Allow more tolerance, or "
        "make it a wish (must = false, must_land = false) with a price.",
    )]


def not_looked_findings(case: Case, profiles: list[Profile]) -> list[Finding]:
    """Planes whose odd panels or play were not looked at: too many choices for the only engine that
    knows outlines, centres, curbs as built and sheets."""
    loose = {profile.plane.id for profile in profiles if profile.loose}
    found = []
    for plane in case.planes:
        if not (is_special(case, plane) and bends(case, plane)):
            continue
        if profiles and plane.id not in loose:
            continue
        if not profiles and plain_columns(case, plane):
            continue
        found.append(Finding(
            "odd-not-tried", "warning", (plane.id,),
            f"Plane {plane.id}: odd panels and play were not looked at. Beside an outline, a "
            "centre, a curb as built or a price for sheets every choice is tried one by one, and "
            "this plane has too many. Fewer odd_widths or odd panels, a coarser mark, or none of "
            "them on this roof would do.",
        ))
    return found
