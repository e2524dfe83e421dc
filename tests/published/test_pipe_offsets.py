"""Offsets of two equal fittings against the pipefitters' constants and plain trigonometry.

Travel and advance for one inch of offset, as pipefitters' tables print them (four decimals): 45°
1.4142 and 1, 60° 1.1547 and 0.5774: read in a stored copy of such a table. 22 1/2° 2.6131 and
2.4142: from memory of the same tables, and equal to 1/sin and 1/tan of the angle (trigonometry).
30° 2 and 1.7321 from memory likewise; the program does not offer 30°, so its functions are only
asked for the geometry. The smallest offset of two fittings that touch, 2 sin θ × centre-to-end, is
common practice, no source; ASTM D3311 for fitting dimensions was not readable, so sizes here are
invented.
"""

from __future__ import annotations

from math import sqrt

import pytest

from solver.case import Fitting
from solver.case_file.fittings import (
    ANGLES,
    advance,
    best_pair,
    height,
    least_offset,
    makeable,
    most_offset,
    pairs_for,
    travel,
)
from solver.units import TICKS_PER_INCH

INCH = TICKS_PER_INCH
READ = [("45", 1.4142, 1.0), ("60", 1.1547, 0.5774)]
MEMORY = [("22.5", 2.6131, 2.4142), ("30", 2.0, 1.7321)]


@pytest.mark.parametrize(("angle", "long", "up"), [*READ, *MEMORY])
def test_constants_of_the_simple_offset(angle: str, long: float, up: float) -> None:
    assert travel(INCH, angle) / INCH == pytest.approx(long, abs=5e-5)
    assert advance(INCH, angle) / INCH == pytest.approx(up, abs=5e-5)
    assert travel(-7 * INCH, angle) == pytest.approx(7 * travel(INCH, angle))


@pytest.mark.parametrize(("angle", "long", "up"), [*READ, MEMORY[0]])
def test_the_list_of_ways_carries_the_same_constants(angle: str, long: float, up: float) -> None:
    pair = next(p for p in pairs_for((), None, None, -10 * INCH) if p.angle == angle)
    assert pair.travel / INCH == pytest.approx(10 * long, abs=5e-4)
    assert pair.advance / INCH == pytest.approx(10 * up, abs=5e-4)
    assert pair.least is None and pair.height is None and not pair.possible


@pytest.mark.parametrize(
    ("angle", "factor"), [("22.5", sqrt(2 - sqrt(2))), ("45", sqrt(2)), ("60", sqrt(3))]
)
@pytest.mark.parametrize("reach", [1, 777, 3 * INCH // 2, 9 * INCH // 4, 3 * INCH, 11 * INCH])
def test_least_offset_is_twice_the_sine_times_centre_to_end(
    angle: str, factor: float, reach: int
) -> None:
    fitting = Fitting("3", angle, reach)  # type: ignore[arg-type]
    least = least_offset(fitting)
    assert least - 1 < factor * reach + 1e-6 and least >= factor * reach - 1e-6
    # Touching: the travel is just the two centre-to-ends, and not a tick less.
    assert travel(least, angle) >= 2 * reach - 1e-6 > travel(least - 1, angle) - 1e-5


@pytest.mark.parametrize("angle", ANGLES)
def test_most_offset_just_fits_the_headroom(angle: str) -> None:
    fitting = Fitting("3", angle, 2 * INCH)
    for headroom in (4 * INCH, 9 * INCH, 14 * INCH + 5, 40 * INCH):
        most = most_offset(fitting, headroom)
        assert height(most, fitting) <= headroom + 1e-6
        assert height(most + 1, fitting) > headroom - 1e-6
    assert most_offset(fitting, 4 * INCH - 1) < 0


def test_a_worked_offset_of_seven_inches_with_two_45s() -> None:
    """Travel 7 × 1.4142 = 9.90 in, advance 7 in; with 2 3/4 in to the centres 12 1/2 in high."""
    fitting = Fitting("4", "45", 11 * INCH // 4)
    (pair,) = pairs_for((fitting,), "4", 14 * INCH, 7 * INCH)
    assert pair.travel / INCH == pytest.approx(9.8995, abs=1e-4)
    assert pair.height is not None and pair.height / INCH == pytest.approx(12.5)
    assert pair.between is not None and pair.between / INCH == pytest.approx(4.3995, abs=1e-4)
    assert pair.fits and pair.possible
    (tall,) = pairs_for((fitting,), "4", 12 * INCH, 7 * INCH)
    assert tall.fits is False and not tall.possible
    assert best_pair((tall,)) is None


def test_the_pair_taken_is_lowest_among_those_that_count_as_vertical() -> None:
    """45° or more from the horizontal counts as vertical: IPC 202, memory; NYC 905.2, read."""
    fittings = tuple(
        Fitting("3", angle, reach)  # type: ignore[arg-type]
        for angle, reach in (("22.5", INCH), ("45", 2 * INCH), ("60", 3 * INCH))
    )
    six = best_pair(pairs_for(fittings, "3", None, 6 * INCH))
    assert six is not None and six.angle == "45"  # 10 in high; 60° would be 9.46, 22 1/2° 16.5
    one = best_pair(pairs_for(fittings, "3", None, INCH))
    assert one is not None and one.angle == "22.5"  # the others touch before so small an offset
    low = best_pair(pairs_for(fittings, "3", 10 * INCH - 1, 6 * INCH))
    assert low is not None and low.angle == "60"  # nothing else fits below 10 in
    assert best_pair(pairs_for(fittings, "3", 5 * INCH, 6 * INCH)) is None


def test_every_offset_called_makeable_has_a_pair_and_no_other() -> None:
    fittings = (Fitting("3", "22.5", INCH), Fitting("3", "60", 4 * INCH))
    headroom = 14 * INCH
    spans = makeable(fittings, "3", headroom, 30 * INCH)
    assert spans is not None and len(spans) == 2
    edges = [edge + step for span in spans for edge in span for step in (-1, 0, 1)]
    for offset in (*edges, *range(0, 20 * INCH, INCH // 7)):
        inside = any(low <= offset <= high for low, high in spans)
        assert (best_pair(pairs_for(fittings, "3", headroom, offset)) is not None) == inside
