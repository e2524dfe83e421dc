"""Lengths and areas on the slope against a framing square and closed forms.

Sources: the framing-square table, inches of common rafter per foot of run and of hip or valley per
foot of common run. 12:12: Griffith, Carpentry, appendix IV (read). Common rafters of 13:12 and
16:12: U.S. Army course EN0069, 17.69 and 20.00 (read). The other rows: the same table, second-hand.
All are rounded to 1/100 in, so half of that is allowed for.
Closed forms: a rafter over run r that rises s is sqrt(r² + s²), one over a hip that is 45° in plan
sqrt(2 r² + s²); an area on the slope is its plan area times sqrt(1 + pitch²) (Pythagoras).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import sqrt

import pytest

from solver.case import Plane
from solver.case_file.pitch import read_pitch, slope_length
from solver.case_parts import EdgeKind, Outline
from solver.shape.edges import edges_of
from solver.shape.outline import strip_length
from solver.shape.pieces import pieces_of
from tests.unit.builders import inches, make_plane

FOOT = inches(12)
# rise in 12: common rafter and hip or valley, inches per foot of common run
SQUARE = {3: ("12.37", "17.23"), 4: ("12.65", "17.44"), 6: ("13.42", "18.00"),
          8: ("14.42", "18.76"), 12: ("16.97", "20.78")}  # fmt: skip
COURSE = {13: "17.69", 16: "20.00"}
HALF_PLACE = 0.005


def hip_plane(
    rise: int, run: int, ridge: int = 0, kinds: tuple[EdgeKind, ...] = ("eave", "hip", "hip")
) -> Plane:
    """A plane between two hips, 45° in plan; run, ridge in ticks, the eave is ridge + 2 run."""
    pitch, wide = read_pitch(f"{rise}:12"), 2 * run + ridge
    high = slope_length(pitch, run)
    corners = [(0, 0), (wide, 0), (run + ridge, high)]
    if ridge:
        corners.append((run, high))
        kinds = ("eave", "hip", "ridge", "hip")
    plane = make_plane(width=wide, length=high)
    return replace(plane, outline=Outline(tuple(corners), kinds), pitch=pitch)


def per_foot(ticks: float, run: int) -> float:
    """Inches for each foot of run."""
    return ticks / inches(1) / (run / FOOT)


@pytest.mark.parametrize("rise", SQUARE)
@pytest.mark.parametrize("run", [FOOT, 12 * FOOT, 1000 * FOOT])
def test_the_framing_square(rise: int, run: int) -> None:
    plane = hip_plane(rise, run)
    common, hip = (float(value) for value in SQUARE[rise])
    assert abs(per_foot(plane.length, run) - common) <= HALF_PLACE + 1e-4
    hips = [edge for edge in edges_of(plane) if edge.kind == "hip"]
    assert len(hips) == 2
    for edge in hips:
        assert abs(per_foot(edge.length, run) - hip) <= HALF_PLACE + 1e-4


@pytest.mark.parametrize("rise", COURSE)
def test_common_rafters_of_the_course(rise: int) -> None:
    run = 12 * FOOT
    assert abs(per_foot(hip_plane(rise, run).length, run) - float(COURSE[rise])) <= 0.0051


@pytest.mark.parametrize("rise", SQUARE)
def test_a_valley_is_as_long_as_the_hip_over_the_same_run(rise: int) -> None:
    """The plane between a valley, a ridge and another valley: the hip plane upside down."""
    run = 12 * FOOT
    high = slope_length(read_pitch(f"{rise}:12"), run)
    outline = Outline(((run, 0), (2 * run, high), (0, high)), ("valley", "ridge", "valley"))
    plane = replace(make_plane(width=2 * run, length=high), outline=outline)
    for edge in edges_of(plane):
        if edge.kind == "valley":
            assert abs(per_foot(edge.length, run) - float(SQUARE[rise][1])) <= HALF_PLACE + 1e-4


@pytest.mark.parametrize("rise", [*SQUARE, *COURSE, 1, 24])
def test_lengths_against_pythagoras(rise: int) -> None:
    """To a tick, which the one rounding of the slope length allows for."""
    run = 14 * FOOT
    plane = hip_plane(rise, run, ridge=20 * FOOT)
    up = run * rise / 12
    assert abs(plane.length - sqrt(run**2 + up**2)) <= 0.5 + 1e-6
    lengths = {edge.kind: edge.length for edge in edges_of(plane)}
    assert abs(lengths["hip"] - sqrt(2 * run**2 + up**2)) <= 1
    assert (lengths["eave"], lengths["ridge"]) == (48 * FOOT, 20 * FOOT)


@pytest.mark.parametrize("rise", SQUARE)
@pytest.mark.parametrize("cover", [12, 16, 18])
def test_area_of_a_hip_plane(rise: int, cover: int) -> None:
    """(eave + ridge) / 2 × run in plan, times sqrt(1 + pitch²)."""
    run, ridge = 14 * FOOT, 20 * FOOT
    plane = hip_plane(rise, run, ridge)
    seams = range(inches(7), plane.width, inches(cover))
    area = sum(piece.area for piece in pieces_of(plane, tuple(seams)))
    assert area == Fraction((plane.width + ridge) * plane.length, 2)
    plan = (plane.width + ridge) / 2 * run
    assert abs(float(area) / (plan * sqrt(1 + (rise / 12) ** 2)) - 1) < 1e-6


@pytest.mark.parametrize("rise", SQUARE)
def test_panels_over_a_hip_grow_by_a_fixed_step(rise: int) -> None:
    """Jack rafters: each is longer than the last by spacing × sqrt(1 + pitch²) (similar triangles).
    """
    run, cover = 14 * FOOT, inches(16)
    plane = hip_plane(rise, run, ridge=20 * FOOT)
    lengths = [strip_length(plane, low, low + cover) for low in range(0, 8 * cover, cover)]
    step = cover * sqrt(1 + (rise / 12) ** 2)
    assert all(
        abs(two - one - step) <= 1.01 for one, two in pairwise(lengths)
    )
