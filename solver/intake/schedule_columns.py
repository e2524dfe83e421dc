"""Which column of a schedule says what: guessed from its name, or as the user says."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from solver.case_file.load_report import nearest, printable
from solver.intake.schedule_read import Row, Schedule

ROLES: Final[dict[str, tuple[str, ...]]] = {
    "id": ("id", "tag", "mark", "tagno", "marknumber", "markno", "penetration", "pen", "penno",
           "item", "itemno", "no", "number", "ref", "label", "name"),
    "plane": ("plane", "roofplane", "slope", "roofslope", "roofarea", "area", "roof"),
    "kind": ("kind", "shape", "type"),
    "x": ("x", "station", "sta", "xoffset", "offset", "alongeave", "fromleft", "fromgable",
          "distance", "dist", "xdim", "xcoord"),
    "y": ("y", "upslope", "fromeave", "upfromeave", "yoffset", "up", "ydim", "ycoord"),
    "size": ("nominal", "nominalsize", "nomsize", "nom", "nps", "size", "pipesize", "dia",
             "diameter", "diam", "nominaldia", "nominaldiameter"),
    "outside": ("outside", "od", "outsidedia", "outsidediameter", "outerdiameter"),
    "base": ("base", "flashing", "flashingbase", "boot", "bootbase"),
    "across": ("across", "curbwidth", "width"),
    "along": ("along", "curblength", "length"),
    "status": ("status", "state", "condition", "existingnew"),
    "use": ("use", "service", "serves", "system", "description", "desc"),
    "hold": ("hold", "holdreason"),
}
"""What a column may say, with the names it goes by, letters and digits only."""
REQUIRED: Final = ("id", "x", "y")
_UNITS: Final = {
    "in": "in", "inch": "in", "inches": "in", '"': "in", "ft": "ft", "feet": "ft", "foot": "ft",
    "'": "ft", "mm": "mm", "cm": "cm", "m": "m",
}
_WITH_UNIT: Final = re.compile(r"(?P<name>.*?)[\s,]*[(\[](?P<unit>[^()\[\]]*)[)\]]\s*")
_LENGTHS: Final = ("x", "y", "outside", "base", "across", "along", "size")
_HEADER_WITHIN: Final = 25


@dataclass(frozen=True, slots=True)
class Column:
    """A column that says something: what, where it stands, what it is called, in which unit.

    `unit` is that of its bare numbers, empty where its name says none.
    """

    role: str
    at: int
    called: str
    unit: str
    guessed: bool


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns taken, those left by name, and the rows below the header."""

    taken: tuple[Column, ...]
    left: tuple[str, ...]
    header: int
    rows: tuple[Row, ...]

    def at(self, role: str) -> Column | None:
        """The column that says this, if any does."""
        return next((column for column in self.taken if column.role == role), None)


def find_columns(schedule: Schedule, named: Mapping[str, str]) -> tuple[Columns, list[str]]:
    """The columns, and what is wrong with those the user names or lacks, a sentence each.

    `named` has a column's name by what it says; an empty name: no column says it. The header is
    the row in which most columns are known, among the first that say anything.
    """
    best = max(
        enumerate(schedule.rows[:_HEADER_WITHIN]),
        key=lambda one: (_known(one[1], named), -one[0]),
    )[0]
    number, cells = schedule.rows[best]
    names = [cell.text.strip() for cell in cells]
    taken, wrong = _as_named(names, named)
    used = {column.at for column in taken}
    for role, spellings in ROLES.items():
        if role in named:
            continue
        ranked = [
            (spellings.index(plain), at) for at, name in enumerate(names)
            if at not in used and (plain := _plain(name)) in spellings
        ]
        if ranked:
            at = min(ranked)[1]
            used.add(at)
            taken.append(Column(role, at, names[at], _unit(names[at], role), guessed=True))
    roles = [column.role for column in taken]
    have = ", ".join(f'"{printable(name)}"' for name in names if name) or "no names"
    for role in REQUIRED:
        if role not in roles and role not in named:
            wrong.append(f"--column {role}=NAME: no column says the {role}; row {number} has "
                         f"{have}")
    if not {"size", "outside"} & set(roles) and not {"across", "along"} <= set(roles):
        wrong.append(f"--column size=NAME (nominal) or outside=NAME: no column says how large a "
                     f"pipe is; row {number} has {have}")
    left = tuple(name for at, name in enumerate(names) if name and at not in used)
    order = {role: place for place, role in enumerate(ROLES)}
    taken.sort(key=lambda column: order[column.role])
    return Columns(tuple(taken), left, number, schedule.rows[best + 1:]), wrong


def read_named(texts: Sequence[str]) -> tuple[dict[str, str], list[str]]:
    """What `--column id=TAG` says: a column's name by what it says; and what is wrong."""
    named: dict[str, str] = {}
    wrong: list[str] = []
    for text in texts:
        role, sign, name = text.partition("=")
        role = role.strip().lower()
        if not sign:
            wrong.append(f'--column "{printable(text)}": write WHAT=NAME, such as id=TAG')
        elif role not in ROLES:
            wrong.append(f'--column "{printable(text)}": nothing is called "{printable(role)}"; '
                         f"{nearest(role, ROLES)}")
        elif role in named:
            wrong.append(f"--column {role}: it is given twice; give it once")
        else:
            named[role] = name.strip()
    return named, wrong


def _as_named(names: list[str], named: Mapping[str, str]) -> tuple[list[Column], list[str]]:
    taken: list[Column] = []
    wrong: list[str] = []
    by_name = {name.casefold(): at for at, name in reversed(list(enumerate(names))) if name}
    for role, name in named.items():
        if not name:
            if role in REQUIRED:
                wrong.append(f"--column {role}=: every penetration needs its {role}; name a column")
            continue
        at = by_name.get(name.casefold())
        if at is None:
            wrong.append(f'--column {role}="{printable(name)}": there is no such column; '
                         f"{nearest(name, [one for one in names if one])}")
        else:
            taken.append(Column(role, at, names[at], _unit(names[at], role), guessed=False))
    return taken, wrong


def _known(row: Row, named: Mapping[str, str]) -> int:
    given = {name.casefold() for name in named.values() if name}
    every = {spelling for spellings in ROLES.values() for spelling in spellings}
    return sum(
        _plain(cell.text) in every or cell.text.strip().casefold() in given for cell in row[1]
    )


def _plain(name: str) -> str:
    """A column's name without its unit, in small letters and digits alone."""
    found = _WITH_UNIT.fullmatch(name)
    return "".join(char for char in (found["name"] if found else name).casefold()
                   if char.isalnum())


def _unit(name: str, role: str) -> str:
    found = _WITH_UNIT.fullmatch(name)
    if role not in _LENGTHS or not found:
        return ""
    return _UNITS.get(found["unit"].strip().rstrip(".").casefold(), "")
