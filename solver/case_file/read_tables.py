"""Reading tables and lists of tables, each on its own, so that one bad entry hides no other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from solver.case_file.entries_limits import Entry
from solver.case_file.load_file import Twice
from solver.case_file.load_report import (
    Element,
    Report,
    element_wanted,
    ordinal,
    printable,
    table_wanted,
)

E = TypeVar("E", bound=Entry)
Context = dict[str, Any]


@dataclass(slots=True)
class Read(Generic[E]):
    """One table and what was read from it: None where it has problems of its own."""

    element: Element
    entry: E | None

    def misread(self, key: str) -> bool:
        """Whether the file says something under this key that is no value for it.

        Then what `entry` has there is a default, and no fault of the case.
        """
        fields = self.entry.model_fields_set if self.entry else set()
        return key in self.element.table and key not in fields


def read_table(
    top: Element, key: str, model: type[E], report: Report, context: Context
) -> Read[E]:
    """Read the table `key` of the case; one that is not written is read as an empty one."""
    element = table_at(top, key, report)
    if element is None:
        return Read(Element((), key, key, {}), None)
    return Read(element, validated(element, model, report, context, salvage=True))


def table_at(top: Element, key: str, report: Report) -> Element | None:
    """The table `key` of the case, unread; None where something else stands there."""
    table = top.table.get(key, {})
    order = (list(top.table).index(key) if key in top.table else -1,)
    if not isinstance(table, dict):
        report.add(top, key, table_wanted(key))
        return None
    element = Element(order, key, key, table)
    note_twice(element, report)
    return element


def read_each(
    top: Element, key: str, model: type[E], report: Report, context: Context
) -> list[Read[E]]:
    """Read every [[key]] of the case."""
    return [
        Read(element, validated(element, model, report, context))
        for element in elements(top, key, key, report)
    ]


def validated(
    element: Element,
    model: type[E],
    report: Report,
    context: Context,
    table: Mapping[str, Any] | None = None,
    foreign: Mapping[str, str] = MappingProxyType({}),
    *,
    salvage: bool = False,
) -> E | None:
    """An element (or `table` instead of its own) as its model reads it; None if it does not.

    `foreign` has a sentence of its own for keys that do not belong here. `salvage`: what is left
    of a bad table serves the cross-checks.
    """
    written = dict(element.table if table is None else table)
    try:
        return model.model_validate(written, context=context)
    except ValidationError as error:
        report.add_invalid(element, error, model, foreign)
        return without_bad_keys(model, written, error, context) if salvage else None


def without_bad_keys(
    model: type[E], written: Mapping[str, Any], error: ValidationError, context: Context
) -> E | None:
    """What is left of an invalid table once its bad keys are taken out; None if too little is.

    It only serves to hold the rest against other tables, so that all problems are told at once: a
    case with any problem is never solved.
    """
    bad = {found["loc"][0] for found in error.errors(include_url=False) if found["loc"]}
    try:
        return model.model_validate(
            {key: value for key, value in written.items() if key not in bad}, context=context
        )
    except ValidationError:
        return None


def elements(outer: Element, key: str, name: str, report: Report) -> Iterator[Element]:
    """Every [[key]] of a table that is a table itself."""
    listed = outer.table.get(key, [])
    if not isinstance(listed, list | tuple):
        report.add(outer, key, table_wanted(key))
        return
    base = (*outer.order, list(outer.table).index(key)) if key in outer.table else ()
    for number, table in enumerate(listed, start=1):
        place = f"the {ordinal(number)} {name}"
        if outer.name:
            place += f" of {outer.where}"
        if not isinstance(table, dict):
            element = Element((*base, number), name, place, {"": table})
            report.add(element, "", element_wanted(key))
            continue
        element = Element((*base, number), name, place, table, _label(table, key))
        note_twice(element, report)
        yield element


def _label(table: Mapping[str, Any], key: str) -> str:
    if key == "link":
        planes = table.get("planes")
        if isinstance(planes, list | tuple) and all(isinstance(plane, str) for plane in planes):
            return printable("\u2013".join(planes))
        return ""
    if key == "centre":
        what, plane = label_of(table.get("what")), label_of(table.get("plane"))
        return f"{what} of plane {plane}" if what and plane else what
    label = label_of(table.get("id"))
    if key == "gridline" and label and (plane := label_of(table.get("plane"))):
        return f"{label} of plane {plane}"  # each plane may have a grid line 4
    return label


def label_of(written: object) -> str:
    """An id as reports speak of it, or nothing where it cannot serve."""
    return printable(written) if isinstance(written, str) and written.strip() else ""


def note_twice(element: Element, report: Report) -> None:
    """Note every key that JSON writes twice in a table or in the tables inside it."""
    want = "this key is written twice; keep one"
    table = element.table
    for key in table.keys_twice if isinstance(table, Twice) else ():
        report.add(element, key, want, "")
    if not element.name:
        return  # the tables of a whole case are elements of their own
    for name, inner in table.items():  # the rates are tables inside a table
        for key in inner.keys_twice if isinstance(inner, Twice) else ():
            report.add(element, f"{name}.{key}", want, "")
