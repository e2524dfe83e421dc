"""What only shows in a real process: quick starts, closed pipes, Ctrl-C, faults."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from cli import failures, progress
from cli.failures import exit_code
from cli.progress import run_stoppable
from solver.clock import Clock
from solver.errors import DisagreementError, OutOfTimeError
from tests.unit.cli_runs import ROOT, SHED, hostile_case, offseam, write

HEAVY = ("ortools", "pandas")
COMMANDS = (
    "solve", "check", "why", "free", "place", "stubs", "panels", "takeoff", "field", "replan",
    "survey", "risk", "compare", "batch", "new", "import", "schema", "completion",
)


@pytest.mark.parametrize(
    "args", [["--help"], ["solve", "gone.toml"], ["check", "CASE"], ["solve", "CASE"], ["--bad"]]
)
def test_the_solver_library_is_not_loaded_where_it_is_not_used(
    tmp_path: Path, args: list[str]
) -> None:
    path = write(tmp_path, SHED)
    code = (
        "import sys\n"
        f"sys.argv = ['offseam', *{[path if arg == 'CASE' else arg for arg in args]!r}]\n"
        "import cli.main\n"
        "try:\n    cli.main.main()\nexcept SystemExit:\n    pass\n"
        "print([name for name in sys.modules if name in "
        f"{HEAVY!r}], file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True,
                          timeout=60, check=False)
    assert done.stderr.splitlines()[-1] == "[]"


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_loads_no_library_that_is_slow_to_load(command: str) -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "cli.main", *command.split(), "--help"],
        cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 0 and f"offseam {command}".strip() in done.stdout
    loaded = {line.rsplit("|", 1)[-1].strip() for line in done.stderr.splitlines()}
    assert "typer" in loaded
    heavy = {"numpy", "ortools", "solver.case_file.entries", "solver.api", "cli.report.pages"}
    assert not loaded & heavy
    if not command:  # the parser loads pydantic itself once it reads a command's own options
        assert not loaded & {"pydantic", "rich.console"}


@pytest.mark.parametrize("command", ["solve", "check"])
def test_a_reader_that_leaves_early_is_no_error(tmp_path: Path, command: str) -> None:
    path = write(tmp_path, hostile_case())
    target = tmp_path / "result.json"
    with subprocess.Popen(
        [sys.executable, "-m", "cli.main", command, path, "--json", str(target)], cwd=ROOT,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        told = process.stderr.read()
        assert process.wait(60) == 0
    assert told == b""
    assert target.exists()


@pytest.mark.parametrize("command", ["solve", "check"])
def test_a_closed_standard_output_is_told_and_no_fault(tmp_path: Path, command: str) -> None:
    target = tmp_path / "result.json"
    script = 'exec "$@" >&-'
    call = ["sh", "-c", script, "sh", sys.executable, "-m", "cli.main"]
    done = subprocess.run([*call, command, write(tmp_path, SHED), "--json", str(target)], cwd=ROOT,
                          stderr=subprocess.PIPE, text=True, timeout=60, check=False)
    assert (done.returncode, done.stderr) == (
        2, "standard output cannot be written (it is closed)\n")
    assert target.read_text(encoding="utf-8").startswith("{")  # written first, and whole
    done = subprocess.run([*call, "--help"], cwd=ROOT, stderr=subprocess.PIPE, text=True,
                          timeout=60, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_closed_standard_error_is_no_fault_either(tmp_path: Path) -> None:
    call = ["sh", "-c", 'exec "$@" 2>&-', "sh", sys.executable, "-m", "cli.main", "solve"]
    gone = subprocess.run([*call, str(tmp_path / "gone.toml")], cwd=ROOT, stdout=subprocess.PIPE,
                          timeout=60, check=False)
    assert (gone.returncode, gone.stdout) == (2, b"")
    done = subprocess.run([*call, write(tmp_path, SHED)], cwd=ROOT, stdout=subprocess.PIPE,
                          timeout=60, check=False)
    assert done.returncode == 0 and b"LAYOUT 1 IN FULL" in done.stdout


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no full device here")
def test_a_full_disk_is_told(tmp_path: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "cli.main", "check", write(tmp_path, SHED)], cwd=ROOT,
            stdout=full, stderr=subprocess.PIPE, text=True, timeout=60, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert "standard output cannot be written" in done.stderr and "Traceback" not in done.stderr


def test_the_first_interrupt_stops_the_clock_and_the_work_hands_over() -> None:
    clock = Clock()

    def work() -> str:
        while not clock.over():
            time.sleep(0.005)
        return clock.stopped()

    threading.Timer(0.1, os.kill, (os.getpid(), signal.SIGINT)).start()
    before = signal.getsignal(signal.SIGINT)
    assert run_stoppable(clock, work) == "interrupt"
    assert signal.getsignal(signal.SIGINT) is before


def test_a_fault_in_the_work_reaches_the_caller() -> None:
    def work() -> None:
        raise DisagreementError("one says 1, the other 2")

    with pytest.raises(DisagreementError, match="one says 1"):
        run_stoppable(Clock(), work)


def test_the_second_interrupt_quits() -> None:
    code = (
        "import os, signal, threading, time\n"
        "from cli.progress import run_stoppable\n"
        "from solver.clock import Clock\n"
        "for after in (0.2, 0.5):\n"
        "    threading.Timer(after, os.kill, (os.getpid(), signal.SIGINT)).start()\n"
        "run_stoppable(Clock(), lambda: time.sleep(30))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True,
                          timeout=25, check=False)
    assert done.returncode == 130
    assert done.stderr.splitlines()[-1] == "interrupted"


def test_ctrl_c_prints_the_best_so_far_with_its_bound(tmp_path: Path) -> None:
    """The direct model needs many seconds here; interrupted, it hands over what it has."""
    process = subprocess.Popen(
        [sys.executable, "-m", "cli.main", "solve", write(tmp_path, hostile_case()), "--engine",
         "direct", "--top", "50"], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        encoding="utf-8", env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    time.sleep(8)  # the handler stands long before, on a busy machine too
    if process.poll() is not None:
        pytest.skip("solved before it could be interrupted")
    process.send_signal(signal.SIGINT)
    try:
        out, told = process.communicate(timeout=60)
    finally:
        process.kill()
    assert process.returncode in (0, failures.OUT_OF_TIME)
    assert "Traceback" not in told and "stopping" in told
    if process.returncode == 0:
        assert "The work was ended by Ctrl-C" in out


def test_a_fault_is_one_sentence_and_a_traceback_only_on_request(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(failures.TRACEBACK, raising=False)
    try:
        raise ZeroDivisionError("two\nlines")
    except ZeroDivisionError as error:
        assert exit_code(error) == 1
        told = capsys.readouterr().err
        assert told.count("\n") == 1 and "report it" in told and str(ROOT) not in told
        monkeypatch.setenv(failures.TRACEBACK, "1")
        assert exit_code(error) == 1
        assert "Traceback" in capsys.readouterr().err


def test_each_error_has_its_exit_code(capsys: pytest.CaptureFixture[str]) -> None:
    assert exit_code(DisagreementError("first view\nsecond view")) == 1
    told = capsys.readouterr().err
    assert "first view" in told and "second view" in told
    assert exit_code(OutOfTimeError()) == 4
    assert exit_code(KeyboardInterrupt()) == 130
    assert exit_code(MemoryError()) == 1
    assert "Traceback" not in capsys.readouterr().err


def test_what_is_told_cannot_steer_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    failures.tell("a\x1b[2Jb\r\u202ec")
    assert capsys.readouterr().err == "a\\x1b[2Jb\\r\\u202ec\n"


def test_progress_is_silent_off_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress, "PATIENCE", 0.0)
    with progress.Progress() as line:
        line.say("plane S")
        time.sleep(0.05)
    assert capsys.readouterr().err == ""


def test_ascii_only_output_still_works(tmp_path: Path) -> None:
    done = offseam("solve", write(tmp_path, hostile_case()), PYTHONIOENCODING="ascii")
    assert done.returncode == 0 and done.stdout.isascii()
