"""`offseam compare`: what changed between two results, and for whom."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, OptionError
from cli.files import STDOUT, check_target, write_text
from cli.screen import show

if TYPE_CHECKING:
    from solver.comparing.compared import Comparison

EXAMPLES = """\
Examples:

\b
  offseam solve roof.toml --json old.json
  offseam compare old.json new.json
  offseam compare old.json new.json --new-layout 2 --json changes.json
"""


def compare_command(
    old: Annotated[
        str, typer.Argument(metavar="OLD", help="The earlier result file (solve --json).")
    ],
    new: Annotated[str, typer.Argument(metavar="NEW", help="The later result file.")],
    old_layout: Annotated[
        int, typer.Option("--old-layout", metavar="N", help="Which layout of the earlier file.")
    ] = 1,
    new_layout: Annotated[
        int, typer.Option("--new-layout", metavar="N", help="Which layout of the later file.")
    ] = 1,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the changes here as well; - prints them in place of the report."),
    ] = None,
) -> None:
    """What changed between two results: for the plumber, crew, estimator and detailer."""
    _check_options(old, new, old_layout, new_layout, json)
    from solver.comparing.changes import compare_results
    from solver.comparing.result_file import read_result

    files = (old, new)
    found = compare_results(
        read_result(old), read_result(new), files, (old_layout, new_layout)
    )
    _put_out(found, files, json)
    raise typer.Exit(DONE)


def _check_options(
    old: str, new: str, old_layout: int, new_layout: int, json: str | None
) -> None:
    wrong = [
        f"{option} {rank}: give 1 or more; 1 is the best"
        for option, rank in (("--old-layout", old_layout), ("--new-layout", new_layout)) if rank < 1
    ]
    if json is not None:
        for source in (old, new):
            try:
                check_target(json, "--json", not_over=source)
            except OptionError as error:
                says = str(error).replace("the case itself", "one of the files compared")
                wrong += [says] if says not in wrong else []
    if wrong:
        raise OptionError(*wrong)


def _put_out(found: Comparison, files: tuple[str, str], json: str | None) -> None:
    """The file first: a reader that leaves the report early must not cost it."""
    if json is not None:
        from solver.comparing.document import comparison_document
        from solver.document import dump

        write_text(json, dump(comparison_document(found, files)), "--json")
    if json != STDOUT:
        from cli.report.compare_part import compare_page

        show(compare_page(found, files))
