"""What the rest of a roof costs at best for every first width of one plane, exactly.

Planes are eliminated one after the other (min-sum variable elimination), so links may form rings;
the order is greedy, smallest table first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import prod
from typing import Final

import numpy as np

from solver.ranks.roof import LinkTable
from solver.tabling.starts import Ticks

NEVER: Final = 1 << 50
"""Stands for "not allowed" in sums of cents; thousands of them still fit 64 bits."""
_MOST_CELLS: Final = 20_000_000
_AT_ONCE: Final = 4_000_000

_Factor = tuple[tuple[int, ...], Ticks]
"""Planes in increasing order, and a cost for every combination of their first widths."""


def rest_costs(
    costs: Sequence[Ticks], links: Sequence[LinkTable], missed_cents: int
) -> list[Ticks | None]:
    """For every plane and first width the least cents of all other planes and of all links.

    `costs` has for every plane its own cents by first width, NEVER where one is not allowed; the
    plane's own are not in its answer. NEVER where nothing fits; None where links are so many that
    the tables would not fit in memory.
    """
    shared = [_of_link(link, missed_cents) for link in links]
    own: list[_Factor] = [((i,), values) for i, values in enumerate(costs)]
    sizes = [len(values) for values in costs]
    return [
        _kept(target, [*shared, *own[:target], *own[target + 1 :]], sizes)
        for target in range(len(costs))
    ]


def _of_link(link: LinkTable, missed_cents: int) -> _Factor:
    table = np.where(link.meet, 0, NEVER if link.must else missed_cents).astype(np.int64)
    return ((link.a, link.b), table) if link.a < link.b else ((link.b, link.a), table.T)


def _kept(target: int, factors: list[_Factor], sizes: Sequence[int]) -> Ticks | None:
    """The sum of all factors, minimized over every plane but `target`."""
    left = set(range(len(sizes))) - {target}
    while left:
        plane = min(left, key=lambda v: (_cells(_beside(v, factors), sizes), v))
        around = _beside(plane, factors)
        if _cells(around, sizes) > _MOST_CELLS:
            return None
        mine = [factor for factor in factors if plane in factor[0]]
        factors = [factor for factor in factors if plane not in factor[0]]
        factors.append((around, _without(plane, around, mine, sizes)))
        left.remove(plane)
    total = np.zeros(sizes[target], dtype=np.int64)
    for _, values in factors:
        total = total + values
    result: Ticks = np.minimum(total, NEVER)
    return result


def _beside(plane: int, factors: Sequence[_Factor]) -> tuple[int, ...]:
    """The other planes in the factors of one plane."""
    return tuple(sorted({v for planes, _ in factors if plane in planes for v in planes} - {plane}))


def _cells(planes: Sequence[int], sizes: Sequence[int]) -> int:
    return prod(sizes[v] for v in planes)


def _without(
    plane: int, around: tuple[int, ...], mine: Sequence[_Factor], sizes: Sequence[int]
) -> Ticks:
    """The factors of a plane added up and minimized over its first widths, some at a time."""
    shape = tuple(sizes[v] for v in around)
    best = np.full(shape, NEVER, dtype=np.int64)
    for part in _parts(sizes[plane], prod(shape)):
        total = np.zeros((*shape, len(part)), dtype=np.int64)
        for planes, values in mine:
            cut = np.moveaxis(values, planes.index(plane), -1)[..., part]
            where = [sizes[v] if v in planes else 1 for v in around]
            total = total + cut.reshape(*where, len(part))
        best = np.minimum(best, total.min(axis=-1))
    return best


def _parts(count: int, cells: int) -> Iterator[Ticks]:
    size = max(1, _AT_ONCE // max(cells, 1))
    for start in range(0, count, size):
        yield np.arange(start, min(start + size, count), dtype=np.int64)
