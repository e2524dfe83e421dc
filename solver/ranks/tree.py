"""The combining engine for many planes whose links form no ring: dynamic programming.

Level after level of the tie order is minimized exactly; after each, only choices (and pairs of
linked choices) that lie on some best solution are kept. On a tree these are all of them, so the
next level starts from exactly the ties of the one before.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.ranks.roof import Found, Roof
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, LINKS, ORDER

Mask = NDArray[np.bool_]
UNREACHABLE = 1 << 60
_INF = np.int64(UNREACHABLE)


@dataclass
class _Edge:
    """Links between a plane and its parent: how many are missed, and which pairs are still open."""

    child: int
    parent: int
    missed: Ticks
    open: Mask


def is_forest(roof: Roof) -> bool:
    """Whether the links form no ring (several links between the same two planes count as one)."""
    group = list(range(len(roof.planes)))

    def find(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    for a, b in sorted({(min(k.a, k.b), max(k.a, k.b)) for k in roof.links}):
        one, other = find(a), find(b)
        if one == other:
            return False
        group[one] = other
    return True


class Tree:
    """Finds the first choice of the tie order. The roof's links must form a forest."""

    def __init__(self, roof: Roof) -> None:
        self.roof = roof
        self.open: list[Mask] = [plane.allowed.copy() for plane in roof.planes]
        self.edges: list[_Edge] = []
        self.kept = [np.arange(len(plane.firsts)) for plane in roof.planes]
        self._root_all()

    def first(self) -> Found | None:
        """The first choice and its cost as bound; None if nothing is allowed."""
        if not self._consistent():
            return None
        bound = 0
        for step in ORDER:
            if isinstance(step, str):
                self._widen(step)
            else:
                best = self._minimize(step)
                if step == COST:
                    bound = best
                    self._shrink()
        for i, mask in enumerate(self.open):
            if np.count_nonzero(mask) > 1:
                self.open[i] = np.arange(len(mask)) == np.flatnonzero(mask)[0]
                self._consistent()
        picks = tuple(
            int(kept[np.flatnonzero(mask)[0]])
            for kept, mask in zip(self.kept, self.open, strict=True)
        )
        return Found(picks, bound)

    def _shrink(self) -> None:
        """Leave out the choices that are not open any more: the tables get much smaller."""
        kept = [np.flatnonzero(mask) for mask in self.open]
        self.kept = [old[new] for old, new in zip(self.kept, kept, strict=True)]
        planes = tuple(
            replace(
                plane, firsts=plane.firsts[rows], levels=plane.levels[:, rows],
                allowed=plane.allowed[rows], settled=plane.settled[rows],
                narrowest=None if plane.narrowest is None else plane.narrowest[rows],
                clearance2=None if plane.clearance2 is None else plane.clearance2[rows],
            )
            for plane, rows in zip(self.roof.planes, kept, strict=True)
        )
        self.roof = replace(self.roof, planes=planes)
        self.open = [mask[rows] for mask, rows in zip(self.open, kept, strict=True)]
        self.edges = [
            _Edge(
                e.child, e.parent, e.missed[np.ix_(kept[e.child], kept[e.parent])],
                e.open[np.ix_(kept[e.child], kept[e.parent])],
            )
            for e in self.edges
        ]

    def _root_all(self) -> None:
        """Edges in an order that visits every child after its parent."""
        between: dict[tuple[int, int], tuple[Ticks, Mask]] = {}
        for link in self.roof.links:
            a, b, meet = link.a, link.b, link.meet
            if a > b:
                a, b, meet = b, a, meet.T
            missed, allowed = between.get((a, b), (np.zeros(meet.shape, np.int64),
                                                   np.ones(meet.shape, bool)))
            between[a, b] = (missed + ~meet, allowed & meet if link.must else allowed)
        seen: set[int] = set()
        for root in range(len(self.roof.planes)):
            if root in seen:
                continue
            seen.add(root)
            queue = [root]
            for parent in queue:
                for (a, b), (missed, allowed) in between.items():
                    child = b if a == parent else a
                    if parent not in (a, b) or child in seen:
                        continue
                    seen.add(child)
                    queue.append(child)
                    turned = (missed.T, allowed.T) if child == b else (missed, allowed)
                    self.edges.append(_Edge(child, parent, *turned))

    def _consistent(self) -> bool:
        """Drop choices and pairs on no solution; False where nothing is left."""
        for edge in reversed(self.edges):
            edge.open &= self.open[edge.child][:, None]
            self.open[edge.parent] &= edge.open.any(axis=0)
        for edge in self.edges:
            edge.open &= self.open[edge.parent][None, :]
            self.open[edge.child] &= edge.open.any(axis=1)
        return all(bool(mask.any()) for mask in self.open)

    def trees(self) -> dict[int, list[int]]:
        """The planes of each tree of the forest, by its root."""
        root = list(range(len(self.roof.planes)))
        for edge in self.edges:
            root[edge.child] = root[edge.parent]
        return {r: [i for i, own in enumerate(root) if own == r] for r in dict.fromkeys(root)}

    def marginal_costs(self) -> list[Ticks]:
        """For every plane and first width, the least total cost (cents) of any choice with it.

        First widths on no allowed choice have a huge value.
        """
        self._consistent()
        return self._marginals(COST)[0]

    def _marginals(self, level: int) -> tuple[list[Ticks], list[Ticks]]:
        """Least sums of a level by choice of each plane, and by pair of each edge.

        Sums run over the tree the plane is in, not over the whole forest.
        """
        each = {LINKS: 1, COST: self.roof.missed_cents}.get(level, 0)
        below = [
            np.where(mask, plane.levels[level], _INF)
            for plane, mask in zip(self.roof.planes, self.open, strict=True)
        ]
        gains: list[Ticks] = []
        for edge in reversed(self.edges):
            joint = np.where(edge.open, below[edge.child][:, None] + edge.missed * each, _INF)
            gains.append(joint.min(axis=0))
            below[edge.parent] = np.minimum(below[edge.parent] + gains[-1], _INF)
        total = list(below)
        pairs: list[Ticks] = []
        for edge, gain in zip(self.edges, reversed(gains), strict=True):
            # What the rest of the tree costs for each choice of the parent, this child left out.
            rest = np.where(total[edge.parent] < _INF, total[edge.parent] - gain, _INF)
            joint = below[edge.child][:, None] + edge.missed * each + rest[None, :]
            pairs.append(np.where(edge.open, np.minimum(joint, _INF), _INF))
            total[edge.child] = pairs[-1].min(axis=1)
        return total, pairs

    def _minimize(self, level: int) -> int:
        """Minimize one level and keep only what reaches it. Returns the least sum."""
        if level not in (COST, LINKS) and all(
            np.ptp(plane.levels[level][mask]) == 0
            for plane, mask in zip(self.roof.planes, self.open, strict=True)
        ):
            return 0  # every choice still open is as good as any other here
        total, pairs = self._marginals(level)
        children = {edge.child for edge in self.edges}
        for edge, pair in zip(self.edges, pairs, strict=True):
            edge.open &= pair == pair.min()
        for mask, values in zip(self.open, total, strict=True):
            mask &= values == values.min()
        self._consistent()
        return sum(int(v.min()) for i, v in enumerate(total) if i not in children)

    def _widen(self, name: str) -> None:
        """Keep the choices with the widest least of a column, such as the narrowest end."""
        bound = {
            i: own for i, plane in enumerate(self.roof.planes)
            if (own := plane.least(name)) is not None
        }
        widths = sorted({int(w) for i, own in bound.items() for w in np.unique(own[self.open[i]])})
        low, high = 0, len(widths) - 1
        while low < high:
            middle = (low + high + 1) // 2
            if self._at_least(bound, widths[middle]) is not None:
                low = middle
            else:
                high = middle - 1
        if widths:
            kept = self._at_least(bound, widths[low])
            assert kept is not None
            self.open, self.edges = kept

    def _at_least(
        self, bound: dict[int, Ticks], width: int
    ) -> tuple[list[Mask], list[_Edge]] | None:
        """What is left if nothing bound is narrower than `width`; None if nothing is."""
        trial = Tree.__new__(Tree)
        trial.roof = self.roof
        trial.open = [mask.copy() for mask in self.open]
        trial.edges = [_Edge(e.child, e.parent, e.missed, e.open.copy()) for e in self.edges]
        for i, own in bound.items():
            trial.open[i] &= own >= width
        return (trial.open, trial.edges) if trial._consistent() else None
