"""All that a page is written from: a result, its exact tables, and the lists of every layout."""

from __future__ import annotations

from dataclasses import dataclass

from solver.field.parts import FieldSheets
from solver.field.sheet import field_sheets
from solver.page.tables import PageTables, page_tables
from solver.result import Result
from solver.stubs.list import StubList, stub_list
from solver.takeoff.lines import TakeOff, take_offs


@dataclass(frozen=True, slots=True)
class PageParts:
    """`stubs`, `takeoffs` and `fields` have one entry for each listed layout."""

    tables: PageTables
    stubs: tuple[StubList, ...]
    takeoffs: tuple[TakeOff, ...]
    fields: tuple[FieldSheets, ...]


def page_parts(result: Result) -> PageParts:
    """Everything a page shows of a result.

    Raises:
        DisagreementError: the take-off or the fittings of a layout contradict its cost or moves.
    """
    case = result.case
    ranks = [entry.rank for entry in result.layouts]
    return PageParts(
        page_tables(result),
        tuple(stub_list(case, entry.judged, entry.rank) for entry in result.layouts),
        tuple(take_offs(result, ranks)),
        tuple(field_sheets(case, entry.judged, entry.rank) for entry in result.layouts),
    )
