"""Which starts leave which penetration clear, nothing moved: bit masks over first widths.

A `World` is some planes under the rules of one case; to ask what would be without a rule, the case
is changed and the world built anew by the same code. Bit `f` of a mask stands for first width `f`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Freeze, Link
from solver.conflicts.result import Run, Thing
from solver.ranks.assemble import meeting
from solver.tabling.curb_phase import CURB_CLEAR, curb_table
from solver.tabling.phase import CLEAR, Grids, pipe_states, room2
from solver.tabling.profile import Profile, build_profile
from solver.tabling.starts import Ticks


def settled(case: Case) -> Case:
    """The case with agreed moves made, so that "nothing moved" starts from where pipes will be."""
    if not case.freeze.moves:
        return case
    moves = dict(case.freeze.moves)
    pens = tuple(
        replace(pen, x=pen.x + moves[pen.id]) if moves.get(pen.id) else pen
        for pen in case.penetrations
    )
    return replace(case, penetrations=pens, freeze=replace(case.freeze, moves=()))


def without(case: Case, things: tuple[Thing, ...]) -> Case:
    """The case with these things taken away."""
    links, firsts, rules = list(case.links), case.freeze.firsts, case.rules
    centres = list(case.centres)
    for thing in things:
        if thing.kind == "end-rule":
            rules = replace(rules, min_end=0, min_piece=0, min_length=0)
        elif thing.kind == "end-lap":
            rules = replace(rules, end_lap=0)
        elif thing.kind == "link":
            links[thing.place] = replace(links[thing.place], must=False)
        elif thing.kind == "centre":
            centres[thing.place] = replace(centres[thing.place], must=False)
        else:
            firsts = tuple(pair for pair in firsts if pair[0] not in thing.about)
    return replace(
        case, links=tuple(links), centres=tuple(centres), rules=rules, freeze=Freeze(firsts)
    )


def must_links(case: Case, planes: tuple[int, ...]) -> list[tuple[int, int, Link]]:
    """The must links among some planes, with the indices of the planes they join."""
    index = {plane.id: i for i, plane in enumerate(case.planes)}
    found = []
    for link in case.links:
        a, b = (index[name] for name in link.planes)
        if link.must and a in planes and b in planes:
            found.append((a, b, link))
    return found


def parts_of(case: Case) -> list[tuple[int, ...]]:
    """Indices of planes, those together that must links tie together."""
    every = tuple(range(len(case.planes)))
    return _tied(every, [(a, b) for a, b, _ in must_links(case, every)])


def _tied(planes: tuple[int, ...], pairs: list[tuple[int, int]]) -> list[tuple[int, ...]]:
    group = {i: i for i in planes}
    for a, b in pairs:
        one, other = sorted((group[a], group[b]))
        group = {i: one if g == other else g for i, g in group.items()}
    return [tuple(i for i in planes if group[i] == name) for name in sorted(set(group.values()))]


def bits(mask: int) -> Iterator[int]:
    """The places of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def to_mask(flags: NDArray[np.bool_]) -> int:
    """Flags as one whole number, flag `f` as bit `f`."""
    return int.from_bytes(np.packbits(flags, bitorder="little").tobytes(), "little")


class World:
    """Some planes of a case, their legal first widths, and what these leave clear."""

    def __init__(self, case: Case, planes: tuple[int, ...], pens: tuple[int, ...]) -> None:
        self.case, self.planes, self.pens = case, planes, pens
        bare = replace(case, penetrations=(), freeze=Freeze())
        profiles = {i: build_profile(bare, case.planes[i]) for i in planes}
        kept = {i: self._kept(i, profiles[i]) for i in planes}
        self.firsts: dict[int, Ticks] = {i: profiles[i].firsts[kept[i]] for i in planes}
        tables: dict[tuple[int, int], NDArray[np.bool_]] = {}
        for a, b, link in must_links(case, planes):
            table = meeting(case, link, profiles[a], profiles[b])[np.ix_(kept[a], kept[b])]
            if a > b:
                a, b, table = b, a, table.T
            tables[a, b] = tables[a, b] & table if (a, b) in tables else table
        self._rows: dict[tuple[int, int], tuple[int, ...]] = {}
        self._known: dict[tuple[int, int, int], int] = {}
        for (a, b), table in tables.items():
            self._rows[a, b] = tuple(to_mask(row) for row in table)
            self._rows[b, a] = tuple(to_mask(column) for column in table.T)
        self.forest = len(tables) == len(planes) - len(_tied(planes, list(tables)))
        index = {plane.id: i for i, plane in enumerate(case.planes)}
        self.plane_of = {p: index[case.penetrations[p].plane] for p in pens}
        self.flags: dict[int, NDArray[np.bool_]] = {}
        for i in planes:
            grids = Grids(case, case.planes[i], self.firsts[i])
            for p in pens:
                if self.plane_of[p] == i:
                    self.flags[p] = _clear(case, grids, p)
        self.clear = {p: to_mask(flags) for p, flags in self.flags.items()}

    def _kept(self, i: int, profile: Profile) -> NDArray[np.int64]:
        """Places of the first widths that an agreed one, and centres that must be hit, leave."""
        agreed = dict(self.case.freeze.firsts).get(self.case.planes[i].id)
        fine = profile.allowed if agreed is None else profile.allowed & (profile.firsts == agreed)
        return np.flatnonzero(fine)

    def met(self, i: int, j: int) -> bool:
        """Whether a must link joins two planes."""
        return (i, j) in self._rows

    def rows(self, i: int, j: int) -> tuple[int, ...]:
        """For each first width of plane `i` the mask of those of plane `j` it meets."""
        return self._rows[i, j]

    def full(self) -> dict[int, int]:
        """Every legal first width of every plane."""
        return {i: (1 << len(self.firsts[i])) - 1 for i in self.planes}

    def narrowed(self, members: tuple[int, ...]) -> dict[int, int]:
        """The first widths of every plane that leave its own members clear, links left out."""
        masks = self.full()
        for p in members:
            masks[self.plane_of[p]] &= self.clear[p]
        return masks

    def propagate(
        self, masks: dict[int, int], changed: int | None = None
    ) -> dict[int, int] | None:
        """Drop first widths that meet none left of a linked plane; None where nothing is left.

        `changed` is the only plane narrowed since `masks` last came out of here.
        """
        masks = dict(masks)
        waiting = [arc for arc in self._rows if changed in (None, arc[0])]
        while waiting:
            here, there = waiting.pop()
            left = masks[there] & self._seen(here, there, masks[here])
            if left != masks[there]:
                if not left:
                    return None
                masks[there] = left
                waiting += [arc for arc in self._rows if arc[0] == there and arc not in waiting]
        return masks if all(masks.values()) else None

    def _seen(self, here: int, there: int, mask: int) -> int:
        """The first widths of plane `there` that meet one of a mask of plane `here`."""
        key = (here, there, mask)
        found = self._known.get(key)
        if found is None:
            rows, found = self._rows[here, there], 0
            for f in bits(mask):
                found |= rows[f]
            self._known[key] = found
        return found

    def possible(
        self, masks: dict[int, int], changed: int | None = None
    ) -> dict[int, int] | None:
        """What propagation leaves of `masks` if some choice keeps all must links, else None.

        Where the links form no ring, propagation alone settles that.
        """
        left = self.propagate(masks, changed)
        return left if left is None or self.forest or self.solve(left) is not None else None

    def solve(self, masks: dict[int, int]) -> dict[int, int] | None:
        """One choice (places of first widths) that keeps all must links; None if there is none.

        Exact: first widths are tried one by one, and what they leave is propagated. Where the links
        form no ring nothing tried is ever taken back.
        """
        left = self.propagate(masks)
        return self._solve(left) if left is not None else None

    def _solve(self, left: dict[int, int]) -> dict[int, int] | None:
        open_ones = [i for i in self.planes if left[i] & (left[i] - 1)]
        if not open_ones:
            return {i: mask.bit_length() - 1 for i, mask in left.items()}
        i = min(open_ones, key=lambda plane: left[plane].bit_count())
        for f in bits(left[i]):
            after = self.propagate({**left, i: 1 << f}, i)
            if after is not None and (found := self._solve(after)) is not None:
                return found
        return None

    def leaves(self, i: int, masks: dict[int, int]) -> int:
        """The first widths of plane `i` that belong to some choice out of `masks`."""
        left = self.propagate(masks)
        if left is None or self.forest:
            return left[i] if left is not None else 0
        found = 0
        for f in bits(left[i]):
            if self.possible({**left, i: 1 << f}, i) is not None:
                found |= 1 << f
        return found

    def starts(self, picks: dict[int, int]) -> tuple[tuple[str, int], ...]:
        """Picks as first widths by plane id."""
        return tuple((self.case.planes[i].id, int(self.firsts[i][picks[i]])) for i in self.planes)

    def runs(self, i: int, mask: int) -> tuple[Run, ...]:
        """A mask of plane `i` as runs of consecutive legal first widths."""
        found: list[list[int]] = []
        before = -2
        for f in bits(mask):
            first = int(self.firsts[i][f])
            if f == before + 1 and first - found[-1][1] <= self.case.mark:
                found[-1][1] = first
            else:
                found.append([first, first])
            before = f
        return tuple((low, high) for low, high in found)


def _clear(case: Case, grids: Grids, p: int) -> NDArray[np.bool_]:
    """For which first widths a penetration is clear where the case has it."""
    pen = case.penetrations[p]
    if pen.kind == "curb":
        return np.asarray(curb_table(grids, pen).states == CURB_CLEAR)
    room = room2(grids, pen, np.array([pen.x], dtype=np.int64))[0]
    return np.asarray(pipe_states(case, pen, room) == CLEAR)


