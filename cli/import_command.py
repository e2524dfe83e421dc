"""`offseam import`: a case from a drawing, or penetrations from a schedule."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from cli.failures import OptionError
from cli.files import STDOUT, check_target, write_text
from cli.import_schedule import put_out_account, take_schedule
from cli.new_command import refuse_existing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from solver.intake.drafts import Draft
    from solver.units import Units

EXAMPLES = """\
Examples:

\b
  offseam import plan.dxf --out roof.toml
  offseam import plan.dxf --out roof.toml --outline-layer ROOF --eave S2=top
                          --pipe-layer VENTS --cover 18
  offseam import schedule.csv --plane S --out stubs.csv
  offseam import schedule.xlsx --plane S --toml roof.toml --column id=TAG
"""
_DRAWINGS: Final = (".dxf", ".dwg")
_CASES: Final = (".toml", ".json")
_UNITS: Final = ("in", "ft", "mm", "cm", "m")
_OF_DRAWING: Final = ("--outline-layer", "--pipe-layer", "--curb-layer", "--cover", "--pitch",
                      "--eave", "--title", "--status")
_OF_SCHEDULE: Final = ("--plane", "--column", "--sheet", "--toml")
_LAYER: Final = "May be given again; guessed unless given."


def import_command(
    source: Annotated[
        str, typer.Argument(metavar="SOURCE", help="A DXF drawing, or a penetration schedule (CSV "
                                                   "or XLSX).")
    ],
    out: Annotated[
        str | None,
        typer.Option("--out", metavar="FILE", help="The case, or the CSV, to write; - prints it."),
    ] = None,
    units: Annotated[
        str | None,
        typer.Option(metavar="UNIT", help="One unit of the drawing, or of bare numbers in the "
                                          "schedule: in, ft, mm, cm or m."),
    ] = None,
    force: Annotated[
        bool, typer.Option("--force", help="Replace the file where there is one.")
    ] = False,
    outline_layer: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help=f"Drawing: planes. {_LAYER}"),
    ] = None,
    pipe_layer: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help=f"Drawing: pipes. {_LAYER}"),
    ] = None,
    curb_layer: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help=f"Drawing: curbs. {_LAYER}"),
    ] = None,
    cover: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="Drawing: width of a full panel.")
    ] = None,
    pitch: Annotated[
        str | None,
        typer.Option(metavar="PITCH", help="Drawing: it is a plan, of planes as steep as this."),
    ] = None,
    eave: Annotated[
        list[str] | None,
        typer.Option(metavar="PLANE=SIDE", help="Drawing: the side a plane's eave is at: bottom "
                                                "(unless given), top, left or right."),
    ] = None,
    title: Annotated[
        str | None, typer.Option(metavar="TEXT", help="Drawing: what the roof is called.")
    ] = None,
    status: Annotated[
        str | None,
        typer.Option(metavar="STATUS", help="Drawing: fixed (unless given), stubbed or planned."),
    ] = None,
    plane: Annotated[
        str | None, typer.Option(metavar="ID", help="Schedule: the plane the rows stand on.")
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(metavar="WHAT=NAME", help="Schedule: which column says what, such as "
                                               "id=TAG; x= takes none. May be given again."),
    ] = None,
    sheet: Annotated[
        str | None, typer.Option(metavar="NAME", help="Schedule: which sheet of a workbook.")
    ] = None,
    toml: Annotated[
        str | None,
        typer.Option("--toml", metavar="CASE", help="Schedule: put the penetrations at the end of "
                                                    "this case instead of into a CSV."),
    ] = None,
) -> None:
    """Make a case of a DXF drawing, or take penetrations from a schedule."""
    given = {
        "--outline-layer": outline_layer, "--pipe-layer": pipe_layer, "--curb-layer": curb_layer,
        "--cover": cover, "--pitch": pitch, "--eave": eave, "--title": title, "--status": status,
        "--plane": plane, "--column": column, "--sheet": sheet, "--toml": toml,
    }
    if Path(source).suffix.lower() in _CASES:
        raise OptionError(f"{source}: it is a case by its name, not a drawing (.dxf) or a schedule "
                          "(.csv, .xlsx); --toml names the case that a schedule goes into")
    drawing = Path(source).suffix.lower() in _DRAWINGS
    wrong = [
        f"{option}: it goes with {'a schedule' if drawing else 'a drawing'}; {source} is "
        f"{'a drawing' if drawing else 'no .dxf drawing'}"
        for option in (_OF_SCHEDULE if drawing else _OF_DRAWING) if given[option] is not None
    ]
    if units is not None and units not in _UNITS:
        wrong.append(f'--units "{units}": give in, ft, mm, cm or m')
    if (out is None) == (toml is None):
        wrong.append("--out is missing: say where the case goes" if drawing else
                     "--out FILE or --toml CASE: give one of them, so that it is clear where the "
                     "penetrations go")
    wrong += _target_faults(out, toml, source, force=force)
    if wrong:
        raise OptionError(*wrong)
    if drawing and out is not None:
        layers: dict[str, Sequence[str]] = {
            "outline": outline_layer or (), "pipe": pipe_layer or (), "curb": curb_layer or ()}
        _drawing(source, out, layers, units, cover, pitch or "", eave or [], title,
                 status or "fixed")
    else:
        take_schedule(source, out, toml, plane, column or [], sheet, units)


def _target_faults(out: str | None, toml: str | None, source: str, *, force: bool) -> list[str]:
    wrong: list[str] = []
    try:
        if out is not None:
            check_target(out, "--out", not_over=source)
            refuse_existing(out, "--out", force=force)
        if toml is not None:
            check_target(toml, "--toml", not_over=source)
    except OptionError as error:
        wrong += [says.replace("the case itself", "what is imported") for says in error.messages]
    return wrong


def _drawing(
    source: str, out: str, named: dict[str, Sequence[str]], units: str | None, cover: str | None,
    pitch: str, eave: list[str], title: str | None, status: str,
) -> None:
    from cli.intake_words import drawing_lines
    from solver.errors import CaseError
    from solver.intake.case_text import case_text
    from solver.intake.drawing_layers import layers_of
    from solver.intake.drawing_read import read_drawing
    from solver.intake.drawing_sheet import INSUNITS
    from solver.intake.drawing_take import take
    from solver.intake.small_roof import USUAL_COVER, loaded

    sides, wrong = _option_faults(eave, units, cover, pitch, title, status)
    if wrong:
        raise OptionError(*wrong)
    drawing = read_drawing(Path(source))
    layers, wrong = layers_of(drawing, named)
    unit = units or INSUNITS.get(drawing.insunits)
    if unit is None:
        wrong.append(f"--units is missing: {drawing.file} does not say its unit ($INSUNITS is "
                     f"{drawing.insunits}); give in, ft, mm, cm or m")
    if wrong or unit is None:
        raise OptionError(*wrong)
    usual = USUAL_COVER["in" if unit in ("in", "ft") else "mm"]
    name = (title or _as_title(source)).strip()
    draft, account = take(drawing, layers, unit, title=name, cover=(cover or usual).strip(),
                          guessed=cover is None, pitch=pitch, status=status, eaves=sides)
    text = case_text(draft)
    try:
        loaded(text, out)
        mend: list[str] = []
    except CaseError as error:
        mend = [problem.sentence() for problem in error.problems]
    write_text(out, text, "--out")
    said = "as --units says" if units else "as the drawing says"
    lines = [f"one unit of the drawing is 1 {unit}, {said}",
             *drawing_lines(draft, account, layers.guesses)]
    if drawing.mended:
        lines.append(f"{drawing.mended:,} faults in the file were mended as it was read")
    if cover is None:
        lines.append(f"the cover is a guess, {usual} {draft.units}: --cover says it")
    lines.append(_wrote(draft, out))
    if mend:
        lines += ["to be mended in it before it can be solved:", *mend]
    elif out != STDOUT:
        lines.append(f"next: look at it, then offseam solve {out}")
    put_out_account(lines, out)


def _option_faults(
    eave: list[str], units: str | None, cover: str | None, pitch: str, title: str | None,
    status: str,
) -> tuple[dict[str, str], list[str]]:
    from solver.intake.drawing_planes import SIDES
    from solver.intake.pipe_text import STATUSES
    from solver.intake.small_roof import fault

    wrong = []
    case_units: Units = "mm" if units in ("mm", "cm", "m") else "in"
    for key, text in (("cover", cover), ("pitch", pitch or None), ("title", title)):
        if text is not None and (says := fault(key, text.strip(), case_units)):
            wrong.append(f'--{key} "{text}": {says}')
    if status not in STATUSES:
        wrong.append(f'--status "{status}": give {", ".join(STATUSES)}')
    sides: dict[str, str] = {}
    for text in eave:
        name, sign, side = text.rpartition("=")
        if not sign or not name or side.strip() not in SIDES:
            wrong.append(f'--eave "{text}": write PLANE=SIDE, such as S2=top; the sides are '
                         f"{', '.join(SIDES)}")
        sides[name.strip()] = side.strip()
    return sides, wrong


def _as_title(source: str) -> str:
    from solver.intake.drawing_names import plain_name

    return plain_name(Path(source).stem) or "Roof"


def _wrote(draft: Draft, out: str) -> str:
    from cli.report.words import plural

    pipes = sum(table["kind"] == "pipe" for table in draft.penetrations)
    curbs = len(draft.penetrations) - pipes
    what = (f"{plural(len(draft.planes), 'plane')}, {plural(pipes, 'pipe')}, "
            f"{plural(curbs, 'curb')}")
    return f"wrote {out}: {what}" if out != STDOUT else what
