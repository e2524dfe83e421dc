"""Groups of pipes in a row: dynamic programming over the tightest pairs, then a look at the rest.

Pipes in a row mostly fight with their neighbours. Keeping only the tightest pairs that form a tree
gives a relaxation that `solver.ranks.tree` solves exactly. If its best choice happens to keep all
other pairs too, it is the best of the whole group.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.ranks.roof import LinkTable, PlaneTable, Roof
from solver.ranks.tree import Tree
from solver.tabling.starts import Ticks

TRIES = 2


def best_by_tree(
    options: list[tuple[Ticks, Ticks]], x: list[int], ties: list[tuple[int, int, int]]
) -> tuple[bool, list[int] | None]:
    """Whether the relaxation decides the group, and the option of each pipe (None: nothing fits).

    `options` are (deltas, levels) per pipe, `x` the drawn centres, `ties` the pairs (i, j, least).
    """
    orders = [np.argsort(deltas, kind="stable") for deltas, _ in options]
    planes = tuple(
        PlaneTable(
            deltas[order],
            levels[:, order],
            np.ones(len(deltas), dtype=bool),
            None,
            np.ones(len(deltas), dtype=bool),
        )
        for (deltas, levels), order in zip(options, orders, strict=True)
    )
    fits = {(a, b): _fits(planes, x, a, b, least) for a, b, least in ties}
    # The pairs that allow least are the ones worth keeping; then those a first try did not keep.
    wanted = sorted(fits, key=lambda pair: (fits[pair].mean(), pair))
    for _ in range(TRIES):
        links = tuple(LinkTable(a, b, fits[a, b], True) for a, b in _spanning(len(options), wanted))
        found = Tree(Roof(planes, links, 0)).first()
        if found is None:
            return True, None
        missed = [p for p in wanted if not fits[p][found.picks[p[0]], found.picks[p[1]]]]
        if not missed:
            picks = zip(orders, found.picks, strict=True)
            return True, [int(order[k]) for order, k in picks]
        wanted = missed + [pair for pair in wanted if pair not in missed]
    return False, None


def _fits(
    planes: tuple[PlaneTable, ...], x: list[int], a: int, b: int, least: int
) -> NDArray[np.bool_]:
    one, other = planes[a].firsts[:, None], planes[b].firsts[None, :]
    apart = np.abs(x[a] + one - x[b] - other)
    result: NDArray[np.bool_] = (apart >= least) | ((one == 0) & (other == 0))
    return result


def _spanning(count: int, pairs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """The first pairs of the list that form no ring."""
    group = list(range(count))
    kept = []
    for a, b in pairs:
        if group[a] != group[b]:
            kept.append((a, b))
            old, new = group[a], group[b]
            group = [new if g == old else g for g in group]
    return kept
