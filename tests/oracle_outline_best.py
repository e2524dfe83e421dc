"""The candidates of a case with outlines, by naive enumeration: for oracle_outline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Any

import oracle
from oracle_odd_laying import Laying, place
from oracle_odd_price import link_seam, met, odd_distance, odd_start
from oracle_outline_case import Roof, legal_layings
from oracle_outline_price import (
    Stand,
    centres,
    off_centre,
    order,
    pen_cents,
    stand,
    stock_area,
    stock_units,
)

Moves = tuple[int, ...]
Candidate = tuple[tuple[int, ...], tuple[Laying, ...], Moves]  # its order, layings, moves


@dataclass(frozen=True)
class Choice:
    """The best moves of one plane's penetrations for one way to lay it."""

    laying: Laying
    cents: int  # stock and links apart
    counts: tuple[int, ...]  # the twelve, stock and links apart
    stock: int  # square half ticks
    sums: tuple[int, ...]  # altered, shortfall, distance, odd widths, odd start, changes
    start: int | None  # the seam it is linked by
    narrow: int | None  # None where the plane has no seam
    ways: tuple[tuple[int | None, Moves], ...]  # least distance of an odd panel, moves


def place_faults(roof: Roof, index: int, x: int) -> list[str]:
    """Which of edge gap and keep-outs a moved pipe breaks at x."""
    pen, own, plane = roof.base.pens[index], roof.pens[index], roof.base.pens[index].plane
    low, high = own.low_end, own.high_end
    if "edge-gap-of-extent" in roof.faults:
        low, high = 0, roof.base.planes[plane].width
    broken = [rule for rule in oracle.place_faults(roof.base, pen, x) if rule != "edge-gap"]
    if min(x - low, high - x) < pen.outside // 2 + roof.base.lengths["edge_gap"]:
        broken.append("edge-gap")
    return broken


def places(roof: Roof, index: int, moving: bool) -> list[int]:
    """The moves of a penetration that do not depend on seams: size, agreed, ends, keep-outs."""
    base, pen = roof.base, roof.base.pens[index]
    return [
        move
        for move in (oracle.move_options(base, pen) if moving else [0])
        if (not moving or oracle.keeps_agreed_move(base, index, move))
        and (not move or not place_faults(roof, index, pen.x + move))
    ]


def may_be(roof: Roof, index: int, how: Stand, move: int) -> bool:
    """Whether a penetration may stand like this."""
    if how.state in roof.base.pens[index].forbid or (move and how.state != "clear"):
        return False
    return not (roof.pens[index].must_land and how.unlanded)


def choices(roof: Roof, plane: int, moving: bool) -> list[Choice]:
    """The best moves for each way to lay a plane; ways that allow nothing drop out."""
    base = roof.base
    here = base.on(plane)
    pens = [base.pens[i] for i in here]
    sizes = [places(roof, i, moving) for i in here]
    pairs = list(combinations(range(len(pens)), 2))
    clash = {
        (i, mi, j, mj)
        for i, j in pairs
        for mi in sizes[i]
        for mj in sizes[j]
        if not oracle.pair_ok(base, pens[i], mi, pens[j], mj)
    }
    found = []
    for laying in legal_layings(roof, plane):
        placed = place(roof.odd, plane, laying)
        if base.agreed_firsts.get(plane, laying.first) != laying.first:
            continue
        if any(one["must"] and not one["hit"] for one in centres(roof, plane, placed)):
            continue
        options: list[list[tuple[int, tuple[int, ...]]]] = []
        for index, pen, moves in zip(here, pens, sizes, strict=True):
            mine = []
            for move in moves:
                how = stand(roof, index, placed.seams, pen.x + move)
                if may_be(roof, index, how, move):
                    mine.append((move, vector(roof, index, how, move)))
            options.append(mine)
        best: tuple[int, ...] | None = None
        alike: list[Moves] = []
        for combo in product(*options):
            moved = tuple(move for move, _ in combo)
            if clash and any((i, moved[i], j, moved[j]) in clash for i, j in pairs):
                continue
            total = tuple(map(sum, zip((0,) * 10, *(v for _, v in combo), strict=True)))
            if best is None or total < best:
                best, alike = total, []
            if total == best:
                alike.append(moved)
        if best is not None:
            found.append(_choice(roof, plane, laying, best, alike))
    return found


def vector(roof: Roof, index: int, how: Stand, move: int) -> tuple[int, ...]:
    """Cents; on-seam, cut, crosses, tight, crowded, moved; unlanded, shortfall, distance."""
    moving = roof.base.cents["move_" + roof.base.pens[index].status] if move else 0
    states = (how.state == name for name in ("crosses", "tight", "crowded"))
    return (
        pen_cents(roof, index, how) + moving, int(how.state == "on-seam"), how.cuts,
        *map(int, states), int(move != 0), how.unlanded, how.shortfall, abs(move),
    )  # fmt: skip


def _choice(
    roof: Roof, plane: int, laying: Laying, best: Sequence[int], alike: Sequence[Moves]
) -> Choice:
    base, odd = roof.base, roof.odd
    placed = place(odd, plane, laying)
    uneven = oracle.uneven_by(base, placed.first, placed.last)
    missed = off_centre(roof, plane, placed)
    cents = (
        best[0] + uneven * base.cents["uneven"] + len(laying.odds) * base.cents["odd_panel"]
        + missed * base.cents["off_centre"] + len(laying.changes) * base.cents["play"]
    )  # fmt: skip
    return Choice(
        laying=laying,
        cents=cents,
        counts=(*best[1:7], 0, missed, best[7], len(laying.odds), uneven, 0),
        stock=stock_area(roof, plane, placed),
        sums=(
            len(laying.changes), best[8], best[9], sum(width for _, width in laying.odds),
            odd_start(odd, placed, laying), sum(abs(change) for _, change in laying.changes),
        ),
        start=link_seam(odd, plane, placed),
        narrow=min(placed.first, placed.last) if placed.seams else None,
        ways=tuple((odd_distance(odd, plane, placed, laying, moves), moves) for moves in alike),
    )  # fmt: skip


# ---------------------------------------------------------------------------- the whole roof


def together(roof: Roof, combo: Sequence[Choice], cents: int, counts: Sequence[int]) -> Candidate:
    """The best layout with the given ways to lay every plane, and its whole order."""
    altered, short, distance, wide, start, changed = (
        sum(column) for column in zip(*(c.sums for c in combo), strict=True)
    )
    narrow = min((c.narrow for c in combo if c.narrow is not None), default=0)
    # The least distance of odd panels is the roof's: no plane need do better than the worst one.
    farthest = [
        max(d for d, _ in c.ways if d is not None) for c in combo if c.ways[0][0] is not None
    ]  # fmt: skip
    least = min(farthest, default=0)
    moves = [0] * len(roof.base.pens)
    for plane, choice in enumerate(combo):
        own = min(moved for d, moved in choice.ways if d is None or d >= least)
        for index, move in zip(roof.base.on(plane), own, strict=True):
            moves[index] = move
    taken = tuple(choice.laying for choice in combo)
    sums = (altered, short, distance, narrow, wide, least, start, changed)
    return order(roof, cents, counts, sums, taken, moves), taken, tuple(moves)


def candidates(roof: Roof, moving: bool, every: bool = False) -> list[Candidate]:
    """Candidates in order; only the first with each set of counts unless `every` one is wanted.

    (Of two with the same counts the list can only have the first.)
    """
    base = roof.base
    per_plane = [choices(roof, p, moving) for p in range(len(base.planes))]
    seen: dict[Any, tuple[int, Candidate]] = {}
    for number, combo in enumerate(product(*per_plane)):
        missed = 0
        allowed = True
        for link in base.links:
            if not met(roof.odd, link, combo[link.one].start, combo[link.two].start):
                missed += 1
                allowed = allowed and not link.must
        if not allowed:
            continue
        counts = [sum(column) for column in zip(*(c.counts for c in combo), strict=True)]
        counts[6] += missed
        counts[11] = stock_units(roof, [c.stock for c in combo])
        cents = sum(c.cents for c in combo) + missed * base.cents["misaligned"]
        cents += counts[11] * base.cents["area"]
        key = number if every else tuple(counts)
        if key in seen and cents > seen[key][0]:
            continue
        here = together(roof, combo, cents, counts)
        if key not in seen or here[0] < seen[key][1][0]:
            seen[key] = (cents, here)
    return sorted(candidate for _, candidate in seen.values())
