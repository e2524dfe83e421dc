"""The sheet and the spreadsheet: a plumber who has only the CSV can set every pipe."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from rich.cells import cell_len

from cli.failures import OptionError
from cli.report.lines import plain
from cli.report.stubs_part import stubs_page
from cli.sheets_csv import guarded, stubs_csv, tag
from cli.stubs_command import stubs_command
from solver.api import load_case, solve
from solver.case import Case, Gridline
from solver.checker.judge import judge
from solver.layout import Layout
from solver.result import Judged
from solver.stubs.list import stub_list
from solver.units import parse_length
from tests.demo_cases import case_path, names
from tests.unit.builders import inches, look, make_case, make_pipe, make_plane
from tests.unit.cli_runs import NOTHING_OBEYS, SHED, hostile_case, write
from tests.unit.stub_cases import solved, wall

Rows = list[dict[str, str]]


def reopened(text: str) -> Rows:
    assert text.startswith("\ufeff") and not text[1:].startswith("\ufeff")
    rows = list(csv.reader(io.StringIO(text[1:], newline="")))
    assert len({len(row) for row in rows}) == 1 and len(set(rows[0])) == len(rows[0])
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]


def grid(case: Case) -> dict[tuple[str, str], int]:
    """Where the plumber's tape is held: grid lines and named ends, by the words of the sheet."""
    found = {(line.plane, f"grid line {line.id}"): line.x for line in case.gridlines}
    for plane in case.planes:
        low, high = plane.low_end, plane.high_end
        if {"left", "right"} & set(f"{low} {high}".split()):
            low, high = "starting end", "far end"
            if plane.lay == "right-to-left":
                low, high = high, low
        found[plane.id, f"the {low}"] = 0
        found[plane.id, f"the {high}"] = plane.width
    return found


def place(case: Case, row: dict[str, str], words: str) -> int:
    """A centre (ticks) from words such as `9' 4 1/2" towards grid line 2`, or "on it"."""
    marks = grid(case)
    datum = marks[row["plane"], row["measured from"]]
    if words == "on it":
        return datum
    apart, _, towards = words.partition(" towards ")
    side = 1 if marks[row["plane"], towards] > datum else -1
    return datum + side * parse_length(apart, case.units)


def set_from_csv(case: Case, judged: Judged, rows: Rows, heading: str) -> Judged:
    """Every pipe set where the CSV says, first widths as the crew was told, judged anew."""
    at = {}
    for row in rows:
        datum = grid(case)[row["plane"], row["measured from"]]
        at[row["tag"].removeprefix("'")] = place(case, row, row[heading]) if heading == "SET TO" \
            else datum + parse_length(float(row[heading]), case.units)
    listed = {pen.id for pen in case.penetrations if pen.kind == "pipe" and pen.status != "fixed"}
    assert set(at) == listed
    moves = tuple(at.get(pen.id, pen.x) - pen.x for pen in case.penetrations)
    return judge(case, Layout(judged.layout.firsts, moves))


def check_plumber(case: Case, judged: Judged) -> int:
    """Set every pipe, and to both ends of what is acceptable; how many such ends were judged."""
    rows = reopened(stubs_csv(stub_list(case, judged, 1)))
    exact = set_from_csv(case, judged, rows, f"SET TO ({case.units})")
    assert exact.layout == judged.layout and not exact.breaks and exact.cost == judged.cost
    taped = set_from_csv(case, judged, rows, "SET TO")
    for mine, theirs in zip(taped.penetrations, judged.penetrations, strict=True):
        assert mine.state == theirs.state, mine.id
        assert abs(mine.x - theirs.x) <= case.mark
    ends = 0
    for row in rows:
        for which in ("acceptable from", "acceptable to"):
            if not row[which]:
                assert not row[f"{which} ({case.units})"] or row["state"] != "clear"
                continue
            x = place(case, row, row[which])
            index = next(i for i, p in enumerate(case.penetrations) if p.id == row["tag"])
            moves = list(judged.layout.moves)
            moves[index] = x - case.penetrations[index].x
            found = judge(case, Layout(judged.layout.firsts, tuple(moves)))
            assert found.penetrations[index].state == "clear", (row["tag"], which)
            exact_x = parse_length(float(row[f"{which} ({case.units})"]), case.units)
            datum = grid(case)[row["plane"], row["measured from"]]
            assert (x >= datum + exact_x) == (which == "acceptable from") or x == datum + exact_x
            ends += 1
    return ends


@pytest.mark.parametrize("grid_lines", [True, False])
@pytest.mark.parametrize("lay", ["left-to-right", "right-to-left"])
def test_a_plumber_with_only_the_csv_sets_every_pipe(lay: str, grid_lines: bool) -> None:
    for seed in range(4):
        case = wall(seed=seed, lay=lay, grid=grid_lines)
        assert check_plumber(case, solved(case)) >= 10


@pytest.mark.parametrize("name", names())
def test_so_does_the_plumber_of_every_demo_case(name: str) -> None:
    result = solve(load_case(str(case_path(name))), top=2)
    if any(pen.kind == "pipe" and pen.status != "fixed" for pen in result.case.penetrations):
        for entry in result.layouts:
            assert check_plumber(result.case, entry.judged) >= (name != "cottage")
    else:
        assert reopened(stubs_csv(stub_list(result.case, result.layouts[0].judged, 1))) == []


def test_columns_and_numbers_of_the_csv() -> None:
    case = wall(seed=1)
    found = stub_list(case, solved(case), 1, everything=True)
    text = stubs_csv(found)
    rows = reopened(text)
    assert len(rows) == len(case.penetrations) and text.endswith("\r\n")
    for row in rows:
        assert (row["revision"], row["date"], row["layout"]) == ("C", "2032-05-06", "1")
        assert row["agreed by"] == row["as built"] == ""
        for heading, cell in row.items():
            if heading.endswith("(in)") and cell:
                float(cell)
            elif cell:
                assert not cell.startswith(("=", "+", "-", "@")), (heading, cell)
    moved = [row for row in rows if row["do"] == "MOVE"]
    assert moved and all(float(row["move (in)"]) and row["move towards"] for row in moved)
    assert all("left" not in row["move towards"].split() for row in moved)


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@x", "\t=x", " =x", "\r\n-x", "\uff1dcmd", "\u00a0=x"]
)
def test_a_text_that_would_be_a_formula_gets_an_apostrophe(text: str) -> None:
    assert guarded(text).startswith("'") and "\r" not in guarded(text)


def test_other_texts_are_left_alone() -> None:
    for text in ("V1", "8' 0\"", "2032-05-06", "", "a=b", "'", "0\""):
        assert guarded(text) == text
    assert [tag(t) for t in ("007", "1-2", "3/4", "1E5", "1.10", "MAR1", "Dec-3")] == [
        "'007", "'1-2", "'3/4", "'1E5", "'1.10", "'MAR1", "'Dec-3"]
    for text in ("101", "V1", "1A", "MARK1", "N-1", "March"):
        assert tag(text) == text


def page(case: Case, judged: Judged) -> str:
    found = stub_list(case, judged, 1)
    return "\n".join(plain(line) for line in stubs_page(found, (), True))


def test_the_sheet_has_all_a_plumber_needs_and_fits() -> None:
    for seed in range(4):
        case = wall(seed=seed)
        judged = solved(case)
        text = page(case, judged)
        assert max(map(cell_len, text.split("\n"))) <= 80
        listed = sum(p.kind == "pipe" and p.status != "fixed" for p in case.penetrations)
        for word in ("SET TO", "acceptable  ", "bay   ", "check   ", "agreed by"):
            assert text.count(f"     {word}") == listed
        moved = sum(1 for move in judged.layout.moves if move)
        assert text.count("     MOVE ") == text.count("     as drawn ") == moved
        assert "CENTRE" in text and "plumb" in text and "along the eave" in text
        assert "Revision C; dated 2032-05-06" in text and "VENTS" in text
        assert "towards the left" not in text and "towards the right" not in text
        assert "GRID LINE IS NEEDED" not in text


def test_without_grid_lines_it_says_that_one_is_needed() -> None:
    case = wall(grid=False)
    text = page(case, solved(case))
    assert text.count("A GRID LINE IS NEEDED") == 2 and "from the starting end" in text
    assert "OUTSIDE" in text


def test_a_stretch_across_the_grid_line_names_both_sides() -> None:
    plane = replace(make_plane(), low_end="west gable", high_end="east gable")
    case = make_case(make_pipe(inches(41), status="planned"), planes=(plane,))
    case = replace(case, gridlines=(Gridline("4", "S", inches(40)), Gridline("5", "S", inches(90))))
    text = " ".join(page(case, look(case)).split())
    assert 'SET TO 1" from grid line 4 towards grid line 5 (as drawn)' in text
    assert ('acceptable from 3" from grid line 4 towards the west gable to 5" from grid line 4 '
            "towards grid line 5") in text
    assert 'check 9" from seam 2, 9" from seam 3' in text
    on = replace(case, gridlines=(Gridline("4", "S", inches(41)),))
    assert "SET TO on grid line 4 (as drawn)" in " ".join(page(on, look(on)).split())


def test_fittings_are_told_with_and_without_dimensions() -> None:
    from tests.unit.stub_cases import FITTINGS, sized

    pipe = make_pipe(inches(37), status="stubbed")
    bare = make_case(pipe)
    text = " ".join(page(bare, look(bare, move=inches(4))).split())
    assert "22 1/2°: travel 10 7/16\", advance 9 11/16\"" in text  # 4 × 2.6131, 4 × 2.4142
    assert "45°: travel 5 11/16\", advance 4\"" in text  # 4 × 1.4142
    assert "60°: travel 4 5/8\", advance 2 5/16\"" in text  # 4 × 1.1547, 4 × 0.5774
    assert "fitting dimensions for this pipe were not given" in text
    known = replace(make_case(sized(pipe, headroom=inches(9))), fittings=FITTINGS)
    text = " ".join(page(known, look(known, move=inches(4))).split())
    assert "two 45° fittings" in text and 'fits the 9" given' in text
    assert 'Headroom needed 8 1/2"' in text and 'Least offset 3 3/16"' in text  # 4 + 2 × 2 1/4


def run(*, tmp: Path, text: str, **options: object) -> int:
    import typer

    given: dict[str, object] = {"layout": 1, "csv": None, "json": None, "everything": False,
                                "time": None}
    given.update(options)
    try:
        stubs_command(write(tmp, text), **given)  # type: ignore[arg-type]
    except typer.Exit as done:
        return done.exit_code
    raise AssertionError("no exit")


def test_hostile_names_stay_data(
    tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert run(tmp=tmp_path, text=hostile_case(), csv=str(tmp_path / "s.csv"),
               json=str(tmp_path / "s.json"), everything=True) == 0
    out = capsysbinary.readouterr().out.decode()
    assert max(map(cell_len, out.split("\n"))) <= 80 and "\x1b" not in out
    assert "[bold red]Roof[/]" in out and "=cmd()" in out
    rows = reopened((tmp_path / "s.csv").read_bytes().decode())
    tags = {row["tag"] for row in rows}
    assert "'=cmd()" in tags and "'-" in tags and "[/]" in tags and "🚿🚿" in tags
    document = json.loads((tmp_path / "s.json").read_text(encoding="utf-8"))
    assert document["format"] == "offseam-stubs-1"
    assert sum(len(plane["pipes"]) for plane in document["planes"]) == len(rows)
    assert "=cmd()" in {pipe["id"] for plane in document["planes"] for pipe in plane["pipes"]}


def test_the_json_says_the_same_as_the_csv(tmp_path: Path) -> None:
    from solver.stubs.document import stubs_document

    case = wall(seed=1)
    found = stub_list(case, solved(case), 2)
    document = stubs_document(found, title=case.title, units="in", revision="C", date="",
                              sha256="", versions={}, proof="proven", findings=())
    assert document["layout"] == 2
    pipes = [pipe for plane in document["planes"] for pipe in plane["pipes"]]
    for pipe, row in zip(pipes, reopened(stubs_csv(found)), strict=True):
        assert pipe["id"] == row["tag"] and pipe["set_to"] == float(row["SET TO (in)"])
        assert pipe["measured_from"]["x"] + pipe["set_to"] == pipe["x_set_to"]
        assert (pipe["acceptable_from"] is None) == (row["acceptable from (in)"] == "")
        if pipe["make_with"] is not None:
            assert pipe["make_with"]["makes_it"] and len(pipe["alternatives"]) == 2


def test_standard_output_and_wrong_options(
    tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert run(tmp=tmp_path, text=SHED, csv="-") == 0
    assert len(reopened(capsysbinary.readouterr().out.decode())) == 1
    assert run(tmp=tmp_path, text=SHED, json="-") == 0
    assert json.loads(capsysbinary.readouterr().out)["planes"][0]["grid_line_needed"] is True
    for wrong in ({"csv": "-", "json": "-"}, {"layout": 0}, {"layout": 99}, {"time": -1.0},
                  {"csv": str(tmp_path / "x"), "json": str(tmp_path / "." / "x")},
                  {"csv": str(tmp_path / "roof.toml")}, {"csv": str(tmp_path)}):
        with pytest.raises(OptionError):
            run(tmp=tmp_path, text=SHED, **wrong)


def test_without_a_layout_there_is_no_list_and_an_old_one_stays(tmp_path: Path) -> None:
    old = tmp_path / "s.csv"
    old.write_text("as agreed", encoding="utf-8")
    assert run(tmp=tmp_path, text=NOTHING_OBEYS, csv=str(old), json=str(tmp_path / "s.json")) == 3
    assert old.read_text(encoding="utf-8") == "as agreed"
    document = json.loads((tmp_path / "s.json").read_text(encoding="utf-8"))
    assert document["planes"] == [] and document["findings"]


def test_vents_are_flagged_with_how_the_source_is_known() -> None:
    small = replace(make_pipe(inches(41), outside=inches("2 3/8"), status="planned"),
                    use="soil vent", nominal="2")
    big = replace(make_pipe(inches(77), "V2", status="planned"), use="Vent")
    fan = replace(make_pipe(inches(59), "V3", outside=inches(2), status="planned"),
                  use="ventilator")
    case = make_case(small, big, fan)
    text = " ".join(page(case, look(case)).split())
    assert "Every vent (V1 and V2):" in text and "V1: - This vent is smaller than 3 in" in text
    for known in ("IRC P3103.1, second-hand", "UPC 906.1, second-hand", "UPC 906.2, second-hand",
                  "(IRC, second-hand)"):
        assert known in text
    assert text.count("check with the local code and the licensed plumber") == 4
    stub = replace(make_pipe(inches(37), status="stubbed"), use="vent")
    moved = make_case(stub)
    text = " ".join(page(moved, look(moved, move=inches(4))).split())
    assert "IPC 202, memory; NYC 905.2, read" in text
