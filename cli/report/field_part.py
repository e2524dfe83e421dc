"""The field sheet on paper: a page for each plane, read with a tape in the other hand."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.field_movement import movement_lines
from cli.report.field_words import CAUTIONS, FieldWords
from cli.report.grid import Column, table
from cli.report.lines import BLANK, WIDTH, Line, Span, Style, clean, heading, shorten, wrap
from cli.report.words import end_name, id_of, plural
from solver.field.parts import FieldSheets, PlaneField, Row, Run
from solver.field.work import before_panels

_BLANK_CELL = "_______"
_COLUMNS = (
    Column("seam", "right"), Column("start\nto mark", "right"),
    Column("from\ncontrol", "right"), Column("measured\neave"), Column("measured\nridge"),
    Column("correct\nby"), Column("next in\nthe way", least=8, cut="middle"),
    Column("stop", least=7),
)
_OUT_OF_SQUARE = (
    Column("seam", "right"), Column("eave\nto mark", "right"), Column("ridge\nto mark", "right"),
    Column("from\ncontrol", "right"), Column("meas.\neave"), Column("meas.\nridge"),
    Column("corr.\nby"), Column("next in\nthe way", least=8, cut="middle"),
    Column("stop", least=7),
)
_IN = "     "


def field_page(found: FieldSheets, proven: bool) -> list[Line]:
    """All sheets, each a page of its own."""
    lines: list[Line] = []
    for place, sheet in enumerate(found.planes):
        if place:
            lines += [BLANK, (Span("=" * WIDTH, "quiet"),), BLANK]
        lines += _plane(found, sheet, proven)
    return lines


def _plane(found: FieldSheets, sheet: PlaneField, proven: bool) -> Iterator[Line]:
    case, plane = found.case, sheet.plane
    words = FieldWords(case, plane)
    place, near = words.lengths.place, words.lengths.near
    yield from wrap(f"FIELD SHEET, PLANE {id_of(plane.id)}", style="head")
    yield (Span(shorten(words.title(), WIDTH), "head"),)
    yield from wrap(words.edition(found.rank, proven))
    way = (f"laid both ways from {words.start(sheet.runs[0])}" if words.both else
           f"laid from {words.start(sheet.runs[0])} to the {words.far_end(sheet.runs[0])}")
    yield from wrap(f"{place(plane.width)} wide, {place(plane.length)} up the slope; "
                    f"{plural(sheet.judged.panels, 'panel')} of {near(case.panel.cover)}, {way}.")
    for caution in CAUTIONS[:2]:
        yield from wrap(caution, first="! ", rest="  ", style="warn")
    yield BLANK
    yield heading("SQUARE THE START")
    yield from wrap(words.triangle(sheet.triangle), first="  ", rest="    ")
    if sheet.diagonals:
        yield from wrap("Diagonals: from the corner nearer the start at the eave to the far corner "
                        "at the top.", first="  ", rest="    ")
    for one in sheet.diagonals:
        yield from wrap(words.diagonal(one), first="  ", rest="    ")
    for run in sheet.runs:
        yield BLANK
        yield from _run(found, words, run)
    if lines := movement_lines(found, plane):
        yield BLANK
        yield from lines
    yield BLANK
    for caution in CAUTIONS[2:] if found.movement is None else CAUTIONS[3:]:
        yield from wrap(caution, first="- ", rest="  ")
    yield from wrap("Laid and measured by " + "_" * 26 + "  date " + "_" * 20)


def _run(found: FieldSheets, words: FieldWords, run: Run) -> Iterator[Line]:
    title = "SEAMS"
    if words.both:
        title += f" towards the {end_name(words.plane, high=run.way == 1)}"
    yield heading(title)
    for note in (*words.hook(run), words.mark(found.limits.tape_mark)):
        yield from wrap(note, first="  ", rest="    ")
    yield from wrap("Correct by: measured less listed, spread over the panels before the next "
                    "measuring.", first="  ", rest="    ")
    yield from wrap(words.widths(), first="  ", rest="    ")
    if any(before_panels(found.case, ahead.pen) and ahead.pen.kind == "pipe"
           and ahead.pen.height is None for row in run.rows for ahead in row.here):
        yield from wrap(words.heights(found.limits.hook), first="  ", rest="    ")
    if words.plane.lean is not None:
        yield from wrap("Out of square: the tape is hooked at the rake, at the eave and again at "
                        "the ridge.", first="  ", rest="    ")
    for none in run.no_line:
        yield from wrap(words.no_line(none), first="  ", rest="    ", style="warn")
    rows, below = [], []
    for row in run.rows:
        rows.append(_cells(words, row))
        below.append(list(_below(words, run, row)))
    leans = words.plane.lean is not None
    yield from table(_OUT_OF_SQUARE if leans else _COLUMNS, rows, below)


def _cells(words: FieldWords, row: Row) -> list[Span]:
    cell, place = words.lengths.cell, words.lengths.place
    strong: Style = "head" if row.line or row.closing else ""
    seam = row.kind == "seam"
    at = "" if row.kind == "start" and not row.at else cell(place(row.at))
    blank = _BLANK_CELL if row.top is None else _BLANK_CELL[:5]
    ridge = [] if row.top is None else [
        Span("" if row.kind == "start" else cell(place(row.top)), strong)]
    return [
        Span(words.number(row), strong), Span(at, strong), *ridge,
        Span(cell(place(row.back)) if row.kind != "start" else "", strong),
        *(Span(blank if row.kind != "start" else "", "quiet") for _ in range(2)),
        Span(blank if seam else "", "quiet"),
        Span(words.short(row.next) if row.kind != "end" else ""),
        Span(words.stop(row), "warn" if row.here else strong),
    ]


def _below(words: FieldWords, run: Run, row: Row) -> Iterator[Line]:
    """What is told between a row and the next: before the next panel goes on."""
    if row.closing and run.closing is not None:
        for says in words.closing(run.closing):
            yield from wrap(says, first=f"{_IN}> ", rest=f"{_IN}  ")
    for one in row.lay:
        yield from wrap(words.lay(one), first=f"{_IN}> ", rest=f"{_IN}  ")
    for ahead in row.here:
        yield from wrap(words.here(ahead) + ".", first=f"{_IN}> ", rest=f"{_IN}  ", style="head")
    for note in row.notes:
        style: Style = "warn" if note.severity == "warning" else ""
        yield from wrap(clean(note.says), first=f"{_IN}! ", rest=f"{_IN}  ", style=style)
