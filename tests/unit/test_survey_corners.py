"""Corners from surveys by hand: 3-4-5, Pythagoras, one tick off, and everything impossible.

Closed forms: the theorem of Pythagoras and its triples (Euclid, Elements, I.47; 3-4-5 also in the
Army carpentry course EN0069, Squaring Building Lines); law of cosines (Euclid, II.12 and 13).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.case_parts import Offset, Survey
from solver.errors import OffseamError
from solver.survey.corners import corners_of
from solver.survey.document import survey_document
from solver.survey.fit import fit_line
from solver.survey.surveyed import CornerOut, SurveyError
from solver.survey.triangles import closes, must_be, root
from solver.units import TICKS_PER_INCH, TICKS_PER_MM
from tests.unit.builders import HIP, inches, make_outlined, make_plane, mm
from tests.unit.survey_builders import feet, read_off, surveyed_plane

SQUARE = {"eave": feet(40), "ridge": feet(40), "low_rake": feet(30), "high_rake": feet(30)}
ALL = ("eave", "ridge", "low_rake", "high_rake", "up", "down")


@pytest.mark.parametrize("diagonal", ["up", "down"])
def test_three_four_five_is_square(diagonal: str) -> None:
    found = corners_of(surveyed_plane({**SQUARE, diagonal: feet(50)}), "in")
    assert found.corners == ((0, 0), (feet(40), 0), (feet(40), feet(30)), (0, feet(30)))
    assert found.how == "triangles"
    assert [out.angle for out in found.outs] == [90.0] * 4
    assert [out.out for out in found.outs] == [0.0] * 4
    assert (found.low_lean, found.high_lean, found.ridge_rise, found.ridge_longer) == (0, 0, 0, 0)
    assert found.rakes_parallel and found.ridge_parallel and found.worst is None
    assert found.length("up") == found.length("down") == feet(50)
    assert [more for _, _, more in found.against_drawing] == [0.0] * 4


def test_three_four_five_with_both_diagonals_has_no_misfit() -> None:
    found = corners_of(surveyed_plane({**SQUARE, "up": feet(50), "down": feet(50)}), "in")
    assert found.corners == ((0, 0), (feet(40), 0), (feet(40), feet(30)), (0, feet(30)))
    assert found.how == "fitted" and found.worst is None
    assert [one.alone for one in found.readings] == [one.read for one in found.readings]


def test_a_parallelogram_by_the_law_of_cosines() -> None:
    """Sides 13 and 14 ft, diagonal 15 ft: the 13-14-15 triangle is 12 ft high, foot 5 and 9."""
    read = {"eave": feet(14), "ridge": feet(14), "low_rake": feet(13), "high_rake": feet(13),
            "down": feet(15)}
    found = corners_of(surveyed_plane(read), "in")
    assert found.corners == ((0, 0), (feet(14), 0), (feet(19), feet(12)), (feet(5), feet(12)))
    assert found.low_lean == found.high_lean == feet(5) and found.rakes_parallel
    a, b, c, d = found.outs
    assert a.out == c.out == -feet(5) and b.out == d.out == feet(5)
    assert a.angle == pytest.approx(67.380135, abs=1e-6)  # arccos(5/13)
    assert b.angle == pytest.approx(112.619865, abs=1e-6)
    assert sum(out.angle for out in found.outs) == pytest.approx(360)
    assert [out.within for out in found.outs] == [False] * 4


def test_a_trapezoid_of_pythagorean_triples() -> None:
    """Height 12, legs 9 (15 across) and 16 (20): C is 20 from A and B, D 15 from A, 7 from C."""
    read = {"eave": feet(32), "low_rake": feet(15), "high_rake": feet(20), "ridge": feet(7),
            "up": feet(20)}
    found = corners_of(surveyed_plane(read), "in")
    assert found.corners == ((0, 0), (feet(32), 0), (feet(16), feet(12)), (feet(9), feet(12)))
    assert (found.low_lean, found.high_lean) == (feet(9), -feet(16))
    assert found.ridge_longer == -feet(25) and not found.rakes_parallel
    assert (found.least_x, found.most_x) == (0, feet(32))
    assert found.against_drawing[0] == ("eave", feet(40), -feet(8))


def test_a_trapezoid_in_millimetres_with_the_ridge_askew() -> None:
    corners = ((0, 0), (mm(12000), 0), (mm(12030), mm(9040)), (mm(-15), mm(9000)))
    found = corners_of(surveyed_plane(read_off(corners, ALL), width=mm(12000), length=mm(9000)),
                       "mm")
    assert all(abs(got - true) <= 2 for point, other in zip(found.corners, corners, strict=True)
               for got, true in zip(point, other, strict=True))
    assert abs(found.ridge_rise - mm(40)) <= 2 and not found.ridge_parallel
    # D: between the ridge and the rake; the ridge rises 40 in 12045, the rake leans 15 out of 9000
    assert found.outs[0].out == pytest.approx(mm(15), abs=3)
    assert found.outs[1].out == pytest.approx(mm(30), abs=3)
    assert [out.within for out in found.outs] == [True, True, False, True]


@pytest.mark.parametrize(("out", "within"), [(100, True), (-100, True), (101, False)])
def test_within_five_thousandths(out: int, within: bool) -> None:
    assert CornerOut("A", 90.0, out, 20000.0).within is within


def test_the_misfit_of_a_rectangle_is_shared_by_its_stress() -> None:
    """n of a rectangle with both diagonals is (w, w, h, h, -d, -d) over its length: the state of
    self-stress of a braced frame, forces in proportion to lengths (statics; any textbook).

    A diagonal of 50 ft read 1 in long: n.e = -50/100 in, so the residuals are (-40, -40, -30, -30,
    +50, +50)/100 of half an inch: 0.2, 0.15 and 0.25 in.
    """
    read = {**SQUARE, "up": feet(50) + inches(1), "down": feet(50)}
    found = corners_of(surveyed_plane(read), "in")
    left = {one.name: one.residual / TICKS_PER_INCH for one in found.readings}
    expected = {"eave": -0.2, "ridge": -0.2, "low_rake": -0.15, "high_rake": -0.15, "up": 0.25,
                "down": 0.25}
    for name, size in expected.items():
        assert left[name] == pytest.approx(size, abs=0.001), name
    assert found.worst is not None and found.worst.name in ("up", "down")
    alone = {one.name: one.alone for one in found.readings}
    assert alone["up"] == pytest.approx(feet(50))
    # the other diagonal would have to be shorter by as much
    assert alone["down"] == pytest.approx(feet(50) - inches(1), abs=inches("1/64"))


def test_a_reading_that_nothing_would_mend_has_no_other_value() -> None:
    read = {**SQUARE, "up": feet(50), "down": feet(50)}
    assert must_be({**read, "eave": feet(1)}, "eave") == pytest.approx(feet(40))
    assert must_be({**read, "low_rake": feet(95)}, "ridge") is None


def test_the_document_repeats_it_in_units() -> None:
    read = {**SQUARE, "up": feet(50) + inches(1), "down": feet(50)}
    said = survey_document(corners_of(surveyed_plane(read), "in"))
    assert said["how"] == "fitted" and said["worst"] in ("up", "down")
    assert [one["corner"] for one in said["corners"]] == list("ABCD")
    assert said["corners"][0]["x"] == 0 and said["corners"][1]["x"] == pytest.approx(480.2, abs=.01)
    assert said["readings"][0]["residual"] == pytest.approx(-0.2, abs=0.001)
    assert said["against_drawing"][0] == {"name": "eave", "drawn": 480.0, "differs":
                                          pytest.approx(0.2, abs=0.001)}


def refused(plane_of: object) -> tuple[str, ...]:
    with pytest.raises(SurveyError) as error:
        corners_of(plane_of, "in")  # type: ignore[arg-type]
    assert isinstance(error.value, OffseamError) and isinstance(error.value, ValueError)
    assert error.value.plane == "S" and str(error.value).startswith("plane S: ")
    return error.value.problems


def test_flat_triangles_do_not_close() -> None:
    assert closes(3, 4, 5) and closes(3, 4, 6)
    assert not closes(3, 4, 7) and not closes(7, 3, 4) and not closes(3, 7, 4)
    one, two = refused(surveyed_plane({**SQUARE, "up": feet(70)}))
    assert one == (
        "the diagonal up (70' 0\") is not shorter than eave (40' 0\") and high rake (30' 0\") "
        "together: these three make no triangle, so at least one of them is misread")
    assert "ridge (40' 0\") and low rake (30' 0\")" in two


def test_a_tick_less_closes_and_bends_flat() -> None:
    """Just short of flat the plane is a needle, but a plane."""
    found = corners_of(surveyed_plane({**SQUARE, "up": feet(70) - 1}), "in")
    assert found.outs[1].angle > 179.9


def test_what_is_missing_is_told_all_at_once() -> None:
    problems = refused(surveyed_plane({"eave": feet(40), "low_rake": 0}))
    assert len(problems) == 4
    assert "needs the ridge" in problems[0] and "needs the high rake" in problems[1]
    assert "needs a diagonal" in problems[2]
    assert problems[3] == 'the low rake is 0": it must be more than 0'
    assert refused(make_plane()) == ("it has no survey",)


def test_a_plane_with_an_outline_is_refused() -> None:
    plane = replace(make_outlined(HIP), survey=Survey(eave=1))
    assert "outline" in refused(plane)[0]


def test_a_dart_is_refused_with_both_diagonals_too() -> None:
    corners = ((0, 0), (feet(40), 0), (feet(12), feet(9)), (0, feet(30)))
    for names in (ALL, ALL[:5]):
        (problem,) = refused(surveyed_plane(read_off(corners, names)))
        assert "180 degrees or more at the high end of the ridge" in problem


def test_offsets_by_hand() -> None:
    """Low: 20 ft at the eave, 19 ft 9 in at 30 ft up; high: 20 ft and 20 ft 6 in."""
    plane = surveyed_plane({}, base=feet(20), offsets=(
        Offset(0, feet(20), feet(20)), Offset(feet(30), feet(19, 9), feet(20, 6))))
    found = corners_of(plane, "in")
    assert found.how == "offsets"
    assert found.corners == ((0, 0), (feet(40), 0), (feet(40, 6), feet(30)), (inches(3), feet(30)))
    assert found.worst is None
    base = found.readings[-1]
    assert (base.name, base.fitted, base.residual) == ("base", False, 0)


def test_offsets_with_one_too_many_by_hand() -> None:
    """Low at 0, 10 and 20 ft: 0, 3, 0 in off the mean: the line is level, 1 in out: -1, +2, -1."""
    plane = surveyed_plane({"eave": feet(40), "up": feet(51)}, offsets=(
        Offset(0, feet(20), feet(20)), Offset(feet(10), feet(20, 3), None),
        Offset(feet(20), feet(20), feet(20))))
    found = corners_of(plane, "in")
    left = [one.residual / TICKS_PER_INCH for one in found.readings[:3]]
    assert left == pytest.approx([-1, 2, -1])
    assert [one.name for one in found.readings] == [
        "low at 0\"", "low at 10' 0\"", "low at 20' 0\"", "high at 0\"", "high at 20' 0\"", "eave",
        "up"]
    assert found.corners[1] == (feet(40) + inches(1), 0) and found.low_lean == 0
    eave, up = found.readings[-2:]
    assert not eave.fitted and eave.residual == -inches(1)
    assert found.worst is up and up.residual > inches(2)


def test_base_counts_where_no_offset_was_taken_at_the_eave() -> None:
    plane = surveyed_plane({}, base=feet(20), offsets=(
        Offset(feet(30), feet(19), feet(20)), Offset(0, None, feet(20))))
    found = corners_of(plane, "in")
    assert found.low_lean == feet(1)
    assert found.readings[0].name == "base" and found.readings[0].fitted


def test_impossible_offsets() -> None:
    one = surveyed_plane({}, offsets=(Offset(feet(1), feet(20), feet(20)),
                                      Offset(feet(1), feet(21), feet(20))))
    problems = refused(one)
    assert [text.split(" needs")[0] for text in problems] == ["the low rake", "the high rake"]
    crossing = surveyed_plane({}, offsets=(Offset(0, feet(20), feet(20)),
                                           Offset(feet(30), -feet(20), feet(20))))
    (problem,) = refused(crossing)
    assert "rakes cross: at the ridge" in problem


def test_readings_that_contradict_each_other_wildly_are_told_not_hidden() -> None:
    """All four triangles close, yet the diagonals are 12 ft longer than the sides allow."""
    read = {**SQUARE, "up": feet(62), "down": feet(62)}
    found = corners_of(surveyed_plane(read), "in")
    assert found.worst is not None and abs(found.worst.residual) > feet(5)


def test_roots_are_exact_or_cut_off() -> None:
    assert root(Fraction(9, 16)) == Fraction(3, 4)
    assert root(Fraction(8, 2)) == 2
    near = root(Fraction(2))
    assert near * near < 2 < (near + Fraction(1, 2**500)) ** 2


def test_a_line_by_hand() -> None:
    """Points (0, 0), (1, 0), (2, 3): lean 3/2, at -1/2 (normal equations by hand)."""
    assert fit_line([(0, 0), (1, 0), (2, 3)]) == (Fraction(-1, 2), Fraction(3, 2))


def test_parallel_is_what_a_tape_can_tell() -> None:
    def ridge(rise: int) -> bool:
        return corners_of(surveyed_plane(read_off(
            ((0, 0), (mm(12000), 0), (mm(12000), mm(9000) + rise), (0, mm(9000))), ALL[:5])),
            "mm").ridge_parallel
    assert ridge(TICKS_PER_MM - 3) and not ridge(TICKS_PER_MM + 3)
