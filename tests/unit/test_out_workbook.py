"""The workbook: what is a number and what a text, names of sheets, the same bytes every time."""

from __future__ import annotations

import shutil
import subprocess
import zipfile
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest

from cli.out.tables import Column, Table, findings_table, in_words
from cli.out.workbook import LONGEST_NAME, sheet_names, workbook_bytes
from solver.result import Finding
from tests.unit.workbook_reading import read

FORMULAS = ("=cmd()", "+1+1", "-2", "@SUM(A1)", "\t=1", " =1+1", "=HYPERLINK(\"http://x\")",
            "\uff1d1+1", "#N/A", "#REF!", "TRUE", "007", "1E5", "2-3")


def book(*values: object, kind: str = "text", name: str = "List") -> bytes:
    table = Table(name, (Column("what", kind),),  # type: ignore[arg-type]
                  tuple((value,) for value in values))  # type: ignore[misc]
    return workbook_bytes([table], title="A roof", footer="A & B")


def test_a_text_stays_a_text_whatever_it_looks_like() -> None:
    sheet = read(book(*FORMULAS))["List"]
    assert len(sheet.rows) == len(FORMULAS)
    for row, text in zip(sheet.rows, FORMULAS, strict=True):
        cell = row["what"]
        assert cell.value == text.replace("\t", "\\t")
        assert not cell.formula and cell.number_format == "@"
        assert cell.quoted == (text.strip()[0] in "=+-@\uff1d")


def test_what_looks_like_an_escape_of_the_format_stays_what_it_is() -> None:
    # ECMA-376 part 1, 22.9.2.19 ST_Xstring (from memory): _x0041_ is read as A.
    for text in ("_x0041_", "a_x000D_b", "_x005F_", "_x00_"):
        assert read(book(text))["List"].rows[0]["what"].value == text


def test_texts_that_no_xml_can_hold_are_shown_escaped() -> None:
    rows = read(book("a\0b", "\ud800", "x\ny", "\u202e"))["List"].rows
    assert [row["what"].value for row in rows] == ["a\\x00b", "\\ud800", "x\\ny", "\\u202e"]
    assert len(str(read(book("ab" * 40_000))["List"].rows[0]["what"].value)) == 32_767


def test_numbers_are_numbers_with_their_format() -> None:
    for value, kind, shown in (
        (13.4375, "length", "General"), (Decimal("52520.16"), "money", "#,##0.00"),
        (Decimal("0.125"), "hours", "#,##0.00##"), (7, "number", "General"),
        (-153, "length", "General"), (88.76, "length", "General"),
        (1.8999753937007875, "length", "General"),
    ):
        cell = read(book(value, kind=kind))["List"].rows[0]["what"]
        assert (cell.value, cell.number_format) == (Decimal(str(value)), shown)


def test_headers_are_frozen_and_columns_as_wide_as_what_they_hold() -> None:
    table = Table("List", (Column("no", "number"), Column("says", "text")),
                  ((1, "x" * 20), (2, "y" * 300)))
    sheet = read(workbook_bytes([table], title="", footer=""))["List"]
    assert sheet.headings == ["no", "says"] and sheet.frozen == "A2"
    narrow, wide = sheet.widths
    assert 6 <= narrow < 12 < wide <= 60


def test_sheet_names_are_what_a_spreadsheet_takes() -> None:
    # Spreadsheets take 1 to 31 cells, none of [ ] : * ? / \\, no apostrophe at an end, no two alike
    # in any case, and keep "History" for themselves (common knowledge, from memory).
    wanted = ["Field [a]:*?/\\", "x" * 80, "X" * 90, "'", "", "History", "\U0001f6bf" * 40,
              "'=cmd()'", "Field S", "field s", "a\nb", "\u202eabc"]
    names = sheet_names(wanted)
    assert len({name.casefold() for name in names}) == len(wanted)
    for name in names:
        assert 1 <= len(name.encode("utf-16-le")) // 2 <= LONGEST_NAME
        assert not set(name) & set("[]:*?/\\\n") and name.isprintable()
        assert name[0] != "'" != name[-1] and name.casefold() != "history"
    assert list(read(workbook_bytes(
        [Table(name, (Column("a", "text"),), (("b",),)) for name in wanted], title="", footer="",
    ))) == names


def test_the_bytes_hold_no_time_and_are_the_same_twice() -> None:
    assert book("a") == book("a")
    with zipfile.ZipFile(BytesIO(book("a"))) as archive:
        assert {one.date_time for one in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        core = archive.read("docProps/core.xml").decode()
    assert core.count("1980-01-01T00:00:00Z") == 2 and "20" not in core.split("created")[1]


def test_a_length_without_words_gets_them() -> None:
    # 147 1/2 in is 12 ft 3 1/2 in
    assert in_words(147.5) == "12' 3 1/2\"" and in_words(0) == '0"'
    assert in_words(-3.5) == '-3 1/2"' and in_words(2.8284) == '2 53/64"'
    assert in_words(None) is None


def test_findings_come_errors_first() -> None:
    findings = [Finding("a", "note", ("V1", "V2"), "n"), Finding("b", "error", (), "=e"),
                Finding("c", "warning", (), "w")]
    table = findings_table(findings, "in")
    assert [row[0] for row in table.rows] == ["error", "warning", "note"]
    assert table.rows[2][2] == "V1, V2" and table.rows[0][3] == "=e"


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_a_spreadsheet_program_reads_the_same(tmp_path: Path) -> None:
    (tmp_path / "book.xlsx").write_bytes(book(*FORMULAS, "_x0041_", 13.4375))
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{tmp_path}/profile", "--headless",
         "--convert-to", "csv:Text - txt - csv (StarCalc):124,34,76,1,,0,false,true", "--outdir",
         str(tmp_path), str(tmp_path / "book.xlsx")],
        check=True, capture_output=True, timeout=120,
    )
    lines = (tmp_path / "book.csv").read_text(encoding="utf-8").splitlines()
    read_back = [line.strip('"').replace('""', '"') for line in lines[1:]]
    assert read_back == [*(text.replace("\t", "\\t") for text in FORMULAS), "_x0041_", "13.4375"]
