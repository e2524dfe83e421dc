"""What a survey makes the program say: findings and the printed page."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from rich.cells import cell_len

from cli.report.lines import plain
from cli.report.survey_part import survey_lines
from solver.case import Case
from solver.case_parts import Offset
from solver.findings.of_case import case_findings
from solver.findings.of_survey import DIFFERS, MISFIT, survey_findings
from solver.result import Finding
from tests.unit.builders import inches, make_case, make_plane, mm
from tests.unit.survey_builders import feet, read_off, surveyed_plane

ALL = ("eave", "ridge", "low_rake", "high_rake", "up", "down")
TRUE = {"eave": feet(40), "ridge": feet(40), "low_rake": feet(30), "high_rake": feet(30),
        "up": feet(50)}


def case_of(read: dict[str, int], **more: Any) -> Case:
    return make_case(planes=(surveyed_plane(read, **more),))


def found(case: Case) -> dict[str, Finding]:
    return {finding.code: finding for finding in survey_findings(case)}


def page(case: Case) -> list[str]:
    lines = [plain(line) for line in survey_lines(case, case.planes[0])]
    assert all(cell_len(line) <= 80 for line in lines), lines
    return lines


def test_a_true_plane_says_nothing() -> None:
    case = case_of(TRUE)
    assert not found(case)
    text = "\n".join(page(case))
    assert "S AS SURVEYED" in text and "tape the other diagonal" in text
    assert text.count("90.00°") == 4 and "Out of square" not in text


def test_a_plane_without_a_survey_says_nothing() -> None:
    case = make_case(planes=(make_plane(),))
    assert not found(case) and not survey_lines(case, case.planes[0])


def test_out_of_square_says_where_and_by_how_much() -> None:
    corners = ((0, 0), (feet(40), 0), (feet(40, 3), feet(30)), (0, feet(30)))
    case = case_of(read_off(corners, ALL))
    note = found(case)["out-of-square"]
    assert note.severity == "note" and note.about == ("S",)
    assert '3" too wide at B (eave, east gable) over 30\' 0"' in note.says
    assert '3" too narrow at C (ridge, east gable)' in note.says
    assert "at A" not in note.says and "at D" not in note.says
    assert "beyond that at B, C" in note.says and "0.005" in note.says
    assert note in case_findings(case)
    text = " ".join(" ".join(page(case)).split())
    assert '(east gable) leans 3" towards the east gable' in text
    assert 'ridge is 3" longer than the eave and runs parallel' in text


def test_out_of_square_within_the_proxy() -> None:
    """1 in in 30 ft is 0.0028."""
    corners = ((0, 0), (feet(40), 0), (feet(40, 1), feet(30)), (0, feet(30)))
    assert "all corners are within that" in found(case_of(read_off(corners, ALL)))[
        "out-of-square"].says


def test_less_than_half_a_mark_is_square() -> None:
    corners = ((0, 0), (feet(40), 0), (feet(40, "1/64"), feet(30)), (0, feet(30)))
    assert not found(case_of(read_off(corners, ALL)))


def test_a_misfit_on_the_limit_and_beyond() -> None:
    """A residual is a quarter of one diagonal's slip where 3-4-5 is taped (see the corners)."""
    case = case_of({**TRUE, "down": feet(50, "15/16")})
    assert "survey-misfit" not in found(case)
    case = case_of({**TRUE, "down": feet(50, "1 1/16")})
    warning = found(case)["survey-misfit"]
    assert warning.severity == "warning" and "diagonal" in warning.says
    assert "cannot say which reading is wrong" in warning.says
    assert "diagonal down 50' 0\" (-1 1/16\")" in warning.says
    assert "diagonal down 50' 0\" (-1 1/16\")" in " ".join(" ".join(page(case)).split())
    assert (MISFIT["in"], MISFIT["mm"]) == (inches("1/4"), mm(6))


def test_a_side_off_the_drawing() -> None:
    long = {**TRUE, "eave": feet(40, 1), "ridge": feet(40, 1)}
    long["up"] = read_off(((0, 0), (0, 0), (feet(40, 1), feet(30)), (0, 0)), ("up",))["up"]
    warning = found(case_of(long))["survey-differs"]
    assert warning.severity == "warning" and "as-drawn" in warning.says
    assert 'eave 1" longer than the 40\' 0" drawn' in warning.says
    assert "rake" not in warning.says
    assert found(case_of(long, run="square"))["survey-differs"].severity == "note"
    assert (DIFFERS["in"], DIFFERS["mm"]) == (inches("1/2"), mm(12))


def test_impossible_is_an_error_for_each_thing() -> None:
    case = case_of({**TRUE, "up": feet(80)})
    errors = list(survey_findings(case))
    assert [error.code for error in errors] == ["survey-impossible"] * 2
    assert all(error.severity == "error" and error.about == ("S",) for error in errors)
    assert "no triangle" in errors[0].says
    assert sum("Impossible:" in line for line in page(case)) == 2


def test_offsets_are_told_one_by_one() -> None:
    case = case_of({"eave": feet(40)}, base=feet(20), offsets=(
        Offset(feet(10), feet(20, 1), feet(20)), Offset(feet(30), feet(20), feet(20))))
    text = "\n".join(page(case))
    assert "low offset at 10' 0\"" in text and "base line" in text
    warning = found(case)["survey-misfit"].says
    assert "the low offset at 10' 0\"" in warning and "Six readings" not in warning


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_page_fits_whatever_ends_are_called(units: str) -> None:
    corners = ((0, 0), (feet(212, "3 5/16"), 0), (feet(214, "7 15/16"), feet(101, "11 13/16")),
               (-feet(3, "11 11/16"), feet(102, "10 9/16")))
    read = read_off(corners, ALL)
    read["down"] += feet(1)
    plane = replace(surveyed_plane(read), id="S\x1b[31m", low_end="w" * 90, high_end="東" * 60)
    case = make_case(planes=(plane,), units=units,  # type: ignore[arg-type]
                     mark=inches("1/16") if units == "in" else mm(1))
    text = "\n".join(page(case))
    assert "\x1b" not in text
    assert all(len(finding.says) < 2000 for finding in survey_findings(case))
