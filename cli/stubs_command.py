"""`offseam stubs`: the list a plumber sets every pipe from."""

from __future__ import annotations

import os
from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OUT_OF_TIME, OptionError, tell, tell_no_layout
from cli.files import STDOUT, check_target, refuse_sources, write_text
from cli.screen import show

if TYPE_CHECKING:
    from solver.result import Result
    from solver.stubs.list import StubList

EXAMPLES = """\
Examples:

\b
  offseam stubs roof.toml
  offseam stubs roof.toml --layout 2 --csv stubs.csv
  offseam stubs roof.toml --all --json stubs.json
"""


def stubs_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    layout: Annotated[
        int, typer.Option(metavar="N", help="Which of the ranked layouts; 1 is the best.")
    ] = 1,
    csv: Annotated[
        str | None,
        typer.Option("--csv", metavar="FILE",
                     help="Write the list as a spreadsheet (CSV) as well; - prints it in place of "
                          "the list."),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the list as JSON as well; - prints it in place of the list."),
    ] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="List fixed pipes and curbs too, for reference.")
    ] = False,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long with the best so far."),
    ] = None,
) -> None:
    """The stub-up list: where the plumber sets every pipe, and how it gets there."""
    _check_options(case, layout, csv, json, time)
    started = monotonic()
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case, solve
    from solver.clock import Clock
    from solver.stubs.list import stub_list

    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        progress.watch(clock)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)
        refuse_sources(csv, "--csv", loaded.sources)
        result = run_stoppable(clock, lambda: solve(loaded, top=layout, clock=clock))
    found = None
    if result.layouts:
        if layout > len(result.layouts):
            count = len(result.layouts)
            listed = "there is only 1 layout" if count == 1 else f"there are {count} layouts"
            why = "" if result.complete else " so far: time ran out"
            raise OptionError(f"--layout {layout}: {listed} in the list{why}; give 1 to {count}")
        judged = result.layouts[layout - 1].judged
        found = stub_list(result.case, judged, layout, everything=everything)
    _put_out(result, found, layout, csv, json)
    raise typer.Exit(DONE if found is not None else _none(result))


def _check_options(
    case: str, layout: int, csv: str | None, json: str | None, time: float | None
) -> None:
    import math

    wrong = []
    if layout < 1:
        wrong.append(f"--layout {layout}: give 1 or more; 1 is the best")
    if time is not None and not (math.isfinite(time) and time > 0):
        wrong.append(f"--time {time:g}: give a number of seconds above 0")
    for option, target in (("--csv", csv), ("--json", json)):
        if target is None:
            continue
        try:
            check_target(target, option, not_over=case)
        except OptionError as error:
            wrong.append(str(error))
    if csv is not None and json is not None and _same(csv, json):
        wrong.append(f"--csv and --json: both go to {csv}; give two different places")
    if wrong:
        raise OptionError(*wrong)


def _same(one: str, other: str) -> bool:
    if STDOUT in (one, other):
        return one == other
    try:
        return os.path.realpath(one) == os.path.realpath(other)
    except ValueError:
        return False  # no file name at all, which is told already


def _put_out(
    result: Result, found: StubList | None, layout: int, csv: str | None, json: str | None
) -> None:
    """The files first: a reader that leaves the list early must not cost them."""
    case = result.case
    proven = found is not None and result.layouts[layout - 1].proof == "proven"
    if json is not None:
        from solver.document import dump
        from solver.stubs.document import stubs_document

        document = stubs_document(
            found, title=case.title, units=case.units, revision=case.revision, date=case.date,
            sha256=case.sha256, versions=result.versions,
            proof="proven" if proven else "not proven", findings=result.findings,
        )
        write_text(json, dump(document), "--json")
    if found is None:
        return
    if csv is not None:
        from cli.sheets_csv import stubs_csv

        write_text(csv, stubs_csv(found), "--csv")
    if STDOUT not in (csv, json):
        from cli.report.stubs_part import stubs_page

        show(stubs_page(found, result.findings, proven))


def _none(result: Result) -> int:
    """No layout, so no list: an older spreadsheet stays as it is."""
    if not result.complete:
        stopped = result.stopped == "interrupt"
        tell("stopped before any layout was found: no list" if stopped else
             "time ran out before any layout was found, so there is no list: give more with --time")
        return OUT_OF_TIME
    errors = [finding.says for finding in result.findings if finding.severity == "error"]
    tell_no_layout(result.case.file, "no layout satisfies the rules, so there is no list", errors)
    return NO_LAYOUT
