"""Reading a penetration schedule: the rows of a CSV or of a workbook's sheet, as texts."""

from __future__ import annotations

import csv
import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from solver.case_file.load_file import decoded, read_bytes
from solver.case_file.load_report import nearest, printable
from solver.errors import CaseError, Problem

MOST_ROWS: Final = 20_000
MOST_COLUMNS: Final = 200
_MOST_UNPACKED: Final = 256 * 1024 * 1024
_LONGEST_CELL: Final = 2_000
_DELIMITERS: Final = ";\t,"
_LOOKED_AT: Final = 25
_OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0"
_ERRORS: Final = ("#REF!", "#N/A", "#VALUE!", "#NAME?", "#DIV/0!", "#NUM!", "#NULL!")


@dataclass(frozen=True, slots=True)
class Cell:
    """What a cell says; `fault` says why it cannot be used, empty where it can."""

    text: str
    fault: str = ""


Row = tuple[int, tuple[Cell, ...]]
"""A row with its number as a spreadsheet shows it."""


@dataclass(frozen=True, slots=True)
class Schedule:
    """The rows that say anything. `sheet` is a workbook's; `decimal_comma`: numbers have one."""

    file: str
    rows: tuple[Row, ...]
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    decimal_comma: bool = False


def read_schedule(path: Path, sheet: str | None = None) -> Schedule:
    """Read a schedule; `sheet` names one of a workbook's, the first that says anything if None.

    Raises:
        CaseError: no readable CSV or XLSX of bearable size, or no such sheet; one sentence.
    """
    file = printable(str(path), most=200)
    data = read_bytes(path, file, "schedule")
    if data.startswith(_OLD_WORKBOOK):
        raise _refused(file, "it is an old or a locked workbook; save it as .xlsx without a "
                             "password, or as CSV")
    if data.startswith(b"PK"):
        found = _workbook(data, file, sheet)
    elif path.suffix.lower() in (".xlsx", ".xlsm"):
        raise _refused(file, "it is no workbook; save it again as .xlsx, or as CSV")
    elif sheet is not None:
        raise _refused(file, f'--sheet "{printable(sheet)}": only a workbook has sheets; leave it '
                             "out")
    else:
        found = _csv(data, file)
    if not found.rows:
        raise _refused(file, "it has no rows; the first row names the columns")
    return found


def _csv(data: bytes, file: str) -> Schedule:
    text = decoded(data)
    if text is None and data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            text = data.decode("utf-16")
        except UnicodeDecodeError:
            text = None
    if text is None:
        raise _refused(file, 'it is not UTF-8 text; in the spreadsheet save it as "CSV UTF-8"')
    delimiter = _delimiter(text)
    rows = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            if any(cell.strip() for cell in cells):
                rows.append((number, tuple(_cell(cell) for cell in cells[:MOST_COLUMNS])))
            if len(rows) > MOST_ROWS:
                raise _too_long(file)
    except csv.Error:
        raise _refused(file, f"row {number + 1}: a quoted cell is not closed; put the whole cell "
                             'in quotes and double each quote in it, as in "31\' 4 1/2"""'
                       ) from None
    return Schedule(file, tuple(rows), decimal_comma=delimiter != ",")


def _delimiter(text: str) -> str:
    """What parts the cells: most of it in one of the first lines, a title in the first one or not.

    Neither what stands in quotes counts nor a comma between digits, which can be a decimal one.
    """
    bare = [re.sub(r'"[^"]*"|\d,(?=\d)', "", line) for line in text.splitlines()[:_LOOKED_AT]]
    return max(_DELIMITERS, key=lambda sign: max((line.count(sign) for line in bare), default=0))


def _workbook(data: bytes, file: str, wanted: str | None) -> Schedule:
    broken = "it is broken and cannot be read as a workbook; save it again as .xlsx, or as CSV"
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(part.file_size for part in packed.infolist()) > _MOST_UNPACKED:
                raise _refused(file, "unpacked it is larger than 256 MB, which no schedule is")
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            from openpyxl import load_workbook

            book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            names = tuple(sheet.title for sheet in book.worksheets)
            if wanted is not None and wanted not in names:
                raise _refused(file, f'--sheet "{printable(wanted)}": there is no such sheet; '
                                     f"{nearest(wanted, names)}")
            for sheet in book.worksheets:
                if wanted in (None, sheet.title) and (rows := tuple(_rows(sheet, file))):
                    return Schedule(file, rows, sheet.title, names)
    except CaseError:
        raise
    except MemoryError:
        raise _refused(file, "it is too large to be read; save the schedule alone") from None
    except Exception:  # the library trips over a broken workbook in many ways
        raise _refused(file, broken) from None
    return Schedule(file, ())


def _rows(sheet: Any, file: str) -> Iterator[Row]:
    sheet.reset_dimensions()  # what a workbook says of its own size is often wrong
    said = 0
    for number, values in enumerate(sheet.iter_rows(max_col=MOST_COLUMNS, values_only=True), 1):
        cells = tuple(_cell(value) for value in values)
        if any(cell.text or cell.fault for cell in cells):
            said += 1
            yield number, cells
        if said > MOST_ROWS or number > 50 * MOST_ROWS:
            raise _too_long(file)


def _cell(value: object) -> Cell:
    """A cell of either kind of file; a number is told as short as it reads back."""
    if value is None:
        return Cell("")
    if isinstance(value, bool):
        return Cell("true" if value else "false")
    if isinstance(value, datetime | date | time | timedelta):
        return Cell(str(value), "the spreadsheet made a date or time of it; set the column to text "
                                "and write it again")
    if isinstance(value, int):
        return Cell(str(value) if abs(value) < 10**15 else f"{float(value):g}")
    if isinstance(value, float):
        return Cell(_number(value))
    text = " ".join(str(value)[:_LONGEST_CELL].split())
    return Cell(text, "the cell has an error; mend its formula" if text in _ERRORS else "")


def _number(value: float) -> str:
    # A sheet keeps 12.3 as 12.299999999999999 once it was computed: 15 digits are what it shows.
    number = Decimal(f"{value:.15g}")
    if not number.is_finite() or abs(number) >= 10**15:
        return str(number)
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _too_long(file: str) -> CaseError:
    return _refused(file, f"it has more than {MOST_ROWS:,} rows, which no schedule has")


def _refused(file: str, want: str) -> CaseError:
    return CaseError([Problem(file, "", "", "", want)])
