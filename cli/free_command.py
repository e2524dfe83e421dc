"""`offseam free`: what would make the best layout cheaper, or possible."""

from __future__ import annotations

import math
from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OUT_OF_TIME, OptionError, tell, tell_no_layout
from cli.files import STDOUT, check_target, refuse_sources, write_text
from cli.screen import on_terminal, show

if TYPE_CHECKING:
    from solver.freeing.run import Freed

EXAMPLES = """\
Examples:

\b
  offseam free roof.toml
  offseam free roof.toml --only V3 --only V7
  offseam free roof.toml --fixed --json freed.json
"""


def free_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    fixed: Annotated[
        bool,
        typer.Option("--fixed", help="Also suppose moves of what cannot move; no price for them "
                                     "is included."),
    ] = False,
    only: Annotated[
        list[str] | None,
        typer.Option("--only", metavar="ID",
                     help="Moves and removal of this penetration alone; may be given again."),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the result here as well; - prints it in place of the report."),
    ] = None,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long with what is known."),
    ] = None,
) -> None:
    """Say which move, rule, join or removal would make the best layout cheaper, and by how much."""
    started = monotonic()
    if time is not None and not (math.isfinite(time) and time > 0):
        raise OptionError(f"--time {time:g}: give a number of seconds above 0")
    if json is not None:
        check_target(json, "--json", not_over=case)
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case
    from solver.clock import Clock
    from solver.freeing.run import free

    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)
        known = {pen.id for pen in loaded.penetrations}
        wrong = [f'--only "{name}": the case has no penetration of that id' for name in only or ()
                 if name not in known]
        if wrong:
            raise OptionError(*wrong)
        freed = run_stoppable(
            clock, lambda: free(loaded, clock, fixed=fixed, only=tuple(only or ()))
        )
    _put_out(freed, json)
    raise typer.Exit(_verdict(freed, told=json != STDOUT and on_terminal()))


def _put_out(freed: Freed, json: str | None) -> None:
    """The result file first: a reader that leaves the report early must not cost it."""
    if json is not None:
        from solver.api import versions
        from solver.document import dump
        from solver.freeing.document import free_document

        write_text(json, dump(free_document(freed, versions())), "--json")
    if json != STDOUT:
        from cli.report.free_part import free_page
        show(free_page(freed))


def _verdict(freed: Freed, *, told: bool) -> int:
    if freed.now is not None:
        return DONE
    if not freed.solved:
        if not told:
            tell("stopped before any layout was found" if freed.stopped == "interrupt" else
                 "time ran out before any layout was found: give more with --time")
        return OUT_OF_TIME
    if not told:
        reasons = [finding.says for finding in freed.no_start]
        from solver.findings.seam_order import may_bend

        plain = "of full panels " if may_bend(freed.case) else ""
        tell_no_layout(
            freed.case.file, f"no layout {plain}satisfies the rules as they are", reasons
        )
    return NO_LAYOUT
