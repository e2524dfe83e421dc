"""The oracle for outlines against figures worked out by hand: pieces and ends.

Lengths in inches, the cover 18 in. Nothing of the program is asked but the shapes of its data.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import floor
from typing import Any

import pytest

import oracle
import oracle_outline
from oracle_odd_laying import Laying
from oracle_outline_case import ends_at, legal_layings, outline_faults, parts, read, shape_of
from oracle_outline_pieces import Shape, turn
from solver.case import Case
from solver.case_parts import Hole
from strategies_outline import random_roof
from unit.builders import inches, make_pipe
from unit.hand_roofs import BOX, HIPS, plane, ring, roof


def measured(case: Case, low: int | str, high: int | str, number: int = 0) -> list[tuple[Any, ...]]:
    """Width and length (inches) of what a panel covers, from the eave up."""
    found = parts(read(case), number, 2 * inches(low), 2 * inches(high))
    return [(p.width / oracle.IN, p.length / oracle.IN) for p in found]


def broken(case: Case, first: int) -> list[str]:
    return sorted(outline_faults(read(case), 0, Laying(2 * inches(first))))


# ---------------------------------------------------------------------------- pieces


def test_a_hip_rises_two_for_one() -> None:
    """At x the left hip is 2x high: panel 0–10 is a triangle 20 high, 10–28 ends at the ridge."""
    case = roof(plane(HIPS))
    assert measured(case, 0, 10) == [(10, 20)]
    assert measured(case, 10, 28) == [(18, 40)]
    assert measured(case, 96, 100) == [(4, 8)]


def test_hips_need_no_end_of_six_inches_but_a_piece_of_two_by_four() -> None:
    # 1: panel 1 in wide and 2 in high; last 100 - 1 - 5*18 = 9. 2: 2 by 4, last 8. 8: last 2 by 4.
    # 9: last 1 in wide, 2 high. 10: last 18.
    case = roof(plane(HIPS))
    assert broken(case, 1) == ["piece-narrow", "piece-short"]
    assert [broken(case, first) for first in (2, 8)] == [[], []]
    assert broken(case, 9) == ["piece-narrow", "piece-short"]
    firsts = [laying.first // oracle.IN for laying in legal_layings(read(case), 0)]
    assert firsts == [2, 3, 4, 5, 6, 7, 8, *range(10, 19)]


def test_rakes_need_the_end() -> None:
    # 100 = first + 5*18 + last for firsts below 10, so first + last = 10 < 12; from 10 on one
    # seam less: first + last = 28, ends of 6 from 10 to 18.
    firsts = [lay.first // oracle.IN for lay in legal_layings(read(roof(plane(BOX))), 0)]
    assert firsts == list(range(10, 19))


def test_a_rake_in_the_middle_asks_of_the_piece_beside_it() -> None:
    """Two arms to the right of x = 30, the lower one with a rake at 60, the upper one to 100.

    The rake is in panel 58–76 for a first width of 4, in 54–72 for 18, in 50–68 for 14, where the
    piece of the lower arm is 2, 6 and 10 wide.
    """
    arms = ring("0,0 60,0 60,15 30,15 30,25 100,25 100,40 0,40",
                "eave rake ridge hip eave hip ridge hip")  # fmt: skip
    case = roof(plane(arms))
    assert measured(case, 58, 76) == [(2, 15), (18, 15)]
    assert [broken(case, first) for first in (4, 18, 14)] == [["end-rule"], [], []]
    assert broken(replace(case, rules=replace(case.rules, min_end=inches(7))), 18) == ["end-rule"]
    # A step in the eave binds nothing: what is beside its rake hangs together with what is above.
    step = ring("0,0 40,0 40,20 100,20 100,40 0,40", "eave rake eave hip ridge hip")
    assert measured(roof(plane(step)), 39, 57) == [(18, 40)]
    assert broken(roof(plane(step)), 3) == []


def test_a_tower_with_upright_sides() -> None:
    """A tower over 40–50 of 100 by 20; its sides are rakes. Seams at 4 22 40 58: it stands in the
    panel 40–58 and hangs together with what is below: 18 wide, 40 long."""
    tower = ring("0,0 100,0 100,20 50,20 50,40 40,40 40,20 0,20",
                 "eave hip ridge rake ridge rake ridge hip")  # fmt: skip
    assert measured(roof(plane(tower)), 40, 58) == [(18, 40)]
    assert broken(roof(plane(tower)), 4) == []


def test_a_bite_leaves_two_pieces_that_touch_in_a_point() -> None:
    """A bite out of the left rake, its point at (20, 20): panel 0–20 is two pieces 20 wide. Where
    the seam is at 20 they touch in the point; at 19 and 21 the same but for the joint beyond."""
    bite = ring("0,0 100,0 100,40 0,40 0,30 20,20 0,10", "eave hip ridge hip valley hip hip")
    case = roof(plane(bite))
    assert measured(case, 0, 20) == [(20, 20), (20, 20)]
    assert measured(case, 0, 21) == [(21, 40)]
    assert measured(case, 10, 20) == [(10, 20), (10, 20)]
    assert measured(case, 20, 38) == [(18, 40)]


def test_a_dormer_cuts_a_panel_in_two() -> None:
    """A hole 30–60 by 10–30: panel 40–58 is left in two pieces of 10; 22–40 hangs together round
    the corner; a hole within a panel leaves one piece."""
    dormer = ring("30,10 60,10 60,30 30,30", "wall wall wall wall")
    case = roof(plane(BOX, dormer))
    assert measured(case, 40, 58) == [(18, 10), (18, 10)]
    assert measured(case, 22, 40) == [(18, 40)]
    assert measured(case, 58, 76) == [(18, 40)]
    assert measured(case, 29, 61) == [(32, 40)]
    assert broken(replace(case, rules=replace(case.rules, min_length=inches(11))), 4) == [
        "end-rule", "piece-short"
    ]  # fmt: skip


def test_narrow_strips_beside_a_needle() -> None:
    needle = ring("0,0 100,0 100,1/2", "eave rake ridge")
    case = roof(plane(needle), min_length=0)
    assert measured(case, 0, 50) == [(50, Fraction(1, 4))]
    assert broken(case, 10) == []


def test_triangles_cover_an_outline_once() -> None:
    """Areas by the shoelace formula (closed form, textbook); every triangle turns left."""
    for seed in range(60):
        for given in random_roof(seed).planes:
            if given.outline is None:
                continue
            shape: Shape = shape_of(given.outline, given.holes)
            assert all(turn(*t) > 0 for t in shape.triangles)
            wanted = 0
            holes = [hole.outline.points for hole in given.holes]
            for number, points in enumerate([given.outline.points, *holes]):
                around = zip(points, [*points[1:], points[0]], strict=True)
                area = sum(a[0] * b[1] - a[1] * b[0] for a, b in around)
                wanted += 4 * area if number == 0 else -4 * area
            assert sum(turn(*t) for t in shape.triangles) == wanted


@pytest.mark.parametrize("panels", [1, 3, 7])
def test_extents_by_walking_along_x(panels: int) -> None:
    """Another way to the length of a strip: the heights of all edges at its sides and corners."""
    for seed in range(30):
        for given in random_roof(seed).planes:
            if given.outline is None:
                continue
            shape = shape_of(given.outline, given.holes)
            low, high = (2 * (given.width * k // panels) for k in (panels - 1, panels))
            if low == high:
                continue
            ys: list[Fraction] = []
            for edge in shape.edges:
                (ax, ay), (bx, by) = sorted((edge.start, edge.end))
                start, end = max(ax, low), min(bx, high)
                if edge.hole:
                    continue
                if start < end:
                    slope = Fraction(by - ay, bx - ax)
                    ys += [ay + slope * (start - ax), ay + slope * (end - ax)]
                elif ax == bx and low < ax < high:
                    ys += [Fraction(ay), Fraction(by)]
            found = shape.parts(low, high)
            assert min(p.y_low for p in found) == min(ys)
            assert max(p.y_high for p in found) == max(ys)


# ---------------------------------------------------------------------------- where it ends


def test_ends_beside_a_penetration() -> None:
    shape = shape_of(HIPS)
    assert ends_at(shape, 2 * inches(50), 2 * inches(10)) == (2 * inches(5), 2 * inches(95))
    assert ends_at(shape, 2 * inches(50), 0) == (0, 2 * inches(100))
    assert ends_at(shape, 2 * inches(50), 2 * inches(40)) == (2 * inches(20), 2 * inches(80))
    assert ends_at(shape, 2 * inches(1), 2 * inches(10)) is None
    # a tick above the eave the hips are half a tick in: a whole tick on either side
    assert ends_at(shape, 2 * inches(50), 2) == (2, 2 * inches(100) - 2)


def test_ends_at_holes_and_their_rims() -> None:
    dormer = Hole("dormer", ring("30,10 60,10 60,30 30,30", "wall wall wall wall"))
    shape = shape_of(BOX, (dormer,))
    at = [ends_at(shape, 2 * inches(x), 2 * inches(20)) for x in (10, 30, 45, 60, 90)]
    low, high = (0, 2 * inches(30)), (2 * inches(60), 2 * inches(100))
    assert at == [low, low, None, high, high]
    whole = (0, 2 * inches(100))  # along the rim of a hole the roof goes on
    assert ends_at(shape, 2 * inches(45), 2 * inches(10)) == whole
    assert ends_at(shape, 2 * inches(45), 2 * inches(30)) == whole


def test_a_pipe_beside_a_hip_has_its_room_to_the_hip() -> None:
    """At y = 10 the roof ends at 5; a pipe at 15, end lap 4: 15 - 5 - 4 = 6 in. Seams at 28 …"""
    pipe = make_pipe(inches(15), y=inches(10))
    told = oracle_outline.check(roof(plane(HIPS), pens=(pipe,)), [inches(10)], [0])
    # seam at 10: 15 - 10 - 1/2 = 4 1/2 is less; with a first width of 8 the seams are at 8 and 26
    assert told["room"] == [inches("4 1/2")]
    told = oracle_outline.check(roof(plane(HIPS), pens=(pipe,)), [inches(6)], [0])
    assert told["room"] == [inches(6)]  # seams at 6 and 24: 8 1/2 both


def test_moves_keep_the_edge_gap_from_the_hip() -> None:
    """A pipe of 4 in at y = 10 keeps 12 + 2 from 5: at 19 at least."""
    pipe = make_pipe(inches(22), y=inches(10), status="planned")
    case = roof(plane(HIPS), pens=(pipe,))
    for move, wrong in ((-3, False), ("-7/2", True)):
        size = -inches(str(move).strip("-"))
        told = oracle_outline.check(case, [inches(10)], [size])
        assert (("edge-gap", ("V1",)) in told["breaks"]) == wrong, move


def test_reversed_holes_keep_their_kinds() -> None:
    mixed = ring("30,10 60,10 60,30 30,30", "wall rake hip valley")
    shape = shape_of(BOX, (Hole("dormer", mixed),))
    got = {(e.kind, frozenset((e.start, e.end))) for e in shape.edges if e.hole}
    points = [(2 * x, 2 * y) for x, y in mixed.points]
    wanted = zip(mixed.kinds, points, [*points[1:], points[0]], strict=True)
    assert got == {(kind, frozenset((a, b))) for kind, a, b in wanted}
    assert floor(sum(turn(*t) for t in shape.triangles) / oracle.IN**2) == 2 * (4000 - 600)
