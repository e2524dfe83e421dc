"""The page, the spreadsheet, the JSON and the command of the take-off."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest
from rich.cells import cell_len

from cli.report.lines import plain
from cli.report.takeoff_csv import takeoff_csv
from cli.report.takeoff_part import takeoff_page
from cli.report.takeoff_words import quantity, signed, signed_money, whole
from solver.api import load_case, solve
from solver.case import Case
from solver.checker.judge import judge
from solver.findings.tradeoff import money
from solver.layout import Layout
from solver.takeoff.document import takeoff_document
from solver.takeoff.lines import TakeOff, take_off, take_offs
from tests.demo_cases import case_path, names
from tests.unit.builders import inches, look, make_case, make_curb, make_pipe
from tests.unit.cli_runs import NOTHING_OBEYS, SHED, hostile_case, offseam, write
from tests.unit.takeoff_cases import priced


def rows(text: str) -> list[dict[str, str]]:
    assert text.startswith("\ufeff") and "\r\n" in text
    found = list(csv.reader(io.StringIO(text[1:], newline="")))
    assert len({len(row) for row in found}) == 1 and len(set(found[0])) == len(found[0])
    return [dict(zip(found[0], row, strict=True)) for row in found[1:]]


def page(found: TakeOff, *others: TakeOff, complete: bool = True) -> str:
    return "\n".join(plain(line) for line in takeoff_page(found, others, complete=complete))


def small() -> TakeOff:
    case = priced(make_case(make_pipe(inches(23), "A", status="planned"),
                            make_pipe(inches(32), "B"), make_curb(inches(50))),
                  fastener=("0", "0.155"))
    return take_off(case, look(case), look(case, first=inches(9)), 700_00)


def test_the_page_says_what_the_lines_hold() -> None:
    found = small()
    text = page(found)
    for line in found.lines:
        assert line.item.words in text
    assert money(found.sums.total) in text and money(found.sums.rest) in text
    assert found.saves_on_usual is not None and money(found.saves_on_usual.extra) in text
    assert "saves on the blind mean" in text and "worst" not in text
    assert "Quantities to be verified before ordering." in text
    assert "0.155" in text
    for note in found.notes:
        assert " ".join(note.split()) in " ".join(text.split())
    assert "SIDE BY SIDE" not in text
    both = page(found, found, replace(found, rank=2), complete=False)
    assert "THE BEST 2 LAYOUTS SIDE BY SIDE" in both and "the list may go on" in both


def test_words() -> None:
    assert quantity(Decimal("2500.0")) == "2,500" and quantity(None) == "-"
    assert quantity(Decimal("0.10")) == "0.1" and quantity(Decimal("1E-7")) == "0.0000001"
    assert signed(Decimal(3)) == "+3" and signed(Decimal("-1.5")) == "-1.5"
    assert signed(Decimal(0)) == "0" and signed(None) == "-"
    assert signed_money(5) == "+0.05" and signed_money(-5) == "-0.05" and signed_money(0) == "0.00"
    assert whole(Decimal("3.5")) == "3.50" and whole(Decimal("0.155")) == "0.155"
    assert whole(Decimal("28812")) == "28,812.00" and whole(Decimal("2.5E2")) == "250.00"


def test_the_spreadsheet_adds_up() -> None:
    found = small()
    read = rows(takeoff_csv(found))
    lines = [row for row in read if row["part"] in ("extra", "rest of the roof")]
    assert len(lines) == len(found.lines)
    assert sum(Decimal(row["amount"] or 0) for row in read) * 100 == found.sums.total
    extra = [row for row in lines if row["in the optimizer's total"] == "yes"]
    assert sum(Decimal(row["amount"] or 0) for row in extra) * 100 == found.judged.cost.total
    assert found.usual_sums is not None
    assert sum(Decimal(row["amount usual"] or 0) for row in read) * 100 == found.usual_sums.total
    for row in lines:
        this, usual = Decimal(row["quantity this layout"]), Decimal(row["quantity usual"])
        assert Decimal(row["difference"]) == this - usual
        if row["amount"]:
            hours, material = Decimal(row["hours"]), Decimal(row["material"])
            assert hours == this * Decimal(row["hours each"])
            assert material == this * Decimal(row["material each"])
            by_hand = hours * Decimal(row["trade rate"]) + material
            assert abs(by_hand - Decimal(row["amount"])) <= Decimal("0.005")
            assert row["whose rate"] in ("case", "guess") and row["trade"] == "roof crew"
        else:
            assert row["note"]
    notes = [row["item"] for row in read if row["part"] == "clarification"]
    assert notes == list(found.notes)
    adds = {row["item"]: row["price each"] for row in read if row["part"] == "add or deduct"}
    assert Decimal(adds["Pipe on a seam instead of clear"]) == 650


def test_texts_of_a_case_stay_texts() -> None:
    pipe = replace(make_pipe(inches(23), "=cmd()", status="planned"), nominal="1-2")
    case = replace(priced(make_case(pipe)), revision="+1", title="[bold]x[/]\x1b[2J")
    found = take_off(case, judge(case, Layout((inches(14),), (inches(1),))))
    read = rows(takeoff_csv(found))
    assert {row["revision"] for row in read} == {"'+1"}
    (boot,) = [row for row in read if row["item"].startswith("Boot 4")]
    assert boot["more"] == "nominal 1-2"
    assert not any(cell.startswith(("=", "+", "@")) for row in read for cell in row.values())
    text = page(found)
    assert "[bold]x[/]" in text and "\x1b" not in text and "Assumes =cmd()" in text


def test_an_amount_below_nothing_is_a_number() -> None:
    found = small()
    assert found.usual is not None
    turned = take_off(found.case, found.usual, found.judged)
    read = rows(takeoff_csv(turned))
    values = [row["amount difference"] for row in read if row["amount difference"]]
    assert any(value.startswith("-") for value in values + [
        row["amount difference"] for row in rows(takeoff_csv(found))])


def wide_lines(text: str) -> list[str]:
    return [line for line in text.split("\n") if cell_len(line) > 80]


def test_nothing_is_wider_than_the_screen(tmp_path: Path) -> None:
    assert not wide_lines(page(small(), small()))
    loaded = load_case(write(tmp_path, hostile_case()))
    result = solve(loaded, top=2)
    found = take_offs(result, [1, 2])
    assert not wide_lines(page(found[0], *found))
    dear = priced(found[0].case, panel=("123.4567", "98765.4321"))
    text = page(take_off(dear, found[0].judged, found[0].usual, 10**9))
    assert not wide_lines(text) and "\n  Panels, area of sheets\n" in text


@pytest.mark.parametrize("name", names())
def test_demo_cases_take_off(name: str) -> None:
    result = solve(load_case(str(case_path(name))), top=1)
    (found,) = take_offs(result, [1])
    assert found.sums.extra == result.layouts[0].judged.cost.total
    assert result.usual is None or found.usual_sums is not None
    assert not wide_lines(page(found))
    document = takeoff_document(result, found, [])
    own = sum(round(line["amount"] * 100) for line in document["lines"] if line["amount"])
    assert own == found.sums.total
    assert json.loads(json.dumps(document)) == document


def layouts_near(case: Case, base: Layout, count: int, dice: Random) -> list[Layout]:
    """Layouts of a demo case with other first widths and other moves; rules may be broken."""
    found = []
    for _ in range(count):
        firsts = tuple(
            first if plane.start is not None or plane.width <= case.panel.cover
            else dice.randint(1, min(case.panel.cover, plane.width - 1))
            for plane, first in zip(case.planes, base.firsts, strict=True)
        )
        width = {plane.id: plane.width for plane in case.planes}
        moves = tuple(
            dice.choice((0, 0, 1, -1)) * case.step if case.step <= pen.x <= width[pen.plane]
            - case.step and pen.kind == "pipe" and pen.status != "fixed" else 0
            for pen in case.penetrations
        )
        found.append(Layout(firsts, moves))
    return found


@pytest.mark.parametrize("name", names())
def test_the_extra_is_the_cost_on_any_layout_of_a_demo_case(name: str) -> None:
    case = load_case(str(case_path(name)))
    case = case.covers[0] if case.covers else case
    base = solve(case, top=1).layouts[0].judged.layout
    for layout in layouts_near(case, base, 10, Random(name)):
        judged = judge(case, layout)
        found = take_off(case, judged, judged)
        extra = [line for line in found.lines if line.item.part == "extra"]
        assert sum(line.amount for line in extra) == judged.cost.total


def test_the_command(tmp_path: Path) -> None:
    case = str(case_path("cottage"))
    sheet, document = tmp_path / "t.csv", tmp_path / "t.json"
    done = offseam("takeoff", case, "--csv", str(sheet), "--json", str(document), "--top", "2")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("TAKE-OFF\n") and not wide_lines(done.stdout)
    assert "SIDE BY SIDE" in done.stdout
    read = json.loads(document.read_text(encoding="utf-8"))
    assert read["format"] == "offseam-takeoff-1" and read["layout"] == 1
    assert [one["layout"] for one in read["layouts"]] == [1, 2]
    total = sum(Decimal(row["amount"] or 0) for row in rows(sheet.read_bytes().decode("utf-8")))
    assert float(total) == read["sums"]["total"]
    again = offseam("takeoff", case, "--json", "-", "--top", "2")
    assert json.loads(again.stdout) == read
    second = offseam("takeoff", case, "--layout", "2", "--csv", "-")
    assert second.returncode == 0 and second.stdout[0] == "\ufeff"


HIP = """\
title = "Hip end"
units = "in"
[panel]
cover = 18
[rates]
area = { material = 2.5 }
[prices]
valley = { hours = 0.2, material = 12 }
[[plane]]
id = "S"
pitch = "12:12"
in_plan = true
outline = [ { x = 0, y = 0 }, { x = "40 ft", y = 0 }, { x = "20 ft", y = "20 ft" } ]
[[plane.hole]]
what = "dormer"
outline = [ { x = "16 ft", y = "4 ft" }, { x = "22 ft", y = "4 ft" },
            { x = "22 ft", y = "8 ft" }, { x = "16 ft", y = "8 ft" } ]
"""


def test_a_hip_end_with_a_dormer(tmp_path: Path) -> None:
    done = offseam("takeoff", write(tmp_path, HIP), "--json", "-")
    assert done.returncode == 0, done.stderr
    read = json.loads(done.stdout)
    this = {line["item"]: line["this"] for line in read["lines"]}
    # 12 in 12: hips of 20 x root 3 = 34.64 ft; 6 + 6 + 2 x 4 x root 2 = 23.31 ft of wall
    assert this["Hip, along the slope"] == 69.3
    assert this["Wall, along the slope"] == 23.3
    assert this["Metal of the sheets"] == this["Panels, area of sheets"]
    (panel,) = [line for line in read["lines"] if line["name"] == "panel"]
    assert panel["material_each"] == 0 and panel["hours_each"] > 0
    assert any("each plane's own" in note for note in read["clarifications"])


def test_the_command_tells_everything_that_is_wrong(tmp_path: Path) -> None:
    case = write(tmp_path, SHED)
    done = offseam("takeoff", case, "--layout", "0", "--top", "0", "--time", "-1", "--csv", case,
                   "--json", str(tmp_path))
    assert done.returncode == 2
    for part in ("--layout 0", "--top 0", "--time -1", "--csv", "--json"):
        assert part in done.stderr
    assert "Traceback" not in done.stderr
    one = offseam("takeoff", case, "--csv", "-", "--json", "-")
    assert one.returncode == 2 and "both go to -" in one.stderr
    far = offseam("takeoff", case, "--layout", "5000")
    assert far.returncode == 2 and "in the list; give 1 to" in far.stderr


def test_no_layout_leaves_an_older_sheet_as_it_is(tmp_path: Path) -> None:
    case = write(tmp_path, NOTHING_OBEYS)
    sheet = write(tmp_path, "old", "t.csv")
    done = offseam("takeoff", case, "--csv", sheet, "--json", "-")
    assert done.returncode == 3 and "no layout satisfies the rules" in done.stderr
    assert Path(sheet).read_text(encoding="utf-8") == "old"
    assert json.loads(done.stdout)["layout"] is None
