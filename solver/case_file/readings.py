"""Reading a document table by table, each on its own, so that one bad entry hides no other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from dataclasses import field as filled
from functools import partial
from typing import Any, Final

from pydantic import ValidationError

from solver.case_file.entries import (
    CaseEntry,
    CurbEntry,
    HeadEntry,
    LinkEntry,
    PenetrationEntry,
    PipeEntry,
)
from solver.case_file.entries_field import FieldEntry, MovementEntry
from solver.case_file.entries_limits import MovesEntry, PanelEntry, RulesEntry
from solver.case_file.entries_outline import CentreEntry, KeepoutEntry, PlaneEntry
from solver.case_file.entries_rates import RatesEntry
from solver.case_file.entries_sheet import PricesEntry, SheetEntry
from solver.case_file.entries_sheets import FittingsEntry, FreezeEntry, GridlineEntry, JoinEntry
from solver.case_file.load_report import Element, Report, keys_of, nearest, shown
from solver.case_file.read_tables import (
    Context,
    Read,
    elements,
    note_twice,
    read_each,
    read_table,
    without_bad_keys,
)
from solver.case_file.readings_field import ReadSurvey
from solver.case_file.readings_outline import ReadShape, read_planes
from solver.case_file.readings_sheets import read_fittings, read_freeze
from solver.case_file.resolve_outline import Shape
from solver.units import Units

AnyPenetration = PipeEntry | CurbEntry
PIPE_KEYS: Final = ("outside", "base", "turned", "nominal", "use", "headroom")
CURB_KEYS: Final = ("across", "along", "detail", "must_land")
_SHAPES: Final[dict[str, tuple[type[AnyPenetration], dict[str, str]]]] = {
    "pipe": (
        PipeEntry,
        {
            **dict.fromkeys(
                ("across", "along"),
                "a pipe has no such key; give its outside diameter and its base",
            ),
            **dict.fromkeys(
                ("detail", "must_land"),
                "a pipe has no such key; only curbs are flanged, ribbed or close",
            ),
        },
    ),
    "curb": (
        CurbEntry,
        dict.fromkeys(PIPE_KEYS, "a curb has no such key; give its size in across and along"),
    ),
}


@dataclass(slots=True)
class Readings:
    """Everything of a case that could be read, each thing beside where it stands.

    `drawn` says of each of the planes what it writes of its shape, `surveys` what was taped of it
    (None where nothing was), `shapes` by plane id what its shape comes to where there is nothing
    wrong with it. `complete`: no penetration is missing because its CSV, or its row there, could
    not be read.
    """

    head: Read[HeadEntry]
    panel: Read[PanelEntry]
    rules: Read[RulesEntry]
    moves: Read[MovesEntry]
    rates: Read[RatesEntry]
    planes: list[Read[PlaneEntry]]
    drawn: list[ReadShape]
    surveys: list[ReadSurvey | None]
    keepouts: list[Read[KeepoutEntry]]
    links: list[Read[LinkEntry]]
    centres: list[Read[CentreEntry]]
    sheet: Read[SheetEntry]
    prices: Read[PricesEntry]
    gridlines: list[Read[GridlineEntry]]
    fittings: dict[str, Read[FittingsEntry]]
    joins: list[Read[JoinEntry]]
    freeze: Read[FreezeEntry]
    field: Read[FieldEntry]
    movement: Read[MovementEntry]
    penetrations: list[Read[AnyPenetration]] = filled(default_factory=list)
    shapes: dict[str, Shape] = filled(default_factory=dict)
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
    planes = read_planes(top, report, context)
    readings = Readings(
        head=_read_head(top, report, context),
        panel=read_table(top, "panel", PanelEntry, report, context),
        rules=read_table(top, "rules", RulesEntry, report, context),
        moves=read_table(top, "moves", MovesEntry, report, context),
        rates=read_table(top, "rates", RatesEntry, report, context),
        planes=[plane.table for plane in planes],
        drawn=[plane.shape for plane in planes],
        surveys=[plane.survey for plane in planes],
        keepouts=[keepout for plane in planes for keepout in plane.keepouts],
        links=read_each(top, "link", LinkEntry, report, context),
        centres=read_each(top, "centre", CentreEntry, report, context),
        sheet=read_table(top, "sheet", SheetEntry, report, context),
        prices=read_table(top, "prices", PricesEntry, report, context),
        gridlines=read_each(top, "gridline", GridlineEntry, report, context),
        fittings=read_fittings(top, report, context),
        joins=read_each(top, "join", JoinEntry, report, context),
        freeze=read_freeze(top, report, context),
        field=read_table(top, "field", FieldEntry, report, context),
        movement=read_table(top, "movement", MovementEntry, report, context),
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

