"""The strip drawing of a plane: seams and penetrations along the eave, to scale, in text."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from rich.cells import cell_len

from cli.report.lines import BLANK, Line, Span, Style, clean, line, shorten_middle, wrap
from cli.report.obstacle import cut_seams
from cli.report.strip_scale import Scale, scale_for
from cli.report.words import MARKS, STATE_STYLE, Lengths, SeamNumbers, plural
from solver.case import Case, Penetration, Plane, State
from solver.findings.of_roof_answer import binding_seam
from solver.result import JudgedOdd, JudgedPenetration, JudgedPlane

MOST_ROWS: Final = 6
"""A plane of more rows is drawn without its empty stretches."""
MOST_FULL_ROWS: Final = 40
"""Of still more rows only those in which something is not clear, or has moved."""
LABEL_LINES: Final = 4
LABEL_CELLS: Final = 12
_WORST: Final[tuple[State, ...]] = ("on-seam", "crosses", "crowded", "tight", "spans", "clear")
ODD: Final = ":"
LEGEND: Final = (
    "| seam   o clear   t tight   x crosses a seam   @ on a seam, or meets an end   # curb   "
    "+ seam the curb cuts   c crowded curb   > < drawn here, moved that way"
)
Placed = tuple[Penetration, JudgedPenetration]


@dataclass
class _Row:
    """One stretch of the eave: its first tick, and what is drawn in it by column."""

    start: int
    end: int
    cells: dict[int, tuple[str, Style]] = field(default_factory=dict)
    pens: dict[int, list[Placed]] = field(default_factory=dict)


class Strip:
    """The drawing of one plane with the penetrations on it."""

    def __init__(
        self, case: Case, plane: Plane, judged: JudgedPlane, placed: Sequence[Placed]
    ) -> None:
        self.case, self.plane, self.judged = case, plane, judged
        self.lengths = Lengths(case)
        self.scale: Scale = scale_for(case.units, case.panel.cover, plane.width)
        self.numbers = SeamNumbers(plane, judged)
        self.seam_columns = {self.scale.column(seam) for seam in judged.seams}
        self.rows = [
            _Row(start, min(start + self.scale.row, plane.width))
            for start in range(0, plane.width, self.scale.row)
        ]
        for odd in judged.odd:
            self._put_odd(odd)
        for seam in judged.seams:
            self._row_of(seam).cells[self.scale.column(seam)] = ("|", "")
        for pair in placed:
            if pair[0].kind == "curb":
                self._put_curb(*pair)
        for pair in placed:
            if pair[0].kind == "pipe":
                self._put_origin(*pair)
        for pair in placed:
            if pair[0].kind == "pipe":
                self._put_pipe(*pair)

    def notes(self) -> list[str]:
        """What the legend has to say of this strip besides the signs that all of them have."""
        said = [f"{ODD} odd panel"] if self.judged.odd else []
        if self.plane.start is not None and self.judged.seams:
            said.append("seam 0 is the line it is laid from")
        return said

    def lines(self) -> list[Line]:
        """The rows that are worth drawing, and what was left out between them."""
        drawn: list[Line] = []
        skipped = 0
        shown = self._worth()
        for place, row in enumerate(self.rows):
            if place in shown:
                if skipped:
                    drawn += [*self._skipped(self.rows[place - skipped : place]), BLANK]
                    skipped = 0
                drawn += [*self._row(row), BLANK]
            else:
                skipped += 1
        return drawn

    def _worth(self) -> set[int]:
        every = range(len(self.rows))
        if len(self.rows) <= MOST_ROWS:
            return set(every)
        ends = {0, len(self.rows) - 1}
        full = {place for place in every if self.rows[place].pens}
        ends |= {
            at // self.scale.row for odd in self.judged.odd for at in (odd.low, odd.high - 1)
        }
        if len(full) > MOST_FULL_ROWS:
            full = {place for place in full if self._notable(self.rows[place])}
        return ends | full

    @staticmethod
    def _notable(row: _Row) -> bool:
        return any(
            stands.moved or stands.state != "clear"
            for pairs in row.pens.values()
            for _, stands in pairs
        )

    def _skipped(self, rows: Sequence[_Row]) -> list[Line]:
        place = self.lengths.place
        left_out = sum(len(pairs) for row in rows for pairs in row.pens.values())
        held = f"{plural(left_out, 'penetration')}, clear and not moved"
        what = held if left_out else "no penetrations"
        stretch = f"{place(rows[0].start)} to {place(rows[-1].end)}"
        return wrap(f"({stretch}: {what}, not drawn)", first="     ")

    def _row_of(self, ticks: int) -> _Row:
        place = min(max(ticks // self.scale.row, 0), len(self.rows) - 1)
        return self.rows[place]

    def _put_odd(self, odd: JudgedOdd) -> None:
        """An odd panel is filled with signs of its own; what stands in it is drawn over them."""
        for column in range(self.scale.column(odd.low), self.scale.column(odd.high) + 1):
            self._row_of(column * self.scale.character).cells[column] = (ODD, "")

    def _put_curb(self, pen: Penetration, stands: JudgedPenetration) -> None:
        low2, high2 = 2 * stands.x - pen.across, 2 * stands.x + pen.across
        first = max(self.scale.column(low2 // 2), 0)
        last = max(self.scale.column(max(high2 // 2 - 1, low2 // 2)), first)
        state = stands.state
        cuts = {
            self.scale.column(seam)
            for seam in cut_seams(self.case, self.plane, self.judged, pen, stands)
        }
        for column in range(first, last + 1):
            row = self._row_of(column * self.scale.character)
            if column * self.scale.character >= self.plane.width:
                break
            sign = "c" if state == "crowded" else "#"
            cut = column in cuts
            if column in self.seam_columns and not cut:
                continue  # an uncut seam stands beside the curb, so it is drawn beside it
            row.cells[column] = ("+" if cut else sign, STATE_STYLE[state] or "good")
        self._label(self.scale.column(stands.x), pen, stands)

    def _put_origin(self, pen: Penetration, stands: JudgedPenetration) -> None:
        if not stands.moved:
            return
        sign, step = (">", 1) if stands.moved > 0 else ("<", -1)
        column = self.scale.column(pen.x)
        if column in self.seam_columns:
            column += step  # a seam is never hidden: the arrow stands beside it
        cells = self._row_of(column * self.scale.character).cells
        if cells.get(column, (ODD, ""))[0] == ODD:
            cells[column] = (sign, "moved")

    def _put_pipe(self, pen: Penetration, stands: JudgedPenetration) -> None:
        column = self._pipe_column(pen, stands)
        row = self._row_of(column * self.scale.character)
        here = [*row.pens.get(column, []), (pen, stands)]
        worst = min((s.state for p, s in here if p.kind == "pipe"), key=_WORST.index)
        row.cells[column] = (MARKS[worst], STATE_STYLE[worst] or "good")
        self._label(column, pen, stands)

    def _pipe_column(self, pen: Penetration, stands: JudgedPenetration) -> int:
        """The column of a pipe: on a seam's only where it stands on that seam."""
        column = self.scale.column(stands.x)
        if stands.state == "on-seam":
            seam = binding_seam(self.case, self.plane, self.judged, pen, stands)
            if seam is not None and abs(self.scale.column(seam) - column) <= 1:
                return self.scale.column(seam)
        if column not in self.seam_columns:
            return column
        beside = column + (1 if stands.x >= self._seams_in(column, column + 1)[0] else -1)
        return min(max(beside, 0), self.scale.column(self.plane.width - 1))

    def _seams_in(self, first: int, end: int) -> tuple[int, ...]:
        """The seams drawn in the columns from `first` to before `end`."""
        seams, size = self.judged.seams, self.scale.character
        return seams[bisect_left(seams, first * size) : bisect_left(seams, end * size)]

    def _label(self, column: int, pen: Penetration, stands: JudgedPenetration) -> None:
        row = self._row_of(column * self.scale.character)
        row.pens.setdefault(column, []).append((pen, stands))

    def _row(self, row: _Row) -> list[Line]:
        offset = self.scale.column(row.start)
        columns = -(-(row.end - row.start) // self.scale.character)
        ruler = self.scale.ruler(row.start, self.plane.width)
        unit = "feet" if self.scale.units == "in" else "m"
        spans = [Span("    " + ("[" if row.start == 0 else " "))]
        for column in range(offset, offset + columns):
            sign, style = row.cells.get(column, (" ", ""))
            spans.append(Span(sign, style))
        if row.end == self.plane.width:
            spans.append(Span("]"))
        return [
            line(Span(f"{unit:5}{ruler}", "quiet")),
            *self._seam_numbers(row, offset),
            tuple(spans),
            *self._ids(row, offset),
        ]

    def _seam_numbers(self, row: _Row, offset: int) -> list[Line]:
        text = ""
        for seam in self._seams_in(offset, self.scale.column(row.end - 1) + 1):
            at = self.scale.column(seam) - offset
            if len(text) < at or not text:
                text = text.ljust(at) + str(self.numbers.of(seam))
        return [line(Span(f"seam {text}", "quiet"))] if text else []

    def _ids(self, row: _Row, offset: int) -> list[Line]:
        """Ids below their signs, on as many lines as it takes, at most four."""
        levels: list[list[tuple[int, str]]] = [[] for _ in range(LABEL_LINES)]
        ends = [-1] * LABEL_LINES
        unplaced = 0
        for column in sorted(row.pens):
            for pen, _ in row.pens[column]:
                text = shorten_middle(clean(pen.id), LABEL_CELLS)
                at = min(column - offset, 75 - cell_len(text))
                level = next((n for n in range(LABEL_LINES) if ends[n] < at), None)
                if level is None:
                    unplaced += 1
                    continue
                levels[level].append((at, text))
                ends[level] = at + cell_len(text)
        lines = []
        for level_texts in levels:
            if level_texts:
                built, reached = "     ", 0
                for at, text in level_texts:
                    built += " " * (at - reached) + text
                    reached = at + cell_len(text)
                lines.append(line(built))
        if unplaced:
            more = f"     and {plural(unplaced, 'more id')}: see the table"
            lines.append(line(Span(more, "quiet")))
        return lines


def legend_lines(scales: set[str], notes: Sequence[str] = ()) -> list[Line]:
    """What the signs mean, once for all strips; `notes` are what some of them have besides."""
    says = f"Strips are to scale along the eave ({' or, by its ruler, '.join(sorted(scales))})."
    return [*wrap(says), *_legend(notes)]


def _legend(notes: Sequence[str]) -> list[Line]:
    parts = [*LEGEND.split("   "), *notes]
    lines: list[Line] = []
    now = ""
    for part in parts:
        longer = f"{now}   {part}" if now else part
        if cell_len(longer) > 76:
            lines.append(line("  " + now))
            now = part
        else:
            now = longer
    return [*lines, line("  " + now)]
