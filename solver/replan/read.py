"""Reading an as-built file: TOML or JSON, every problem at once, each by its id."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final

from solver.case import Case, Plane
from solver.case_file import load_file
from solver.case_file.load_report import Element, Report, length_said, nearest, printable, shown
from solver.case_file.read_tables import Read, note_twice, read_each, validated
from solver.errors import CaseError, Problem
from solver.replan.entries import HeadEntry, PlaneEntry, SeenEntry

_KEYS: Final = (*HeadEntry.model_fields, "plane", "penetration")


@dataclass(frozen=True)
class AsBuilt:
    """What the crew measured; lengths in ticks.

    `layout` is None and `firsts` empty where the file says nothing. Every entry stands beside its
    place in the file, for what only the plan can tell of it.
    """

    file: str
    date: str
    layout: int | None
    firsts: tuple[tuple[str, int], ...]
    planes: tuple[Read[PlaneEntry], ...]
    seen: tuple[Read[SeenEntry], ...]

    def report(self) -> Report:
        """An empty report of problems of this file."""
        return Report(self.file)


def load_as_built(path: str | Path, case: Case) -> AsBuilt:
    """Read an as-built file of a case.

    Raises:
        CaseError: it cannot be used; carries every problem, in the order of the file.
    """
    place = Path(path)
    file = printable(str(path), most=200)
    data = load_file.read_bytes(place, file, "measurement")
    if (text := load_file.decoded(data)) is not None and not text.strip():
        raise CaseError([Problem(file, "", "", "", "the file is empty; write a [[plane]] with id, "
                                 "seam and eave for each plane under way")])
    return as_built_of(load_file.parse(data, file, place.suffix), case, file)


def as_built_of(document: Mapping[str, Any], case: Case, file: str = "as-built") -> AsBuilt:
    """Read a parsed as-built document of a case.

    Raises:
        CaseError: it cannot be used; carries every problem, in the order of the file.
    """
    report = Report(file)
    top = Element((), "", "", document)
    note_twice(top, report)
    for key in document:
        if key not in _KEYS:
            report.add(top, str(key), partial(_unknown, str(key)), shown(document[key]))
    context: dict[str, Any] = {"units": case.units}
    head_table = {k: v for k, v in document.items() if k in HeadEntry.model_fields}
    head = validated(top, HeadEntry, report, context, head_table, salvage=True) or HeadEntry()
    planes = read_each(top, "plane", PlaneEntry, report, context)
    seen = read_each(top, "penetration", SeenEntry, report, context)
    if not document.get("plane"):
        report.add(top, "plane", "write a [[plane]] with id, seam and eave for each plane under "
                                 "way")
    _check_head(case, head, top, report)
    _check_planes(case, planes, report)
    _check_seen(case, seen, report)
    report.close()
    return AsBuilt(file, str(head.date), head.layout, head.first, tuple(planes), tuple(seen))


def _unknown(key: str) -> str:
    return f"there is no such key; {nearest(key, _KEYS)}"


def _check_head(case: Case, head: HeadEntry, top: Element, report: Report) -> None:
    planes = {plane.id: plane for plane in case.planes}
    for name, width in head.first:
        plane = planes.get(name)
        got = length_said(width, case.units)
        if plane is None:
            report.add(top, "first", f'there is no plane "{printable(name)}"; '
                                     f"{nearest(name, planes)}", got)
        elif plane.lay == "from":
            report.add(top, "first", f"plane {name} is laid both ways from a line, which leaves no "
                                     "choice of a first width; leave it out", got)
    if head.first and head.layout is not None:
        report.add(top, "layout", "give either the layout that is being built or first widths")


def _check_planes(case: Case, planes: list[Read[PlaneEntry]], report: Report) -> None:
    known = {plane.id: plane for plane in case.planes}
    given: dict[tuple[str, bool], str] = {}
    for read in planes:
        entry = read.entry
        if entry is None:
            continue
        plane = known.get(entry.id)
        if plane is None:
            report.add(read.element, "id",
                       f"the case has no such plane; {nearest(entry.id, known)}")
            continue
        if entry.eave is not None and entry.tape is not None:
            report.add(read.element, "tape", "give either eave, to the seam's centre, or tape, to "
                                             "the tape mark")
        if entry.eave is None and entry.tape is None:
            report.add(read.element, "eave", "it is required and not given: the distance at the "
                                             "eave from where laying starts to the seam's centre "
                                             "(or tape, to the tape mark)")
        _check_number(case, read, entry, plane, report)
        run = (entry.id, entry.seam < 0)
        if run in given:
            report.add(read.element, "seam", f"{given[run]} says how far the same run is laid; "
                                             "keep the later one")
        given[run] = read.element.place
        if entry.ridge is not None and plane.outline is not None and entry.ridge not in (
            entry.eave, entry.tape
        ):
            report.add(read.element, "ridge", f"plane {plane.id} has an outline, and leaning seams "
                       "cannot be cut to an outline here: square the seam up, or give eave only")


def _check_number(
    case: Case, read: Read[PlaneEntry], entry: PlaneEntry, plane: Plane, report: Report
) -> None:
    if plane.width <= case.panel.cover:
        report.add(read.element, "seam", f"plane {plane.id} is a single panel and has no seam; "
                                         "leave it out")
        return
    if entry.seam < 0 and plane.lay != "from":
        report.add(read.element, "seam", f"seams of plane {plane.id} are counted from 1; only a "
                                         "plane laid both ways from a line has seams below 0")
    for number, _ in entry.odd or ():
        if number == 0 or (number < 0) != (entry.seam < 0) or abs(number) > abs(entry.seam):
            report.add(read.element, "odd", f"panel {number} is not laid yet at seam {entry.seam}; "
                                            "name odd panels laid so far only", str(number))
        elif number == 1 and plane.lay != "from":
            report.add(read.element, "odd", "panel 1 is the first panel, whose width is no odd "
                                            "panel's; name it in first", str(number))


def _check_seen(case: Case, seen: list[Read[SeenEntry]], report: Report) -> None:
    known = {pen.id: pen for pen in case.penetrations}
    planes = {plane.id: plane for plane in case.planes}
    given: dict[str, str] = {}
    for read in seen:
        entry = read.entry
        if entry is None:
            continue
        pen = known.get(entry.id)
        if pen is None:
            report.add(read.element, "id",
                       f"the case has no such penetration; {nearest(entry.id, known)}")
            continue
        if entry.id in given:
            report.add(read.element, "id", f"{given[entry.id]} has the same id; keep one")
        given[entry.id] = read.element.place
        plane = planes[pen.plane]
        for key, value, most in (("x", entry.x, plane.width), ("y", entry.y, plane.length)):
            if value is not None and not 0 <= value <= most:
                said = length_said(most, case.units)
                report.add(read.element, key, f"it stands off plane {plane.id}; write 0 to {said}")
        if pen.kind == "curb" and entry.status not in (None, "fixed"):
            report.add(read.element, "status", "a curb stays where it is; leave it out")
        if case.setting == "reroof" and entry.status not in (None, "fixed"):
            report.add(read.element, "status", "in a re-roof everything is fixed; leave it out")
