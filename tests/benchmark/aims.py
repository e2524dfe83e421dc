"""What the program is to reach on roofs whose pipes cannot move, each aim beside what it takes.

Whether an aim was met is a word in a table; no aim fails a run.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import batch_speed
from figures import MISSING, Table, median, seconds, verdict
from one_engine import TABLES
from processes import report_of
from roofs import fixed_roof

MEMORY_MB = 500.0
_MB = 1_000_000
_PATIENCE = 60.0
"""Seconds after which a roof that is far beyond its aim is left alone."""


@dataclass(frozen=True)
class Aim:
    """A roof (planes, pipes on each, feet of eave, odd panels) and its seconds of solving."""

    says: str
    size: tuple[int, int, int, int]
    seconds: float


def roofs(*, quick: bool) -> tuple[Aim, ...]:
    """The roofs the aims speak of."""
    if quick:
        return (Aim("3 pipes, 20 ft, 1 odd", (1, 3, 20, 1), 0.3),)
    return (
        Aim("12 pipes, 200 ft, 2 odd", (1, 12, 200, 2), 0.3),
        Aim("20 x 50 pipes, 600 ft, 2 odd", (20, 50, 600, 2), 5.0),
        Aim("500 pipes, 600 ft, 3 odd", (1, 500, 600, 3), 10.0),
    )


def measure(
    repeat: int, *, quick: bool, others_mb: float | None = None
) -> list[Table]:
    """The aims as tables. `others_mb`: the most memory measured elsewhere in the same run."""
    first, peaks = _solving(repeat, quick=quick)
    second, more = _eaves(repeat, quick=quick)
    known = [peak for peak in (*peaks, *more, others_mb) if peak is not None]
    most = max(known, default=None)
    first.rows.append((
        "memory throughout, MB", "", MISSING if most is None else f"{most:.0f}", "",
        f"{MEMORY_MB:g}", MISSING if most is None else f"{most / MEMORY_MB:.2f}",
        verdict(most, MEMORY_MB), "",
    ))
    first.keep("memory throughout", "most", most, "MB", aim=f"{MEMORY_MB:g}",
               note="" if most is not None else "unknown")
    return [first, second, *batch_speed.measure(min(repeat, 3), quick=quick)]


@dataclass(frozen=True)
class Run:
    """Seconds to the proven first layout of a roof, by the clock and of the processor; peak (MB).

    What was not proven counts with the patience it had.
    """

    seconds: float
    cpu: float
    peak: float | None
    proven: bool


def _solve(size: Sequence[int], seed: int) -> Run:
    planes, pipes, eave, odd = size
    document = fixed_roof(planes, pipes, eave, odd, seed=seed)
    told: dict[str, Any] = report_of(
        "one_engine.py", TABLES, str(_PATIENCE), said=json.dumps(document)
    )[1]
    peak = None if told["peak"] is None else told["peak"] / _MB
    if told["seconds"] is None:
        return Run(_PATIENCE, _PATIENCE, peak, False)
    return Run(told["seconds"], told["cpu"], peak, True)


def _solving(repeat: int, *, quick: bool) -> tuple[Table, list[float | None]]:
    table = Table(
        "aims", f"6a. Aims: first layout proven, seconds of solving; {repeat} roofs",
        ("marks of 1/16 in", "median", "worst", "cpu", "aim", "of aim", "", "MB"),
    )
    all_peaks: list[float | None] = []
    for aim in roofs(quick=quick):
        runs = [_solve(aim.size, seed) for seed in range(1, repeat + 1)]
        took, cpu = [one.seconds for one in runs], max(one.cpu for one in runs)
        peaks = [one.peak for one in runs if one.peak is not None]
        all_peaks += peaks
        unproven = sum(not one.proven for one in runs)
        over = ">" if unproven else ""
        table.rows.append((
            aim.says, seconds(median(took)), over + seconds(max(took)), seconds(cpu),
            f"{aim.seconds:g}", f"{max(took) / aim.seconds:.2f}", verdict(max(took), aim.seconds),
            f"{max(peaks):.0f}" if peaks else MISSING,
        ))
        note = f"{unproven} not proven" if unproven else ""
        for what, value in (
            ("median", median(took)), ("worst", max(took)), ("worst, processor", cpu)
        ):
            table.keep(aim.says, what, value, "s", aim=f"{aim.seconds:g}", note=note)
        table.keep(aim.says, "peak memory", max(peaks, default=None), "MB", aim=f"{MEMORY_MB:g}",
                   note="" if peaks else "unknown")
    table.notes += [
        "Each roof in a fresh process, loading and reading left out. An aim is met where the worst",
        "of the roofs meets it by the clock. 'cpu': seconds of the processor, less than the clock",
        "tells where others use it; 'of aim': worst over aim; 'MB': peak memory.",
    ]
    return table, all_peaks


def _eaves(repeat: int, *, quick: bool) -> tuple[Table, list[float | None]]:
    lengths = (20, 30) if quick else (100, 200, 500, 1000, 2000)
    table = Table(
        "aim-eave", f"6b. Aim: cost no worse than linear in eave length; median of {repeat} roofs",
        ("eave, ft", "12 pipes: s", "ms a foot", "12 a 200 ft: s", "ms a foot"),
    )
    peaks: list[float | None] = []
    each: dict[str, list[float]] = {"12 pipes": [], "12 pipes a 200 ft": []}
    for length in lengths:
        row = [f"{length}"]
        for name, found in each.items():
            pipes = 12 if name == "12 pipes" else max(1, 12 * length // 200)
            if quick:
                pipes = 3
            runs = [_solve((1, pipes, length, 2), seed) for seed in range(1, repeat + 1)]
            here = median([one.cpu for one in runs])
            peaks += [one.peak for one in runs]
            found.append(here / length)
            row += [seconds(here), f"{1000 * here / length:.3f}"]
            table.keep(f"{length}", name, here, "s")
        table.rows.append(tuple(row))
    for name, found in each.items():
        # From the middle on, where what every roof costs no longer flatters the long ones.
        base = lengths[len(lengths) // 2]
        ratio = found[-1] / found[len(lengths) // 2]
        table.keep(name, f"a foot of {lengths[-1]} ft over one of {base} ft", ratio, "ratio",
                   aim="1")
        table.notes.append(
            f"{name}: a foot of {lengths[-1]} ft takes {ratio:.2f} times one of {base} ft "
            f"(aim: 1 or less): {verdict(ratio, 1.0)}."
        )
    table.notes.append("Seconds of the processor; two odd panels, marks of 1/16 in.")
    return table, peaks
