"""Reading a document table by table, each on its own, so that one bad entry hides no other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Final

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
from solver.entries_limits import MovesEntry, PanelEntry, RatesEntry, RulesEntry
from solver.entries_sheets import FittingsEntry, FreezeEntry, GridlineEntry, JoinEntry
from solver.load_report import Element, Report, keys_of, nearest, printable, shown
from solver.read_tables import (
    Context,
    Read,
    elements,
    note_twice,
    read_each,
    read_table,
    validated,
    without_bad_keys,
)
from solver.readings_sheets import read_fittings, read_freeze
from solver.units import Units

AnyPenetration = PipeEntry | CurbEntry
PIPE_KEYS: Final = ("outside", "base", "turned", "nominal", "use", "headroom")
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
class Readings:
    """Everything of a case that could be read, each thing beside where it stands.

    `complete`: no penetration is missing because its CSV, or its row there, could not be read.
    """

    head: Read[HeadEntry]
    panel: Read[PanelEntry]
    rules: Read[RulesEntry]
    moves: Read[MovesEntry]
    rates: Read[RatesEntry]
    planes: list[Read[PlaneEntry]]
    keepouts: list[Read[KeepoutEntry]]
    links: list[Read[LinkEntry]]
    gridlines: list[Read[GridlineEntry]]
    fittings: dict[str, Read[FittingsEntry]]
    joins: list[Read[JoinEntry]]
    freeze: Read[FreezeEntry]
    penetrations: list[Read[AnyPenetration]] = field(default_factory=list)
    complete: bool = True


def read_document(document: Mapping[str, Any], report: Report) -> tuple[Readings, Units | None]:
    """Read every table of a document. The units are None where the case does not say them."""
    top = Element((), "", "", document)
    written = document.get("units")
    units: Units | None = written if written in ("in", "mm") else None
    # Without units lengths are still read, as millimetres: those refuse least.
    context: Context = {"units": units or "mm"}
    note_twice(top, report)
    for key in document:
        if key not in CaseEntry.model_fields:
            want = partial(_unknown_key, str(key), keys_of(CaseEntry))
            report.add(top, str(key), want, shown(document[key]))
    keepouts: list[Read[KeepoutEntry]] = []
    readings = Readings(
        head=_read_head(top, report, context),
        panel=read_table(top, "panel", PanelEntry, report, context),
        rules=read_table(top, "rules", RulesEntry, report, context),
        moves=read_table(top, "moves", MovesEntry, report, context),
        rates=read_table(top, "rates", RatesEntry, report, context),
        planes=[
            _read_plane(element, keepouts, report, context)
            for element in elements(top, "plane", "plane", report)
        ],
        keepouts=keepouts,
        links=read_each(top, "link", LinkEntry, report, context),
        gridlines=read_each(top, "gridline", GridlineEntry, report, context),
        fittings=read_fittings(top, report, context),
        joins=read_each(top, "join", JoinEntry, report, context),
        freeze=read_freeze(top, report, context),
        penetrations=[
            Read(element, read_penetration(element, report, context))
            for element in elements(top, "penetration", "penetration", report)
        ],
    )
    return readings, units


def read_penetration(
    element: Element,
    report: Report,
    context: Context,
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
            return None if element.in_csv else without_bad_keys(model, table, error, context)
    # Neither pipe nor curb: read what both have, so that only the kind is told.
    common = {key: value for key, value in table.items() if key not in PIPE_KEYS + CURB_KEYS}
    try:
        PenetrationEntry.model_validate(common, context=context)
    except ValidationError as error:
        report.add_invalid(element, error, PenetrationEntry, {}, columns, absent)
    return None


def _unknown_key(key: str, known: list[str]) -> str:
    return f"there is no such key; {nearest(key, known)}"


def _read_head(top: Element, report: Report, context: Context) -> Read[HeadEntry]:
    table = {key: value for key, value in top.table.items() if key in HeadEntry.model_fields}
    try:
        return Read(top, HeadEntry.model_validate(table, context=context))
    except ValidationError as error:
        report.add_invalid(top, error, HeadEntry)
        bad = {str(found["loc"][0]) for found in error.errors(include_url=False)}
    if not bad <= {"title", "penetrations_csv", "revision", "date"}:
        return Read(top, None)
    # None of them says anything about lengths: the rest still serves the cross-checks.
    rest = {"title": "?"} | {key: value for key, value in table.items() if key not in bad}
    return Read(top, HeadEntry.model_validate(rest, context=context))


def _read_plane(
    element: Element,
    keepouts: list[Read[KeepoutEntry]],
    report: Report,
    context: Context,
) -> Read[PlaneEntry]:
    mine = []
    for inner in elements(element, "keepout", "keep-out", report):
        label = inner.table.get("what")
        inner.name = f"{element.where}, keep-out"
        inner.place = f"{inner.place} of {element.where}"
        inner.label = printable(label) if isinstance(label, str) else ""
        mine.append(Read(inner, validated(inner, KeepoutEntry, report, context)))
    keepouts += mine
    own = {key: value for key, value in element.table.items() if key != "keepout"}
    entry = validated(element, PlaneEntry, report, context, own, salvage=True)
    if entry is not None and mine:
        readable = tuple(read.entry for read in mine if read.entry is not None)
        entry = entry.model_copy(update={"keepout": readable})
    return Read(element, entry)
