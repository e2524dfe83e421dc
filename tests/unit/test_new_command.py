"""`offseam new`: options, questions, and a case that loads, solves and explains itself."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from solver.case import Case
from solver.case_file.load import load_case
from solver.intake.drafts import length_text, plain_number
from solver.intake.pipe_text import read_pipe, split_pipe
from solver.units import TICKS_PER, parse_length
from tests.unit.cli_runs import HOSTILE_IDS, ROOT, offseam

SHED = ("--title", "Shed", "--units", "in", "--width", "20ft", "--length", "12 ft", "--cover", "18")
PIPE = ("--pipe", "V1 x=8ft y=5ft outside=3.5")


def bare(case: Case) -> Case:
    """A case without what tells its file apart."""
    return replace(case, sha256="", file="", sources=())


def test_all_in_options_asks_nothing_and_solves(tmp_path: Path) -> None:
    path = tmp_path / "shed.toml"
    done = offseam("new", str(path), *SHED, *PIPE, "--pitch", "4:12",
                   "--pipe", "V2 x=12' 6 1/2\" y=6' size=3 status=planned base=8 1/2")
    assert (done.returncode, done.stderr) == (0, "")
    assert "one plane, 2 pipes" in done.stdout and f"offseam solve {path}" in done.stdout
    case = load_case(path)
    plane, (first, second) = case.planes[0], case.penetrations
    inch = TICKS_PER["in"]
    assert (case.title, plane.width, plane.length) == ("Shed", 240 * inch, 144 * inch)
    assert (first.x, first.y, first.outside) == (96 * inch, 60 * inch, 7 * inch // 2)
    # 3 in pipe: 3.500 in outside, ASTM D1785 / D2665 (second-hand; see published/test_pipe_sizes)
    assert (second.x, second.outside, second.status) == (301 * inch // 2, 7 * inch // 2, "planned")
    solved = offseam("solve", str(path))
    assert solved.returncode == 0 and "proven" in solved.stdout


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_values_behind_the_marks_are_those_that_count_anyway(
    tmp_path: Path, units: str
) -> None:
    size = {"in": ("300", "200", "17", "3.5"), "mm": ("9000", "6000", "475", "110")}[units]
    path = tmp_path / "roof.toml"
    done = offseam("new", str(path), "--title", "R", "--units", units, "--width", size[0],
                   "--length", size[1], "--cover", size[2], "--pitch", "20 deg",
                   "--pipe", f"V1 x={size[1]} y=50 outside={size[3]}")
    assert done.returncode == 0, done.stderr
    text = path.read_text()
    keys = re.findall(r"(?m)^# ([a-z_]+) = ", text)
    assert len(keys) >= 20
    (tmp_path / "all.toml").write_text(re.sub(r"(?m)^# (?=[a-z_]+ = )", "", text))
    plain, told = load_case(path), load_case(tmp_path / "all.toml")
    assert bare(replace(plain, rates=told.rates)) == bare(told)
    for name, rate in plain.rates.each.items():
        same = told.rates.each[name]
        assert (rate.hours, rate.material) == (same.hours, same.material), name
    assert told.rates.crew_hour == plain.rates.crew_hour


def test_every_key_has_a_comment(tmp_path: Path) -> None:
    offseam("new", str(tmp_path / "a.toml"), *SHED, *PIPE)
    for line in (tmp_path / "a.toml").read_text().splitlines():
        if re.match(r"(# )?[a-z_]+ = ", line) and line not in ('plane = "S"',):
            assert " # " in line.removeprefix("# "), line


def test_everything_missing_or_wrong_is_one_report(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    done = offseam("new", str(path), "--width", "20 furlongs", "--pipe", "V1 x=3 z=4",
                   "--pitch", "steep")
    assert (done.returncode, done.stdout) == (2, "")
    said = done.stderr.splitlines()
    for option in ("--width", "--pitch", "--title is missing", "--units is missing",
                   "--length is missing", "--cover is missing"):
        assert sum(line.startswith(option) for line in said) == 1, option
    assert sum(line.startswith('--pipe "V1 x=3 z=4"') for line in said) == 3  # z, no y, no size
    assert not path.exists()


def test_a_file_that_is_there_stays_unless_forced(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text("mine")
    done = offseam("new", str(path), *SHED)
    assert done.returncode == 2 and "--force" in done.stderr and path.read_text() == "mine"
    assert offseam("new", str(path), *SHED, "--force").returncode == 0
    assert load_case(path).penetrations == ()


def test_a_pipe_off_the_roof_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    done = offseam("new", str(path), *SHED, "--pipe", "V1 x=21ft y=5ft outside=3.5")
    assert done.returncode == 2 and "V1" in done.stderr and "off plane S" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_it_prints_the_case_instead() -> None:
    done = offseam("new", "-", *SHED)
    assert done.returncode == 0 and done.stdout.startswith("#") and "[[plane]]" in done.stdout


def test_hostile_texts_are_data(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    title = 'say "hi" \\ [x]\u200d# \U0001f6bf'.replace("\u200d", "") + " ''' \"\"\""
    pipes = [part for n, name in enumerate(HOSTILE_IDS)
             for part in ("--pipe", f"{name} x={20 + 10 * n} y=60 outside=2")]
    done = offseam("new", str(path), "--title", title, *SHED[2:], *pipes)
    assert done.returncode == 0, done.stderr
    case = load_case(path)
    assert case.title == title
    assert [pen.id for pen in case.penetrations] == list(HOSTILE_IDS)


def test_a_text_with_line_breaks_is_refused(tmp_path: Path) -> None:
    done = offseam("new", str(tmp_path / "a.toml"), "--title", 'x"\n[panel]\ncover=1', *SHED[2:])
    assert done.returncode == 2 and done.stderr.startswith("--title")
    assert "without control characters" in done.stderr and list(tmp_path.iterdir()) == []


def on_terminal(answers: str, *args: str) -> tuple[int, str]:
    """The command on a terminal at which someone types; its exit code and all that was shown."""
    child, handle = pty.fork()
    if child == 0:
        os.chdir(ROOT)
        # A runner of tests may have Ctrl-C ignored or blocked, and what it starts inherits that.
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
        os.environ.update({"TERM": "dumb", "PYTHONIOENCODING": "utf-8"})
        os.execv(sys.executable, [sys.executable, "-m", "cli.main", *args])
    seen, rest = b"", answers
    while True:
        if not select.select([handle], [], [], 20)[0]:
            os.kill(child, signal.SIGKILL)  # it waits for an answer that there is none to
            break
        try:
            part = os.read(handle, 65536)
        except OSError:
            break
        if not part:
            break
        seen += part
        if rest and seen.endswith(b": "):
            answer, _, rest = rest.partition("\n")
            os.write(handle, answer.encode() + (b"" if answer in "\x03\x04" and answer else b"\n"))
    os.close(handle)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), seen.decode().replace("\r\n", "\n")


def test_the_questions(tmp_path: Path) -> None:
    path = tmp_path / "asked.toml"
    answers = (
        "Boat house\n" "\n"  # units: the usual
        "wide\n" "30 ft\n" "14' 6\"\n" "\n"  # a width that is none is asked for again
        "5:12\n"
        "V1\n" "8 ft\n" "5 ft\n" "3.5\n" "planned\n"
        "V1\n" "9 ft\n" "5 ft\n" "3.5\n" "\n"  # a tag that is there already
        "V2\n" "31 ft\n" "5 ft\n" "3.5\n" "\n"  # off the roof
        "V2\n" "20 ft\n" "5 ft\n" "2.375\n" "\n"
        "\n"
    )
    code, seen = on_terminal(answers, "new", str(path))
    assert code == 0, seen
    assert seen.count("Width along the eave") == 2 and '"wide"' in seen
    assert "there is a pipe V1 already" in seen and "off plane S" in seen
    case = load_case(path)
    assert (case.title, case.units) == ("Boat house", "in")
    assert case.panel.cover == 18 * TICKS_PER["in"]
    assert [(pen.id, pen.status) for pen in case.penetrations] == [
        ("V1", "planned"), ("V2", "fixed")]
    assert offseam("solve", str(path)).returncode == 0


def test_only_what_is_missing_is_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "asked.toml"
    code, seen = on_terminal("12 ft\n\n", "new", str(path), *SHED[:6], *SHED[8:], *PIPE)
    assert code == 0, seen
    assert "Length up" in seen and "Pitch" in seen
    assert "Width" not in seen and "Pipe 1" not in seen
    code, seen = on_terminal("", "new", str(tmp_path / "b.toml"), *SHED)
    assert code == 0 and seen.startswith("wrote")


@pytest.mark.parametrize(("key", "exit_code"), [("\x04", 2), ("\x03", 130)])
def test_leaving_the_questions_writes_nothing(tmp_path: Path, key: str, exit_code: int) -> None:
    code, seen = on_terminal(f"Shed\n{key}", "new", str(tmp_path / "a.toml"))
    assert code == exit_code and list(tmp_path.iterdir()) == [], seen
    assert "Traceback" not in seen


@pytest.mark.parametrize("units", ["in", "mm"])
def test_numbers_read_back_as_they_were(units: str) -> None:
    per = TICKS_PER[units]
    for ticks in [0, 1, -1, per // 3, 254, 255, 16256 * 347 + 127, 640 * 12345 + 1, 10**8 + 7]:
        assert parse_length(plain_number(ticks, units), units) == ticks  # type: ignore[arg-type]
        assert parse_length(length_text(ticks, units), units) == ticks  # type: ignore[arg-type]


def test_a_pipe_in_one_line() -> None:
    table, wrong = read_pipe(*split_pipe("Vent 1 x = 12' 6\" y=2 m size=1-1/2 in"), "S", "mm")
    assert not wrong
    # 1 1/2 in pipe: 1.900 in outside, ASTM D1785 / D2665 (second-hand)
    assert (table["id"], table["x"], table["outside"]) == ("Vent 1", "12' 6\"", "1.9 in")
    _, wrong = read_pipe(*split_pipe("V x=1 x=2 y=3 size=5 outside=2 status=gone"), "S", "in")
    assert len(wrong) == 4
