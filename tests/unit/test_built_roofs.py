"""What hangs together on roofs of several planes: late pipes beside hips, edges that planes share,
draws and start windows with curbs as they are built. Each figure by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import sqrt

import pytest

from solver.api import case_from_document
from solver.case import Case
from solver.case_parts import Apart
from solver.checker.judge import judge
from solver.conflicts.sums import need_of
from solver.layout import Layout
from solver.placing.stretches import Wanted, place
from solver.ranks.windows import start_windows
from solver.risk.chance import layout_chances
from solver.shape.edges import ends_at
from solver.takeoff.edges import edge_runs
from solver.takeoff.quantities import rest_quantities
from tests.unit.builders import (
    HIP,
    USUAL_RATES,
    inches,
    make_case,
    make_curb,
    make_hole,
    make_link,
    make_outline,
    make_outlined,
    make_pipe,
    make_plane,
)

FT = inches(12)


def laid(case: Case, *firsts: int) -> Layout:
    return Layout(tuple(inches(first) for first in firsts), (0,) * len(case.penetrations))


# --- a late pipe beside a hip ---

def wanted(near: int | str, y: int) -> Wanted:
    return Wanted("S", inches(near), inches(4), inches(8), inches(y))


def test_a_late_pipe_keeps_off_the_hips_at_its_own_height() -> None:
    """At 20 in up the roof runs from 20 in to 80 in. An edge gap of 12 in keeps centres of a 4 in
    pipe from 34 in to 66 in; the seams at 32, 50, 68 keep them 5 in off (8/2 + 1/2 + 1/2)."""
    case = make_case(planes=(make_outlined(HIP),))
    found = place(case, laid(case, 14), wanted(41, 20), 5)
    assert not found.broken
    assert [(one.low, one.high) for one in found.stretches] == [
        (inches(37), inches(45)), (inches(55), inches(63))]
    low = place(case, laid(case, 14), wanted(59, 30), 5)  # 30 up: 30 to 70, centres 44 to 56
    assert [breach.code for breach in low.broken] == ["near-edge"]
    assert [(one.low, one.high) for one in low.stretches] == [  # nearest first
        (inches(55), inches(56)), (inches(44), inches(45))]


def test_a_late_pipe_keeps_off_other_pipes_on_an_outline() -> None:
    """V1 at 41 in, 20 in up; 12 in between bodies of 4 in is 16 in: centres from 57 in on."""
    plane = make_outlined(HIP)
    pipe = make_pipe(inches(41), y=inches(20))
    case = make_case(
        replace(pipe, ends=ends_at(plane, pipe.x, pipe.y)), planes=(plane,))
    found = place(case, laid(case, 14), wanted(55, 20), 5)
    assert [breach.code for breach in found.broken] == ["near-pair"]
    assert [(one.low, one.high) for one in found.stretches] == [(inches(57), inches(63))]


def test_a_late_pipe_on_either_side_of_a_dormer() -> None:
    """A hole from 45 in to 55 in leaves 20 to 45 and 55 to 80 at 20 in up: with 12 in and half a
    pipe at either end, 34 to 31 is nothing."""
    hole = make_hole((45, 15), (55, 15), (55, 25), (45, 25))
    case = make_case(planes=(make_outlined(HIP, holes=(hole,)),))
    none = place(case, laid(case, 14), wanted(41, 20), 5)
    assert not none.stretches
    assert [breach.code for breach in none.broken] == ["near-edge", "not-clear"]
    slack = replace(case, rules=replace(case.rules, edge_gap=0, end_lap=0))
    free = place(slack, laid(slack, 14), wanted(37, 20), 5)
    assert not free.broken and free.stretches[0].low == inches(37)


# --- edges that two planes share ---

def hip_house() -> Case:
    """100 ft by 80 ft, 12:12 in the flat of this test: hips rise a foot for each along the eave."""
    long = make_outline((0, 0, "eave"), (1200, 0, "hip"), (720, 480, "ridge"), (480, 480, "hip"))
    short = make_outline((0, 0, "eave"), (960, 0, "hip"), (480, 480, "hip"))
    planes = tuple(
        make_outlined(shape, name)
        for name, shape in (("S", long), ("E", short), ("N", long), ("W", short))
    )
    links = tuple(
        replace(make_link(one, other), along=along)
        for one, other, along in (
            ("S", "E", "hip"), ("E", "N", "hip"), ("N", "W", "hip"), ("W", "S", "hip"),
            ("S", "N", "ridge"),
        )
    )
    return make_case(planes=planes, links=links)


def test_what_links_say_is_shared_is_counted_once() -> None:
    runs = edge_runs(hip_house())
    hip = sqrt(2) * 480 * inches(1)
    assert runs["hip"].once == pytest.approx(4 * hip)
    assert runs["hip"].sides == pytest.approx(8 * hip)
    assert (runs["ridge"].once, runs["ridge"].sides) == (20 * FT, 40 * FT)
    assert runs["eave"].once == runs["eave"].sides == 360 * FT


def test_without_links_every_plane_has_its_own() -> None:
    runs = edge_runs(replace(hip_house(), links=()))
    assert all(run.once == run.sides for run in runs.values())
    two = replace(hip_house(), links=hip_house().links[:1])
    assert edge_runs(two)["hip"].once == pytest.approx(7 * sqrt(2) * 480 * inches(1))


def test_what_cannot_meet_is_shared_all_the_same() -> None:
    case = hip_house()
    apart = replace(case, links=case.links[1:], apart=(Apart(("S", "E"), "hip", "so it is"),))
    assert edge_runs(apart) == edge_runs(case)


def test_the_slopes_of_a_gable_roof_share_one_ridge() -> None:
    planes = (make_plane("S", width=10 * FT), make_plane("N", width=10 * FT))
    case = make_case(planes=planes, links=(make_link(),))
    assert (edge_runs(case)["ridge"].once, edge_runs(case)["ridge"].sides) == (10 * FT, 20 * FT)
    found = {item.words: count for item, count in rest_quantities(
        case, judge(case, laid(case, 12, 12))).items()}
    assert found["Ridge, along the slope"] == Decimal(10)
    assert found["Closures, eave, ridge, hip"] == Decimal(40)  # both eaves, both sides of the ridge
    for link in (make_link(offset=inches(6)), make_link(mirror=False)):
        assert edge_runs(replace(case, links=(link,)))["ridge"].once == 20 * FT


# --- curbs as they are built ---

def with_curb(x: int | str, detail: str, *, across: int = 36, must: bool = False) -> Case:
    built = {"detail": detail, "must_land": must}
    curb = replace(make_curb(inches(x), across=inches(across)), **built)  # type: ignore[arg-type]
    case = make_case(curb, rates=USUAL_RATES)
    return replace(case, rules=replace(case.rules, land_tol=inches("1/8")))


@pytest.mark.parametrize("x, detail", [
    (50, "ribbed"), ("50 1/8", "ribbed"), ("50 1/4", "ribbed"), (45, "ribbed"), (44, "close"),
    (50, "close"), (50, "flange"), (45, "flange"),
])
def test_draws_without_any_error_cost_what_is_planned(x: int | str, detail: str) -> None:
    """Seams at 14, 32, 50, 68, 86: a ribbed curb of 36 in at 50 in lands on 32 and 68."""
    case = with_curb(x, detail)
    judged = judge(case, laid(case, 14))
    (found,) = layout_chances(case, [judged], 20, 1)
    assert found.spread.mean == judged.cost.total
    assert found.penetrations[0].stays == 20


def test_draws_that_miss_a_wall_are_charged_for_it() -> None:
    """Off by up to 1/2 in, it lands within 1/8 in in a quarter of the draws; else both walls miss,
    and a seam beside one of them is cut or too near, which costs no less."""
    case = with_curb(50, "ribbed")
    curb = replace(case.penetrations[0], x_tol=inches("1/2"))
    loose = replace(case, penetrations=(curb,))
    judged = judge(loose, laid(loose, 14))
    (found,) = layout_chances(loose, [judged], 4000, 1)
    cents = loose.rates.cents
    missed = 2 * cents("unlanded")
    assert found.spread.p10 == judged.cost.total
    assert found.spread.p50 >= judged.cost.total + missed
    landed = 0.25
    assert found.spread.mean >= judged.cost.total + (1 - landed - 0.03) * missed


def test_a_pipe_beside_a_hip_has_the_room_that_is_there_in_the_draws_too() -> None:
    """At 30 in up the roof begins at 30 in: a pipe at 35 in has 5 in less the end lap of 4 in."""
    plane = make_outlined(HIP)
    pipe = make_pipe(inches(41), y=inches(38))
    case = make_case(replace(pipe, ends=ends_at(plane, pipe.x, pipe.y)), planes=(plane,),
                     rates=USUAL_RATES)
    judged = judge(case, laid(case, 14))
    assert judged.penetrations[0].state != "clear"
    (found,) = layout_chances(case, [judged], 10, 1)
    assert found.spread.mean == judged.cost.total
    assert found.penetrations[0].planned == judged.penetrations[0].state


def test_a_start_window_ends_where_seams_leave_the_walls() -> None:
    """Landed at 14 in exactly: an eighth either way, in marks of a sixteenth, and no farther."""
    case = with_curb(50, "ribbed")
    assert start_windows(case, laid(case, 14)) == ((inches("13 7/8"), inches("14 1/8")),)
    wide = start_windows(with_curb(50, "close"), laid(case, 14))
    assert wide[0][1] - wide[0][0] > inches(1)


def test_how_near_the_seams_of_a_built_curb_may_be() -> None:
    side = 2 * inches("1/2")
    across = 2 * inches(36) // 2
    assert need_of(with_curb(50, "flange"), with_curb(50, "flange").penetrations[0]).before2 > (
        across + side)
    close = with_curb(50, "close")
    assert need_of(close, close.penetrations[0]).before2 == across + side
    ribbed = with_curb(50, "ribbed", across=18)
    need = need_of(ribbed, ribbed.penetrations[0])
    assert need.before2 + need.after2 < 2 * ribbed.panel.cover  # seams land on both walls of a pan


# --- which of several valleys a link means ---

def test_a_link_along_a_valley_is_not_taken_for_the_dormers() -> None:
    """A porch of another pitch: its valley, 40 in long, runs 24 in along the eave of N and 32 in
    along its own; the dormer's, which leans the same way, is 42.4 in long."""
    main = {
        "id": "N", "outline": [
            {"x": 0, "y": 0}, {"x": 40, "y": 0}, {"x": 64, "y": 32}, {"x": 88, "y": 0},
            {"x": 300, "y": 0}, {"x": 300, "y": 120}, {"x": 0, "y": 120}],
        "hole": [{"what": "dormer", "outline": [
            {"x": 150, "y": 30, "edge": "wall"}, {"x": 150, "y": 60, "edge": "valley"},
            {"x": 180, "y": 90, "edge": "valley"}, {"x": 210, "y": 60, "edge": "wall"},
            {"x": 210, "y": 30, "edge": "wall"}]}],
    }
    porch = {"id": "P", "outline": [
        {"x": 0, "y": 24}, {"x": 32, "y": 0}, {"x": 80, "y": 0}, {"x": 80, "y": 24}]}
    case = case_from_document({
        "title": "Porch", "units": "in", "panel": {"cover": 18}, "plane": [main, porch],
        "link": [{"planes": ["N", "P"], "how": "mirror", "along": "valley"}],
    })
    (apart,) = case.apart
    assert 'runs 24" along the eave of N and 32" along that of P' in apart.says
