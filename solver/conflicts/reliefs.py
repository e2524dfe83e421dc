"""What else takes part in a group: found by taking it away and looking again."""

from __future__ import annotations

from itertools import combinations
from typing import Final

from solver.case import Case
from solver.conflicts.result import Relief, Run, Thing
from solver.conflicts.world import World, bits, without

_FEW_THINGS: Final = 8


def things_of(case: Case, planes: tuple[int, ...]) -> tuple[Thing, ...]:
    """What may take part on these planes: end rule, end lap, must links, centres that must be hit,
    agreed first widths."""
    ids = {case.planes[i].id for i in planes}
    found = []
    if case.rules.min_end > 0:
        found.append(Thing("end-rule"))
    if case.rules.end_lap > 0:
        found.append(Thing("end-lap"))
    found += [
        Thing("link", link.planes, place)
        for place, link in enumerate(case.links)
        if link.must and set(link.planes) <= ids
    ]
    found += [
        Thing("centre", (centre.plane,), place)
        for place, centre in enumerate(case.centres)
        if centre.must and centre.plane in ids
    ]
    found += [Thing("agreed", (name,)) for name, _ in case.freeze.firsts if name in ids]
    return tuple(found)


class Reliefs:
    """Re-tests groups of one part with things taken away; each world is built once."""

    def __init__(self, world: World) -> None:
        self.case, self.planes, self.pens = world.case, world.planes, world.pens
        self.things = things_of(world.case, world.planes)
        self._worlds: dict[tuple[Thing, ...], World] = {(): world}

    def world(self, things: tuple[Thing, ...]) -> World:
        """The part without these things."""
        if things not in self._worlds:
            changed = without(self.case, things)
            self._worlds[things] = World(changed, self.planes, self.pens)
        return self._worlds[things]

    def of(self, group: tuple[int, ...]) -> tuple[Relief, ...]:
        """Every way to make the group possible by taking away as few things as can be.

        Where more than three of many things must go together, one such way.
        """
        if not self.things or not self._possible(self.things, group):
            return ()
        for count in range(1, (3 if len(self.things) <= _FEW_THINGS else 1) + 1):
            found = [
                self._relief(some, group)
                for some in combinations(self.things, count)
                if self._possible(some, group)
            ]
            if found:
                return tuple(found)
        left = self.things
        for thing in self.things:
            fewer = tuple(t for t in left if t != thing)
            if self._possible(fewer, group):
                left = fewer
        return (self._relief(left, group),)

    def _possible(self, things: tuple[Thing, ...], group: tuple[int, ...]) -> bool:
        world = self.world(things)
        return world.possible(world.narrowed(group)) is not None

    def _relief(self, things: tuple[Thing, ...], group: tuple[int, ...]) -> Relief:
        world = self.world(things)
        masks = world.narrowed(group)
        on = {world.plane_of[p] for p in group}
        runs: tuple[Run, ...] = ()
        if len(on) == 1:
            plane = on.pop()
            left = world.leaves(plane, masks)
            runs = world.runs(plane, left)
            low, high = max(runs, key=lambda run: run[1] - run[0])
            masks[plane] = 1 << _nearest(world, plane, left, (low + high) // 2)
        picks = world.solve(masks)
        assert picks is not None
        return Relief(things, world.starts(picks), runs)


def _nearest(world: World, plane: int, mask: int, first: int) -> int:
    return min(bits(mask), key=lambda f: abs(int(world.firsts[plane][f]) - first))
