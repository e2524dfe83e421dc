"""`offseam panels`: the page, the spreadsheet and the document agree, and the command as a process.
"""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from cli_runs import HOSTILE_IDS, NOTHING_OBEYS, SHED, hostile_case, offseam, write
from rich.cells import cell_len

from cli.panels_csv import HEADINGS, panels_csv
from cli.report.lines import plain
from cli.report.panels_part import panels_page
from solver.case import Case
from solver.case_parts import Hole
from solver.panels.cuts import stock_of
from solver.panels.document import FORMAT, TO_VERIFY, panels_document
from solver.panels.parts import PanelList
from solver.result import Finding
from solver.stock.parts import StockPlan
from solver.units import parse_length
from tests.unit.builders import inches, make_curb, make_pipe, make_plane
from tests.unit.panel_cases import SHEET, listed, outline, roof, shaped


def rich_roof() -> tuple[PanelList, StockPlan]:
    """Everything a list can say: hips, a valley, a dormer, curbs of two kinds, laps, odd names."""
    hipped = shaped(
        (0, 0, "eave"), (180, 0, "hip"), (130, 70, "ridge"), (40, 70, "hip"),
        holes=(Hole("dormer [b]", outline((70, 20, "wall"), (95, 20, "wall"), (95, 45, "wall"),
                                         (70, 45, "wall"))),),
        plane=make_plane("=A"),
    )
    plain_one = replace(make_plane("B"), length=inches(400), width=inches(100))
    pens = (
        make_curb(inches(50), "C1", plane="B", across=inches(30)),
        replace(make_curb(inches(75), "C2", plane="B", y=inches(300), across=inches(12)),
                detail="close"),
        make_pipe(inches(23), "V1", plane="B", y=inches(200)),
    )
    sheet = replace(SHEET, max_length=inches(240), stock=(inches(120), inches(240)))
    case = roof(*pens, planes=(hipped, plain_one), sheet=sheet)
    found = listed(case, range(10, 180, 18), (14, 32, 50, 68, 86))
    return found, stock_of(found, 5)


def text_of(found: PanelList, stock: StockPlan | None) -> str:
    return "\n".join(plain(line) for line in panels_page(found, stock, (), True))


def test_the_page_fits_and_says_all() -> None:
    found, stock = rich_roof()
    lines = text_of(found, stock).split("\n")
    assert max(cell_len(line) for line in lines) <= 80
    text = " ".join(" ".join(lines).split())
    for part in (
        TO_VERIFY, "PLANE =A: 15' 0\" along the eave", "from square", "right side long",
        "in 2 cuts from the left", "cut out for dormer [b]", "cut out for C1", "lengths from its",
        "shifted", "laid across above C2", "ALL PLANES", "STOCK", "BEFORE YOU BUILD FROM THIS",
        "male leg 1 1/4\"", "No length is over 20' 0\"",
    ):
        assert part in text, part
    # One hip rises 70 over 40: 60.3 degrees, 31 1/2 over 18; the other 70 over 50: 54.5, 25 3/16.
    assert '60.3° from square, 31 1/2" over 18", right side long' in text
    assert '54.5° from square, 25 3/16" over 18", left side long' in text


def test_usual_figures_are_said_to_be_so() -> None:
    usual = replace(SHEET, given=False)
    found = listed(roof(planes=(make_plane(),), sheet=usual), (14, 32, 50, 68))
    assert "not the panel maker's" in text_of(found, None)
    assert "not the panel maker's" not in text_of(
        listed(roof(planes=(make_plane(),)), (14, 32, 50, 68)), None)


def test_findings_on_panels_are_repeated() -> None:
    found, _ = rich_roof()
    split = Finding("split-pan", "warning", ("V1",), "V1 splits its pan: the splice is 40 in long.")
    other = Finding("wide-base", "note", ("V1",), "V1 has a wide base.")
    page = "\n".join(plain(line) for line in panels_page(found, None, (split, other), False))
    assert "V1 splits its pan" in page and "wide base" not in page
    assert "(not proven best)" in " ".join(page.split())


def reopened(text: str) -> list[dict[str, str]]:
    assert text.startswith("\ufeff") and "\r\n" in text
    rows = list(csv.reader(io.StringIO(text[1:], newline="")))
    assert {len(row) for row in rows} == {len(HEADINGS)} and len(set(HEADINGS)) == len(HEADINGS)
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]


def test_the_spreadsheet_says_what_the_document_says() -> None:
    found, stock = rich_roof()
    rows = reopened(panels_csv(found))
    case = found.case
    document = panels_document(
        found, stock, case=case, versions={}, proof="proven", findings=())
    marks = [mark for plane in document["planes"] for mark in plane["marks"]]
    panels = [row for row in rows if row["kind"] == "panel"]
    across = [row for row in rows if row["kind"] == "laid across"]
    assert len(panels) == len(marks)
    for row, mark in zip(panels, marks, strict=True):
        assert row["mark"].lstrip("'") == mark["mark"]
        assert int(row["count"]) == mark["count"] == len(mark["pieces"])
        for heading, key in (("finished width", "finished_width"), ("cut length", "cut_length"),
                             ("width in the flat", "rip_width")):
            assert float(row[f"{heading} (in)"]) == mark[key]
            assert parse_length(row[heading], "in") == parse_length(mark[key], "in")
        if len(mark["upper_end"]) == 1:
            assert float(row["upper cut (degrees)"]) == mark["upper_end"][0]["degrees_from_square"]
            assert row["upper long side"] == (mark["upper_end"][0]["long_side"] or "")
        lengths = [float(part) for part in row["lengths (in)"].split(" + ") if part]
        assert lengths == (mark["lengths"] if len(mark["lengths"]) > 1 else [])
        lap_sum = 6 * len(mark["end_laps"])
        assert sum(mark["lengths"]) == pytest.approx(mark["cut_length"] + lap_sum, abs=0.2)
    assert [one["mark"] for plane in document["planes"] for one in plane["laid_across"]] == [
        row["mark"] for row in across]
    assert rows[0]["plane"] == "'=A" and rows[0]["mark"] == "'=A-1"
    assert sum(len(mark["lengths"]) * mark["count"] for mark in marks) + sum(
        int(row["count"]) for row in across) == document["totals"]["pieces"]


def test_the_document_has_exact_figures() -> None:
    found, stock = rich_roof()
    document = json.loads(json.dumps(panels_document(
        found, stock, case=found.case, versions={"offseam": "0"}, proof="proven", findings=())))
    assert document["format"] == FORMAT == "offseam-panels-1"
    assert document["to_verify"] == TO_VERIFY
    assert document["sheet"]["hip_up"] == 1.75 and document["sheet"]["stock"] == [120, 240]
    # A: (180 + 90) / 2 x 70 less 25 x 25; B: 400 x 100 less 30 x 30 and 12 x 30.
    assert [plane["roof_area"] for plane in document["planes"]] == [
        round((9450 - 625) / 144, 2), round((40_000 - 900 - 360) / 144, 2)]
    assert document["totals"]["roof_area"] == round((8825 + 38_740) / 144, 2)
    first = document["planes"][0]["marks"][0]
    assert first["upper_end"][0] == {
        "kind": "hip", "degrees_from_square": 60.3, "rise_per_cover": 31.5, "long_side": "right",
        "x_from": 0, "x_to": 10, "back_at_left": 17.5, "back_at_right": 0,
    }
    assert first["cut_length"] == 17.5 + 1 + 1.75
    assert document["stock"]["sheets"] > 0 and document["stock"]["longer_than_stock"] == []
    empty = panels_document(None, None, case=found.case, versions={}, proof="not proven",
                            findings=())
    assert (empty["layout"], empty["planes"], empty["stock"], empty["totals"]) == (
        None, [], None, None)


def test_marks_are_stable_and_their_counts_cover_every_piece() -> None:
    one, _ = rich_roof()
    other, _ = rich_roof()
    assert panels_csv(one) == panels_csv(other)
    for plane in one.planes:
        names = [mark.name for mark in plane.marks] + [each.name for each in plane.across]
        assert names == [f"{plane.plane.id}-{n}" for n in range(1, len(names) + 1)]


def test_metric() -> None:
    from tests.unit.builders import mm

    sheet = replace(SHEET, male=mm(32), female=mm(38), turn_up=mm(25), eave_hook=mm(25),
                    ridge_up=mm(40))
    case: Case = replace(
        roof(planes=(make_plane(width=mm(2000), length=mm(5000)),), sheet=sheet), units="mm",
        mark=mm(1), panel=replace(roof(planes=()).panel, cover=mm(500)))
    from solver.panels.list import panel_list
    from tests.unit.panel_cases import laid

    judged = laid(case, ())
    seams = tuple(mm(at) for at in (250, 750, 1250, 1750))
    judged = replace(judged, planes=(replace(judged.planes[0], seams=seams, panels=5),))
    found = panel_list(case, judged, 1)
    text = text_of(found, stock_of(found, 2))
    assert "307 mm" in text and "5065 mm" in text and "10.0 m²" in text  # 250 + 25 + 32
    assert '"' not in text.replace('"Proven"', "").replace('"Clear"', "")
    assert reopened(panels_csv(found))[0]["cut length (mm)"] == "5065"


def test_as_a_process(tmp_path: Path) -> None:
    roof_file = write(tmp_path, SHED)
    sheet, document = tmp_path / "panels.csv", tmp_path / "panels.json"
    done = offseam("panels", roof_file, "--csv", str(sheet), "--json", str(document))
    assert done.returncode == 0 and done.stderr == ""
    assert max(cell_len(line) for line in done.stdout.splitlines()) <= 80
    assert "PANEL LIST" in done.stdout and "STOCK" in done.stdout
    rows = reopened(sheet.read_bytes().decode("utf-8"))
    told = json.loads(document.read_text(encoding="utf-8"))
    # 20 ft x 12 ft: fourteen panels of 18 in at most; their widths make up the eave.
    marks = told["planes"][0]["marks"]
    assert sum(mark["count"] * mark["finished_width"] for mark in marks) == 240
    assert told["totals"]["roof_area"] == 240
    assert [row["mark"] for row in rows] == [mark["mark"] for mark in marks]
    assert told["proof"] == "proven" and told["layout"] == 1
    only = offseam("panels", roof_file, "--json", "-")
    assert json.loads(only.stdout)["totals"] == told["totals"]


def test_what_cannot_be_followed(tmp_path: Path) -> None:
    roof_file = write(tmp_path, SHED)
    wrong = offseam("panels", roof_file, "--layout", "0", "--time", "-1", "--csv", str(tmp_path))
    assert wrong.returncode == 2 and len(wrong.stderr.splitlines()) == 3
    assert re.search(r"--layout 0.*\n--time -1.*\n--csv: .*folder", wrong.stderr)
    both = offseam("panels", roof_file, "--csv", "-", "--json", "-")
    assert both.returncode == 2 and "both go to -" in both.stderr
    over = offseam("panels", roof_file, "--json", roof_file)
    assert over.returncode == 2 and "is the case itself" in over.stderr
    missing = offseam("panels", str(tmp_path / "no.toml"))
    assert missing.returncode == 2 and "Traceback" not in missing.stderr


def test_no_layout_no_list(tmp_path: Path) -> None:
    sheet = tmp_path / "old.csv"
    sheet.write_text("old", encoding="utf-8")
    done = offseam("panels", write(tmp_path, NOTHING_OBEYS), "--csv", str(sheet), "--json", "-")
    assert done.returncode == 3 and "no layout satisfies the rules" in done.stderr
    assert sheet.read_text(encoding="utf-8") == "old"
    told = json.loads(done.stdout)
    assert told["planes"] == [] and any(f["severity"] == "error" for f in told["findings"])


def test_names_are_data(tmp_path: Path) -> None:
    sheet = tmp_path / "panels.csv"
    done = offseam("panels", write(tmp_path, hostile_case()), "--csv", str(sheet))
    assert done.returncode == 0, done.stderr
    assert max(cell_len(line) for line in done.stdout.splitlines()) <= 80
    assert "[red]S[/]" in done.stdout and "北斜面" in done.stdout
    for row in reopened(sheet.read_bytes().decode("utf-8")):
        assert not any(cell.startswith(("=", "+", "@")) for cell in row.values())
    assert len(HOSTILE_IDS) == 20
