"""One pipe in one line: `V1 x=12ft y=6ft outside=3.5`, as an option or an answer gives it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from solver.case_file.entry_texts import read_id
from solver.case_file.load_report import nearest, printable
from solver.errors import LengthError
from solver.intake.nominal import OUTSIDE_INCHES, nominal_size
from solver.units import Units, parse_length

KEYS: Final = ("x", "y", "outside", "size", "base", "status")
STATUSES: Final = ("fixed", "stubbed", "planned")
SAMPLE: Final = "V1 x=12ft y=6ft outside=3.5"
_KEY: Final = re.compile(r"\s+([A-Za-z_]+)\s*=\s*")  # an id may itself hold "="


def split_pipe(text: str) -> tuple[str, list[tuple[str, str]]]:
    """The id that a line begins with, and its keys with what is said of them."""
    name, *rest = _KEY.split(text.strip())
    return name.strip(), list(zip(rest[::2], rest[1::2], strict=True))


def read_pipe(
    name: str, given: Sequence[tuple[str, str]], plane: str, units: Units
) -> tuple[dict[str, str], list[str]]:
    """The [[penetration]] of a pipe, and what is wrong with it, a sentence each.

    `size` is a nominal size and stands for the outside diameter of ASTM D1785 / D2665.
    """
    table = {"id": name, "plane": plane, "kind": "pipe"}
    wrong: list[str] = []
    try:
        read_id(name)
    except ValueError as error:
        wrong.append(f"it begins with the pipe's id, as in {SAMPLE}; {error}")
    for key, value in given:
        key = key.lower()
        if key not in KEYS:
            wrong.append(f'it has no "{printable(key)}"; {nearest(key, KEYS)}')
        elif key in table or (key == "size" and "nominal" in table):
            wrong.append(f"{key} is given twice; give it once")
        else:
            wrong += _take(key, value.strip(), table, units)
    named = {key.lower() for key, _ in given}
    wrong += [f"{key}= is missing, as in {SAMPLE}" for key in ("x", "y") if key not in named]
    if not named & {"outside", "size"}:
        wrong.append(f"outside= (its diameter) or size= (nominal) is missing, as in {SAMPLE}")
    elif {"outside", "size"} <= named:
        wrong.append("outside= and size= say the same; give one")
    return table, wrong


def _take(key: str, value: str, table: dict[str, str], units: Units) -> Iterator[str]:
    if key == "status":
        if value not in STATUSES:
            yield f'status "{printable(value)}" is none; give {", ".join(STATUSES)}'
        table[key] = value
    elif key == "size":
        nominal = nominal_size(value)
        if nominal is None:
            yield (f'size "{printable(value)}" is no nominal size known here '
                   f"({', '.join(OUTSIDE_INCHES)}); give outside= instead")
            return
        table["nominal"] = nominal
        table["outside"] = outside_text(nominal, units)
    else:
        fault = length_fault(value, units, above_0=key in ("outside", "base"))
        if fault:
            yield f'{key} "{printable(value)}" is no such length; {fault}'
        table[key] = value


def outside_text(nominal: str, units: Units) -> str:
    """The outside diameter of a nominal size as a case in these units writes it."""
    inches = OUTSIDE_INCHES[nominal]
    return inches if units == "in" else f"{inches} in"


def length_fault(text: str, units: Units, *, above_0: bool = False) -> str:
    """Why a text is no length (or, where asked, none above 0); empty where it is one."""
    try:
        ticks = parse_length(text, units)
    except LengthError as error:
        return str(error)
    return "it must be more than 0" if above_0 and ticks <= 0 else ""
