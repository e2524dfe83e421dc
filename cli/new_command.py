"""`offseam new`: a case for a small roof, from answers or from options."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Annotated, Final, cast

import typer

from cli.failures import OptionError, escaped, tell
from cli.files import STDOUT, check_target, write_text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from solver.intake.drafts import Table
    from solver.units import Units

EXAMPLES = """\
Examples:

\b
  offseam new shed.toml                asks for what it needs
  offseam new shed.toml --title Shed --units in --width 20ft --length 12ft
                       --cover 18 --pipe "V1 x=8ft y=5ft outside=3.5"
  offseam new shed.toml --pipe "V1 x=8ft y=5ft size=3 status=planned"
"""
_ASKED: Final = {
    "title": "What is the roof called",
    "units": "Units of bare numbers, in or mm",
    "width": "Width along the eave, such as 28' 11\" or 8.8 m",
    "length": "Length up the slope, measured on it",
    "cover": "Cover of a panel, seam to seam",
    "pitch": 'Pitch, such as 4:12 or "20 deg" (empty: not said)',
}
_OF_PIPE: Final = {
    "x": "x of its centre",
    "y": "y of its centre",
    "outside": "outside diameter (a 3 in pipe has 3.5 in)",
    "status": "fixed, stubbed or planned [fixed]",
}
_MISSING: Final = {
    "title": 'give what the roof is called, such as "Boat shed"',
    "units": "give in or mm, the unit of bare numbers",
    "width": 'give the width along the eave, such as "28\' 11\\""',
    "length": 'give the length up the slope, such as "17 ft"',
    "cover": "give the width of a full panel, seam to seam, such as 18",
}


def new_command(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="The case to write; - prints it instead.")
    ],
    title: Annotated[
        str | None, typer.Option(metavar="TEXT", help="What the roof is called.")
    ] = None,
    units: Annotated[
        str | None, typer.Option(metavar="UNIT", help="Unit of bare numbers: in or mm.")
    ] = None,
    width: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="Width of the plane along the eave.")
    ] = None,
    length: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="Length up the slope, measured on it.")
    ] = None,
    cover: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="Width of a full panel, seam to seam.")
    ] = None,
    pitch: Annotated[
        str | None, typer.Option(metavar="PITCH", help="How steep it is, such as 4:12.")
    ] = None,
    pipe: Annotated[
        list[str] | None,
        typer.Option(metavar="PIPE", help='A pipe, such as "V1 x=12ft y=6ft outside=3.5"; size=3 '
                                          "names a nominal size, status=planned one that may "
                                          "move. May be given again."),
    ] = None,
    force: Annotated[
        bool, typer.Option("--force", help="Replace FILE where there is one.")
    ] = False,
) -> None:
    """Write a commented case for a small roof; what no option says is asked for."""
    given = {"title": title, "units": units, "width": width, "length": length, "cover": cover,
             "pitch": pitch}
    refuse_existing(file, "FILE", force=force)
    answers, pipes = _from_options(given, pipe or [])
    missing = [key for key in _MISSING if key not in answers]
    if missing:
        if not _can_ask():
            raise OptionError(*(f"--{key} is missing: {_MISSING[key]}" for key in missing))
        try:
            pipes = _ask(answers, pipes, ask_pipes=not pipe)
        except EOFError:
            typer.echo()
            raise OptionError(f"the questions were left, so {file} is not written") from None
    text = _text(answers, pipes, file)
    write_text(file, text, "FILE")
    if file != STDOUT:
        count = f"{len(pipes)} pipe{'s' * (len(pipes) != 1)}"
        typer.echo(escaped(f"wrote {file}: one plane, {count}\nnext: offseam solve {file}"))


def refuse_existing(target: str, option: str, *, force: bool) -> None:
    """Refuse a target that cannot be written, or that is there already unless it is forced.

    Raises:
        OptionError: it is.
    """
    check_target(target, option)
    if target != STDOUT and not force and os.path.lexists(target):
        raise OptionError(f"{option}: {target} is there already; give another name, or --force to "
                          "replace it")


def _from_options(
    given: Mapping[str, str | None], lines: list[str]
) -> tuple[dict[str, str], list[Table]]:
    """What the options say.

    Raises:
        OptionError: every one that cannot be followed; what is missing too, if none can be asked.
    """
    from solver.intake.pipe_text import read_pipe, split_pipe
    from solver.intake.small_roof import PLANE, fault

    units = _units(given["units"])
    answers = {key: text.strip() for key, text in given.items() if text is not None}
    wrong = [
        f'--{key} "{text}": {says}' for key, text in answers.items()
        if (says := fault(key, text, units))
    ]
    pipes: list[Table] = []
    for line in lines:
        table, faults = read_pipe(*split_pipe(line), PLANE, units)
        wrong += [f'--pipe "{line}": {says}' for says in faults]
        if table["id"] in [pipe["id"] for pipe in pipes]:
            wrong.append(f'--pipe "{line}": the id {table["id"]} is given twice')
        pipes.append(table)
    if wrong and not _can_ask():
        wrong += [f"--{key} is missing: {says}" for key, says in _MISSING.items()
                  if key not in answers]
    if wrong:
        raise OptionError(*wrong)
    return answers, pipes


def _units(text: str | None) -> Units:
    return cast("Units", text.strip()) if text is not None and text.strip() == "mm" else "in"


def _can_ask() -> bool:
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def _ask(answers: dict[str, str], pipes: list[Table], *, ask_pipes: bool) -> list[Table]:
    """Ask for what is missing, on the terminal; every answer is looked at as it comes."""
    from solver.intake.small_roof import USUAL_COVER

    for key, question in _ASKED.items():
        if key in answers:
            continue
        usual = {"units": "in", "cover": USUAL_COVER[_units(answers.get("units"))]}.get(key, "")
        answer = _answer(key, question, usual, answers)
        if answer:
            answers[key] = answer
    if ask_pipes:
        typer.echo("Pipes, one after the other. x: from the left end, facing the slope from\n"
                   "outside; y: up the slope from the eave.")
        while (table := _ask_pipe(answers, pipes)) is not None:
            pipes.append(table)
    return pipes


def _answer(key: str, question: str, usual: str, answers: Mapping[str, str]) -> str:
    from solver.intake.small_roof import fault

    while True:
        text = _line(f"{question}{f' [{usual}]' if usual else ''}: ") or usual
        if not text and key == "pitch":
            return ""
        says = fault(key, text, _units(answers.get("units")))
        if not says:
            return text
        tell(f'"{text}": {says}' if text else says)


def _ask_pipe(answers: Mapping[str, str], pipes: list[Table]) -> Table | None:
    """The next pipe, or None once an empty answer ends them."""
    from solver.errors import CaseError
    from solver.intake.pipe_text import read_pipe
    from solver.intake.small_roof import PLANE

    units = _units(answers["units"])
    while True:
        name = _line(f"Pipe {len(pipes) + 1}, its tag (empty: no more): ")
        if not name:
            return None
        given = [
            (key, answer) for key, question in _OF_PIPE.items()
            if (answer := _line(f"  {question}: ")) or key != "status"
        ]
        table, faults = read_pipe(name, given, PLANE, units)
        if table["id"] in [pipe["id"] for pipe in pipes]:
            faults.append(f"there is a pipe {table['id']} already; give another tag")
        if not faults:
            try:
                _text(answers, [*pipes, table], "")
                return table
            except CaseError as error:
                faults = [problem.sentence() for problem in error.problems]
        for says in faults:
            tell(f"{name}: {says}")


def _line(question: str) -> str:
    return input(question).strip()


def _text(answers: Mapping[str, str], pipes: list[Table], file: str) -> str:
    from solver.case_file.load_report import printable
    from solver.intake.small_roof import small_roof, written

    draft = small_roof(answers["title"], _units(answers["units"]), answers["width"],
                       answers["length"], answers["cover"], answers.get("pitch", ""), pipes)
    return written(draft, printable(file, most=200))
