"""`offseam replan`: lay on from where the crew really stands."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OptionError
from cli.files import STDOUT, check_target, refuse_sources, write_text
from cli.list_options import check_options, chosen, no_list
from cli.screen import show

if TYPE_CHECKING:
    from solver.case import Case
    from solver.clock import Clock
    from solver.replan.answer import Replan
    from solver.replan.read import AsBuilt
    from solver.result import Result

EXAMPLES = """\
Examples:

\b
  offseam replan roof.toml --asbuilt friday.toml
  offseam replan roof.toml --asbuilt friday.toml --layout 2 --json rest.json

\b
The as-built file, for seam 16 measured at eave and ridge, and a pipe seen:
  [[plane]]
  id = "S"
  seam = 16
  eave = "23' 5 3/8\\""
  ridge = "23' 5 1/4\\""
  [[penetration]]
  id = "V3"
  x = "31' 4 1/2\\""
"""


def replan_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    asbuilt: Annotated[
        str,
        typer.Option("--asbuilt", metavar="FILE",
                     help="What the crew measured (TOML or JSON): the last seam laid of each "
                          "plane under way, pipes seen since."),
    ],
    layout: Annotated[
        int | None,
        typer.Option(metavar="N", help="Which of the ranked layouts is being built; else as the "
                                       "as-built file says, else 1."),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the answer as JSON as well; - prints it in place of the page."),
    ] = None,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long with the best so far."),
    ] = None,
) -> None:
    """Lay on from where the crew stands: the rest of each plane under way, solved again."""
    check_options(case, 1 if layout is None else layout, None, json, time)
    if json is not None:
        check_target(json, "--json", not_over=asbuilt)
    started = monotonic()
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case
    from solver.clock import Clock
    from solver.replan.read import load_as_built

    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        progress.watch(clock)
        loaded = load_case(case)
        refuse_sources(json, "--json", (*loaded.sources, asbuilt))
        built = load_as_built(asbuilt, loaded)
        rank = _rank(layout, built)
        result, answer = run_stoppable(clock, lambda: _work(loaded, built, rank, clock))
    if answer is None:
        raise typer.Exit(no_list(result))
    _put_out(answer, result, json)
    raise typer.Exit(DONE if answer.legal else NO_LAYOUT)


def _rank(layout: int | None, built: AsBuilt) -> int | None:
    """Which listed layout is being built; None where first widths say it.

    Raises:
        OptionError: the option and the file say different things.
    """
    if built.firsts:
        if layout is not None:
            raise OptionError(f"--layout {layout}: {built.file} gives first widths, so another "
                              "layout is being built; leave out one of them")
        return None
    if layout is not None and built.layout not in (None, layout):
        raise OptionError(f"--layout {layout}: {built.file} says that layout {built.layout} is "
                          "being built; leave out one of them")
    return layout or built.layout or 1


def _work(
    case: Case, built: AsBuilt, rank: int | None, clock: Clock
) -> tuple[Result, Replan | None]:
    from solver.api import solve
    from solver.case import Freeze
    from solver.errors import CaseError, Problem
    from solver.replan.run import replan

    if rank is None:
        agreed = {**dict(case.freeze.firsts), **dict(built.firsts)}
        case = replace(case, freeze=Freeze(tuple(agreed.items()), case.freeze.moves), covers=())
    with clock.share(0.5):
        result = solve(case, top=rank or 1, clock=clock)
    if rank is None and not result.layouts and result.complete:
        raise CaseError([Problem(built.file, "", "first", "",
                                 "no layout with these first widths obeys the rules of the case; "
                                 "offseam check says why")])
    entry = chosen(result, rank or 1)
    if entry is None:
        return result, None
    return result, replan(result.case, entry.judged, rank, built, clock)


def _put_out(answer: Replan, result: Result, json: str | None) -> None:
    """The file first: a reader that leaves the page early must not cost it."""
    if json is not None:
        from solver.document import dump
        from solver.replan.document import replan_document

        write_text(json, dump(replan_document(answer, result.versions)), "--json")
    if json != STDOUT:
        from cli.report.replan_part import replan_page

        entry = chosen(result, answer.rank or 1)
        show(replan_page(answer, entry is None or entry.proof == "proven"))
