"""Squaring against what stands outside the project.

Source of the method: Army carpentry course EN0069, Squaring Building Lines, read: a triangle of 3,
4 and 5 or any multiple of it is right-angled, and the larger it is the better. The rectangles are
Pythagorean triples (Euclid, Elements X 29, lemma 1), so their diagonals are whole; that a
parallelogram's diagonal follows from its sides and an angle is the law of cosines (Euclid II 12).
"""

from __future__ import annotations

import random
from decimal import Decimal, localcontext
from math import acos, cos, hypot, isqrt, pi, sin

import pytest

from solver.checker.judge import judge
from solver.field.parts import Triangle
from solver.field.sheet import field_sheets
from solver.field.squaring import root_to, top_off
from solver.layout import Layout
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units
from tests.unit.builders import inches, make_case, make_plane, mm

FOOT = 12 * TICKS_PER_INCH


def triangle(width: int, length: int, units: Units = "in") -> Triangle | None:
    mark = inches("1/16") if units == "in" else mm(1)
    case = make_case(planes=(make_plane(width=width, length=length),), units=units, mark=mark)
    first = min(inches(14), width)
    return field_sheets(case, judge(case, Layout((first,), ())), 1).planes[0].triangle


@pytest.mark.parametrize(
    ("feet", "n", "along", "up"),
    [
        ((4, 3), 1, 4, 3),
        ((3, 4), 1, 3, 4),
        ((8, 6), 2, 8, 6),       # EN0069: 6-8-10
        ((12, 9), 3, 12, 9),     # 9-12-15
        ((16, 12), 4, 16, 12),   # 12-16-20
        ((17, 100), 5, 15, 20),  # 5 x 3 along is 15; 5 x 4 would be 20, too long
        ((86, 31), 10, 40, 30),
        ((20, 20), 5, 20, 15),   # either way: the longer side along the eave
    ],
)
def test_the_largest_whole_multiple(feet: tuple[int, int], n: int, along: int, up: int) -> None:
    found = triangle(feet[0] * FOOT, feet[1] * FOOT)
    assert found is not None
    assert (found.n, found.along, found.up) == (n, along * FOOT, up * FOOT)
    assert (found.across, found.corner) == (5 * n * FOOT, 0)


def test_a_tick_short_is_a_multiple_less() -> None:
    assert triangle(8 * FOOT, 6 * FOOT - 1).n == 1  # type: ignore[union-attr]
    assert triangle(4 * FOOT - 1, 3 * FOOT) is None
    assert triangle(2 * FOOT, 100 * FOOT) is None


def test_half_metres_in_millimetres() -> None:
    """6 m by 5 m: 3 x 0.5 m of 4 and 3 are 6 and 4.5."""
    found = triangle(mm(6000), mm(5000), "mm")
    assert found is not None
    assert (found.n, found.along, found.up, found.across) == (3, mm(6000), mm(4500), mm(7500))


@pytest.mark.parametrize(
    "sides", [(5, 12, 13), (8, 15, 17), (7, 24, 25), (20, 21, 29), (9, 40, 41), (12, 35, 37)]
)
def test_diagonals_of_whole_triples(sides: tuple[int, int, int]) -> None:
    wide, long, across = sides
    square = (wide * FOOT) ** 2 + (long * FOOT) ** 2
    for fine in (1, TICKS_PER_INCH // 64, TICKS_PER_INCH // 16):
        assert root_to(square, fine) == across * FOOT


def test_diagonals_to_the_nearest_mark() -> None:
    """Against square roots to 60 digits (Python's decimal)."""
    dice = random.Random(1)
    for _ in range(500):
        square = dice.randrange(1, 10**14)
        fine = dice.choice((1, 254, 1016, 640, 64))
        with localcontext() as context:
            context.prec = 60
            exact = Decimal(square).sqrt() / fine
            assert abs(exact - root_to(square, fine) // fine) <= Decimal("0.5")
            assert root_to(square, fine) % fine == 0
    assert root_to(isqrt(10**30) ** 2, 1) == 10**15


def test_how_far_a_top_is_off() -> None:
    """A panel leaned by an angle: its diagonal by the law of cosines, and the lean found again."""
    dice = random.Random(2)
    for _ in range(300):
        wide, long = dice.randrange(8, 400), dice.randrange(40, 600)  # inches
        extra = dice.choice((0.125, 0.25))
        side = hypot(wide, long) + extra
        corner = acos((wide**2 + long**2 - side**2) / (2 * wide * long))  # between the two sides
        lean = long * sin(corner - pi / 2)
        assert hypot(wide + lean, long * cos(corner - pi / 2)) == pytest.approx(side)
        found = top_off(wide * TICKS_PER_INCH, long * TICKS_PER_INCH, int(extra * TICKS_PER_INCH),
                        1)
        assert found == pytest.approx(lean * TICKS_PER_INCH, abs=1.01)


def test_a_lean_of_3_4_5_by_hand() -> None:
    """w = 5, L = 13: the side leans by 5 to (5 + 5, 12), so the diagonal is sqrt(244) where it was
    sqrt(194); the other way round, t = (244 - 194) / (2 x 5) = 5."""
    wide, long = 5 * FOOT, 13 * FOOT
    extra = root_to(244 * FOOT**2, 1) - root_to(194 * FOOT**2, 1)
    assert top_off(wide, long, extra, TICKS_PER_INCH // 16) == 5 * FOOT


def test_what_no_lean_can_make_is_not_told() -> None:
    """A strip 1 mm wide and 100 mm long: its diagonal is 100.005 and never more than 101 mm."""
    assert top_off(TICKS_PER_MM, 100 * TICKS_PER_MM, 3 * TICKS_PER_MM, TICKS_PER_MM) is None
