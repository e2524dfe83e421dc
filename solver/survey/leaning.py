"""A plane laid out as it was found: its eave, and how far its rakes lean."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil, floor

from solver.case import Penetration, Plane
from solver.case_parts import Lean
from solver.survey.lines import high_rake_x, low_rake_x
from solver.units import Units, round_half_away


def leaning(plane: Plane, units: Units) -> Plane:
    """The plane as its survey says it is to be laid out; itself where that is as drawn.

    How far the rakes stand off at the plane's length up the slope is rounded once to ticks.

    Raises:
        SurveyError: the survey is none to lay a roof on.
    """
    if plane.survey is None or plane.survey.run == "as-drawn":
        return plane
    from solver.survey.corners import corners_of  # loads numpy, which few cases need to be read

    found = corners_of(plane, units)
    eave = found.corners[1][0]
    lean = Lean(
        round_half_away(low_rake_x(found, plane.length)),
        round_half_away(high_rake_x(found, plane.length) - eave),
        plane.survey.run == "fan",
        plane.width,
    )
    return replace(plane, width=eave, lean=lean)


def between_rakes(plane: Plane, pen: Penetration) -> Penetration:
    """A penetration with where the roof ends beside it; itself where the plane does not lean."""
    return pen if plane.lean is None else replace(pen, ends=rakes_at(plane, pen.y))


def rakes_at(plane: Plane, y: int) -> tuple[int, int]:
    """Where a leaning plane begins and ends `y` up the slope (ticks), rounded to its inside."""
    assert plane.lean is not None
    low = Fraction(plane.lean.low * y, plane.length)
    high = plane.width + Fraction(plane.lean.high * y, plane.length)
    return ceil(low), floor(high)
