"""The schedule as a table on paper: columns as wide as they need to be, rows as high."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from cli.drawing.marks import Line, Mark, Polygon, Text, fit, text_width, wrapped
from cli.drawing.schedule import Schedule

SIZES: Final = (2.1, 2.0, 1.9, 1.8)
"""Heights of text to try (mm on paper)."""
_PAD: Final = 0.8
_LINE: Final = 1.32
_HEAD_LINES: Final = 2
_GROUP: Final = 44.0


@dataclass(frozen=True, slots=True)
class Frame:
    """A place on paper: its upper left corner on the roof (ticks) and ticks in a millimetre."""

    x: float
    y: float
    k: float

    def at(self, right: float, down: float) -> tuple[float, float]:
        """A point so many millimetres to the right of and below the corner."""
        return self.x + right * self.k, self.y - down * self.k

    def below(self, right: float, down: float) -> Frame:
        """A frame with its corner there."""
        return Frame(*self.at(right, down), self.k)


class Table:
    """A schedule set for paper `wide` millimetres wide."""

    def __init__(self, schedule: Schedule, wide: float) -> None:
        self._schedule = schedule
        self.wide = wide
        self._widths, self._size = self._fitted()
        self._cells = [self._folded(row) for row in schedule.rows]
        self.notes = [
            line for note in schedule.notes for line in wrapped(note, wide, self._size)
        ]

    @property
    def head_high(self) -> float:
        """Height of the headings (mm)."""
        return _HEAD_LINES * self._size * _LINE + 2 * _PAD

    @property
    def notes_high(self) -> float:
        """Height of the notes below (mm)."""
        return len(self.notes) * self._size * _LINE + _PAD

    def row_high(self, row: int) -> float:
        """Height of a row (mm)."""
        return max(len(lines) for lines in self._cells[row]) * self._size * _LINE + _PAD

    def fits(self, rows: Sequence[int], high: float) -> int:
        """How many of `rows` fit below the headings into a height (mm)."""
        left = high - self.head_high
        for place, row in enumerate(rows):
            left -= self.row_high(row)
            if left < 0:
                return place
        return len(rows)

    def high(self, rows: Sequence[int]) -> float:
        """Height of the headings and these rows (mm)."""
        return self.head_high + sum(self.row_high(row) for row in rows)

    def marks(self, frame: Frame, rows: Sequence[int]) -> Iterator[Mark]:
        """The headings and these rows below each other."""
        k, size = frame.k, self._size
        down = self._heads_high()
        yield Polygon("SCHEDULE", "rule", (
            frame.at(0, 0), frame.at(self.wide, 0), frame.at(self.wide, down), frame.at(0, down),
        ), tint=True)
        yield from self._heads(frame)
        for row in rows:
            high = self.row_high(row)
            right = 0.0
            for column, lines, wide in zip(
                self._schedule.columns, self._cells[row], self._widths, strict=True
            ):
                anchor = "end" if column.right else "start"
                x = right + wide - _PAD if column.right else right + _PAD
                for place, line in enumerate(lines):
                    if line:
                        at = frame.at(x, down + _PAD / 2 + (place * _LINE + 0.95) * size)
                        action = column.head == "action" and lines[0].startswith("MOVE")
                        yield Text("SCHEDULE", at, line, size * k,
                                   anchor,  # type: ignore[arg-type]
                                   bold=column.head == "tag",
                                   role="arrow" if action else "text")
                right += wide
            down += high
            yield Line("SCHEDULE", "rule", frame.at(0, down), frame.at(self.wide, down))
        right = 0.0
        for wide in (*self._widths, 0.0):
            yield Line("SCHEDULE", "rule", frame.at(right, 0), frame.at(right, down))
            right += wide
        yield Line("SCHEDULE", "frame", frame.at(0, self._heads_high()),
                   frame.at(self.wide, self._heads_high()))

    def note_marks(self, frame: Frame) -> Iterator[Mark]:
        """The notes below a table."""
        size = self._size
        for place, line in enumerate(self.notes):
            at = frame.at(0, (place * _LINE + 1.1) * size)
            yield Text("SCHEDULE", at, line, size * frame.k, role="leader")

    def _heads_high(self) -> float:
        return self.head_high

    def _heads(self, frame: Frame) -> Iterator[Mark]:
        size, k = self._size, frame.k
        right = 0.0
        columns = list(zip(self._schedule.columns, self._widths, strict=True))
        for group, members in groupby(columns, key=lambda pair: pair[0].group):
            run = list(members)
            whole = sum(wide for _, wide in run)
            if group:
                text = fit(group, whole - 2 * _PAD, size * 0.95, bold=True)
                at = frame.at(right + whole / 2, _PAD / 2 + size)
                yield Text("SCHEDULE", at, text, size * 0.95 * k, "middle", bold=True)
            for column, wide in run:
                lines = wrapped(column.head, wide - 2 * _PAD, size * 0.95) if not group else [
                    "", fit(column.head, wide - 2 * _PAD, size * 0.95)]
                lines = lines[:2] if len(lines) > 1 else ["", *lines]
                for place, line in enumerate(lines):
                    if line:
                        x = right + (wide - _PAD if column.right else _PAD)
                        at = frame.at(x, _PAD / 2 + (place * _LINE + 1) * size)
                        yield Text("SCHEDULE", at, line, size * 0.95 * k,
                                   "end" if column.right else "start", bold=True)
                right += wide

    def _folded(self, row: tuple[str, ...]) -> list[list[str]]:
        return [
            wrapped(text, wide - 2 * _PAD, self._size) if column.fold else
            [fit(text, wide - 2 * _PAD, self._size, bold=column.head == "tag")]
            for column, text, wide in zip(
                self._schedule.columns, row, self._widths, strict=True)
        ]

    def _fitted(self) -> tuple[list[float], float]:
        """Widths and text height: as large as fits, folding first, then smaller, then cut."""
        for size in SIZES:
            natural, least = self._needs(size)
            if sum(least) <= self.wide:
                break
        if sum(least) > self.wide:
            share = self.wide / sum(least)
            return [wide * share for wide in least], size
        spare = self.wide - sum(least)
        wants = [most - low for most, low in zip(natural, least, strict=True)]
        asked = sum(wants)
        if asked > spare:
            return [
                low + want * spare / asked for low, want in zip(least, wants, strict=True)
            ], size
        over = (spare - asked) / sum(natural)
        return [most * (1 + over) for most in natural], size

    def _needs(self, size: float) -> tuple[list[float], list[float]]:
        natural, least = [], []
        schedule = self._schedule
        for place, column in enumerate(schedule.columns):
            texts = [row[place] for row in schedule.rows]
            bold = column.head == "tag"
            head = max(
                text_width(word, size * 0.95, bold=True) for word in column.head.split(" ")
            )
            most = max((text_width(text, size, bold=bold) for text in texts), default=0.0)
            wide = max(min(most, 60.0 if column.fold else 24.0), head) + 2 * _PAD
            natural.append(wide)
            if column.fold:
                least.append(min(wide, max(column.fold * size * 0.635, head) + 2 * _PAD))
            else:
                least.append(wide)
        self._widen_for_groups(natural, least, size)
        return natural, least

    def _widen_for_groups(self, natural: list[float], least: list[float], size: float) -> None:
        """Room for the words over a group of columns, as far as they are bearably long."""
        columns = list(enumerate(self._schedule.columns))
        for group, members in groupby(columns, key=lambda pair: pair[1].group):
            if not group:
                continue
            places = [place for place, _ in members]
            asks = min(text_width(group, size * 0.95, bold=True), _GROUP) + 2 * _PAD
            for widths in (natural, least):
                more = asks - sum(widths[place] for place in places)
                for place in places:
                    widths[place] += max(more, 0) / len(places)
