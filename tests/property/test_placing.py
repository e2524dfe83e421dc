"""Where a late pipe is clear, against brute force over every mark by the oracle's exact rules."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

import oracle
from solver.api import case_from_document
from solver.case import Case
from solver.layout import Layout
from solver.placing.stretches import Placed, Wanted, laid_layout, place, settings
from solver.tabling.starts import legal_firsts
from strategies import random_case, random_case_stage2

SEEDS = range(450_000, 450_070)


def a_layout(case: Case, dice: random.Random) -> Layout:
    """Some first width on every plane, legal where there is one, and some moves, legal or not."""
    firsts = []
    for plane in case.planes:
        legal = [int(first) for first in legal_firsts(case, plane)]
        one = min(case.panel.cover, plane.width)
        firsts.append(dice.choice(legal) if legal else one)
    moves = []
    for pen in case.penetrations:
        width = next(plane.width for plane in case.planes if plane.id == pen.plane)
        step = case.step * dice.choice((-1, 0, 0, 0, 1, 2))
        moves.append(step if pen.kind == "pipe" and 0 <= pen.x + step <= width else 0)
    return Layout(tuple(firsts), tuple(moves))


def wanted_of(case: Case, dice: random.Random, *, y: bool) -> Wanted:
    plane = dice.choice(case.planes)
    unit = case.step
    outside = dice.choice((1, 2, 3)) * unit
    near = min(dice.randrange(plane.width // case.mark + 1) * case.mark, plane.width)
    up = dice.randrange(plane.length + 1) if y else None
    return Wanted(plane.id, near, outside, outside + dice.choice((0, 1, 2)) * unit, up,
                  dice.choice((0, case.mark)))


class Brute:
    """Whether the new pipe is clear at an x, by the oracle; all at one y where it has none."""

    def __init__(self, document: dict[str, Any], layout: Layout, wanted: Wanted) -> None:
        case = replace(oracle.read(document), agreed_moves={}, agreed_firsts={})
        self.plane = [plane.id for plane in case.planes].index(wanted.plane)
        planes = case.planes
        pens = tuple(
            replace(pen, x=pen.x + 2 * move)
            for pen, move in zip(case.pens, layout.moves, strict=True)
        )
        if wanted.y is None:
            pens = tuple(replace(pen, y=0) for pen in pens)
            planes = tuple(
                replace(plane, keepouts=tuple(
                    replace(k, y_lo=None, y_hi=None) for k in plane.keepouts))
                for plane in planes
            )
        self.case = replace(case, planes=planes, pens=pens)
        self.first = 2 * layout.firsts[self.plane]
        self.pipe = oracle.Pen(
            "new", self.plane, True, 0, 2 * (wanted.y or 0), 2 * wanted.outside, 2 * wanted.base, 0,
            0, "planned", 0, 0, 0, frozenset(), 2 * wanted.x_tol, None, None,
        )

    def clear(self, x: int) -> bool:
        case, pipe, x = self.case, self.pipe, 2 * x
        if oracle.stand(case, pipe, self.first, x).state != "clear":
            return False
        if oracle.place_faults(case, pipe, x):
            return False
        least = case.lengths["spacing"] + pipe.outside // 2
        return all(
            oracle.apart_squared(case, pipe, x, pen, pen.x) >= (least + pen.outside // 2) ** 2
            for pen in case.pens if pen.plane == self.plane
        )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("make", (random_case, random_case_stage2))
@pytest.mark.parametrize("y", (True, False))
def test_every_mark(make: Any, seed: int, y: bool) -> None:
    document = make(seed)
    case, dice = case_from_document(document), random.Random(seed)
    layout, wanted = a_layout(case, dice), wanted_of(case, dice, y=y)
    brute = Brute(document, layout, wanted)
    placed = place(case, layout, wanted, 1_000_000)
    assert (not placed.broken) == brute.clear(wanted.near)
    spans = sorted((s.low, s.high) for s in placed.stretches)
    width = next(plane.width for plane in case.planes if plane.id == wanted.plane)
    mark = min(case.mark, case.step)
    for x in range(0, width + 1, mark):
        inside = any(low <= x <= high for low, high in spans)
        if x % case.mark == 0 or inside:  # a stretch without a mark in it is not offered
            assert inside == brute.clear(x), x
    for low, high in spans:
        assert brute.clear(low)
        assert brute.clear(high)
        assert low == 0 or not brute.clear(low - 1)
        assert high == width or not brute.clear(high + 1)
    check_spots(case, wanted, placed, brute)


def check_spots(case: Case, wanted: Wanted, placed: Placed, brute: Brute) -> None:
    """Nearest and roomiest of every stretch, by looking at each place a pipe is set to."""
    away = []
    for stretch in placed.stretches:
        apart = max(stretch.low - wanted.near, wanted.near - stretch.high, 0)
        away.append(apart)
        found = settings(case, stretch.low, stretch.high)
        places = [] if found is None else list(range(found[0], found[1] + 1, found[2]))
        assert all(stretch.low <= x <= stretch.high and x % case.mark == 0 for x in places)
        if apart == 0:
            assert stretch.nearest.x == wanted.near
        else:
            assert abs(stretch.nearest.x - wanted.near) == min(abs(x - wanted.near) for x in places)
        assert stretch.nearest.away == stretch.nearest.x - wanted.near
        rooms = {
            x: oracle.stand(brute.case, brute.pipe, brute.first, 2 * x).ruling_margin
            for x in {*places, stretch.nearest.x}
        }
        assert rooms[stretch.roomiest.x] == max(rooms.values())
    assert away == sorted(away)
    assert all(s.low <= wanted.near <= s.high for s in placed.stretches[:1]) or placed.broken


def test_the_sample_says_something() -> None:
    clear = broken = none = 0
    for seed in SEEDS:
        case, dice = case_from_document(random_case(seed)), random.Random(seed)
        layout, wanted = a_layout(case, dice), wanted_of(case, dice, y=True)
        placed = place(case, layout, wanted, 2)
        clear += not placed.broken
        broken += bool(placed.broken)
        none += not placed.stretches
    assert min(clear, broken, none) > 4


def test_laid_seams_make_agreed_moves_and_no_others() -> None:
    for seed in range(460_000, 460_040):
        case = case_from_document(random_case_stage2(seed))
        layout = laid_layout(case, {case.planes[0].id: 12345})
        assert layout.firsts[0] == 12345
        agreed = dict(case.freeze.moves)
        assert layout.moves == tuple(agreed.get(pen.id, 0) for pen in case.penetrations)
