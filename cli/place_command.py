"""`offseam place`: where a late pipe would go best."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli.failures import DONE, NO_LAYOUT, OUT_OF_TIME, OptionError, tell, tell_no_layout
from cli.files import STDOUT, check_target, refuse_sources, write_text
from cli.screen import on_terminal, show

if TYPE_CHECKING:
    from cli.progress import Progress
    from solver.case import Case
    from solver.layout import Layout
    from solver.placing.stretches import Placed, Wanted

EXAMPLES = """\
Examples:

\b
  offseam place roof.toml --plane S --near "61 ft" --outside 3.5
  offseam place roof.toml --plane S --near "61 ft" --outside 3.5 --y "12 ft"
  offseam place roof.toml --plane S --near 732 --outside 3.5 --first S=11.5
  offseam place roof.toml --plane S --near 732 --outside 3.5 --odd S=-2:9
"""


def place_command(
    case: Annotated[str, typer.Argument(metavar="CASE", help="The case file (TOML or JSON).")],
    plane: Annotated[str, typer.Option(metavar="ID", help="The plane it goes on.")],
    near: Annotated[
        str, typer.Option(metavar="LENGTH", help="Where its centre is wanted, along the eave.")
    ],
    outside: Annotated[str, typer.Option(metavar="LENGTH", help="Its outside diameter.")],
    base: Annotated[
        str | None,
        typer.Option(metavar="LENGTH", help="Width of its flashing; else outside + 2 flanges."),
    ] = None,
    turned: Annotated[
        bool, typer.Option("--turned", help="A square flashing, turned 45 degrees.")
    ] = False,
    y: Annotated[
        str | None,
        typer.Option("--y", metavar="LENGTH", help="Its place up the slope, measured on the slope; "
                                                   "without it the worst is taken."),
    ] = None,
    layout: Annotated[
        int, typer.Option(metavar="N", help="Against which layout of the list, moves made.")
    ] = 1,
    first: Annotated[
        list[str] | None,
        typer.Option("--first", metavar="PLANE=LENGTH",
                     help="First width already laid, in place of a listed layout; pipes as drawn. "
                          "May be given again."),
    ] = None,
    odd: Annotated[
        list[str] | None,
        typer.Option("--odd", metavar="PLANE=PANEL:LENGTH",
                     help="Width of an odd panel already laid; panels are numbered from where the "
                          "laying starts. May be given again."),
    ] = None,
    module: Annotated[
        list[str] | None,
        typer.Option("--module", metavar="PLANE=STRETCH:LENGTH",
                     help="How much wider (+) or narrower (-) each full panel of a stretch already "
                          "laid is. May be given again."),
    ] = None,
    cover: Annotated[
        str | None,
        typer.Option(metavar="LENGTH", help="Which cover, where the case compares several."),
    ] = None,
    x_tol: Annotated[
        str | None,
        typer.Option("--x-tol", metavar="LENGTH",
                     help="How far off it may be set; counts in a robust case."),
    ] = None,
    count: Annotated[int, typer.Option(metavar="K", help="How many stretches to show.")] = 3,
    json: Annotated[
        str | None,
        typer.Option("--json", metavar="FILE",
                     help="Write the result here as well; - prints it in place of the report."),
    ] = None,
) -> None:
    """Find the clear stretches nearest to where a new pipe is wanted."""
    wrong = []
    if count < 1:
        wrong.append(f"--count {count}: give 1 or more")
    if layout < 1:
        wrong.append(f"--layout {layout}: give 1 or more; 1 is the best")
    for option, given in (("--first", first), ("--odd", odd), ("--module", module)):
        if layout > 1 and given:
            wrong.append(f"--layout and {option} exclude each other: give the one or the other")
    if wrong:
        raise OptionError(*wrong)
    if json is not None:
        check_target(json, "--json", not_over=case)
    from cli.place_options import read_wanted, with_cover
    from cli.progress import Progress
    from solver.api import load_case

    with Progress() as progress:
        loaded = with_cover(load_case(case), cover, laid=bool(first or odd or module))
        refuse_sources(json, "--json", loaded.sources)
        texts = {"near": near, "outside": outside, "base": base, "y": y, "x-tol": x_tol}
        wanted, laid = read_wanted(
            loaded, plane, texts, turned, first or [], odd or [], module or []
        )
        if laid.planes:
            from solver.placing.stretches import against_rules, laid_layout

            seams = laid_layout(loaded, laid.firsts, laid.odds, laid.changes)
            placed = _place(loaded, seams, wanted, count)
            against = "the seams already laid, pipes as drawn"
            wrong_ones = against_rules(loaded, laid, placed.judged)
            if wrong_ones:
                against += f" ({wrong_ones}: not laid as the rules of this case allow)"
            if loaded.freeze.moves:
                against += " but for the moves agreed"
        else:
            chosen, decisions = _solved(loaded, layout, progress)
            placed = _place(chosen, decisions, wanted, count)
            moved = any(decisions.moves)
            against = f"layout {layout} of the list" + (", its moves made" if moved else "")
    _put_out(placed, against, json)
    if placed.stretches:
        raise typer.Exit(DONE)
    if json == STDOUT or not on_terminal():
        tell(f"plane {plane} has no clear place for this pipe")
    raise typer.Exit(NO_LAYOUT)


def _place(case: Case, layout: Layout, wanted: Wanted, count: int) -> Placed:
    from solver.placing.stretches import place

    return place(case, layout, wanted, count)


def _solved(case: Case, number: int, progress: Progress) -> tuple[Case, Layout]:
    """The case of the cover that is laid, and the decisions of the listed layout."""
    from cli.progress import run_stoppable
    from solver.api import solve
    from solver.clock import Clock

    clock = Clock(None, progress.say)
    result = run_stoppable(clock, lambda: solve(case, top=number, clock=clock))
    if not result.layouts:
        if not result.complete:
            tell("stopped before any layout was found")
            raise typer.Exit(OUT_OF_TIME)
        head = ("no layout satisfies the rules, so there are no seams to place a pipe between; "
                "give those already laid with --first")
        errors = [finding.says for finding in result.findings if finding.severity == "error"]
        tell_no_layout(case.file, head, errors)
        raise typer.Exit(NO_LAYOUT)
    if number > len(result.layouts):
        listed = len(result.layouts)
        there = "there is only 1 layout" if listed == 1 else f"there are {listed} layouts"
        raise OptionError(f"--layout {number}: {there} in the list; give 1 to {listed}")
    return result.case, result.layouts[number - 1].judged.layout


def _put_out(placed: Placed, against: str, json: str | None) -> None:
    """The result file first: a reader that leaves the report early must not cost it."""
    if json is not None:
        from solver.api import versions
        from solver.document import dump
        from solver.placing.document import place_document

        write_text(json, dump(place_document(placed, against, versions())), "--json")
    if json != STDOUT:
        from cli.report.place_part import place_page
        show(place_page(placed, against))
