"""The summary as a spreadsheet: CSV in UTF-8 with a byte-order mark, one row a case."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Final

from cli.batch.row import Row
from cli.sheets_csv import BOM, guarded, tag
from solver.result import COUNT_NAMES

NAME: Final = "summary.csv"
HEADINGS: Final = (
    "file", "result", "title", "state", "proof", "cost", "usual cost", "saving", "blind mean",
    *COUNT_NAMES, "guessed rates", "seconds", "message",
)


def summary_csv(rows: Sequence[Row]) -> str:
    """The text of the file, lines ended as RFC 4180 says. Money in currency units."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    for row in rows:
        writer.writerow([guarded(cell) if isinstance(cell, str) else cell for cell in _cells(row)])
    return BOM + stream.getvalue()


def _cells(row: Row) -> list[str | int | float | None]:
    figures = row.figures
    counts = figures.counts or {}
    known = figures.seconds is not None and bool(row.name)
    return [
        tag(row.file),
        tag(f"{row.name}.json") if row.name else "",
        tag(figures.title),
        row.state,
        figures.proof,
        _money(figures.cost),
        _money(figures.usual),
        _money(figures.saving),
        _money(figures.blind),
        *(counts.get(name) for name in COUNT_NAMES),
        figures.guessed_rates if known else None,
        figures.seconds,
        row.message,
    ]


def _money(cents: int | None) -> float | None:
    return None if cents is None else cents / 100
