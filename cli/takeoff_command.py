"""`offseam takeoff`: quantities and prices of a layout, for the estimator."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OUT_OF_TIME, OptionError, tell, tell_no_layout
from cli.files import STDOUT, refuse_sources, target_faults, write_text
from cli.screen import show

if TYPE_CHECKING:
    from solver.result import Result
    from solver.takeoff.lines import TakeOff

EXAMPLES = """\
Examples:

\b
  offseam takeoff roof.toml
  offseam takeoff roof.toml --layout 2 --csv takeoff.csv
  offseam takeoff roof.toml --top 5 --json takeoff.json
"""


def takeoff_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    layout: Annotated[
        int, typer.Option(metavar="N", help="Which of the ranked layouts; 1 is the best.")
    ] = 1,
    top: Annotated[
        int | None,
        typer.Option(metavar="N", help="Add what each of the N best layouts comes to, the rest of "
                                       "the roof included."),
    ] = None,
    csv: Annotated[
        str | None,
        typer.Option("--csv", metavar="FILE",
                     help="Write the lines as a spreadsheet (CSV) as well; - prints it in place of "
                          "the report."),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the take-off as JSON as well; - prints it in place of the "
                          "report."),
    ] = None,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long with the best so far."),
    ] = None,
) -> None:
    """The take-off: quantities, hours, material, prices to add or deduct, and what they assume."""
    _check_options(case, layout, top, csv, json, time)
    started = monotonic()
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case, solve
    from solver.clock import Clock
    from solver.takeoff.lines import take_offs

    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        progress.watch(clock)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)
        refuse_sources(csv, "--csv", loaded.sources)
        most = max(layout, top or 1)
        result = run_stoppable(clock, lambda: solve(loaded, top=most, clock=clock))
        count = len(result.layouts)
        if count and layout > count:
            listed = "there is only 1 layout" if count == 1 else f"there are {count} layouts"
            why = "" if result.complete else " so far: time ran out"
            raise OptionError(f"--layout {layout}: {listed} in the list{why}; give 1 to {count}")
        chosen, others = None, []
        if count:
            listed_ranks = range(1, min(top or 0, count) + 1)
            ranks = sorted({layout, *listed_ranks})
            found = run_stoppable(clock, lambda: take_offs(result, ranks))
            by_rank = dict(zip(ranks, found, strict=True))
            chosen, others = by_rank[layout], [by_rank[rank] for rank in listed_ranks]
    _put_out(result, chosen, others, csv, json)
    raise typer.Exit(DONE if chosen is not None else _none(result))


def _check_options(
    case: str, layout: int, top: int | None, csv: str | None, json: str | None, time: float | None
) -> None:
    wrong = []
    if layout < 1:
        wrong.append(f"--layout {layout}: give 1 or more; 1 is the best")
    if top is not None and top < 1:
        wrong.append(f"--top {top}: give 1 or more")
    if time is not None and not (math.isfinite(time) and time > 0):
        wrong.append(f"--time {time:g}: give a number of seconds above 0")
    wrong += target_faults(csv, "--csv", case)
    wrong += target_faults(json, "--json", case)
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
    result: Result, chosen: TakeOff | None, others: Sequence[TakeOff], csv: str | None,
    json: str | None,
) -> None:
    """The files first: a reader that leaves the report early must not cost them."""
    if json is not None:
        from solver.document import dump
        from solver.takeoff.document import takeoff_document

        write_text(json, dump(takeoff_document(result, chosen, others)), "--json")
    if chosen is None:
        return
    if csv is not None:
        from cli.report.takeoff_csv import takeoff_csv

        write_text(csv, takeoff_csv(chosen), "--csv")
    if STDOUT not in (csv, json):
        from cli.report.takeoff_part import takeoff_page

        show(takeoff_page(chosen, others, complete=result.complete))


def _none(result: Result) -> int:
    """No layout, so nothing to price: an older spreadsheet stays as it is."""
    if not result.complete:
        stopped = result.stopped == "interrupt"
        tell("stopped before any layout was found: no take-off" if stopped else
             "time ran out before any layout was found, so there is no take-off: give more with "
             "--time")
        return OUT_OF_TIME
    errors = [finding.says for finding in result.findings if finding.severity == "error"]
    tell_no_layout(result.case.file, "no layout satisfies the rules, so there is no take-off",
                   errors)
    return NO_LAYOUT
