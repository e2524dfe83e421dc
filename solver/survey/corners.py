"""From a survey to the true corners of a plane."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from solver.case import Plane
from solver.case_parts import Survey
from solver.survey.fit import fit_corners, fit_line
from solver.survey.surveyed import How, Reading, Surveyed, SurveyError
from solver.survey.triangles import (
    ENDS,
    TRIANGLES,
    Corners,
    Point,
    Readings,
    closes,
    corners_by_triangles,
    must_be,
)
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units, format_length, round_half_away

SIDES: Final = ("eave", "ridge", "low_rake", "high_rake")
READING_WORDS: Final = {
    "eave": "eave", "ridge": "ridge", "low_rake": "low rake", "high_rake": "high rake",
    "up": "diagonal up", "down": "diagonal down",
}
"""What a reading of a survey is called in a sentence, by its name in the case."""
CORNER_WORDS: Final = {
    "A": "low end of the eave", "B": "high end of the eave", "C": "high end of the ridge",
    "D": "low end of the ridge",
}
"""Where a corner is."""

Ticks = tuple[tuple[int, int], tuple[int, int], tuple[int, int], tuple[int, int]]


class _Found(NamedTuple):
    how: How
    corners: Corners
    readings: tuple[Reading, ...]


def corners_of(plane: Plane, units: Units) -> Surveyed:
    """The corners that the survey of a plane makes of it, and how it is out.

    Four sides and one diagonal: two triangles, exact, corners rounded once to ticks. Both
    diagonals: the corners that leave the least sum of squares of the residuals. Offsets: for each
    rake the line that does (`base` counts as the low offset at the eave where no other is given
    there), eave at y = 0, ridge at y = the plane's length; sides and diagonals taken as well are
    held against them but not fitted. `units` are for words only.

    Raises:
        SurveyError: the plane has no survey or has an outline, readings are missing, triangles do
            not close, a corner is not convex, the rakes cross, or the readings contradict each
            other beyond a fit.
    """
    survey = plane.survey
    if survey is None:
        raise SurveyError(plane.id, ["it has no survey"])
    if plane.outline is not None:
        raise SurveyError(plane.id, ["a survey is for a plane drawn as a rectangle, and it has an "
                                     "outline: put the true corners into that"])
    found = (_by_offsets if survey.offsets else _by_sides)(plane, survey, units)
    a, b, c, d = ((round_half_away(point.x), round_half_away(point.y)) for point in found.corners)
    corners = (a, b, c, d)
    if bent := list(_not_convex(corners)):
        raise SurveyError(plane.id, bent)
    width = plane.width if plane.lean is None else plane.lean.drawn
    drawn = zip(SIDES, (width, width, plane.length, plane.length), strict=True)
    return Surveyed(plane.id, units, found.how, corners, found.readings, tuple(drawn))


def _by_sides(plane: Plane, survey: Survey, units: Units) -> _Found:
    read = taken(survey)
    diagonals = [name for name in TRIANGLES if name in read]
    problems = [f"its survey needs the {READING_WORDS[name]}: four sides and a diagonal, or "
                "offsets from a base line" for name in SIDES if name not in read]
    if not diagonals:
        problems.append("its survey needs a diagonal (up or down): four sides alone fit many "
                        "shapes")
    problems += [f"the {READING_WORDS[name]} is {_show(size, units)}: it must be more than 0"
                 for name, size in read.items() if size <= 0]
    if not problems:
        problems = list(_open_triangles(read, diagonals, units))
    if problems:
        raise SurveyError(plane.id, problems)
    by_one = [corners_by_triangles(read, diagonal) for diagonal in diagonals]
    if len(by_one) == 1:
        return _Found("triangles", by_one[0], tuple(
            Reading(name, size, float(size), 0.0, fitted=True) for name, size in read.items()))
    for start in by_one:
        if fit := fit_corners(read, start):
            (bx, cx, cy, dx, dy), left = fit
            corners = tuple(Point(Fraction(x), Fraction(y))
                            for x, y in ((0.0, 0.0), (bx, 0.0), (cx, cy), (dx, dy)))
            return _Found("fitted", (corners[0], corners[1], corners[2], corners[3]), tuple(
                Reading(name, size, size - left[name], left[name], fitted=True,
                        alone=must_be(read, name))
                for name, size in read.items()))
    raise SurveyError(plane.id, ["its readings contradict each other so much that no corners fit "
                                 "them: tape the sides and both diagonals again"])


def taken(survey: Survey) -> dict[str, int]:
    """The sides and diagonals that were taped, by name (ticks)."""
    every = {
        "eave": survey.eave, "ridge": survey.ridge, "low_rake": survey.low_rake,
        "high_rake": survey.high_rake, "up": survey.up, "down": survey.down,
    }
    return {name: size for name, size in every.items() if size is not None}


def _open_triangles(read: Readings, diagonals: Sequence[str], units: Units) -> Iterator[str]:
    for diagonal in diagonals:
        for names in TRIANGLES[diagonal]:
            if not closes(*(read[name] for name in names)):
                longest = max(names, key=lambda name: read[name])
                long = f"{READING_WORDS[longest]} ({_show(read[longest], units)})"
                others = " and ".join(f"{READING_WORDS[name]} ({_show(read[name], units)})"
                                      for name in names if name != longest)
                yield (f"the {long} is not shorter than {others} together: these three make no "
                       "triangle, so at least one of them is misread")


def _show(ticks: int, units: Units) -> str:
    """To 1/64 in or 0.01 mm, feet and inches apart."""
    finest = TICKS_PER_INCH // 64 if units == "in" else TICKS_PER_MM // 100
    text = format_length(2 * ticks, units, finest, feet=True)
    if units == "mm" and "." in text:
        return f"{text.removesuffix(' mm').rstrip('0').rstrip('.')} mm"
    return text


def _not_convex(corners: Ticks) -> Iterator[str]:
    """Corners where the outline, walked A to D, does not turn left."""
    for place, corner in enumerate("ABCD"):
        (x0, y0), (x1, y1), (x2, y2) = (corners[(place + step) % 4] for step in (-1, 0, 1))
        if (x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1) <= 0:
            yield (f"its readings make a corner of 180 degrees or more at the "
                   f"{CORNER_WORDS[corner]}: no roof plane has one, so a reading is wrong")


def _by_offsets(plane: Plane, survey: Survey, units: Units) -> _Found:
    lines = {}
    taps: dict[str, list[tuple[str, int, int]]] = {"low": [], "high": []}
    for offset in survey.offsets:
        at = _show(offset.y, units)
        for side, size in (("low", offset.low), ("high", offset.high)):
            if size is not None:
                taps[side].append((f"{side} at {at}", offset.y, size))
    base_counts = survey.base is not None and all(y for _, y, _ in taps["low"])
    if survey.base is not None and base_counts:
        taps["low"].insert(0, ("base", 0, survey.base))
    problems = []
    for side, sign in (("low", -1), ("high", 1)):
        places = [(y, sign * size) for _, y, size in taps[side]]
        if len(dict.fromkeys(y for y, _ in places)) < 2:
            problems.append(f"the {side} rake needs offsets at two different heights at least")
        else:
            lines[side] = fit_line(places)
    if problems:
        raise SurveyError(plane.id, problems)
    corners = _between(plane, lines["low"], lines["high"])
    readings = [
        reading
        for side, sign in (("low", -1), ("high", 1))
        for reading in _held(taps[side], lines[side], sign)
    ]
    if survey.base is not None and not base_counts:
        readings.append(_reading("base", survey.base, float(-lines["low"][0]), fitted=False))
    for name, size in taken(survey).items():
        one, two = (corners["ABCD".index(corner)] for corner in ENDS[name])
        apart = float((one.x - two.x) ** 2 + (one.y - two.y) ** 2) ** 0.5
        readings.append(_reading(name, size, apart, fitted=False))
    return _Found("offsets", corners, tuple(readings))


def _between(
    plane: Plane, low: tuple[Fraction, Fraction], high: tuple[Fraction, Fraction]
) -> Corners:
    """The corners between two rakes (at, lean); x counts from the low end of the eave."""
    zero, top = Fraction(0), Fraction(plane.length)
    low_top, high_top = (at + lean * plane.length for at, lean in (low, high))
    problems = [
        f"its rakes cross: at the {name} the high rake does not stand to the right of the low one, "
        "so an offset is wrong"
        for name, left, right in (("eave", low[0], high[0]), ("ridge", low_top, high_top))
        if right <= left
    ]
    if problems:
        raise SurveyError(plane.id, problems)
    return (
        Point(zero, zero), Point(high[0] - low[0], zero),
        Point(high_top - low[0], top), Point(low_top - low[0], top),
    )  # fmt: skip


def _held(
    taps: Sequence[tuple[str, int, int]], line: tuple[Fraction, Fraction], sign: int
) -> Iterator[Reading]:
    for name, y, size in taps:
        yield _reading(name, size, float(sign * (line[0] + line[1] * y)), fitted=True)


def _reading(name: str, read: int, computed: float, *, fitted: bool) -> Reading:
    return Reading(name, read, computed, read - computed, fitted=fitted)
