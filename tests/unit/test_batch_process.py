"""`offseam batch` as a process: what it writes, skips, survives, and how it ends."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.unit.cli_runs import (
    NOTHING_OBEYS,
    ROOT,
    SHED,
    offseam,
    write,
)

LINUX = pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="looks into /proc")
CALL = [sys.executable, "-m", "cli.main", "batch"]


def roofs(place: Path, count: int) -> Path:
    """A folder of so many good cases: r0.toml, r1.toml, …"""
    place.mkdir(exist_ok=True)
    for n in range(count):
        write(place, SHED.replace('x = "8 ft"', f"x = {90 + n}"), f"r{n}.toml")
    return place


def summary(out: Path) -> list[dict[str, str]]:
    text = (out / "summary.csv").read_text(encoding="utf-8-sig")
    return list(csv.DictReader(text.splitlines()))


def states(out: Path) -> list[str]:
    return [row["state"] for row in summary(out)]


def result(path: Path) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    document.pop("seconds")
    return document


def test_good_and_bad_cases_side_by_side(tmp_path: Path) -> None:
    place, out = roofs(tmp_path / "in", 2), tmp_path / "out"
    write(place, NOTHING_OBEYS, "none.toml")
    write(place, SHED.replace("cover = 18", "cover = -1"), "wrong.toml")
    (place / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    write(place, '{"format": "offseam-result-1"}', "old.json")
    gone = str(tmp_path / "gone.toml")
    done = offseam("batch", gone, str(place), "--out", str(out), "--jobs", "2")
    assert done.returncode == 2  # a wrong case is worse than one without a layout
    assert done.stderr == f"{place}: skipped old.json (written by this program)\n"
    assert [(row["file"], row["state"]) for row in summary(out)] == [
        (gone, "wrong case"), (str(place / "bytes.toml"), "wrong case"),
        (str(place / "none.toml"), "no layout"), (str(place / "r0.toml"), "solved"),
        (str(place / "r1.toml"), "solved"), (str(place / "wrong.toml"), "wrong case")]
    told = {Path(row["file"]).name: row["message"] for row in summary(out)}
    assert "no such file" in told["gone.toml"] and "not UTF-8" in told["bytes.toml"]
    assert "A, B" in told["none.toml"] and "panel cover is -1" in told["wrong.toml"]
    assert sorted(os.listdir(out)) == [
        "batch.json", "none.json", "r0.json", "r1.json", "summary.csv"]
    for part in ("6 CASES", "2 solved, 1 no layout, 3 wrong case.", "no such file"):
        assert part in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    direct = tmp_path / "direct.json"
    assert offseam("solve", str(place / "r1.toml"), "--json", str(direct)).returncode == 0
    assert result(out / "r1.json") == result(direct)


def test_what_is_done_and_unchanged_is_skipped(tmp_path: Path) -> None:
    place, out = roofs(tmp_path / "in", 2), tmp_path / "out"
    write(place, NOTHING_OBEYS, "none.toml")
    (place / "pipes.csv").write_text("id,plane,kind,x,y,outside\nV9,S,pipe,50,50,3.5\n")
    write(place, 'penetrations_csv = "pipes.csv"\n' + SHED, "sheet.toml")
    call = ["batch", str(place), "--out", str(out), "--jobs", "1"]
    assert offseam(*call).returncode == 3
    first = summary(out)
    before = {name: (out / name).read_bytes() for name in os.listdir(out)}
    done = offseam(*call)
    assert done.returncode == 3 and "4 done before." in done.stdout
    assert states(out) == ["done before"] * 4
    assert [{**row, "state": ""} for row in summary(out)] == [{**row, "state": ""} for row in first]
    assert {name: (out / name).read_bytes() for name in before if name != "summary.csv"} == {
        name: data for name, data in before.items() if name != "summary.csv"}
    # a changed sheet, a changed result, a result that is gone
    (place / "pipes.csv").write_text("id,plane,kind,x,y,outside\nV9,S,pipe,60,50,3.5\n")
    (out / "r0.json").write_bytes(before["r0.json"].replace(b"shed", b"barn"))
    (out / "none.json").unlink()
    assert offseam(*call).returncode == 3
    assert states(out) == ["no layout", "solved", "done before", "solved"]
    # a case that has become wrong: its old result would mislead
    write(place, "title = ", "r1.toml")
    assert offseam(*call, "--top", "2").returncode == 2
    assert states(out) == ["no layout", "solved", "wrong case", "solved"]
    assert not (out / "r1.json").exists()
    write(place, SHED, "r1.toml")
    assert offseam(*call, "--top", "2", "--again").returncode == 3
    assert states(out) == ["no layout", "solved", "solved", "solved"]


def test_the_same_name_in_two_folders_and_hostile_names(tmp_path: Path) -> None:
    one, other = roofs(tmp_path / "a", 1), roofs(tmp_path / "b", 1)
    write(other, SHED.replace("A shed", "=B()"), "r0.toml")
    strange = [write(one, SHED, name) for name in (
        "summary.toml", "batch.toml", "=cmd|x.toml", "[red]\x1b[2J.toml", "a b.toml", "-x.toml")]
    out = tmp_path / "out"
    done = offseam("batch", f"{one}/r0.toml", str(other / "r0.toml"), *strange, "--out", str(out))
    assert (done.returncode, done.stderr) == (0, "")
    assert sorted(os.listdir(out)) == sorted([
        "a-r0.json", "b-r0.json", "case-summary.json", "case-batch.json", "cmd-x.json",
        "red---2J.json", "a-b.json", "x.json", "summary.csv", "batch.json"])
    assert "\x1b" not in done.stdout
    assert [row["title"] for row in summary(out)][:2] == ["A shed", "'=B()"]
    assert result(out / "b-r0.json")["title"] == "=B()"


def test_no_input_is_written_over_and_no_file_of_another(tmp_path: Path) -> None:
    place = roofs(tmp_path / "in", 1)
    (place / "summary.csv").write_text("id,plane,kind,x,y,outside\nV9,S,pipe,50,50,3.5\n")
    (place / "roof.json").write_text(json.dumps({"title": "R", "plane": [], "panel": {}}))
    path = write(place, 'penetrations_csv = "summary.csv"\n' + SHED, "s.toml")
    before = {name: (place / name).read_bytes() for name in os.listdir(place)}
    done = offseam("batch", path, str(place / "roof.json"), "--out", str(place))
    assert (done.returncode, done.stdout) == (2, "")
    assert "roof.json is a file the cases are read from" in done.stderr
    assert "summary.csv is a file the cases are read from" in done.stderr
    done = offseam("batch", str(place / "r0.toml"), "--out", str(place))
    assert done.returncode == 2 and "summary.csv was not written by this command" in done.stderr
    (place / "r0.json").write_text("{}")
    (place / "summary.csv").unlink()
    done = offseam("batch", str(place / "r0.toml"), "--out", str(place))
    assert done.returncode == 2 and "r0.json was not written by this command" in done.stderr
    (place / "r0.json").unlink()
    done = offseam("batch", str(place / "r0.toml"), "--out", str(place))
    assert done.returncode == 0
    assert {name: (place / name).read_bytes() for name in before if name != "summary.csv"} == {
        name: data for name, data in before.items() if name != "summary.csv"}


@pytest.mark.parametrize(("args", "told"), [
    (["--jobs", "0"], "--jobs 0: give 1 or more"), (["--top", "0"], "--top 0"),
    (["--time", "0"], "--time 0"), (["--jobs", "2", "--dask", "tcp://x:1"], "leave out one"),
    (["--out", "x/y/z"], "does not exist; make that first"),
    (["--out", "DIR/f"], "is no folder"), (["--dask", " "], "address of a scheduler"),
])  # fmt: skip
def test_a_wrong_command_line_is_told_before_any_work(
    tmp_path: Path, args: list[str], told: str
) -> None:
    (tmp_path / "f").write_text("")
    given = [arg.replace("DIR", str(tmp_path)) for arg in args]
    out = [] if "--out" in args else ["--out", str(tmp_path / "out")]
    done = offseam("batch", write(tmp_path, SHED), *given, *out)
    assert (done.returncode, done.stdout) == (2, "") and told in done.stderr
    assert not (tmp_path / "out").exists()


def test_the_bar_is_on_a_terminal_only(tmp_path: Path) -> None:
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [*CALL, str(roofs(tmp_path / "in", 2)), "--out", str(tmp_path / "out"), "--jobs", "1"],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=theirs, encoding="utf-8", timeout=60, check=False,
        env={**os.environ, "TERM": "xterm", "COLUMNS": "100"},
    )  # fmt: skip
    os.close(theirs)
    seen = b""
    try:
        while part := os.read(ours, 65536):
            seen += part
    except OSError:  # all is read
        os.close(ours)
    assert done.returncode == 0 and b"2 of 2 cases" in seen and b"Traceback" not in seen
    assert "of 2 cases" not in done.stdout and "2 solved." in done.stdout


def workers(process: subprocess.Popen[str]) -> list[int]:
    """The processes that solve for a batch."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            parent = int(path.read_text().rpartition(")")[2].split()[1])
            line = (path.parent / "cmdline").read_bytes()
        except (OSError, ValueError, IndexError):
            continue
        if parent == process.pid and b"spawn_main" in line:
            found.append(int(path.parent.name))
    return sorted(found)


def until(true: Any, seconds: float = 30.0) -> None:
    ended = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < ended, "it never came"
        time.sleep(0.01)


@contextmanager
def held_batch(place: Path, out: Path, jobs: int) -> Iterator[tuple[subprocess.Popen[str], int]]:
    """A batch one of whose processes stands still while it has a case; the process's id."""
    with subprocess.Popen(
        [*CALL, str(place), "--out", str(out), "--jobs", str(jobs)], cwd=ROOT,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8", start_new_session=True,
    ) as process:  # fmt: skip
        try:
            until(lambda: workers(process))
            held = workers(process)[0]
            os.kill(held, signal.SIGSTOP)  # while it starts: its first case waits in the pipe
            yield process, held
        finally:
            process.kill()


@LINUX
def test_a_killed_process_costs_its_own_case_alone(tmp_path: Path) -> None:
    place, out = roofs(tmp_path / "in", 4), tmp_path / "out"
    with held_batch(place, out, 2) as (process, held):
        until(lambda: len(list(out.glob("r?.json"))) == 3)  # the other process does the rest
        os.kill(held, signal.SIGKILL)
        said, told = process.communicate(timeout=30)
    assert process.returncode == 1 and told == ""
    assert sorted(states(out)) == ["fault of the program"] + ["solved"] * 3
    assert "killed from outside" in said and "Traceback" not in said
    assert offseam("batch", str(place), "--out", str(out)).returncode == 0
    assert sorted(states(out)) == ["done before"] * 3 + ["solved"]


@LINUX
def test_ctrl_c_keeps_what_is_done_and_goes_on_from_there(tmp_path: Path) -> None:
    place, out = roofs(tmp_path / "in", 6), tmp_path / "out"
    with held_batch(place, out, 2) as (process, _):
        until(lambda: len(list(out.glob("r?.json"))) == 5)
        known = workers(process)
        os.killpg(process.pid, signal.SIGINT)  # as a terminal does: to the whole group
        began = time.monotonic()
        said, told = process.communicate(timeout=30)
        assert time.monotonic() - began < 5
    assert process.returncode == 4  # as solve ends where it was stopped before any layout
    assert told == "stopping: what is done is kept; Ctrl-C once more quits at once\n"
    assert "5 solved, 1 stopped." in said and "the same command again" in said
    assert sorted(states(out)) == ["solved"] * 5 + ["stopped"]
    assert not any(Path(f"/proc/{pid}").exists() for pid in known)
    assert not list(out.glob(".*"))
    assert offseam("batch", str(place), "--out", str(out)).returncode == 0
    assert sorted(states(out)) == ["done before"] * 5 + ["solved"]


@LINUX
def test_workers_do_not_outlive_a_killed_batch(tmp_path: Path) -> None:
    place, out = roofs(tmp_path / "in", 3), tmp_path / "out"
    with held_batch(place, out, 2) as (process, held):
        until(lambda: remembered(out) == 2)
        known = [pid for pid in workers(process) if pid != held]
        process.kill()
        process.wait()
        os.kill(held, signal.SIGKILL)
        until(lambda: not any(alive(pid) for pid in known))
    assert offseam("batch", str(place), "--out", str(out)).returncode == 0
    assert sorted(states(out)) == ["done before"] * 2 + ["solved"]


def remembered(out: Path) -> int:
    path = out / "batch.json"
    return len(json.loads(path.read_text())["cases"]) if path.exists() else 0


def alive(pid: int) -> bool:
    try:
        stat = Path(f"/proc/{pid}/stat").read_text()
    except OSError:
        return False
    return stat.rpartition(")")[2].split()[0] != "Z"


def test_help_loads_nothing_that_is_slow_to_load() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "cli.main", "batch", "--help"], cwd=ROOT,
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 0 and "Example" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    loaded = {line.rsplit("|", 1)[-1].strip() for line in done.stderr.splitlines()}
    heavy = {"numpy", "ortools", "dask", "distributed", "solver.api", "solver.batching.one"}
    assert not loaded & heavy


def test_a_worker_loads_no_solver_until_it_solves() -> None:
    code = ("import sys, solver.batching.one, solver.batching.pool, solver.batching.cluster\n"
            "import solver.batching.read\n"
            "sys.exit(any(name in sys.modules for name in "
            "('ortools', 'numpy', 'pydantic', 'dask', 'distributed')))")
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0
