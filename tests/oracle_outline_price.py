"""What a layout on planes with outlines is worth, from scratch: for oracle_outline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Any

import oracle
from oracle_odd_laying import Laying, Placed, Seam, place
from oracle_odd_price import link_seam, met, odd_distance, odd_start, strays
from oracle_outline_case import Roof, parts

COUNTS = (
    "on-seam", "seams_cut", "crosses", "tight", "crowded", "moved", "links_missed", "off_centre",
    "unlanded", "odd_panels", "uneven", "stock",
)  # fmt: skip


@dataclass(frozen=True)
class Stand:
    """How one penetration stands in one layout; lengths in half ticks."""

    state: str
    room: int | None
    needed: int
    margin: int | None
    cuts: int
    worst_room: int | None
    worst_margin: int | None
    shortfall: int
    landed: tuple[bool, bool] | None  # of ribbed curbs

    @property
    def unlanded(self) -> int:
        return 0 if self.landed is None else self.landed.count(False)


def stand(roof: Roof, index: int, seams: Sequence[Seam], x: int) -> Stand:
    """State, room and margin of a penetration with its centre at x."""
    pipe = roof.base.pens[index].pipe
    seams = roof.seams_beside(index, seams)
    return _pipe(roof, index, seams, x) if pipe else _curb(roof, index, seams, x)


def side_towards(roof: Roof, seam: Seam, x: int) -> int:
    if seam.at == x:
        return max(roof.base.back, roof.base.fwd)
    return seam.high_side if seam.at < x else seam.low_side


def _pipe(roof: Roof, index: int, seams: Sequence[Seam], x: int) -> Stand:
    base, pen, own = roof.base, roof.base.pens[index], roof.pens[index]
    size = base.lengths
    low, high = own.low_end, own.high_end
    if "room-of-extent" in roof.faults:
        low, high = 0, base.planes[pen.plane].width
    rooms = [(abs(x - s.at) - side_towards(roof, s, x), s.shift) for s in seams]
    rooms += [(x - low - size["end_lap"], 0), (high - x - size["end_lap"], base.width_tol)]
    room = min(room for room, _ in rooms)
    worst = min(room - shift for room, shift in rooms) - pen.x_tol
    needed = max(pen.base // 2 + size["work_gap"], pen.outside // 2 + size["seamer_gap"])
    ruling = worst if base.robust else room
    if ruling >= needed:
        state = "clear"
    elif ruling >= pen.base // 2:
        state = "tight"
    elif ruling >= pen.outside // 2 + size["hole_gap"]:
        state = "crosses"
    else:
        state = "on-seam"
    short = max(0, size["enough"] - (ruling - needed)) if state == "clear" else 0
    return Stand(state, room, needed, room - needed, 0, worst, worst - needed, short, None)


def landing(roof: Roof, index: int, seams: Sequence[Seam], x: int) -> tuple[list[int], list[int]]:
    """The seams that have landed on the low and on the high wall of a ribbed curb."""
    pen = roof.base.pens[index]
    if roof.pens[index].detail != "ribbed":
        return [], []
    found: tuple[list[int], list[int]] = ([], [])
    for way, here in zip((-1, 1), found, strict=True):
        wall = x + way * pen.across // 2
        for seam in seams:
            off = way * (seam.at - wall)  # + outside
            lands = abs(off) <= roof.land_tol
            if "land-strict" in roof.faults:
                lands = abs(off) < roof.land_tol
            if "land-inside-only" in roof.faults and off > 0:
                lands = False
            if lands:
                here.append(seam.at)
    return found


def _curb(roof: Roof, index: int, seams: Sequence[Seam], x: int) -> Stand:
    base, pen, own, faults = roof.base, roof.base.pens[index], roof.pens[index], roof.faults
    landed = landing(roof, index, seams, x)
    cuts, flanks, below, above = 0, [], [], []
    for seam in seams:
        cut = abs(seam.at - x) < pen.across // 2 + side_towards(roof, seam, x)
        if seam.at in landed[0] + landed[1]:
            kept = "landed-cuts" if cut else "landed-crowds"
            if kept not in faults:
                continue
        if cut:
            cuts += 1
            continue
        flank = abs(seam.at - x) - pen.across // 2
        flanks.append((flank, seam.shift))
        shifted = seam.shift + pen.x_tol if base.robust else 0
        shifted = 0 if "close-unshifted" in faults else shifted
        left = flank - shifted if "close-below-nothing" in faults else max(0, flank - shifted)
        (below if seam.at < x else above).append(left)
    close = own.detail == "close"
    side = 0 if close else base.lengths["curb_side"]
    room = min((flank for flank, _ in flanks), default=None)
    worst = min((flank - shift for flank, shift in flanks), default=None)
    worst = None if worst is None else worst - pen.x_tol
    ruling = worst if base.robust else room
    limit = base.lengths["curb_side"] if "close-crowds" in faults else side
    crowded = ruling is not None and ruling < limit and (not close or "close-crowds" in faults)
    state = "crowded" if crowded else "spans" if cuts else "clear"
    short = 0
    if ruling is not None and not crowded:
        short = max(0, base.lengths["enough"] - (ruling - side))
    if close and "close-enough" not in faults:
        sides = [min(below, default=0), min(above, default=0)]
        short = min(sides) if "close-nearest-only" in faults else sum(sides)
    both = None
    if own.detail == "ribbed":
        both = (bool(landed[0]), bool(landed[1]))
        if "unlanded-once" in faults and not any(both):
            both = (False, True)
    return Stand(
        state, room, side, None if room is None else room - side, cuts, worst,
        None if worst is None else worst - side, short, both,
    )  # fmt: skip


def pen_cents(roof: Roof, index: int, how: Stand) -> int:
    """Flashing of a penetration as it stands."""
    cents = roof.base.cents
    if roof.base.pens[index].pipe:
        return 0 if how.state == "clear" else cents[how.state.replace("-", "_")]
    crowded = cents["crowded"] if how.state == "crowded" else 0
    return how.cuts * cents["seam_cut"] + crowded + how.unlanded * cents["unlanded"]


# ---------------------------------------------------------------------------- of a whole plane


def centres(roof: Roof, plane: int, placed: Placed) -> list[dict[str, Any]]:
    """Of the centres of a plane: whether each is hit, and how far off the nearest is (doubled)."""
    edges = [0, *(seam.at for seam in placed.seams), roof.base.planes[plane].width]
    panels = list(pairwise(edges))
    if "centre-ends-left-out" in roof.faults:
        panels = panels[1:-1]
    found = []
    for number, centre in enumerate(roof.centres):
        if centre.plane != plane:
            continue
        if centre.pan:
            offs = [low + high - 2 * centre.at for low, high in panels]
        else:
            offs = [2 * (seam.at - centre.at) for seam in placed.seams]
        least = min((abs(off) for off in offs), default=None)
        hit = least is not None and least <= 2 * centre.tol
        if "centre-strict" in roof.faults:
            hit = least is not None and least < 2 * centre.tol
        found.append({
            "number": number, "hit": hit, "must": centre.must,
            "off2": sorted({off // 2 for off in offs if abs(off) == least}),
        })  # fmt: skip
    return found


def off_centre(roof: Roof, plane: int, placed: Placed) -> int:
    missed = sum(not one["hit"] for one in centres(roof, plane, placed))
    return min(missed, 1) if "centre-once" in roof.faults else missed


def stock_area(roof: Roof, plane: int, placed: Placed) -> int:
    """Square half ticks of sheets for a plane."""
    faults, base = roof.faults, roof.base
    if not roof.stock or ("stock-outline-only" in faults and roof.shapes[plane] is None):
        return 0
    sheets = []  # (width of the panel, length)
    for _, low, high in placed.panels:
        length = roof.lengths[plane]
        if roof.shapes[plane] is not None and "stock-plane-long" not in faults:
            there = parts(roof, plane, low, high)
            if not there:
                continue
            reach = max(p.y_high for p in there) - min(p.y_low for p in there)
            length = 2 * ceil(reach / 2)
        sheets.append((high - low, length))
    (low, one), (high, two) = sheets[0], sheets[-1]
    turns = 2 - 2 * ("stock-shared-bare" in faults) - ("stock-shared-once" in faults)
    fits = len(placed.panels) > 1 and low + high + turns * roof.turn_up <= base.cover
    if fits and roof.odd.lines[plane] is None and "stock-never-shared" not in faults:
        longer = one if "stock-shared-first" in faults else max(one, two)
        sheets = [(base.cover, longer), *sheets[1:-1]]
    width = base.cover if "stock-finished" in faults else roof.sheet
    if "stock-own-width" in faults:
        return sum((width - base.cover + min(own, base.cover)) * long for own, long in sheets)
    return sum(width * length for _, length in sheets)


def stock_units(roof: Roof, areas: Sequence[int]) -> int:
    """Whole square feet (tenths of a square metre), begun ones whole, plane by plane."""
    if "stock-per-roof" in roof.faults:
        areas = [sum(areas)]
    if "stock-down" in roof.faults:
        return sum(area // roof.square for area in areas)
    return sum(-(-area // roof.square) for area in areas)


# ---------------------------------------------------------------------------- one layout


def order(
    roof: Roof, cents: int, counts: Sequence[int], sums: Sequence[int],
    layings: Sequence[Laying], moves: Sequence[int],
) -> tuple[int, ...]:  # fmt: skip
    """All that layouts are sorted by. `sums`: altered, shortfall, distance, narrowest, odd widths,
    odd distance, odd start, changes; half ticks."""
    ticks = oracle.ticks
    counts = list(counts)
    if "centre-after-odd" in roof.faults:
        counts[7:10] = [counts[8], counts[9], counts[7]]
    altered, short, distance, narrow, wide, least, start, changed = sums
    decisions: list[int] = []
    for number, laying in enumerate(layings):
        decisions.append(ticks(laying.first))
        pairs = [(panel, ticks(width)) for panel, width in laying.odds]
        pairs += [(0, 0)] * (roof.odd.odd_panels - len(pairs))
        decisions += [value for pair in pairs for value in pair]
        if roof.odd.play:
            most = roof.base.planes[number].width // (roof.base.cover - roof.odd.play) + 1
            stretches = [*range(1, most + 1)]
            if roof.odd.lines[number] is not None:
                stretches += range(-1, -most - 1, -1)
            decisions += [ticks(dict(laying.changes).get(s, 0)) for s in stretches]
    return (
        cents, *counts, altered, short, ticks(distance), -ticks(narrow), -ticks(wide), -least,
        start, ticks(changed), *decisions, *(ticks(move) for move in moves),
    )  # fmt: skip


def price(roof: Roof, layings: Sequence[Laying], moves: Sequence[int]) -> dict[str, Any]:
    """Everything about one layout, from scratch, legal or not."""
    base, cents, ticks, half, odd = roof.base, roof.base.cents, oracle.ticks, oracle.half, roof.odd
    planes = range(len(base.planes))
    placed = [place(odd, p, layings[p]) for p in planes]
    xs = [pen.x + move for pen, move in zip(base.pens, moves, strict=True)]
    stands = [stand(roof, i, placed[base.pens[i].plane].seams, x) for i, x in enumerate(xs)]
    starts = [link_seam(odd, p, placed[p]) for p in planes]
    links = [met(odd, link, starts[link.one], starts[link.two]) for link in base.links]
    states = [how.state for how in stands]
    counts = [
        states.count("on-seam"), sum(how.cuts for how in stands), states.count("crosses"),
        states.count("tight"), states.count("crowded"), sum(move != 0 for move in moves),
        links.count(False), sum(off_centre(roof, p, placed[p]) for p in planes),
        sum(how.unlanded for how in stands), sum(len(lay.odds) for lay in layings),
        sum(oracle.uneven_by(base, on.first, on.last) for on in placed),
        stock_units(roof, [stock_area(roof, p, placed[p]) for p in planes]),
    ]  # fmt: skip
    named = dict(zip(COUNTS, counts, strict=True))
    cost = {
        "flashing": sum(pen_cents(roof, i, how) for i, how in enumerate(stands)),
        "moves": sum(
            cents["move_stubbed" if pen.status == "stubbed" else "move_planned"]
            for pen, move in zip(base.pens, moves, strict=True)
            if move
        ),
        "odd_panels": named["odd_panels"] * cents["odd_panel"],
        "look": named["uneven"] * cents["uneven"] + named["links_missed"] * cents["misaligned"]
        + named["off_centre"] * cents["off_centre"],
        "play": sum(len(lay.changes) for lay in layings) * cents["play"],
        "stock": named["stock"] * cents["area"],
    }  # fmt: skip
    distances = [
        odd_distance(odd, p, placed[p], layings[p], [moves[i] for i in base.on(p)]) for p in planes
    ]
    sums = (
        sum(len(laying.changes) for laying in layings),
        sum(how.shortfall for how in stands),
        sum(abs(move) for move in moves),
        min((min(on.first, on.last) for on in placed if on.seams), default=0),
        sum(width for laying in layings for _, width in laying.odds),
        min((d for d in distances if d is not None), default=0),
        sum(odd_start(odd, placed[p], layings[p]) for p in planes),
        sum(abs(change) for laying in layings for _, change in laying.changes),
    )
    hits = sorted(
        (one for p in planes for one in centres(roof, p, placed[p])), key=lambda one: one["number"]
    )
    return {
        "total": sum(cost.values()), "counts": named, "cost": cost,
        "order": order(roof, sum(cost.values()), counts, sums, layings, moves),
        "firsts": [ticks(on.first) for on in placed], "lasts": [ticks(on.last) for on in placed],
        "moves": [ticks(move) for move in moves], "states": states,
        "room": [half(how.room) for how in stands], "needed": [half(how.needed) for how in stands],
        "margin": [half(how.margin) for how in stands], "seams_cut": [how.cuts for how in stands],
        "worst_room": [half(how.worst_room) for how in stands],
        "worst_margin": [half(how.worst_margin) for how in stands],
        "landed": [how.landed for how in stands], "links": links, "centres": hits,
        "strays2": [strays(odd, link, placed[link.one], placed[link.two]) for link in base.links],
        "seams": [[ticks(seam.at) for seam in on.seams] for on in placed],
        "odds": [[(n, ticks(w)) for n, w in laying.odds] for laying in layings],
        "layings": list(layings),
    }  # fmt: skip
