"""`offseam` as a whole process beside processes that only import a library."""

from __future__ import annotations

from figures import Table, median, seconds, times, verdict
from processes import OFFSEAM, interleaved

AIM = 2.0
CP_MODEL = "import cp_model"
NUMPY = "import numpy"
BARE = "bare python"
IMPORT_CP_MODEL = ("-c", "from ortools.sat.python import cp_model")
ERROR_EXIT = 2
"""What the program exits with where the case file cannot be used."""


def measure(repeat: int, *, quick: bool) -> list[Table]:
    """Start-up and the whole job on the demo cases, each over each library's bare import."""
    solve = ("workshop", "cottage") if not quick else ("cottage",)
    commands: dict[str, tuple[tuple[str, ...], int]] = {
        BARE: (("-c", "pass"), 0),
        NUMPY: (("-c", "import numpy"), 0),
        CP_MODEL: (IMPORT_CP_MODEL, 0),
        "offseam --help": (("-c", OFFSEAM, "--help"), 0),
        "solve, no such file": (("-c", OFFSEAM, "solve", "no-such-case.toml"), ERROR_EXIT),
    }
    for name in solve:
        commands[f"solve {name}"] = (("-c", OFFSEAM, "solve", f"cases/{name}/case.toml"), 0)
    took = interleaved(commands, repeat)

    table = Table(
        "whole-process",
        f"1. Whole processes, output to a pipe, three best listed; median of {repeat}",
        ("process", "seconds", "of numpy", "of cp_model", "aim", ""),
    )
    for name, rounds in took.items():
        here = median(rounds)
        of_numpy = median([a / b for a, b in zip(rounds, took[NUMPY], strict=True)])
        of_cp = median([a / b for a, b in zip(rounds, took[CP_MODEL], strict=True)])
        aimed = name.startswith("solve ")
        table.rows.append((
            name, seconds(here), times(of_numpy), times(of_cp),
            f"{AIM:.0f} x" if aimed else "", verdict(of_cp, AIM) if aimed else "",
        ))
        table.keep(name, "whole process", here, "s")
        table.keep(name, "of import numpy", of_numpy, "ratio")
        table.keep(name, "of import cp_model", of_cp, "ratio", aim=f"{AIM}" if aimed else "")
    table.notes += [
        "Ratios are taken within each round, then their median: they hold for other machines.",
        "The aim is against the bare import of ortools' cp_model.",
    ]
    return [table]
