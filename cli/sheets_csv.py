"""The stub-up list as a spreadsheet: CSV in UTF-8 with a byte-order mark, one row a pipe.

Lengths stand twice: as a tape shows them, and as plain numbers in the case's units whose sign says
the side (+ is towards what the column "plus is towards" names). A text that a spreadsheet could
take for a formula, and a tag it could turn into another number or a date, gets an apostrophe before
it, so that it stays the text it is; only texts of the case can be such.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from cli.report.lines import clean
from cli.report.stub_words import StubWords
from cli.report.words import STATE_WORDS
from solver.case_file.fittings import ANGLE_WORDS, FittingPair
from solver.stubs.list import StubList, StubRow
from solver.stubs.stretch import Stretch
from solver.stubs.vent_notes import DEFER, is_vent
from solver.units import TICKS_PER, to_number

BOM: Final = "\ufeff"
_FORMULA: Final = tuple("=+-@\t\r\n") + tuple("\uff1d\uff0b\uff0d\uff20")
_CHANGES: Final = re.compile(  # 007, 1-2, 3/4, 1E5, 1.10, MAR1: read as 7, a date, 100000, 1.1
    r"0\d+|\d{16,}|[\d ]*\d[.,:/\- ][\d.,:/\- ]*|[\d.]+e[+-]?\d+"
    r"|\d*[ -]?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)"
    r"(?:uary|ruary|ch|il|e|y|ust|t|tember|ober|ember)?\.?[ -]?\d+",
    re.IGNORECASE | re.ASCII,
)
Cell = str | int | float | None


def guarded(text: str) -> str:
    """A text on one line that a spreadsheet does not take for a formula."""
    risky = text.lstrip().startswith(_FORMULA) or text.startswith(_FORMULA)
    return f"'{clean(text)}" if risky else clean(text)


def tag(text: str) -> str:
    """An id that a spreadsheet would turn into another number or a date, kept as it is written."""
    return f"'{text}" if _CHANGES.fullmatch(text.strip()) else text


def stubs_csv(found: StubList) -> str:
    """The list as the text of a CSV file, byte-order mark first, lines ended as RFC 4180 says."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    unit = found.case.units
    writer.writerow([head.replace("UNIT", unit) for head, _ in COLUMNS])
    for sheet in found.sheets:
        words = StubWords(found.case, sheet)
        for number, row in enumerate(sheet.rows):
            entry = StubEntry(found, words, number + 1, row)
            cells = [cell(entry) for _, cell in COLUMNS]
            writer.writerow([guarded(cell) if isinstance(cell, str) else cell for cell in cells])
    return BOM + stream.getvalue()


@dataclass(frozen=True, slots=True)
class StubEntry:
    """One row of the list with what it takes to say it."""

    found: StubList
    words: StubWords
    number: int
    row: StubRow

    def at(self, x: int | None) -> Cell:
        """A centre from the datum, in the case's units; + is towards larger x."""
        return None if x is None else self.number_of(x - self.row.taping.datum.x)

    def number_of(self, ticks: float | None) -> Cell:
        """A length in the case's units."""
        if ticks is None:
            return None
        units = self.found.case.units
        exact = isinstance(ticks, int)
        return to_number(2 * int(ticks), units) if exact else round(ticks / TICKS_PER[units], 4)

    @property
    def good(self) -> Stretch | None:
        return self.row.stretch if isinstance(self.row.stretch, Stretch) else None

    def end(self, place: int) -> str:
        ends = self.words.ends(self.row)
        return ends[place] if ends else ""

    def do(self) -> str:
        if not self.row.listed:
            return "for reference"
        return "MOVE" if self.row.stands.moved else "as drawn"

    def move(self) -> str:
        moved = self.row.stands.moved
        return self.words.tape(abs(moved)) if moved else ""

    def towards(self) -> str:
        if self.row.towards is None:
            return ""
        way = self.words.way(self.row.towards, high=self.row.stands.moved > 0)
        return way.removeprefix("towards ")

    def vent(self) -> str:
        if not is_vent(self.row.pen):
            return ""
        rest = f"Height, upright surfaces and openings: {DEFER}."
        return " ".join([*(note.sentence() for note in self.row.vent), rest])

    def aside(self, *, high: bool) -> Cell:
        x, bay = self.row.stands.x, self.row.bay
        seam = bay.high if high else bay.low
        return None if seam is None else self.number_of(abs(seam - x))

    def pair(self, of: Callable[[FittingPair], float | None]) -> Cell:
        return None if self.row.pair is None else self.number_of(of(self.row.pair))


COLUMNS: Final[tuple[tuple[str, Callable[[StubEntry], Cell]], ...]] = (
    ("revision", lambda e: e.found.case.revision),
    ("date", lambda e: e.found.case.date),
    ("layout", lambda e: e.found.rank),
    ("plane", lambda e: tag(e.row.pen.plane)),
    ("no", lambda e: e.number),
    ("tag", lambda e: tag(e.row.pen.id)),
    ("size", lambda e: e.words.size(e.row)),
    ("use", lambda e: e.row.pen.use or ""),
    ("status", lambda e: e.words.status(e.row)),
    ("do", lambda e: e.do()),
    ("bay", lambda e: e.words.bay(e.row)),
    ("measured from", lambda e: e.words.datum(e.row)),
    ("as drawn", lambda e: e.words.place(e.row, e.row.pen.x)),
    ("SET TO", lambda e: e.words.place(e.row, e.row.taped, e.row.tape_mark)),
    ("acceptable from", lambda e: e.end(0)),
    ("acceptable to", lambda e: e.end(1)),
    ("acceptable in words", lambda e: e.words.acceptable(e.row)),
    ("move", lambda e: e.move()),
    ("move towards", lambda e: e.towards()),
    ("how to make it", lambda e: e.words.making(e.row)),
    ("check one side", lambda e: e.words.beside(e.row)[0]),
    ("check other side", lambda e: e.words.beside(e.row)[1]),
    ("vent: to check", lambda e: e.vent()),
    ("agreed by", lambda e: ""),
    ("as built", lambda e: ""),
    ("state", lambda e: STATE_WORDS[e.row.stands.state]),
    ("at risk", lambda e: "at risk" if e.row.stands.at_risk else ""),
    ("plus is towards", lambda e: e.row.taping.towards_high.says()),
    ("as drawn (UNIT)", lambda e: e.at(e.row.pen.x)),
    ("SET TO (UNIT)", lambda e: e.at(e.row.stands.x)),
    ("acceptable from (UNIT)", lambda e: e.at(e.good.low.x) if e.good else None),
    ("acceptable to (UNIT)", lambda e: e.at(e.good.high.x) if e.good else None),
    ("stretch ends at", lambda e: e.words.limits(e.row)),
    ("move (UNIT)", lambda e: e.number_of(e.row.stands.moved)),
    ("seam on the minus side", lambda e: e.row.bay.low_no),
    ("to that seam (UNIT)", lambda e: e.aside(high=False)),
    ("seam on the plus side", lambda e: e.row.bay.high_no),
    ("to this seam (UNIT)", lambda e: e.aside(high=True)),
    ("fittings", lambda e: ANGLE_WORDS[e.row.pair.angle] if e.row.pair else ""),
    ("travel (UNIT)", lambda e: e.pair(lambda pair: pair.travel)),
    ("advance (UNIT)", lambda e: e.pair(lambda pair: pair.advance)),
    ("headroom needed (UNIT)", lambda e: e.pair(lambda pair: pair.height)),
    ("outside (UNIT)", lambda e: e.number_of(e.row.pen.outside or None)),
)
"""Heading, with UNIT for the case's unit, and what stands below it."""
