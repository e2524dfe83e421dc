"""`offseam survey`: what was taped of the planes, and the ways to lay them."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OUT_OF_TIME, WRONG_INPUT, tell, tell_no_layout
from cli.files import STDOUT, refuse_sources, write_text
from cli.list_options import check_options
from cli.screen import show

if TYPE_CHECKING:
    from solver.case import Case
    from solver.result import Result
    from solver.survey.ways import Ways

EXAMPLES = """\
Examples:

\b
  offseam survey roof.toml
  offseam survey roof.toml --time 60 --json survey.json
"""


def survey_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write all of it as JSON as well; - prints it in place of the page."),
    ] = None,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long, all ways together, with the "
                                             "best so far."),
    ] = None,
) -> None:
    """What was taped of planes out of square, and the ways to lay them: as drawn, square, fan."""
    check_options(case, 1, None, json, time)
    started = monotonic()
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case, solve, versions
    from solver.clock import Clock
    from solver.survey.rerun import surveyed
    from solver.survey.ways import ways_to_lay

    def first_only(laid: Case, clock: Clock) -> Result:
        return solve(laid, top=1, clock=clock)

    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        progress.watch(clock)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)
        if not surveyed(loaded):
            _refuse(loaded)
        found = run_stoppable(clock, lambda: ways_to_lay(loaded, clock, first_only))
    _put_out(found, json, versions())
    raise typer.Exit(_verdict(found))


def _refuse(case: Case) -> None:
    """No plane was surveyed.

    Raises:
        CaseError: always; what to add.
    """
    from solver.errors import CaseError, Problem

    names = ", ".join(plane.id for plane in case.planes[:5])
    names += f" and {len(case.planes) - 5:,} more" if len(case.planes) > 5 else ""
    raise CaseError([Problem(
        case.file, f"plane {names}", "", "",
        "no plane has a survey; add a table [plane.survey] below the [[plane]] that was taped, "
        "with eave, ridge, low_rake, high_rake and a diagonal (up or down), or with base and "
        "offsets",
    )])


def _put_out(found: Ways, json: str | None, versions: dict[str, str]) -> None:
    """The file first: a reader that leaves the page early must not cost it."""
    if json is not None:
        from solver.document import dump
        from solver.survey.ways_document import ways_document

        write_text(json, dump(ways_document(found, versions)), "--json")
    if json != STDOUT:
        from cli.report.survey_ways import ways_page

        show(ways_page(found))


def _verdict(found: Ways) -> int:
    file = found.case.file
    if found.impossible:
        for plane, says in found.impossible:
            tell(f"{file}: plane {plane} survey: {says}".replace("\n", "\\n"))
        return WRONG_INPUT
    if found.cheapest is not None:
        return DONE
    if not found.complete:
        tell(f"{file}: time ran out before any layout was found: give more with --time")
        return OUT_OF_TIME
    reasons = [f"plane {plane}: {says}" for way in found.ways for plane, says in way.why]
    reasons += [
        finding.says
        for way in found.ways if way.run != "as-drawn" and way.result is not None
        for finding in way.result.findings if finding.severity == "error"
    ]
    tell_no_layout(file, "no way to lay the roof as surveyed satisfies the rules",
                   dict.fromkeys(reasons))
    return NO_LAYOUT
