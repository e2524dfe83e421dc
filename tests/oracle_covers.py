"""The list across several covers: `[panel] cover = [16, 18, 20]`.

Each cover is the case with that cover alone: a `min_end` left out is a third of it, and so on. The
candidates of all of them go into one order (that of layouts, then that of the covers in the file)
and through the one rule of the list.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import oracle
from oracle_faults import NO_FAULTS


def given_covers(document: Mapping[str, Any]) -> list[Any]:
    """The covers of a document as they are written, one or several."""
    cover = document["panel"]["cover"]
    return list(cover) if isinstance(cover, list | tuple) else [cover]


def with_cover(
    document: Mapping[str, Any], cover: Any, faults: frozenset[str] = NO_FAULTS
) -> dict[str, Any]:
    """The same document with one cover."""
    one = {**document, "panel": {**document["panel"], "cover": cover}}
    if "covers-one-min-end" in faults and "min_end" not in document.get("rules", {}):
        first = oracle.read(with_cover(document, given_covers(document)[0]))
        in_mm = first.min_end / oracle.MM
        one["rules"] = {**document.get("rules", {}), "min_end": f"{in_mm:.10f} mm"}
    return one


def solve_covers(
    document: Mapping[str, Any], top: int | None = None, faults: frozenset[str] = NO_FAULTS
) -> dict[str, Any]:
    """The list across the covers of a case, and what stands beside it for each cover.

    Args:
        document: a case in the shape of the case file; a single cover is a list of one.
        top: how many listed layouts to price; all of them where None.
        faults: planted wrong readings, names of `oracle_faults`.

    Returns:
        `layouts`: dicts as of `oracle.solve`, each with its `cover` in ticks. `covers`: for each
        cover in file order its `cover` in ticks and `no_start`, and where that is empty `usual`,
        `as_drawn` and `blind`, as of `oracle.solve`. `skipped`: the other covers, in ticks.
    """
    cases, beside = [], []
    for cover in given_covers(document):
        one = with_cover(document, cover, faults)
        case = oracle.read(one, faults)
        no_start = oracle.without_start(case)
        alone = {"cover": oracle.ticks(case.cover), "no_start": no_start}
        beside.append(alone if no_start else {**alone, **oracle.baselines(case)})
        cases.append(case)
    skipped = [entry["cover"] for entry in beside if entry["no_start"]]
    found = []
    for number, (case, entry) in enumerate(zip(cases, beside, strict=True)):
        if entry["no_start"]:
            continue
        own = oracle.candidates(case, moving=True)
        if "covers-cheapest-only" in faults:
            own = own[:1]
        turn = -number if "covers-last-first" in faults else number
        for key, firsts, moves in own:
            rank = (*oracle.order(case, key, firsts, moves), turn)
            found.append((rank, case, key, firsts, moves))
    if "covers-apart" not in faults:
        found.sort(key=lambda item: item[0])
    if "covers-no-start-ends" in faults and skipped:
        found = []
    listed: list[tuple[int, ...]] = []
    layouts: list[dict[str, Any]] = []
    for _, case, key, firsts, moves in found:
        if top is not None and len(layouts) >= top:
            break
        if oracle.earns_place(key[1:10], listed):
            listed.append(key[1:10])
            layout = oracle.listed_layout(case, key, firsts, moves)
            layouts.append({**layout, "cover": oracle.ticks(case.cover)})
    return {"layouts": layouts, "covers": beside, "skipped": skipped}
