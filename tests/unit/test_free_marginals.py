"""What the rest of a roof costs, by elimination, against every combination one by one."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from solver.freeing import marginals
from solver.freeing.marginals import NEVER, rest_costs
from solver.ranks.roof import LinkTable

LINKS = (
    (), ((0, 1),), ((1, 0), (1, 2)), ((0, 1), (1, 2), (2, 0)), ((0, 1), (1, 2), (2, 3), (3, 0)),
    ((0, 1), (0, 1), (2, 3)), ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)),
)


def random_roof(seed: int) -> tuple[list[np.ndarray], list[LinkTable]]:
    random = np.random.default_rng(seed)
    pairs = LINKS[seed % len(LINKS)]
    planes = max([4, *(max(pair) + 1 for pair in pairs)]) if pairs else 3
    sizes = random.integers(1, 6, planes)
    costs = [
        np.where(random.random(n) < 0.2, NEVER, random.integers(0, 50, n)).astype(np.int64)
        for n in sizes
    ]
    links = [
        LinkTable(a, b, random.random((sizes[a], sizes[b])) < 0.5, bool(random.random() < 0.3))
        for a, b in pairs
    ]
    return costs, links


@pytest.mark.parametrize("seed", range(140))
def test_like_every_combination(seed: int) -> None:
    costs, links = random_roof(seed)
    missed = 7
    found = rest_costs(costs, links, missed)
    for target in range(len(costs)):
        best = [NEVER] * len(costs[target])
        for picks in product(*(range(len(c)) for c in costs)):
            rest = sum(int(c[k]) for i, (c, k) in enumerate(zip(costs, picks, strict=True))
                       if i != target)
            for link in links:
                if not link.meet[picks[link.a], picks[link.b]]:
                    rest += NEVER if link.must else missed
            best[picks[target]] = min(best[picks[target]], rest)
        own = found[target]
        assert own is not None
        assert [min(int(value), NEVER) for value in own] == best


def test_in_parts_as_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    costs, links = random_roof(4)
    whole = rest_costs(costs, links, 3)
    monkeypatch.setattr(marginals, "_AT_ONCE", 1)
    for one, other in zip(whole, rest_costs(costs, links, 3), strict=True):
        assert one is not None
        assert np.array_equal(one, other)


def test_too_many_rings_are_not_tabulated(monkeypatch: pytest.MonkeyPatch) -> None:
    costs, links = random_roof(6)
    monkeypatch.setattr(marginals, "_MOST_CELLS", 0)
    assert rest_costs(costs, links, 3) == [None] * 4
