"""Penetrations from a spreadsheet: one a row, columns named as the keys of [[penetration]]."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any, Final

from solver.case_file.entries import CurbEntry, PipeEntry
from solver.case_file.load_file import decoded, read_bytes
from solver.case_file.load_report import Element, Report, csv_order, keys_of, nearest, shown
from solver.case_file.read_tables import Read, label_of
from solver.case_file.readings import AnyPenetration, Readings, read_penetration
from solver.errors import CaseError
from solver.units import Units

_COLUMNS: Final = tuple(dict.fromkeys(keys_of(PipeEntry) + keys_of(CurbEntry)))
_REQUIRED: Final = ("id", "plane", "kind", "x", "y")
_KEY: Final = "penetrations_csv"
_DELIMITERS: Final = ";\t,"


def add_penetrations(
    readings: Readings, units: Units | None, beside: Path | None, report: Report
) -> bytes:
    """Read the CSV that a case names, if any, into `readings`; returns its bytes.

    `beside` is the folder of the case, which the CSV may not leave.
    """
    top = readings.head.element
    name = top.table.get(_KEY)
    if not isinstance(name, str) or not name.strip():
        readings.complete = readings.complete and _KEY not in top.table
        return b""
    readings.complete = False
    path, want = _path(name, beside)
    if path is None:
        report.add(top, _KEY, want)
        return b""
    try:
        data = read_bytes(path, "", "CSV")
    except CaseError as error:
        report.add(top, _KEY, error.problems[0].want)
        return b""
    text = decoded(data)
    if text is None:
        report.add(top, _KEY, 'it is not UTF-8 text; in the spreadsheet save it as "CSV UTF-8"')
        return b""
    whole = Element(csv_order(0), "", name, {})
    rows, readings.complete = _read_rows(text, whole, units, report)
    readings.penetrations += rows
    return data


def _path(name: str, beside: Path | None) -> tuple[Path | None, str]:
    inside = "name a file in the folder of the case"
    windows = PureWindowsPath(name)
    if windows.drive or windows.root or PurePosixPath(name).is_absolute():
        return None, f"it is an absolute path; {inside}"
    if beside is None:
        return None, "this case is in no folder; write the penetrations into the case itself"
    try:
        folder = beside.resolve()
        path = (folder / name).resolve()
    except (OSError, ValueError, RuntimeError):  # a NUL, a loop of links
        return None, f"it is no usable path; {inside}"
    if ".." in windows.parts or not path.is_relative_to(folder):
        return None, f"it leaves the folder of the case; {inside}"
    return path, ""


def _read_rows(
    text: str, whole: Element, units: Units | None, report: Report
) -> tuple[list[Read[AnyPenetration]], bool]:
    """What every row says, and whether no row is missing."""
    delimiter = _delimiter(text)
    rows = _rows(text, delimiter, whole, report)
    header = next(rows, None)
    if header is None:
        report.add(whole, "", "it has no rows; the first row names the columns")
        return [], False
    columns, width = _header(header[1], whole, report)
    context: dict[str, Any] = {
        "units": units or "mm",
        "cells": True,
        "decimal_comma": delimiter != ",",
    }
    absent = {key for key in _REQUIRED if key not in columns}
    read: list[Read[AnyPenetration]] = []
    complete = "id" in columns
    for number, cells in rows:
        table = {key: cells[at] for key, at in columns.items() if at < len(cells) and cells[at]}
        row = Element(
            csv_order(number),
            "penetration",
            f"{whole.place} row {number}",
            table,
            label_of(table.get("id")),
            in_csv=True,
        )
        if len(cells) < width or any(cells[width:]):
            want = (
                f"the row has {len(cells)} cells where the header names {width} columns; give "
                "each row a cell for each column, empty where there is nothing to say"
            )
            report.add(row, "", want, "")
            complete = False
            continue
        read.append(Read(row, read_penetration(row, report, context, columns, absent)))
    for key in _COLUMNS:
        if key in absent:
            want = "it is required and there is no such column; add it to the header row"
            report.add(whole, f"column {key}", want)
    return read, complete


def _rows(
    text: str, delimiter: str, whole: Element, report: Report
) -> Iterator[tuple[int, list[str]]]:
    """Every row that says anything, with its number as a spreadsheet shows it."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = 0
    try:
        for number, row in enumerate(reader, start=1):
            cells = [cell.strip() for cell in row]
            if any(cells):
                yield number, cells
    except csv.Error:
        place = f"{whole.place} row {number + 1}"
        want = (
            "a quoted cell is not closed; put the whole cell in quotes and double each quote in "
            'it, as in "31\' 4 1/2"""'
        )
        report.add(Element(csv_order(number + 1), "", place, {}), "", want)


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    bare = re.sub(r'"[^"]*"', "", first)
    return max(_DELIMITERS, key=bare.count)  # the first of equals: a lone column has none


def _header(cells: list[str], whole: Element, report: Report) -> tuple[dict[str, int], int]:
    """Where each known column stands, and how many columns a row has."""
    columns: dict[str, int] = {}
    width = 0
    for at, written in enumerate(cells):
        name = written.lower()
        if not name:
            continue
        width = at + 1
        if name in columns:
            report.add(whole, f"column {written}", "it stands twice in the header row; keep one")
        elif name in _COLUMNS:
            columns[name] = at
        else:
            mend = nearest(name, list(_COLUMNS))
            report.add(whole, f"column {written}", f"there is no such column; {mend}")
    unnamed = [at for at in range(width) if not cells[at]]
    if unnamed:
        want = f"column {unnamed[0] + 1} has no name; name it or delete it"
        report.add(whole, "header row", want, shown(""))
    return columns, width
