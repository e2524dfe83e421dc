"""How sure an answer is: worst shifts by hand, findings, draws, and the command."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
import typer
from rich.cells import cell_len
from typer.testing import CliRunner, Result

from cli.failures import OptionError
from cli.risk_command import risk_command
from solver.api import load_case, solve
from solver.case import Case
from solver.chance import layout_chances
from solver.checker import judge
from solver.clock import Clock
from solver.creep import (
    fine_length,
    has_tolerances,
    layout_creep,
    panels_since_control,
    risk_findings,
)
from solver.layout import Layout
from solver.remeasure_first import remeasure_first
from solver.result import Against, Judged, Ranked
from tests.unit.builders import (
    inches,
    look,
    make_case,
    make_curb,
    make_pipe,
    make_plane,
    make_rates,
    mm,
)
from tests.unit.cli_runs import NOTHING_OBEYS, SHED, hostile_case, write

KEYS = '[rules]\ncover_tol = "1/32"\nwidth_tol = "1/2"\nx_tol = "1/4"\n'


def loose(case: Case, *, cover: str = "0", every: int = 4, width: str = "0", x: str = "0") -> Case:
    rules = replace(
        case.rules, cover_tol=inches(cover), remeasure=every, width_tol=inches(width)
    )
    pens = tuple(replace(pen, x_tol=inches(x)) for pen in case.penetrations)
    return replace(case, rules=rules, penetrations=pens)


def ranked(judged: Judged) -> Ranked:
    return Ranked(1, judged, judged.cost.total, ((0, 0),), Against({}, {}, 0, ""))


def test_panels_since_the_last_control() -> None:
    assert [panels_since_control(j, 4) for j in range(11)] == [0, 1, 2, 3, 4, 1, 2, 3, 4, 1, 2]
    assert [panels_since_control(j, 1) for j in range(4)] == [0, 1, 1, 1]
    assert [panels_since_control(j, 9) for j in range(4)] == [0, 1, 2, 3]


def test_worst_shift_by_hand_laid_from_the_low_end() -> None:
    """Seams at 14, 32, 50, 68, 86 in. The pipe at 57 in: 7 in from seam 2, 11 from seam 3."""
    case = loose(make_case(make_pipe(inches(57))), cover="1/16", every=4, width="1/2", x="1/4")
    (creep,) = layout_creep(case, look(case))
    assert (creep.panels_low, creep.panels_high) == (2, 3)
    assert (creep.shift_low, creep.shift_high) == (inches("1/8"), inches("3/16"))
    # 7 less 1/2 for the seam's side: 6 1/2; less 1/8 and 1/4: 6 1/8; it needs 4 1/2.
    assert creep.stands.room2 == 2 * inches("6 1/2")
    assert creep.stands.worst_room2 == 2 * inches("6 1/8")
    assert creep.stands.worst_margin2 == 2 * inches("1 5/8")
    assert creep.lost2 == 2 * inches("3/8") and not creep.stands.at_risk


def test_worst_shift_by_hand_laid_from_the_high_end() -> None:
    """The first seam stands at 86 in; all go with the width, the last ones with a control line."""
    case = make_case(make_pipe(inches(57)), planes=(make_plane(lay="right-to-left"),))
    case = loose(case, cover="1/16", every=2, width="1/2")
    (creep,) = layout_creep(case, look(case))
    # Numbers from the high end: 68 in is seam 1, 50 in is seam 2.
    assert (creep.panels_low, creep.panels_high) == (2, 1)
    assert (creep.shift_low, creep.shift_high) == (inches("5/8"), inches("9/16"))
    assert creep.stands.worst_room2 == 2 * inches("5 7/8")


def test_an_end_of_the_plane_shifts_only_if_it_is_the_high_one() -> None:
    low, high = make_pipe(inches(9), "A"), make_pipe(inches(91), "B")
    case = loose(make_case(low, high, end_lap=inches(4)), width="1/2")
    at_low, at_high = layout_creep(case, look(case, first=inches(18)))
    assert (at_low.panels_low, at_low.shift_low) == (None, 0)
    assert (at_high.panels_high, at_high.shift_high) == (None, inches("1/2"))
    assert at_low.stands.worst_room2 == 2 * inches(5)


def test_a_curb_loses_flank() -> None:
    """Curb 20 in across at 41 in cuts 32 and 50; its flanks are 17 in to 14 and 17 in to 68."""
    case = loose(make_case(make_curb(inches(41))), cover="1/8", x="1/2")
    (creep,) = layout_creep(case, look(case))
    assert (creep.panels_low, creep.panels_high) == (0, 3)
    assert creep.stands.worst_room2 == 2 * (inches(17) - inches("3/8") - inches("1/2"))


def test_clear_but_at_risk_is_told_in_one_sentence() -> None:
    """5 1/4 in from seam 3: 1/4 in of margin; three panels of 1/8 in take 3/8 in."""
    case = loose(make_case(make_pipe(inches("73 1/4"))), cover="1/8")
    judged = look(case)
    (finding,) = risk_findings(case, [ranked(judged)])
    assert (finding.code, finding.severity, finding.about) == ("at-risk", "warning", ("V1",))
    assert finding.says == (
        'Layout 1: V1 is clear, but at risk: 1/4" of margin against 3/8" of shift.'
    )


@pytest.mark.parametrize(("x", "risky"), [("73 3/8", False), ("73 11/32", True)])
def test_at_risk_begins_just_below_the_worst_shift(x: str, risky: bool) -> None:
    case = loose(make_case(make_pipe(inches(x))), cover="1/8")
    assert bool(risk_findings(case, [ranked(look(case))])) is risky


def test_no_tolerance_no_finding() -> None:
    case = make_case(make_pipe(inches(73)))
    assert not has_tolerances(case)
    assert risk_findings(case, [ranked(look(case))]) == []
    assert has_tolerances(loose(case, x="1/64"))


def test_shifts_are_never_flattered() -> None:
    case = make_case()
    assert fine_length(case, 2 * inches("3/32"), "up") == '3/32"'
    assert fine_length(case, 1, "up") == '1/64"' and fine_length(case, 1) == '0"'
    assert fine_length(case, -1) == '-1/64"'
    metric = make_case(units="mm", mark=mm(1))
    assert fine_length(metric, 2 * mm("0.8"), "up") == "0.8 mm"


def test_same_seed_same_draws_and_parts_do_not_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    case = loose(make_case(make_pipe(inches(73)), make_curb(inches(41))), cover="1/8", x="1")
    judged = look(case)
    once = layout_chances(case, [judged], 500, 7)
    assert once == layout_chances(case, [judged], 500, 7)
    assert once != layout_chances(case, [judged], 500, 8)
    monkeypatch.setattr("solver.chance._ROOM", 60)
    assert once == layout_chances(case, [judged], 500, 7)


def test_a_layout_is_drawn_the_same_whatever_stands_beside_it() -> None:
    case = loose(make_case(make_pipe(inches(73))), cover="1/8", x="1")
    one, other = look(case), look(case, first=inches(10))
    assert layout_chances(case, [one, other], 200, 1)[0] == layout_chances(case, [one], 200, 1)[0]


def test_percentiles_are_costs_that_occur() -> None:
    case = loose(make_case(make_pipe(inches("18 1/2"))), x="2")
    judged = look(case)
    chance = layout_chances(case, [judged], 10, 1)[0]
    rates = {case.rates.cents(name) for name in ("tight", "crosses", "on_seam")} | {0}
    spread = chance.spread
    assert {spread.p10, spread.p50, spread.p90} <= rates
    assert spread.p10 <= spread.p50 <= spread.p90


def test_stopping_keeps_the_draws_made(monkeypatch: pytest.MonkeyPatch) -> None:
    case = loose(make_case(make_pipe(inches(73))), x="1")
    monkeypatch.setattr("solver.chance._ROOM", 7)
    clock = Clock()
    monkeypatch.setattr(clock, "say", lambda _: clock.stop())
    (chance,) = layout_chances(case, [look(case)], 100, 1, clock)
    assert chance.samples == 1
    assert layout_chances(case, [look(case)], 100, 1, clock) == []


def test_measuring_again_is_worth_nothing_where_no_choice_is_left() -> None:
    """A fixed pipe on a plane with one legal first width."""
    case = make_case(make_pipe(inches(73)), mark=inches(18))
    judged = judge(case, Layout((inches(18),), (0,)))
    gains = remeasure_first(loose(case, x="1"), judged, Clock())
    assert (gains.gains, gains.looked, gains.uncertain) == ((), 1, 1)


def test_measuring_a_planned_pipe_again_by_hand() -> None:
    """One first width (18 in; seams at 18, 36, 54 …), a pipe between 36 and 54, moves at 60.00.

    At 41 in it is just clear and stays. Its 16 true positions lie 1/16, 3/16 … 15/16 in to either
    side. On the low side it would be tight at 200.00 for four of them and, past 1/2 in, cross the
    seam at 900.00 for four: 4400 / 16 = 275.00. Knowing it, one moves it for 60.00 each time.
    """
    rates = make_rates(tight=("2", "0"), crosses=("9", "0"), on_seam=("9", "0"),
                       move_planned=("0.5", "0"))
    case = make_case(make_pipe(inches(41), status="planned"), mark=inches(18), rates=rates)
    case = loose(case, x="1")
    first = solve(case).layouts[0].judged
    assert first.cost.total == 0 and first.layout.moves == (0,)
    (gain,) = remeasure_first(case, first, Clock()).gains
    assert (gain.now, gain.gain, gain.other, gain.of) == (27500, 24500, 8, 16)


def run(*args: str) -> Result:
    app = typer.Typer()
    app.command("risk")(risk_command)
    return CliRunner().invoke(app, list(args))


def loose_shed(folder: Path) -> str:
    return write(folder, SHED.replace("[[plane]]", KEYS + "[[plane]]", 1))


def test_report_says_what_is_assumed_and_what_to_measure(tmp_path: Path) -> None:
    done = run(loose_shed(tmp_path))
    assert done.exit_code == 0
    text = re.sub(r"\s+", " ", done.stdout)
    for words in ("WHAT MAY BE OFF", "with equal chance", "independent of each other", "seed 1",
                  "AFTER THE WORST SHIFT", "MEASURE AGAIN FIRST", "everything else standing",
                  "BEFORE YOU BUILD FROM THIS", "4,000 random draws"):
        assert words in text, words


def test_every_line_fits_whatever_the_names(tmp_path: Path) -> None:
    path = write(tmp_path, hostile_case().replace("[[plane]]", KEYS + "[[plane]]", 1))
    done = run(path, "--samples", "50")
    assert done.exit_code == 0
    assert max(cell_len(one) for one in done.stdout.split("\n")) <= 80
    assert "\x1b" not in done.stdout


def test_same_seed_same_bytes(tmp_path: Path) -> None:
    path = loose_shed(tmp_path)
    texts = [run(path, "--samples", "300", "--seed", seed).stdout for seed in ("4", "4", "5")]
    assert texts[0] == texts[1] != texts[2]


def test_without_tolerances_it_says_so_plainly(tmp_path: Path) -> None:
    done = run(write(tmp_path, SHED), "--json", str(tmp_path / "out.json"))
    assert done.exit_code == 0
    for words in ("GIVES NO TOLERANCES", "cover_tol", "remeasure", "width_tol", "x_tol",
                  "common practice, no source", "1 to 2 in", "1/32 in", "1/16 in"):
        assert words in done.stdout
    document = json.loads((tmp_path / "out.json").read_text())
    assert document["tolerances"]["given"] is False and document["layouts"] == []


def test_the_file_has_every_layout_and_penetration(tmp_path: Path) -> None:
    target = tmp_path / "out.json"
    assert run(loose_shed(tmp_path), "--samples", "200", "--json", str(target)).exit_code == 0
    document = json.loads(target.read_text())
    assert document["format"] == "offseam-risk-1"
    assert (document["samples"], document["seed"]) == (200, 1)
    assert [one["rank"] for one in document["layouts"]][-1] is None
    for layout in document["layouts"]:
        assert layout["samples"] == 200
        assert layout["expected_cost"]["p10"] <= layout["expected_cost"]["p90"]
        assert [pen["id"] for pen in layout["penetrations"]] == ["V1", "V2"]
        for pen in layout["penetrations"]:
            assert sum(pen["draws"].values()) == 200
            assert pen["worst_margin"] <= pen["margin"] - 0.25
    assert document["measure_first"]["uncertain"] == 2


def test_the_file_alone_on_the_screen(tmp_path: Path) -> None:
    assert json.loads(run(loose_shed(tmp_path), "--json", "-").stdout)["title"] == "A shed"


def test_no_layout_is_told_and_exits_3(tmp_path: Path) -> None:
    text = NOTHING_OBEYS.replace("[rules]\n", '[rules]\nx_tol = "1/4"\n')
    done = run(write(tmp_path, text))
    assert done.exit_code == 3
    assert "NO LAYOUT SATISFIES THE RULES" in done.stdout and "MEASURE AGAIN" not in done.stdout


@pytest.mark.parametrize("options", [
    ("--samples", "0"), ("--samples", "2000000"), ("--seed", "-1"), ("--layout", "0"),
    ("--layout", "50"), ("--json", "/nowhere/at/all.json"),
])  # fmt: skip
def test_what_cannot_be_followed_is_refused(tmp_path: Path, options: tuple[str, str]) -> None:
    done = run(loose_shed(tmp_path), *options)
    assert isinstance(done.exception, OptionError)
    assert options[0] in str(done.exception)


def test_tolerances_are_read_from_the_case(tmp_path: Path) -> None:
    case = load_case(loose_shed(tmp_path))
    assert case.rules.cover_tol == inches("1/32") and case.rules.width_tol == inches("1/2")
    assert {pen.x_tol for pen in case.penetrations} == {inches("1/4")}
