"""The benchmark itself: it finishes, shows every table, and fails for wrong results alone.

No test here, and nothing in the benchmark, fails for time or memory.
"""

from __future__ import annotations

import csv
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import engines
import growth
import run
import sheet_loading
import whole_process
from engine_worker import ENGINES, Batch, Run, Worker
from figures import WIDTH
from processes import HERE, WentWrongError
from roofs import many_planes, write_sheet_case
from solver.api import load_case

TITLES = ("1. ", "2a. ", "2b. ", "3a. ", "3b. ", "4. ")
TABLES = {
    "whole-process", "engines", "engine-ratios", "many-planes-first", "many-planes-three", "sheet",
}
MUCH = 1_000_000.0


@pytest.fixture(scope="module")
def quick(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, list[dict[str, str]]]:
    """What one quick run, started as anyone would and from elsewhere, prints and writes."""
    folder = tmp_path_factory.mktemp("benchmark")
    done = subprocess.run(
        [sys.executable, str(HERE / "run.py"), "--quick", "--out", "figures.csv"],
        cwd=folder, capture_output=True, encoding="utf-8", check=False,
    )
    assert done.returncode == 0, done.stderr
    with (folder / "figures.csv").open(encoding="utf-8", newline="") as sheet:
        return done.stdout, list(csv.DictReader(sheet))


def test_every_table_is_printed_within_80_columns(
    quick: tuple[str, list[dict[str, str]]]
) -> None:
    said, _ = quick
    lines = said.splitlines()
    for title in TITLES:
        assert any(line.startswith(title) for line in lines), title
    assert max(map(len, lines)) <= WIDTH


def test_every_table_has_figures(quick: tuple[str, list[dict[str, str]]]) -> None:
    _, figures = quick
    assert {figure["table"] for figure in figures} == TABLES
    for figure in figures:
        assert figure["note"] or float(figure["value"]) >= 0, figure


def test_engines_agree_on_every_quick_case(quick: tuple[str, list[dict[str, str]]]) -> None:
    """Two engines at least finish each tiny case; disagreement would have ended the run."""
    _, figures = quick
    agree = {f["row"]: float(f["value"]) for f in figures if f["what"] == "engines that agree"}
    assert set(agree) == set(engines.batches(quick=True))
    assert min(agree.values()) >= 2


class _Stand:
    """Stands in for a worker: `answers` for each engine, the same seconds every time."""

    def __init__(self, engine: str, seconds: float, answers: dict[str, int | None]) -> None:
        self._run = Run(seconds, (answers[engine],) if engine in answers else None)

    def run(self, batch: Batch, bound: float) -> Run:
        return self._run

    def close(self) -> None:
        pass


def _engines_are(
    patch: pytest.MonkeyPatch, answers: dict[str, int | None], seconds: float = 0.5
) -> None:
    patch.setattr(engines, "batches", lambda quick: {"one": [many_planes(1, 1)]})
    patch.setattr(engines, "Worker", lambda engine: _Stand(engine, seconds, answers))


def test_another_optimum_fails_the_run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _engines_are(monkeypatch, {"tables": 500, "direct": 500, "HiGHS": 499})
    assert run.main(["--quick", "--only", "engines"]) == 1
    assert "optima in cents differ" in capsys.readouterr().err


def test_no_layout_is_an_answer_like_others(monkeypatch: pytest.MonkeyPatch) -> None:
    _engines_are(monkeypatch, {"tables": None, "direct": 0})
    with pytest.raises(engines.DifferentOptimumError):
        engines.measure(1, 1.0, quick=True)


def test_an_engine_that_hits_the_bound_is_shown_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _engines_are(monkeypatch, {"tables": 500, "HiGHS": 500})
    assert run.main(["--quick", "--only", "engines", "--bound", "7"]) == 0
    row = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("one"))
    assert row.split() == ["one", "0.500", ">7", "0.500", ">7", "500"]


def test_a_slow_and_hungry_machine_fails_nothing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every aim missed by far: the tables say so, and the run still ends well."""
    _engines_are(monkeypatch, dict.fromkeys(ENGINES, 500), seconds=MUCH)

    def slow(commands: dict[str, object], repeat: int) -> dict[str, list[float]]:
        return {name: [MUCH if name.startswith("solve") else 1.0] for name in commands}

    def report(script: str, *arguments: str) -> tuple[float, dict[str, object]]:
        much = {"seconds": MUCH, "peak": MUCH * MUCH}
        entry = {**much, "proof": "not proven", "cents": 9, "bound": 1}
        return MUCH, {**much, "entries": [entry], "stopped": "time", "bare": 0.001}

    monkeypatch.setattr(whole_process, "interleaved", slow)
    monkeypatch.setattr(growth, "report_of", report)
    monkeypatch.setattr(growth, "run", lambda arguments: (1.0, ""))
    monkeypatch.setattr(sheet_loading, "report_of", report)
    monkeypatch.setattr(sheet_loading, "write_sheet_case", lambda folder, rows: folder)
    assert run.main(["--repeat", "1"]) == 0
    # two demos; 20 planes in a chain: time and memory; their three best in chain and ring; sheet
    assert capsys.readouterr().out.count("missed") == 7


def test_a_process_that_goes_wrong_fails_the_run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(whole_process, "IMPORT_CP_MODEL", ("-c", "raise SystemExit(9)"))
    assert run.main(["--quick", "--only", "whole"]) == 1
    assert "exit 9 instead of 0" in capsys.readouterr().err


@pytest.fixture
def force() -> Iterator[Worker]:
    """Brute force in its own process, ended after the test."""
    worker = Worker("brute force")
    yield worker
    worker.close()


def test_an_engine_is_cut_off_at_the_bound_and_starts_again(force: Worker) -> None:
    assert force.run([many_planes(1, 20)], 0.2).answers is None
    answers = force.run([many_planes(1, 1)], 30.0).answers
    assert answers is not None and len(answers) == 1


def test_an_engine_that_fails_is_told(force: Worker) -> None:
    with pytest.raises(WentWrongError, match="brute force"):
        force.run([{"units": "in"}], 30.0)


def test_the_long_sheet_is_a_case_like_any(tmp_path: Path) -> None:
    case = load_case(write_sheet_case(tmp_path, 60))
    assert len(case.penetrations) == 60
    assert (tmp_path / "pipes.csv").read_bytes().startswith(b"\xef\xbb\xbf")
