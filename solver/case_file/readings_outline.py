"""Reading [[plane]]: the table itself, its keep-outs, its survey, the corners of outlines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from solver.case_file.entries_outline import (
    MOST_POINTS,
    HoleEntry,
    KeepoutEntry,
    PlaneEntry,
    PointEntry,
)
from solver.case_file.load_report import Element, Report, printable
from solver.case_file.read_tables import Context, Read, elements, validated
from solver.case_file.readings_field import ReadSurvey, read_survey

_INNER: Final = ("keepout", "outline", "hole", "survey")
_NEEDED: Final = {"width": "width along the eave", "length": "length up the slope"}


@dataclass(slots=True)
class ReadOutline:
    """The corners of a plane or a hole; `whole`: all of them could be read."""

    element: Element
    what: str
    points: list[Read[PointEntry]]
    whole: bool


@dataclass(slots=True)
class ReadShape:
    """What a plane says of its shape; `outline` is None where it gives none."""

    outline: ReadOutline | None
    holes: list[ReadOutline]


@dataclass(slots=True)
class ReadPlane:
    """A plane with all that stands inside its table."""

    table: Read[PlaneEntry]
    keepouts: list[Read[KeepoutEntry]]
    shape: ReadShape
    survey: ReadSurvey | None


def read_planes(top: Element, report: Report, context: Context) -> list[ReadPlane]:
    """Read every [[plane]] of the case."""
    return [_read_plane(element, report, context) for element in elements(
        top, "plane", "plane", report)]  # fmt: skip


def _read_plane(element: Element, report: Report, context: Context) -> ReadPlane:
    keepouts = [
        Read(inner, validated(inner, KeepoutEntry, report, context))
        for inner in _inner(element, "keepout", "keep-out", report)
    ]
    outline = None
    if "outline" in element.table:
        outline = _read_outline(element, "", report, context)
    holes = [
        _read_hole(inner, report, context) for inner in _inner(element, "hole", "hole", report)
    ]
    survey = read_survey(element, report, context)
    own = {key: value for key, value in element.table.items() if key not in _INNER}
    entry = validated(element, PlaneEntry, report, context, own, salvage=True)
    if entry is not None and keepouts:
        readable = tuple(read.entry for read in keepouts if read.entry is not None)
        entry = entry.model_copy(update={"keepout": readable})
    if entry is not None and survey is not None:
        entry = entry.model_copy(update={"survey": survey.table.entry})
    if outline is None:
        for key, said in _NEEDED.items():
            if key not in element.table:
                want = f"it is required and not given: {said}, a length, or an outline for both"
                report.add(element, key, want, "")
        if entry is not None and not (entry.width and entry.length):
            entry = None
    return ReadPlane(Read(element, entry), keepouts, ReadShape(outline, holes), survey)


def _inner(outer: Element, key: str, name: str, report: Report) -> Iterator[Element]:
    """The tables inside a plane's, named by `what` they say they are."""
    for inner in elements(outer, key, name, report):
        label = inner.table.get("what")
        inner.name = f"{outer.where}, {name}"
        inner.label = printable(label) if isinstance(label, str) else ""
        yield inner


def _read_hole(element: Element, report: Report, context: Context) -> ReadOutline:
    written = element.table.get("outline")
    # Its corners are read one by one below; here a stand-in for them.
    own = dict(element.table)
    own.pop("outline", None)
    corner = {"x": 0, "y": 0}
    if "outline" in element.table:
        own["outline"] = (corner, corner, corner)
    entry = validated(element, HoleEntry, report, context, own, salvage=True)
    what = entry.what if entry else "hole"
    if written is None:
        return ReadOutline(element, what, [], whole=False)
    return _read_outline(element, what, report, context)


def _read_outline(element: Element, what: str, report: Report, context: Context) -> ReadOutline:
    """Every corner by itself. One whose edge alone is misread still says where it is."""
    written = element.table["outline"]
    many = len(written) if isinstance(written, list | tuple) else 0
    if many > MOST_POINTS:
        want = f"it has {many:,} points; an outline has at most {MOST_POINTS}"
        report.add(element, "outline", want, "")
        return ReadOutline(element, what, [], whole=False)
    points = []
    for inner in elements(element, "outline", "point", report):
        inner.label = ""
        points.append(
            Read(inner, validated(inner, PointEntry, report, context, salvage=True))
        )
    readable = isinstance(written, list | tuple) and len(points) == many
    return ReadOutline(
        element, what, points, readable and all(read.entry is not None for read in points)
    )
