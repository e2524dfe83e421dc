"""`offseam solve`: rank the layouts of a case."""

from __future__ import annotations

import math
from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OUT_OF_TIME, OptionError, tell, tell_no_layout
from cli.files import write_text
from cli.out.targets import Targets, faults, refuse_all_sources, write_made
from cli.screen import on_terminal, show

if TYPE_CHECKING:
    from cli.out.contents import Made
    from cli.progress import Progress
    from solver.api import Engine
    from solver.case import Case
    from solver.clock import Clock
    from solver.result import Ranked, Result

EXAMPLES = """\
Examples:

\b
  offseam solve roof.toml
  offseam solve roof.toml --top 5 --layout 2
  offseam solve roof.toml --json result.json --time 60
  offseam solve roof.toml --json - | more
  offseam solve roof.toml --page roof.html --svg drawings
  offseam solve roof.toml --layout 2 --out handover
"""


def solve_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the result here as well; - prints it in place of the report."),
    ] = None,
    page: Annotated[
        str | None,
        typer.Option("--page", metavar="FILE",
                     help="Write the page here (HTML): drawings, start maps, lists; one file."),
    ] = None,
    svg: Annotated[
        str | None,
        typer.Option("--svg", metavar="DIR",
                     help="Write a drawing of each plane into this folder, to print."),
    ] = None,
    dxf: Annotated[
        str | None,
        typer.Option("--dxf", metavar="DIR",
                     help="Write a drawing of each plane into this folder, to draw on."),
    ] = None,
    out: Annotated[
        str | None,
        typer.Option("--out", metavar="DIR",
                     help="Write everything of one layout into this folder: page, drawings, lists, "
                          "workbook, result file."),
    ] = None,
    top: Annotated[int, typer.Option(metavar="N", help="How many layouts to list.")] = 3,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long with the best so far."),
    ] = None,
    layout: Annotated[
        int,
        typer.Option(metavar="N", help="Which of the listed layouts to show in full, to draw and "
                                       "to list."),
    ] = 1,
    engine: Annotated[
        str,
        typer.Option(metavar="NAME", help="tables; direct: one model of everything, slower; "
                                          "both: compare the two."),
    ] = "tables",
    no_presolve: Annotated[
        bool,
        typer.Option("--no-presolve", help="A second look: the direct model unsimplified."),
    ] = False,
) -> None:
    """Rank the layouts of a case: where to start, what to move, what it costs."""
    targets = Targets(json, page, svg, dxf, out)
    _check_options(case, targets, top, time, layout, engine)
    started = monotonic()
    from cli.progress import Progress
    from solver.api import load_case
    from solver.clock import Clock

    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        progress.watch(clock)
        loaded = load_case(case)
        refuse_all_sources(targets, loaded.sources)
        result = _solve(loaded, clock, top, engine, no_presolve, progress)
        _check_layout(result, layout)
        made = _make(result, layout, targets, clock)
    _put_out(result, targets, made, layout)
    raise typer.Exit(_verdict(result, told=not targets.to_stdout and on_terminal()))


def _check_options(
    case: str, targets: Targets, top: int, time: float | None, layout: int, engine: str
) -> None:
    wrong = []
    if top < 1:
        wrong.append(f"--top {top}: give 1 or more")
    if time is not None and not (math.isfinite(time) and time > 0):
        wrong.append(f"--time {time:g}: give a number of seconds above 0")
    if layout < 1:
        wrong.append(f"--layout {layout}: give 1 or more; 1 is the best")
    elif top >= 1 and layout > top:
        wrong.append(f"--layout {layout}: only {top} will be listed; give --top {layout} as well")
    if engine not in ("tables", "direct", "both"):
        wrong.append(f'--engine "{engine}": give tables, direct or both')
    wrong += faults(targets, case)
    if wrong:
        raise OptionError(*wrong)


def _solve(
    case: Case, clock: Clock, top: int, engine: str, no_presolve: bool, progress: Progress
) -> Result:
    from typing import cast

    from cli.progress import run_stoppable
    from solver.api import solve
    from solver.findings.tradeoff import money
    from solver.result import PROVEN

    def on_found(entry: Ranked) -> None:
        progress.say("looking for the next layout")
        proof = "proven" if entry.proof == PROVEN else f"at least {money(entry.bound)}"
        progress.found(f"layout {entry.rank}: {money(entry.judged.cost.total)}, {proof}")

    def work() -> Result:
        return solve(case, top=top, clock=clock, engine=cast("Engine", engine),
                     presolve=not no_presolve, on_found=on_found)

    return run_stoppable(clock, work)


def _check_layout(result: Result, layout: int) -> None:
    count = len(result.layouts)
    if count and layout > count:
        listed = "there is only 1 layout" if count == 1 else f"there are {count} layouts"
        raise OptionError(f"--layout {layout}: {listed} in the list; give 1 to {count}")


def _make(result: Result, layout: int, targets: Targets, clock: Clock) -> Made | None:
    """All that is to be written beside the result file: in memory, so that Ctrl-C costs nothing."""
    if not targets.more:
        return None
    from cli.out.contents import make
    from cli.progress import run_stoppable

    return run_stoppable(clock, lambda: make(
        result, layout, page=targets.page is not None, svg=targets.svg is not None,
        dxf=targets.dxf is not None, out=targets.out is not None, clock=clock,
    ))


def _put_out(result: Result, targets: Targets, made: Made | None, layout: int) -> None:
    """The files first: a reader that leaves the report early must not cost them."""
    if targets.json is not None:
        from solver.document import dump, result_document

        write_text(targets.json, dump(result_document(result)), "--json")
    if made is not None:
        write_made(targets, made)
    if not targets.to_stdout:
        from cli.report.pages import solve_page
        show(solve_page(result, layout))


def _verdict(result: Result, *, told: bool) -> int:
    if result.layouts:
        return DONE
    file = result.case.file
    if not result.complete:
        if told:
            return OUT_OF_TIME
        if result.stopped == "interrupt":
            tell(f"{file}: stopped before any layout was found")
        elif not result.stopped:
            tell(f"{file}: no layout was found among the choices looked at: see the findings")
        else:
            tell(f"{file}: time ran out before any layout was found: give more with --time")
        return OUT_OF_TIME
    if told:
        return NO_LAYOUT
    errors = [finding.says for finding in result.findings if finding.severity == "error"]
    tell_no_layout(file, "no layout satisfies the rules", errors)
    return NO_LAYOUT
