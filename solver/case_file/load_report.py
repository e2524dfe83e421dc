"""Collecting everything that is wrong with a case: by id, in file order, in plain words."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Container, Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import partial
from types import MappingProxyType
from typing import Any, Final, Literal, get_args

from pydantic import BaseModel, ValidationError

from solver.errors import CaseError, Problem
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units, say_length

MOST_PROBLEMS: Final = 200
"""A report longer than this helps nobody; the rest is counted."""

_TABLE_WANTED: Final = {
    "panel": "write a table [panel]",
    "rules": "write a table [rules]",
    "moves": "write a table [moves]",
    "rates": "write a table [rates]",
    "plane": "write [[plane]] with double brackets, once for each plane",
    "link": "write [[link]] with double brackets, once for each link",
    "penetration": "write [[penetration]] with double brackets, once for each penetration",
    "gridline": "write [[gridline]] with double brackets, once for each grid line",
    "fittings": 'write a table for each size, such as [fittings."3"]',
    "join": "write [[join]] with double brackets, once for each join",
    "freeze": "write a table [freeze]",
    "centre": "write [[centre]] with double brackets, once for each centre",
    "sheet": "write a table [sheet]",
    "prices": "write a table [prices]",
    "field": "write a table [field]",
    "movement": "write a table [movement]",
    "survey": "write a table [plane.survey]",
    "offsets": "write a list of readings, such as [{ y = 0, low = 240, high = 960 }, "
    "{ y = 300, low = 241, high = 959 }]",
    "outline": "write a list of points, such as [{ x = 0, y = 0 }, { x = 480, y = 0 }, "
    "{ x = 240, y = 200 }]",
    "hole": "write [[plane.hole]] with double brackets, once for each hole",
    "keepout": "write [[plane.keepout]] with double brackets, once for each keep-out",
}
_INNER_TABLES: Final = {
    "curb": "{ x = 640, y = 200, across = 38, along = 50 }",
    "first": '{ S = 11.5 }',
    "setback": "{ valley = 12, wall = 12 }",
    "move": '{ V1 = -2.5, V2 = 0 }',
}
_RATE: Final = "{ hours = 4, material = 110 }"
Want = str | Callable[[], str]
_NAMES_LISTED: Final = 12
_AFTER_ALL_TABLES: Final = 1 << 40


@dataclass(slots=True)
class Element:
    """One table of the case, or one row of its CSV, and how reports speak of it.

    `order` is its place in the file, `name` its kind ("penetration"), `place` how it is told apart
    where it has no id ("the 3rd penetration", "stubs.csv row 7"), `label` its id where that is
    readable.
    """

    order: tuple[int, ...]
    name: str
    place: str
    table: Mapping[str, Any]
    label: str = ""
    in_csv: bool = False
    positions: dict[str, int] = field(default_factory=dict)

    @property
    def where(self) -> str:
        """The thing by its id, else by its place."""
        if not self.label:
            return self.place
        named = f"{self.name} {self.label}"
        return f"{named} ({self.place})" if self.in_csv else named

    def at(self, key: str) -> tuple[int, ...]:
        """The place of one of its keys in the file; a missing one counts as its first."""
        if not self.positions:
            self.positions.update((name, at) for at, name in enumerate(self.table))
        position = self.positions.get(key)
        if position is None:  # a missing key, or one of an inner table: "on_seam.hours"
            position = self.positions.get(key.split(".")[0], -1)
        return (*self.order, position)


class Report:
    """The problems of one case. `close` raises them all, or does nothing if there are none.

    Sentences that cost time are handed over as functions: only those that are shown are made.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self._found: list[tuple[tuple[int, ...], Element, str, Want, str | None]] = []

    def add(self, element: Element, key: str, want: Want, got: str | None = None) -> None:
        """Note one problem; `got` is what the element says under `key` unless given."""
        self._found.append((element.at(key), element, key, want, got))

    def add_invalid(
        self,
        element: Element,
        error: ValidationError,
        model: type[BaseModel],
        foreign: Mapping[str, str] = MappingProxyType({}),
        columns: Container[str] | None = None,
        absent: set[str] | None = None,
    ) -> None:
        """Note everything that made a table unreadable.

        `foreign` has a sentence of its own for keys that belong to another kind of thing. Keys
        that are missing because a CSV has no such column (`columns`) are put into `absent`
        instead: that is told once for all rows.
        """
        for found in error.errors(include_url=False):
            loc = found["loc"]
            key = ".".join(str(part) for part in loc)
            missing = found["type"] == "missing"
            if missing and columns is not None and absent is not None and key not in columns:
                absent.add(key)
                continue
            got = "" if missing else shown(found["input"])
            if found["type"] == "extra_forbidden" and key in foreign:
                self.add(element, key, foreign[key], got)
            else:
                self.add(element, key, partial(_want, found, loc, model), got)

    def close(self) -> None:
        """Raise what was found, in file order, at most `MOST_PROBLEMS` of it.

        Raises:
            CaseError: there is at least one problem.
        """
        if not self._found:
            return
        self._found.sort(key=lambda found: found[0])
        problems = [self._problem(*found[1:]) for found in self._found[:MOST_PROBLEMS]]
        more = len(self._found) - len(problems)
        if more:
            problem_s = "problem" if more == 1 else "problems"
            want = f"and {more:,} more {problem_s}; mend those above first"
            problems.append(Problem(self.file, "", "", "", want))
        raise CaseError(problems)

    def _problem(self, element: Element, key: str, want: Want, got: str | None) -> Problem:
        if got is None:
            got = shown(element.table[key]) if key in element.table else ""
        said = want if isinstance(want, str) else want()
        return Problem(self.file, element.where, printable(key), got, said)


def csv_order(row: int) -> tuple[int, ...]:
    """The place of a CSV row: after everything in the case file."""
    return (_AFTER_ALL_TABLES, row)


def ordinal(number: int) -> str:
    """1st, 2nd, 3rd, 4th …"""
    teens = 10 <= number % 100 <= 20
    return f"{number:,}" + ("th" if teens else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th"))


def printable(text: str, most: int = 60) -> str:
    """A text on one line without control characters, cut where it is long."""
    if len(text) > most:
        text = text[: most - 1] + "…"
    return "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode() for char in text
    )


def shown(value: object) -> str:
    """A value as the file has it, short enough for a sentence."""
    if isinstance(value, str):
        return f'"{printable(value)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "null"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple):
        plain = len(value) <= 4 and all(isinstance(item, str | int) for item in value)
        return f"[{', '.join(map(shown, value))}]" if plain else "a list"
    if isinstance(value, int) and abs(value) >= 10**30:
        return "a huge whole number"
    if isinstance(value, Decimal) and not value.is_finite():
        return str(value).lower()
    return printable(str(value))


def nearest(word: str, known: Iterable[str]) -> str:
    """The mend for a name that does not exist: the nearest known one, or all of them."""
    names = {name.casefold(): name for name in known}
    close = difflib.get_close_matches(word[:80].casefold(), names, n=1, cutoff=0.6)
    if close:
        return f'the nearest known one is "{printable(names[close[0]])}"'
    listed = [printable(name) for name in names.values()]
    more = f" and {len(listed) - _NAMES_LISTED:,} more" if len(listed) > _NAMES_LISTED else ""
    return f"known are {', '.join(listed[:_NAMES_LISTED])}{more}"


def length_said(
    ticks: int, units: Units, how: Literal["nearest", "down", "up"] = "nearest"
) -> str:
    """A length in a sentence: to 1/16 in where that is exact, else finer, as a decimal."""
    finest = TICKS_PER_INCH // 64 if units == "in" else TICKS_PER_MM // 10
    if how == "up":
        ticks = -(-ticks // finest) * finest
    elif how == "down":
        ticks = ticks // finest * finest
    return say_length(ticks, units)


def listed(things: Iterable[str]) -> str:
    """A, B and C."""
    *before, last = things
    return f"{', '.join(before)} and {last}" if before else last


def keys_of(model: type[BaseModel]) -> list[str]:
    """The keys of a table as they are written in the file."""
    return [info.alias or name for name, info in model.model_fields.items()]


def _want(found: Any, loc: tuple[int | str, ...], model: type[BaseModel]) -> str:
    kind = found["type"]
    if kind == "value_error":
        return str(found["ctx"]["error"])
    if kind == "missing":
        return f"it is required and not given: {_description(loc, model)}"
    if kind == "literal_error":
        return "write " + str(found["ctx"]["expected"]).replace("'", '"')
    if kind == "invalid_key" or loc[-1] == "[key]":
        return "a key is a text"
    if kind == "extra_forbidden":
        inside = _inner_model(loc, model)
        return f"there is no such key; {nearest(str(loc[-1]), keys_of(inside))}"
    return f"write a table such as {_INNER_TABLES.get(str(loc[-1]), _RATE)}"


def _inner_model(loc: tuple[int | str, ...], model: type[BaseModel]) -> type[BaseModel]:
    for part in loc[:-1]:
        annotation = model.model_fields[str(part)].annotation
        for inner in get_args(annotation) or (annotation,):  # a table, or one that may be left out
            if isinstance(inner, type) and issubclass(inner, BaseModel):
                model = inner
    return model


def _description(loc: tuple[int | str, ...], model: type[BaseModel]) -> str:
    for name, info in _inner_model(loc, model).model_fields.items():
        if (info.alias or name) == loc[-1]:
            text = (info.description or "").rstrip(".")
            return text[:1].lower() + text[1:]
    return ""


def table_wanted(key: str) -> str:
    """How a table of this name is written."""
    return _TABLE_WANTED[key]


def element_wanted(key: str) -> str:
    """How one thing of such a list is written."""
    if key == "offsets":
        return "write a reading such as { y = 0, low = 240, high = 960 }"
    return "write a point such as { x = 0, y = 0 }" if key == "outline" else table_wanted(key)
