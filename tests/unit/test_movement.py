"""Movement at penetrations and ends, and its findings, by hand.

The plane is 200 in up the slope. With 12 millionths of steel, 100 K either way and 100 in from the
fixed point a panel moves 0.12 in either way, which is 1950.72 ticks: 1951, rounded up.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Literal

import pytest

from solver.case import Case, Penetration, Plane
from solver.case_parts import Movement
from solver.checker.judge import judge
from solver.field.heat import fixed_point, up_to_step
from solver.field.movement import Movements, PlaneMovement, movements
from solver.findings.of_case import case_findings
from solver.layout import Layout
from solver.result import Finding
from tests.unit.builders import (
    HIP,
    inches,
    make_case,
    make_curb,
    make_hole,
    make_outline,
    make_outlined,
    make_pipe,
    make_plane,
    make_sheet,
    mm,
)

MOVES = 1951
ROOF = make_outlined(HIP)
HOUSE = make_outline((0, 0, "eave"), (100, 0, "rake"), (100, 200, "ridge"), (0, 200, "rake"))
FIRST = inches(14)
Fixed = int | Literal["top", "bottom", "middle"]


def warm(case: Case, fixed: Fixed = "top", warmer: str = "100", colder: str = "100") -> Case:
    return replace(case, movement=Movement(Decimal(warmer), Decimal(colder), fixed, given=True))


def moved(case: Case, first: int = FIRST) -> Movements:
    judged = judge(case, Layout((first,), (0,) * len(case.penetrations)))
    found = movements(case, judged)
    assert found is not None
    return found


def plane_of(case: Case, first: int = FIRST) -> PlaneMovement:
    return moved(case, first).planes[0]


def lapped(case: Case, longest: int) -> Case:
    sheet = replace(make_sheet(), max_length=longest, eave_hook=0, ridge_up=0)
    return replace(case, sheet=sheet)


def told(case: Case, code: str) -> list[Finding]:
    return [finding for finding in case_findings(case) if finding.code == code]


# Where it is fixed


@pytest.mark.parametrize(
    ("fixed", "point"),
    [("top", 20), ("bottom", 8), ("middle", 14), (10, 10), (3, 8), (30, 20), (8, 8), (20, 20)],
)
def test_a_length_is_fixed_where_the_case_says_or_next_to_it(fixed: Fixed, point: int) -> None:
    assert fixed_point(fixed, Fraction(8), Fraction(20)) == point


def test_what_is_below_the_fixed_point_moves_down_when_it_gets_warmer() -> None:
    case = warm(make_case(make_pipe(inches(50))), warmer="100", colder="50")
    one = moved(case).at("V1")
    assert (one.travel.down, one.travel.up) == (MOVES, ceil(Fraction("975.36")))
    assert (one.at, one.fixed, one.free) == (inches(100), inches(200), inches(100))
    assert one.travel.total == ceil(Fraction("2926.08"))
    assert one.travel.most == MOVES


def test_what_is_above_the_fixed_point_moves_up_when_it_gets_warmer() -> None:
    case = warm(make_case(make_pipe(inches(50))), "bottom", warmer="100", colder="50")
    one = moved(case).at("V1")
    assert (one.travel.up, one.travel.down) == (MOVES, 976)


def test_nothing_moves_at_the_fixed_point() -> None:
    for fixed in ("middle", inches(100)):
        one = moved(warm(make_case(make_pipe(inches(50))), fixed)).at("V1")  # type: ignore[arg-type]
        assert (one.free, one.travel.total) == (0, 0)
        assert one.gap == up_to_step(mm(10), "in")


def test_a_curb_is_measured_at_its_wall_that_is_farther_off() -> None:
    curb = make_curb(inches(50), y=inches(100), along=inches(40))
    assert moved(warm(make_case(curb))).at("C1").at == inches(80)
    assert moved(warm(make_case(curb), "bottom")).at("C1").at == inches(120)
    assert moved(warm(make_case(curb), inches(99))).at("C1").at == inches(120)


def test_a_panel_under_a_curb_moves_as_if_it_ran_through() -> None:
    """The curb cuts panels 3 (32 to 50) and 4 through; the pipe stands below, in panel 3."""
    curb = make_curb(inches(50), y=inches(150), across=inches(40))
    pipe = make_pipe(inches(41), y=inches(50))
    case = warm(make_case(curb, pipe))
    assert moved(case).at("V1").free == inches(150)
    assert [run.length for run in plane_of(case).runs] == [inches(200)]


# Gaps and what a flashing allows


def test_gaps_follow_the_movement_beyond_10_mm() -> None:
    # 10 mm is 6400 ticks; 7/16 in is 7112. 400 in from the top: 4 x 1950.72 = 7802.88 ticks.
    plane = make_plane(length=inches(500))
    case = warm(make_case(make_pipe(inches(50)), planes=(plane,)), colder="50")
    one = moved(case).at("V1")
    assert one.travel.down == 7803
    assert one.gap_above == one.gap == inches("1/2")
    assert one.gap_below == inches("7/16")


def test_gaps_in_millimetres_are_whole_ones() -> None:
    assert up_to_step(mm(10), "mm") == mm(10)
    assert up_to_step(mm(10) + 1, "mm") == mm(11)
    assert up_to_step(inches("1/2"), "in") == inches("1/2")
    assert up_to_step(inches("1/2") + 1, "in") == inches("9/16")


@pytest.mark.parametrize(("allows", "enough"), [(MOVES - 1, False), (MOVES, True), (9999, True)])
def test_a_flashing_that_allows_less_than_the_movement_pins(allows: int, enough: bool) -> None:
    pipe = replace(make_pipe(inches(50)), allows=allows)
    case = warm(make_case(pipe))
    assert moved(case).at("V1").suffices is enough
    assert bool(told(case, "pinned")) is not enough
    colder = warm(make_case(pipe), warmer="1", colder="100")
    assert moved(colder).at("V1").suffices is enough
    assert bool(told(colder, "pinned")) is not enough


def test_nothing_is_said_of_flashings_that_say_nothing() -> None:
    case = warm(make_case(make_pipe(inches(50))))
    assert moved(case).at("V1").suffices is None
    assert told(case, "pinned") == []


def test_a_curb_that_pins_is_told_too() -> None:
    curb = replace(make_curb(inches(50), along=inches(40)), allows=inches("1/8"))
    found = told(warm(make_case(curb)), "pinned")  # 120 in: 0.144 in
    assert [finding.about for finding in found] == [("C1",)]
    assert 'allows 1/8" either way, and the panel moves 3/16" there' in found[0].says
    assert "10' 0\" of metal to where it is fixed, at the top; steel, 180 F degrees warmer" in (
        found[0].says
    )


# Lengths


def test_without_laps_all_panels_of_a_rectangle_are_one_run() -> None:
    plane = plane_of(warm(make_case()))
    assert len(plane.runs) == 1
    assert plane.longest.panels == (1, 2, 3, 4, 5, 6)
    assert (plane.longest.low, plane.longest.high) == (0, inches(200))


def test_lapped_panels_move_each_by_itself() -> None:
    """206 in of metal in two lengths of 103, lapped by 6: 0 to 103 and 97 to 200 in."""
    case = warm(lapped(make_case(make_pipe(inches(41), y=inches(50))), inches(110)))
    plane = plane_of(case)
    assert [(run.low, run.high) for run in plane.runs] == [
        (0, inches(103)), (inches(97), inches(200)),
    ]  # fmt: skip
    assert [run.fixed for run in plane.runs] == [inches(103), inches(200)]
    one = moved(case).at("V1")
    assert (one.fixed, one.free) == (inches(103), inches(53))
    assert plane.lower.down == ceil(Fraction("1950.72") * Fraction(103, 100))


def test_a_lapped_length_beyond_the_fixed_height_is_fixed_at_its_near_end() -> None:
    case = warm(lapped(make_case(), inches(110)), inches(150))
    assert [run.fixed for run in plane_of(case).runs] == [inches(103), inches(150)]


def test_what_stands_in_a_lap_takes_the_length_that_moves_more() -> None:
    case = warm(lapped(make_case(), inches(110)))
    pipe = make_pipe(inches(41), y=inches(100), base=inches(5))
    case = replace(case, penetrations=(pipe,))
    one = moved(case).at("V1")
    runs = plane_of(case).runs
    there = [run for run in runs if 3 in run.panels and run.low <= inches(100) <= run.high]
    assert one.free == max(abs(inches(100) - run.fixed) for run in there)


def test_panels_of_a_hip_are_as_long_as_their_longest_side() -> None:
    """Seams at 14, 32, 50, 68 and 86 in; the ridge runs from 40 to 60 in at 40 in."""
    case = warm(make_case(planes=(ROOF,)))
    runs = {panel: run for run in plane_of(case).runs for panel in run.panels}
    lengths = [run.length / inches(1) for _, run in sorted(runs.items())]
    assert lengths == [14, 32, 40, 40, 32, 14]
    assert plane_of(case).longest.panels == (3, 4)


def test_a_hole_ends_panels() -> None:
    plane = make_outlined(HOUSE, holes=(make_hole((30, 50), (52, 50), (52, 90), (30, 90)),))
    pipe = make_pipe(inches(41), y=inches(20))
    one = moved(warm(make_case(pipe, planes=(plane,)))).at("V1")
    assert (one.fixed, one.free) == (inches(50), inches(30))


# The case alone


def test_the_case_alone_never_tells_less_than_the_layout() -> None:
    for fixed in ("top", "bottom", "middle", inches(20)):
        for x, y in ((30, 10), (50, 35), (70, 25), (85, 5)):
            pipe = replace(make_pipe(inches(x), y=inches(y)), allows=0)
            case = warm(make_case(pipe, planes=(ROOF,)), fixed)  # type: ignore[arg-type]
            for first in range(6, 19):
                one = moved(case, inches(first)).at("V1")
                assert one.travel.most == 0 or told(case, "pinned")
                barely = replace(case, penetrations=(replace(pipe, allows=one.travel.most - 1),))
                assert one.travel.most == 0 or told(barely, "pinned"), (fixed, x, y, first)


@pytest.mark.parametrize("fixed", ["top", "bottom", "middle", inches(120)])
@pytest.mark.parametrize("longest", [50, 70, 110, 190])
def test_the_case_alone_never_tells_less_than_lapped_panels(fixed: Fixed, longest: int) -> None:
    for y in (5, 60, 100, 150, 199):
        for curbs in ((), (make_curb(inches(41), y=inches(120), across=inches(30)),)):
            pens = (replace(make_pipe(inches(41), y=inches(y)), allows=0), *curbs)
            case = warm(lapped(make_case(*pens), inches(longest)), fixed)
            most = moved(case).at("V1").travel.most
            barely = replace(pens[0], allows=max(most - 1, 0))
            case = replace(case, penetrations=(barely, *curbs))
            assert not most or told(case, "pinned"), (y, len(curbs))


def test_the_case_alone_says_up_to_where_it_depends_on_the_layout() -> None:
    pipe = replace(make_pipe(inches(50), y=inches(10)), allows=0)
    assert "moves up to" in told(warm(make_case(pipe, planes=(ROOF,))), "pinned")[0].says
    plain = replace(make_pipe(inches(50)), allows=0)
    assert "up to" not in told(warm(make_case(plain)), "pinned")[0].says
    case = warm(lapped(make_case(plain), inches(60)))
    assert 'up to 1/8"' in told(case, "pinned")[0].says  # 60 in: 0.072 in


def test_travel_of_the_ends_is_told_of_each_plane() -> None:
    found = told(warm(make_case(), "middle"), "clip-travel")  # 100 in over 200 K: 0.24 in
    assert [(finding.severity, finding.about) for finding in found] == [("note", ("S",))]
    assert 'travel 1/4" at their lower ends and 1/4" at their upper ends' in found[0].says
    top = told(warm(make_case()), "clip-travel")[0].says
    assert 'travel 1/2" at their lower ends from' in top
    assert "pipes and curbs must never pin a panel" in top


def test_without_movement_nothing_is_told() -> None:
    case = make_case(replace(make_pipe(inches(50)), allows=0))
    assert told(case, "pinned") == told(case, "clip-travel") == []


def test_planes_laid_from_the_right_or_a_line_keep_their_numbers() -> None:
    right: Plane = make_plane(lay="right-to-left")
    assert plane_of(warm(make_case(planes=(right,)))).longest.panels == (6, 5, 4, 3, 2, 1)


def test_every_penetration_of_every_plane_is_there_in_case_order() -> None:
    pens: list[Penetration] = [make_pipe(inches(60), "B"), make_pipe(inches(30), "A")]
    assert [one.id for one in plane_of(warm(make_case(*pens))).penetrations] == ["B", "A"]
