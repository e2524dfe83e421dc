"""From the rows of a schedule to [[penetration]] tables, every problem told by its row."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from solver.case_file.load_report import Element, Report, csv_order
from solver.case_file.read_tables import label_of
from solver.case_file.readings import read_penetration
from solver.errors import LengthError
from solver.intake.nominal import OUTSIDE_INCHES, nominal_of_outside, nominal_size
from solver.intake.pipe_text import outside_text
from solver.intake.schedule_columns import Columns
from solver.intake.schedule_read import Cell, Schedule
from solver.units import Units, parse_length

STATUSES: Final = {
    "fixed": ("fixed", "existing", "exist", "ex", "e", "inplace", "installed"),
    "stubbed": ("stubbed", "stub", "stubup", "stubbedup", "roughedin", "roughin", "rough"),
    "planned": ("planned", "new", "n", "proposed", "drawn", "design", "future", "notyetin"),
}
"""Words of schedules for each status, letters only."""
_KINDS: Final = {
    "pipe": ("pipe", "round"),
    "curb": ("curb", "kerb", "rectangular", "square"),
}
_EITHER: Final[tuple[Units, ...]] = ("in", "mm")
_LENGTHS: Final = ("x", "y", "outside", "base", "across", "along")
_TEXTS: Final = ("id", "use", "hold")
_BARE: Final = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[ -]\d+/\d+)?|\d+/\d+", re.ASCII)
_TIMES: Final = re.compile(r"(?<=[\d\"' a-z.])\s*[x×]\s*(?=[\d.])", re.IGNORECASE)


@dataclass(slots=True)
class Rows:
    """The tables in the order of the rows; `notes` are sentences on how they were read.

    `others` counts the rows of other planes by plane, which were left.
    """

    tables: list[dict[str, str]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    others: dict[str, int] = field(default_factory=dict)


def read_rows(
    schedule: Schedule, columns: Columns, plane: str | None, unit: str | None
) -> Rows:
    """Every row as a table, on `plane` unless a column says otherwise.

    Where both are given, rows of other planes are left. `unit` ("ft") is written beside every bare
    number whose column says none itself; None leaves that to the case the rows go to.

    Raises:
        CaseError: carries the problems of all rows.
    """
    report = Report(schedule.file)
    rows = Rows()
    reader = _Reader(schedule, columns, report, unit)
    seen: dict[str, int] = {}
    for number, cells in columns.rows:
        row = {column.role: cells[column.at] for column in columns.taken if column.at < len(cells)}
        if not any(cell.text or cell.fault for cell in row.values()):
            continue
        on = row.pop("plane", Cell("")).text.strip()
        if plane is not None and on and on.casefold() != plane.casefold():
            rows.others[on] = rows.others.get(on, 0) + 1
            continue
        table = reader.read(number, row, plane if plane is not None else on)
        name = table.get("id", "")
        if name and seen.setdefault(name, number) != number:
            reader.problem(number, name, "id", f"row {seen[name]} has the same id; each "
                                               "penetration has its own", name)
        rows.tables.append(table)
    report.close()
    rows.notes = [f"{says}: {_count(count)}" for says, count in reader.notes.items()]
    return rows


def _count(count: int) -> str:
    return "1 row" if count == 1 else f"{count:,} rows"


class _Reader:
    """Reads row by row; `notes` counts the rows by how they were read.

    `failed`: something is wrong with the row that is being read.
    """

    def __init__(
        self, schedule: Schedule, columns: Columns, report: Report, unit: str | None
    ) -> None:
        self.schedule, self.report, self.bare_unit = schedule, report, unit or ""
        self.unit = {column.role: column.unit for column in columns.taken}
        self.called = {column.role: column.called for column in columns.taken}
        self.notes: dict[str, int] = {}
        self.failed = False
        self.context: dict[str, Any] = {
            # What is left without a unit is read as millimetres: those refuse least.
            "units": "mm", "cells": True, "decimal_comma": schedule.decimal_comma,
        }

    def problem(self, number: int, name: str, key: str, want: str, got: str) -> None:
        """Note what is wrong with a row."""
        self.failed = True
        self.report.add(self._element(number, name, {key: got}), self._key(key), want, f'"{got}"')

    def read(self, number: int, row: Mapping[str, Cell], plane: str) -> dict[str, str]:
        """The table of a row; what is wrong with it goes to the report."""
        table: dict[str, str] = {}
        name = row["id"].text.strip() if "id" in row else ""
        for role in _TEXTS:
            if role in row and row[role].text.strip():
                table[role] = row[role].text.strip()
        if plane:
            table["plane"] = plane
        self.failed = False
        for role, cell in row.items():
            if cell.fault:
                self.problem(number, name, role, cell.fault, cell.text)
        kind = self._kind(row, table)
        table["kind"] = kind
        for role in _LENGTHS:
            if role in row and row[role].text.strip():
                table[role] = self._length(row[role].text.strip(), role)
        self._size(number, name, row, table)
        self._status(number, name, row, table)
        if not self.failed:  # else one fault would be told twice
            read_penetration(self._element(number, name, table), self.report, self.context)
        if self.schedule.decimal_comma:
            for role in _LENGTHS:
                if role in table:
                    table[role] = table[role].replace(",", ".")
        order = ("id", "plane", "kind", *_LENGTHS, "nominal", "use", "status", "hold")
        return {key: table[key] for key in order if key in table}

    def _kind(self, row: Mapping[str, Cell], table: dict[str, str]) -> str:
        said = row.get("kind", Cell("")).text.strip()
        plain = _letters(said)
        for kind, words in _KINDS.items():
            if plain in words:
                return kind
        size = row.get("size", Cell("")).text
        both = all(row.get(role, Cell("")).text.strip() for role in ("across", "along"))
        round_size = any(row.get(role, Cell("")).text.strip() for role in ("outside", "size"))
        kind = "curb" if _TIMES.search(size.strip()) or (both and not round_size) else "pipe"
        if said and kind == "pipe" and "use" not in table:
            table["use"] = said
        if kind == "curb":
            table.pop("use", None)
        return kind

    def _length(self, text: str, role: str) -> str:
        """A length with the unit that its column's name, or the command line, says."""
        unit = self.unit.get(role) or self.bare_unit
        return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text

    def _size(
        self, number: int, name: str, row: Mapping[str, Cell], table: dict[str, str]
    ) -> None:
        text = row.get("size", Cell("")).text.strip()
        if table["kind"] == "curb":
            parts = _TIMES.split(text) if text else []
            if len(parts) == 2 and "across" not in table and "along" not in table:
                table["across"], table["along"] = (
                    self._length(part.strip(), "size") for part in parts)
                self._note("a size such as 24x36 is taken as across the eave x up the slope")
            return
        for role in ("across", "along"):
            if table.pop(role, None) is not None:
                self._note(f"what column {self.called[role]} says of a pipe is left")
        if not text or "outside" in table:
            if text and (nominal := nominal_size(text)):
                table["nominal"] = nominal
            return
        metric = self.unit.get("size") in ("mm", "cm", "m")
        nominal = None if metric else nominal_size(text)
        if nominal is not None:
            table["nominal"] = nominal
            table["outside"] = f"{OUTSIDE_INCHES[nominal]} in"
            self._note("a nominal size counts with its outside diameter (ASTM D1785 / D2665)")
            return
        outside = self._outside(text)
        if outside is None:
            want = (f"it is no nominal size known here ({', '.join(OUTSIDE_INCHES)}) nor the "
                    "outside diameter of one; give outside diameters in a column of their own, "
                    "with --column outside=NAME")
            self.problem(number, name, "size", want, text)
            return
        table["outside"] = outside
        self._note("a size that is the outside diameter of a nominal one is taken as such")

    def _outside(self, text: str) -> str | None:
        """The text as an outside diameter, if it is that of a nominal size."""
        written = self._length(text, "size").replace(",", ".")
        for units in _EITHER:  # without a unit: no outside diameter in inches is one in millimetres
            try:
                nominal = nominal_of_outside(parse_length(written, units))
            except LengthError:
                return None
            if nominal is not None:
                return outside_text(nominal, "mm")
        return None

    def _status(
        self, number: int, name: str, row: Mapping[str, Cell], table: dict[str, str]
    ) -> None:
        text = row.get("status", Cell("")).text.strip()
        if not text:
            return
        plain = _letters(text)
        for status, words in STATUSES.items():
            if plain in words:
                table["status"] = status
                if plain != status:
                    self._note(f'status "{text}" is taken as {status}')
                return
        want = "write fixed (in place), stubbed (roughed in) or planned (only drawn)"
        self.problem(number, name, "status", want, text)

    def _note(self, says: str) -> None:
        self.notes[says] = self.notes.get(says, 0) + 1

    def _element(self, number: int, name: str, table: Mapping[str, Any]) -> Element:
        return Element(csv_order(number), "penetration", f"row {number}", table, label_of(name),
                       in_csv=True)

    def _key(self, role: str) -> str:
        called = self.called.get(role, role)
        return role if called.casefold() == role else f"{role} (column {called})"


def _letters(text: str) -> str:
    return "".join(char for char in text.casefold() if char.isalpha())
