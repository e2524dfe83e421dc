"""Turns the levels of a group of pipes into single integer keys and fitting masks."""

from __future__ import annotations

import numpy as np

from solver.tabling.cluster import Choice
from solver.tabling.starts import Ticks
from solver.tabling.tables import LEVELS


def make_choices(
    options: list[tuple[Ticks, Ticks]], x: list[int], ties: list[tuple[int, int, int]]
) -> tuple[list[Choice], list[list[int]]]:
    """Choices with options best first, and for each pipe the original index of its options.

    `options` are (deltas, levels (levels, options)) per pipe in case order, `x` the drawn centres,
    `ties` the pairs that must stand `least` apart unless neither moved. The key of an option packs
    its levels with the true largest sums as radixes, then the rank of its signed move, weighted by
    the pipe's place in the case: sums of keys compare exactly like the tie order.
    """
    rows = range(len(LEVELS))
    most = [max(1, *(int(levels[row].max()) for _, levels in options)) for row in rows]
    radix = [len(options) * top + 1 for top in most]
    widest = max(len(deltas) for deltas, _ in options) + 1
    keys, orders = [], []
    for place, (deltas, levels) in enumerate(options):
        rank = {int(d): k for k, d in enumerate(sorted(int(d) for d in deltas))}
        weight = widest ** (len(options) - 1 - place)
        own = []
        for column, delta in enumerate(deltas):
            key = 0
            for row in rows:
                key = key * radix[row] + int(levels[row, column])
            own.append(key * widest ** len(options) + rank[int(delta)] * weight)
        order = sorted(range(len(own)), key=own.__getitem__)
        orders.append(order)
        keys.append([own[k] for k in order])
    fits: list[dict[int, list[int]]] = [{} for _ in options]
    for a, b, least in ties:
        da, db = options[a][0][orders[a]], options[b][0][orders[b]]
        apart = np.abs((x[a] + da)[:, None] - (x[b] + db)[None, :])
        fine = (apart >= least) | ((da == 0)[:, None] & (db == 0)[None, :])
        fits[a][b] = [_mask(row) for row in fine]
        fits[b][a] = [_mask(row) for row in fine.T]
    choices = [Choice(keys[i], dict(fits[i])) for i in range(len(options))]
    return choices, orders


def _mask(row: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> int:
    """A row of booleans as a bit mask, lowest bit first."""
    return int.from_bytes(np.packbits(row, bitorder="little").tobytes(), "little")
