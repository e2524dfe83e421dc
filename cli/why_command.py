"""`offseam why`: why not everything can be clear with nothing moved."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, OptionError
from cli.files import STDOUT, refuse_sources, target_faults, write_text
from cli.screen import show

if TYPE_CHECKING:
    from solver.case import Case
    from solver.conflicts.result import Explanation

MOST_SHOWN = 1_000
MOST_SIZE = 12
EXAMPLES = """\
Examples:

\b
  offseam why roof.toml
  offseam why roof.toml --most 50 --size 3
  offseam why roof.toml --json why.json
"""


def why_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    most: Annotated[
        int, typer.Option(metavar="N", help="How many groups to show, the smallest first.")
    ] = 10,
    size: Annotated[
        int, typer.Option(metavar="N", help="The largest group to look for.")
    ] = 6,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the answer here as well; - prints it in place of the report."),
    ] = None,
) -> None:
    """Why not everything can be clear with nothing moved: which penetrations exclude each other."""
    _check_options(case, most, size, json)
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case
    from solver.clock import Clock
    from solver.conflicts.groups import explain

    with Progress() as progress:
        clock = Clock(None, progress.say)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)

        def work() -> list[Explanation]:
            return [explain(one, most=most, size=size, clock=clock)
                    for one in loaded.covers or (loaded,)]

        answers = run_stoppable(clock, work)
    _put_out(loaded, answers, json)
    raise typer.Exit(DONE)


def _check_options(case: str, most: int, size: int, json: str | None) -> None:
    wrong = []
    if not 1 <= most <= MOST_SHOWN:
        wrong.append(f"--most {most}: give 1 to {MOST_SHOWN:,}")
    if not 1 <= size <= MOST_SIZE:
        wrong.append(f"--size {size}: give 1 to {MOST_SIZE}")
    wrong += target_faults(json, "--json", case)
    if wrong:
        raise OptionError(*wrong)


def _put_out(case: Case, answers: list[Explanation], json: str | None) -> None:
    """The result file first: a reader that leaves the report early must not cost it."""
    if json is not None:
        from solver.api import versions
        from solver.conflicts.document import why_document
        from solver.document import dump

        write_text(json, dump(why_document(case, answers, versions())), "--json")
    if json != STDOUT:
        from cli.report.why_part import why_page

        show(why_page(case, answers))
