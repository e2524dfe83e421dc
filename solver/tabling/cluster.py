"""Pipes that get in each other's way: their best joint moves for one first width, exactly.

Branch and bound over the options, with the bound of every pipe taking its best remaining option.
Keys are single integers that compare like the whole tie order, so the optimum is unique.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Choice:
    """The options of one pipe in a cluster, best first: keys, and which options of others fit.

    `fits[other][k]` is a bit mask over the options of `other` that may stand beside option `k`.
    """

    keys: Sequence[int]
    fits: dict[int, Sequence[int]]


def best_choice(pipes: Sequence[Choice], node_limit: int) -> list[int] | None:
    """Option per pipe with the least sum of keys in which all fit; None if nothing fits.

    Raises:
        ClusterTooHardError: the search passed `node_limit` nodes.
    """
    search = _Search(pipes, node_limit)
    search.run([(1 << len(pipe.keys)) - 1 for pipe in pipes])
    return search.best


class ClusterTooHardError(Exception):
    """Branch and bound is the wrong tool for this cluster."""


def _lowest(mask: int) -> int:
    return (mask & -mask).bit_length() - 1


class _Search:
    def __init__(self, pipes: Sequence[Choice], node_limit: int) -> None:
        self.pipes = pipes
        self.left = node_limit
        self.best: list[int] | None = None
        self.best_key: int | None = None

    def run(self, domains: list[int]) -> None:
        self.left -= 1
        if self.left < 0:
            raise ClusterTooHardError
        picks = [_lowest(mask) for mask in domains]
        bound = sum(pipe.keys[k] for pipe, k in zip(self.pipes, picks, strict=True))
        if self.best_key is not None and bound >= self.best_key:
            return
        clash, pivot = self._most_troubled(domains, picks)
        if not clash:
            self.best, self.best_key = picks, bound
            return
        if pivot is None:
            return  # only pipes with a single option left clash: a dead end
        base = bound - self.pipes[pivot].keys[picks[pivot]]
        mask = domains[pivot]
        while mask:
            k = _lowest(mask)
            mask &= mask - 1
            if self.best_key is not None and base + self.pipes[pivot].keys[k] >= self.best_key:
                return
            narrowed = self._narrow(domains, pivot, k)
            if narrowed is not None:
                self.run(narrowed)

    def _most_troubled(self, domains: list[int], picks: list[int]) -> tuple[bool, int | None]:
        """Whether best options clash, and the undecided pipe whose best one clashes most."""
        worst, pivot, clash = 0, None, False
        for i, pipe in enumerate(self.pipes):
            clashes = sum(
                1 for j, fits in pipe.fits.items() if not (fits[picks[i]] >> picks[j]) & 1
            )
            clash = clash or clashes > 0
            if clashes > worst and domains[i] & (domains[i] - 1):
                worst, pivot = clashes, i
        return clash, pivot

    def _narrow(self, domains: list[int], pivot: int, k: int) -> list[int] | None:
        narrowed = list(domains)
        narrowed[pivot] = 1 << k
        for j, fits in self.pipes[pivot].fits.items():
            narrowed[j] &= fits[k]
            if not narrowed[j]:
                return None
        return narrowed
