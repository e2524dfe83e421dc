"""Corners rebuilt from exact coordinates: noise-free and noisy surveys, and impossible ones.

The theory beside them is that of least squares with one redundant reading (any textbook of
adjustment; derived here from the test's own slopes): residuals = n (n . errors), where n is the
unit vector that all five columns of the slopes are square to; corners = pseudo-inverse * errors.
`scipy.optimize.least_squares` is the outside reference for the fit.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from math import isqrt

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from solver.case_parts import Offset
from solver.survey.corners import corners_of
from solver.survey.lines import fan_run, high_rake_x, low_rake_x, square_run, width_at
from solver.survey.surveyed import Surveyed, SurveyError
from solver.survey.triangles import corners_by_triangles
from tests.unit.builders import inches
from tests.unit.survey_builders import Quad, read_off, surveyed_plane

FOOT = inches(12)
NAMES = ("eave", "ridge", "low_rake", "high_rake", "up", "down")
PAIRS = {"eave": (0, 1), "ridge": (2, 3), "low_rake": (0, 3), "high_rake": (1, 2), "up": (0, 2),
         "down": (1, 3)}
lean = st.integers(-3 * FOOT, 3 * FOOT)


@st.composite
def convex(draw: st.DrawFn) -> Quad:
    """A convex plane of 8 to 120 ft by 8 to 60 ft, corners up to 3 ft out either way."""
    width, height = draw(st.integers(8, 120)) * FOOT, draw(st.integers(8, 60)) * FOOT
    b = width + draw(lean)
    return ((0, 0), (b, 0), (b + draw(lean), height + draw(lean)), (draw(lean), height))


def slopes(corners: Quad, names: tuple[str, ...]) -> np.ndarray:
    """How each length changes with xB, xC, yC, xD, yD."""
    rows = []
    at = np.array(corners, dtype=float)
    for name in names:
        one, two = PAIRS[name]
        way = (at[two] - at[one]) / np.hypot(*(at[two] - at[one]))
        row = np.zeros(8)
        row[2 * one:2 * one + 2], row[2 * two:2 * two + 2] = -way, way
        rows.append(row[[2, 4, 5, 6, 7]])
    return np.array(rows)


def unknowns(corners: Quad) -> np.ndarray:
    return np.array([corners[1][0], *corners[2], *corners[3]], dtype=float)


def five(diagonal: str) -> tuple[str, ...]:
    return (*NAMES[:4], diagonal)


@settings(max_examples=300)
@given(convex(), st.sampled_from(("up", "down")))
def test_one_diagonal_rebuilds_the_corners_to_what_rounding_the_readings_allows(
    corners: Quad, diagonal: str
) -> None:
    found = corners_of(surveyed_plane(read_off(corners, five(diagonal))), "in")
    off = np.abs(unknowns(found.corners) - unknowns(corners))
    half = np.full(5, 0.5)  # readings are whole ticks
    allowed = np.abs(np.linalg.inv(slopes(corners, five(diagonal)))) @ half + 0.51
    assert (off <= allowed).all()
    assert found.how == "triangles" and found.worst is None


@settings(max_examples=200)
@given(st.data())
def test_surveys_that_are_exact_in_whole_ticks_give_the_very_corners(data: st.DataObject) -> None:
    """Every length from rake to rake is a leg beside the height in a Pythagorean triple."""
    height = 5040
    legs = [n for n in range(1, 30000) if isqrt(n * n + height * height) ** 2
            == n * n + height * height]
    cx = data.draw(st.sampled_from(legs))
    eave = cx + data.draw(st.sampled_from([0, *legs])) * data.draw(st.sampled_from((-1, 1)))
    dx = data.draw(st.sampled_from([0, *legs])) * data.draw(st.sampled_from((-1, 1)))
    assume(eave > 0 and cx > dx)
    scale = data.draw(st.integers(1, 500))
    corners = tuple((x * scale, y * scale) for x, y in
                    ((0, 0), (eave, 0), (cx, height), (dx, height)))
    found = corners_of(surveyed_plane(read_off(corners, five("up"))), "in")
    assert found.corners == corners
    assert found.ridge_rise == 0 and found.ridge_parallel
    assert found.low_lean == dx * scale and found.high_lean == (cx - eave) * scale


@settings(max_examples=150)
@given(convex(), st.sampled_from(("up", "down")))
def test_corners_are_rounded_from_exact_ones(corners: Quad, diagonal: str) -> None:
    """Held against the same circles cut in decimals of 80 digits, by another formula."""
    read = read_off(corners, five(diagonal))
    exact = corners_by_triangles(read, diagonal)
    with localcontext() as context:
        context.prec = 80
        b, other = Decimal(read["eave"]), Decimal(read[diagonal])
        rake = Decimal(read["high_rake" if diagonal == "up" else "low_rake"])
        along = (b * b + other * other - rake * rake) / (2 * b)
        tip = (along, (other * other - along * along).sqrt())
        near = Decimal(read["low_rake" if diagonal == "up" else "high_rake"])
        # the fourth corner: along the angle of the diagonal plus that of the second triangle
        cos1, sin1 = tip[0] / other, tip[1] / other
        cos2 = (near**2 + other**2 - Decimal(read["ridge"]) ** 2) / (2 * near * other)
        sin2 = (1 - cos2 * cos2).sqrt()
        last = (near * (cos1 * cos2 - sin1 * sin2), near * (sin1 * cos2 + cos1 * sin2))
        if diagonal == "down":
            tip, last = (b - last[0], last[1]), (b - tip[0], tip[1])
        for point, (x, y) in zip(exact[2:], (tip, last), strict=True):
            assert abs(Decimal(point.x.numerator) / point.x.denominator - x) < Decimal("1e-60")
            assert abs(Decimal(point.y.numerator) / point.y.denominator - y) < Decimal("1e-60")


@settings(max_examples=200)
@given(convex())
def test_both_diagonals_without_noise_leave_nothing(corners: Quad) -> None:
    found = corners_of(surveyed_plane(read_off(corners, NAMES)), "in")
    assert found.how == "fitted"
    off = np.abs(unknowns(found.corners) - unknowns(corners))
    allowed = np.abs(np.linalg.pinv(slopes(corners, NAMES))) @ np.full(6, 0.5) + 0.51
    assert (off <= allowed).all()
    assert all(abs(one.residual) <= 1.5 for one in found.readings)  # |n| |errors| <= sqrt(6) / 2
    for one in found.readings:
        assert one.alone is not None


noise = st.lists(st.integers(-inches("1/2"), inches("1/2")), min_size=6, max_size=6)


@settings(max_examples=200)
@given(convex(), noise)
def test_noise_comes_back_as_theory_has_it(corners: Quad, errors: list[int]) -> None:
    read = read_off(corners, NAMES)
    read = {name: read[name] + error for name, error in zip(NAMES, errors, strict=True)}
    found = corners_of(surveyed_plane(read), "in")
    grid = slopes(corners, NAMES)
    # two full sides of the decomposition: the last left vector is square to all columns
    n = np.linalg.svd(grid, full_matrices=True)[0][:, 5]
    bend = 12 * inches("1/2") ** 2 / (8 * FOOT)  # what a straight line leaves out, generously
    left = {one.name: one.residual for one in found.readings}
    expected = n * (n @ np.array(errors, dtype=float))
    assert np.allclose([left[name] for name in NAMES], expected, atol=bend + 2)
    spread = np.abs(np.linalg.pinv(grid))
    allowed = spread @ (np.abs(errors) + 0.5) + bend * spread.sum(axis=1) + 1
    assert (np.abs(unknowns(found.corners) - unknowns(corners)) <= allowed).all()
    # no corners nearby do better
    total = sum(one.residual**2 for one in found.readings)
    assert total <= sum(e * e for e in errors) + 6 * inches("1/2") + 6


@settings(max_examples=60, deadline=None)
@given(convex(), noise)
def test_the_fit_is_that_of_scipy(corners: Quad, errors: list[int]) -> None:
    read = read_off(corners, NAMES)
    read = {name: read[name] + error for name, error in zip(NAMES, errors, strict=True)}
    found = corners_of(surveyed_plane(read), "in")
    taped = np.array([read[name] for name in NAMES]) / FOOT

    def left(at: np.ndarray) -> np.ndarray:
        points = np.array([[0, 0], [at[0], 0], at[1:3], at[3:5]])
        return np.array([np.hypot(*(points[j] - points[i])) for i, j in
                         (PAIRS[name] for name in NAMES)]) - taped

    best = least_squares(left, unknowns(corners) / FOOT, method="lm", xtol=1e-15, ftol=1e-15,
                         gtol=1e-15)
    assert np.allclose(unknowns(found.corners), best.x * FOOT, rtol=0, atol=0.5 + 0.2)
    ours = [one.residual for one in sorted(found.readings, key=lambda r: NAMES.index(r.name))]
    assert np.allclose(ours, -best.fun * FOOT, rtol=0, atol=0.2)


@settings(max_examples=100)
@given(convex(), st.integers(0, 5), st.integers(inches(1), inches(12)))
def test_a_slip_alone_is_told_exactly_but_its_culprit_cannot_be(
    corners: Quad, which: int, slip: int
) -> None:
    """Correcting any one reading to what it should be alone makes all six agree: where that is a
    roof at all, and near the one that was fitted."""
    read = read_off(corners, NAMES)
    read[NAMES[which]] += slip
    found = corners_of(surveyed_plane(read), "in")
    guilty = next(one for one in found.readings if one.name == NAMES[which])
    if guilty.alone is not None:
        true = read_off(corners, NAMES)[NAMES[which]]
        grid = slopes(corners, NAMES)
        n = np.linalg.svd(grid, full_matrices=True)[0][:, 5]
        assert abs(guilty.alone - true) <= 0.6 * np.abs(n).sum() / abs(n[which]) + 0.1
    for one in found.readings:
        if one.alone is None:
            continue
        try:
            again = corners_of(surveyed_plane({**read, one.name: round(one.alone)}), "in")
        except SurveyError:
            assert one.name != NAMES[which]
            continue
        away = max(
            abs(a - b)
            for point, other in zip(again.corners, found.corners, strict=True)
            for a, b in zip(point, other, strict=True)
        )
        if away <= 4 * slip:
            assert all(abs(other.residual) <= 1 for other in again.readings)


@settings(max_examples=150)
@given(convex(), st.sampled_from(NAMES))
def test_triangles_that_do_not_close_are_refused(corners: Quad, name: str) -> None:
    read = read_off(corners, NAMES)
    read[name] = sum(read.values())
    with pytest.raises(SurveyError) as refused:
        corners_of(surveyed_plane(read), "in")
    assert refused.value.plane == "S" and len(refused.value.problems) == 2  # a reading is in two
    assert all("triangle" in problem for problem in refused.value.problems)


@settings(max_examples=150)
@given(convex(), st.integers(5, 60), st.integers(5, 60), st.booleans())
def test_a_corner_that_points_inwards_is_refused(
    corners: Quad, part: int, share: int, both: bool
) -> None:
    """C is drawn into the triangle of the three other corners."""
    a, b, _, d = corners
    weights = (part, share, 140 - part - share)
    c = tuple(sum(w * p[i] for w, p in zip(weights, (b, d, a), strict=True)) // 140
              for i in (0, 1))
    read = read_off((a, b, c, d), NAMES if both else five("up"))
    with pytest.raises(SurveyError, match=r"plane S: .*180 degrees.*high end of the ridge"):
        corners_of(surveyed_plane(read), "in")


@settings(max_examples=150)
@given(convex(), st.integers(0, 20 * FOOT), st.lists(st.integers(0, 60), min_size=2, max_size=6,
                                                     unique=True))
def test_offsets_from_straight_rakes_give_them_back(
    corners: Quad, base: int, heights: list[int]
) -> None:
    a, b, c, d = corners
    length = d[1]
    c = (c[0], length)
    ys = [length * part // 60 for part in heights]
    assume(max(ys) - min(ys) >= length // 3)
    offsets = tuple(
        Offset(y, round(base - Fraction(d[0] * y, length)),
               round(b[0] + Fraction((c[0] - b[0]) * y, length) - base)) for y in ys)
    plane = surveyed_plane({}, length=length, offsets=offsets)
    found = corners_of(plane, "in")
    # each offset is rounded by half a tick; over a third of the rake that is at most 3 1/2 times it
    for (x, y), (true_x, true_y) in zip(found.corners, (a, b, c, d), strict=True):
        assert y == true_y and abs(x - true_x) <= 10
    assert all(abs(one.residual) <= 1 for one in found.readings)


@settings(max_examples=100)
@given(st.lists(st.tuples(st.integers(0, 10**7), st.integers(10**6, 2 * 10**6)), min_size=3,
                max_size=8, unique_by=lambda pair: pair[0]))
def test_lines_through_offsets_are_those_of_numpy(taps: list[tuple[int, int]]) -> None:
    assume(max(y for y, _ in taps) - min(y for y, _ in taps) > 10**5)
    offsets = tuple(Offset(y, low, 10**8) for y, low in taps)
    found = corners_of(surveyed_plane({}, length=10**7, offsets=offsets), "in")
    ys = np.array([y for y, _ in taps]) / 10**7
    lows = np.array([low for _, low in taps], dtype=float)
    slope, at = np.polyfit(ys, lows, 1)
    for one, y, low in zip(found.readings, ys, lows, strict=False):
        assert abs(one.residual - (low - at - slope * y)) < 0.01
    assert abs(found.low_lean + slope) <= 0.51


def plane_of(corners: Quad) -> Surveyed:
    return Surveyed("S", "in", "triangles", corners, (), ())


height = st.fractions(0, 60 * FOOT, max_denominator=7)


@settings(max_examples=200)
@given(convex(), st.integers(inches(6), inches(18)), st.booleans(), height)
def test_a_fan_keeps_both_end_panels_even(
    corners: Quad, first: int, from_high: bool, y: Fraction
) -> None:
    plane, cover = plane_of(corners), inches(18)
    fan = fan_run(plane, cover, first, from_high=from_high)
    low, high = low_rake_x(plane, y), high_rake_x(plane, y)
    start, far = (high, low) if from_high else (low, high)
    sign = -1 if from_high else 1
    assert sign * (fan.seam_at(0, y) - start) == first
    if fan.full:
        assert sign * (far - fan.seam_at(fan.full, y)) == fan.last
        assert fan.module(y) * fan.full + first + fan.last == width_at(plane, y)
    assert 0 < fan.last <= cover and fan.module(0) == cover
    for k in (0, fan.full // 2, fan.full):  # straight: the middle height has the middle place
        assert 2 * fan.seam_at(k, y / 2) == fan.seam_at(k, 0) + fan.seam_at(k, y)
        assert abs(fan.seam_ticks(k, y) - fan.seam_at(k, y)) <= Fraction(1, 2)
    seams = fan.seams_at(0)
    assert list(seams) == sorted(seams) and len(seams) == fan.full + 1


@settings(max_examples=200)
@given(convex(), st.integers(inches(3), inches(18)), st.booleans())
def test_a_square_run_ends_where_a_plane_from_corner_to_corner_does(
    corners: Quad, first: int, from_high: bool
) -> None:
    """A legal end is as one on the plane from the leftmost to the rightmost corner: its widest no
    wider than the cover, and its narrowest, less by the rake's lean, no less than the least end."""
    plane, cover, least = plane_of(corners), inches(18), inches(6)
    run = square_run(plane, cover, first, from_high=from_high)
    (a, b, c, d) = corners
    start = run.high_end if from_high else run.low_end
    assert start.eave == first
    assert all(two - one == cover for one, two in zip(run.seams, run.seams[1:], strict=False))
    widest_low, widest_high = run.seams[0] - plane.least_x, plane.most_x - run.seams[-1]
    assert max(run.low_end.eave, run.low_end.ridge) == run.seams[0] - min(a[0], d[0])
    legal = (
        max(widest_low, widest_high) <= cover
        and widest_low - abs(d[0]) >= least and widest_high - abs(c[0] - b[0]) >= least
    )
    assert run.fits(least, cover) == legal
    if legal:  # no other number of panels would do: one fewer is too wide, one more crosses
        far = run.low_end if from_high else run.high_end
        assert max(far.eave, far.ridge) + cover > cover
        assert min(far.eave, far.ridge) - cover <= 0
