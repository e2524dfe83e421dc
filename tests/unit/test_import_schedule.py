"""`offseam import schedule.csv|.xlsx`: columns guessed, sizes, units, problems by row."""

from __future__ import annotations

import csv
import zipfile
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from fluids.piping import nearest_pipe

from solver.case import Case
from solver.case_file.load import load_case
from solver.intake.nominal import OUTSIDE_INCHES, nominal_size
from solver.units import TICKS_PER
from tests.unit.cli_runs import HEAD, HOSTILE_IDS, offseam

INCH, MM = TICKS_PER["in"], TICKS_PER["mm"]
PLANES = "".join(
    f'[[plane]]\nid = "{name}"\nwidth = "80 ft"\nlength = "20 ft"\n' for name in ("S", "N"))
ROWS = [
    ["Penetrations of the boat store"],
    [],
    ["Mark", "Station (ft)", "Upslope", "Size", "Status", "Serves", "Remarks"],
    ["V1", 12.5, "6' 0\"", '3"', "New", "vent", "=1+1"],
    ["V2", "14' 6 1/2\"", 72, 2, "roughed in", "", "x"],
    ["F1", 20, 100, "6 in", "existing", "flue", ""],
    ["C1", 30, 100, '24" x 36"', None, "hatch", ""],
    ["V3", 40, 60, 3.5, "", "", ""],
]


def as_csv(folder: Path, rows: list[list[Any]], delimiter: str = ",") -> str:
    path = folder / "schedule.csv"
    with path.open("w", newline="", encoding="utf-8") as stream:
        csv.writer(stream, delimiter=delimiter).writerows(rows)
    return str(path)


def as_xlsx(folder: Path, rows: list[list[Any]], title: str = "Pens") -> str:
    book = openpyxl.Workbook()
    book.active.title = "Cover"  # type: ignore[union-attr]
    sheet = book.create_sheet(title)
    for row in rows:
        sheet.append(row)
    book.save(folder / "schedule.xlsx")
    return str(folder / "schedule.xlsx")


def loaded(folder: Path, name: str = "stubs.csv", units: str = "in") -> Case:
    text = HEAD.replace('"in"', f'"{units}"').replace("cover = 18", 'cover = "18 in"')
    (folder / "roof.toml").write_text(
        text.replace("[panel]", f'penetrations_csv = "{name}"\n[panel]') + PLANES)
    return load_case(folder / "roof.toml")


def taken(folder: Path, source: str, *args: str, units: str = "in") -> tuple[Case, str]:
    done = offseam("import", source, "--out", str(folder / "stubs.csv"), *args)
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    return loaded(folder, units=units), done.stdout


@pytest.mark.parametrize("write", [as_csv, as_xlsx])
def test_a_schedule_with_its_columns_guessed(tmp_path: Path, write: Any) -> None:
    rows = [[None if str(cell) == "=1+1" and write is as_xlsx else cell for cell in row]
            for row in ROWS]
    case, said = taken(tmp_path, write(tmp_path, rows), "--plane", "S")
    v1, v2, flue, hatch, v3 = case.penetrations
    assert (v1.x, v1.y, v1.status, v1.plane) == (150 * INCH, 72 * INCH, "planned", "S")
    assert (v2.x, v2.y, v2.status) == (349 * INCH // 2, 72 * INCH, "stubbed")
    # 2 in, 3 in, 6 in pipe: 2.375, 3.500, 6.625 in outside (ASTM D1785 / D2665, second-hand)
    assert [pen.outside for pen in (v1, v2, flue, v3)] == [
        7 * INCH // 2, 19 * INCH // 8, 53 * INCH // 8, 7 * INCH // 2]
    assert (hatch.kind, hatch.across, hatch.along) == ("curb", 24 * INCH, 36 * INCH)
    assert flue.status == hatch.status == "fixed"
    for part in ('id      "Mark" (guessed)', '"Station (ft)" (guessed, bare numbers in ft)',
                 'column left: "Remarks"', "taken as planned: 1 row"):
        assert part in said, part
    if write is as_xlsx:
        assert 'sheet "Pens" (of 2; --sheet names another)' in said


def test_columns_can_be_named(tmp_path: Path) -> None:
    rows = [["A", "B", "C", "D", "x"], ["V1", 100, 50, 88.9, 7], ["V2", 200, 50, 60.3, 7]]
    source = as_csv(tmp_path, rows)
    done = offseam("import", source, "--plane", "S", "--out", str(tmp_path / "o.csv"))
    assert done.returncode == 2
    for part in ("--column id=NAME", "--column y=NAME", "--column size=NAME", '"A", "B", "C"'):
        assert part in done.stderr
    case, said = taken(tmp_path, source, "--plane", "S", "--units", "mm", "--column", "id=a",
                       "--column", "x=B", "--column", "y=C", "--column", "outside=D")
    assert [(pen.id, pen.x, pen.outside) for pen in case.penetrations] == [
        ("V1", 100 * MM, 889 * MM // 10), ("V2", 200 * MM, 603 * MM // 10)]
    assert '"B" (as named)' in said and 'column left: "x"' in said


def test_a_case_is_no_schedule(tmp_path: Path) -> None:
    done = offseam("import", "roof.toml", "--plane", "S", "--out", str(tmp_path / "o.csv"))
    assert done.returncode == 2 and len(done.stderr.splitlines()) == 1
    assert ".dxf" in done.stderr and ".xlsx" in done.stderr and "--toml" in done.stderr


def test_wrong_columns_are_one_report(tmp_path: Path) -> None:
    source = as_csv(tmp_path, ROWS)
    done = offseam("import", source, "--plane", "S", "--out", str(tmp_path / "o.csv"),
                   "--column", "tag", "--column", "idd=Mark", "--column", "x=Station (ft)",
                   "--column", "x=Upslope")
    assert done.returncode == 2 and len(done.stderr.splitlines()) == 3
    done = offseam("import", source, "--plane", "S", "--out", str(tmp_path / "o.csv"),
                   "--column", "id=Marks")
    assert '--column id="Marks"' in done.stderr and 'nearest known one is "Mark"' in done.stderr


def test_problems_are_told_by_row_and_nothing_is_written(tmp_path: Path) -> None:
    rows = [
        ["tag", "x", "y", "size", "status"],
        ["V1", "12 furlongs", 50, 3, "new"],
        ["V2", 100, "", 3, ""],
        ["V2", 100, 50, "5", ""],
        ["", 100, 50, 3, ""],
        ["V5", 100, 50, 3, "perhaps"],
        ["V6", -2, 50, "", ""],
        ["C1", 100, 50, "24 x wide", ""],
        ["V8", date(2031, 1, 2), 50, 3, ""],
        ["V9", 100, 50, "#REF!", ""],
    ]
    done = offseam("import", as_xlsx(tmp_path, rows), "--plane", "S", "--out",
                   str(tmp_path / "o.csv"))
    assert done.returncode == 2 and not (tmp_path / "o.csv").exists()
    for part in ("V1 (row 2) x is \"12 furlongs\"", "V2 (row 3) y", "V2 (row 4) size is \"5\"",
                 "row 3 has the same id", "row 5 id", "V5 (row 6) status is \"perhaps\"",
                 "V6 (row 7) outside", "V8 (row 9) x", "made a date", "V9 (row 10) size"):
        assert part in done.stderr, (part, done.stderr)
    assert "row 8" in done.stderr


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_decimal_commas(tmp_path: Path, delimiter: str) -> None:
    rows = [["id", "x", "y", "outside"], ["V1", "1234,5", "50", "3,5 in"]]
    case, _ = taken(tmp_path, as_csv(tmp_path, rows, delimiter), "--plane", "N", units="mm")
    assert (case.penetrations[0].x, case.penetrations[0].outside) == (2469 * MM // 2, 7 * INCH // 2)
    rows[1][1] = "1,234"
    done = offseam("import", as_csv(tmp_path, rows, delimiter), "--plane", "N", "--out", "-")
    assert done.returncode == 2 and "thousands or thousandths" in done.stderr


def test_rows_of_other_planes_are_left(tmp_path: Path) -> None:
    rows = [["id", "slope", "x", "y", "od"], ["A", "S", 10, 10, 2], ["B", "N", 20, 10, 2],
            ["C", "", 30, 10, 2]]
    source = as_csv(tmp_path, rows)
    case, said = taken(tmp_path, source, "--plane", "S")
    assert [pen.id for pen in case.penetrations] == ["A", "C"] and "1 row of plane N" in said
    done = offseam("import", source, "--plane", "Q", "--out", str(tmp_path / "o.csv"),
                   "--column", "plane=")
    assert done.returncode == 0 and (tmp_path / "o.csv").read_text().count(",Q,") == 3
    rows.pop()
    done = offseam("import", as_csv(tmp_path, rows), "--plane", "W", "--out", "-")
    assert done.returncode == 2 and "stand on S, N" in done.stderr
    case, _ = taken(tmp_path, as_csv(tmp_path, rows), "--force")
    assert [pen.plane for pen in case.penetrations] == ["S", "N"]


def test_it_puts_tables_at_the_end_of_a_case(tmp_path: Path) -> None:
    path = tmp_path / "roof.toml"
    path.write_text(HEAD + PLANES.rstrip("\n"))  # no line end at its end
    source = as_csv(tmp_path, ROWS)
    done = offseam("import", source, "--plane", "S", "--toml", str(path))
    assert done.returncode == 0, done.stderr
    assert [pen.id for pen in load_case(path).penetrations] == ["V1", "V2", "F1", "C1", "V3"]
    before = path.read_bytes()
    again = offseam("import", source, "--plane", "S", "--toml", str(path))
    assert again.returncode == 2 and "V1" in again.stderr and path.read_bytes() == before
    (tmp_path / "roof.json").write_text("{}")
    done = offseam("import", source, "--plane", "S", "--toml", str(tmp_path / "roof.json"))
    assert done.returncode == 2 and "written in JSON" in done.stderr


def test_line_ends_and_inline_lists_of_a_case(tmp_path: Path) -> None:
    source = as_csv(tmp_path, ROWS)
    path = tmp_path / "roof.toml"
    path.write_bytes((HEAD + PLANES).replace("\n", "\r\n").encode())
    assert offseam("import", source, "--plane", "S", "--toml", str(path)).returncode == 0
    data = path.read_bytes()
    assert data.count(b"\r\n") == data.count(b"\n") > 40
    path.write_text("penetration = []\n" + HEAD + PLANES)
    done = offseam("import", source, "--plane", "S", "--toml", str(path))
    assert done.returncode == 2 and "one list" in done.stderr


def test_hostile_texts_stay_texts(tmp_path: Path) -> None:
    rows = [["id", "x", "y", "size", "use"]] + [
        [name, 10 + 20 * n, 50, 2, f"={n}+1"] for n, name in enumerate(HOSTILE_IDS)]
    source = as_csv(tmp_path, rows)
    case, said = taken(tmp_path, source, "--plane", "S")
    for pen, name in zip(case.penetrations, HOSTILE_IDS, strict=True):
        assert pen.id == (f"'{name}" if name[0] in "=-" else name)
    text = (tmp_path / "stubs.csv").read_text(encoding="utf-8-sig")
    cells = list(csv.reader(text.splitlines()))
    assert not [cell for row in cells for cell in row if cell[:1] in ("=", "@", "+")]
    assert 'id "=cmd()" begins like a formula' in said
    path = tmp_path / "case.toml"
    path.write_text(HEAD + PLANES)
    assert offseam("import", source, "--plane", "S", "--toml", str(path)).returncode == 0
    assert [pen.id for pen in load_case(path).penetrations] == list(HOSTILE_IDS)


def bomb(path: Path) -> None:
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed,
        packed.open("xl/workbook.xml", "w") as stream,
    ):
        for _ in range(300):
            stream.write(b"0" * 2**20)


@pytest.mark.parametrize(
    ("name", "data", "told"),
    [
        ("s.csv", b"", "it has no rows"),
        ("s.csv", b"\xff\x00\x81", "it is not UTF-8 text"),
        ("s.csv", b'id,x\n"V1,3\n', "a quoted cell is not closed"),
        ("s.xlsx", b"", "it is no workbook"),
        ("s.xlsx", b"PK\x03\x04broken", "it is broken"),
        ("s.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old or a locked workbook"),
        ("s.xlsx", None, "larger than 256 MB"),
        ("gone.csv", ..., "there is no such file"),
    ],
)  # fmt: skip
def test_a_bad_file_is_one_sentence(tmp_path: Path, name: str, data: Any, told: str) -> None:
    path = tmp_path / name
    if data is None:
        bomb(path)
    elif data is not ...:
        path.write_bytes(data)
    done = offseam("import", str(path), "--plane", "S", "--out", str(tmp_path / "o.csv"))
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1 and told in done.stderr, done.stderr


def test_a_spreadsheets_unicode_text_is_read(tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    path.write_bytes("id\tx\ty\tod\r\nV1\t10\t20\t2\r\n".encode("utf-16"))
    case, _ = taken(tmp_path, str(path), "--plane", "S")
    assert case.penetrations[0].y == 20 * INCH


def test_options_that_do_not_fit_are_told(tmp_path: Path) -> None:
    source = as_csv(tmp_path, ROWS)
    done = offseam("import", source, "--cover", "18", "--sheet", "x")
    assert "--cover: it goes with a drawing" in done.stderr and "--out FILE or" in done.stderr
    done = offseam("import", source, "--out", "-")
    assert "--plane is missing" in done.stderr
    done = offseam("import", as_xlsx(tmp_path, ROWS), "--out", "-", "--sheet", "Penz")
    assert done.returncode == 2 and 'nearest known one is "Pens"' in done.stderr
    done = offseam("import", source, "--out", source, "--force", "--plane", "S")
    assert done.returncode == 2


@pytest.mark.parametrize(("nominal", "inches"), OUTSIDE_INCHES.items())
def test_outside_diameters(nominal: str, inches: str) -> None:
    """ASTM D2665 as the general library `fluids` tabulates it (metres), second-hand."""
    whole, _, part = nominal.partition(" ")
    size = float(whole) + (float(part[0]) / float(part[2]) if part else 0)
    found, _, outside, _ = nearest_pipe(NPS=size, schedule="PVCD2665")
    assert found == size and outside / 0.0254 == pytest.approx(float(inches), abs=0.0006)


@pytest.mark.parametrize(
    ("text", "nominal"),
    [('3"', "3"), ("3 in", "3"), ("Ø4", "4"), ("1-1/2", "1 1/2"), ("1.5", "1 1/2"),
     ("2 in dia.", "2"),
     ('6" pipe', "6"), ("5", None), ("3.5", None), ("50 mm", None), ("", None), ("x", None),
     ("-3", None), ("9" * 500, None)],
)  # fmt: skip
def test_nominal_sizes(text: str, nominal: str | None) -> None:
    assert nominal_size(text) == nominal
