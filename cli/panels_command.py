"""`offseam panels`: every panel to be cut, and the stock it takes."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING, Annotated, Final

import typer

from cli.failures import DONE
from cli.files import STDOUT, refuse_sources, write_text
from cli.list_options import check_options, chosen, no_list
from cli.screen import show

if TYPE_CHECKING:
    from solver.panels.parts import PanelList
    from solver.result import Result
    from solver.stock.parts import StockPlan

STOCK_SECONDS: Final = 20.0
"""How long the stock plan is worked at; --time may leave it less."""
EXAMPLES = """\
Examples:

\b
  offseam panels roof.toml
  offseam panels roof.toml --layout 2 --csv panels.csv
  offseam panels roof.toml --json panels.json
"""


def panels_command(
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
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long with the best so far."),
    ] = None,
) -> None:
    """The panel list: every piece with its widths, lengths, cuts and laps, and the stock."""
    check_options(case, layout, csv, json, time)
    started = monotonic()
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case, solve
    from solver.clock import Clock
    from solver.panels.cuts import stock_of
    from solver.panels.list import panel_list

    found, stock = None, None
    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        progress.watch(clock)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)
        refuse_sources(csv, "--csv", loaded.sources)
        result = run_stoppable(clock, lambda: solve(loaded, top=layout, clock=clock))
        entry = chosen(result, layout)
        if entry is not None:
            judged = entry.judged
            made = run_stoppable(clock, lambda: panel_list(result.case, judged, layout))
            clock.next_search()  # its money is no news any more
            clock.say("the stock")
            stock = run_stoppable(clock, lambda: stock_of(made, STOCK_SECONDS, clock))
            found = made
    proven = entry is not None and entry.proof == "proven"
    _put_out(result, found, stock, proven, csv, json)
    raise typer.Exit(DONE if found is not None else no_list(result))


def _put_out(
    result: Result, found: PanelList | None, stock: StockPlan | None, proven: bool,
    csv: str | None, json: str | None,
) -> None:
    """The files first: a reader that leaves the list early must not cost them."""
    if json is not None:
        from solver.document import dump
        from solver.panels.document import panels_document

        document = panels_document(
            found, stock, case=result.case, versions=result.versions,
            proof="proven" if proven else "not proven", findings=result.findings,
        )
        write_text(json, dump(document), "--json")
    if found is None:
        return
    if csv is not None:
        from cli.panels_csv import panels_csv

        write_text(csv, panels_csv(found), "--csv")
    if STDOUT not in (csv, json):
        from cli.report.panels_part import panels_page

        show(panels_page(found, stock, result.findings, proven))
