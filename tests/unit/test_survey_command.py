"""`offseam survey` as a process, and the ways it lays side by side."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len

from cli.report.lines import plain
from cli.report.survey_ways import ways_page
from solver.api import load_case, solve
from solver.case import Case
from solver.clock import Clock
from solver.survey.rerun import RUNS, with_run
from solver.survey.ways import Ways, ways_to_lay
from tests.demo_cases import case_path
from tests.unit.builders import inches
from tests.unit.cli_runs import HEAD, SHED, offseam, write

PLANE = """\
[[plane]]
id = "S"
width = "20 ft"
length = "12 ft"
low_end = "west gable"
high_end = "east gable"
"""
# From corners (0, 0), (240, 0), (242, 144), (3, 144) by hand: the sides are exact where upright or
# level; the others to 1/16 in.
SURVEY = """\
[plane.survey]
eave = "20 ft"
ridge = "19' 11\\""
low_rake = 144.03125
high_rake = 144.015625
up = 281.609375
run = "RUN"
"""
PIPE = """\
[[penetration]]
id = "V1"
plane = "S"
kind = "pipe"
x = "10 ft"
y = "11 ft"
outside = 3.5
"""


def case_text(run: str = "as-drawn", rules: str = "play = 0.125", plane: str = PLANE) -> str:
    return f"{HEAD}[rules]\n{rules}\n{plane}{SURVEY.replace('RUN', run)}{PIPE}"


def ways(case: Case) -> Ways:
    return ways_to_lay(case, Clock(), lambda laid, clock: solve(laid, top=1, clock=clock))


def load(tmp_path: Path, text: str) -> Case:
    return load_case(write(tmp_path, text))


def text_of(found: Ways) -> str:
    return "\n".join(plain(line) for line in ways_page(found))


# ---------------------------------------------------------------------------- laid another way


@pytest.mark.parametrize("run", RUNS)
@pytest.mark.parametrize("back", RUNS)
def test_a_case_laid_another_way_is_the_case_whose_file_says_so(
    tmp_path: Path, run: str, back: Any
) -> None:
    one, other = load(tmp_path, case_text(run)), load(tmp_path, case_text(back))
    laid = with_run(one, back)
    assert laid.planes == other.planes and laid.penetrations == other.penetrations
    assert replace(laid, sha256=other.sha256) == other


def test_other_planes_and_covers_are_laid_too(tmp_path: Path) -> None:
    text = case_text().replace("cover = 18", "cover = [16, 18]")
    text += PLANE.replace('id = "S"', 'id = "N"')
    laid = with_run(load(tmp_path, text), "square")
    assert [plane.lean is not None for plane in laid.planes] == [True, False]
    assert len(laid.covers) == 2
    for cover in laid.covers:
        assert cover.planes == laid.planes and cover.penetrations == laid.penetrations


# ---------------------------------------------------------------------------- the ways


def test_what_each_way_comes_to(tmp_path: Path) -> None:
    found = ways(load(tmp_path, case_text()))
    assert [way.run for way in found.ways] == list(RUNS)
    drawn, square, fan = found.ways
    assert (drawn.ends[0].top, drawn.ends[0].share) == (drawn.ends[0].eave, 0)
    lean = square.case.planes[0].lean
    assert lean is not None
    first, last = square.ends[0].eave
    assert square.ends[0].top == (first - lean.low, last + lean.high)  # the low rake leans in
    assert lean.low == pytest.approx(inches(3), abs=inches("1/8"))
    assert lean.high == pytest.approx(inches(2), abs=inches("1/8"))
    assert fan.ends[0].top == fan.ends[0].eave
    assert fan.ends[0].full == len(fan.best.judged.planes[0].seams) - 1  # type: ignore[union-attr]
    share = Fraction(lean.high - lean.low, fan.ends[0].full)
    assert fan.ends[0].share == pytest.approx(float(share))
    costs = [way.best.judged.cost.total for way in (square, fan) if way.best]
    assert found.cheapest is not None and found.cheapest.best is not None
    assert found.cheapest.best.judged.cost.total == min(costs)


def test_each_way_is_what_solve_says_of_a_case_that_asks_for_it(tmp_path: Path) -> None:
    found = ways(load(tmp_path, case_text()))
    for way in found.ways:
        own = solve(load(tmp_path, case_text(way.run)), top=1)
        assert way.best is not None and own.layouts[0].judged == way.best.judged


def test_the_drawing_on_the_roof_as_it_is(tmp_path: Path) -> None:
    found = ways(load(tmp_path, case_text(plane=PLANE.replace('low_end', 'lay = "right-to-left"\n'
                                                                         'low_end'))))
    on, drawn = found.on_roof, found.ways[0].best
    assert on is not None and on.judged is not None and drawn is not None
    assert on.judged.layout == drawn.judged.layout
    first, last = on.ends[0].eave
    assert first == drawn.judged.planes[0].first  # begun at the same end
    assert first + last + inches(18) * (on.judged.planes[0].panels - 2) == on.case.planes[0].width


@pytest.mark.parametrize(("rules", "plane", "more", "says"), [
    ("min_end = 6", PLANE, "", "there is no play"),
    ("play = 0.125", PLANE + 'lay = "from"\nfrom = 120\n', "", "laid both ways from a line"),
    ("play = 0.125", PLANE, PLANE.replace('"S"', '"N"') +
     '[[link]]\nplanes = ["S", "N"]\nhow = "mirror"\n', "linked to plane N"),
])
def test_why_a_fan_is_not_possible(
    tmp_path: Path, rules: str, plane: str, more: str, says: str
) -> None:
    found = ways(load(tmp_path, case_text(rules=rules, plane=plane) + more))
    fan = found.ways[2]
    assert fan.best is None and fan.result is None
    assert [plane for plane, _ in fan.why] == ["S"]
    assert says in fan.why[0][1] and says in " ".join(text_of(found).split())


def test_a_fan_beyond_play_and_ends_that_cannot_taper_are_told(tmp_path: Path) -> None:
    found = ways(load(tmp_path, case_text(rules="play = 0.015625\nmin_end = 15")))
    square, fan = found.ways[1:]
    assert square.best is None and fan.best is None and found.cheapest is None
    text = " ".join(text_of(found).split())
    assert "No way to lay the roof as it was surveyed obeys the rules" in text
    assert "full panels have to share that" in text or "has no first width" in text


def test_a_pipe_off_the_roof_as_surveyed(tmp_path: Path) -> None:
    text = case_text().replace('x = "10 ft"', "x = 2.5")
    found = ways(load(tmp_path, text))
    assert found.ways[0].best is not None
    for way in found.ways[1:]:
        assert way.why == (("S", "as entered V1 would stand off it: tape the place again"),)
    assert found.on_roof is not None and found.on_roof.judged is None


def test_the_page_fits_and_hostile_text_is_data(tmp_path: Path) -> None:
    hostile = load(tmp_path, case_text().replace('"S"', '"=[b]S"'))
    ends = replace(hostile.planes[0], low_end="w[bold]\x1b[31m\n" * 20)
    for case in (replace(hostile, planes=(ends,)), load_case(case_path("garage"))):
        said = text_of(ways(case))
        assert max(cell_len(line) for line in said.split("\n")) <= 80
        assert said.replace("\n", "").isprintable()


# ---------------------------------------------------------------------------- as a process


def test_it_prints_the_page_and_writes_the_document(tmp_path: Path) -> None:
    target = tmp_path / "survey.json"
    done = offseam("survey", str(case_path("garage")), "--json", str(target))
    assert (done.returncode, done.stderr) == (0, "")
    for part in ("G AS SURVEYED", "WAYS TO LAY IT", "drawn, here", "Cheapest on the roof",
                 "Asks the crew, plane G", "BEFORE YOU BUILD FROM THIS"):
        assert part in done.stdout, part
    document = json.loads(target.read_text(encoding="utf-8"))
    assert document["format"] == "offseam-survey-1"
    assert [way["run"] for way in document["ways"]] == list(RUNS)
    assert document["cheapest"] == min(
        document["ways"][1:], key=lambda way: way["total"])["run"]
    assert document["surveys"][0]["survey"]["how"] == "fitted"
    for way in document["ways"]:
        assert way["possible"] and way["proof"] == "proven" and not way["why"]
        assert way["layout"]["cost"]["total"] == way["total"]
        (ends,) = way["ends"]
        (plane,) = way["layout"]["planes"]
        assert [ends["first"]["eave"], ends["last"]["eave"]] == [plane["first"], plane["last"]]
        assert [ends["first"]["top"], ends["last"]["top"]] == plane.get(
            "top", [plane["first"], plane["last"]])
    assert document["drawn_on_roof"]["legal"] is True


def test_json_in_place_of_the_page() -> None:
    done = offseam("survey", str(case_path("garage")), "--json", "-")
    assert done.returncode == 0 and json.loads(done.stdout)["format"] == "offseam-survey-1"


def test_no_plane_was_surveyed(tmp_path: Path) -> None:
    file = write(tmp_path, SHED)
    done = offseam("survey", file)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        f"{file}: plane S: no plane has a survey; add a table [plane.survey] below the [[plane]] "
        "that was taped, with eave, ridge, low_rake, high_rake and a diagonal (up or down), or "
        "with base and offsets\n")


def test_an_impossible_survey(tmp_path: Path) -> None:
    file = write(tmp_path, case_text().replace("up = 281.609375", "up = 500"))
    done = offseam("survey", file)
    assert done.returncode == 2 and "Impossible:" in done.stdout
    assert done.stderr.startswith(f"{file}: plane S survey: the diagonal up")
    assert "Traceback" not in done.stderr


def test_no_way_is_legal(tmp_path: Path) -> None:
    file = write(tmp_path, case_text(rules="min_end = 17.5"))
    done = offseam("survey", file)
    assert done.returncode == 3
    assert f"{file}: no way to lay the roof as surveyed satisfies the rules" in done.stderr
    assert "there is no play" in done.stderr


def test_bad_options(tmp_path: Path) -> None:
    file = write(tmp_path, case_text())
    done = offseam("survey", file, "--time", "-1", "--json", file)
    assert done.returncode == 2 and done.stdout == ""
    assert "--time -1: give a number of seconds above 0" in done.stderr
    assert "--json" in done.stderr
