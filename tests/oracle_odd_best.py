"""The candidates of a case with odd panels or play, by naive enumeration: for oracle_odd."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Any

import oracle
from oracle_odd_case import OddCase
from oracle_odd_laying import Laying, Seam, layings, place
from oracle_odd_price import (
    Sums,
    altered_cents,
    link_seam,
    met,
    odd_distance,
    odd_start,
    order,
    seams_beside,
    stand,
)

Moves = tuple[int, ...]


@dataclass(frozen=True)
class Choice:
    """The best moves of one plane's penetrations for one way to lay it.

    `ways`: the moves that are best but for the distance of odd panels from what they stand near, a
    minimum over the roof: each with that distance on this plane (None where no panel is odd).
    """

    laying: Laying
    sums: Sums
    start: int | None  # the seam it is linked by
    narrow: int | None  # None where the plane has no seam
    ways: tuple[tuple[int | None, Moves], ...]


class Stands:
    """Stands of penetrations, each computed once for the seams near it.

    Farther than `reach` from a penetration's body no seam can be the nearest or the worst: within
    one cover and the play there is a seam or an end on either side, and within that and its side
    and its shift all that can come before it.
    """

    def __init__(self, case: OddCase) -> None:
        self.case = case
        base = case.base
        self.reach = (
            base.cover + case.play + 2 * max(base.back, base.fwd)
            + 2 * (base.remeasure * base.cover_tol + base.width_tol) + base.lengths["end_lap"]
        )  # fmt: skip
        self.known: dict[tuple[Any, ...], oracle.Stand] = {}

    def __call__(self, index: int, seams: Sequence[Seam], x: int) -> oracle.Stand:
        pen = self.case.base.pens[index]
        reach = self.reach + pen.across // 2
        near = tuple(seam for seam in seams if abs(seam.at - x) <= reach)
        key = (index, x, near)
        if key not in self.known:
            self.known[key] = stand(self.case, pen, near, x)
        return self.known[key]


def places(case: OddCase, index: int, moving: bool) -> list[int]:
    """The moves of a penetration that do not depend on seams: size, agreed, edge, keep-outs."""
    base, pen = case.base, case.base.pens[index]
    return [
        move
        for move in (oracle.move_options(base, pen) if moving else [0])
        if (not moving or oracle.keeps_agreed_move(base, index, move))
        and (not move or not oracle.place_faults(base, pen, pen.x + move))
    ]


def choices(case: OddCase, plane: int, moving: bool, stands: Stands) -> list[Choice]:
    """The best moves for each way to lay a plane; ways that allow nothing drop out."""
    base = case.base
    here = base.on(plane)
    pens = [base.pens[i] for i in here]
    sizes = [places(case, i, moving) for i in here]
    pairs = list(combinations(range(len(pens)), 2))
    clash = {
        (i, mi, j, mj)
        for i, j in pairs
        for mi in sizes[i]
        for mj in sizes[j]
        if not oracle.pair_ok(base, pens[i], mi, pens[j], mj)
    }
    found = []
    for laying in layings(case, plane, plain=not moving and "drawn-plain" in case.faults):
        if base.agreed_firsts.get(plane, laying.first) != laying.first:
            continue
        seams = seams_beside(case, plane, laying)
        options: list[list[tuple[int, tuple[int, ...]]]] = []
        for index, pen, moves in zip(here, pens, sizes, strict=True):
            mine = []
            for move in moves:
                how = stands(index, seams, pen.x + move)
                if how.state not in pen.forbid and (not move or how.state == "clear"):
                    mine.append((move, oracle._pen_vector(base, pen, how, move)))
            options.append(mine)
        best: tuple[int, ...] | None = None
        alike: list[Moves] = []
        for combo in product(*options):
            moved = tuple(move for move, _ in combo)
            if clash and any((i, moved[i], j, moved[j]) in clash for i, j in pairs):
                continue
            vector = tuple(map(sum, zip((0,) * 9, *(v for _, v in combo), strict=True)))
            if best is None or vector < best:
                best, alike = vector, []
            if vector == best:
                alike.append(moved)
        if best is not None:
            found.append(_choice(case, plane, laying, best, alike))
    return found


def _choice(
    case: OddCase, plane: int, laying: Laying, best: Sequence[int], alike: Iterable[Moves]
) -> Choice:
    base, placed = case.base, place(case, plane, laying)
    uneven = oracle.uneven_by(base, placed.first, placed.last)
    odd_cents = 0 if "odd-free" in case.faults else base.cents["odd_panel"]
    sums = Sums(
        cents=best[0] + uneven * base.cents["uneven"] + len(laying.odds) * odd_cents
        + altered_cents(case, placed, laying),
        counts=(*best[1:7], 0, len(laying.odds), uneven),
        altered=len(laying.changes),
        shortfall=best[7],
        distance=best[8],
        narrowest=0,
        odd_widths=sum(width for _, width in laying.odds),
        odd_start=odd_start(case, placed, laying),
        changes=sum(abs(change) for _, change in laying.changes),
    )  # fmt: skip
    ways = [(odd_distance(case, plane, placed, laying, moves), moves) for moves in alike]
    if "without-odd_distance" in case.faults:
        ways = [(None, moves) for _, moves in ways]
    if "odd-distance-own-plane" in case.faults:
        ways = [min(ways, key=lambda way: (-(way[0] or 0), way[1]))]
    narrow = min(placed.first, placed.last) if placed.seams else None
    return Choice(laying, sums, link_seam(case, plane, placed), narrow, tuple(ways))


# ---------------------------------------------------------------------------- the whole roof

Candidate = tuple[tuple[int, ...], tuple[Laying, ...], Moves]  # its order, layings, moves


def together(case: OddCase, combo: Sequence[Choice], missed: int) -> Candidate:
    """The best layout with the given ways to lay every plane, and its whole order."""
    base = case.base
    sums = Sums(
        cents=sum(c.sums.cents for c in combo) + missed * base.cents["misaligned"],
        counts=_counts(combo, missed),
        altered=sum(c.sums.altered for c in combo),
        shortfall=sum(c.sums.shortfall for c in combo),
        distance=sum(c.sums.distance for c in combo),
        narrowest=min((c.narrow for c in combo if c.narrow is not None), default=0),
        odd_widths=sum(c.sums.odd_widths for c in combo),
        odd_start=sum(c.sums.odd_start for c in combo),
        changes=sum(c.sums.changes for c in combo),
    )
    # The least distance of odd panels is the roof's: no plane need do better than the worst one.
    farthest = [
        max(d for d, _ in c.ways if d is not None) for c in combo if c.ways[0][0] is not None
    ]  # fmt: skip
    least = min(farthest, default=0)
    moves = [0] * len(base.pens)
    for plane, choice in enumerate(combo):
        own = min(moved for d, moved in choice.ways if d is None or d >= least)
        for index, move in zip(base.on(plane), own, strict=True):
            moves[index] = move
    taken = tuple(choice.laying for choice in combo)
    return order(case, sums, least, taken, moves), taken, tuple(moves)


def _counts(combo: Sequence[Choice], missed: int) -> tuple[int, ...]:
    counts = [sum(column) for column in zip(*(c.sums.counts for c in combo), strict=True)]
    counts[6] += missed
    return tuple(counts)


def candidates(
    case: OddCase, moving: bool, stands: Stands, every: bool = False
) -> list[Candidate]:
    """Candidates in order; only the first with each set of counts unless `every` one is wanted.

    (Of two with the same nine counts the list can only have the first.)
    """
    base, faults = case.base, case.faults
    per_plane = [choices(case, p, moving, stands) for p in range(len(base.planes))]
    seen: dict[tuple[int, ...], tuple[int, Candidate]] = {}
    found: list[Candidate] = []
    for combo in product(*per_plane):
        missed = 0
        allowed = True
        for link in base.links:
            if not met(case, link, combo[link.one].start, combo[link.two].start):
                missed += 1
                allowed = allowed and not link.must
        counts = _counts(combo, missed)
        if not allowed or ("odd-per-roof" in faults and counts[7] > case.odd_panels):
            continue
        if every:
            found.append(together(case, combo, missed))
            continue
        cents = sum(c.sums.cents for c in combo) + missed * base.cents["misaligned"]
        if counts not in seen or cents < seen[counts][0]:
            seen[counts] = (cents, together(case, combo, missed))
        elif cents == seen[counts][0]:
            here = together(case, combo, missed)
            if here[0] < seen[counts][1][0]:
                seen[counts] = (cents, here)
    return sorted(found + [candidate for _, candidate in seen.values()])
