"""The panel list as a spreadsheet: CSV in UTF-8 with a byte-order mark, one row a mark.

Lengths stand twice: as a tape shows them, and as plain numbers in the case's units. Texts that a
spreadsheet could take for something else are kept as they are (see `cli.sheets_csv`).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from cli.report.panels_words import LEG_WORDS, PanelWords
from cli.sheets_csv import BOM, Cell, guarded, tag
from solver.case import Case
from solver.panels.list import rounded
from solver.panels.parts import Across, Cut, Mark, PanelList
from solver.units import to_number

HEADINGS: Final = (
    "revision", "date", "layout", "plane", "mark", "count", "panels", "kind", "finished width",
    "width in the flat", "left side", "right side", "cut length", "lower end", "lower cut",
    "upper end", "upper cut", "lengths and laps", "cut out for", "made", "to verify",
    "finished width (UNIT)", "width in the flat (UNIT)", "cut length (UNIT)",
    "lower cut (degrees)", "lower rise per cover (UNIT)", "lower long side",
    "upper cut (degrees)", "upper rise per cover (UNIT)", "upper long side",
    "lengths (UNIT)", "laps from lower end (UNIT)",
)


def panels_csv(found: PanelList) -> str:
    """The list as the text of a CSV file, byte-order mark first, lines ended as RFC 4180 says."""
    case = found.case
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow([head.replace("UNIT", case.units) for head in HEADINGS])
    words = PanelWords(case)
    for plane in found.planes:
        head: list[Cell] = [case.revision, case.date, found.rank, tag(plane.plane.id)]
        for row in (
            *(mark_cells(words, mark) for mark in plane.marks),
            *(across_cells(words, one) for one in plane.across),
        ):
            cells = [*head, *row]
            writer.writerow([guarded(cell) if isinstance(cell, str) else cell for cell in cells])
    return BOM + stream.getvalue()


def mark_cells(words: PanelWords, mark: Mark) -> list[Cell]:
    piece, case = mark.piece, words.case
    return [
        tag(mark.name), len(mark.pieces), words.numbers(mark), "panel",
        words.width(piece.finished), words.width(piece.rip),
        LEG_WORDS[piece.left], LEG_WORDS[piece.right], words.long(piece.length),
        words.ends(piece.lower), words.cuts(piece.lower) or "square",
        words.ends(piece.upper), words.cuts(piece.upper) or "square",
        words.laps(piece), words.notches(piece), words.made(piece) or piece.made, "to verify",
        _number(case, piece.finished), _number(case, piece.rip), _number(case, piece.length),
        *_cut(case, piece.lower), *_cut(case, piece.upper),
        " + ".join(str(_number(case, length)) for length in piece.lengths[1:] and piece.lengths),
        ", ".join(str(_number(case, lap.y - piece.bottom)) for lap in piece.laps),
    ]


def across_cells(words: PanelWords, one: Across) -> list[Cell]:
    case = words.case
    return [
        tag(one.name), one.count, "", "laid across", words.width(case.panel.cover),
        words.width(one.width), LEG_WORDS[one.left], LEG_WORDS[one.right], words.long(one.length),
        "seam", "square", "seam", "square", "", "", words.across(one), "to verify",
        _number(case, case.panel.cover), _number(case, one.width), _number(case, one.length),
        0, 0, "", 0, 0, "", "", "",
    ]


def _cut(case: Case, cuts: Sequence[Cut]) -> list[Cell]:
    """Degrees, rise, long side of a single cut; nothing where an end has several."""
    if len(cuts) != 1:
        return [None, None, "several"]
    cut = cuts[0]
    return [round(cut.degrees, 1), _number(case, cut.slant * case.panel.cover), cut.long]


def _number(case: Case, ticks: Fraction | int) -> float:
    return to_number(2 * rounded(ticks, case.mark), case.units)
