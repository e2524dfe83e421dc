"""A batch with one process beside the same batch with two: `python tests/benchmark/batch_speed.py`.

Whole processes, from the start of the command to its end: what starting up, reading, writing and
summing up cost is in both. It fails (exit 1) only where the two disagree about a result.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
for _path in (HERE, HERE.parent, HERE.parent.parent):
    if str(_path) not in sys.path:
        sys.path.insert(0, str(_path))

from figures import Table, median, seconds, times  # noqa: E402
from processes import OFFSEAM, WentWrongError, run  # noqa: E402
from roofs import many_planes  # noqa: E402

AIM = 1.7
"""How many times faster two processes are to be than one, where there are two cores."""
CASES = 12
_PLANES, _PIPES, _EAVE_IN = 12, 70, 7200


def write_cases(folder: Path, *, quick: bool) -> None:
    """Put the cases of the batch into a folder; each is another roof of the same size."""
    for n in range(2 if quick else CASES):
        size = (2, 4, 1200) if quick else (_PLANES, _PIPES, _EAVE_IN)
        document = many_planes(size[0], size[1], eave_in=size[2], seed=n + 1)
        text = json.dumps(document, indent=1)
        (folder / f"roof-{n + 1:02}.json").write_text(text, encoding="utf-8")


def measure(repeat: int, *, quick: bool) -> list[Table]:
    """One process and two, in turns; the ratio is taken within each round."""
    took: dict[int, list[float]] = {1: [], 2: []}
    bare: dict[int, list[float]] = {1: [], 2: []}
    with tempfile.TemporaryDirectory() as place:
        cases = Path(place, "cases")
        cases.mkdir()
        write_cases(cases, quick=quick)
        warm = [str(cases / "roof-01.json"), "--out", str(Path(place, "warm"))]
        run(["-c", OFFSEAM, "batch", *warm])
        for _ in range(repeat):
            for jobs, rounds in took.items():
                out = Path(place, f"jobs-{jobs}")
                lasted, _ = run(["-c", OFFSEAM, "batch", str(cases), "--out", str(out), "--again",
                                 "--jobs", str(jobs)])
                rounds.append(lasted)
                bare[jobs].append(_arithmetic(jobs, 400_000 if quick else 40_000_000))
        _insist_same(Path(place, "jobs-1"), Path(place, "jobs-2"))
        count = len(list(cases.iterdir()))
    ratio = median([one / two for one, two in zip(took[1], took[2], strict=True)])
    table = Table("batch", f"7. Batch of {count} cases, whole process; median of {repeat}",
                  ("processes", "seconds", "faster", "aim", ""))
    table.rows.append(("1", seconds(median(took[1])), "", "", ""))
    met = "met" if ratio >= AIM else "missed"
    table.rows.append(("2", seconds(median(took[2])), times(ratio), f"{AIM} x", met))
    table.keep("two processes", "faster than one", ratio, "ratio", aim=f"{AIM}")
    free = median([one / two for one, two in zip(bare[1], bare[2], strict=True)])
    table.keep("two processes of bare arithmetic", "faster than one", free, "ratio")
    table.keep("two processes", "of what bare arithmetic gains", ratio / free, "ratio")
    table.notes.append(
        f"{os.cpu_count()} cores here; whatever else runs on them counts against two processes: "
        f"bare arithmetic in two processes was {times(free)} faster than in one in the same "
        f"rounds, and the batch gained {ratio / free:.2f} of that."
    )
    return [table]


def _arithmetic(jobs: int, steps: int) -> float:
    """Seconds for so many steps of arithmetic, shared by processes that do nothing else."""
    command = ["-c", f"sum(i * i for i in range({steps // jobs}))"]
    began = time.perf_counter()
    with ThreadPoolExecutor(jobs) as pool:
        list(pool.map(run, [command] * jobs))
    return time.perf_counter() - began


def _insist_same(one: Path, other: Path) -> None:
    for path in sorted(one.glob("roof-*.json")):
        if _result(path) != _result(other / path.name):
            raise WentWrongError(f"{path.name}: one process and two give different results")


def _result(path: Path) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    document.pop("seconds")
    return document


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the table; 1 where a result is wrong, 0 otherwise, however long it took."""
    parser = argparse.ArgumentParser(description="A batch with one process and with two.")
    parser.add_argument("--quick", action="store_true", help="two tiny cases, measured once")
    parser.add_argument("--repeat", type=int, default=None, metavar="N", help="rounds (3)")
    asked = parser.parse_args(arguments)
    repeat = asked.repeat or (1 if asked.quick else 3)
    try:
        print("\n".join(table.text() for table in measure(repeat, quick=asked.quick)))
    except WentWrongError as error:
        print(f"WRONG: {error}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
