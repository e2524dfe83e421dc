"""The benchmark itself: it finishes, shows every table, and fails for wrong results alone.

No test here, and nothing in the benchmark, fails for time or memory.
"""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest

import aims
import axes
import batch_speed
import brute_odd
import engines
import growth
import oracle_odd
import run
import sheet_loading
import whole_process
from engine_worker import ENGINES, Batch, Run, Worker
from figures import WIDTH, DifferentOptimumError
from processes import HERE, ROOT, WentWrongError, report_of
from roofs import fixed_roof, many_planes, write_sheet_case
from solver.api import load_case

TITLES = ("1. ", "2a. ", "2b. ", "3a. ", "3b. ", "4. ", *(f"5{n}. " for n in "abcdefgh"), "6a. ",
          "6b. ", "7. ")
AXES = {"pipes", "odd panels", "planes", "eave, ft"}
TABLES = {
    "whole-process", "engines", "engine-ratios", "many-planes-first", "many-planes-three", "sheet",
    *(f"growth, {axis}" for axis in AXES), *(f"growth, {axis}, memory" for axis in AXES), "aims",
    "aim-eave", "batch",
}
MUCH = 1_000_000.0


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the quick run is started and writes to."""
    return tmp_path_factory.mktemp("benchmark")


@pytest.fixture(scope="module")
def quick(folder: Path) -> tuple[str, list[dict[str, str]]]:
    """What a quick run, started as anyone would and from elsewhere, prints and writes.

    In two halves at the same time: no test asks how long anything took.
    """
    halves = {
        "before": ("whole", "engines", "growth", "sheet", "aims"),
        "measured": ("axes",),
    }
    assert sorted(name for half in halves.values() for name in half) == sorted(run.SECTIONS)
    started = [
        subprocess.Popen(
            [sys.executable, str(HERE / "run.py"), "--quick", "--out", out,
             *(word for name in names for word in ("--only", name))],
            cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8",
        )
        for out, names in halves.items()
    ]
    said = ""
    for process in started:
        told, errors = process.communicate()
        assert process.returncode == 0, errors
        said += told
    figures: list[dict[str, str]] = []
    for out in halves:
        with (folder / out / "figures.csv").open(encoding="utf-8", newline="") as sheet:
            figures += csv.DictReader(sheet)
    return said, figures


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
    agree = {
        f["row"]: float(f["value"]) for f in figures
        if f["what"] == "engines that agree" and f["table"] == "engine-ratios"
    }
    assert set(agree) == set(engines.batches(quick=True))
    assert min(agree.values()) >= 2


def test_all_engines_prove_the_same_on_every_axis(
    quick: tuple[str, list[dict[str, str]]]
) -> None:
    """All four finish every tiny size, unless the machine is too busy for the slowest of them;
    disagreement would have ended the run."""
    _, figures = quick
    agree = [
        (f["table"], float(f["value"])) for f in figures
        if f["what"] == "engines that agree" and f["table"].startswith("growth")
    ]
    assert {table for table, _ in agree} == {f"growth, {axis}" for axis in AXES}
    assert {many for _, many in agree} <= {3.0, 4.0}
    assert 4.0 in {many for _, many in agree}


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("name", ["seconds", "memory"])
def test_the_drawing_shows_every_axis_and_line(folder: Path, name: str) -> None:
    """It is well-formed, and the words on it are those of the axes and the engines."""
    root = ElementTree.parse(folder / "measured" / f"{name}.svg").getroot()
    words = [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]
    for axis in axes.axes(quick=True):
        assert axis.title in words
        assert axis.key in words
    for series in axes.SERIES:
        assert series.name in words


def test_figures_are_not_written_into_the_project(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        run.main(["--quick", "--only", "whole", "--out", str(ROOT / "measured")])
    assert "inside the project" in capsys.readouterr().err
    assert not (ROOT / "measured").exists()


def _cells(patch: pytest.MonkeyPatch, found: dict[str, axes.Cell]) -> None:
    patch.setattr(
        axes, "one_cell", lambda document, engine, limit, repeat: found[engine]
    )


def _finished(cents: int | None) -> axes.Cell:
    return axes.Cell(0.5, 0.5, cents, 60.0)


CUT_OFF = axes.Cell(None, None, None, 60.0)


def test_another_optimum_on_an_axis_fails_the_run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _cells(monkeypatch, {"tables": _finished(500), "direct": _finished(500),
                         "HiGHS": CUT_OFF, "brute force": _finished(501)})
    assert run.main(["--quick", "--only", "axes"]) == 1
    assert "pipes 3: optima in cents differ" in capsys.readouterr().err


def test_no_layout_on_an_axis_is_an_answer_like_others(monkeypatch: pytest.MonkeyPatch) -> None:
    _cells(monkeypatch, {"tables": _finished(None), "direct": _finished(0),
                         "HiGHS": CUT_OFF, "brute force": CUT_OFF})
    with pytest.raises(DifferentOptimumError):
        list(axes.measure(5.0, 1, quick=True))


def test_what_was_cut_off_is_shown_so_and_not_tried_on_more(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _cells(monkeypatch, {"tables": _finished(500), "direct": _finished(500),
                         "HiGHS": CUT_OFF, "brute force": CUT_OFF})
    whole = axes.axes(quick=False)
    monkeypatch.setattr(axes, "axes", lambda quick: whole)
    assert run.main(["--quick", "--only", "axes", "--cell", "7"]) == 0
    said = capsys.readouterr().out
    rows = said[said.index("5g. "):].splitlines()
    assert rows[3].split()[:6] == ["50", "0.500", "0.500", "0.500", ">7", ">7"]
    assert rows[4].split()[:6] == ["100", "0.500", "0.500", "0.500", "-", "-"]


def test_a_process_tells_what_it_could_not_prove_in_time() -> None:
    """HiGHS on a roof far too large for a tenth of a second: no seconds, no optimum, its memory."""
    document = json.dumps(fixed_roof(1, 12, 100, 1, mark="1/4"))
    _, told = report_of("one_engine.py", "HiGHS", "0.1", said=document)
    assert told["seconds"] is None and told["cents"] is None
    assert told["peak"] is None or told["peak"] > 0


@pytest.mark.parametrize("odd", [0, 1, 2])
def test_brute_force_is_what_the_naive_enumeration_finds(odd: int) -> None:
    """The quick enumeration of the benchmark against that of the tests, ties and all."""
    for seed in range(3):
        document = fixed_roof(1, 3, 5, odd, mark="2", seed=seed)
        layouts = oracle_odd.solve(document, top=1)["layouts"]
        assert brute_odd.optimum_cents(document) == layouts[0]["total"]


def test_brute_force_refuses_what_it_does_not_know() -> None:
    with pytest.raises(ValueError, match="fixed pipes"):
        brute_odd.optimum_cents(many_planes(1, 5))


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
    with pytest.raises(DifferentOptimumError):
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

    def report(
        script: str, *arguments: str, said: str | None = None
    ) -> tuple[float, dict[str, object]]:
        much = {"seconds": MUCH, "cpu": MUCH, "peak": MUCH * MUCH, "cents": 500}
        entry = {**much, "proof": "not proven", "cents": 9, "bound": 1}
        return MUCH, {**much, "entries": [entry], "stopped": "time", "bare": 0.001}

    monkeypatch.setattr(whole_process, "interleaved", slow)
    monkeypatch.setattr(growth, "report_of", report)
    monkeypatch.setattr(growth, "run", lambda arguments: (1.0, ""))
    for module in (sheet_loading, axes, aims):
        monkeypatch.setattr(module, "report_of", report)
    monkeypatch.setattr(batch_speed, "run", lambda arguments: (MUCH, ""))
    monkeypatch.setattr(batch_speed, "_insist_same", lambda one, other: None)
    monkeypatch.setattr(sheet_loading, "write_sheet_case", lambda folder, rows: folder)
    assert run.main(["--repeat", "1"]) == 0
    # two demos; 20 planes in a chain: time and memory; their three best in chain and ring; sheet;
    # three roofs with odd panels, and memory; a batch that two processes make no faster
    assert capsys.readouterr().out.count("missed") == 12


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
