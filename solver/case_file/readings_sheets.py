"""Reading [fittings] and [freeze], whose keys are names of the case's own."""

from __future__ import annotations

from pydantic import ValidationError

from solver.case_file.entries_sheets import FittingsEntry, FreezeEntry
from solver.case_file.entry_texts import read_id
from solver.case_file.load_report import Element, Report, ordinal, printable, shown
from solver.case_file.read_tables import Context, Read, label_of, table_at, validated


def read_fittings(
    top: Element, report: Report, context: Context
) -> dict[str, Read[FittingsEntry]]:
    """The elbows of each nominal size, in the order of the file."""
    whole = table_at(top, "fittings", report)
    read: dict[str, Read[FittingsEntry]] = {}
    if whole is None:
        return read
    for number, (nominal, table) in enumerate(whole.table.items(), start=1):
        order, place = (*whole.order, number), f"the {ordinal(number)} of the fittings"
        element = Element(order, "fittings", place, {}, label_of(nominal))
        try:
            read_id(nominal)
        except ValueError as error:
            report.add(element, "", f"{error}; it names a nominal size", shown(nominal))
            continue
        if not isinstance(table, dict):
            want = "write a table such as { bend_45 = 2.25 }"
            report.add(element, "", want, shown(table))
            continue
        element.table = table
        # Without quotes, TOML takes the point of a size for a table inside a table.
        split = {
            key: f'put a size with a point in quotes: [fittings."{printable(f"{nominal}.{key}")}"]'
            for key, inner in table.items()
            if isinstance(inner, dict)
        }
        entry = validated(element, FittingsEntry, report, context, foreign=split)
        read[nominal] = Read(element, entry)
    return read


def read_freeze(top: Element, report: Report, context: Context) -> Read[FreezeEntry]:
    """What is agreed; what can be read of it where something in it cannot."""
    element = table_at(top, "freeze", report)
    if element is None:
        return Read(Element((), "freeze", "freeze", {}), None)
    try:
        return Read(element, FreezeEntry.model_validate(element.table, context=context))
    except ValidationError as error:
        report.add_invalid(element, error, FreezeEntry)
        bad = {found["loc"][:2] for found in error.errors(include_url=False)}
    readable = {
        key: {
            name: value
            for name, value in table.items()
            if isinstance(name, str) and (key, name) not in bad
        }
        for key, table in element.table.items()
        if key in FreezeEntry.model_fields and isinstance(table, dict)
    }
    return Read(element, FreezeEntry.model_validate(readable, context=context))
