"""What is handed over: the page, the drawings, and the folder with everything of one layout."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from cli.out.manifest import NAME, manifest
from cli.out.tables import (
    FINDING_HEADINGS,
    Column,
    Table,
    field_table,
    finding_rows,
    findings_table,
    panels_table,
    stubs_table,
    takeoff_table,
)
from cli.report.closing import CAUTIONS, rates_words
from cli.sheets_csv import BOM, guarded, tag
from solver.clock import Clock
from solver.document import dump, money_number, result_document
from solver.field.parts import FieldSheets
from solver.page.parts import PageParts, page_parts
from solver.panels.parts import PanelList
from solver.result import PROVEN, Ranked, Result
from solver.stock.parts import StockPlan
from solver.stubs.list import StubList
from solver.takeoff.lines import TakeOff

Folder = dict[str, bytes]
STOCK_SECONDS: Final = 20.0
"""How long the stock plan is worked at; --time may leave it less."""
_HOLDS: Final = {"svg": "the drawings of one layout, SVG", "dxf": "the drawings of one layout, DXF",
                 "out": "everything of one layout"}


@dataclass(frozen=True, slots=True)
class Made:
    """What was asked for; None where it was not, or where there is no layout to make it of."""

    page: str | None = None
    svg: Folder | None = None
    dxf: Folder | None = None
    out: Folder | None = None


@dataclass(frozen=True, slots=True)
class Lists:
    """The lists of one layout."""

    entry: Ranked
    stubs: StubList
    panels: PanelList
    stock: StockPlan
    takeoff: TakeOff
    field: FieldSheets

    @property
    def proven(self) -> bool:
        """Whether the layout is."""
        return self.entry.proof == PROVEN


def make(
    result: Result, layout: int, *, page: bool, svg: bool, dxf: bool, out: bool, clock: Clock
) -> Made:
    """All that is asked for, in memory. The page holds all layouts, the rest the one of that rank.

    Raises:
        DisagreementError: a list of a layout contradicts the layout.
    """
    entry = result.layouts[layout - 1] if result.layouts else None
    parts, text = None, None
    if page or (out and entry is not None):
        from cli.page.page import page_text

        clock.say("the page")
        parts = page_parts(result)
        text = page_text(result, parts)
    shown = text if page else None
    if entry is None:
        return Made(shown)
    clock.say("the drawings")
    drawn = {kind: _drawn(result, layout, kind)
             for kind, wanted in _kinds(svg or out, dxf or out) if wanted}
    whole = None
    if out and parts is not None and text is not None:
        lists = _lists(result, entry, parts, clock)
        whole = _sealed(result, entry, "out", {
            "page.html": text.encode(),
            **{f"drawings/{name}": data for one in drawn.values() for name, data in one.items()},
            **_files(result, lists),
        })
    return Made(
        shown,
        _sealed(result, entry, "svg", drawn["svg"]) if svg else None,
        _sealed(result, entry, "dxf", drawn["dxf"]) if dxf else None,
        whole,
    )


def _kinds(svg: bool, dxf: bool) -> Iterator[tuple[Literal["svg", "dxf"], bool]]:
    yield "svg", svg
    yield "dxf", dxf


def _drawn(result: Result, layout: int, kind: Literal["svg", "dxf"]) -> Folder:
    from cli.drawing.sheets import drawings

    return drawings(result, layout, kind)


def _sealed(result: Result, entry: Ranked, kind: str, files: Folder) -> Folder:
    sheet = manifest(result, entry, _HOLDS[kind], files)
    return {**files, NAME: dump(sheet).encode("utf-8", "backslashreplace")}


def _lists(result: Result, entry: Ranked, parts: PageParts, clock: Clock) -> Lists:
    from solver.panels.cuts import stock_of
    from solver.panels.list import panel_list

    place = result.layouts.index(entry)
    clock.say("the panels")
    panels = panel_list(result.case, entry.judged, entry.rank)
    clock.next_search()  # its money is no news any more
    clock.say("the stock")
    stock = stock_of(panels, STOCK_SECONDS, clock)
    return Lists(entry, parts.stubs[place], panels, stock, parts.takeoffs[place],
                 parts.fields[place])


def _files(result: Result, lists: Lists) -> Folder:
    """The lists, the workbook and the result file."""
    from cli.field_csv import field_csv
    from cli.out.workbook import workbook_bytes
    from cli.panels_csv import panels_csv
    from cli.report.takeoff_csv import takeoff_csv
    from cli.sheets_csv import stubs_csv
    from solver.field.document import field_document
    from solver.panels.document import panels_document
    from solver.stubs.document import stubs_document
    from solver.takeoff.document import takeoff_document

    case, versions, findings = result.case, result.versions, result.findings
    proof = "proven" if lists.proven else "not proven"
    answer = result_document(result)
    del answer["seconds"]  # the only thing in it that differs from run to run
    documents = {
        "result": answer,
        "stubs": stubs_document(
            lists.stubs, title=case.title, units=case.units, revision=case.revision,
            date=case.date, sha256=case.sha256, versions=versions, proof=proof, findings=findings,
        ),
        "panels": panels_document(lists.panels, lists.stock, case=case, versions=versions,
                                  proof=proof, findings=findings),
        "takeoff": takeoff_document(result, lists.takeoff, []),
        "field": field_document(lists.field, case=case, versions=versions, proof=proof,
                                findings=findings),
    }
    texts = {
        **{f"{name}.json": dump(document) for name, document in documents.items()},
        "stubs.csv": stubs_csv(lists.stubs),
        "panels.csv": panels_csv(lists.panels),
        "takeoff.csv": takeoff_csv(lists.takeoff),
        "field.csv": field_csv(lists.field, lists.proven),
        "findings.csv": findings_csv(result),
    }
    edition = " ".join(filter(None, [f"revision {case.revision}" if case.revision else "",
                                     case.date, f"layout {lists.entry.rank}"]))
    book = workbook_bytes(_tables(result, lists), title=case.title,
                          footer=f"{case.title}, {edition}")
    return {
        **{name: text.encode("utf-8", "backslashreplace") for name, text in texts.items()},
        "workbook.xlsx": book,
    }


def findings_csv(result: Result) -> str:
    """What the reader must know as a spreadsheet, guarded as the stub-up list is."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(["revision", "date", *FINDING_HEADINGS])
    case = result.case
    for row in finding_rows(result.findings):
        found = (tag(str(row[name])) for name in FINDING_HEADINGS)
        writer.writerow([guarded(cell) for cell in (case.revision, case.date, *found)])
    return BOM + stream.getvalue()


def _tables(result: Result, lists: Lists) -> list[Table]:
    return [
        _about(result, lists),
        stubs_table(lists.stubs),
        panels_table(lists.panels),
        takeoff_table(lists.takeoff),
        *(field_table(lists.field, sheet, lists.proven) for sheet in lists.field.planes),
        findings_table(result.findings, result.case.units),
    ]


def _about(result: Result, lists: Lists) -> Table:
    case, sums = result.case, lists.takeoff.sums
    words = (
        ("title", case.title), ("revision", case.revision), ("date", case.date),
        ("lengths are in", "inches" if case.units == "in" else "millimetres"),
        ("layout", f"{lists.entry.rank} of {len(result.layouts)} listed"),
        ("proof", "proven best" if lists.proven else "not proven best"),
        ("case (sha256)", case.sha256),
        *((f"version of {name}", number) for name, number in result.versions.items()),
    )
    money = (
        ("extra cost of the layout", lists.entry.judged.cost.total),
        ("take-off: rest of the roof", sums.rest), ("take-off: total", sums.total),
    )
    columns = (Column("what", "text"), Column("is", "text"), Column("amount", "money"))
    return Table("About", columns, (
        *((name, value or None, None) for name, value in words),
        *((name, None, money_number(cents)) for name, cents in money),
        *(("before you build from this", says, None) for says in [*CAUTIONS, *rates_words(case)]),
    ))
