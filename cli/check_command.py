"""`offseam check`: price a layout that someone chose."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OptionError, tell_no_layout
from cli.files import STDOUT, check_target, refuse_sources, write_text
from cli.named_lengths import named_lengths, numbered_lengths
from cli.screen import on_terminal, show

if TYPE_CHECKING:
    from solver.api import Checked
    from solver.case import Case

EXAMPLES = """\
Examples:

\b
  offseam check roof.toml
  offseam check roof.toml --first S=11.5 --first "N=14 1/4"
  offseam check roof.toml --first S=11.5 --move V1=-2.5 --json checked.json
  offseam check roof.toml --odd "S=23:12 1/2" --module S=3:+1/64
"""


def check_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    first: Annotated[
        list[str] | None,
        typer.Option("--first", metavar="PLANE=LENGTH",
                     help="First panel width of a plane; may be given again. Planes not named "
                          "take their usual one."),
    ] = None,
    move: Annotated[
        list[str] | None,
        typer.Option("--move", metavar="PEN=LENGTH",
                     help="Move of a pipe along the eave, minus is towards the left end seen "
                          "from outside; may be given again. Pipes not named stay."),
    ] = None,
    odd: Annotated[
        list[str] | None,
        typer.Option("--odd", metavar="PLANE=PANEL:LENGTH",
                     help="Width of a panel that is not as wide as the others; panels are numbered "
                          "from where the laying starts. May be given again."),
    ] = None,
    module: Annotated[
        list[str] | None,
        typer.Option("--module", metavar="PLANE=STRETCH:LENGTH",
                     help="How much wider (+) or narrower (-) each full panel of a stretch between "
                          "two control lines is laid; may be given again."),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the result here as well; - prints it in place of the report."),
    ] = None,
) -> None:
    """Price a layout that someone chose, and say which rules it breaks."""
    if json is not None:
        check_target(json, "--json", not_over=case)
    from solver.api import check, load_case

    loaded = load_case(case)
    refuse_sources(json, "--json", loaded.sources)
    choices = _choices(loaded, first or [], move or [], odd or [], module or [])
    checked = check(loaded, *choices)
    _put_out(checked, json)
    raise typer.Exit(_verdict(checked, told=json != STDOUT and on_terminal()))


def _choices(
    case: Case, first: Sequence[str], move: Sequence[str], odd: Sequence[str] = (),
    module: Sequence[str] = (),
) -> tuple[dict[str, int], dict[str, int], dict[str, dict[int, int]], dict[str, dict[int, int]]]:
    """First widths and moves by id, widths and changes by plane and number, all in ticks.

    Raises:
        OptionError: every option that cannot be read, at once.
    """
    wrong: list[str] = []
    planes = [plane.id for plane in case.planes]
    pens = [pen.id for pen in case.penetrations]
    firsts = named_lengths(case, "--first", "PLANE", first, planes, wrong)
    moves = named_lengths(case, "--move", "PEN", move, pens, wrong)
    for plane in case.planes:
        if plane.id in firsts and plane.start is not None:
            wrong.append(f'--first: plane "{plane.id}" is laid both ways from a line, which leaves '
                         "no choice of a first width; leave it out")
    odds = numbered_lengths(case, "--odd", "panel", odd, wrong)
    changes = numbered_lengths(case, "--module", "stretch", module, wrong)
    if wrong:
        raise OptionError(*wrong)
    return firsts, moves, odds, changes


def _put_out(checked: Checked, json: str | None) -> None:
    """The result file first: a reader that leaves the report early must not cost it."""
    if json is not None:
        from solver.api import versions
        from solver.document import check_document, dump

        document = check_document(checked, versions())
        write_text(json, dump(document), "--json")
    if json != STDOUT:
        from cli.report.pages import check_page
        show(check_page(checked, checked.usual))


def _verdict(checked: Checked, *, told: bool) -> int:
    if checked.legal:
        return DONE
    if told:
        return NO_LAYOUT
    head = "the layout breaks the rules" if checked.judged else "the layout cannot be priced"
    tell_no_layout(checked.case.file, head, [reason.says for reason in checked.reasons])
    return NO_LAYOUT
