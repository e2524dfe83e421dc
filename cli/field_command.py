"""`offseam field`: a page for each plane that the crew works to on the roof."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE
from cli.files import STDOUT, refuse_sources, write_text
from cli.list_options import check_options, chosen, no_list
from cli.screen import show

if TYPE_CHECKING:
    from solver.field.parts import FieldSheets
    from solver.result import Result

EXAMPLES = """\
Examples:

\b
  offseam field roof.toml
  offseam field roof.toml --layout 2 --csv field.csv
  offseam field roof.toml --json field.json
"""


def field_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    layout: Annotated[
        int, typer.Option(metavar="N", help="Which of the ranked layouts; 1 is the best.")
    ] = 1,
    csv: Annotated[
        str | None,
        typer.Option("--csv", metavar="FILE",
                     help="Write the sheets as a spreadsheet (CSV) as well; - prints it in place "
                          "of the sheets."),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the sheets as JSON as well; - prints it in place of the sheets."),
    ] = None,
    time: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Stop after this long with the best so far."),
    ] = None,
) -> None:
    """The field sheet: squaring, seam table, control lines, closing, order of work, movement."""
    check_options(case, layout, csv, json, time)
    started = monotonic()
    from cli.progress import Progress, run_stoppable
    from solver.api import load_case, solve
    from solver.clock import Clock
    from solver.field.sheet import field_sheets

    with Progress() as progress:
        clock = Clock(time, progress.say, started)
        progress.watch(clock)
        loaded = load_case(case)
        refuse_sources(json, "--json", loaded.sources)
        refuse_sources(csv, "--csv", loaded.sources)
        result = run_stoppable(clock, lambda: solve(loaded, top=layout, clock=clock))
        entry = chosen(result, layout)
        found = None if entry is None else field_sheets(result.case, entry.judged, layout)
    proven = entry is not None and entry.proof == "proven"
    _put_out(result, found, proven, csv, json)
    raise typer.Exit(DONE if found is not None else no_list(result))


def _put_out(
    result: Result, found: FieldSheets | None, proven: bool, csv: str | None, json: str | None
) -> None:
    """The files first: a reader that leaves the sheets early must not cost them."""
    if json is not None:
        from solver.document import dump
        from solver.field.document import field_document

        document = field_document(
            found, case=result.case, versions=result.versions,
            proof="proven" if proven else "not proven", findings=result.findings,
        )
        write_text(json, dump(document), "--json")
    if found is None:
        return
    if csv is not None:
        from cli.field_csv import field_csv

        write_text(csv, field_csv(found, proven), "--csv")
    if STDOUT not in (csv, json):
        from cli.report.field_part import field_page

        show(field_page(found, proven))
