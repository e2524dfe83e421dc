"""The report of planes that leave the plain grid: odd panels, changed modules, laid from a line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from rich.cells import cell_len

from cli.report.bent_part import altered, bent_lines, left_out_lines
from cli.report.closing import rates_words
from cli.report.layout_detail import detail_lines
from cli.report.lines import Line, plain
from cli.report.pages import check_page, solve_page
from cli.report.ranked_table import ranked_lines
from cli.report.strip import Strip
from cli.report.words import SeamNumbers
from solver.api import check
from solver.case import Case, Plane
from solver.checker.judge import judge
from solver.findings.of_roof_answer import binding_seam
from solver.layout import Change, Layout, Odd
from solver.result import Against, Judged, Ranked, Result
from tests.unit.builders import inches, make_case, make_link, make_pipe, make_plane
from tests.unit.cli_runs import SHED, offseam, write


def text_of(lines: list[Line]) -> str:
    text = "\n".join(plain(one) for one in lines)
    assert max(map(cell_len, text.split("\n"))) <= 80
    return text


def flat(lines: list[Line]) -> str:
    return " ".join(text_of(lines).split())


def gable(plane: Plane) -> Plane:
    return replace(plane, low_end="west gable", high_end="east gable")


def laid(
    case: Case, firsts: tuple[str, ...] = ("14",), odds: tuple[Odd, ...] = (),
    changes: tuple[Change, ...] = (),
) -> Judged:
    layout = Layout(tuple(inches(one) for one in firsts), (0,) * len(case.penetrations), odds,
                    changes)
    return judge(case, layout)


def test_an_odd_panel_by_hand() -> None:
    """First panel 14, then 18s: panel 4 goes from 50 in; 12 1/2 wide it ends at 62 1/2."""
    case = make_case(planes=(gable(make_plane(width=inches(200))),), odd_panels=1)
    judged = laid(case, odds=(Odd(0, 4, inches("12 1/2")),))
    says = flat(bent_lines(case, case.planes[0], judged.planes[0]))
    assert says == ("ODD: panel 4 from the west gable is 12 1/2\" wide, from 4' 2\" to 5' 2 1/2\"; "
                    "everything behind it stands 5 1/2\" back.")


def test_a_second_odd_panel_tells_both_shifts() -> None:
    """Panel 2 from 14 to 24 in, 8 less than a full one; panel 5 is 12: 6 less, 14 in all."""
    case = make_case(planes=(gable(make_plane(width=inches(200))),), odd_panels=2)
    judged = laid(case, odds=(Odd(0, 2, inches(10)), Odd(0, 5, inches(12))))
    says = flat(bent_lines(case, case.planes[0], judged.planes[0]))
    assert "from 1' 2\" to 2' 0\"; everything behind it stands 8\" back." in says
    # 24 in + two full panels: panel 5 begins at 60 in.
    assert ("from 5' 0\" to 6' 0\"; everything behind it stands 6\" back for it, 14\" in all."
            in says)


def test_laid_from_the_high_end_places_are_still_from_the_low_end() -> None:
    """Panel 3 from the east: its near edge stands 14 + 18 = 32 in from the high end at 200."""
    plane = gable(make_plane(width=inches(200), lay="right-to-left"))
    case = make_case(planes=(plane,), odd_panels=1)
    says = flat(bent_lines(case, plane, laid(case, odds=(Odd(0, 3, inches(12)),)).planes[0]))
    assert ("panel 3 from the east gable is 12\" wide, from 13' 0\" to 14' 0\" (measured from the "
            "west gable); everything behind it stands 6\" back.") in says


def test_odd_panels_on_either_side_of_a_line() -> None:
    """The line at 100 in: panel -1 from 88 to 100, panel 2 from 118 to 128."""
    plane = gable(make_plane(width=inches(200), start=inches(100)))
    case = make_case(planes=(plane,), odd_panels=2)
    judged = laid(case, odds=(Odd(0, -1, inches(12)), Odd(0, 2, inches(10))))
    says = flat(bent_lines(case, plane, judged.planes[0]))
    assert ("panel 1 from the line towards the west gable (number -1) is 12\" wide, from 7' 4\" to "
            "8' 4\" (measured from the west gable); everything beyond it, to the west gable, "
            "stands 6\" nearer the line.") in says
    assert "panel 2 from the line towards the east gable is 10\" wide, from 9' 10\"" in says
    assert "in all" not in says  # each shifts its own run
    more = make_case(planes=(plane,), odd_panels=3)
    both = laid(more, odds=(Odd(0, -2, inches(11)), Odd(0, -1, inches(12)), Odd(0, 2, inches(10))))
    says = flat(bent_lines(more, plane, both.planes[0]))
    assert "stands 7\" nearer the line for it, 13\" in all." in says and says.count("in all") == 1


def playing(width: str = "460", **more: int) -> Case:
    """Rules: play 1/16 in, a control line every four panels."""
    plane = gable(make_plane(width=inches(width)))
    return make_case(planes=(plane,), play=inches("1/16"), odd_panels=1, **more)


def test_changed_modules_are_a_table_by_hand() -> None:
    """Seams at 14, 32, …: stretch 2 is panels 6 to 9. Each 1/64 wider: seam 9 stands 4/64 past
    14 + 8 * 18 = 158 in."""
    case = playing()
    judged = laid(case, changes=(Change(0, 2, inches("1/64")), Change(0, 4, inches("-1/32"))))
    lines = bent_lines(case, case.planes[0], judged.planes[0])
    rows = [plain(one).split("  ") for one in lines]
    cells = [[cell.strip() for cell in row if cell.strip()] for row in rows]
    assert ["6 to 9", "4", '18 1/64"', '1/64" wider', '1/16" wider', "13' 2 1/16\""] in cells
    # Panels 14 to 17, seam 17 at 14 + 16 * 18 + 1/16 - 1/8.
    assert ["14 to 17", "4", '17 31/32"', '1/32" narrower', '1/8" narrower',
            "25' 1 15/16\""] in cells
    assert 'all others to 18"' in flat(lines) and 'the changes take 1/16" narrower' in flat(lines)


def test_stretches_on_end_with_one_module_are_one_row() -> None:
    case = playing()
    changes = tuple(Change(0, s, inches("1/32")) for s in (1, 2, 3))
    judged = laid(case, odds=(Odd(0, 7, inches(12)),), changes=changes)
    (run,) = altered(case, case.planes[0], judged.planes[0])
    # Panels 2 to 13, of which panel 7 is odd: 11 full ones.
    assert (run.first_panel, run.last_panel, run.stretches, run.full) == (2, 13, 3, 11)
    lines = bent_lines(case, case.planes[0], judged.planes[0])
    row = next(plain(one) for one in lines if plain(one).strip().startswith("2 to 13"))
    assert row.split()[3:5] == ["3", "11"] and '11/32" wider' in row


def test_stretches_apart_or_across_the_line_stay_two_rows() -> None:
    case = playing()
    apart = laid(case, changes=tuple(Change(0, s, inches("1/32")) for s in (1, 3)))
    assert len(altered(case, case.planes[0], apart.planes[0])) == 2
    plane = gable(make_plane(width=inches(460), start=inches(230)))
    both = replace(case, planes=(plane,))
    judged = laid(both, changes=tuple(Change(0, s, inches("1/32")) for s in (-1, 1)))
    runs = altered(both, plane, judged.planes[0])
    assert [(run.first_panel, run.last_panel) for run in runs] == [(1, 4), (-1, -4)]


def test_an_end_panel_is_never_named_in_a_stretch() -> None:
    """100 in from 14: panels 2 to 5 are full, 6 is the last; stretch 2 would be panels 6 to 9."""
    case = replace(playing("100"))
    case = replace(case, rules=replace(case.rules, remeasure=8))
    judged = laid(case, changes=(Change(0, 1, inches("1/64")),))
    (run,) = altered(case, case.planes[0], judged.planes[0])
    assert (run.first_panel, run.last_panel, run.full) == (2, 5, 4)


def test_a_plain_layout_says_nothing_of_it() -> None:
    case = playing()
    assert bent_lines(case, case.planes[0], laid(case).planes[0]) == []
    text = flat(detail_lines(case, laid(case)))
    assert "ODD" not in text and "MODULE" not in text and "odd panel" not in text


def strip_rows(case: Case, judged: Judged) -> list[str]:
    pairs = list(zip(case.penetrations, judged.penetrations, strict=True))
    strip = Strip(case, case.planes[0], judged.planes[0], pairs)
    return [plain(one) for one in strip.lines()]


def test_the_strip_fills_an_odd_panel_with_its_own_sign() -> None:
    """One character is 2 in. Odd panel 3 from 32 to 44 in: columns 16 to 22, seams on either."""
    case = make_case(make_pipe(inches(38)), planes=(gable(make_plane()),), odd_panels=1)
    judged = laid(case, odds=(Odd(0, 3, inches(12)),))
    (row,) = (one for one in strip_rows(case, judged) if one.startswith("    ["))
    assert row[5 + 16 : 5 + 23] == "|::o::|"
    assert row.count(":") == 4
    legend = flat(detail_lines(case, judged))
    assert ": odd panel" in legend and "seam 0" not in legend


def test_the_strip_numbers_seams_from_the_line() -> None:
    plane = gable(make_plane(start=inches(50)))
    case = make_case(planes=(plane,))
    judged = laid(case)
    numbers = next(one for one in strip_rows(case, judged) if one.startswith("seam"))
    # Seams at 14, 32, 50, 68, 86 in; the line stands at 50.
    assert numbers.split()[1:] == ["-2", "-1", "0", "1", "2"]
    legend = flat(detail_lines(case, judged))
    assert "seam 0 is the line it is laid from" in legend and ": odd panel" not in legend


def test_rows_of_a_long_strip_with_an_odd_panel_are_drawn() -> None:
    plane = gable(make_plane(width=inches(12 * 300)))
    case = make_case(planes=(plane,), odd_panels=1)
    judged = laid(case, odds=(Odd(0, 100, inches(12)),))
    assert any("|::|" in one for one in strip_rows(case, judged))
    assert not any("::" in one for one in strip_rows(case, laid(case)))


def test_a_plane_laid_from_a_line_is_told_as_one() -> None:
    plane = gable(make_plane(start=inches(50)))
    case = make_case(make_pipe(inches(41)), make_pipe(inches(96), "V2"), planes=(plane,))
    text = flat(detail_lines(case, laid(case), ((inches(14), inches(14)),)))
    assert ("Laid both ways from a line 4' 2\" from the west gable; seams are numbered from the "
            "line, which is seam 0, minus towards the west gable.") in text
    assert 'End panels: 14" at the west gable, 14" at the east gable' in text
    assert "First panel" not in text and "The start" not in text
    assert "-1|0" in text and "2|end" in text


def test_what_a_pipe_meets_goes_by_the_side_that_faces_it() -> None:
    """Back 1/2, fwd 2 in. Right of the line a seam has its back towards the line: a pipe between
    seams 1 (68 in) and 2 (86 in), 9 in off both, has 7 in to seam 1 and 8 1/2 to seam 2. Left of it
    it is the other way round."""
    plane = gable(make_plane(start=inches(50)))
    pens = (make_pipe(inches(77), base=inches(16)), make_pipe(inches(23), "V2", base=inches(16)),
            make_pipe(inches(41), "V3", base=inches(16)))
    case = make_case(*pens, planes=(plane,), seam_back=inches("1/2"), seam_fwd=inches(2))
    judged = laid(case)
    found = [
        binding_seam(case, plane, judged.planes[0], pen, stands)
        for pen, stands in zip(pens, judged.penetrations, strict=True)
    ]
    # V3, between seam -1 (32 in) and the line: the line takes 2 in on both sides, seam -1 1/2 in.
    assert found == [inches(68), inches(32), inches(50)]
    assert [stands.room2 // 2 for stands in judged.penetrations] == [inches(7)] * 3


def test_seam_numbers_on_every_way_of_laying() -> None:
    for plane, want in (
        (make_plane(), [1, 2, 3, 4, 5]), (make_plane(lay="right-to-left"), [5, 4, 3, 2, 1]),
        (make_plane(start=inches(68)), [-3, -2, -1, 0, 1]),
    ):
        case = make_case(planes=(plane,))
        numbers = SeamNumbers(plane, laid(case).planes[0])
        assert [numbers.of(inches(x)) for x in (14, 32, 50, 68, 86)] == want


@pytest.fixture
def linked() -> tuple[Case, Judged]:
    """Both slopes 100 in, the first seam 14 in from the same gable; one has an odd panel."""
    planes = (gable(make_plane("S")),
              replace(make_plane("N", lay="right-to-left"), low_end="east", high_end="west"))
    case = make_case(planes=planes, links=(make_link(),), odd_panels=1)
    return case, laid(case, ("14", "14"), (Odd(0, 3, inches(12)),))


def test_a_link_that_strays_is_told_with_the_link(linked: tuple[Case, Judged]) -> None:
    case, judged = linked
    assert judged.links[0].meet and judged.links[0].strays2 == 2 * inches(6)
    says = ("Its seams meet those of plane N across the ridge where the laying starts, but over "
            "the whole length they come to miss by up to 6\".")
    assert says in flat(detail_lines(case, judged))
    assert "come to miss" not in flat(detail_lines(case, laid(case, ("14", "14"))))


def listed(case: Case, judged: Judged, **more: object) -> Result:
    windows = tuple((plane.first, plane.first) for plane in judged.planes)
    entry = Ranked(1, judged, judged.cost.total, windows, Against({}, {}, 0, ""))
    return replace(Result(case, "tables", (entry,), None, None, None, (), True, True), **more)


def test_the_list_names_odd_panels_and_modules() -> None:
    case = playing()
    odds, changes = (Odd(0, 7, inches("12 1/2")),), (Change(0, 1, inches("1/64")),)
    judged = laid(case, odds=odds, changes=changes)
    lines = ranked_lines(listed(case, judged))
    text = flat(lines)
    assert 'S panel 7 odd, 12 1/2"; S panels 2 to 5 +1/64" each' in text.replace("\u00a0", " ")
    assert "There is no usual layout and no blind start to compare with" in text
    page = flat(solve_page(listed(case, judged), 1))
    assert "changes of module 25.00" in page and "odd panels 210.00" in page
    assert "Allowed: up to 1 odd panel a plane, 9\" to 17 15/16\" wide; a module up to" in page


def test_the_list_calls_ends_ends_where_nothing_is_laid_first() -> None:
    plane = gable(make_plane(start=inches(50)))
    case = make_case(planes=(plane,))
    text = flat(ranked_lines(listed(case, laid(case))))
    assert 'ends: S 14" / 14"' in text and "start may be" not in text
    mixed = make_case(planes=(plane, make_plane("N")))
    text = flat(ranked_lines(listed(mixed, laid(mixed, ("14", "14")))))
    assert "first / last (laid both ways: low / high end):" in text
    assert "start may be: N must be exact" in text


def test_no_cost_of_play_is_named_where_there_is_none() -> None:
    case = make_case()
    page = flat(solve_page(listed(case, laid(case)), 1))
    assert "module" not in page and "Allowed" not in page


def test_findings_of_a_checked_layout_name_what_bends_it() -> None:
    case = playing("460")
    plain_one = flat(check_page(check(case, {"S": inches(14)}, {}), None))
    assert "[odd-panels]" not in plain_one and "[play]" not in plain_one
    bent = check(case, {"S": inches(14)}, {}, {"S": {7: inches(12)}}, {"S": {1: inches("1/64")}})
    text = flat(check_page(bent, None))
    assert "[odd-panels]" in text and "[play]" in text and "MODULE CHANGED" in text


def test_the_rate_of_play_is_no_guess_where_nothing_can_be_charged_for_it() -> None:
    case = make_case()
    rates = replace(case.rates, default=("play", "uneven"))
    assert rates_words(replace(case, rates=rates)) == [
        "These rates are guesses until the case gives them: uneven ends."]
    played = replace(case, rates=rates, rules=replace(case.rules, play=inches("1/16")))
    assert "a stretch of another module" in " ".join(rates_words(played))


def test_pages_about_plain_starts_say_what_they_leave_out() -> None:
    assert left_out_lines(make_case(), "this") == []
    odd = make_case(odd_panels=1)
    assert flat(left_out_lines(odd, "this")).startswith("Odd panels are left out of this:")
    one = make_case(play=inches("1/16"))
    assert flat(left_out_lines(one, "this")).startswith("Play is left out of this:")
    every = make_case(odd_panels=1, play=inches("1/16"), planes=(make_plane(start=inches(50)),))
    says = flat(left_out_lines(every, "this"))
    assert says.startswith("Odd panels and play are left out of this:")
    assert "offseam solve counts them in. Plane S is laid both ways from a line:" in says


def test_why_names_no_first_width_where_a_line_leaves_none(tmp_path: Path) -> None:
    """The line at 96 in, where the pipe V1 stands: 6 in are left at the low end, 18 at the high."""
    text = SHED.replace('low_end =', 'lay = "from"\nfrom = 96\nlow_end =', 1).replace(
        "[[plane]]", "[rules]\nodd_panels = 1\n[[plane]]", 1)
    done = offseam("why", write(tmp_path, text))
    says = " ".join(done.stdout.split())
    assert done.returncode == 0, done.stderr
    assert "Odd panels are left out of this explanation" in says
    assert "Plane S is laid from a line, so its full panels leave V1 one place" in says
    assert "comes nearest" not in says and "the 6\" that its line leaves at the west gable" in says
