"""Contradictions in [field], [movement] and [plane.survey]."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Final

from solver.case_file import resolve_field
from solver.case_file.cross_checks import covers_said
from solver.case_file.entries_field import OffsetEntry, SurveyEntry
from solver.case_file.entries_outline import PlaneEntry
from solver.case_file.load_report import Element, Report, length_said, listed, printable
from solver.case_file.read_tables import Read
from solver.case_file.readings import Readings
from solver.case_file.readings_field import ReadSurvey
from solver.units import Units

_SIDES: Final = ("eave", "ridge", "low_rake", "high_rake")
_DIAGONALS: Final = ("up", "down")
_NUMBERS: Final = ("warmer", "colder", "range")
_NAMED: Final = 5


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note what the crew cannot work to, what says no temperatures, and surveys that say nothing.

    Comes once what is wrong with the planes is told.
    """
    _check_temperatures(readings, report)
    for plane, survey in zip(readings.planes, readings.surveys, strict=True):
        if survey:
            _check_survey(plane, survey, readings, units, report)
    if units:
        _check_field(readings, units, report)
        _check_fixed(readings, units, report)


def _check_field(readings: Readings, units: Units, report: Report) -> None:
    read, panel = readings.field, readings.panel.entry
    if read.entry is None or panel is None:
        return
    mark, control = read.entry.tape_mark, read.entry.control
    if mark is not None and (wrong := [cover for cover in panel.cover if mark >= cover]):
        want = f"it must be below the {covers_said(wrong, units)}"
        report.add(read.element, "tape_mark", want)
    if control is not None and (wrong := [cover for cover in panel.cover if control < cover]):
        want = f"control lines stand on seams; write at least the {covers_said(wrong, units)}"
        report.add(read.element, "control", want)


def _check_temperatures(readings: Readings, report: Report) -> None:
    read = readings.movement
    table = read.element.table
    if read.entry is None or "movement" not in readings.head.element.table:
        return
    given = [key for key in _NUMBERS if key in table]
    if "surface" in table and given:
        want = f"give either surface or numbers ({listed(given)} here), not both"
        report.add(read.element, "surface", want)
    elif "range" in table and len(given) > 1:
        want = f"give either range or warmer and colder ({listed(given[:-1])} here), not both"
        report.add(read.element, "range", want)
    elif given == ["warmer"] or given == ["colder"]:
        other = "colder" if given == ["warmer"] else "warmer"
        report.add(read.element, given[0], f"give {other} as well, or range instead of both")
    elif not given and "surface" not in table:
        want = (
            "it says no temperatures; give warmer and colder or range (kelvin, or a text such as "
            '"160 F"), or surface, such as surface = "insulated dark"'
        )
        report.add(read.element, "", want, "")
    elif not any(resolve_field.differences(read.entry) or (1,)):
        want = "metal that never gets warmer or colder does not move; write by how much it does"
        report.add(read.element, given[0], want)


def _check_fixed(readings: Readings, units: Units, report: Report) -> None:
    read = readings.movement
    fixed = read.entry.fixed if read.entry else None
    if not isinstance(fixed, int):
        return
    planes = [plane.entry for plane in readings.planes if plane.entry]
    if short := [plane for plane in planes if plane.length < fixed]:
        said = [
            f"plane {printable(plane.id)}, {length_said(plane.length, units)}"
            for plane in short[:_NAMED]
        ]
        said += [f"{len(short) - _NAMED:,} more"] * (len(short) > _NAMED)
        want = f"it is beyond the slope of {listed(said)}; write at most that, or a word: \"top\""
        report.add(read.element, "fixed", want)


def _check_survey(
    plane: Read[PlaneEntry],
    survey: ReadSurvey,
    readings: Readings,
    units: Units | None,
    report: Report,
) -> None:
    element, entry = survey.table.element, survey.table.entry
    if "outline" in plane.element.table:
        want = (
            "only a plane that should be a rectangle is surveyed so; leave out the survey, or "
            "write width and length instead of the outline"
        )
        report.add(element, "", want, "")
    if entry is None:
        return
    _check_readings(survey, entry, report)
    if "offsets" in element.table and survey.whole:
        for name in ("low", "high"):
            _check_side(element, name, [one.entry for one in survey.offsets if one.entry], report)
    for one in survey.offsets:
        if one.entry and one.entry.low is None and one.entry.high is None:
            report.add(one.element, "low", "give low, high or both: how far the rakes are", "")
    rules = readings.rules.entry
    if entry.run == "fan" and rules and not rules.play and not readings.rules.misread("play"):
        want = (
            "seams are fanned within the play of a panel, and there is none; give play in "
            '[rules], or write run = "square" or "as-drawn"'
        )
        report.add(element, "run", want)
    if entry.run == "fan" and plane.entry:
        _check_fan(element, plane.entry, readings, report)
    if units and plane.entry and "outline" not in plane.element.table:
        _check_within(survey, entry, plane.entry, units, report)


def _check_fan(
    element: Element, plane: PlaneEntry, readings: Readings, report: Report
) -> None:
    """Fanned seams are laid from one end, and stand nowhere as another plane's do."""
    if plane.lay == "from":
        want = 'fanned seams are laid from one end of the plane; write run = "square" or "as-drawn"'
        report.add(element, "run", want)
    linked = [
        link.entry.planes[link.entry.planes[0] == plane.id]
        for link in readings.links
        if link.entry and plane.id in link.entry.planes
    ]
    if linked:
        want = (
            f"fanned seams cannot meet those of plane {listed(linked)}; write run = \"square\" or "
            '"as-drawn", or leave the link out'
        )
        report.add(element, "run", want)


def _check_readings(survey: ReadSurvey, entry: SurveyEntry, report: Report) -> None:
    """Four sides and a diagonal, or offsets from a base line; what is missing for that."""
    element = survey.table.element
    table = element.table
    if "offsets" in table:
        if "base" not in table:
            want = "give base as well: where the base line stands, from the low end of the eave"
            report.add(element, "base", want, "")
        return
    if "base" in table:
        report.add(element, "base", "give offsets from it as well, or leave it out")
    missing = [key for key in _SIDES if key not in table]
    diagonal = any(key in table for key in _DIAGONALS)
    if not missing and diagonal:
        return
    if len(missing) == len(_SIDES) and not diagonal and "base" in table:
        return  # told: it means to give offsets
    lacks = missing + ["a diagonal (up or down)"] * (not diagonal)
    want = (
        "a survey is four sides and a diagonal, or offsets from a base line; give "
        f"{listed(lacks)} as well, or base and offsets"
    )
    report.add(element, "", want, "")


def _check_side(
    element: Element, name: str, offsets: Sequence[OffsetEntry], report: Report
) -> None:
    taken = [one.y for one in offsets if getattr(one, name) is not None]
    if len(taken) < 2:
        count = "only one" if taken else "none"
        want = f"two or more give {name}, so that its rake is a line; {count} does"
    elif len(set(taken)) < 2:
        want = f"all that give {name} stand at the same y; give one at another y as well"
    else:
        return
    report.add(element, "offsets", want)


def _check_within(
    survey: ReadSurvey, entry: SurveyEntry, plane: PlaneEntry, units: Units, report: Report
) -> None:
    where = f"it is off plane {printable(plane.id)}"
    if entry.base is not None and entry.base > plane.width:
        most = length_said(plane.width, units)
        want = f"{where}; base goes from 0 to its width, {most}"
        report.add(survey.table.element, "base", want)
    for one in survey.offsets:
        if one.entry and not 0 <= one.entry.y <= plane.length:
            report.add(one.element, "y", partial(_off_slope, where, plane, units))


def _off_slope(where: str, plane: PlaneEntry, units: Units) -> str:
    on = ", on the slope," if plane.in_plan else ","
    return f"{where}; y goes from 0 to its length{on} {length_said(plane.length, units)}"
