"""Reading a document table by table, each on its own, so that one bad entry hides no other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Final, Generic, TypeVar

from pydantic import ValidationError

from solver.entries import (
    CaseEntry,
    CurbEntry,
    HeadEntry,
    KeepoutEntry,
    LinkEntry,
    PenetrationEntry,
    PipeEntry,
    PlaneEntry,
)
from solver.entries_limits import Entry, MovesEntry, PanelEntry, RatesEntry, RulesEntry
from solver.load_file import Twice
from solver.load_report import (
    Element,
    Report,
    keys_of,
    nearest,
    ordinal,
    printable,
    shown,
    table_wanted,
)
from solver.units import Units

E = TypeVar("E", bound=Entry)
AnyPenetration = PipeEntry | CurbEntry
PIPE_KEYS: Final = ("outside", "base", "turned")
CURB_KEYS: Final = ("across", "along")
_SHAPES: Final[dict[str, tuple[type[AnyPenetration], dict[str, str]]]] = {
    "pipe": (
        PipeEntry,
        dict.fromkeys(CURB_KEYS, "a pipe has no such key; give its outside diameter and its base"),
    ),
    "curb": (
        CurbEntry,
        dict.fromkeys(PIPE_KEYS, "a curb has no such key; give its size in across and along"),
    ),
}


@dataclass(slots=True)
class Read(Generic[E]):
    """One table and what was read from it: None where it has problems of its own."""

    element: Element
    entry: E | None


@dataclass(slots=True)
class Readings:
    """Everything of a case that could be read, each thing beside where it stands."""

    head: Read[HeadEntry]
    panel: Read[PanelEntry]
    rules: Read[RulesEntry]
    moves: Read[MovesEntry]
    rates: Read[RatesEntry]
    planes: list[Read[PlaneEntry]]
    keepouts: list[Read[KeepoutEntry]]
    links: list[Read[LinkEntry]]
    penetrations: list[Read[AnyPenetration]] = field(default_factory=list)


def read_document(document: Mapping[str, Any], report: Report) -> tuple[Readings, Units | None]:
    """Read every table of a document. The units are None where the case does not say them."""
    top = Element((), "", "", document)
    written = document.get("units")
    units: Units | None = written if written in ("in", "mm") else None
    # Without units lengths are still read, as millimetres: those refuse least.
    context = {"units": units or "mm"}
    _note_twice(top, report)
    for key in document:
        if key not in CaseEntry.model_fields:
            want = partial(_unknown_key, str(key), keys_of(CaseEntry))
            report.add(top, str(key), want, shown(document[key]))
    keepouts: list[Read[KeepoutEntry]] = []
    readings = Readings(
        head=_read_head(top, report, context),
        panel=_read_table(top, "panel", PanelEntry, report, context),
        rules=_read_table(top, "rules", RulesEntry, report, context),
        moves=_read_table(top, "moves", MovesEntry, report, context),
        rates=_read_table(top, "rates", RatesEntry, report, context),
        planes=[
            _read_plane(element, keepouts, report, context)
            for element in _elements(top, "plane", "plane", report)
        ],
        keepouts=keepouts,
        links=[
            Read(element, _validated(element, LinkEntry, report, context))
            for element in _elements(top, "link", "link", report)
        ],
        penetrations=[
            Read(element, read_penetration(element, report, context))
            for element in _elements(top, "penetration", "penetration", report)
        ],
    )
    return readings, units


def read_penetration(
    element: Element,
    report: Report,
    context: dict[str, Any],
    columns: Mapping[str, object] | None = None,
    absent: set[str] | None = None,
) -> AnyPenetration | None:
    """Read one pipe or curb. Keys missing because a CSV has no such column go to `absent`."""
    table = element.table
    kind = table.get("kind")
    shape = _SHAPES.get(kind) if isinstance(kind, str) else None
    if shape is not None:
        model, foreign = shape
        try:
            return model.model_validate(table, context=context)
        except ValidationError as error:
            report.add_invalid(element, error, model, foreign, columns, absent)
            return None
    # Neither pipe nor curb: read what both have, so that only the kind is told.
    common = {key: value for key, value in table.items() if key not in PIPE_KEYS + CURB_KEYS}
    try:
        PenetrationEntry.model_validate(common, context=context)
    except ValidationError as error:
        report.add_invalid(element, error, PenetrationEntry, {}, columns, absent)
    return None


def _unknown_key(key: str, known: list[str]) -> str:
    return f"there is no such key; {nearest(key, known)}"


def _read_head(top: Element, report: Report, context: dict[str, Any]) -> Read[HeadEntry]:
    table = {key: value for key, value in top.table.items() if key in HeadEntry.model_fields}
    try:
        return Read(top, HeadEntry.model_validate(table, context=context))
    except ValidationError as error:
        report.add_invalid(top, error, HeadEntry)
        bad = {str(found["loc"][0]) for found in error.errors(include_url=False)}
    if not bad <= {"title", "penetrations_csv"}:
        return Read(top, None)
    # Neither says anything about lengths: the rest still serves the cross-checks.
    rest = {"title": "?"} | {key: value for key, value in table.items() if key not in bad}
    return Read(top, HeadEntry.model_validate(rest, context=context))


def _read_table(
    top: Element, key: str, model: type[E], report: Report, context: dict[str, Any]
) -> Read[E]:
    table = top.table.get(key, {})
    order = (list(top.table).index(key) if key in top.table else -1,)
    if not isinstance(table, dict):
        report.add(top, key, table_wanted(key))
        return Read(Element(order, key, key, {}), None)
    element = Element(order, key, key, table)
    _note_twice(element, report)
    return Read(element, _validated(element, model, report, context))


def _read_plane(
    element: Element,
    keepouts: list[Read[KeepoutEntry]],
    report: Report,
    context: dict[str, Any],
) -> Read[PlaneEntry]:
    mine = []
    for inner in _elements(element, "keepout", "keep-out", report):
        label = inner.table.get("what")
        inner.name = f"{element.where}, keep-out"
        inner.place = f"{inner.place} of {element.where}"
        inner.label = printable(label) if isinstance(label, str) else ""
        mine.append(Read(inner, _validated(inner, KeepoutEntry, report, context)))
    keepouts += mine
    own = {key: value for key, value in element.table.items() if key != "keepout"}
    entry = _validated(element, PlaneEntry, report, context, own)
    if entry is not None and mine:
        readable = tuple(read.entry for read in mine if read.entry is not None)
        entry = entry.model_copy(update={"keepout": readable})
    return Read(element, entry)


def _validated(
    element: Element,
    model: type[E],
    report: Report,
    context: dict[str, Any],
    table: Mapping[str, Any] | None = None,
) -> E | None:
    try:
        return model.model_validate(
            dict(element.table if table is None else table), context=context
        )
    except ValidationError as error:
        report.add_invalid(element, error, model)
        return None


def _elements(outer: Element, key: str, name: str, report: Report) -> Iterator[Element]:
    listed = outer.table.get(key, [])
    if not isinstance(listed, list | tuple):
        report.add(outer, key, table_wanted(key))
        return
    base = (*outer.order, list(outer.table).index(key)) if key in outer.table else ()
    for number, table in enumerate(listed, start=1):
        place = f"the {ordinal(number)} {name}"
        if not isinstance(table, dict):
            element = Element((*base, number), name, place, {"": table})
            report.add(element, "", table_wanted(key))
            continue
        element = Element((*base, number), name, place, table, _label(table, key))
        _note_twice(element, report)
        yield element


def _label(table: Mapping[str, Any], key: str) -> str:
    if key == "link":
        planes = table.get("planes")
        if isinstance(planes, list | tuple) and all(isinstance(plane, str) for plane in planes):
            return printable("\u2013".join(planes))
        return ""
    return label_of(table.get("id"))


def label_of(written: object) -> str:
    """An id as reports speak of it, or nothing where it cannot serve."""
    return printable(written) if isinstance(written, str) and written.strip() else ""


def _note_twice(element: Element, report: Report) -> None:
    want = "this key is written twice; keep one"
    table = element.table
    for key in table.keys_twice if isinstance(table, Twice) else ():
        report.add(element, key, want, "")
    if not element.name:
        return  # the tables of a whole case are elements of their own
    for name, inner in table.items():  # the rates are tables inside a table
        for key in inner.keys_twice if isinstance(inner, Twice) else ():
            report.add(element, f"{name}.{key}", want, "")
