"""`offseam risk`: how sure an answer is when panels, widths and positions may be off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OUT_OF_TIME, OptionError, tell, tell_no_layout
from cli.files import STDOUT, refuse_sources, target_faults, write_text
from cli.screen import on_terminal, show

if TYPE_CHECKING:
    from solver.risk.report import Risk

EXAMPLES = """\
Examples:

\b
  offseam risk roof.toml
  offseam risk roof.toml --layout 2 --samples 20000
  offseam risk roof.toml --seed 7 --json risk.json
"""
_LEAST_LISTED = 3


def risk_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    layout: Annotated[
        int, typer.Option(metavar="N", help="Which of the listed layouts to show in full.")
    ] = 1,
    samples: Annotated[
        int, typer.Option(metavar="N", help="How many random draws to make.")
    ] = 4000,
    seed: Annotated[
        int, typer.Option(metavar="N", help="Where the random draws start: the same number, the "
                                            "same draws.")
    ] = 1,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the result here as well; - prints it in place of the report."),
    ] = None,
) -> None:
    """Say how sure each layout is: worst case, chance, and what to measure again first."""
    _check_options(case, layout, samples, seed, json)
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case
    from solver.clock import Clock
    from solver.risk.report import assess

    with Progress() as progress:
        clock = Clock(None, progress.say)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)
        risk = run_stoppable(
            clock,
            lambda: assess(loaded, samples=samples, seed=seed, top=max(layout, _LEAST_LISTED),
                           clock=clock),
        )
    count = len(risk.result.layouts)
    if count and layout > count:
        listed = "there is only 1 layout" if count == 1 else f"there are {count} layouts"
        raise OptionError(f"--layout {layout}: {listed} in the list; give 1 to {count}")
    _put_out(risk, json, layout)
    raise typer.Exit(_verdict(risk, told=json != STDOUT and on_terminal()))


def _check_options(case: str, layout: int, samples: int, seed: int, json: str | None) -> None:
    from solver.risk.chance import MOST_SAMPLES

    wrong = []
    if layout < 1:
        wrong.append(f"--layout {layout}: give 1 or more; 1 is the best")
    if not 1 <= samples <= MOST_SAMPLES:
        wrong.append(f"--samples {samples}: give 1 to {MOST_SAMPLES:,}")
    if seed < 0:
        wrong.append(f"--seed {seed}: give 0 or more")
    wrong += target_faults(json, "--json", case)
    if wrong:
        raise OptionError(*wrong)


def _put_out(risk: Risk, json: str | None, layout: int) -> None:
    """The file first: a reader that leaves the report early must not cost it."""
    if json is not None:
        from solver.api import versions
        from solver.document import dump
        from solver.risk.document import risk_document

        write_text(json, dump(risk_document(risk, versions())), "--json")
    if json != STDOUT:
        from cli.report.risk_part import risk_page
        show(risk_page(risk, layout))


def _verdict(risk: Risk, *, told: bool) -> int:
    from solver.risk.creep import has_tolerances

    if risk.result.layouts or not has_tolerances(risk.case):
        return DONE
    if not risk.result.complete:
        tell("stopped before any layout was found")
        return OUT_OF_TIME
    if not told:
        errors = [finding.says for finding in risk.findings if finding.severity == "error"]
        tell_no_layout(risk.case.file, "no layout satisfies the rules", errors)
    return NO_LAYOUT
