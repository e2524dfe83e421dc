"""Roofs of more and more linked planes, each in a fresh process: first layout, then the others."""

from __future__ import annotations

from typing import Any

from figures import MISSING, Table, median, seconds, times, verdict
from processes import report_of, run
from whole_process import IMPORT_CP_MODEL

AIM_SECONDS = 5.0
AIM_MB = 400
AIM_PLANES = 20
_MB = 1_000_000


def measure(repeat: int, limit: float, *, quick: bool) -> list[Table]:
    """The first layout alone (whole process), and the three best within `limit` seconds."""
    sizes, pipes = ((2, 4), 6) if quick else ((2, 4, 8, AIM_PLANES, 40), 25)
    return [_first(sizes, pipes, repeat, limit), _others(sizes, pipes, limit)]


def _first(sizes: tuple[int, ...], pipes: int, repeat: int, limit: float) -> Table:
    table = Table(
        "many-planes-first",
        f"3a. Linked planes of {pipes} pipes: first layout, whole process; median of {repeat}",
        ("planes", "seconds", "aim", "", "of cp_model", "a plane", "peak MB", "aim", "", "proof"),
    )
    whole: dict[int, list[float]] = {size: [] for size in sizes}
    over: dict[int, list[float]] = {size: [] for size in sizes}
    last: dict[int, dict[str, Any]] = {}
    for _ in range(repeat):
        bare, _said = run(IMPORT_CP_MODEL)
        for size in sizes:
            took, last[size] = report_of("one_roof.py", str(size), str(pipes), "1", str(limit))
            whole[size].append(took)
            over[size].append(took / bare)
    for size in sizes:
        here, ratio = median(whole[size]), median(over[size])
        peak, entries = last[size]["peak"], last[size]["entries"]
        mega = None if peak is None else peak / _MB
        aimed = size == AIM_PLANES
        table.rows.append((
            str(size), seconds(here), f"{AIM_SECONDS:g}" if aimed else "",
            verdict(here, AIM_SECONDS) if aimed else "", times(ratio), seconds(here / size),
            MISSING if mega is None else f"{mega:.0f}", f"{AIM_MB}" if aimed else "",
            verdict(mega, AIM_MB) if aimed else "", entries[0]["proof"] if entries else "none",
        ))
        table.keep(f"{size}", "first layout", here, "s", aim=f"{AIM_SECONDS}" if aimed else "")
        table.keep(f"{size}", "first layout of import cp_model", ratio, "ratio")
        table.keep(f"{size}", "peak memory", mega, "MB", aim=f"{AIM_MB}" if aimed else "")
    table.notes.append("The last column of seconds is per plane: where it stays level, the work grows")
    table.notes.append("in step with the roof. 'of cp_model' is machine-independent.")
    return table


def _others(sizes: tuple[int, ...], pipes: int, limit: float) -> Table:
    table = Table(
        "many-planes-three",
        f"3b. The three best of the same roofs in one go, {limit:g} s allowed; once",
        ("planes", "1st at s", "2nd at s", "3rd at s", "ended s", "peak MB", "proven", "gap"),
    )
    for size in sizes:
        _, told = report_of("one_roof.py", str(size), str(pipes), "3", str(limit))
        entries, peak = told["entries"], told["peak"]
        at = [seconds(entry["seconds"]) for entry in entries]
        proven = sum(entry["proof"] == "proven" for entry in entries)
        gap = max((entry["cents"] - entry["bound"] for entry in entries), default=0)
        table.rows.append((
            str(size), *(at + [MISSING] * 3)[:3], seconds(told["seconds"]),
            MISSING if peak is None else f"{peak / _MB:.0f}", f"{proven} of {len(entries)}",
            f"{gap / 100:,.2f}" if gap else "none",
        ))
        for rank, entry in enumerate(entries, start=1):
            table.keep(f"{size}", f"layout {rank}", entry["seconds"], "s", note=entry["proof"])
        mega = None if peak is None else peak / _MB
        table.keep(f"{size}", "peak memory", mega, "MB")
        table.keep(f"{size}", "three best", told["seconds"], "s", note=told["stopped"])
    table.notes.append("Seconds from the start of reading, in the process. A later layout may end with")
    table.notes.append("its bound when time runs out; 'gap' is the largest cost above a bound.")
    return table
