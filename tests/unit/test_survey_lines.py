"""Panels on a plane out of square, by hand: all figures are similar triangles and plain sums."""

from __future__ import annotations

from fractions import Fraction

import pytest

from solver.survey.lines import (
    EndWidths,
    fan_run,
    high_rake_x,
    low_rake_x,
    rake_x,
    square_ends,
    square_run,
    width_at,
)
from solver.survey.surveyed import Surveyed
from tests.unit.builders import inches
from tests.unit.survey_builders import Quad

COVER, LEAST = inches(18), inches(6)


def plane(b: int | str, c: int | str, d: int | str, *, up: int = 200) -> Surveyed:
    """Eave from 0 to `b`, ridge from `d` to `c`, `up` in high; inches."""
    corners: Quad = ((0, 0), (inches(b), 0), (inches(c), inches(up)), (inches(d), inches(up)))
    return Surveyed("S", "in", "triangles", corners, (), ())


def test_a_rake_between_its_corners() -> None:
    assert rake_x((0, 0), (30, 90), 0) == 0
    assert rake_x((0, 0), (30, 90), 45) == 15
    assert rake_x((100, 0), (70, 90), 10) == 100 - Fraction(10, 3)
    assert rake_x((100, 0), (100, 90), Fraction(1, 7)) == 100
    leaning = plane(100, 103, 2)
    assert low_rake_x(leaning, inches(100)) == inches(1)
    assert high_rake_x(leaning, inches(50)) == inches("100 3/4")
    assert width_at(leaning, inches(200)) == inches(101)


def test_a_square_run_on_a_true_plane_is_the_plain_grid() -> None:
    run = square_run(plane(100, 100, 0), COVER, inches(14))
    assert run.seams == tuple(inches(x) for x in (14, 32, 50, 68, 86))
    assert run.low_end == run.high_end == EndWidths(Fraction(inches(14)), Fraction(inches(14)))
    assert run.fits(LEAST, COVER)


def test_a_square_run_tapers_both_ends() -> None:
    """Low rake leans 2 in in, high rake 3 in out: 14 and 12, 14 and 17."""
    run = square_run(plane(100, 103, 2), COVER, inches(14))
    assert run.low_end == EndWidths(Fraction(inches(14)), Fraction(inches(12)))
    assert run.high_end == EndWidths(Fraction(inches(14)), Fraction(inches(17)))
    assert run.fits(LEAST, COVER) and not run.fits(inches(13), COVER)
    again = square_run(plane(100, 103, 2), COVER, inches(14), from_high=True)
    assert again.seams == run.seams


def test_from_the_high_end() -> None:
    """From 100 back: 88, 70, 52, 34, 16; the ridge begins at -3, so the last is 16 and 19 wide: too
    wide, and one more seam, at -2, would be off the roof at the eave."""
    run = square_run(plane(100, 100, "-3"), COVER, inches(12), from_high=True)
    assert run.seams == tuple(inches(x) for x in (16, 34, 52, 70, 88))
    assert run.low_end == EndWidths(Fraction(inches(16)), Fraction(inches(19)))
    assert not run.fits(LEAST, COVER)
    run = square_run(plane(100, 100, "-3"), COVER, inches(13), from_high=True)
    assert run.seams[0] == inches(15) and run.low_end.ridge == COVER
    assert run.fits(LEAST, COVER)


@pytest.mark.parametrize(("eave", "ridge", "fits"), [
    (LEAST, COVER, True), (LEAST - 1, COVER, False), (LEAST, COVER + 1, False),
    (COVER, LEAST, True),
])
def test_both_widths_of_an_end_count(eave: int, ridge: int, fits: bool) -> None:
    assert EndWidths(Fraction(eave), Fraction(ridge)).fits(LEAST, COVER) is fits


def test_ends_for_seams_that_were_laid() -> None:
    low, high = square_ends(plane(100, 103, 2), inches(10), inches(90))
    assert (low.eave, low.ridge) == (inches(10), inches(8))
    assert (high.eave, high.ridge) == (inches(10), inches(13))


def test_a_fan_shares_what_the_plane_grows() -> None:
    """Eave 100, ridge 101: first 14, four full, last 14; each full panel grows 1/4 in."""
    fan = fan_run(plane(100, 101, 0), COVER, inches(14))
    assert (fan.full, fan.last, fan.change) == (4, inches(14), inches("1/4"))
    assert [fan.seam_at(k, 0) for k in range(5)] == [inches(x) for x in (14, 32, 50, 68, 86)]
    assert [fan.seam_at(k, inches(200)) for k in range(5)] == [
        inches(x) for x in ("14", "32 1/4", "50 1/2", "68 3/4", "87")]
    assert fan.seam_at(2, inches(50)) == inches("50 1/8")
    assert fan.seams_at(inches(200))[-1] == inches(87)
    assert fan.fits(LEAST, inches("1/4")) and not fan.fits(LEAST, inches("1/4") - 1)
    assert fan.slant == pytest.approx(4 * COVER * 0.5 * (1 / 200) ** 2, rel=1e-4)


def test_a_fan_from_the_high_end_mirrors() -> None:
    """The plane grows at its low end: ridge from -1; from the high end every seam gives 1/4 in."""
    fan = fan_run(plane(100, 100, "-1"), COVER, inches(14), from_high=True)
    assert [fan.seam_at(k, inches(200)) for k in range(5)] == [
        100 * inches(1) - inches(x) for x in ("14", "32 1/4", "50 1/2", "68 3/4", "87")]
    assert fan.seams_at(0) == tuple(inches(x) for x in (14, 32, 50, 68, 86))


def test_a_fan_on_a_parallelogram_runs_beside_its_rakes() -> None:
    fan = fan_run(plane(100, 105, 5), COVER, inches(14))
    assert fan.change == 0 and fan.fits(LEAST, 0)
    assert fan.seam_at(3, inches(100)) == inches(68) + inches("2 1/2")


def test_half_ticks_of_a_fan_go_away_from_zero() -> None:
    corners: Quad = ((0, 0), (4000, 0), (4001, 2000), (0, 2000))
    fan = fan_run(Surveyed("S", "in", "triangles", corners, (), ()), 1000, 500)
    assert fan.full == 3
    assert fan.seam_at(3, 1000) == Fraction(7001, 2) and fan.seam_ticks(3, 1000) == 3501


def test_without_full_panels_the_last_takes_it_all() -> None:
    fan = fan_run(plane(30, 33, 0), COVER, inches(14))
    assert (fan.full, fan.last, fan.change) == (0, inches(16), 0)
    assert fan.last_end == EndWidths(Fraction(inches(16)), Fraction(inches(19)))
    assert not fan.fits(LEAST, inches(1))
    assert fan_run(plane(30, 32, 0), COVER, inches(14)).fits(LEAST, 0)


def test_a_ridge_askew_counts_at_its_highest_point() -> None:
    """C stands 200 up, D 100: the plane grows to 104 at 200."""
    corners: Quad = ((0, 0), (inches(100), 0), (inches(104), inches(200)), (0, inches(100)))
    fan = fan_run(Surveyed("S", "in", "triangles", corners, (), ()), COVER, inches(14))
    assert fan.change == inches(1)
    assert fan.grows(inches(100)) == inches(2)


def test_a_seam_across_a_rake_does_not_fit() -> None:
    """Low rake leans 15 in in, first 14: at the ridge the first seam stands 1 in off the roof."""
    run = square_run(plane(100, 100, 15), COVER, inches(14))
    assert run.low_end.ridge == -inches(1) and not run.fits(LEAST, COVER)
