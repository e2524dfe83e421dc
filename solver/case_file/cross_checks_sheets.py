"""Contradictions in [[gridline]], [fittings] and [[join]]."""

from __future__ import annotations

from collections import Counter, defaultdict
from functools import partial
from typing import Final

from solver.case_file.cross_checks import check_on_plane, check_plane_known, check_unique, plane_ids
from solver.case_file.entries_outline import PlaneEntry
from solver.case_file.entries_sheets import JoinEntry
from solver.case_file.load_report import Element, Report, listed, nearest, printable, shown
from solver.case_file.readings import Readings
from solver.units import Units

_NAMED: Final = 8


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note every contradiction of these tables with themselves and with the rest of the case."""
    for size in readings.fittings.values():
        if size.entry and not any((size.entry.bend_22, size.entry.bend_45, size.entry.bend_60)):
            want = "give at least one of bend_22, bend_45 and bend_60, centre to end of the elbow"
            report.add(size.element, "", want, "")
    _check_gridlines(readings, units, report)
    check_unique([read.element for read in readings.joins], report)
    joined: dict[str, str] = {}
    for read in readings.joins:
        if read.entry:
            _check_price(read.element, read.entry, report)
            _check_what_stands(read.element, read.entry, report)
            _check_names(read.element, read.entry, readings, joined, report)
            _check_one_plane(read.element, read.entry, readings, units, report)


def _check_gridlines(readings: Readings, units: Units | None, report: Report) -> None:
    known = plane_ids(readings)
    planes = _planes(readings)
    by_plane: dict[object, list[Element]] = defaultdict(list)
    for read in readings.gridlines:
        check_plane_known(read.element, known, report)
        plane = read.element.table.get("plane")
        if isinstance(plane, str):
            by_plane[plane].append(read.element)
        if read.entry and units and (stands := planes.get(read.entry.plane)):
            check_on_plane(read.element, read.entry.x, None, stands, units, report)
    for elements in by_plane.values():
        check_unique(elements, report)


def _planes(readings: Readings) -> dict[str, PlaneEntry]:
    return {read.entry.id: read.entry for read in readings.planes if read.entry}


def _check_price(element: Element, join: JoinEntry, report: Report) -> None:
    if join.hours is None and join.material is None:
        want = "a join needs its price; give hours, material or both, 0 where it costs nothing"
        report.add(element, "hours", want, "")


def _check_what_stands(element: Element, join: JoinEntry, report: Report) -> None:
    if join.keeps is not None and join.curb is not None:
        want = "give either keeps (the one that stays) or curb (what stands instead), not both"
        report.add(element, "keeps", want)
    elif join.keeps is None and join.curb is None:
        want = "give keeps, the id of the one that stays, or curb, the curb that stands instead"
        report.add(element, "keeps", want, "")
    if join.keeps is not None and join.keeps not in join.penetrations:
        among = [printable(name) for name in join.penetrations[:_NAMED]]
        want = f"it is none of its own penetrations ({', '.join(among)}); name one of them"
        report.add(element, "keeps", want)


def _check_names(
    element: Element, join: JoinEntry, readings: Readings, joined: dict[str, str], report: Report
) -> None:
    """Check who is joined; `joined` says in which join each penetration is, and is added to."""
    times = Counter(join.penetrations)
    if len(join.penetrations) < 2:
        report.add(element, "penetrations", "a join takes two or more penetrations; name them all")
    for name, count in times.items():
        if count > 1:
            want = f"{shown(name)} is named more than once; name each penetration once"
            report.add(element, "penetrations", want)
    known = penetration_ids(readings)
    for name in times:
        if name not in known:
            if readings.complete:
                report.add(element, "penetrations", partial(no_penetration, name, known))
        elif name in joined:
            want = f"{shown(name)} is in {joined[name]} already; a penetration is in one at most"
            report.add(element, "penetrations", want)
        else:
            joined[name] = element.where


def penetration_ids(readings: Readings) -> dict[str, None]:
    """Every penetration's id, also of those that could not be read."""
    ids = (read.element.table.get("id") for read in readings.penetrations)
    return dict.fromkeys(name for name in ids if isinstance(name, str))


def no_penetration(name: str, known: dict[str, None]) -> str:
    """The mend for the id of a penetration that the case does not have."""
    if not known:
        return f"there is no penetration {shown(name)}; the case has none at all"
    return f"there is no penetration {shown(name)}; {nearest(name, known)}"


def _check_one_plane(
    element: Element, join: JoinEntry, readings: Readings, units: Units | None, report: Report
) -> None:
    named = set(join.penetrations)
    on = dict.fromkeys(
        read.entry.plane for read in readings.penetrations if read.entry and read.entry.id in named
    )
    if len(on) > 1:
        said = listed(map(printable, on))
        want = f"they stand on planes {said}; penetrations of one plane only can be joined"
        report.add(element, "penetrations", want)
    elif on and units and join.curb and (plane := _planes(readings).get(next(iter(on)))):
        check_on_plane(element, join.curb.x, join.curb.y, plane, units, report, inner="curb")
