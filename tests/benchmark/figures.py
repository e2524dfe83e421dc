"""What a benchmark measured: tables within 80 columns for people, figures in a CSV for machines.

Nothing here, or anywhere in this folder, fails because something took long: whether an aim was met
is a word in a table. How long a thing takes belongs to the machine, and a busy machine is no fault.
"""

from __future__ import annotations

import csv
import statistics
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

WIDTH = 80
MISSING = "-"


class DifferentOptimumError(AssertionError):
    """Two engines proved different optima of the same case."""


@dataclass(frozen=True)
class Figure:
    """One measured number. `value` is None where there was none; `note` then says why."""

    table: str
    row: str
    what: str
    value: float | None
    unit: str
    aim: str = ""
    note: str = ""


@dataclass
class Table:
    """A table as printed and the figures behind it. `key` names it in the CSV."""

    key: str
    title: str
    header: tuple[str, ...]
    rows: list[tuple[str, ...]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)

    def keep(self, row: str, what: str, value: float | None, unit: str, *, aim: str = "",
             note: str = "") -> None:
        """Remember a figure for the CSV."""
        self.figures.append(Figure(self.key, row, what, value, unit, aim, note))

    def text(self) -> str:
        """The table: first column to the left, the others to the right, notes wrapped below."""
        cells = [self.header, *self.rows]
        widths = [max(len(row[k]) for row in cells) for k in range(len(self.header))]
        lines = [self.title, "-" * min(WIDTH, sum(widths) + 2 * (len(widths) - 1))]
        for row in cells:
            first = row[0].ljust(widths[0])
            rest = [cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True)]
            lines.append("  ".join([first, *rest]).rstrip())
        notes = textwrap.wrap(" ".join(self.notes), WIDTH)
        return "\n".join(lines + notes) + "\n"


def median(values: Sequence[float]) -> float:
    """The median of the repeats of one measurement."""
    return statistics.median(values)


def seconds(value: float | None) -> str:
    """Seconds with three meaningful digits or so."""
    if value is None:
        return MISSING
    if value < 0.01:
        return f"{value:.4f}"
    return f"{value:.3f}" if value < 10 else f"{value:.1f}"


def times(value: float | None) -> str:
    """A ratio: "1.8 x"."""
    if value is None:
        return MISSING
    return f"{value:.2f} x" if value < 100 else f"{value:,.0f} x"


def verdict(value: float | None, aim: float) -> str:
    """Whether an aim was met, in a word. Never more than a word."""
    if value is None:
        return "not measured"
    return "met" if value <= aim else "missed"


def write_csv(path: Path, tables: Iterable[Table]) -> None:
    """Every figure of the tables, one a row."""
    with path.open("w", encoding="utf-8", newline="") as sheet:
        writer = csv.writer(sheet)
        writer.writerow(["table", "row", "what", "value", "unit", "aim", "note"])
        for table in tables:
            for figure in table.figures:
                value = "" if figure.value is None else f"{figure.value:.6g}"
                writer.writerow([figure.table, figure.row, figure.what, value, figure.unit,
                                 figure.aim, figure.note])
