"""Roofs of more and more linked planes, each in a fresh process: first layout, then the others.

Planes linked in a chain can be settled one along the other; a ring closes the chain and cannot.
"""

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
    rings = (4,) if quick else (4, 8, AIM_PLANES)
    roofs = [(size, "chain") for size in sizes] + [(size, "ring") for size in rings]
    return [_first(sizes, pipes, repeat, limit), _others(roofs, pipes, limit)]


def _first(sizes: tuple[int, ...], pipes: int, repeat: int, limit: float) -> Table:
    table = Table(
        "many-planes-first",
        f"3a. A chain of planes of {pipes} pipes: first layout, whole process; median of {repeat}",
        ("planes", "seconds", "aim", "", "of cp_model", "a plane", "peak MB", "aim", "", "proof"),
    )
    whole: dict[int, list[float]] = {size: [] for size in sizes}
    over: dict[int, list[float]] = {size: [] for size in sizes}
    last: dict[int, dict[str, Any]] = {}
    for _ in range(repeat):
        bare, _said = run(IMPORT_CP_MODEL)
        for size in sizes:
            took, last[size] = report_of(
                "one_roof.py", str(size), str(pipes), "chain", "1", str(limit)
            )
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
    table.notes += [
        "'a plane' is seconds over planes. 'of cp_model', times the bare import of ortools'",
        "cp_model in the same round, is machine-independent.",
    ]
    return table


def _others(roofs: list[tuple[int, str]], pipes: int, limit: float) -> Table:
    table = Table(
        "many-planes-three",
        f"3b. The three best of planes of {pipes} pipes, {limit:g} s allowed; once",
        ("planes", "1st at", "aim", "", "2nd at", "3rd at", "ended", "peak MB", "proven", "gap"),
    )
    stopped = False
    for size, shape in roofs:
        name = f"{size} {shape}"
        _, told = report_of("one_roof.py", str(size), str(pipes), shape, "3", str(limit))
        entries, peak = told["entries"], told["peak"]
        at = [seconds(entry["seconds"]) for entry in entries] + [MISSING] * 3
        proven = sum(entry["proof"] == "proven" for entry in entries)
        gap = max((entry["cents"] - entry["bound"] for entry in entries), default=0)
        aimed = size == AIM_PLANES
        first = entries[0]["seconds"] if entries else told["seconds"]
        stopped = stopped or bool(told["stopped"])
        table.rows.append((
            name, at[0], f"{AIM_SECONDS:g}" if aimed else "",
            verdict(first, AIM_SECONDS) if aimed else "", at[1], at[2],
            seconds(told["seconds"]) + ("*" if told["stopped"] else ""),
            MISSING if peak is None else f"{peak / _MB:.0f}", f"{proven} of {len(entries)}",
            f"{gap / 100:,.2f}" if gap else "none",
        ))
        for rank, entry in enumerate(entries, start=1):
            table.keep(name, f"layout {rank}", entry["seconds"], "s", note=entry["proof"],
                       aim=f"{AIM_SECONDS}" if aimed and rank == 1 else "")
        mega = None if peak is None else peak / _MB
        table.keep(name, "peak memory", mega, "MB")
        table.keep(name, "three best", told["seconds"], "s", note=told["stopped"])
    table.notes += [
        "Seconds from the start of reading, in the process. A ring links the last plane with the",
        "first. 'proven' counts layouts whose cost is proven least; 'gap' is the largest cost",
        "above a bound.",
    ]
    if stopped:
        table.notes.append("*: time ran out, in the tie order or before the third layout.")
    return table
