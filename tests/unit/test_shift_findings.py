"""Findings on layouts whose seams leave the plain grid, and on the case's own play."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.case import Case
from solver.checker.judge import judge
from solver.findings.of_answer import result_findings
from solver.findings.of_case import case_findings
from solver.findings.shifts import shift_findings
from solver.layout import Change, Layout, Odd
from solver.result import Against, Finding, Judged, Ranked
from tests.unit.builders import inches, make_case, make_link, make_plane, mm


def slopes(*, stagger: bool = False, **more: int) -> Case:
    """Two slopes of 200 in that start with 14 in at the same gable."""
    planes = (make_plane("S", width=inches(200)),
              make_plane("N", width=inches(200), lay="right-to-left"))
    return make_case(planes=planes, links=(make_link(stagger=stagger),), **more)


def laid(case: Case, *odds: Odd, firsts: tuple[str, ...] = ("14", "14"),
         changes: tuple[Change, ...] = ()) -> Judged:
    return judge(case, Layout(tuple(inches(one) for one in firsts), (), odds, changes))


def found(case: Case, judged: Judged, code: str) -> list[Finding]:
    named = [("Layout 1", judged)]
    return [finding for finding in shift_findings(case, named) if finding.code == code]


def test_seams_that_meet_at_the_start_and_stray_behind_an_odd_panel() -> None:
    """An odd panel of 12 in puts all behind it 6 in off the other slope's."""
    case = slopes(odd_panels=1)
    judged = laid(case, Odd(0, 3, inches(12)))
    (finding,) = found(case, judged, "link-strays")
    assert (finding.severity, finding.about) == ("warning", ("S", "N"))
    assert finding.says == (
        "Layout 1: the seams of S and N meet where the laying starts, but not over the whole "
        "length: odd panels shift what lies behind, and they come to miss by up to 6\".")
    assert found(case, laid(case), "link-strays") == []


def test_the_same_odd_panel_on_both_slopes_strays_nowhere() -> None:
    case = slopes(odd_panels=1)
    judged = laid(case, Odd(0, 3, inches(12)), Odd(1, 3, inches(12)))
    assert found(case, judged, "link-strays") == []


@pytest.mark.parametrize(("steps", "told"), [(4, False), (5, True)])
def test_it_warns_only_beyond_the_tolerance(steps: int, told: bool) -> None:
    """The tolerance is 1/4 in: four panels each 4/64 wider are just within it."""
    case = slopes(play=inches("1/8"))
    judged = laid(case, changes=(Change(0, 1, steps * inches("1/64")),))
    said = found(case, judged, "link-strays")
    assert bool(said) is told
    assert not told or "changed modules shift" in said[0].says


def test_seams_that_miss_already_are_not_told_twice() -> None:
    case = slopes(odd_panels=1)
    judged = laid(case, Odd(0, 3, inches(12)), firsts=("14", "10"))
    assert not judged.links[0].meet and found(case, judged, "link-strays") == []


def test_staggered_seams_stray_from_half_a_cover() -> None:
    case = slopes(stagger=True, odd_panels=1)
    judged = laid(case, Odd(0, 3, inches(12)), firsts=("14", "14"))
    judged = replace(judged, links=(replace(judged.links[0], meet=True, strays2=inches(12)),))
    (finding,) = found(case, judged, "link-strays")
    assert "stand half a cover off each other where" in finding.says


def test_odd_panels_and_play_each_get_one_note_for_all_layouts() -> None:
    case = slopes(odd_panels=1, play=inches("1/16"))
    odd = laid(case, Odd(1, 3, inches(12)))
    wide = laid(case, changes=(Change(0, 2, inches("1/64")),))
    notes = shift_findings(case, [("Layout 1", laid(case)), ("Layout 2", odd), ("Layout 3", wide)])
    told = {note.code: note for note in notes if note.severity == "note"}
    assert set(told) == {"odd-panels", "play"} and len(notes) == 3  # and Layout 2's link strays
    assert told["odd-panels"].about == ("N",) and told["play"].about == ("S",)
    assert "panel maker" in told["odd-panels"].says and "do not line up" in told["odd-panels"].says
    assert "do not exceed it" in told["play"].says
    assert shift_findings(case, [("Layout 1", laid(case))]) == []


def test_the_list_has_them_beside_its_narrow_windows() -> None:
    case = slopes(odd_panels=1)
    judged = laid(case, Odd(0, 3, inches(12)))
    entry = Ranked(1, judged, 0, ((inches(14), inches(14)),) * 2, Against({}, {}, 0, ""))
    codes = [finding.code for finding in result_findings(case, (entry,))]
    assert codes == ["narrow-window", "narrow-window", "link-strays", "odd-panels"]


def test_a_line_is_no_start_to_be_off() -> None:
    case = make_case(planes=(make_plane(start=inches(50)),))
    judged = judge(case, Layout((0,), ()))
    entry = Ranked(1, judged, 0, ((inches(14), inches(14)),), Against({}, {}, 0, ""))
    assert result_findings(case, (entry,)) == []


def test_both_slopes_from_a_line_start_from_no_gable() -> None:
    planes = tuple(make_plane(name, start=inches(50)) for name in ("S", "N"))
    case = make_case(planes=planes, links=(make_link(),))
    assert "same-lay" not in {finding.code for finding in case_findings(case)}
    ends = replace(case, planes=(make_plane("S"), make_plane("N")))
    assert "same-lay" in {finding.code for finding in case_findings(ends)}


def test_slopes_beside_a_hip_have_no_gable_to_start_from() -> None:
    planes = (make_plane("S"), make_plane("N"))
    for along, told in (("hip", False), ("valley", False), ("ridge", True), ("", True)):
        link = replace(make_link(), along=along)
        codes = {found.code for found in case_findings(make_case(planes=planes, links=(link,)))}
        assert ("same-lay" in codes) is told


@pytest.mark.parametrize(("play", "told"), [("1/8", False), ("9/64", True)])
def test_more_play_than_is_common_is_asked_about(play: str, told: bool) -> None:
    codes = {finding.code for finding in case_findings(make_case(play=inches(play)))}
    assert ("wide-play" in codes) is told
    metric = make_case(units="mm", mark=mm(1), play=mm(3) if not told else mm(4))
    assert ("wide-play" in {finding.code for finding in case_findings(metric)}) is told


def test_the_rate_of_play_is_a_guess_only_where_play_is_allowed() -> None:
    case = make_case()
    guessed = replace(case, rates=replace(case.rates, default=("play",)))
    assert case_findings(guessed) == []
    played = replace(guessed, rules=replace(case.rules, play=inches("1/16")))
    (finding,) = case_findings(played)
    assert finding.code == "rates-default" and "own: play." in finding.says
