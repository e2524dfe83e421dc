"""Freeing moves against brute force: every step of every pipe, solved again with the move made.

The brute force is the oracle's, which shares no code with the program: a pipe is put where the move
takes it, must be clear there, everything else is held, and all first widths are tried.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import oracle
from solver.api import case_from_document
from solver.clock import Clock
from solver.freeing import marginals
from solver.freeing.paying import Freeing, free_moves
from solver.freeing.steps import can_move
from strategies import random_case, random_case_stage2

NOT_CLEAR = frozenset({"tight", "crosses", "on-seam"})


def long_reach(seed: int) -> dict[str, Any]:
    """A random case in which pipes that can move reach far, and crossing costs less than a seam."""
    document = random_case(seed)
    inches = document["units"] == "in"
    document["moves"] = {"step": 1 if inches else 20, "min_offset": 0}
    rates = {"on_seam": 200, "crosses": 90, "tight": 30, "move_planned": 5, "move_stubbed": 10}
    document["rates"] = {name: {"hours": 0, "material": each} for name, each in rates.items()}
    for pen in document.get("penetration", []):
        for key in ("reach_low", "reach_high", "min_offset"):
            pen.pop(key, None)
        if pen.get("status") in ("planned", "stubbed"):
            pen["reach"] = 10 if inches else 200
    return document


MAKERS = (
    (long_reach, range(415_000, 415_060)),
    (random_case, range(410_000, 410_150)),
    (random_case_stage2, range(420_000, 420_100)),
)
DOCUMENTS = [(make, seed) for make, seeds in MAKERS for seed in seeds]


def put(pen: oracle.Pen, move: int) -> oracle.Pen:
    forbid = pen.forbid | NOT_CLEAR if move and pen.pipe else pen.forbid
    return replace(pen, x=pen.x + move, status="fixed", forbid=forbid)


def rate(case: oracle.Case, pen: oracle.Pen) -> int:
    return case.cents["move_" + pen.status] if pen.pipe and pen.status != "fixed" else 0


class Brute:
    """Totals as drawn and after any single move, agreed moves made."""

    def __init__(self, document: dict[str, Any]) -> None:
        self.case = oracle.read(document)
        self.agreed = {i: m for i, m in self.case.agreed_moves.items() if m}
        self.price = sum(rate(self.case, self.case.pens[i]) for i in self.agreed)

    def total(self, moves: dict[int, int]) -> int | None:
        every = {**self.agreed, **moves}
        pens = tuple(put(pen, every.get(i, 0)) for i, pen in enumerate(self.case.pens))
        held = replace(self.case, pens=pens, agreed_moves={})
        found = oracle.candidates(held, moving=False)
        if not found:
            return None
        return found[0][0][0] + self.price + sum(rate(self.case, self.case.pens[i]) for i in moves)

    def may(self, index: int, move: int) -> bool:
        case, pen = self.case, self.case.pens[index]
        if oracle.place_faults(case, pen, pen.x + move):
            return False
        return all(
            oracle.pair_ok(case, pen, move, other, self.agreed.get(i, 0))
            for i, other in enumerate(case.pens) if i != index and other.plane == pen.plane
        )

    def steps(self, index: int) -> list[int]:
        pen = self.case.pens[index]
        return [m for m in oracle.move_options(self.case, pen) if m and self.may(index, m)]


def freed(document: dict[str, Any], **options: bool) -> Freeing:
    return free_moves(case_from_document(document), Clock(), **options)


@pytest.mark.parametrize(("make", "seed"), DOCUMENTS)
def test_smallest_and_best_are_those_of_brute_force(make: Any, seed: int) -> None:
    document = make(seed)
    case = case_from_document(document)
    brute = Brute(document)
    freeing = freed(document)
    assert freeing.complete
    now = brute.total({})
    assert (None if freeing.drawn is None else freeing.drawn.cost.total) == now
    agreed = {name for name, _ in case.freeze.moves}
    movable = [i for i, p in enumerate(case.penetrations) if can_move(p) and p.id not in agreed]
    assert [one.pen for one in freeing.freed] == movable
    for one in freeing.freed:
        steps = brute.steps(one.pen)
        starts = all(oracle.legal_firsts(brute.case, plane) for plane in brute.case.planes)
        assert one.steps == (len(steps) if starts else 0)
        totals = {step: brute.total({one.pen: step}) for step in steps}
        paying = {
            step: total for step, total in totals.items()
            if total is not None and (now is None or total < now)
        }
        if not paying:
            assert one.smallest is None
            assert one.best is None
            continue
        assert one.smallest is not None
        assert one.best is not None
        smallest = min(paying, key=lambda step: (abs(step), paying[step], step))
        best = min(paying, key=lambda step: (paying[step], abs(step), step))
        for single, step in ((one.smallest, smallest), (one.best, best)):
            assert (2 * single.move, single.total) == (step, paying[step])
            assert single.saves == (None if now is None else now - paying[step])


def test_the_sample_says_something() -> None:
    """Pipes that pay, that do not, that pay in two ways, and cases with nothing as drawn."""
    every = [freed(make(seed)) for make, seed in DOCUMENTS]
    ones = [one for freeing in every for one in freeing.freed]
    paying = [one for one in ones if one.smallest is not None]
    assert len(paying) > 40
    assert len(ones) - len(paying) > 40
    assert sum(one.smallest != one.best for one in paying) > 5
    assert sum(freeing.drawn is None for freeing in every) > 5


@pytest.mark.parametrize(("make", "seed"), DOCUMENTS[::25])
def test_without_tables_of_the_rest_the_same(
    make: Any, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where links form too many rings for tables, every step is solved by itself."""
    tabled = freed(make(seed), fixed=True)
    monkeypatch.setattr(marginals, "_MOST_CELLS", 0)
    assert freed(make(seed), fixed=True) == tabled


@pytest.mark.parametrize("seed", range(430_000, 430_040))
def test_supposed_moves_are_those_of_brute_force(seed: int) -> None:
    """What cannot move: the same against brute force, nothing charged for the move."""
    document = random_case(seed)
    case = case_from_document(document)
    brute = Brute(document)
    now = brute.total({})
    for one in freed(document, fixed=True).freed:
        pen = case.penetrations[one.pen]
        if one.priced:
            continue
        reaches = [
            max(p.reach_low, p.reach_high) for p in case.penetrations
            if p.plane == pen.plane and can_move(p)
        ]
        reach = max(reaches, default=case.reach) or {"in": 12 * 16256, "mm": 300 * 640}[case.units]
        most = reach // case.step
        width = next(p.width for p in case.planes if p.id == pen.plane)
        steps = []
        for k in range(-most, most + 1):
            move = 2 * k * case.step
            if k and (brute.may(one.pen, move) if pen.kind == "pipe"
                      else curb_may(brute, one.pen, move, width)):
                steps.append(move)
        paying = {}
        for step in steps:
            total = brute.total({one.pen: step})
            if total is not None:
                total -= rate(brute.case, brute.case.pens[one.pen])  # nothing is charged
            if total is not None and (now is None or total < now):
                paying[step] = total
        if not paying:
            assert one.smallest is None
            continue
        assert one.smallest is not None
        assert one.best is not None
        smallest = min(paying, key=lambda step: (abs(step), paying[step], step))
        assert (2 * one.smallest.move, one.smallest.total) == (smallest, paying[smallest])
        assert one.best.total == min(paying.values())


def curb_may(brute: Brute, index: int, move: int, width: int) -> bool:
    """A curb keeps the edge gap by its side, touches keep-outs at most, keeps spacing."""
    case, pen = brute.case, brute.case.pens[index]
    x, half, up = pen.x + move, pen.across // 2, pen.along // 2
    edge = case.lengths["edge_gap"]
    if x - half < edge or 2 * width - x - half < edge:
        return False
    for keepout in case.planes[pen.plane].keepouts:
        apart_x = x + half <= keepout.lo or x - half >= keepout.hi
        apart_y = keepout.y_lo is not None and keepout.y_hi is not None and (
            pen.y + up <= keepout.y_lo or pen.y - up >= keepout.y_hi)
        if not (apart_x or apart_y):
            return False
    return all(
        oracle.pair_ok(case, pen, move, other, 0)
        for i, other in enumerate(case.pens) if i != index and other.plane == pen.plane
    )
