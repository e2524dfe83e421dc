"""Loading a case: TOML, JSON or a parsed document, with its CSV, into `solver.case.Case`."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from solver.case import Case, Link, Plane
from solver.case_file import (
    cross_checks,
    cross_checks_field,
    cross_checks_freeze,
    cross_checks_odd,
    cross_checks_outline,
    cross_checks_places,
    cross_checks_sheet,
    cross_checks_sheets,
    load_csv,
    load_file,
    resolve,
    resolve_field,
    resolve_sheet,
)
from solver.case_file.load_report import Report, printable
from solver.case_file.readings import Readings, read_document
from solver.case_file.resolve_along import joint
from solver.case_parts import Apart
from solver.errors import CaseError, Problem
from solver.survey.leaning import between_rakes, leaning
from solver.survey.surveyed import SurveyError
from solver.units import Units


def load_case(path: str | Path) -> Case:
    """Read a case file (TOML, or JSON of the same shape) and the CSV it names.

    Lengths of the result are ticks, all defaults are filled in. `sha256` is the hash of the case
    file's bytes, followed by the CSV's if there is one.

    Raises:
        CaseError: the case cannot be used; carries every problem, in the order of the file.
    """
    place = Path(path)
    file = printable(str(path), most=200)
    data = load_file.read_bytes(place, file)
    document = load_file.parse(data, file, place.suffix)
    case = _case(document, file, place.parent, lambda rows: hashlib.sha256(data + rows).hexdigest())
    rows = document.get("penetrations_csv")
    beside = (str(place.parent / rows),) if isinstance(rows, str) else ()
    sources = (str(path), *beside)
    covers = tuple(replace(one, sources=sources) for one in case.covers)
    return replace(case, sources=sources, covers=covers)


def case_from_document(
    document: Mapping[str, Any], *, file: str = "case", sha256: str = "", beside: Path | None = None
) -> Case:
    """Make a case of a parsed document.

    `file` names the case in messages, `sha256` is passed on, and `beside` is the folder in which
    its `penetrations_csv` is looked for.

    Raises:
        CaseError: the case cannot be used; carries every problem, in the order of the file.
    """
    if not isinstance(document, Mapping):
        raise CaseError([Problem(file, "", "", "", "a case is a table of keys")])
    return _case(document, file, beside, lambda _: sha256)


def _case(
    document: Mapping[str, Any],
    file: str,
    beside: Path | None,
    digest: Callable[[bytes], str],
) -> Case:
    report = Report(file)
    readings, units = read_document(document, report)
    csv_data = load_csv.add_penetrations(readings, units, beside, report)
    cross_checks_outline.settle(readings, units, report)
    cross_checks.check(readings, units, report)
    cross_checks_odd.check(readings, units, report)
    cross_checks_places.check(readings, units, report)
    cross_checks_sheet.check(readings, units, report)
    cross_checks_sheets.check(readings, units, report)
    cross_checks_field.check(readings, units, report)
    cross_checks_freeze.check(readings, units, report)
    report.close()
    return _resolved(readings, file, digest(csv_data))


def _resolved(readings: Readings, file: str, sha256: str) -> Case:
    head, panel_entry = readings.head.entry, readings.panel.entry
    rules_entry, moves_entry = readings.rules.entry, readings.moves.entry
    rates_entry = readings.rates.entry
    # The report was empty, so every table was read.
    assert head and panel_entry and rules_entry and moves_entry and rates_entry
    freeze_entry = readings.freeze.entry
    sheet_entry, prices_entry = readings.sheet.entry, readings.prices.entry
    field_entry, movement_entry = readings.field.entry, readings.movement.entry
    assert freeze_entry and sheet_entry and prices_entry and field_entry and movement_entry
    units: Units = head.units
    each_cover = [
        (resolve.panel(panel_entry, cover, units), resolve.rules(rules_entry, cover, units))
        for cover in panel_entry.cover
    ]
    panel, rules = each_cover[0]
    moves = resolve.moves(moves_entry, units)
    x_tol = resolve.x_tol(rules_entry, units)
    fittings = resolve.fittings(
        {nominal: read.entry for nominal, read in readings.fittings.items() if read.entry}
    )
    planes = _leaning(cross_checks_places.shaped_planes(readings), file, units)
    links, apart = _links(readings, planes, units, rules.meet_tol)
    case = Case(
        file=file,
        sha256=sha256,
        title=head.title,
        units=units,
        setting=head.setting,
        mark=resolve.mark(head, units),
        step=moves.step,
        panel=panel,
        rules=rules,
        rates=resolve.rates(rates_entry),
        planes=tuple(planes.values()),
        links=links,
        penetrations=tuple(
            between_rakes(planes[read.entry.plane], resolve.penetration(
                read.entry, rules, moves, head.setting, x_tol, fittings, planes[read.entry.plane]
            ))
            for read in readings.penetrations
            if read.entry
        ),
        gridlines=tuple(
            resolve.gridline(read.entry) for read in readings.gridlines if read.entry
        ),
        fittings=fittings,
        joins=tuple(resolve.join(read.entry) for read in readings.joins if read.entry),
        freeze=resolve.freeze(freeze_entry),
        reach=moves.reach,
        revision=head.revision,
        date=head.date,
        centres=tuple(
            resolve.centre(read.entry, units) for read in readings.centres if read.entry
        ),
        apart=apart,
        sheet=resolve_sheet.sheet(
            sheet_entry, units, given="sheet" in readings.head.element.table
        ),
        prices=resolve_sheet.prices(prices_entry, units),
        field=resolve_field.field(field_entry, panel, units),
        movement=resolve_field.movement(movement_entry),
    )
    if len(each_cover) == 1:
        return case
    return replace(
        case,
        covers=tuple(
            replace(
                case,
                panel=panel,
                rules=rules,
                field=resolve_field.field(field_entry, panel, units),
            )
            for panel, rules in each_cover
        ),
    )


def _leaning(planes: dict[str, Plane], file: str, units: Units) -> dict[str, Plane]:
    """The planes that are to be laid out as surveyed so, all others as they are.

    Raises:
        CaseError: a survey is none to lay a roof on.
    """
    found, problems = {}, []
    for name, plane in planes.items():
        try:
            found[name] = leaning(plane, units)
        except SurveyError as error:
            problems += [
                Problem(file, f"plane {name}", "survey", "", says) for says in error.problems
            ]
    if problems:
        raise CaseError(problems)
    return found


def _links(
    readings: Readings, planes: dict[str, Plane], units: Units, meet_tol: int
) -> tuple[tuple[Link, ...], tuple[Apart, ...]]:
    """The links, and the planes that share an edge across which no seams can meet."""
    links, apart = [], []
    for read in readings.links:
        entry = read.entry
        if entry is None:
            continue
        if entry.along is None:
            links.append(resolve.link(entry, entry.offset))
            continue
        first, second = (planes[name] for name in entry.planes)
        found = joint(entry.along, first, second, units, meet_tol)
        if found.offset is None:
            apart.append(Apart(entry.planes, entry.along, found.apart))
        else:
            links.append(resolve.link(entry, found.offset))
    return tuple(links), tuple(apart)
