"""The field sheets as a spreadsheet: CSV in UTF-8 with a byte-order mark, one row a seam.

Above the seams of a plane stand what squares it and where its tape is hooked, below them the
closing stretch, heat, and the cautions, in the column "says". Lengths stand twice: as a tape shows
them, and as plain numbers in the case's units. Texts that a spreadsheet could take for something
else are kept as they are (see `cli.sheets_csv`).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Final

from cli.report.field_movement import movement_row, movement_words
from cli.report.field_words import CAUTIONS, PINS, FieldWords
from cli.sheets_csv import BOM, Cell, guarded, tag
from solver.field.parts import FieldSheets, PlaneField, Row
from solver.units import to_number

HEADINGS: Final = (
    "revision", "date", "layout", "proof", "plane", "towards", "what", "seam", "start to mark",
    "from control line", "control line at seam", "measured eave", "measured ridge", "correct by",
    "next obstruction", "stop", "says", "start to mark (UNIT)", "from control line (UNIT)",
    "seam centre from start (UNIT)",
    "ridge to mark", "ridge to mark (UNIT)",
)
_NOTHING: Final[tuple[Cell, ...]] = ("",) * 9


def field_csv(found: FieldSheets, proven: bool) -> str:
    """The sheets as the text of a CSV file, byte-order mark first, lines ended as RFC 4180 says."""
    case = found.case
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow([head.replace("UNIT", case.units) for head in HEADINGS])
    proof = "proven" if proven else "not proven"
    for sheet in found.planes:
        head: list[Cell] = [case.revision, case.date, found.rank, proof, tag(sheet.plane.id)]
        for row in field_rows(found, sheet):
            cells = [*head, *row]
            writer.writerow([guarded(cell) if isinstance(cell, str) else cell for cell in cells])
    return BOM + stream.getvalue()


def field_rows(found: FieldSheets, sheet: PlaneField) -> Iterator[list[Cell]]:
    case = found.case
    words = FieldWords(case, sheet.plane)
    yield _note("squaring", words.triangle(sheet.triangle))
    for one in sheet.diagonals:
        yield _note("diagonal", words.diagonal(one))
    yield _note("widths", words.widths())
    for run in sheet.runs:
        way = words.far_end(run)
        for says in words.hook(run):
            yield _note("tape", says, way)
        yield _note("mark", words.mark(found.limits.tape_mark), way)
        for row in run.rows:
            yield _row(words, way, row)
        for none in run.no_line:
            yield _note("no control line", words.no_line(none), way)
        if run.closing is not None:
            yield _note("closing", " ".join(words.closing(run.closing)), way)
    if found.movement is not None:
        own = next(one for one in found.movement.planes if one.id == sheet.plane.id)
        yield _note("heat", " ".join([*movement_words(case, found.movement, own), PINS]))
        for pen in own.penetrations:
            name, free, up, down, above, below, allows = movement_row(case, pen)
            yield _note("heat", f"{name}: {free} from the fixed point; moves {up} up, {down} down; "
                                f"gap above {above}, below {below}; flashing allows {allows}")
    for caution in CAUTIONS:
        yield _note("caution", caution)


def _row(words: FieldWords, way: str, row: Row) -> list[Cell]:
    place, units = words.lengths.place, words.case.units
    begin = row.kind == "start"
    says = [words.lay(one) for one in row.lay]
    says += [f"{words.here(ahead)}." for ahead in row.here]
    says += [note.says for note in row.notes]
    return [
        way, row.kind, row.number, place(row.at), "" if begin else place(row.back),
        "" if begin else "start" if row.control is None else row.control, "", "", "",
        "" if row.next is None else words.ahead(row.next), ", ".join(words.stops(row)),
        " ".join(says), to_number(2 * row.at, units),
        None if begin else to_number(2 * row.back, units), to_number(2 * row.centre, units),
        "" if row.top is None else place(row.top),
        None if row.top is None else to_number(2 * row.top, units),
    ]


def _note(what: str, says: str, way: str = "") -> list[Cell]:
    return [way, what, *_NOTHING, says, "", "", "", "", ""]


