"""Roofs of any size for timing, made from a seed. Not for judging correctness."""

from __future__ import annotations

import random
from typing import Any


def many_planes(
    planes: int, pipes: int, *, eave_in: int = 2544, seed: int = 1, movable: bool = True
) -> dict[str, Any]:
    """A document with `planes` slopes in linked ridge pairs, stacked in a chain, `pipes` on each.

    Lengths are inches. Every second slope mirrors the one before it; from pair to pair the roofs
    stand in line (`same`), as on a row of equal workshops.
    """
    rng = random.Random(seed)
    document: dict[str, Any] = {
        "title": f"{planes} slopes of {pipes} pipes",
        "units": "in",
        "panel": {"cover": 18, "seam_half": 0.5},
        "rules": {"min_end": 6},
        "plane": [
            {
                "id": f"P{n + 1}",
                "width": eave_in + rng.randrange(0, 17),
                "length": 552,
                "lay": "left-to-right" if n % 2 == 0 else "right-to-left",
            }
            for n in range(planes)
        ],
        "link": [
            {"planes": [f"P{n}", f"P{n + 1}"], "how": "mirror" if n % 2 else "same"}
            for n in range(1, planes)
        ],
        "penetration": [],
    }
    sizes = (1.9, 2.375, 3.5, 4.5)
    for n in range(planes):
        for k in range(pipes):
            document["penetration"].append(
                {
                    "id": f"V{n + 1}-{k + 1}",
                    "plane": f"P{n + 1}",
                    "kind": "pipe",
                    "x": rng.randrange(40, 2 * (eave_in - 20)) / 2,
                    "y": rng.randrange(24, 530),
                    "outside": rng.choice(sizes),
                    "status": rng.choice(["fixed", "stubbed", "planned"]) if movable else "fixed",
                }
            )
    return document
