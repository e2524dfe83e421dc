"""Exit codes, and what goes to standard output and what to standard error."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.unit.cli_runs import (
    NOTHING_OBEYS,
    SHED,
    hostile_case,
    offseam,
    offseam_on_a_terminal,
    write,
)
from tests.unit.test_cli_process import COMMANDS


def test_solving_a_case_prints_the_report_and_nothing_else(tmp_path: Path) -> None:
    done = offseam("solve", write(tmp_path, SHED))
    assert (done.returncode, done.stderr) == (0, "")
    for part in ("A shed", "LAYOUTS, BEST FIRST", "LAYOUT 1 IN FULL", "PLANE S", "FINDINGS",
                 "BEFORE YOU BUILD FROM THIS"):
        assert part in done.stdout


def test_a_legal_layout_checks_out(tmp_path: Path) -> None:
    done = offseam("check", write(tmp_path, SHED), "--first", "S=12")
    assert (done.returncode, done.stderr) == (0, "")
    assert "THIS LAYOUT OBEYS THE RULES" in done.stdout
    assert "The usual layout" in done.stdout


def test_where_nothing_obeys_the_rules_the_reason_is_told_and_written(tmp_path: Path) -> None:
    target = tmp_path / "result.json"
    case = write(tmp_path, NOTHING_OBEYS)
    done = offseam("solve", case, "--json", str(target))
    assert done.returncode == 3
    assert f"{case}: no layout satisfies the rules\n" in done.stderr
    assert all(one.startswith(f"{case}: ") for one in done.stderr.splitlines())
    assert "A, B" in done.stderr and "NO LAYOUT SATISFIES THE RULES" in done.stdout
    written = json.loads(target.read_text(encoding="utf-8"))
    assert written["layouts"] == []
    assert [f["code"] for f in written["findings"] if f["severity"] == "error"] == ["forbidden"]


def test_on_a_terminal_the_reason_is_shown_once(tmp_path: Path) -> None:
    pytest.importorskip("pty")
    code, seen = offseam_on_a_terminal("solve", write(tmp_path, NOTHING_OBEYS))
    assert code == 3
    assert seen.lower().count("no layout satisfies the rules") == 1
    assert seen.count("[forbidden]") == 1 and seen.count("no first width and no moves") == 1
    code, seen = offseam_on_a_terminal("check", write(tmp_path, SHED), "--first", "S=12.03")
    assert code == 3 and seen.count("whole number of 1/16") == 1


def test_an_illegal_layout_is_priced_with_its_reasons(tmp_path: Path) -> None:
    done = offseam("check", write(tmp_path, SHED), "--first", "S=12.03", "--move", "V2=3",
                   "--json", "-")
    assert done.returncode == 3
    assert "whole number of 1/16" in done.stderr and "V2 cannot move" in done.stderr
    written = json.loads(done.stdout)
    assert written["legal"] is False
    assert {reason["code"] for reason in written["reasons"]} >= {"whole-mark", "cannot-move"}
    pens = {pen["id"]: pen for pen in written["layouts"][0]["penetrations"]}
    assert pens["V2"]["moved"] == 3 and pens["V2"]["x"] == 183


def test_a_layout_that_cannot_be_priced_says_so(tmp_path: Path) -> None:
    done = offseam("check", write(tmp_path, SHED), "--first", "S=-1")
    assert done.returncode == 3
    assert "CANNOT BE PRICED" in done.stdout and "cannot be priced" in done.stderr


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (None, "there is no such file"),
        ("", "empty"),
        ("title = ", "not TOML"),
        (SHED.replace("cover = 18", "covr = 18\ncover = -1"), "covr"),
        (SHED.replace('x = "8 ft"', 'x = "11 1/0"'), "V1"),
    ],
)
def test_a_case_that_is_wrong_is_told_in_sentences(
    tmp_path: Path, text: str | None, told: str
) -> None:
    path = str(tmp_path / "gone.toml") if text is None else write(tmp_path, text)
    done = offseam("solve", path, "--json", str(tmp_path / "out.json"))
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr and "Traceback" not in done.stderr
    assert not (tmp_path / "out.json").exists()


def test_all_problems_of_a_case_come_at_once(tmp_path: Path) -> None:
    bad = SHED.replace("cover = 18", "cover = -1").replace("outside = 3.5", "outside = 0")
    done = offseam("check", write(tmp_path, bad))
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 2


@pytest.mark.parametrize(
    "args",
    [
        ["--top", "0"], ["--time", "0"], ["--time", "nan"], ["--time", "inf"], ["--layout", "0"],
        ["--layout", "4"], ["--engine", "magic"], ["--top", "x"], ["--tpo", "1"],
    ],
)
def test_options_out_of_range_are_refused_before_any_work(tmp_path: Path, args: list[str]) -> None:
    done = offseam("solve", str(tmp_path / "never-read.toml"), *args)
    assert (done.returncode, done.stdout) == (2, "")
    assert args[0] in done.stderr and "never-read" not in done.stderr


def test_a_layout_beyond_the_list_names_how_many_there_are(tmp_path: Path) -> None:
    target = tmp_path / "result.json"
    done = offseam("solve", write(tmp_path, SHED), "--top", "9", "--layout", "9",
                   "--json", str(target))
    assert done.returncode == 2
    assert "--layout 9" in done.stderr and "in the list" in done.stderr
    assert not target.exists()


def test_the_layout_asked_for_is_shown(tmp_path: Path) -> None:
    twice = SHED + (
        '[[penetration]]\nid = "V3"\nplane = "S"\nkind = "pipe"\nx = 105\ny = 100\noutside = 3.5\n'
    )
    done = offseam("solve", write(tmp_path, twice), "--layout", "2")
    assert done.returncode == 0
    assert "LAYOUT 2 IN FULL" in done.stdout


def test_json_on_standard_output_comes_alone(tmp_path: Path) -> None:
    done = offseam("solve", write(tmp_path, SHED), "--json", "-")
    assert done.returncode == 0
    assert json.loads(done.stdout)["format"] == "offseam-result-1"
    assert done.stdout.startswith("{") and done.stdout.endswith("}\n")


def test_no_command_a_wrong_one_and_help() -> None:
    assert offseam().returncode in (0, 2)  # help, whichever way typer counts it
    assert offseam("slove").returncode == 2
    for args in (["--help"], *([name, "--help"] for name in COMMANDS)):
        done = offseam(*args)
        assert done.returncode == 0 and "Example" in done.stdout
        assert max(map(len, done.stdout.splitlines())) <= 80
    assert offseam("--version").stdout.startswith("offseam ")


def test_out_of_time_before_any_layout(tmp_path: Path) -> None:
    # 20 pipes on two slopes that must all be clear, and next to no time: nothing can be found.
    text = hostile_case() + '[rules]\nforbid = ["tight", "crosses", "on-seam"]\n'
    done = offseam("solve", write(tmp_path, text), "--time", "0.000001",
                   "--engine", "direct", "--json", str(tmp_path / "out.json"))
    assert done.returncode == 4
    assert "time ran out" in done.stderr
    written = json.loads((tmp_path / "out.json").read_text(encoding="utf-8"))
    assert written["layouts"] == [] and written["complete"] is False


def test_out_of_time_with_a_layout_that_is_known_anyway(tmp_path: Path) -> None:
    """The same roof with nothing forbidden: the usual layout is one, and the page says how far from
    proven what it lists is."""
    done = offseam("solve", write(tmp_path, hostile_case()), "--time", "0.000001",
                   "--engine", "direct", "--json", str(tmp_path / "out.json"))
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert "The work was ended by the time limit" in said
    assert "could still be saved" in said and "As drawn: the best found by then." in said
    written = json.loads((tmp_path / "out.json").read_text(encoding="utf-8"))
    (only,) = written["layouts"]
    assert only["proof"] == "not proven" and written["complete"] is False
    assert only["bound"] < only["cost"]["total"] <= written["usual"]["cost"]["total"]
