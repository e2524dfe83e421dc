"""The lists of a layout as tables for a workbook: plain values, each number beside its words.

What stands in them comes from the spreadsheets' own rows, so that both say the same; here texts
stay as they are written, as a workbook knows texts from formulas.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal

from cli.field_csv import HEADINGS as FIELD_HEADINGS
from cli.field_csv import field_rows
from cli.panels_csv import HEADINGS as PANEL_HEADINGS
from cli.panels_csv import across_cells, mark_cells
from cli.report.panels_words import PanelWords
from cli.report.stub_words import StubWords
from cli.report.takeoff_csv import HEAD as TAKEOFF_HEADINGS
from cli.report.takeoff_csv import takeoff_rows
from cli.sheets_csv import COLUMNS as STUB_COLUMNS
from cli.sheets_csv import StubEntry
from solver.field.parts import FieldSheets, PlaneField
from solver.panels.parts import PanelList
from solver.result import Finding
from solver.stubs.list import StubList
from solver.takeoff.lines import TakeOff
from solver.units import TICKS_PER_INCH, Units, format_length, parse_length

Value = str | int | float | Decimal | None
Kind = Literal["text", "length", "money", "hours", "number"]
UNIT: Final = " (UNIT)"
IN_WORDS: Final = " (ft-in)"
_LAST: Final = ("proof", "revision", "date", "layout")
"""The same in every row, so they stand where they are in nobody's way."""
_SEVERAL: Final = ("lengths (UNIT)", "laps from lower end (UNIT)")
"""Several lengths in one cell: a text."""
_MONEY: Final = ("material each", "material", "trade rate", "price each", "amount", "amount usual",
                 "amount difference")
_HOURS: Final = ("hours each", "hours")
FINDING_HEADINGS: Final = ("severity", "code", "about", "says")


@dataclass(frozen=True, slots=True)
class Column:
    """A heading, with its unit, and what kind of value stands below it."""

    heading: str
    kind: Kind


@dataclass(frozen=True, slots=True)
class Table:
    """A list: its name, its columns, and rows of a value for each of them."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]


def stubs_table(found: StubList) -> Table:
    """The stub-up list, a row a pipe."""
    rows = []
    for sheet in found.sheets:
        words = StubWords(found.case, sheet)
        for number, row in enumerate(sheet.rows, 1):
            entry = StubEntry(found, words, number, row)
            values: dict[str, Value] = {head: cell(entry) for head, cell in STUB_COLUMNS}
            rows.append(values | {"plane": row.pen.plane, "tag": row.pen.id})
    return _table("Stub-ups", [head for head, _ in STUB_COLUMNS], rows, found.case.units)


def panels_table(found: PanelList) -> Table:
    """The panel list, a row a mark."""
    case, rows = found.case, []
    words = PanelWords(case)
    for plane in found.planes:
        head: list[Value] = [case.revision, case.date, found.rank, plane.plane.id]
        for name, cells in (
            *((mark.name, mark_cells(words, mark)) for mark in plane.marks),
            *((one.name, across_cells(words, one)) for one in plane.across),
        ):
            rows.append(dict(zip(PANEL_HEADINGS, [*head, name, *cells[1:]], strict=True)))
    return _table("Panels", PANEL_HEADINGS, rows, case.units)


def takeoff_table(found: TakeOff) -> Table:
    """The take-off, a row a line; then prices to add or deduct, and the clarifications."""
    case = found.case
    head: dict[str, Value] = {
        "revision": case.revision, "date": case.date, "layout": found.rank,
    }
    rows: list[dict[str, Value]] = [{**head, **row} for row in takeoff_rows(found)]
    for row, line in zip(rows, found.lines, strict=False):  # behind them: prices and notes
        row["more"] = line.item.more
    return _table("Take-off", TAKEOFF_HEADINGS, rows, case.units)


def field_table(found: FieldSheets, sheet: PlaneField, proven: bool) -> Table:
    """The field sheet of one plane, a row a seam."""
    case = found.case
    proof = "proven" if proven else "not proven"
    head: list[Value] = [case.revision, case.date, found.rank, proof, sheet.plane.id]
    rows = [
        dict(zip(FIELD_HEADINGS, [*head, *cells], strict=True))
        for cells in field_rows(found, sheet)
    ]
    return _table(f"Field {sheet.plane.id}", FIELD_HEADINGS, rows, case.units)


def findings_table(findings: Sequence[Finding], units: Units) -> Table:
    """What the reader must know, errors first."""
    return _table("Findings", FINDING_HEADINGS, finding_rows(findings), units)


def finding_rows(findings: Sequence[Finding]) -> list[dict[str, Value]]:
    """A row a finding, errors first, else in the order of the result."""
    weight = ("error", "warning", "note")
    return [
        {"severity": one.severity, "code": one.code, "about": ", ".join(one.about),
         "says": one.says}
        for one in sorted(findings, key=lambda one: weight.index(one.severity))
    ]


def _table(
    name: str, headings: Sequence[str], rows: Sequence[dict[str, Value]], units: Units
) -> Table:
    """Each number of a length goes before its words; in inches one without words gets them."""
    columns: list[Column] = []
    cells: list[list[Value]] = [[] for _ in rows]

    def put(heading: str, kind: Kind, values: list[Value]) -> None:
        columns.append(Column(heading, kind))
        for row, value in zip(cells, values, strict=True):
            row.append(None if value == "" else value)

    for heading in [head for head in headings if head not in _LAST] + [
        head for head in _LAST if head in headings
    ]:
        values = [row.get(heading) for row in rows]
        if f"{heading}{UNIT}" in headings:  # it stands beside its number
            number = f"{heading}{UNIT}"
            if number in _SEVERAL:
                put(heading, "text", values)
                continue
            put(number.replace("UNIT", units), "length", [row.get(number) for row in rows])
            put(heading, "text", values)
        elif not heading.endswith(UNIT) or heading in _SEVERAL:
            put(heading.replace("UNIT", units), _kind(heading), values)
        elif heading.removesuffix(UNIT) not in headings:
            put(heading.replace("UNIT", units), "length", values)
            if units == "in":
                put(heading.replace(UNIT, IN_WORDS), "text", [in_words(one) for one in values])
    return Table(name, tuple(columns), tuple(tuple(row) for row in cells))


def _kind(heading: str) -> Kind:
    if heading in _MONEY:
        return "money"
    if heading in _HOURS:
        return "hours"
    if heading.endswith(("(degrees)", "rate")) or heading.startswith("quantity"):
        return "number"
    return "number" if heading in ("no", "count", "layout", "difference", "seam") else "text"


def in_words(inches: Value) -> str | None:
    """A number of inches as a tape shows it, to 1/64 in: `2' 3 1/2"`."""
    if inches is None or isinstance(inches, str):
        return None
    ticks = parse_length(inches, "in")
    return format_length(2 * ticks, "in", TICKS_PER_INCH // 64, feet=True)
