"""Planes that no start serves: what is said where, and that no layout is ever denied."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random

import pytest

from solver.api import solve
from solver.case import Case
from solver.case_parts import Lean
from solver.checker.judge import judge
from solver.errors import ChoiceError
from solver.findings.no_start import (
    nearest_lines,
    no_bent_start_findings,
    no_start_findings,
    plain_ends,
    plain_start_findings,
)
from solver.findings.of_answer import no_layout_findings
from solver.layout import Layout, Odd
from tests.unit.builders import inches, make_case, make_plane


def short(width: str = "20", *, min_end: str = "12", **more: object) -> Case:
    """20 in under 18 in panels whose ends are at least 12 in: two ends alone would take 24."""
    plane = make_plane(width=inches(width))
    return make_case(planes=(plane,), min_end=inches(min_end), **more)  # type: ignore[arg-type]


def test_a_plain_plane_without_a_start_is_named_with_what_would_do() -> None:
    (finding,) = no_start_findings(short())
    assert (finding.code, finding.severity, finding.about) == ("no-start", "error", ("S",))
    assert 'The largest min_end that works is 10".' in finding.says
    assert no_start_findings(short(min_end="10")) == []


@pytest.mark.parametrize("more", [{"odd_panels": 1}, {"play": inches("1/16")}])
def test_where_more_than_plain_panels_is_allowed_the_search_decides(
    more: dict[str, int]
) -> None:
    case = short("56", min_end="13", **more)
    assert not plain_ends(case, case.planes[0])
    assert no_start_findings(case) == []
    (plain,) = plain_start_findings(case)
    assert plain == no_start_findings(short("56", min_end="13"))[0]


def test_odd_panels_that_make_the_ends_legal_are_no_verdict() -> None:
    """56 in, ends 13 to 18: plain panels leave 56 - 18 = 38 > 36 or 20 < 26; an odd panel of 20 to
    30 in is no panel, but 18 and one of 9 to 12 in leave 26 to 29 in for the ends."""
    assert no_bent_start_findings(short("56", min_end="13", odd_panels=1)) == []
    (finding,) = no_bent_start_findings(short("56", min_end="13", odd_panels=1,
                                              odd_min=inches(13)))
    # 56 - 13 … 56 - 17 15/16 is 38 1/16 … 43; less a full panel 20 1/16 … 25: never 26 to 36.
    assert finding.code == "no-start" and finding.about == ("S",)
    assert 'not even with one odd panel of 13" to 17 15/16".' in finding.says
    assert 'Plane S, 4\' 8" wide, has no layout' in finding.says
    assert 'With full panels alone the largest that works is 10".' in finding.says


def test_play_that_makes_the_ends_legal_is_no_verdict() -> None:
    """37 in, ends 18: 36 and no full panel, or 54 and more. 55 in: 18, 18 + 1/16 …, 18: with a
    play of 1 in the middle panel takes 19."""
    case = short("55", min_end="18", play=inches(1))
    assert no_bent_start_findings(case) == []
    less = replace(case, rules=replace(case.rules, play=inches("15/16")))
    (finding,) = no_bent_start_findings(less)
    assert 'a play of 15/16" a panel' in finding.says


def test_two_odd_widths_are_added_up() -> None:
    """Ends 18 each and full panels of 18; 12 and 15 in leave 36 of 63: both are needed."""
    case = short("63", min_end="18", odd_panels=2, odd_widths=(inches(12), inches(15)))
    assert no_bent_start_findings(case) == []
    one = replace(case, rules=replace(case.rules, odd_panels=1))
    (finding,) = no_bent_start_findings(one)
    assert 'one odd panel of 12" or 15"' in finding.says


def test_a_line_that_leaves_a_sliver_is_told_where_it_would_do() -> None:
    """100 in, the line at 20: 2 in are left at the low end, 80 leave 8 at the high one. At 18 it is
    18 and 10. Up to 24 the low end is under 6; from 24 on the high run is 76 and less, which leaves
    under 6 until it is 72 and the end a full panel: the line at 28."""
    plane = replace(make_plane(start=inches(20)), low_end="valley", high_end="hip")
    case = make_case(planes=(plane,))
    (finding,) = no_start_findings(case)
    assert finding.code == "no-start" and finding.about == ("S",)
    assert 'a panel of 2" at the valley and one of 8" at the hip' in finding.says
    assert nearest_lines(case, plane) == [inches(18), inches(28)]
    assert "With the line at 1' 6\" or 2' 4\" both would be." in finding.says
    assert 'min_end of at most 2"' in finding.says
    assert no_start_findings(replace(case, rules=replace(case.rules, min_end=inches(2)))) == []


@pytest.mark.parametrize("seed", range(30))
def test_the_nearest_lines_are_the_nearest(seed: int) -> None:
    """Against every whole mark of the plane, tried one by one with the checker."""
    dice = Random(seed)
    mark = inches(1) // dice.choice((1, 2))
    plane = make_plane(width=inches(dice.randint(20, 90)), start=inches("7 1/4"))
    plane = replace(plane, start=inches("1/4") * dice.randint(1, plane.width // inches("1/4") - 1))
    case = make_case(planes=(plane,), mark=mark, min_end=inches(dice.randint(3, 12)))

    def good(at: int) -> bool:
        there = replace(case, planes=(replace(plane, start=at),))
        return not judge(there, Layout((0,), ())).breaks

    assert plane.start is not None
    every = [at for at in range(mark, plane.width, mark) if at != plane.start and good(at)]
    below = [at for at in every if at < plane.start]
    above = [at for at in every if at > plane.start]
    assert nearest_lines(case, plane) == [*below[-1:], *above[:1]]
    assert bool(no_start_findings(case)) == (not good(plane.start))


def test_no_line_at_all_is_said() -> None:
    """20 in under 18 in panels with ends of at least 11: no line leaves both."""
    plane = make_plane(width=inches(20), start=inches(5))
    case = make_case(planes=(plane,), min_end=inches(11))
    (finding,) = no_start_findings(case)
    assert "No line on a whole mark would do." in finding.says


def test_a_plane_that_is_one_panel_needs_no_line() -> None:
    plane = make_plane(width=inches(15), start=inches(2))
    assert no_start_findings(make_case(planes=(plane,))) == []


def test_a_line_with_odd_panels_counts_them_over_both_runs() -> None:
    """The line at 20 in: the low run needs one odd panel (20 - 12 = 8); the high run of 74 in
    leaves 2, so it needs one as well: with one panel there is no layout, with two there is."""
    plane = make_plane(width=inches(94), start=inches(20))
    one = make_case(planes=(plane,), odd_panels=1)
    (finding,) = no_bent_start_findings(one)
    assert "7' 10\" wide, laid both ways from a line at 1' 8\", has no" in finding.says
    assert "one odd panel of" in finding.says and "With the line at" in finding.says
    assert no_bent_start_findings(make_case(planes=(plane,), odd_panels=2)) == []


@pytest.mark.parametrize("seed", range(60))
def test_a_layout_that_exists_is_never_denied(seed: int) -> None:
    """Every layout of small planes is tried with the checker; where one is legal nothing is said,
    and without play the other way round as well."""
    dice = Random(seed)
    low = dice.randint(6, 9)
    line = seed % 2 == 1
    width = inches(dice.randint(19, 44))
    plane = make_plane(width=width, start=inches(dice.randint(1, width // inches(1) - 1))
                       if line else None)
    widths = tuple(sorted(dice.sample([inches(n) for n in range(4, 10)], 2)))
    case = make_case(
        planes=(plane,), cover=inches(10), mark=inches(1), min_end=inches(low), odd_panels=2,
        odd_widths=widths if seed % 3 else (), odd_min=inches(5),
    )
    allowed = case.rules.odd_widths or tuple(inches(n) for n in range(5, 10))
    numbers = range(-5, 6) if line else range(2, 7)

    def legal() -> bool:
        for first in [0] if line else [inches(n) for n in range(low, 11)]:
            for count in range(3):
                for panels in product(numbers, repeat=count):
                    if len(set(panels)) < count or 0 in panels:
                        continue
                    for chosen in product(allowed, repeat=count):
                        odds = tuple(sorted(
                            Odd(0, panel, wide) for panel, wide in zip(panels, chosen, strict=True)
                        ))
                        try:
                            if not judge(case, Layout((first,), (), odds)).breaks:
                                return True
                        except ChoiceError:
                            continue
        return False

    assert bool(no_bent_start_findings(case)) == (not legal())


def test_no_layout_names_the_ends_before_anything_else() -> None:
    case = short("56", min_end="13", odd_panels=1, odd_min=inches(13))
    (finding,) = no_layout_findings(case, [])
    assert finding.code == "no-start" and "odd panel" in finding.says


@pytest.mark.parametrize(("fan", "low", "high"), [(False, 13, 13), (False, 0, -13), (True, 0, 40)])
def test_a_lean_no_play_makes_good_is_told_as_the_ends_of_its_plane(
    fan: bool, low: int, high: int
) -> None:
    """An end of 6 to 18 in cannot taper by 13; four full panels with 1/4 in of play cannot share
    40. No link is to blame: the case has none."""
    plane = replace(make_plane(), lean=Lean(inches(low), inches(high), fan, inches(100)))
    case = make_case(planes=(plane,), play=inches("1/4"), odd_panels=1)
    result = solve(case)
    errors = [finding for finding in result.findings if finding.severity == "error"]
    assert not result.layouts and [one.code for one in errors] == ["no-start"]
    assert errors[0].about == ("S",) and errors[0].says.startswith("Plane S, ")
