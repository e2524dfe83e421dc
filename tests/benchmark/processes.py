"""Whole processes: how they are started, timed and interleaved.

The measuring process stays small: on Linux a child's peak memory begins with that of the process
that started it, so nothing large may be imported here.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
OFFSEAM = "import sys; from cli.main import main; sys.exit(main())"
"""The body of the `offseam` console script, so that this checkout is measured and no other."""


class WentWrongError(RuntimeError):
    """A measured process did not do what it was started for."""


def _surroundings() -> dict[str, str]:
    paths = os.pathsep.join(str(path) for path in (ROOT, ROOT / "tests", HERE))
    return {**os.environ, "PYTHONPATH": paths, "NO_COLOR": "1"}


def run(
    arguments: Sequence[str], *, expect: int = 0, said: str | None = None
) -> tuple[float, str]:
    """Run Python with `arguments`: wall seconds of the whole process, and its standard output.

    `said` is its standard input.

    Raises:
        WentWrongError: the exit code is not `expect`.
    """
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, env=_surroundings(), capture_output=True,
        encoding="utf-8", input=said or "", check=False,
    )
    took = time.perf_counter() - began
    if done.returncode != expect:
        raise WentWrongError(
            f"exit {done.returncode} instead of {expect} from {list(arguments)}\n{done.stderr}"
        )
    return took, done.stdout


def report_of(
    script: str, *arguments: str, said: str | None = None
) -> tuple[float, dict[str, Any]]:
    """Run a script of this folder that prints one JSON object: whole seconds and the object.

    `said` is the script's standard input.
    """
    took, answer = run([str(HERE / script), *arguments], said=said)
    found: dict[str, Any] = json.loads(answer)
    return took, found


def interleaved(
    commands: Mapping[str, tuple[Sequence[str], int]], repeat: int
) -> dict[str, list[float]]:
    """Wall seconds of each command (arguments, exit code), in `repeat` rounds over all of them.

    A first round, not counted, warms the disk cache and writes the bytecode.
    """
    found: dict[str, list[float]] = {name: [] for name in commands}
    for number in range(repeat + 1):
        for name, (arguments, expect) in commands.items():
            took, _ = run(arguments, expect=expect)
            if number:
                found[name].append(took)
    return found


def peak_bytes() -> int | None:
    """The most memory this process has held so far; None where the system does not say."""
    try:
        import resource
    except ImportError:
        return None
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit
