"""Links that form rings: cut the rings at a few planes, and settle each of their first widths.

With the first width of a cut plane given, its links only price the other planes. What is left is a
forest for `solver.ranks.tree`. The best over all first widths of the cut planes is the best of all.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import prod

import numpy as np

from solver.ranks.roof import Found, LinkTable, PlaneTable, Roof, order_of
from solver.ranks.tree import UNREACHABLE, Tree, is_forest
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, LINKS

MOST_CUTS = 1_000
"""So many choices of first widths of the cut planes are settled one by one, no more."""


def cut_planes(roof: Roof) -> tuple[int, ...] | None:
    """Planes whose links closed rings, fewest first widths first; None if there are too many."""
    cut: list[int] = []
    while not is_forest(_without(roof, cut)):
        left = _without(roof, cut)
        degree = [0] * len(roof.planes)
        for link in left.links:
            degree[link.a] += 1
            degree[link.b] += 1
        sizes = [len(plane.firsts) for plane in roof.planes]
        # A plane in a ring has two links or more; of those the one with most links, then narrowest.
        cut.append(max(range(len(degree)), key=lambda i: (degree[i], -sizes[i], -i)))
        if prod(sizes[i] for i in cut) > MOST_CUTS:
            return None
    return tuple(sorted(cut))


def first_choice(roof: Roof, cut: tuple[int, ...]) -> Found | None:
    """The first choice of the tie order; None if nothing is allowed."""
    if not cut:
        return Tree(roof).first()
    costs = {given: _least(_given(roof, cut, given)) for given in _choices(roof, cut)}
    least = min(costs.values(), default=UNREACHABLE)
    if least >= UNREACHABLE:
        return None
    found = [
        choice
        for given, cost in costs.items()
        if cost == least and (choice := Tree(_given(roof, cut, given)).first()) is not None
    ]
    best = min(found, key=lambda one: (*order_of(roof, one.picks), *one.picks), default=None)
    return None if best is None else Found(best.picks, least)


def marginal_costs(roof: Roof, cut: tuple[int, ...]) -> list[Ticks]:
    """For every plane and first width the least total cost (cents) of any choice with it."""
    if not cut:
        return _whole(Tree(roof))
    best = [np.full(len(plane.firsts), UNREACHABLE, dtype=np.int64) for plane in roof.planes]
    for given in _choices(roof, cut):
        for mine, theirs in zip(best, _whole(Tree(_given(roof, cut, given))), strict=True):
            np.minimum(mine, theirs, out=mine)
    return best


def _whole(tree: Tree) -> list[Ticks]:
    """Marginal costs over the whole forest, not only over the tree a plane is in."""
    costs, trees = tree.marginal_costs(), tree.trees()
    least = {root: min(int(costs[i].min()) for i in members) for root, members in trees.items()}
    total = sum(least.values())
    if total >= UNREACHABLE:
        return [np.full_like(cost, UNREACHABLE) for cost in costs]
    root_of = {i: root for root, members in trees.items() for i in members}
    return [
        np.where(cost < UNREACHABLE, cost + (total - least[root_of[i]]), UNREACHABLE)
        for i, cost in enumerate(costs)
    ]


def _least(roof: Roof) -> int:
    return min(int(_whole(Tree(roof))[0].min()), UNREACHABLE)


def _choices(roof: Roof, cut: tuple[int, ...]) -> product[tuple[int, ...]]:
    return product(*(
        tuple(int(f) for f in np.flatnonzero(roof.planes[i].allowed)) for i in cut
    ))


def _without(roof: Roof, cut: list[int]) -> Roof:
    links = tuple(link for link in roof.links if link.a not in cut and link.b not in cut)
    return replace(roof, links=links)


def _given(roof: Roof, cut: tuple[int, ...], firsts: tuple[int, ...]) -> Roof:
    """The roof with cut planes at given first widths, their links priced on the others."""
    chosen = dict(zip(cut, firsts, strict=True))
    planes = list(roof.planes)
    for i, f in chosen.items():
        planes[i] = replace(planes[i], allowed=np.arange(len(planes[i].firsts)) == f)
    kept: list[LinkTable] = []
    for link in roof.links:
        if link.a in chosen:
            other, meet = link.b, link.meet[chosen[link.a]]
        elif link.b in chosen:
            other, meet = link.a, link.meet[:, chosen[link.b]]
        else:
            kept.append(link)
            continue
        planes[other] = _priced(planes[other], ~meet, roof.missed_cents, must=link.must)
    return Roof(tuple(planes), tuple(kept), roof.missed_cents)


def _priced(
    plane: PlaneTable, missed: np.ndarray[tuple[int], np.dtype[np.bool_]], cents: int, *, must: bool
) -> PlaneTable:
    levels = plane.levels.copy()
    levels[LINKS] += missed
    levels[COST] += missed * cents
    allowed = plane.allowed & ~missed if must else plane.allowed
    return replace(plane, levels=levels, allowed=allowed)
