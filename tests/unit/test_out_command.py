"""`offseam solve` with --page, --svg, --dxf and --out: what is written, by the program as run."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import re
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

from tests.unit.cli_runs import (
    HOSTILE_IDS,
    NOTHING_OBEYS,
    ROOT,
    SHED,
    hostile_case,
    offseam,
    write,
)
from tests.unit.workbook_reading import Sheet, read

LISTS = ("stubs", "panels", "takeoff", "field")
TOP = {"page.html", "workbook.xlsx", "result.json", "manifest.json", "findings.csv",
       *(f"{name}.{ending}" for name in LISTS for ending in ("csv", "json"))}
CASES = {"clinic": ("cases/clinic/case.toml", 1), "hillhouse": ("cases/hillhouse/case.toml", 2),
         "metric": ("cases/metric/case.toml", 1)}


def run(*args: str, seed: str = "1") -> None:
    done = offseam(*args, PYTHONHASHSEED=seed)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()


def out(tmp: Path, case: str, layout: int = 1, name: str = "out", seed: str = "1") -> Path:
    run("solve", case, "--layout", str(layout), "--out", str(tmp / name), seed=seed)
    return tmp / name


@pytest.fixture(scope="module", params=list(CASES))
def handed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[
    str, int, Path
]:
    case, layout = CASES[request.param]
    return case, layout, out(tmp_path_factory.mktemp(request.param), case, layout)


def document(folder: Path, name: str) -> dict:  # type: ignore[type-arg]
    return json.loads((folder / name).read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def rows(data: bytes) -> list[dict[str, str]]:
    assert data.startswith(b"\xef\xbb\xbf")
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_the_folder_holds_what_its_manifest_says(handed: tuple[str, int, Path]) -> None:
    case, layout, folder = handed
    names = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert {name for name in names if "/" not in name} == TOP
    planes = document(folder, "field.json")["planes"]
    for ending in ("svg", "dxf"):
        drawn = [name for name in names if re.fullmatch(rf"drawings/[\w-]+\.{ending}", name)]
        assert len(drawn) >= len(planes)
    manifest = document(folder, "manifest.json")
    assert [one["name"] for one in manifest["files"]] == sorted(names - {"manifest.json"})
    for one in manifest["files"]:
        data = (folder / one["name"]).read_bytes()
        assert one["bytes"] == len(data) and one["sha256"] == hashlib.sha256(data).hexdigest()
    sources = (ROOT / case).read_bytes()
    assert manifest["case_sha256"] == hashlib.sha256(sources).hexdigest()
    assert manifest["layout"] == layout and manifest["seed"] is None
    assert {"offseam", "ortools", "numpy", "ezdxf", "openpyxl"} <= set(manifest["versions"])


def test_the_lists_are_those_of_their_own_commands(
    handed: tuple[str, int, Path], tmp_path: Path
) -> None:
    case, layout, folder = handed
    for name in LISTS:
        target = tmp_path / f"{name}.csv"
        run(name, case, "--layout", str(layout), "--csv", str(target))
        assert (folder / f"{name}.csv").read_bytes() == target.read_bytes(), name
        assert document(folder, f"{name}.json")["layout"] == layout
    run("solve", case, "--json", str(tmp_path / "r.json"), "--page", str(tmp_path / "p.html"))
    whole = document(tmp_path, "r.json")
    del whole["seconds"]
    assert document(folder, "result.json") == whole
    assert (folder / "page.html").read_bytes() == (tmp_path / "p.html").read_bytes()
    told = rows((folder / "findings.csv").read_bytes())
    assert {one["date"] for one in told} <= {whole["date"]}  # no apostrophe, as in the other lists
    assert sorted(one["says"].lstrip("'") for one in told) == sorted(
        one["says"] for one in whole["findings"])


def test_the_workbook_holds_the_lists_with_real_numbers(handed: tuple[str, int, Path]) -> None:
    _, _, folder = handed
    book = read((folder / "workbook.xlsx").read_bytes())
    units = document(folder, "result.json")["units"]
    names = list(book)
    assert names[:4] == ["About", "Stub-ups", "Panels", "Take-off"] and names[-1] == "Findings"
    fields = [name for name in names if name.startswith("Field ")]
    assert len(fields) == len(document(folder, "field.json")["planes"])
    for sheets, file in (
        (["Stub-ups"], "stubs.csv"), (["Panels"], "panels.csv"), (["Take-off"], "takeoff.csv"),
        (fields, "field.csv"),
    ):
        whole = [row for name in sheets for row in book[name].rows]
        told = rows((folder / file).read_bytes())
        assert len(whole) == len(told) > 0
        for row, line in zip(whole, told, strict=True):
            for heading, text in line.items():
                cell = row.get(heading)
                if not text:
                    assert cell is None or cell.value is None
                    continue
                assert cell is not None, (file, heading, text)
                value = cell.value
                if isinstance(value, Decimal):
                    assert value == Decimal(text)
                else:
                    assert value == text.removeprefix("'") and cell.number_format == "@"
                if heading.endswith(f"({units})") and not heading.startswith(("lengths", "laps")):
                    assert isinstance(value, Decimal), heading
                if heading.startswith("amount"):
                    assert cell.number_format == "#,##0.00"
    for sheet in book.values():
        assert sheet.frozen == "A2" and all(5 < width < 60 for width in sheet.widths)
        assert not any(cell.formula for row in sheet.rows for cell in row.values())
    beside(book["Stub-ups"], units)


def beside(sheet: Sheet, units: str) -> None:
    """In inches every number of a length has its words at its right."""
    numbers = [place for place, one in enumerate(sheet.headings) if one.endswith(f" ({units})")]
    assert len(numbers) >= 8
    for place in numbers if units == "in" else []:
        stem = sheet.headings[place].removesuffix(" (in)")
        assert sheet.headings[place + 1] in (stem, f"{stem} (ft-in)")


def test_drawings_are_those_of_the_layout_and_open_again(handed: tuple[str, int, Path]) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    _, layout, folder = handed
    for path in sorted((folder / "drawings").glob("*.dxf")):
        drawing = ezdxf.readfile(path)
        audit = drawing.audit()
        assert not audit.errors and len(drawing.modelspace()) > 20
    for path in (folder / "drawings").glob("*.svg"):
        assert f">{layout} of 3, proven<" in path.read_text(encoding="utf-8")


def test_two_runs_give_the_same_bytes(handed: tuple[str, int, Path], tmp_path: Path) -> None:
    case, layout, folder = handed
    again = out(tmp_path, case, layout, seed="4")  # another order in every set
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            assert (again / path.relative_to(folder)).read_bytes() == path.read_bytes(), path.name


def test_a_folder_for_each_kind_of_drawing(tmp_path: Path) -> None:
    svg, dxf = tmp_path / "svg", tmp_path / "dxf"
    run("solve", "cases/clinic/case.toml", "--svg", str(svg), "--dxf", str(dxf))
    for folder, ending in ((svg, "svg"), (dxf, "dxf")):
        assert sorted(os.listdir(folder)) == [
            "manifest.json", f"plane-street.{ending}", f"plane-yard.{ending}"]
        assert len(document(folder, "manifest.json")["files"]) == 2
    assert sorted(os.listdir(tmp_path)) == ["dxf", "svg"]


def test_names_that_mean_something_elsewhere_stay_data(tmp_path: Path) -> None:
    folder = out(tmp_path, write(tmp_path, hostile_case(), "case.toml"))
    book = read((folder / "workbook.xlsx").read_bytes())
    tags = {str(row["tag"].value): row["tag"] for row in book["Stub-ups"].rows}
    movable = {row["tag"].lstrip("'") for row in rows((folder / "stubs.csv").read_bytes())}
    assert set(tags) == movable and len(tags) > 8 and set(tags) <= {*HOSTILE_IDS, "C1"}
    assert all(cell.quoted == tag.startswith(("=", "-", "+", "@")) for tag, cell in tags.items())
    assert not any(set(name) & set("[]:*?/\\") for name in book)
    for path in folder.rglob("*"):
        assert re.fullmatch(r"[A-Za-z0-9_.-]+", path.name)


def test_page_to_standard_output_takes_the_reports_place(tmp_path: Path) -> None:
    done = offseam("solve", write(tmp_path, SHED), "--page", "-")
    assert done.returncode == 0 and done.stdout.startswith("<!")
    assert "LAYOUTS, BEST FIRST" not in done.stdout


def test_refusals_come_before_any_work_and_all_at_once(tmp_path: Path) -> None:
    case = write(tmp_path, SHED)
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "photo.jpg").write_text("x")
    done = offseam("solve", case, "--out", str(tmp_path / "mine"), "--svg", case, "--dxf",
                   str(tmp_path / "no" / "dxf"), "--page", str(tmp_path))
    assert (done.returncode, done.stdout) == (2, "")
    for told in ("--out: ", "is not empty", "--svg: ", "is a file", "--dxf: ", "does not exist",
                 "--page: ", "is a folder"):
        assert told in done.stderr
    assert "Traceback" not in done.stderr and (tmp_path / "mine" / "photo.jpg").exists()
    done = offseam("solve", case, "--out", str(tmp_path))
    assert done.returncode == 2 and "roof.toml" in done.stderr


def test_without_a_layout_no_folder_is_written_and_an_old_one_stays(tmp_path: Path) -> None:
    old = out(tmp_path, write(tmp_path, SHED))
    before = (old / "manifest.json").read_bytes()
    bad = write(tmp_path, NOTHING_OBEYS, "bad.toml")
    page = tmp_path / "p.html"
    done = offseam("solve", bad, "--out", str(old), "--svg", str(tmp_path / "svg"), "--page",
                   str(page))
    assert done.returncode == 3
    assert "--out: " in done.stderr and "not written" in done.stderr
    assert (old / "manifest.json").read_bytes() == before and not (tmp_path / "svg").exists()
    assert "<html" in page.read_text(encoding="utf-8")


CODE = """
import os, signal, sys, time
{patch}
sys.argv = ["offseam", "solve", sys.argv[1], "--out", sys.argv[2]]
from cli.main import main
main()
"""
WHILE_LISTING = """
import solver.panels.list as room
made = room.panel_list
def slowly(*given):
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(0.5)
    return made(*given)
room.panel_list = slowly
"""
WHILE_WRITING = """
made, count = os.fsync, 0
def pressed(*given):
    global count
    count += 1
    if count == 3:
        os.kill(os.getpid(), signal.SIGINT)
    made(*given)
os.fsync = pressed
"""


def interrupted(tmp: Path, patch: str, target: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", CODE.format(patch=patch), write(tmp, SHED), str(target)], cwd=ROOT,
        capture_output=True, text=True, timeout=100, check=False,
    )


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_ctrl_c_while_writing_leaves_the_old_folder_or_nothing(tmp_path: Path) -> None:
    done = interrupted(tmp_path, WHILE_WRITING, tmp_path / "new")
    assert done.returncode == 130 and "interrupted" in done.stderr
    assert os.listdir(tmp_path) == ["roof.toml"]
    old = out(tmp_path, write(tmp_path, SHED.replace("A shed", "The shed before")))
    before = {path: path.read_bytes() for path in old.rglob("*") if path.is_file()}
    done = interrupted(tmp_path, WHILE_WRITING, old)
    assert done.returncode == 130
    assert {path: path.read_bytes() for path in old.rglob("*") if path.is_file()} == before
    assert sorted(os.listdir(tmp_path)) == ["out", "roof.toml"]


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_the_first_ctrl_c_while_listing_hands_the_folder_over(tmp_path: Path) -> None:
    done = interrupted(tmp_path, WHILE_LISTING, tmp_path / "new")
    assert done.returncode == 0, done.stderr
    assert "stopping" in done.stderr and (tmp_path / "new" / "workbook.xlsx").is_file()
