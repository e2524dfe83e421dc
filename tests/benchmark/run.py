"""Measure the program: `python tests/benchmark/run.py [--quick] [--repeat N] [--out FILE]`.

Prints every table in one run, aim and measured beside each other. It fails (exit 1) only where a
result is wrong: a process that does not do its job, or two engines that prove different optima. How
long anything takes or how much memory it needs fails nothing.
"""

from __future__ import annotations

import argparse
import platform
import sys
from collections.abc import Callable, Iterator, Sequence
from importlib import metadata
from pathlib import Path

HERE = Path(__file__).resolve().parent
for _path in (HERE, HERE.parent, HERE.parent.parent):
    if str(_path) not in sys.path:
        sys.path.insert(0, str(_path))

import engines  # noqa: E402
import growth  # noqa: E402
import sheet_loading  # noqa: E402
import whole_process  # noqa: E402
from figures import Table, write_csv  # noqa: E402
from processes import WentWrongError  # noqa: E402

Section = Callable[[argparse.Namespace], list[Table]]
SECTIONS: dict[str, Section] = {
    "whole": lambda asked: whole_process.measure(asked.repeat, quick=asked.quick),
    "engines": lambda asked: engines.measure(asked.repeat, asked.bound, quick=asked.quick),
    "growth": lambda asked: growth.measure(asked.repeat, asked.limit, quick=asked.quick),
    "sheet": lambda asked: sheet_loading.measure(asked.repeat, quick=asked.quick),
}


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Measure the program beside others.")
    parser.add_argument("--quick", action="store_true", help="tiny sizes, each measured once")
    parser.add_argument("--repeat", type=int, default=None, metavar="N",
                        help="rounds of every measurement (5; 1 with --quick)")
    parser.add_argument("--bound", type=float, default=None, metavar="SECONDS",
                        help="how long an engine may take for a case (10; 3 with --quick)")
    parser.add_argument("--limit", type=float, default=None, metavar="SECONDS",
                        help="how long the three best may take (60; 5 with --quick)")
    parser.add_argument("--only", choices=sorted(SECTIONS), action="append", default=None,
                        help="this section alone; may be given again")
    parser.add_argument("--out", type=Path, default=None, metavar="FILE",
                        help="write the figures here as CSV as well")
    asked = parser.parse_args(arguments)
    usual = {"repeat": 1, "bound": 3.0, "limit": 5.0} if asked.quick else {
        "repeat": 5, "bound": 10.0, "limit": 60.0}
    for name, value in usual.items():
        if getattr(asked, name) is None:
            setattr(asked, name, value)
        if getattr(asked, name) <= 0:
            parser.error(f"--{name} must be above 0")
    return asked


def _tables(asked: argparse.Namespace) -> Iterator[Table]:
    for name, section in SECTIONS.items():
        if asked.only is None or name in asked.only:
            yield from section(asked)


def _heading() -> str:
    found = [f"Python {platform.python_version()} on {platform.system()} {platform.machine()}"]
    for package in ("ortools", "numpy", "scipy"):
        found.append(f"{package} {metadata.version(package)}")
    return ", ".join(found)


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the tables; 1 where a result is wrong, 0 otherwise, however long it took."""
    asked = _options(arguments)
    print(_heading() + "\n")
    tables = []
    try:
        for table in _tables(asked):
            print(table.text(), flush=True)
            tables.append(table)
    except (engines.DifferentOptimumError, WentWrongError) as error:
        print(f"WRONG: {error}", file=sys.stderr)
        return 1
    finally:
        if asked.out is not None:
            write_csv(asked.out, tables)
    print("Seconds are this machine's; ratios within one run are what to compare.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
