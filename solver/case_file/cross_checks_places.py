"""What stands where: penetrations on the roof proper, centres, curbs as built, shared edges."""

from __future__ import annotations

from dataclasses import replace

from solver.case import Plane
from solver.case_file import resolve
from solver.case_file.cross_checks import check_on_plane, check_plane_known, plane_ids
from solver.case_file.defaults import LENGTHS
from solver.case_file.entries import CurbEntry, LinkEntry
from solver.case_file.entries_outline import PlaneEntry
from solver.case_file.load_report import Element, Report, printable, shown
from solver.case_file.read_tables import Read
from solver.case_file.readings import Readings
from solver.case_file.resolve_along import joint
from solver.shape.edges import holds
from solver.units import Units


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note everything that stands, or is asked for, where it cannot be."""
    for pen in readings.penetrations:
        if isinstance(pen.entry, CurbEntry) and pen.entry.must_land and (
            pen.entry.detail != "ribbed" and not pen.misread("detail")
        ):
            want = 'only a ribbed curb has seams land on it; write detail = "ribbed" as well, or '
            report.add(pen.element, "must_land", f"{want}leave must_land out")
    entries = {read.entry.id: read.entry for read in readings.planes if read.entry}
    planes = shaped_planes(readings)
    _check_centres(readings, entries, units, report)
    for read in readings.links:
        if read.entry and read.entry.along:
            tol = readings.rules.entry.meet_tol if readings.rules.entry else None
            _check_along(read, read.entry, planes, units, tol, report)
    if units is None:
        return
    on: dict[str, str] = {}
    for pen in readings.penetrations:
        if pen.entry:
            on[pen.entry.id] = pen.entry.plane
            if plane := planes.get(pen.entry.plane):
                y = shown(pen.element.table["y"])
                _check_on_roof(pen.element, "x", pen.entry.x, pen.entry.y, y, plane, report)
    for join in readings.joins:
        curb = join.entry.curb if join.entry else None
        stands = {on.get(name): None for name in join.entry.penetrations} if join.entry else {}
        plane = planes.get(next(iter(stands)) or "") if len(stands) == 1 else None
        if curb and plane:
            y = shown(join.element.table["curb"]["y"])
            _check_on_roof(join.element, "curb.x", curb.x, curb.y, y, plane, report)


def shaped_planes(readings: Readings) -> dict[str, Plane]:
    """Every plane of which nothing is wrong, by its id."""
    return {
        read.entry.id: resolve.plane(read.entry, readings.shapes[read.entry.id])
        for read in readings.planes
        if read.entry and read.entry.id in readings.shapes
    }


def _check_on_roof(
    element: Element, key: str, x: int, y: int, y_said: str, plane: Plane, report: Report
) -> None:
    """Note a centre within the extent of its plane that is not on the roof."""
    within = 0 <= x <= plane.width and 0 <= y <= plane.length  # else it is told already
    if plane.outline is None or not within or holds(plane, x, y):
        return
    where = f"outside the outline of plane {printable(plane.id)}"
    for hole in plane.holes:
        if not holds(replace(plane, holes=(hole,)), x, y) and holds(replace(plane, holes=()), x, y):
            where = f'in the hole "{printable(hole.what)}" of plane {printable(plane.id)}'
    got = None if "." not in key else shown(element.table["curb"]["x"])
    want = f"with its y of {y_said} the centre is {where}; check both, and the outline"
    report.add(element, key, want, got)


def _check_centres(
    readings: Readings, planes: dict[str, PlaneEntry], units: Units | None, report: Report
) -> None:
    known = plane_ids(readings)
    for read in readings.centres:
        check_plane_known(read.element, known, report)
        plane = planes.get(read.entry.plane) if read.entry else None
        if read.entry and plane and units:
            check_on_plane(read.element, read.entry.at, None, plane, units, report, x_key="at")


def _check_along(
    read: Read[LinkEntry],
    entry: LinkEntry,
    planes: dict[str, Plane],
    units: Units | None,
    meet_tol: int | None,
    report: Report,
) -> None:
    if entry.how != "mirror":
        want = f'across a {entry.along} seams are mirrored; write how = "mirror"'
        report.add(read.element, "how", want)
    if "offset" in read.element.table:
        want = "with along it follows from the outlines; leave one of the two out"
        report.add(read.element, "offset", want)
    first, second = (planes.get(name) for name in entry.planes)
    if not (entry.along and units and first and second) or first is second:
        return
    if meet_tol is None:
        meet_tol = LENGTHS[units]["meet_tol"]
    found = joint(entry.along, first, second, units, meet_tol)
    if found.wrong:
        report.add(read.element, "along", found.wrong)
    elif found.apart and entry.must:
        want = f"{found.apart}; the seams cannot meet, so leave must out"
        report.add(read.element, "must", want)
