"""Loading a long penetration spreadsheet, beside the standard library's bare CSV reader."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from figures import MISSING, Table, median, seconds, times, verdict
from processes import report_of
from roofs import write_sheet_case

AIM = 10.0
"""Seconds for the largest sheet: "in seconds" taken as under ten."""
AIM_ROWS = 50_000


def measure(repeat: int, *, quick: bool) -> list[Table]:
    """Sheets of growing length, each loaded in a fresh process."""
    sizes = (200, 1_000) if quick else (1_000, 10_000, AIM_ROWS)
    table = Table(
        "sheet",
        f"4. Loading a penetration sheet, in process; median of {repeat}",
        ("rows", "seconds", "aim", "", "ms a row", "of csv.reader", "peak MB"),
    )
    runs: dict[int, list[dict[str, Any]]] = {size: [] for size in sizes}
    with tempfile.TemporaryDirectory() as folder:
        files = {size: write_sheet_case(Path(folder) / str(size), size) for size in sizes}
        for _ in range(repeat):
            for size, file in files.items():
                runs[size].append(report_of("one_sheet.py", str(file))[1])
    for size, told in runs.items():
        here = median([run["seconds"] for run in told])
        ratio = median([run["seconds"] / run["bare"] for run in told])
        peak = told[-1]["peak"]
        aimed = size == AIM_ROWS
        table.rows.append((
            f"{size:,}", seconds(here), f"{AIM:g}" if aimed else "",
            verdict(here, AIM) if aimed else "", f"{1000 * here / size:.3f}", times(ratio),
            MISSING if peak is None else f"{peak / 1e6:.0f}",
        ))
        table.keep(f"{size}", "load", here, "s", aim=f"{AIM}" if aimed else "")
        table.keep(f"{size}", "of csv.reader", ratio, "ratio")
        table.keep(f"{size}", "peak memory", None if peak is None else peak / 1e6, "MB")
    table.notes += [
        "'of csv.reader': times the standard library going through the same file, which checks",
        "nothing; machine-independent.",
    ]
    return [table]
