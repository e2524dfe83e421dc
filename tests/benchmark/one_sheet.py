"""Load one case with a long spreadsheet in a fresh process: `one_sheet.py CASE`.

Prints a JSON object: seconds of loading, seconds in which the standard library's reader goes over
the same sheet, rows, and the peak memory in bytes.
"""

from __future__ import annotations

import csv
import json
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent.parent), str(HERE.parent), str(HERE)]

from processes import peak_bytes  # noqa: E402
from solver.api import load_case  # noqa: E402


def main(case_file: Path) -> None:
    """Load the case and print what it took."""
    began = time.perf_counter()
    with (case_file.parent / "pipes.csv").open(encoding="utf-8-sig", newline="") as sheet:
        rows = sum(1 for _ in csv.reader(sheet, delimiter=";")) - 1
    bare = time.perf_counter() - began
    began = time.perf_counter()
    case = load_case(case_file)
    took = time.perf_counter() - began
    if len(case.penetrations) != rows:
        raise AssertionError(f"{len(case.penetrations)} penetrations from {rows} rows")
    print(json.dumps({"seconds": took, "bare": bare, "rows": rows, "peak": peak_bytes()}))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
