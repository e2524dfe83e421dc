"""How sure an answer is: worst shifts by hand, findings, draws, and the command."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import pytest
import typer
from rich.cells import cell_len
from typer.testing import CliRunner, Result

from cli.failures import OptionError
from cli.risk_command import risk_command
from solver.api import load_case, solve
from solver.case import Case
from solver.checker.judge import judge
from solver.clock import Clock
from solver.layout import Change, Layout, Odd
from solver.result import Against, Judged, Ranked
from solver.risk.chance import layout_chances
from solver.risk.creep import (
    fine_length,
    has_tolerances,
    layout_creep,
    panels_since_control,
    risk_findings,
)
from solver.risk.remeasure_again import Again
from solver.risk.remeasure_first import by_solving, remeasure_first
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


def from_line(
    *pens: str, wide: str = "100", odds: tuple[Odd, ...] = (), cover: str = "0", every: int = 4,
    width: str = "0", x: str = "0",
) -> tuple[Case, Judged]:
    """Laid from a line at 50 in: seams at 14, 32, 50, 68, 86 in without odd panels."""
    pipes = [make_pipe(inches(at), f"V{n}") for n, at in enumerate(pens)]
    plane = make_plane(width=inches(wide), start=inches(50))
    case = make_case(*pipes, planes=(plane,), odd_panels=2)
    case = loose(case, cover=cover, every=every, width=width, x=x)
    return case, judge(case, Layout((0,), (0,) * len(pipes), odds))


def test_worst_shift_by_hand_laid_both_ways_from_a_line() -> None:
    """Panels are counted from the line on either side; the width shifts only the high end."""
    case, judged = from_line("23", "41", "59", "95", cover="1/16", every=4, width="1/2", x="1/4")
    found = layout_creep(case, judged)
    assert [(c.panels_low, c.panels_high) for c in found] == [(2, 1), (1, 0), (0, 1), (2, None)]
    assert [(c.shift_low, c.shift_high) for c in found] == [
        (inches("1/8"), inches("1/16")), (inches("1/16"), 0), (0, inches("1/16")),
        (inches("1/8"), inches("1/2")),
    ]
    # 23 in: 9 to either seam, 8 1/2 to its side; less 1/8 (the one that creeps more) and 1/4.
    assert found[0].stands.worst_room2 == 2 * inches("8 1/8")


def test_worst_shift_counts_an_odd_panel_like_any_other() -> None:
    """Panel 1 is 12 in: seams 0, 1, 2, 3 at 50, 62, 80, 98 in; a control line every two panels."""
    case, judged = from_line("71", "89", wide="116", odds=(Odd(0, 1, inches(12)),),
                             cover="1/16", every=2)
    found = layout_creep(case, judged)
    assert [(c.panels_low, c.panels_high) for c in found] == [(1, 2), (2, 1)]


def states(case: Case, judged: Judged, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """How everything comes out where every error is as large as it may be, and over."""
    monkeypatch.setattr(
        "solver.risk.chance._even", lambda _, rows, columns: np.ones((rows, columns))
    )
    (chance,) = layout_chances(case, [judged], 3, 1)
    assert all(max(pen.draws.values()) == 3 for pen in chance.penetrations)
    return [max(pen.draws, key=lambda name: pen.draws[name]) for pen in chance.penetrations]


def test_overlong_panels_carry_seams_away_from_the_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """A pipe is clear from 5 in off a seam. With every panel 1/8 in over, seam 1 (68 in) comes to
    68 1/8, seam 2 (86) to 86 1/4, seam -1 (32) to 31 7/8, seam -2 (14) to 13 3/4; the line stays.
    """
    pens = ("55", "45", "63", "73", "37", "27", "91 1/8", "91 1/4", "19", "18 7/8", "18 3/4")
    case, judged = from_line(*pens, wide="104", cover="1/8")
    assert states(case, judged, monkeypatch) == [
        "clear", "clear", "clear", "tight", "clear", "tight", "tight", "clear", "clear", "clear",
        "clear",
    ]
    # On the low side the seam goes to lower x: what stands below it loses, what is above gains.
    case, judged = from_line("18 11/16", "9", "8 3/4", wide="104", cover="1/8")
    assert states(case, judged, monkeypatch) == ["tight", "tight", "clear"]


def test_the_two_runs_from_a_line_err_each_on_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """The high run's two panels 1/8 in over, the low run's 1/8 in short: seam -1 at 32 1/8."""
    case, judged = from_line("63", "73", "27", "37", wide="104", cover="1/8")
    signs = np.array([1.0, 1.0, -1.0, -1.0])
    monkeypatch.setattr("solver.risk.chance._even", lambda _, rows, columns: np.tile(
        signs[:columns], (rows, 1)))
    (chance,) = layout_chances(case, [judged], 3, 1)
    assert [pen.draws["clear"] for pen in chance.penetrations] == [3, 0, 3, 0]


def test_panels_behind_an_odd_one_err_on_from_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """First 14, panel 2 odd, 10 in: seams at 14, 24, 42, 60 in, each panel 1/8 in over: 24 1/8,
    42 1/4, and after two panels seam 3 is a control line for the next: 60 1/8."""
    pens = [make_pipe(inches(x), f"V{n}") for n, x in enumerate(
        ("29", "29 1/8", "47 1/8", "47 1/4", "65", "65 1/8"))]
    case = loose(make_case(*pens, odd_panels=1), cover="1/8", every=2)
    judged = judge(case, Layout((inches(14),), (0,) * 6, (Odd(0, 2, inches(10)),)))
    assert states(case, judged, monkeypatch) == ["tight", "clear"] * 3


def test_a_width_that_is_off_takes_only_seams_laid_from_the_high_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    case, judged = from_line("73")
    case = replace(case, rules=replace(case.rules, width_tol=inches("1/2")))
    assert states(case, judged, monkeypatch) == ["clear"]
    plane = make_plane(lay="right-to-left")
    case = replace(case, planes=(plane,))
    judged = judge(case, Layout((inches(14),), (0,)))  # seams as before
    assert states(case, judged, monkeypatch) == ["tight"]


@pytest.mark.parametrize("seed", range(12))
def test_without_errors_draws_say_what_the_checker_says(seed: int) -> None:
    """Any bent layout, seam sides that differ: states and money of the draws are the checker's."""
    dice = Random(seed)
    planes = (
        make_plane("S", width=inches(330)),
        make_plane("N", width=inches(330), lay="right-to-left"),
        make_plane("M", width=inches(330), start=inches(dice.randint(100, 200))),
    )
    pens = []
    for plane in planes:
        for n in range(12):
            x, name = inches(1) * dice.randint(30, 8 * 330 - 30) // 8, f"{plane.id}{n}"
            pens.append(make_pipe(x, name, plane=plane.id) if n % 3 else
                        make_curb(x, name, plane=plane.id, across=inches(dice.randint(8, 40))))
    case = make_case(*pens, planes=planes, seam_back=inches("1/4"), seam_fwd=inches("1 1/2"),
                     odd_panels=2, play=inches("1/8"))
    odds = tuple(Odd(p, n, inches(dice.randint(9, 17))) for p in range(3) for n in (3, 9))
    odds += (Odd(2, -2, inches(dice.randint(9, 17))),)
    changes = [
        Change(p, s, inches("1/64") * dice.choice((-8, -3, 1, 8))) for p in range(3) for s in (1, 3)
    ]
    changes.append(Change(2, -1, inches("1/16")))
    layout = Layout((inches(14), inches(11), 0), (0,) * len(pens), odds, tuple(changes))
    judged = judge(case, layout)
    (chance,) = layout_chances(case, [judged], 2, 1)
    assert [pen.planned for pen in chance.penetrations] == [s.state for s in judged.penetrations]
    assert chance.spread.mean == judged.cost.total
    assert len({pen.planned for pen in chance.penetrations}) >= 4


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
    monkeypatch.setattr("solver.risk.chance._ROOM", 60)
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
    monkeypatch.setattr("solver.risk.chance._ROOM", 7)
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


def two_ways(case: Case, first: Judged) -> tuple[list[object], list[object]]:
    """What measuring is worth, worked out in parts and by solving the case again."""
    parts = list(remeasure_first(case, first, Clock()).gains)
    again = Again(case, Clock())
    every = [again.gain(i, first) for i in range(len(case.penetrations))]
    worth = [(exact, i, gain) for i, (exact, gain) in enumerate(every) if exact > 0]
    worth.sort(key=lambda one: (-one[0], one[1]))
    return parts, [gain for _, _, gain in worth]


@pytest.mark.parametrize("robust", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_solving_again_says_the_same_as_working_in_parts(seed: int, robust: bool) -> None:
    """The way taken where odd panels or play are allowed, on cases where both ways can go."""
    dice = Random(seed)
    pens = [
        make_pipe(inches(1) * dice.randint(20 * 8, 90 * 8) // 8, f"V{n}", y=inches(20 + 40 * n),
                  status=dice.choice(("planned", "fixed", "stubbed")))
        for n in range(4)
    ]
    case = loose(make_case(*pens, planes=(make_plane(width=inches(110)),), mark=inches(1)), x="1")
    case = replace(case, rules=replace(case.rules, robust=robust))
    assert not by_solving(case)
    first = solve(case).layouts[0].judged
    parts, again = two_ways(case, first)
    assert parts == again


def test_where_planes_bend_the_case_is_solved_again() -> None:
    assert by_solving(make_case(odd_panels=1)) and by_solving(make_case(play=inches("1/16")))
    assert by_solving(make_case(planes=(make_plane(start=inches(50)),)))


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
