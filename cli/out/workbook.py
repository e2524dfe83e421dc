"""A workbook (XLSX) of tables: numbers are numbers, texts are texts, the same bytes every time."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from cli.out.tables import Kind, Table, Value
from cli.report.lines import clean

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

LONGEST_NAME: Final = 31
"""Cells of a sheet's name, counted in UTF-16 as spreadsheets do."""
LONGEST_TEXT: Final = 32_767
_FORBIDDEN: Final = re.compile(r"[\[\]:*?/\\]")
_RISKY: Final = tuple("=+-@\t\r") + tuple("\uff1d\uff0b\uff0d\uff20")
_ESCAPE: Final = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_FORMATS: Final[dict[Kind, str]] = {
    "text": "@", "length": "General", "money": "#,##0.00", "hours": "#,##0.00##",
    "number": "General",
}
_NARROW, _WIDE = 7, 46
_LEGIBLE: Final = 180
"""So many characters are still read on the width of a page; a wider list takes several."""
_DATE: Final = (1980, 1, 1, 0, 0, 0)
"""The earliest a ZIP archive knows: a workbook says nothing of when it was written."""


def workbook_bytes(tables: Sequence[Table], *, title: str, footer: str) -> bytes:
    """The workbook: a sheet a table, headings frozen. `footer` is printed below every page."""
    from openpyxl import Workbook
    from openpyxl.writer.excel import ExcelWriter

    book = Workbook()
    book.remove(book.worksheets[0])
    for table, name in zip(tables, sheet_names([table.name for table in tables]), strict=True):
        _fill(book.create_sheet(name), table, footer)
    about: Any = book.properties
    about.creator = about.lastModifiedBy = "offseam"
    about.title = clean(title)
    about.created = about.modified = datetime(*_DATE[:3])
    raw = io.BytesIO()
    # Not through `save`, which enters the time of day.
    ExcelWriter(book, zipfile.ZipFile(raw, "w", zipfile.ZIP_DEFLATED)).save()
    return _timeless(raw)


def sheet_names(wanted: Sequence[str]) -> list[str]:
    """Names a spreadsheet takes: short enough, no forbidden signs, no two alike in any case."""
    names: list[str] = []
    taken = {"history"}  # a name spreadsheets keep for themselves
    for text in wanted:
        plain = _cut(_FORBIDDEN.sub("-", clean(text)), LONGEST_NAME).strip("' ") or "Sheet"
        name, number = plain, 1
        while name.casefold() in taken:
            number += 1
            end = f" {number}"
            name = _cut(plain, LONGEST_NAME - len(end)).rstrip("' ") + end
        taken.add(name.casefold())
        names.append(name)
    return names


def _cut(text: str, cells: int) -> str:
    return text.encode("utf-16-le")[: 2 * cells].decode("utf-16-le", "ignore")


def _fill(sheet: Worksheet, table: Table, footer: str) -> None:
    from openpyxl.styles import Alignment, Font, PatternFill
    from openpyxl.utils import get_column_letter

    bold, grey = Font(bold=True), PatternFill("solid", fgColor="FFE8E8E8")
    top, wrapped = Alignment(vertical="top"), Alignment(vertical="top", wrap_text=True)
    across = 0
    for place, column in enumerate(table.columns, 1):
        head = _put(sheet, 1, place, column.heading, "text")
        head.font, head.fill, head.alignment = bold, grey, wrapped
        values = [row[place - 1] for row in table.rows]
        longest = max((len(_shown(value)) for value in values), default=0)
        heading = max(map(len, column.heading.split(" ")))
        wide = min(max(longest, heading, _NARROW) + 2, _WIDE)
        sheet.column_dimensions[get_column_letter(place)].width = wide
        across += wide
        for row, value in enumerate(values, 2):
            if value is not None:
                cell = _put(sheet, row, place, value, column.kind)
                cell.alignment = wrapped if isinstance(value, str) else top
    sheet.freeze_panes = "A2"
    if table.rows:
        sheet.auto_filter.ref = sheet.dimensions
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    if across <= _LEGIBLE:
        sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
        properties: Any = sheet.sheet_properties
        properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.left.text = clean(footer).replace("&", "&&")[:200]
    sheet.oddFooter.right.text = "&A, page &P of &N"


def _put(sheet: Worksheet, row: int, column: int, value: Value, kind: Kind) -> Any:
    cell: Any = sheet.cell(row, column)
    if isinstance(value, str):
        text = clean(value)
        # _x0041_ in a workbook means the letter A (ECMA-376 part 1, 22.9.2.19 ST_Xstring, from
        # memory), so a text that looks like one is written with its underscore so escaped.
        cell.value = _cut(_ESCAPE.sub("_x005F_", text), LONGEST_TEXT)
        cell.data_type = "s"  # also where it looks like a formula or an error
        cell.number_format = "@"
        if value.lstrip().startswith(_RISKY) or value.startswith(_RISKY):
            cell.quotePrefix = True  # it stays a text when someone edits the cell
        return cell
    # As a text of its shortest digits: the library itself writes 16 of a float, 88.76000000000001.
    cell.value = f"{value:f}" if isinstance(value, Decimal) else repr(value)
    cell.data_type = "n"
    cell.number_format = _FORMATS[kind] if kind != "text" else "General"
    return cell


def _shown(value: Value) -> str:
    if isinstance(value, Decimal):
        return f"{value:,}"
    return "" if value is None else str(value)


def _timeless(raw: io.BytesIO) -> bytes:
    """The same archive with one date on all its parts."""
    made = io.BytesIO()
    with zipfile.ZipFile(raw) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            part = zipfile.ZipInfo(name, _DATE)
            part.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(part, old.read(name))
    return made.getvalue()
