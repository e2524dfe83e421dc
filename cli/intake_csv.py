"""Penetrations as the CSV that `penetrations_csv` of a case names."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Final

from cli.sheets_csv import BOM, guarded
from solver.intake.drafts import Table

COLUMNS: Final = (
    "id", "plane", "kind", "x", "y", "outside", "base", "across", "along", "nominal", "use",
    "status", "hold",
)
_TEXTS: Final = ("id", "plane", "use", "hold")


def penetrations_csv(tables: Sequence[Table]) -> tuple[str, list[str]]:
    """The text of the file, and a sentence on each text that a spreadsheet would take for a
    formula: it gets an apostrophe before it, which is then a part of it."""
    used = [key for key in COLUMNS if any(key in table for table in tables)]
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(used)
    notes: list[str] = []
    for table in tables:
        cells = {key: guarded(table[key]) if key in _TEXTS else table[key]
                 for key in used if key in table}
        notes += [f'{key} "{table[key]}" begins like a formula: written with an apostrophe before '
                  "it" for key in cells if cells[key] != table[key]]
        writer.writerow([cells.get(key, "") for key in used])
    return BOM + stream.getvalue(), notes
