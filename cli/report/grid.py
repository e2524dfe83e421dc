"""A table in text: columns measured in cells, narrowed where the whole would not fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rich.cells import cell_len

from cli.report.lines import WIDTH, Line, Span, pad


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `heading` may have several lines; `least` is how far it may be narrowed.

    `least` 0 says that the column keeps the width of its contents. `cut` is where an ellipsis goes.
    """

    heading: str
    align: Literal["left", "right"] = "left"
    least: int = 0
    cut: Literal["end", "middle"] = "end"


def widths(columns: Sequence[Column], rows: Sequence[Sequence[Span]]) -> list[int]:
    """The cells each column needs for its heading and contents."""
    needs = [max(map(cell_len, column.heading.split("\n"))) for column in columns]
    for row in rows:
        for place, cell in enumerate(row):
            needs[place] = max(needs[place], cell_len(cell.text))
    return needs


def fitted(needs: Sequence[int], columns: Sequence[Column], width: int) -> tuple[list[int], int]:
    """Column widths that fit `width`, and the blanks between them: two if there is room, else one.

    The widest of the columns that may be narrowed gives first. Where they are all at their least
    they give down to half of that, and then the widths are returned too wide.
    """
    sizes = list(needs)
    gap = 2 if sum(sizes) + 2 * (len(sizes) - 1) <= width else 1
    over = sum(sizes) + gap * (len(sizes) - 1) - width
    for least in ([c.least for c in columns], [-(-c.least // 2) for c in columns]):
        while over > 0:
            can = [n for n, low in enumerate(least) if low and sizes[n] > low]
            if not can:
                break
            sizes[max(can, key=lambda n: sizes[n])] -= 1
            over -= 1
    return sizes, gap


def head_lines(columns: Sequence[Column], sizes: Sequence[int], gap: int, lead: str) -> list[Line]:
    """The headings, bottom lines level, and a rule below them."""
    parts = [column.heading.split("\n") for column in columns]
    deep = max(map(len, parts))
    lines = []
    for level in range(deep):
        cells = []
        for column, part, size in zip(columns, parts, sizes, strict=True):
            text = part[level - deep + len(part)] if level - deep + len(part) >= 0 else ""
            cells.append(pad(text, size, column.align))
        lines.append((Span(lead + (" " * gap).join(cells).rstrip(), "head"),))
    rule = "-" * (sum(sizes) + gap * (len(sizes) - 1))
    return [*lines, (Span(lead + rule, "quiet"),)]


def row_line(
    columns: Sequence[Column], sizes: Sequence[int], gap: int, cells: Sequence[Span], lead: str
) -> Line:
    """One row."""
    spans = [Span(lead)] if lead else []
    for place, (column, size, cell) in enumerate(zip(columns, sizes, cells, strict=True)):
        if place:
            spans.append(Span(" " * gap))
        spans.append(Span(pad(cell.text, size, column.align, column.cut), cell.style))
    return tuple(spans)


def table(
    columns: Sequence[Column],
    rows: Sequence[Sequence[Span]],
    below: Sequence[Sequence[Line]] = (),
    *,
    lead: str = "",
    width: int = WIDTH,
) -> list[Line]:
    """A whole table. `below` has for every row the lines that follow it."""
    sizes, gap = fitted(widths(columns, rows), columns, width - len(lead))
    lines = head_lines(columns, sizes, gap, lead)
    for place, row in enumerate(rows):
        lines.append(row_line(columns, sizes, gap, row, lead))
        if below:
            lines += below[place]
    return lines
