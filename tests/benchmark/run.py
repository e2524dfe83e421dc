"""Measure the program: `python tests/benchmark/run.py [--quick] [--repeat N] [--out FOLDER]`.

Prints every table in one run, aim and measured beside each other; with `--out` it writes the
figures as CSV and the growth as two drawings (SVG) as well. It fails (exit 1) only where a
result is wrong: a process that does not do its job, or two engines that prove different optima. How
long anything takes or how much memory it needs fails nothing.
"""

from __future__ import annotations

import argparse
import platform
import sys
from collections.abc import Iterator, Sequence
from importlib import metadata
from pathlib import Path

HERE = Path(__file__).resolve().parent
for _path in (HERE, HERE.parent, HERE.parent.parent):
    if str(_path) not in sys.path:
        sys.path.insert(0, str(_path))

import aims  # noqa: E402
import axes  # noqa: E402
import engines  # noqa: E402
import growth  # noqa: E402
import sheet_loading  # noqa: E402
import whole_process  # noqa: E402
from figures import DifferentOptimumError, Table, write_csv  # noqa: E402
from plot import Mark, Panel, write_plot  # noqa: E402
from processes import ROOT, WentWrongError  # noqa: E402

SECTIONS = ("whole", "engines", "growth", "sheet", "axes", "aims")


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Measure the program beside others.")
    parser.add_argument("--quick", action="store_true", help="tiny sizes, each measured once")
    parser.add_argument("--repeat", type=int, default=None, metavar="N",
                        help="rounds of every measurement (5; 1 with --quick)")
    parser.add_argument("--bound", type=float, default=None, metavar="SECONDS",
                        help="how long an engine may take for a case (10; 3 with --quick)")
    parser.add_argument("--limit", type=float, default=None, metavar="SECONDS",
                        help="how long the three best may take (60; 5 with --quick)")
    parser.add_argument("--cell", type=float, default=None, metavar="SECONDS",
                        help="how long an engine may take for one size of a growing roof (20; 5 "
                        "with --quick)")
    parser.add_argument("--only", choices=SECTIONS, action="append", default=None,
                        help="this section alone; may be given again")
    parser.add_argument("--out", type=Path, default=None, metavar="FOLDER",
                        help="write figures.csv, seconds.svg and memory.svg there as well")
    asked = parser.parse_args(arguments)
    usual = {"repeat": 1, "bound": 3.0, "limit": 5.0, "cell": 5.0} if asked.quick else {
        "repeat": 5, "bound": 10.0, "limit": 60.0, "cell": 20.0}
    for name, value in usual.items():
        if getattr(asked, name) is None:
            setattr(asked, name, value)
        if getattr(asked, name) <= 0:
            parser.error(f"--{name} must be above 0")
    if asked.out is not None and asked.out.resolve().is_relative_to(ROOT):
        parser.error(f"--out: {asked.out} is inside the project; measured figures do not belong "
                     "there")
    return asked


def _tables(asked: argparse.Namespace, grown: list[axes.Measured]) -> Iterator[Table]:
    """Table by table; what was measured along the axes is added to `grown`."""
    quick, repeat = asked.quick, asked.repeat
    for name in SECTIONS:
        if asked.only is not None and name not in asked.only:
            continue
        if name == "whole":
            yield from whole_process.measure(repeat, quick=quick)
        elif name == "engines":
            yield from engines.measure(repeat, asked.bound, quick=quick)
        elif name == "growth":
            yield from growth.measure(repeat, asked.limit, quick=quick)
        elif name == "sheet":
            yield from sheet_loading.measure(repeat, quick=quick)
        elif name == "axes":
            for tables, measured in axes.measure(asked.cell, repeat, quick=quick):
                grown.append(measured)
                yield from tables
        else:
            most = axes.most_memory(grown)
            yield from aims.measure(repeat, quick=quick, others_mb=most)


def _drawings(folder: Path, grown: list[axes.Measured], limit: float) -> None:
    growing = "as roofs of fixed pipes grow"
    write_plot(
        folder / "seconds.svg", f"Seconds to the proven optimum, {growing}", "seconds",
        [Panel(each.axis.title, each.axis.key, each.axis.sizes, each.lines("seconds"))
         for each in grown],
        Mark(limit, "limit", "s"), axes.DRAWING_NOTES,
    )
    write_plot(
        folder / "memory.svg", f"Peak memory of the process, {growing}", "peak memory, MB",
        [Panel(each.axis.title, each.axis.key, each.axis.sizes, each.lines("peak"))
         for each in grown],
        Mark(aims.MEMORY_MB, "aim", "MB"), axes.DRAWING_NOTES,
    )


def _heading() -> str:
    found = [f"Python {platform.python_version()} on {platform.system()} {platform.machine()}"]
    for package in ("ortools", "numpy", "scipy"):
        found.append(f"{package} {metadata.version(package)}")
    return ", ".join(found)


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the tables; 1 where a result is wrong, 0 otherwise, however long it took."""
    asked = _options(arguments)
    print(_heading() + "\n")
    tables: list[Table] = []
    grown: list[axes.Measured] = []
    if asked.out is not None:
        asked.out.mkdir(parents=True, exist_ok=True)
    try:
        for table in _tables(asked, grown):
            print(table.text(), flush=True)
            tables.append(table)
    except (DifferentOptimumError, WentWrongError) as error:
        print(f"WRONG: {error}", file=sys.stderr)
        return 1
    finally:
        if asked.out is not None:
            write_csv(asked.out / "figures.csv", tables)
            if grown:
                _drawings(asked.out, grown, asked.cell)
    print("Seconds are this machine's; ratios within one run are what to compare.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
