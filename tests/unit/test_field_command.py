"""`offseam field`: the page, the spreadsheet and the document agree, and the command as a process.
"""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from rich.cells import cell_len

from cli.field_csv import HEADINGS, field_csv
from cli.report.field_part import field_page
from cli.report.lines import plain
from solver.api import load_case, solve
from solver.case import Case
from solver.case_parts import Lean, Movement
from solver.checker.judge import judge
from solver.field.document import FORMAT, field_document
from solver.field.parts import FieldSheets
from solver.field.sheet import field_sheets
from solver.layout import Layout
from solver.units import parse_length
from tests.demo_cases import case_path, names
from tests.unit.builders import inches, make_case, make_curb, make_pipe, make_plane
from tests.unit.cli_runs import HOSTILE_IDS, NOTHING_OBEYS, SHED, hostile_case, offseam, write

Rows = list[dict[str, str]]


def reopened(text: str, units: str = "in") -> Rows:
    assert text.startswith("\ufeff") and "\r\n" in text
    rows = list(csv.reader(io.StringIO(text[1:], newline="")))
    assert rows[0] == [head.replace("UNIT", units) for head in HEADINGS]
    assert {len(row) for row in rows} == {len(HEADINGS)} and len(set(HEADINGS)) == len(HEADINGS)
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]


def text_of(found: FieldSheets) -> str:
    return "\n".join(plain(line) for line in field_page(found, True))


def rich_case() -> Case:
    """Two planes: one from a line, one from its high end; pipes, a curb, heat, a long name."""
    pens = (
        replace(make_pipe(inches(47), "=V1"), before=True, height=inches(30),
                allows=inches("1/64")),
        make_pipe(inches(50), "V2", plane="N", status="stubbed"),
        replace(make_curb(inches(70), "C1", plane="N", across=inches(20)), allows=inches(1)),
    )
    case = make_case(
        *pens, planes=(make_plane(start=inches(40)), make_plane("N", lay="right-to-left")),
        seamer_gap=inches(6),
    )
    return replace(case, revision="B", date="2031-05-02", movement=Movement(
        Decimal(60), Decimal(35), "top", given=True))


def rich() -> FieldSheets:
    case = rich_case()
    return field_sheets(case, judge(case, Layout((inches(4), inches(14)), (0, 0, 0))), 2)


def test_every_page_has_its_edition_and_cautions() -> None:
    text = text_of(rich())
    assert max(cell_len(line) for line in text.split("\n")) <= 80
    pages = text.split("=" * 80)
    assert len(pages) == 2
    for page in pages:
        said = " ".join(page.split())
        for part in ("Revision B; dated 2031-05-02; layout 2 of the ranked list", "FALL PROTECTION",
                     "OPEN HOLES", "SQUARE THE START", "3-4-5", "HEAT", "never pin a panel",
                     "Laid and measured by ____", "the local code", "_______"):
            assert part in said, part
    first, second = (" ".join(page.split()) for page in pages)
    assert "laid both ways from the line, 3' 4\" from the S left end" in first
    assert "SEAMS towards the S right end" in first and "SEAMS towards the S left end" in first
    assert "TOO LITTLE" in first and "=V1 is tall: 30\" above the roof" in first
    assert "laid from the N right end to the N left end" in second
    assert "V2 stands before panel 3 goes on" in second or "V2 ON SEAM" in second


def test_the_spreadsheet_and_the_document_say_the_same() -> None:
    found = rich()
    rows = [row for row in reopened(field_csv(found, True)) if row["what"] in
            ("start", "seam", "end")]
    document = json.loads(json.dumps(field_document(
        found, case=found.case, versions={"offseam": "0"}, proof="proven", findings=())))
    assert document["format"] == FORMAT == "offseam-field-1"
    told = [row for plane in document["planes"] for run in plane["runs"] for row in run["rows"]]
    assert len(rows) == len(told)
    for row, own in zip(rows, told, strict=True):
        assert row["what"] == own["kind"]
        assert row["seam"] == ("" if own["seam"] is None else str(own["seam"]))
        assert float(row["start to mark (in)"]) == own["start_to_mark"]
        assert parse_length(row["start to mark"], "in") == pytest.approx(
            parse_length(own["start_to_mark"], "in"), abs=inches("1/32"))
        assert ("control line" in row["stop"]) == bool(own["control_line"])
        assert ("closing begins" in row["stop"]) == own["closing_begins"]
        assert ("obstruction" in row["stop"]) == bool(own["obstructions"])
        assert all(note["says"] in row["says"] for note in own["notes"])
        assert row["measured eave"] == row["measured ridge"] == row["correct by"] == ""
        assert row["revision"] == "B" and row["date"] == "2031-05-02" and row["layout"] == "2"
    assert document["planes"][0]["diagonals"][0]["width"] == 18
    assert document["movement"]["planes"][0]["penetrations"][0]["suffices"] is False


def test_the_spreadsheet_has_the_cautions_for_every_plane() -> None:
    rows = reopened(field_csv(rich(), False))
    for plane in ("S", "N"):
        own = " ".join(row["says"] for row in rows if row["plane"] == plane)
        assert "FALL PROTECTION" in own and "OPEN HOLES" in own and "never pin" in own
        assert "3-4-5" in own and "Closing begins" in own
    assert {row["proof"] for row in rows} == {"not proven"}


def test_an_empty_document() -> None:
    document = field_document(None, case=rich_case(), versions={}, proof="not proven", findings=())
    assert (document["layout"], document["planes"], document["movement"], document["limits"]) == (
        None, [], None, None)


@pytest.mark.parametrize("name", [name for name in names() if name != "workshop"])
def test_demo_cases_fit_the_page(name: str) -> None:
    result = solve(load_case(str(case_path(name))), top=1)
    found = field_sheets(result.case, result.layouts[0].judged, 1)
    assert max(cell_len(line) for line in text_of(found).split("\n")) <= 80
    rows = reopened(field_csv(found, True), result.case.units)
    seams = [row for row in rows if row["what"] == "seam"]
    assert len(seams) == sum(len(plane.seams) for plane in result.layouts[0].judged.planes)


def test_the_command(tmp_path: Path) -> None:
    roof = write(tmp_path, SHED)
    page, sheet = tmp_path / "field.json", tmp_path / "field.csv"
    done = offseam("field", roof, "--json", str(page), "--csv", str(sheet))
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("FIELD SHEET, PLANE S\nA shed\n")
    assert max(cell_len(line) for line in done.stdout.split("\n")) <= 80
    document = json.loads(page.read_text(encoding="utf-8"))
    assert document["layout"] == 1 and document["proof"] == "proven"
    rows = reopened(sheet.read_bytes().decode("utf-8"))
    assert [row["seam"] for row in rows if row["what"] == "seam"] == [
        str(row["seam"]) for row in document["planes"][0]["runs"][0]["rows"] if row["seam"]]
    again = offseam("field", roof, "--csv", "-")
    assert again.stdout.encode() == sheet.read_bytes().replace(b"\r\n", b"\n")
    assert offseam("field", roof).stdout == done.stdout


@pytest.mark.parametrize(
    ("args", "code", "told"),
    [
        (("--layout", "0"), 2, "--layout 0: give 1 or more"),
        (("--layout", "900"), 2, "--layout 900: there"),
        (("--time", "-1"), 2, "--time -1"),
        (("--csv", "-", "--json", "-"), 2, "both go to -"),
    ],
)
def test_wrong_options(tmp_path: Path, args: tuple[str, ...], code: int, told: str) -> None:
    done = offseam("field", write(tmp_path, SHED), *args)
    assert done.returncode == code and done.stdout == ""
    assert told in done.stderr and "Traceback" not in done.stderr


def test_no_layout_is_told(tmp_path: Path) -> None:
    target = tmp_path / "field.csv"
    target.write_text("old", encoding="utf-8")
    done = offseam("field", write(tmp_path, NOTHING_OBEYS), "--csv", str(target))
    assert done.returncode == 3 and done.stdout == "" and "no layout satisfies" in done.stderr
    assert target.read_text(encoding="utf-8") == "old"


def test_hostile_names(tmp_path: Path) -> None:
    roof = write(tmp_path, hostile_case())
    target = tmp_path / "field.csv"
    done = offseam("field", roof, "--csv", str(target))
    assert (done.returncode, done.stderr) == (0, "")
    assert max(cell_len(line) for line in done.stdout.split("\n")) <= 80
    for name in ("[bold]x[/]", "<script>", "$(id)", "{0}", "%s"):
        assert name in done.stdout and name in HOSTILE_IDS
    rows = reopened(target.read_bytes().decode("utf-8"))
    assert not any(cell[:1] in ("=", "+", "@") for row in rows for cell in row.values())


def test_the_spreadsheet_says_what_the_tape_reads_to_and_that_widths_are_not_cuts() -> None:
    case = rich_case()
    found = field_sheets(case, judge(case, Layout((inches(4), inches(14)), (0, 0, 0))), 2)
    page = " ".join(text_of(found).split())
    rows = reopened(field_csv(found, True))
    for what, count in (("mark", 3), ("widths", 2)):  # a run, a plane
        says = [row["says"] for row in rows if row["what"] == what]
        assert len(says) == count and all(" ".join(one.split()) in page for one in says)


@pytest.mark.parametrize("fan", [False, True])
def test_narrow_cells_of_a_sheet_out_of_square_lose_nothing(fan: bool) -> None:
    """Room is short beside the readings at the ridge: cells are worded for it, not cut off."""
    plane = replace(make_plane(width=inches(300)),
                    lean=Lean(inches("1 3/4"), inches("1 1/8"), fan, inches(300)))
    pen = replace(make_pipe(inches(237), "V1"), ends=(inches(2), inches(299)), before=True)
    case = make_case(pen, planes=(plane,), play=inches("1/4"))
    found = field_sheets(case, judge(case, Layout((inches("12 1/16"),), (0,), (), ())), 1)
    text = text_of(found)
    assert "\u2026" not in text and "V1 at 13 PIPE+meas" in text
    assert "V1 between 13 and 14" in text
    assert max(cell_len(each) for each in text.split("\n")) <= 80


def test_the_last_panel_has_one_width_on_the_whole_sheet() -> None:
    """100 1/64 in: the last is 14 1/64, to the closing stretch as in the table."""
    case = make_case(planes=(make_plane(width=inches("100 1/64")),))
    text = text_of(field_sheets(case, judge(case, Layout((inches(14),), (), (), ())), 1))
    assert 'the last is 14 1/64" as listed' in " ".join(text.split())
    assert 'Panel 6: 14 1/64", ripped.' in text


def test_a_sheet_in_inches_says_degrees_fahrenheit_beside_kelvin() -> None:
    """60 K are 108 Fahrenheit degrees, 35 K are 63: nine for five."""
    case = rich_case()
    judged = judge(case, Layout((inches(4), inches(14)), (0, 0, 0)))
    page = " ".join(text_of(field_sheets(case, judged, 1)).split())
    assert "60 K (108 F) warmer to 35 K (63 F) colder" in page
    assert '1/64" TOO LITTLE' in page  # what a flashing allows is not rounded away
