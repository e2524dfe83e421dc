"""Reading [plane.survey]: the table itself, and each of its offsets by itself."""

from __future__ import annotations

from dataclasses import dataclass

from solver.case_file.entries_field import MOST_OFFSETS, OffsetEntry, SurveyEntry
from solver.case_file.load_report import Element, Report, table_wanted
from solver.case_file.read_tables import Context, Read, elements, validated


@dataclass(slots=True)
class ReadSurvey:
    """A plane's survey and its offsets; `whole`: all the offsets it lists could be read."""

    table: Read[SurveyEntry]
    offsets: list[Read[OffsetEntry]]
    whole: bool


def read_survey(plane: Element, report: Report, context: Context) -> ReadSurvey | None:
    """The survey of a plane; None where it has none, or something else stands there."""
    if "survey" not in plane.table:
        return None
    written = plane.table["survey"]
    if not isinstance(written, dict):
        report.add(plane, "survey", table_wanted("survey"))
        return None
    name = f"{plane.where}, survey"
    order = (*plane.order, list(plane.table).index("survey"))
    element = Element(order, name, name, written)  # keys written twice are told of the plane
    own = {key: value for key, value in written.items() if key != "offsets"}
    entry = validated(element, SurveyEntry, report, context, own, salvage=True)
    offsets, whole = _offsets(element, report, context)
    if entry is not None:
        readable = tuple(read.entry for read in offsets if read.entry)
        entry = entry.model_copy(update={"offsets": readable})
    return ReadSurvey(Read(element, entry), offsets, whole)


def _offsets(
    element: Element, report: Report, context: Context
) -> tuple[list[Read[OffsetEntry]], bool]:
    if "offsets" not in element.table:
        return [], True
    written = element.table["offsets"]
    many = len(written) if isinstance(written, list | tuple) else 0
    if many > MOST_OFFSETS:
        want = f"it lists {many:,} offsets; at most {MOST_OFFSETS} can be told"
        report.add(element, "offsets", want, "")
        return [], False
    read = [
        Read(inner, validated(inner, OffsetEntry, report, context))
        for inner in elements(element, "offsets", "offset", report)
    ]
    whole = isinstance(written, list | tuple) and len(read) == many
    return read, whole and all(one.entry is not None for one in read)
