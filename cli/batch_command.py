"""`offseam batch`: solve many cases, on all cores or on a cluster, and sum them up."""

from __future__ import annotations

import math
import os
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import TRACEBACK, OptionError, tell

if TYPE_CHECKING:
    from cli.batch.book import Book
    from cli.batch.plan import Todo
    from cli.batch.row import Row
    from cli.batch.running import Runner
    from solver.batching.one import Answer

EXAMPLES = """\
Examples:

\b
  offseam batch roofs --out results
  offseam batch a.toml b.toml "old/*.toml" --out results --jobs 4 --time 60
  offseam batch roofs --out results --dask tcp://10.0.0.5:8786
"""


def batch_command(
    cases: Annotated[
        list[str],
        typer.Argument(metavar="CASES",
                       help="Case files, folders of them (also NAME/case.toml in a folder), or "
                            "patterns in quotes."),
    ],
    out: Annotated[
        str,
        typer.Option("--out", metavar="DIR",
                     help="The folder for the result of every case and summary.csv; made if it "
                          "does not exist."),
    ],
    jobs: Annotated[
        int | None,
        typer.Option("--jobs", metavar="N",
                     help="How many processes solve; one for each core unless given."),
    ] = None,
    top: Annotated[int, typer.Option(metavar="N", help="How many layouts to list.")] = 3,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop each case after this long with its best so "
                                             "far."),
    ] = None,
    again: Annotated[
        bool, typer.Option("--again", help="Solve all, also what is done and unchanged.")
    ] = False,
    dask: Annotated[
        str | None,
        typer.Option("--dask", metavar="ADDRESS",
                     help="Solve on the Dask cluster whose scheduler has this address."),
    ] = None,
) -> None:
    """Solve many cases and sum them up; what is done and unchanged is skipped."""
    _check_options(jobs, top, time, dask)
    from cli.batch.book import Book
    from cli.batch.finding import find_cases
    from cli.batch.plan import make_folder, make_plan
    from cli.batch.row import exit_code, unsolved

    found = find_cases(cases)
    for sentence in found.skipped:
        tell(sentence)
    make_folder(out)
    book = Book(out)
    known, todo = make_plan(found, book, out, top, time, again=again)
    rows = {one.number: unsolved(one.path) for one in todo} | known
    runner = _runner(jobs, dask, len(todo)) if todo else None
    try:
        if runner is not None:
            _solve(todo, rows, book, runner, top, time)
    finally:
        listed = [rows[number] for number in sorted(rows)]
        _put_out(listed, book, out)
    raise typer.Exit(exit_code(listed))


def _check_options(jobs: int | None, top: int, time: float | None, dask: str | None) -> None:
    wrong = []
    if jobs is not None and jobs < 1:
        wrong.append(f"--jobs {jobs}: give 1 or more")
    if top < 1:
        wrong.append(f"--top {top}: give 1 or more")
    if time is not None and not (math.isfinite(time) and time > 0):
        wrong.append(f"--time {time:g}: give a number of seconds above 0")
    if dask is not None and jobs is not None:
        wrong.append("--jobs and --dask: a cluster has its own number of processes; leave out one")
    if dask is not None and not dask.strip():
        wrong.append("--dask: give the address of a scheduler, such as tcp://10.0.0.5:8786")
    if wrong:
        raise OptionError(*wrong)


def _runner(jobs: int | None, dask: str | None, tasks: int) -> Runner:
    if dask is None:
        from solver.batching.pool import Pool, cores

        return Pool(min(jobs or cores(), tasks))
    import logging
    import warnings

    from solver.batching.cluster import Cluster, ClusterError

    logging.disable(logging.CRITICAL)  # its own account of a lost connection is no sentence
    warnings.simplefilter("ignore")
    try:
        return Cluster(dask)
    except ClusterError as error:
        raise OptionError(f"--dask {dask}: {error}") from None


def _solve(
    todo: list[Todo], rows: dict[int, Row], book: Book, runner: Runner, top: int,
    time: float | None,
) -> None:
    from cli.batch.book import Entry, sha256_of
    from cli.batch.names import relative
    from cli.batch.row import Row
    from cli.batch.running import Bar, interruptible, task_maker, work_through
    from solver import __version__

    def answered(one: Todo, sha256: str, answer: Answer) -> None:
        has_result = answer.text is not None
        if answer.text is not None:
            place = relative(one.path, os.path.dirname(book.path))
            hashed = sha256_of(answer.text.encode("utf-8", "backslashreplace"))
            book.write(one.name, answer.text, Entry(
                place, sha256, __version__, top, time, answer.stopped, hashed))
        elif sha256:
            book.forget_other(one.name, sha256)
        rows[one.number] = Row(one.path, one.name if has_result else "", answer.state,
                               answer.message, answer.figures)
        bar.advance(one.name)
        if answer.trace and os.environ.get(TRACEBACK) == "1":
            tell(f"{one.path}: {answer.trace}")

    with interruptible() as asked, Bar(len(todo)) as bar:
        work_through(todo, runner, task_maker(top, time), answered, book.save, asked)


def _put_out(rows: list[Row], book: Book, out: str) -> None:
    """The files first: a reader that leaves the table early must not cost them."""
    from cli.batch import summary_csv
    from cli.files import write_text
    from cli.report.batch_part import batch_page
    from cli.screen import show

    book.save(now=True)
    summary = os.path.join(out, summary_csv.NAME)
    write_text(summary, summary_csv.summary_csv(rows), "--out")
    show(batch_page(rows, summary))
