"""Ways to cut a stock length into blanks: the most valuable ones, all of them, and a first plan.

One-dimensional cutting stock; blanks are told apart by their length alone. What is worth most for
given values is a knapsack, answered by dynamic programming over the sums that lengths can make
(sums beaten by a shorter one that is worth as much are dropped), exactly and for every capacity at
once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.stock.kinds import Kind


@dataclass(frozen=True)
class Knapsack:
    """What capacities are worth: sums of lengths, increasing, with their values, increasing."""

    items: tuple[tuple[int, int], ...]
    fronts: tuple[tuple[NDArray[np.int64], NDArray[np.int64]], ...]

    def best(self, capacity: int) -> int:
        """The most that fits in a capacity is worth."""
        sums, values = self.fronts[-1]
        return int(values[int(np.searchsorted(sums, capacity, side="right")) - 1])

    def pattern(self, capacity: int) -> tuple[int, ...]:
        """Lengths that are worth that, longest first."""
        sums, values = self.fronts[-1]
        at = int(np.searchsorted(sums, capacity, side="right")) - 1
        total, value = int(sums[at]), int(values[at])
        taken: list[int] = []
        for (length, worth), (sums, values) in zip(
            reversed(self.items), reversed(self.fronts[:-1]), strict=True
        ):
            while True:
                at = int(np.searchsorted(sums, total))
                if at < len(sums) and sums[at] == total and values[at] == value:
                    break
                total, value = total - length, value - worth
                taken.append(length)
        return tuple(sorted(taken, reverse=True))


def knapsack(values: dict[int, int], capacity: int) -> Knapsack:
    """The best fillings, for values by length (whole numbers). Any number of each may be taken.

    Lengths worth no more than a shorter one are left out: they cannot help.
    """
    items: list[tuple[int, int]] = []
    for length in sorted(values):
        if length <= capacity and values[length] > (items[-1][1] if items else 0):
            items.append((length, values[length]))
    # By worth for their length: good sums are known early, and drop most of the later ones.
    items.sort(key=lambda item: (-item[1] / item[0], item[0]))
    sums = np.zeros(1, dtype=np.int64)
    worth = np.zeros(1, dtype=np.int64)
    fronts = [(sums, worth)]
    for length, value in items:
        copies = np.arange(capacity // length + 1, dtype=np.int64)
        all_sums = (sums[None, :] + copies[:, None] * length).ravel()
        all_worth = (worth[None, :] + copies[:, None] * value).ravel()
        within = all_sums <= capacity
        all_sums, all_worth = all_sums[within], all_worth[within]
        order = np.lexsort((-all_worth, all_sums))
        all_sums, all_worth = all_sums[order], all_worth[order]
        before = np.concatenate(([-1], np.maximum.accumulate(all_worth)[:-1]))
        better = all_worth > before
        sums, worth = all_sums[better], all_worth[better]
        fronts.append((sums, worth))
    return Knapsack(tuple(items), tuple(fronts))


def every_pattern(
    lengths: Sequence[int], most: Sequence[int], stock: Sequence[int], limit: int
) -> list[tuple[int, tuple[int, ...]]] | None:
    """Every filling (stock length, lengths) that takes no more; None where they are over `limit`.

    `most` is how many of each length could be wanted at most. A filling that fits in a shorter
    stock length, too, is listed for that one only.
    """
    order = sorted(range(len(lengths)), key=lambda i: -lengths[i])
    shorter = 0
    found: list[tuple[int, tuple[int, ...]]] = []
    budget = 40 * limit
    for capacity in sorted(stock):
        # (place in order, what is left, what is taken)
        heap: list[tuple[int, int, tuple[int, ...]]] = [(0, capacity, ())]
        while heap:
            budget -= 1
            if len(found) > limit or budget < 0:
                return None
            at, left, taken = heap.pop()
            if at == len(order):
                full = all(
                    lengths[i] > left or taken.count(lengths[i]) >= most[i] for i in order
                )
                if taken and full and capacity - left > shorter:
                    found.append((capacity, taken))
                continue
            i = order[at]
            times = min(left // lengths[i], most[i])
            for n in range(times + 1):
                heap.append((at + 1, left - n * lengths[i], taken + (lengths[i],) * n))
        shorter = capacity
    return found


def first_fit(blanks: Sequence[int], stock: Sequence[int]) -> list[tuple[int, tuple[int, ...]]]:
    """A plan to begin with: longest first into the fullest it fits in; then shorter stock."""
    longest = max(stock)
    bins: list[tuple[int, list[int]]] = []
    for blank in sorted(blanks, reverse=True):
        fitting = [(left, n) for n, (left, _) in enumerate(bins) if left >= blank]
        if fitting:
            left, n = min(fitting)
            bins[n][1].append(blank)
            bins[n] = (left - blank, bins[n][1])
        else:
            bins.append((longest - blank, [blank]))
    made = []
    for left, taken in bins:
        used = longest - left
        made.append((min(each for each in stock if each >= used), tuple(taken)))
    return made


def greedy_kinds(counts: Sequence[int], kinds: Sequence[Kind], cost: Callable[[Kind], int]
                 ) -> list[int]:
    """How many of each kind: pairs that save most first, then single cuts."""
    alone = {kind.of[0]: cost(kind) for kind in kinds if len(kind.of) == 1}
    left = list(counts)
    made = [0] * len(kinds)
    saves = [sum(alone[i] for i in kind.of) - cost(kind) for kind in kinds]
    for n in sorted(range(len(kinds)), key=lambda n: (-saves[n], n)):
        of = kinds[n].of
        if len(of) == 2 and saves[n] <= 0:
            continue
        times = left[of[0]] // 2 if len(of) == 2 and of[0] == of[1] else min(left[i] for i in of)
        made[n] = times
        for i in of:
            left[i] -= times
    return made
