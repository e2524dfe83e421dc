"""All minimal groups that cannot be clear together: minimal hitting sets, smallest first.

For every start there is the set of penetrations that are not clear at it. A group cannot all be
clear exactly where it hits every one of these sets, so the minimal groups are the minimal hitting
sets. They are found by branching over a set not yet hit; whoever makes an earlier member
superfluous is left out, and each branch leaves out what the branches before it took, so that no
group comes up twice and none is missed (after Murakami and Uno, "Efficient algorithms for dualizing
large-scale hypergraphs", 2014: from memory; the tests hold it against all subsets).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from heapq import nsmallest
from itertools import islice, product
from math import prod
from typing import Final, Generic, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from solver.clock import Clock
from solver.conflicts.world import World, bits, to_mask
from solver.tabling.starts import Ticks

Flags = NDArray[np.bool_]

MOST_STARTS: Final = 60_000
"""Up to so many combinations of first widths of linked planes are written out."""
MOST_FOUND: Final = 1_000
"""The search ends once it has found so many groups, but never among those of one or two."""
_ALWAYS: Final = 2
MOST_STEPS: Final = 1_500_000
MOST_LINKED_STEPS: Final = 100_000
MOST_RING_STEPS: Final = 3_000
"""How many times a search may narrow a set of starts: a few seconds of work each."""
_WIDER: Final = 60

State = TypeVar("State")


class Universe(Protocol[State]):
    """Starts, and what they leave clear. A state is a set of starts that is not empty."""

    classes: tuple[tuple[int, ...], ...]
    """Penetrations that the same starts leave clear, together; those always clear are left out."""
    steps: int

    def all(self) -> State | None: ...

    def keep(self, state: State, name: int) -> State | None:
        """Those that leave class `name` clear; None if there are none."""

    def blocks(self, state: State) -> Iterable[int]:
        """Classes that are not clear at one start of the state."""


class Listed:
    """Every start written out, the ones with the fewest not clear first: a state is a mask."""

    steps = MOST_STEPS

    def __init__(self, world: World, picks: dict[int, Ticks], far: Ticks) -> None:
        pens = world.pens
        count = len(far)
        table = np.zeros((len(pens), count), dtype=bool)
        for row, p in enumerate(pens):
            table[row] = world.flags[p][picks[world.plane_of[p]]]
        order = np.lexsort((np.arange(count), far, (~table).sum(axis=0)))
        table = table[:, order]
        self.picks = {i: own[order] for i, own in picks.items()}
        self.count = count
        self._own = {p: to_mask(table[row]) for row, p in enumerate(pens)}
        same: dict[int, list[int]] = {}
        for p, mask in self._own.items():
            if mask != self.all():
                same.setdefault(mask, []).append(p)
        self.classes = tuple(map(tuple, same.values()))
        self._masks = list(same)
        self._blocks: dict[int, list[int]] = {}

    def all(self) -> int | None:
        return (1 << self.count) - 1 or None

    def keep(self, state: int, name: int) -> int | None:
        return state & self._masks[name] or None

    def blocks(self, state: int) -> list[int]:
        low = state & -state
        if low not in self._blocks:
            self._blocks[low] = [n for n, mask in enumerate(self._masks) if not mask & low]
        return self._blocks[low]

    def pick(self, pens: tuple[int, ...]) -> dict[int, int] | None:
        """Of the starts that leave `pens` clear the one with the fewest others not clear."""
        state = (1 << self.count) - 1
        for p in pens:
            state &= self._own[p]
        if not state:
            return None
        f = (state & -state).bit_length() - 1
        return {i: int(own[f]) for i, own in self.picks.items()}


class Linked:
    """Too many combinations to write out: a state is what the links leave of every plane."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.steps = MOST_LINKED_STEPS if world.forest else MOST_RING_STEPS
        same: dict[tuple[int, int], list[int]] = {}
        full = world.full()
        for p in world.pens:
            plane = world.plane_of[p]
            if world.clear[p] != full[plane]:
                same.setdefault((plane, world.clear[p]), []).append(p)
        self.classes = tuple(map(tuple, same.values()))
        self._keys = list(same)

    def all(self) -> dict[int, int] | None:
        return self.world.possible(self.world.full())

    def keep(self, state: dict[int, int], name: int) -> dict[int, int] | None:
        plane, mask = self._keys[name]
        return self.world.possible({**state, plane: state[plane] & mask}, plane)

    def blocks(self, state: dict[int, int]) -> list[int]:
        picks = self.world.solve(state)
        assert picks is not None  # a state is never empty
        return [n for n, (plane, mask) in enumerate(self._keys) if not mask >> picks[plane] & 1]


def listed(world: World, usual: dict[int, int]) -> Listed | None:
    """The world written out; None where its combinations are too many.

    `usual` are the usual first widths: of starts equally good the one nearest to them comes first.
    """
    done: list[int] = []
    picks: dict[int, Ticks] = {}
    for i in _in_order(world):
        own = len(world.firsts[i])
        size = len(picks[done[0]]) if done else 1
        if size * own > MOST_STARTS * _WIDER:
            return None
        tables = [_joined(world, i, j) for j in done if world.met(i, j)]
        ahead = np.repeat(np.arange(size), own)
        mine = np.tile(np.arange(own), size)
        for j, rows in tables:
            met = rows[picks[j][ahead], mine]
            ahead, mine = ahead[met], mine[met]
        if len(mine) > MOST_STARTS:
            return None
        picks = {j: chosen[ahead] for j, chosen in picks.items()}
        picks[i] = mine
        done.append(i)
    far = sum(
        (np.abs(world.firsts[i][picks[i]] - usual[i]) for i in done if i in usual),
        start=np.zeros(len(picks[done[0]]), dtype=np.int64),
    )
    return Listed(world, picks, far)


def _in_order(world: World) -> list[int]:
    """The planes so that each but the first is linked to one before it, where there is one."""
    order = [world.planes[0]]
    while len(order) < len(world.planes):
        rest = [i for i in world.planes if i not in order]
        order.append(next((i for i in rest if any(world.met(i, j) for j in order)), rest[0]))
    return order


def _joined(world: World, i: int, j: int) -> tuple[int, Flags]:
    """Which first widths of planes `j` and `i` keep every must link between them."""
    table = np.zeros((len(world.firsts[j]), len(world.firsts[i])), dtype=bool)
    for f, row in enumerate(world.rows(j, i)):
        table[f, list(bits(row))] = True
    return j, table


@dataclass
class Search:
    """What was found: groups as sorted indices of penetrations, smallest first, then case order.

    Every group of up to `complete_to` members was found; `complete`: there is no other. `groups`
    holds the first MOST_FOUND of each size, `found` counts all and `often` in how many of them each
    penetration is. `ended` is "" or what ended the search: "size", "count", "work", "stopped".
    """

    groups: list[tuple[int, ...]] = field(default_factory=list)
    found: int = 0
    often: Counter[int] = field(default_factory=Counter)
    complete_to: int = 0
    complete: bool = False
    ended: str = ""

    def take(self, hits: list[tuple[int, ...]], classes: tuple[tuple[int, ...], ...]) -> None:
        """Add groups given as classes, each member of a class in the place of its class."""
        for names in hits:
            count = prod(len(classes[name]) for name in names)
            self.found += count
            for name in names:
                for p in classes[name]:
                    self.often[p] += count // len(classes[name])
        every = (
            tuple(sorted(one))
            for names in hits
            for one in product(*(classes[name] for name in names))
        )
        self.groups += nsmallest(MOST_FOUND, islice(every, MOST_STEPS))


def minimal_groups(universe: Universe[State], size: int, clock: Clock) -> Search:
    """Every minimal group of up to `size` members, as far as the caps let it look."""
    everything = universe.all()
    assert everything is not None  # where no start is legal there is nothing to explain
    walk = _Walk(universe, clock)
    search = Search()
    for deep in range(1, size + 1):
        walk.start(deep)
        walk.branch((), everything, [], frozenset())
        search.take(walk.hits, universe.classes)
        if walk.ended:
            search.ended = walk.ended
            return search
        search.complete_to = deep
        if not walk.cut:
            search.complete = True
            return search
        if search.found >= MOST_FOUND:
            search.ended = "count"
            return search
    search.ended = "size"
    return search


class _Walk(Generic[State]):
    """One pass over the branches down to one size."""

    def __init__(self, universe: Universe[State], clock: Clock) -> None:
        self.universe, self.clock = universe, clock
        self.left = universe.steps
        self.ended = ""
        self.start(0)

    def start(self, deep: int) -> None:
        """Begin the pass that looks for groups of `deep` members."""
        self.deep, self.cut = deep, False
        self.hits: list[tuple[int, ...]] = []

    def branch(
        self, names: tuple[int, ...], state: State, rests: list[State], barred: frozenset[int]
    ) -> None:
        """Add one more to `names`; `rests` are the starts left without each of them."""
        keep = self.universe.keep
        for name in self.universe.blocks(state):
            if name in barred:
                continue
            if self._over():
                return
            barred |= {name}
            kept = [keep(rest, name) for rest in rests]
            self.left -= len(kept) + 1
            if any(rest is None for rest in kept):
                continue  # it makes an earlier one superfluous
            after = keep(state, name)
            longer = (*names, name)
            if after is None:
                if len(longer) == self.deep:
                    self.hits.append(longer)
            elif len(longer) < self.deep:
                self.branch(longer, after, [*[r for r in kept if r is not None], state], barred)
            else:
                self.cut = True

    def _over(self) -> bool:
        if self.ended:
            return True
        if self.clock.over():
            self.ended = "stopped"
        elif self.left <= 0:
            self.ended = "work"
        elif len(self.hits) >= MOST_FOUND and self.deep > _ALWAYS:
            self.ended = "count"
        return bool(self.ended)
