"""Covers against each other, what is agreed, and margins after the worst shift, as printed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rich.cells import cell_len

from cli.report.findings_part import findings_lines
from cli.report.lines import plain
from cli.report.pages import check_page, solve_page
from solver.api import check, solve
from solver.case import Case, Freeze
from solver.result import CoverRanked, Finding, Result
from tests.unit.builders import inches, make_case, make_pipe
from tests.unit.test_report_page import flat, text_of


def row_of(text: str, name: str) -> list[str]:
    """The words of the table row of one penetration."""
    (row,) = (one for one in text.split("\n") if one.split()[1:2] == [name] and "|" in one[-6:])
    return row.split()


def with_rules(case: Case, **rules: object) -> Case:
    return replace(case, rules=replace(case.rules, **rules))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def solved() -> Result:
    # 9 in apart, each needing 5 in to a seam's centre: no 18 in pan holds both clear, and a seam
    # halfway leaves both tight, 100.00; moving V1 costs 60.00.
    return solve(make_case(make_pipe(inches(60), "V1", y=inches(30), status="planned"),
                           make_pipe(inches(69), "V2", y=inches(150))))


def test_covers_come_first_with_cost_widths_and_what_they_buy(solved: Result) -> None:
    first = solved.layouts[0]
    other = replace(first, rank=2, against_first=replace(first.against_first, says="saves a move"))
    across = (CoverRanked(inches(18), first), CoverRanked(inches(20), other))
    text = text_of(solve_page(replace(solved, across=across), 1))
    part = text[text.index("COVERS COMPARED"):text.index("LAYOUTS, BEST FIRST")]
    rows = [one.split() for one in part.split("\n") if one[1:2].isdigit()]
    assert [row[:2] for row in rows] == [["1", '18"'], ["2", '20"']]
    assert all(f"{first.judged.cost.total / 100:,.2f}" in row for row in rows)
    assert "Against the first: saves a move." in part and "first / last: S" in part
    assert 'panels that cover 18", the best of them' in flat(part)
    assert max(map(cell_len, text.split("\n"))) <= 80
    assert "COVERS COMPARED" not in text_of(solve_page(solved, 1))


def test_what_is_agreed_is_marked_and_priced(solved: Result) -> None:
    case, best = solved.case, solved.layouts[0].judged
    moved = best.penetrations[0].moved
    assert moved
    agreed = replace(case, freeze=Freeze((("S", best.planes[0].first),),
                                         (("V1", moved), ("V2", 0))))
    result = replace(solved, case=agreed, unfrozen=best.cost.total - 12345)
    text = flat(text_of(solve_page(result, 1)))
    assert ("What is agreed (first panel of S; place of V1 and V2) costs 123.45 more than "
            "starting free.") in text
    assert " (agreed) at the S left end" in text and "(planned, agreed): drawn" in text
    assert "agreed: stays as drawn." in text
    free = flat(text_of(solve_page(replace(result, unfrozen=best.cost.total), 1)))
    assert "costs no more than starting free" in free
    assert "agreed" not in text_of(solve_page(solved, 1))


def test_a_margin_after_the_worst_shift_is_shown_and_at_risk_said() -> None:
    # Seams at 14, 32, 50 … in; V1 at 23 1/4: 8 3/4 to the next seam, room 8 1/4, margin 3 3/4.
    # V2 at 72 3/4: 4 3/4 past seam 4 (68 in), room 4 1/4, needed 4 1/2: tight. V3 at 55 1/8: 5 1/8
    # past the third seam (50 in), two panels after the line at 14 in: room 4 5/8, margin 1/8, and
    # after 2 * 1/16 + 1/16 of its own it is 1/16 short. V1: the second seam may come 1/16 nearer.
    pens = [make_pipe(inches(x), name)
            for name, x in (("V1", "23 1/4"), ("V2", "72 3/4"), ("V3", "55 1/8"))]
    pens[2] = replace(pens[2], x_tol=inches("1/16"))
    case = with_rules(make_case(*pens), cover_tol=inches("1/16"))
    text = text_of(check_page(check(case, {"S": inches(14)}, {}), None))
    assert row_of(text, "V3")[7:] == ["at", "risk", "4", '5/8"', "4", '1/2"', '1/8"', '-1/16"',
                                      "3|4"]
    assert row_of(text, "V1")[-5:] == ["3", '3/4"', "3", '11/16"', "1|2"]
    assert "tight" in row_of(text, "V2")
    assert "AT RISK: clear as laid out, not after the worst shift." in text
    assert '"After worst shift" is the margin' in flat(text) and "robust" not in text


def test_without_tolerances_nothing_is_said_of_shifts() -> None:
    case = make_case(make_pipe(inches("23 1/4"), "V1"))
    text = text_of(check_page(check(case, {"S": inches(14)}, {}), None))
    assert "worst shift" not in text and "at risk" not in text.lower()


def test_a_robust_case_says_what_its_states_are_judged_by() -> None:
    case = make_case(make_pipe(inches("55 1/8"), "V3"))
    case = with_rules(case, cover_tol=inches("1/8"), robust=True)
    text = flat(text_of(check_page(check(case, {"S": inches(14)}, {}), None)))
    assert "judged by the margin after the worst shift" in text and "robust = true" in text
    assert "tight" in text and "AT RISK" not in text


def test_a_wide_table_gives_up_needed_before_it_cuts_what_is_in_it() -> None:
    case = make_case(*(make_pipe(inches("55 1/16") + inches(18 * n), f"LAB-VENT-{n:03}",
                                 outside=inches("4 3/16"), base=inches("8 3/16"))
                       for n in range(2)))
    case = with_rules(case, cover_tol=inches("1/16"))
    text = text_of(check_page(check(case, {"S": inches("13 15/16")}, {}), None))
    assert max(map(cell_len, text.split("\n"))) <= 80
    assert '4 3/16" pipe' in text and "LAB-VENT-001" in text and "margin" in text


def test_revision_and_date_stand_below_the_title() -> None:
    case = replace(make_case(), revision="B", date="2031-04-02")
    lines = [plain(one) for one in check_page(check(case, {}, {}), None)]
    assert lines[1] == "Revision B, 2031-04-02."
    only = [plain(one) for one in check_page(check(replace(case, date=""), {}, {}), None)]
    assert only[1] == "Revision B."


def test_pipes_at_risk_are_told_layout_by_layout() -> None:
    found = [Finding("at-risk", "warning", (name,), f"Layout {rank}: {name} is at risk.")
             for rank in (1, 2) for name in ("A", "B", "C")]
    text = flat(text_of(findings_lines(found)))
    assert "Layout 1, 3: A, B, C are clear, but not after" in text
    assert "Layout 2, 3: A, B, C are clear, but not after" in text
