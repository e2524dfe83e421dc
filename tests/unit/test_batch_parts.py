"""The parts of a batch on their own: reading, answers, processes, the book, the summary."""

from __future__ import annotations

import csv
import io
import json
import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.cells import cell_len

from cli.batch.book import NAME, Book, Entry, sha256_of
from cli.batch.row import DONE_BEFORE, STOPPED, Row, exit_code, unsolved
from cli.batch.summary_csv import HEADINGS, summary_csv
from cli.failures import OptionError
from cli.report.batch_part import batch_page
from cli.report.lines import plain
from solver.batching import one as batch
from solver.batching import pool as batch_pool
from solver.batching.one import Answer, Figures, Task, outcome, solve_task
from solver.batching.read import read_case
from solver.case_file.load import load_case
from solver.document import result_document
from solver.errors import CaseError, DisagreementError, Problem
from tests.unit.cli_runs import NOTHING_OBEYS, ROOT, SHED, write

SHEET = "id,plane,kind,x,y,outside\nV9,S,pipe,50,50,3.5\n"


def task(path: str, top: int = 3) -> Task:
    return read_case(path).task(top, None)


def solved(path: str) -> Answer:
    return solve_task(task(path))


@pytest.mark.parametrize("name", ["workshop", "clinic", "metric"])
def test_an_answer_is_the_result_file_of_solving_the_case(name: str) -> None:
    """Also where penetrations come from a CSV, which travels with the case."""
    from solver.api import solve

    path = str(ROOT / "cases" / name / "case.toml")
    answer = solved(path)
    assert answer.state == batch.SOLVED and answer.text is not None
    mine, direct = json.loads(answer.text), result_document(solve(load_case(path)))
    for document in (mine, direct):
        document.pop("seconds")
    assert mine == json.loads(json.dumps(direct))
    figures = answer.figures
    assert figures.cost == round(direct["layouts"][0]["cost"]["total"] * 100)
    assert figures.saving == round(direct["usual"]["cost"]["total"] * 100) - figures.cost
    assert figures.counts == direct["layouts"][0]["counts"]


def test_the_hash_is_of_the_case_and_its_sheet(tmp_path: Path) -> None:
    path = write(tmp_path, 'penetrations_csv = "in/p.csv"\n' + SHED)
    (tmp_path / "in").mkdir()
    sheet = tmp_path / "in" / "p.csv"
    sheet.write_text(SHEET)
    case = read_case(path)
    assert case.sheet == ("in/p.csv", SHEET.encode()) and case.sources == (path, str(sheet))
    assert case.sha256 == load_case(path).sha256
    sheet.write_text(SHEET + "V10,S,pipe,70,50,3.5\n")
    assert read_case(path).sha256 != case.sha256
    assert len(json.loads(solved(path).text or "")["layouts"][0]["penetrations"]) == 4


@pytest.mark.parametrize(
    "name", ["gone.csv", "../p.csv", "/etc/hostname", "link.csv", "a\\u0000b", "C:x.csv", "."])
def test_a_sheet_that_cannot_be_had_is_told_as_loading_tells_it(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    (tmp_path / "p.csv").write_text(SHEET)
    (folder / "link.csv").symlink_to(tmp_path / "p.csv")
    path = write(folder, f'penetrations_csv = "{name}"\n' + SHED)
    with pytest.raises(CaseError) as told:
        read_case(path)
    with pytest.raises(CaseError) as loading:
        load_case(path)
    assert str(told.value) == str(loading.value)


def test_an_escaped_key_names_a_sheet_too(tmp_path: Path) -> None:
    (tmp_path / "p.csv").write_text(SHEET)
    path = write(tmp_path, '"penetrations\\u005fcsv" = "p.csv"\n' + SHED)
    assert read_case(path).sheet is not None


@pytest.mark.parametrize(("text", "told"), [
    ("", "empty"), ("title = ", "not TOML"), ("\x00", "zero bytes"), ("{", "not JSON"),
    (SHED.replace("cover = 18", "cover = -1"), "cover is -1"),
    (SHED + "a = 1\nb = 1\nc = 1\nd = 1\n", "and 1 more"),
])  # fmt: skip
def test_a_wrong_case_is_an_answer(tmp_path: Path, text: str, told: str) -> None:
    answer = solved(write(tmp_path, text))
    assert answer.state == batch.WRONG_CASE and answer.text is None
    assert told in answer.message and str(tmp_path) not in answer.message


def test_no_layout_is_an_answer_with_its_reasons(tmp_path: Path) -> None:
    answer = solved(write(tmp_path, NOTHING_OBEYS))
    assert answer.state == batch.NO_LAYOUT and answer.text is not None
    assert "no layout satisfies the rules" in answer.message and "A, B" in answer.message
    assert answer.figures.cost is None and answer.figures.usual is not None


def test_time_that_ran_out_is_told_apart() -> None:
    found = {"layouts": [], "complete": False, "findings": []}
    assert outcome(found)[0] == batch.OUT_OF_TIME
    state, message = outcome({**found, "layouts": [{}]})
    assert state == batch.SOLVED and "best found so far" in message


@pytest.mark.parametrize(("error", "told"), [
    (ZeroDivisionError("a\nb"), "ZeroDivisionError: a b in test_batch_parts.py"),
    (MemoryError(), "too little memory"), (DisagreementError("1\n2"), "disagree"),
    (RecursionError(), "RecursionError in"),
])  # fmt: skip
def test_a_fault_is_an_answer_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception, told: str
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr("solver.api.solve", broken)
    answer = solved(write(tmp_path, SHED))
    assert answer.state == batch.FAULT and told in answer.message
    assert "Traceback" not in answer.message and "Traceback" in answer.trace
    assert "\n" not in answer.message


@pytest.fixture
def pool() -> Iterator[batch_pool.Pool]:
    made = batch_pool.Pool(1)
    yield made
    made.close()


def answers(pool: batch_pool.Pool) -> list[tuple[int, Answer]]:
    until = time.monotonic() + 60
    while not (found := pool.finished(0.2)) and time.monotonic() < until:
        pass
    return found


def test_a_process_that_dies_costs_the_case_it_was_at(tmp_path: Path, pool: batch_pool.Pool
                                                      ) -> None:
    one = task(write(tmp_path, SHED))
    pool.submit(1, one)
    [(number, answer)] = answers(pool)
    assert (number, answer.state) == (1, batch.SOLVED)
    worker = pool._idle[0].process
    assert worker.pid is not None
    os.kill(worker.pid, signal.SIGSTOP)  # it takes the task and never answers
    pool.submit(2, one)
    os.kill(worker.pid, signal.SIGKILL)
    [(number, answer)] = answers(pool)
    assert (number, answer.state) == (2, batch.FAULT) and "killed from outside" in answer.message
    pool.submit(3, one)
    [(number, answer)] = answers(pool)
    assert (number, answer.state) == (3, batch.SOLVED)
    idle = pool._idle[0].process
    idle.kill()
    idle.join()
    pool.submit(4, one)  # one that died while it waited costs nothing
    [(number, answer)] = answers(pool)
    assert (number, answer.state) == (4, batch.SOLVED)


def entry(text: str, **changed: object) -> Entry:
    fields = {"case": "../a.toml", "sha256": "1", "program": batch.__version__, "top": 3,
              "time": None, "stopped": "", "result_sha256": sha256_of(text.encode())}
    return Entry(**{**fields, **changed})  # type: ignore[arg-type]


def test_what_is_done_is_known_again(tmp_path: Path) -> None:
    Book(str(tmp_path)).write("a", "{}\n", entry("{}\n"))
    book = Book(str(tmp_path))
    assert book.done("a", "1", 3, None) == b"{}\n"
    assert book.done("a", "1", 3, 5.0) == b"{}\n"  # more time would change nothing
    assert book.names() == {"../a.toml": "a"}
    for other in (("a", "2", 3, None), ("a", "1", 4, None), ("b", "1", 3, None)):
        assert book.done(*other) is None
    (tmp_path / "a.json").write_text("{ }\n")
    assert book.done("a", "1", 3, None) is None
    os.unlink(tmp_path / "a.json")
    assert book.done("a", "1", 3, None) is None


def test_another_program_or_time_that_ran_out_is_not_done(tmp_path: Path) -> None:
    book = Book(str(tmp_path))
    book.write("a", "{}", entry("{}", program="0.0.1"))
    assert book.done("a", "1", 3, None) is None
    book.write("a", "{}", entry("{}", stopped="time", time=2.0))
    assert book.done("a", "1", 3, 2.0) is not None
    assert book.done("a", "1", 3, 9.0) is None


def test_an_old_result_goes_when_the_case_has_none_any_more(tmp_path: Path) -> None:
    book = Book(str(tmp_path))
    for name in ("a", "b"):
        book.write(name, "{}", entry("{}"))
    (tmp_path / "b.json").write_text("mine")
    for name in ("a", "b", "c"):
        book.forget_other(name, "1")
    assert (tmp_path / "a.json").exists()
    for name in ("a", "b"):
        book.forget_other(name, "2")
    assert not (tmp_path / "a.json").exists() and (tmp_path / "b.json").read_text() == "mine"


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"format": "x"}', "\xff", "[" * 99999,
                                  '{"format": "offseam-batch-1", "cases": {"a": {"x": 1}}}'])
def test_a_book_that_is_none_is_not_written_over(tmp_path: Path, text: str) -> None:
    (tmp_path / NAME).write_text(text, encoding="latin-1")
    with pytest.raises(OptionError, match=r"batch\.json is no list of this program's results"):
        Book(str(tmp_path))


def test_a_book_cannot_lead_out_of_its_folder(tmp_path: Path) -> None:
    cases = {name: vars_of(entry("{}")) for name in ("../../x", "ok", "..", "a/b")}
    (tmp_path / NAME).write_text(json.dumps({"format": "offseam-batch-1", "cases": cases}))
    assert set(Book(str(tmp_path)).names().values()) == {"ok"}


def vars_of(one: Entry) -> dict[str, object]:
    from dataclasses import asdict

    return asdict(one)


FIGURES = Figures("=1+1", "proven", 12345, 99999, 100000,
                  {"on-seam": 0, "moved": 2, "tight": 1}, 4, 1.25)
ROWS = [
    Row("-x.toml", "x", batch.SOLVED, "", FIGURES),
    Row("y.toml", "007", batch.NO_LAYOUT, "no layout satisfies\nthe rules", before=True),
    Row("z" * 200 + ".toml", "", batch.WRONG_CASE, "=bad " + "x" * 300),
    Row("\x1b[2J[bold]屋根.toml", "", batch.FAULT, "it ended by signal 11"),
    unsolved("w.toml"), Row("v", "v", batch.OUT_OF_TIME),
    Row("rich", "rich", batch.SOLVED, "", Figures("t", "not proven", 10**12, 10**13, 10**13)),
]


def test_the_spreadsheet_keeps_texts_texts_and_numbers_numbers() -> None:
    text = summary_csv(ROWS)
    assert text.startswith("\ufeff") and text.count("\r\n") == len(ROWS) + 1
    first, second, third, *_ = csv.DictReader(io.StringIO(text.removeprefix("\ufeff")))
    assert list(first) == list(HEADINGS)
    assert first["file"] == "'-x.toml" and first["title"] == "'=1+1"
    assert [first[name] for name in ("cost", "usual cost", "saving", "blind mean", "seconds")] == [
        "123.45", "999.99", "876.54", "1000.0", "1.25"]
    assert first["moved"] == "2" and first["guessed rates"] == "4" and first["uneven"] == ""
    assert second["state"] == DONE_BEFORE and "\n" not in second["message"]
    assert third["message"].startswith("'=bad") and third["cost"] == ""


def test_the_table_fits_and_says_what_is_wrong() -> None:
    lines = [plain(line) for line in batch_page(ROWS, "/tmp/out/summary.csv")]
    assert max(map(cell_len, lines)) <= 80
    text = "\n".join(lines)
    for part in ("7 CASES", "2 solved, 1 done before, 1 time ran out, 1 stopped, 1 wrong case, "
                 "1 fault.", "2 pipes moved and 1 pipe tight", "signal 11", "the same command",
                 "guesses", "not mean watertight"):
        assert part in " ".join(text.split()), part
    assert "\x1b" not in text and "\\x1b[2" in text
    assert [line.split()[0] for line in lines if "876.54" in line] == ["x"]


def test_the_worst_of_all_is_the_exit_code() -> None:
    states = [batch.FAULT, batch.WRONG_CASE, batch.OUT_OF_TIME, batch.NO_LAYOUT, batch.SOLVED]
    rows = [Row("a", "a", state, before=n % 2 == 0) for n, state in enumerate(states)]
    assert [exit_code(rows[n:]) for n in range(6)] == [1, 2, 4, 3, 0, 0]
    assert exit_code([Row("a", "", STOPPED)]) == 4


def test_problems_of_a_case_are_told_without_its_file() -> None:
    problem = Problem("a.toml", "penetration V1", "x", "1", "give more")
    assert batch.case_words(CaseError([problem])) == "penetration V1 x is 1: give more"
