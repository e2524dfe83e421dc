"""What a layout with odd panels and changed modules is worth, from scratch: for oracle_odd."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import oracle
from oracle_odd_case import OddCase
from oracle_odd_faults import ODD_LEVELS
from oracle_odd_laying import Laying, Placed, Seam, place

# ---------------------------------------------------------------------------- penetrations


def seams_beside(case: OddCase, plane: int, laying: Laying) -> tuple[Seam, ...]:
    """The seams that rooms count: all as they really stand."""
    seams = place(case, plane, laying).seams
    if "room-by-plain-grid" in case.faults:
        return place(case, plane, Laying(laying.first)).seams
    if "seams-not-shifted" in case.faults:
        odd = {number for number, _ in laying.odds}
        there = place(case, plane, Laying(laying.first, (), laying.changes)).seams
        moved = {seam.of: seam for seam in seams if seam.of in odd}
        return tuple(sorted(moved.get(seam.of, seam) for seam in there))
    return seams


def stand(case: OddCase, pen: oracle.Pen, seams: Sequence[Seam], x: int) -> oracle.Stand:
    """State, room and margin of a penetration with its centre at x among seams."""
    base = case.base
    grid = []
    for seam in seams:
        side = max(base.back, base.fwd)
        if x != seam.at:
            side = seam.high_side if seam.at < x else seam.low_side
        if x == seam.at and {"line-seam-one-sided"} & case.faults:
            side = seam.low_side
        grid.append((seam.at, side, seam.shift))
    return oracle.stand_among(base, pen, x, grid, 0, base.width_tol)


def beside(pen: oracle.Pen, seams: Sequence[Seam], x: int) -> tuple[int | None, int | None]:
    """The nearest seam on either side, for a curb the nearest that it does not cut."""
    reach = 0 if pen.pipe else pen.across // 2
    low = [s.at for s in seams if s.at <= x and (pen.pipe or x - s.at >= reach + s.high_side)]
    high = [s.at for s in seams if s.at >= x and (pen.pipe or s.at - x >= reach + s.low_side)]
    return max(low, default=None), min(high, default=None)


# ---------------------------------------------------------------------------- linked planes


def link_seam(case: OddCase, plane: int, placed: Placed) -> int | None:
    """The seam a plane is linked by: the one it starts with."""
    if placed.laid_first is None:
        return None
    if "links-by-last-seam" in case.faults:
        return max((s.at for s in placed.seams), key=lambda at: abs(at - placed.origin))
    if "line-links-by-low-seam" in case.faults and case.lines[plane] is not None:
        return placed.seams[0].at
    return placed.laid_first


def met(case: OddCase, link: oracle.Link, one: int | None, two: int | None) -> bool:
    """Whether the grids of two planes, given by a seam of each, meet."""
    return one is None or two is None or oracle.grids_met(case.base, link, one, two)


def strays(case: OddCase, link: oracle.Link, one: Placed, two: Placed) -> int:
    """The farthest that any seam of either plane misses the other's seams."""
    if not one.seams or not two.seams:
        return 0
    cover, width = case.base.cover, case.plane(link.one).width
    seams_one, seams_two = ([s.at for s in placed.seams] for placed in (one, two))
    if "strays-at-start" in case.faults:
        assert one.laid_first is not None and two.laid_first is not None
        seams_one, seams_two = [one.laid_first], [two.laid_first]

    def onto_two(x: int) -> int:
        return width + link.offset - x if link.mirror else x + link.offset

    def onto_one(x: int) -> int:
        return width + link.offset - x if link.mirror else x - link.offset

    def miss(x: int, seams: Sequence[int]) -> int:
        """From x to where it should be, beside seams that go on at cover spacing for ever."""
        low, high = min(seams), max(seams)
        far = (abs(x - low) + abs(x - high)) // cover + 3
        below = [low - k * cover for k in range(1, far)]
        above = [high + k * cover for k in range(1, far)]
        on = [] if "strays-not-continued" in case.faults else below + above
        off = cover // 2 if link.stagger and "strays-half-mod-cover" not in case.faults else 0
        return min(abs(abs(x - seam) - off) for seam in [*seams, *on])

    misses = [miss(onto_two(x), seams_two) for x in seams_one]
    if "strays-one-way" not in case.faults:
        misses += [miss(onto_one(x), seams_one) for x in seams_two]
    return max(misses)


# ---------------------------------------------------------------------------- the order


@dataclass(frozen=True)
class Sums:
    """What the order of layouts compares before decisions, apart from distances of odd panels."""

    cents: int
    counts: tuple[int, ...]  # the nine, in the order of the list rule
    altered: int
    shortfall: int
    distance: int
    narrowest: int
    odd_widths: int
    odd_start: int
    changes: int


def altered_cents(case: OddCase, placed: Placed, laying: Laying) -> int:
    """What the changes of module cost."""
    times = len(laying.changes)
    if "play-per-panel" in case.faults:
        times = sum(len(placed.full.get(stretch, ())) for stretch, _ in laying.changes)
    return 0 if "play-free" in case.faults else times * case.base.cents["play"]


def odd_start(case: OddCase, placed: Placed, laying: Laying) -> int:
    """How far the centre lines of the odd panels are from where laying starts, in all."""
    origin = 0 if "odd-start-low-end" in case.faults else placed.origin
    odd = {number for number, _ in laying.odds}
    return sum(abs((low + high) // 2 - origin) for n, low, high in placed.panels if n in odd)


def odd_distance(
    case: OddCase, plane: int, placed: Placed, laying: Laying, moves: Sequence[int]
) -> int | None:
    """The least distance of an odd panel's centre line from a penetration or an end of its plane.

    `moves` of the penetrations of the plane. None where no panel is odd.
    """
    odd = {number for number, _ in laying.odds}
    pens = [case.base.pens[i] for i in case.base.on(plane)]
    if "odd-distance-drawn" in case.faults:
        moves = [0] * len(pens)
    spots = [pen.x + move for pen, move in zip(pens, moves, strict=True)]
    if "odd-distance-no-ends" not in case.faults:
        spots += [0, case.plane(plane).width]
    return min(
        (
            abs((low + high) // 2 - spot)
            for number, low, high in placed.panels
            if number in odd
            for spot in spots
        ),
        default=None,
    )


def order(
    case: OddCase, sums: Sums, least: int, layings: Sequence[Laying], moves: Sequence[int]
) -> tuple[int, ...]:
    """All that layouts are sorted by; smaller comes first. `least`: 0 where nothing is odd.

    Ticks and cents; half ticks for shortfall, distance and start of odd panels.
    """
    ticks = oracle.ticks
    wide = 1 if "odd-widths-narrow-first" in case.faults else -1
    levels = [
        sums.cents, *sums.counts, sums.altered, sums.shortfall, ticks(sums.distance),
        -ticks(sums.narrowest), wide * ticks(sums.odd_widths), -least, sums.odd_start,
        ticks(sums.changes),
    ]  # fmt: skip
    if case.faults:
        named = zip(ODD_LEVELS, levels, strict=True)
        levels = [0 if f"without-{name}" in case.faults else level for name, level in named]
    decisions: list[int] = []
    for number, laying in enumerate(layings):
        pairs = [(panel, ticks(width)) for panel, width in laying.odds]
        pairs += [(0, 0)] * (case.odd_panels - len(pairs))
        stretches: list[int] = []
        if case.play:
            most = case.plane(number).width // (case.base.cover - case.play) + 1
            stretches += range(1, most + 1)
            if case.lines[number] is not None:
                stretches += range(-1, -most - 1, -1)
        changes = dict(laying.changes)
        turn = -1 if "changes-wider-first" in case.faults else 1
        part = [
            (ticks(laying.first),),
            tuple(value for pair in pairs for value in pair),
            tuple(turn * ticks(changes.get(stretch, 0)) for stretch in stretches),
        ]
        if "changes-before-first" in case.faults:
            part = part[-1:] + part[:-1]
        decisions += [value for piece in part for value in piece]
    return (*levels, *decisions, *(ticks(move) for move in moves))


# ---------------------------------------------------------------------------- one layout


def price(case: OddCase, layings: Sequence[Laying], moves: Sequence[int]) -> dict[str, Any]:
    """Everything about one layout, from scratch, legal or not."""
    base, cents, ticks, half = case.base, case.base.cents, oracle.ticks, oracle.half
    planes = range(len(base.planes))
    placed = [place(case, p, layings[p]) for p in planes]
    seams = [seams_beside(case, p, layings[p]) for p in planes]
    xs = [pen.x + move for pen, move in zip(base.pens, moves, strict=True)]
    stands = [
        stand(case, pen, seams[pen.plane], x) for pen, x in zip(base.pens, xs, strict=True)
    ]  # fmt: skip
    starts = [link_seam(case, p, placed[p]) for p in planes]
    links = [met(case, link, starts[link.one], starts[link.two]) for link in base.links]
    states = [how.state for how in stands]
    counts = {
        "on-seam": states.count("on-seam"), "seams_cut": sum(how.cuts for how in stands),
        "crosses": states.count("crosses"), "tight": states.count("tight"),
        "crowded": states.count("crowded"), "moved": sum(move != 0 for move in moves),
        "links_missed": links.count(False), "odd_panels": sum(len(lay.odds) for lay in layings),
        "uneven": sum(oracle.uneven_by(base, on.first, on.last) for on in placed),
    }  # fmt: skip
    cost = {
        "flashing": sum(
            oracle.pen_cost(base, pen, how) for pen, how in zip(base.pens, stands, strict=True)
        ),
        "moves": sum(
            cents["move_stubbed" if pen.status == "stubbed" else "move_planned"]
            for pen, move in zip(base.pens, moves, strict=True)
            if move
        ),
        "odd_panels": counts["odd_panels"] * cents["odd_panel"] * ("odd-free" not in case.faults),
        "look": counts["uneven"] * cents["uneven"] + counts["links_missed"] * cents["misaligned"],
        "play": sum(altered_cents(case, placed[p], layings[p]) for p in planes),
    }
    sums = Sums(
        cents=sum(cost.values()),
        counts=tuple(counts.values()),
        altered=sum(len(laying.changes) for laying in layings),
        shortfall=sum(oracle.shortfall(base, how) for how in stands),
        distance=sum(abs(move) for move in moves),
        narrowest=min((min(on.first, on.last) for on in placed if on.seams), default=0),
        odd_widths=sum(width for laying in layings for _, width in laying.odds),
        odd_start=sum(odd_start(case, placed[p], layings[p]) for p in planes),
        changes=sum(abs(change) for laying in layings for _, change in laying.changes),
    )
    distances = [
        odd_distance(case, p, placed[p], layings[p], [moves[i] for i in base.on(p)])
        for p in planes
    ]  # fmt: skip
    least = min((d for d in distances if d is not None), default=0)
    nearest = [beside(pen, seams[pen.plane], x) for pen, x in zip(base.pens, xs, strict=True)]
    return {
        "total": sums.cents, "counts": counts, "cost": cost,
        "order": order(case, sums, least, layings, moves),
        "firsts": [ticks(on.first) for on in placed], "lasts": [ticks(on.last) for on in placed],
        "moves": [ticks(m) for m in moves], "states": states,
        "room": [half(how.room) for how in stands], "needed": [half(how.needed) for how in stands],
        "margin": [half(how.margin) for how in stands], "seams_cut": [how.cuts for how in stands],
        "worst_room": [half(how.worst_room) for how in stands],
        "worst_margin": [half(how.worst_margin) for how in stands],
        "seams_beside": [tuple(x if x is None else ticks(x) for x in pair) for pair in nearest],
        "links": links,
        "strays2": [strays(case, link, placed[link.one], placed[link.two]) for link in base.links],
        "planes": [told(case, placed[p], layings[p]) for p in planes],
    }  # fmt: skip


def told(case: OddCase, placed: Placed, laying: Laying) -> dict[str, Any]:
    """Panels and seams of one plane in ticks.

    `odd`: (panel, width, low, high). `stretches`: (stretch, full panels, module) of every stretch
    that has a full panel, by stretch number; none where the case allows no play.
    """
    odd, changes, ticks = dict(laying.odds), dict(laying.changes), oracle.ticks
    return {
        "first": ticks(placed.first),
        "last": ticks(placed.last),
        "panels": len(placed.panels),
        "seams": [ticks(seam.at) for seam in placed.seams],
        "odd": sorted(
            (number, ticks(high - low), ticks(low), ticks(high))
            for number, low, high in placed.panels
            if number in odd
        ),
        "stretches": sorted(
            (stretch, numbers, ticks(case.base.cover + changes.get(stretch, 0)))
            for stretch, numbers in placed.full.items()
            if case.play
        ),
    }
