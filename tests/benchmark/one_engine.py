"""Solve one case with one engine in a fresh process: `one_engine.py ENGINE LIMIT < case.json`.

Prints a JSON object: seconds of solving (loading and reading the case left out), by the clock and
of the processor, the optimum in cents (null: no layout is allowed) and the peak memory in bytes;
seconds are null where the engine has not proved it within LIMIT seconds. What each engine proves:
the tables (`offseam` as it is) the first layout in the whole tie order, with what stands beside the
list; the others the least cost alone, which is less.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent.parent), str(HERE.parent), str(HERE)]

from processes import peak_bytes  # noqa: E402

Solve = Callable[[], int | None]
TABLES, DIRECT, HIGHS, BRUTE = "tables", "direct", "HiGHS", "brute force"


class UnprovenError(Exception):
    """The engine ended by itself without a proof."""


def tables(document: dict[str, Any], limit: float) -> Solve:
    """The program: first layout, in the whole tie order."""
    from solver.api import case_from_document, solve
    from solver.clock import Clock

    case = case_from_document(document)

    def run() -> int | None:
        result = solve(case, top=1, clock=Clock(limit))
        if not result.proven:
            raise UnprovenError
        return result.layouts[0].judged.cost.total if result.layouts else None

    return run


def direct(document: dict[str, Any], limit: float) -> Solve:
    """The program's one CP-SAT model of everything, for its first level: the cost.

    As `--engine direct` has it: what each plane costs at least by itself is told to it.
    """
    from solver.api import case_from_document
    from solver.clock import Clock
    from solver.model.bounds import add_floors, plane_floors
    from solver.model.objective import total_cents
    from solver.model.run import minimize_in_order
    from solver.model.whole import build

    case = case_from_document(document)

    def run() -> int | None:
        clock = Clock(limit)
        floors = plane_floors(case, clock)
        roof = build(case, clock)
        if roof is None:
            raise UnprovenError
        add_floors(roof, floors)
        done = minimize_in_order(roof.model, [total_cents(roof)], [roof.nothing], clock)
        if not done.proven:
            raise UnprovenError
        return None if done.levels is None else done.levels[0]

    return run


def highs(document: dict[str, Any], limit: float) -> Solve:
    """The tests' own linear model, by HiGHS."""
    import highs as model

    def run() -> int | None:
        try:
            return model.optimum_cents(document, time_limit=limit)
        except model.NotSolvedError as error:
            raise UnprovenError from error

    return run


def brute_force(document: dict[str, Any], limit: float) -> Solve:
    """Every layout, one by one."""
    import brute_odd

    return lambda: brute_odd.optimum_cents(document)


ENGINES = {TABLES: tables, DIRECT: direct, HIGHS: highs, BRUTE: brute_force}


def tell(seconds: float | None, cpu: float | None, cents: int | None) -> None:
    """Print what was measured."""
    told = {"seconds": seconds, "cpu": cpu, "cents": cents, "peak": peak_bytes()}
    print(json.dumps(told), flush=True)


def cut_off() -> None:
    """Tell that the time is over, and end the process whatever it is doing."""
    tell(None, None, None)
    os._exit(0)


def main(engine: str, limit: float) -> None:
    """Solve the case on standard input."""
    run = ENGINES[engine](json.load(sys.stdin), limit)
    timer = threading.Timer(limit + 0.5, cut_off)  # some look at no clock
    timer.daemon = True
    timer.start()
    began = time.perf_counter()
    cents: int | None = None
    took: float | None = None
    cpu: float | None = None
    worked = time.process_time()
    try:
        cents = run()
        took, cpu = time.perf_counter() - began, time.process_time() - worked
    except UnprovenError:
        pass
    timer.cancel()
    if took is not None and took > limit:
        took = cpu = cents = None
    tell(took, cpu, cents)


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]))
