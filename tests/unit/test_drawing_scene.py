"""Where everything on a plane stands, against hand arithmetic on round figures."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from builders import (
    inches,
    look,
    make_case,
    make_curb,
    make_hole,
    make_outline,
    make_outlined,
    make_pipe,
    mm,
)
from drawing_cases import ALL, Drawn, from_line, hip, metric, odd, small
from hypothesis import given
from hypothesis import strategies as st

from solver.case_parts import Pitch
from solver.drawing.parts import Scene
from solver.drawing.scene import plan_length, scenes


def scene(drawn: Drawn) -> Scene:
    return scenes(*drawn, 1)[0]


def test_seams_run_from_eave_to_ridge_and_stop_at_the_curb_that_cuts_them() -> None:
    seams = scene(small()).seams
    assert [seam.x for seam in seams] == [inches(x) for x in (14, 32, 50, 68, 86)]
    assert [seam.number for seam in seams] == [1, 2, 3, 4, 5]
    assert all(seam.parts == ((0, inches(200)),) for seam in seams[:4])
    # the curb is 30 in long around 50 in
    assert seams[4].parts == ((0, inches(35)), (inches(65), inches(200)))


def test_seams_of_a_hip_end_at_its_hips() -> None:
    """Hips at 45 degrees: a seam is as long as it is far from the nearer corner, at most 40 in."""
    seams = scene(hip()).seams
    assert [seam.parts for seam in seams] == [((0, inches(y)),) for y in (14, 32, 40, 32, 14)]


def test_a_seam_leaves_out_a_hole_and_the_air_between_two_wings() -> None:
    shape = make_outline(  # a U on its back: nothing above 40 in between 40 and 60 in
        (0, 0, "eave"), (100, 0, "rake"), (100, 90, "ridge"), (60, 90, "rake"), (60, 40, "wall"),
        (40, 40, "rake"), (40, 90, "ridge"), (0, 90, "rake"),
    )
    plane = make_outlined(shape, holes=(make_hole((10, 20), (20, 20), (20, 60), (10, 60)),))
    case = make_case(planes=(plane,))
    parts = {s.x: s.parts for s in scene((case, look(case))).seams}
    assert parts[inches(14)] == ((0, inches(20)), (inches(60), inches(90)))
    assert parts[inches(50)] == ((0, inches(40)),)
    assert parts[inches(68)] == ((0, inches(90)),)


def test_dimensions_add_up_to_the_plane_and_name_grid_lines() -> None:
    for drawn in (small(), odd(), from_line(), metric(), hip()):
        found = scene(drawn)
        chain = [one for one in found.dimensions if one.kind in ("end", "panels", "odd")]
        assert sum(one.length for one in chain) == found.plane.width
        assert [one.low for one in chain] == [0, *(one.high for one in chain[:-1])]
    grid = [one for one in scene(small()).dimensions if one.kind == "grid"]
    assert [(one.low, one.high) for one in grid] == [
        (0, inches(10)), (inches(10), inches(60)), (inches(60), inches(100))]
    near = [one for one in scene(small()).dimensions if one.kind == "seam"]
    assert [(one.low, one.high) for one in near] == [
        (inches(10), inches(14)), (inches(60), inches(68))]


def test_an_odd_panel_breaks_the_chain_and_has_its_own_shape() -> None:
    found = scene(odd())
    assert [(one.kind, one.count, one.length) for one in found.dimensions[1:]] == [
        ("end", 1, inches(14)), ("panels", 1, inches(18)), ("odd", 1, inches(10)),
        ("panels", 3, inches(54)), ("end", 1, inches(4))]
    (panel,) = found.odd
    assert sorted(panel.shapes[0]) == sorted(
        (inches(x), inches(y)) for x in (32, 42) for y in (0, 200))


def test_distances_run_from_where_laying_starts() -> None:
    assert [seam.far for seam in scene(metric()).seams][-2:] == [mm(800), mm(300)]
    assert [(s.number, s.far) for s in scene(from_line()).seams][:4] == [
        (-2, inches(36)), (-1, inches(18)), (0, 0), (1, inches(18))]


def test_places_from_grid_lines_and_what_stands_beside() -> None:
    """V1 stands at 53 in: 3 in past the seam at 50, 15 in short of that at 68. It needs half of
    its base and a gap, 4 1/2 in, beyond the half inch of the seam."""
    found = {one.pen.id: one for one in scene(small()).penetrations}
    one = found["V1"]
    assert (one.datum.name, one.off) == ("B", -inches(7))
    assert (one.low.seam, one.low.distance, one.low.margin2) == (3, inches(3), 2 * inches(-2))
    assert (one.high.seam, one.high.distance, one.high.margin2) == (4, inches(15), 2 * inches(10))
    assert one.move_towards is not None and one.move_towards.name == "B"
    assert found["V2"].datum.name == "A" and found["V2"].off == inches(10)


def test_an_end_binds_where_it_leaves_less_than_the_seam() -> None:
    case = make_case(make_pipe(inches(8)))  # end lap 4 in: 8 - 4 - 4 1/2; seam: 6 - 1/2 - 4 1/2
    one = scene((case, look(case))).penetrations[0]
    assert (one.low.seam, one.low.margin2) == (None, -inches(1))
    assert (one.high.seam, one.high.margin2) == (1, inches(2))


@pytest.mark.parametrize("name", ALL)
def test_the_least_margin_of_both_sides_is_the_margin_of_the_checker(name: str) -> None:
    for one in scene(ALL[name]()).penetrations:
        found = [side.margin2 for side in (one.low, one.high) if side.margin2 is not None]
        assert min(found) == one.stands.margin2


def test_a_curb_has_no_margin_to_an_end() -> None:
    case = make_case(make_curb(inches(8), across=inches(4)))
    one = scene((case, look(case))).penetrations[0]
    assert one.low.seam is None and one.low.margin2 is None
    assert one.high.margin2 == 2 * (inches(14) - inches(8)) - inches(4) - 2 * inches(6)


@pytest.mark.parametrize(("rise", "slope", "plan"), [
    (Fraction(3, 4), 5000, 4000), (Fraction(5, 12), 13000, 12000), (Fraction(4, 3), -5000, -3000),
])
def test_plan_lengths_of_pythagorean_pitches(rise: Fraction, slope: int, plan: int) -> None:
    """3-4-5 and 5-12-13 triangles (Euclid)."""
    assert plan_length(Pitch("", rise), slope) == plan


@given(st.fractions(Fraction(1, 100), 10, max_denominator=1000), st.integers(0, 10**9))
def test_plan_lengths_are_the_nearest_tick(rise: Fraction, slope: int) -> None:
    plan = plan_length(Pitch("", rise), slope)
    low, high = (Fraction(2 * plan + way, 2) ** 2 * (1 + rise * rise) for way in (-1, 1))
    assert plan == 0 or low <= slope * slope
    assert slope * slope <= high


def test_y_in_plan_is_told_on_planes_with_a_pitch_only() -> None:
    case, judged = small()
    assert all(one.y_plan is None for one in scene((case, judged)).penetrations)
    pitched = replace(case.planes[0], pitch=Pitch("9:12", Fraction(3, 4)))
    found = scene((replace(case, planes=(pitched,)), judged)).penetrations
    assert {one.pen.id: one.y_plan for one in found} == {
        "V1": inches(80), "C1": inches(40), "V2": inches(32)}


def test_control_lines_are_those_of_the_field_sheet() -> None:
    found = scene(small())
    for line in found.control:
        seam = next(seam for seam in found.seams if seam.number == line.seam)
        assert 0 <= seam.x - line.x < inches(2)
