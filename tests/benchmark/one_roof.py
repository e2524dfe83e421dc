"""Lay out one roof of many planes in a fresh process.

`one_roof.py PLANES PIPES SHAPE TOP LIMIT`: SHAPE is "chain" or "ring" (how the planes are linked).
Prints a JSON object: seconds from the start of the work (reading included) to each list entry, its
proof, and the peak memory in bytes by then and at the end.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent.parent), str(HERE.parent), str(HERE)]

from processes import peak_bytes  # noqa: E402
from roofs import many_planes  # noqa: E402
from solver.api import case_from_document, solve  # noqa: E402
from solver.clock import Clock  # noqa: E402
from solver.result import Ranked  # noqa: E402


def main(planes: int, pipes: int, shape: str, top: int, limit: float) -> None:
    """Solve the roof and print what it took."""
    document = many_planes(planes, pipes, ring=shape == "ring")
    began = time.perf_counter()
    entries: list[dict[str, object]] = []

    def found(entry: Ranked) -> None:
        entries.append({
            "seconds": time.perf_counter() - began,
            "proof": entry.proof,
            "cents": entry.judged.cost.total,
            "bound": entry.bound,
            "peak": peak_bytes(),
        })

    clock = Clock(limit)
    result = solve(case_from_document(document), top=top, clock=clock, on_found=found)
    print(json.dumps({
        "entries": entries,
        "seconds": time.perf_counter() - began,
        "stopped": result.stopped,
        "complete": result.complete,
        "peak": peak_bytes(),
        "ortools": "ortools" in sys.modules,
    }))


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3], int(sys.argv[4]), float(sys.argv[5]))
