"""The whole report: every part there, within 80 columns, whatever the names say."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rich.cells import cell_len

from cli.report.closing import CAUTIONS, rates_words
from cli.report.findings_part import MOST_OF_A_CODE, findings_lines
from cli.report.lines import Line, plain
from cli.report.pages import check_page, solve_page
from cli.report.ranked_table import ranked_lines
from solver.api import Checked, case_from_document, check, solve
from solver.case import Case
from solver.result import COUNT_NAMES, Finding, Result
from tests.unit.builders import inches, make_case, make_curb, make_link, make_pipe, make_plane


def text_of(lines: list[Line]) -> str:
    return "\n".join(plain(one) for one in lines)


def flat(text: str) -> str:
    """The text as one line, so that a test does not care where lines break."""
    return " ".join(text.split())


@pytest.fixture(scope="module")
def gable() -> Case:
    """Two linked slopes, laid from the same gable, something in every state."""
    planes = (
        replace(make_plane("S", width=inches(600)), low_end="west gable", high_end="east gable"),
        replace(make_plane("N", width=inches(600), lay="right-to-left"), low_end="east gable",
                high_end="west gable"),
    )
    return make_case(
        make_pipe(inches(100), "V1", status="planned"),
        make_pipe(inches(105), "V2", y=inches(40)),
        make_pipe(inches(112), "V3", y=inches(150)),
        make_pipe(inches(300), "W1", plane="N", status="stubbed"),
        make_pipe(inches(6), "W2", plane="N"),
        make_curb(inches(420), "C1", plane="N"),
        planes=planes, links=(make_link(),),
    )  # fmt: skip


@pytest.fixture(scope="module")
def solved(gable: Case) -> Result:
    return solve(gable)


@pytest.fixture(scope="module")
def page(solved: Result) -> str:
    return text_of(solve_page(solved, 1))


def test_the_parts_come_in_order(page: str) -> None:
    parts = ["A roof", "LAYOUTS, BEST FIRST", " usual ", " as drawn ", "Blind start",
             "LAYOUT 1 IN FULL", "PLANE S:", "PLANE N:", "| seam", "FINDINGS",
             "BEFORE YOU BUILD FROM THIS"]
    places = [page.index(part) for part in parts]
    assert places == sorted(places)


def test_no_line_is_wider_than_the_page(page: str) -> None:
    assert max(cell_len(one) for one in page.split("\n")) <= 80


def test_the_table_holds_every_cost_and_count(solved: Result) -> None:
    text = text_of(ranked_lines(solved))
    rows = {one.split()[0]: one for one in text.split("\n") if one[:1] == " " and one[1:2].strip()}
    assert "usual" in rows
    for entry in solved.layouts:
        cents = entry.judged.cost.total
        assert f"{cents // 100:,}.{cents % 100:02d}" in rows[str(entry.rank)]
        assert "proven" in rows[str(entry.rank)]
        if entry.rank > 1:
            assert flat(entry.against_first.says) in flat(text)
    assert solved.usual is not None and solved.blind is not None
    assert f"{solved.usual.cost.total / 100:,.2f}" in rows["usual"]
    assert f"mean {solved.blind.mean / 100:,.2f}" in flat(text)


def test_a_penetration_is_told_in_full() -> None:
    # By hand, seams at 14, 32, 50, 68, 86 in, 1/2 in a side, base 8 in, gap 1/2 in: needed 4 1/2.
    # 26 1/4: 12 1/4 past seam 1, 5 3/4 before seam 2, so room 5 1/4 and margin 3/4.
    # 70: 2 in past seam 4, so room 1 1/2: the hole needs 2 3/8, it meets the seam.
    case = make_case(make_pipe(inches("26 1/4"), "V1"), make_pipe(inches(70), "V2"))
    checked = check(case, {"S": inches(14)}, {})
    lines = text_of(check_page(checked, None)).split("\n")
    (one,) = (line for line in lines if line.split()[1:2] == ["V1"])
    assert one.split() == ["o", "V1", '4"', "pipe", "2'", "2", '1/4"', "clear", "5", '1/4"', "4",
                           '1/2"', '3/4"', "1|2"]
    (two,) = (line for line in lines if line.split()[:2] == ["@", "V2"])
    assert two.split() == ["@", "V2", '4"', "pipe", "5'", '10"', "on", "a", "seam", "1", '1/2"',
                           "4", '1/2"', '-3"', "4|5"]
    # Clear between seams 4 and 5: from 68 + 1/2 + 4 1/2 = 73 in to 86 - 5 = 81 in.
    says = "its hole meets seam 4; clear in this pan from 6' 1\" to 6' 9\"."
    assert says in flat(" ".join(lines))


def test_margins_are_never_overstated() -> None:
    # 1 tick short of 5 1/4 in of room: the margin shows as 11/16 in, not 3/4 in.
    case = make_case(make_pipe(inches("26 1/4") + 1, "V1"))
    text = text_of(check_page(check(case, {"S": inches(14)}, {}), None))
    (row,) = (line for line in text.split("\n") if line.split()[1:2] == ["V1"])
    assert row.split()[-2:] == ['11/16"', "1|2"]


def test_room_less_needed_is_never_more_than_is_there() -> None:
    # 1 tick more room than 5 1/4 in, 1 tick more needed than 4 1/2 in: the margin is 3/4 in. Room
    # shows as 5 1/4 in, needed as 4 9/16 in: on paper they never leave more than there is.
    case = make_case(make_pipe(inches("26 1/4") - 1, "V1", base=inches(8) + 2))
    text = text_of(check_page(check(case, {"S": inches(14)}, {}), None))
    (row,) = (line for line in text.split("\n") if line.split()[1:2] == ["V1"])
    assert row.split()[-6:] == ["5", '1/4"', "4", '9/16"', '3/4"', "1|2"]


def test_unevenness_and_linked_starts_are_explained(solved: Result) -> None:
    text = flat(text_of(ranked_lines(solved)))
    place = COUNT_NAMES.index("uneven")
    uneven = any(row.counts[place] for row in (*(e.judged for e in solved.layouts), solved.as_drawn)
                 if row is not None)
    assert uneven == ("one unit for each whole inch by which the first and last panel of a plane "
                      'differ beyond 2", added up over the planes' in text)
    assert text.count("if one is off, the other slope must follow") == len(solved.layouts)
    metric = replace(solved.case, units="mm", links=())
    lone = flat(text_of(ranked_lines(replace(solved, case=metric))))
    assert uneven == ("one unit for each 25 mm by which" in lone) and "must follow" not in lone


def test_moves_seams_and_links_are_in_words(gable: Case) -> None:
    checked = check(gable, {"S": inches(9), "N": inches(9)}, {"V1": -inches("2 1/2")})
    text = flat(text_of(check_page(checked, None)))
    assert ('MOVE 2 1/2" towards the west gable (planned): drawn at 8\' 4", set to '
            "8' 1 1/2\".") in text
    assert "from the west gable to the east gable" in text
    assert "Laid right-to-left, from the west gable to the east gable" in text
    assert "across the ridge" in text
    assert "the other slope (N) must follow" in text


def test_an_edge_takes_the_place_of_a_seam_by_name(gable: Case) -> None:
    checked = check(gable, {"N": inches(12)}, {})
    text = text_of(check_page(checked, None))
    (row,) = (line for line in text.split("\n") if line.split()[1:2] == ["W2"] and "|" in line)
    assert row.endswith("33|end")  # laid from the west, so the east gable is the far side
    assert "on a seam" not in row and "meets end" in row
    assert "its hole meets the turn-up at the east gable" in flat(text)


def test_seam_numbers_against_x_are_said_once(gable: Case) -> None:
    text = flat(text_of(check_page(check(gable, {}, {}), None)))
    assert ("seams are numbered from the west gable, against x, which is measured from the east "
            "gable.") in text
    assert text.count("against x") == 1 and "seams are numbered from the west gable. " in text


def test_a_curb_says_which_seams_it_cuts() -> None:
    case = make_case(make_curb(inches(41), "C1", across=inches(24)))
    text = flat(text_of(check_page(check(case, {"S": inches(14)}, {}), None)))
    assert "cuts 2 seams (2 to 3)" in text


def test_what_is_not_proven_shows_bound_and_gap(solved: Result) -> None:
    first = solved.layouts[0]
    open_entry = replace(first, bound=first.judged.cost.total - 4000)
    result = replace(solved, layouts=(open_entry,), proven=False, complete=False, stopped="time",
                     seconds=12.0)
    text = flat(text_of(solve_page(result, 1)))
    assert "at most 40.00 could still be saved" in text and "not proven" in text
    assert "ended by the time limit after 12.0 s" in text
    assert "by Ctrl-C" in flat(text_of(solve_page(replace(result, stopped="interrupt"), 1)))


def test_without_a_layout_the_report_says_why_it_is_empty(solved: Result) -> None:
    none = replace(solved, layouts=(), complete=True)
    assert "NO LAYOUT SATISFIES THE RULES" in text_of(solve_page(none, 1))
    late = replace(none, complete=False, stopped="time", usual=None, as_drawn=None, blind=None)
    assert "TIME RAN OUT BEFORE ANY LAYOUT" in text_of(solve_page(late, 1))


def test_the_cautions_close_every_report(page: str, gable: Case) -> None:
    checked = text_of(check_page(check(gable, {}, {}), None))
    unpriced = text_of(check_page(Checked(gable, None, (), ()), None))
    for text in (page, checked, unpriced):
        for caution in CAUTIONS:
            assert caution in flat(text)


def test_guessed_rates_are_named_while_they_are_guesses(gable: Case) -> None:
    assert rates_words(gable) == []
    base = {"title": "t", "units": "in", "panel": {"cover": 18},
            "plane": [{"id": "S", "width": 240, "length": 144}]}
    (every,) = rates_words(case_from_document(base))
    assert "every one" in every
    some = {**base, "rates": {"crew_hour": 90, "plumber_hour": 100}}
    (told,) = rates_words(case_from_document(some))
    assert "a tight pipe" in told and "crew" not in told


def test_findings_come_by_weight_and_long_runs_are_cut() -> None:
    many = [Finding("narrow-window", "warning", ("a",), f"pair {n}.") for n in range(40)]
    note, error = Finding("held", "note", (), "a note."), Finding("no-start", "error", (), "bad.")
    text = text_of(findings_lines([note, *many, error]))
    assert text.index("bad.") < text.index("pair 0.") < text.index("a note.")
    assert f"pair {MOST_OF_A_CODE - 1}." in text and f"pair {MOST_OF_A_CODE}." not in text
    assert f"and {40 - MOST_OF_A_CODE} more of [narrow-window]" in flat(text)


def test_many_findings_of_one_kind_are_told_together() -> None:
    near = [Finding("near-pair", "warning", (f"a{n}", f"b{n}"), "told apart.") for n in range(9)]
    text = flat(text_of(findings_lines(near)))
    assert "9: a0-b0, a1-b1, a2-b2," in text and "a8-b8 stand nearer to each other" in text
    assert "told apart." not in text
    assert text_of(findings_lines(near[:8])).count("told apart.") == 8  # with their distances


def test_a_wide_curb_is_told_in_the_units_of_its_readers() -> None:
    wide = [Finding("wide-curb", "warning", (f"C{n}",), "told apart.") for n in range(4)]
    assert 'are over 23 5/8" (600 mm) across' in flat(text_of(findings_lines(wide, "in")))
    assert "are over 600 mm across" in flat(text_of(findings_lines(wide, "mm")))


def test_twenty_planes_and_every_count_still_fit(solved: Result) -> None:
    first = solved.layouts[0]
    full = replace(first.judged, counts=(12345,) * len(COUNT_NAMES),
                   cost=replace(first.judged.cost, flashing=98765432100),
                   planes=first.judged.planes * 10)
    roof = replace(solved.case, planes=solved.case.planes * 10)
    entry = replace(first, judged=full, windows=first.windows * 10)
    result = replace(solved, case=roof, layouts=(entry,), usual=None, as_drawn=None)
    text = text_of(ranked_lines(result))
    assert max(cell_len(one) for one in text.split("\n")) <= 80
    assert "987,6" in text and flat(text).count("12,345") + text.count("12345 ") >= 12


def test_every_listed_layout_can_be_shown(solved: Result) -> None:
    for entry in solved.layouts:
        assert f"LAYOUT {entry.rank} IN FULL" in text_of(solve_page(solved, entry.rank))
