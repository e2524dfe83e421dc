"""`offseam place`: hand-worked stretches, and the command as a process."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from builders import inches, make_case, make_curb, make_pipe, make_plane
from cli_runs import NOTHING_OBEYS, ROOT, SHED, hostile_case, write

from solver.case import Case, Keepout, Lay, Plane
from solver.checker.judge import judge
from solver.layout import Change, Layout, Odd
from solver.placing.stretches import (
    AsLaid,
    Placed,
    Wanted,
    against_rules,
    base_width,
    laid_layout,
    place,
)

WORKSHOP = str(ROOT / "cases" / "workshop" / "case.toml")
RUN = """
import sys
from cli import main, place_command
if not any(one.name == "place" for one in main.app.registered_commands):
    main.app.command("place")(place_command.place_command)
main.main()
"""


def ran(*args: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", RUN, "place", *args], cwd=ROOT, capture_output=True, timeout=60,
        encoding="utf-8", check=False,
    )  # fmt: skip


def spans(placed: Placed) -> list[tuple[int, int]]:
    return sorted((stretch.low, stretch.high) for stretch in placed.stretches)


def placed_at(x: str, *pens: object, y: str | None = "100", keepouts: tuple[Keepout, ...] = ()
              ) -> Placed:
    """A 4 in pipe with an 8 in base on 100 in: seams at 14, 32, 50, 68 and 86 in, half an inch a
    side, half an inch of gap: centres clear from seam + 5 to the next seam - 5."""
    case = make_case(*pens, planes=(make_plane(keepouts=keepouts),))  # type: ignore[arg-type]
    up = None if y is None else inches(y)
    wanted = Wanted("S", inches(x), inches(4), inches(8), up)
    layout = Layout((inches(14),), (0,) * len(case.penetrations))
    return place(case, layout, wanted, 99)


def test_between_the_seams() -> None:
    """edge_gap 12 + radius 2: centres from 14 to 86, so both end pans are out."""
    placed = placed_at("41")
    assert placed.broken == ()
    assert spans(placed) == [
        (inches(low), inches(low + 8)) for low in (19, 37, 55, 73)
    ]
    assert placed.stretches[0].nearest.x == inches(41)
    assert placed.stretches[0].nearest.margin2 == 2 * inches(4)


def test_the_nearest_is_the_edge_of_the_stretch_and_the_roomiest_its_middle() -> None:
    placed = placed_at("35 1/4")
    assert {breach.code for breach in placed.broken} == {"not-clear"}
    first = placed.stretches[0]
    assert (first.nearest.x, first.nearest.away) == (inches(37), inches("1 3/4"))
    assert first.roomiest.x == inches(41)


def bent_place(plane: Plane, layout: Layout, *, robust: bool = False, **sides: str) -> Case:
    """Whatever a pipe is wanted at, the stretches and the checker must agree about it; `place`
    insists on that, and the stretches reach as far as the checker calls clear, and no tick more."""
    given = {name: inches(value) for name, value in sides.items()}
    case = make_case(planes=(plane,), odd_panels=3, play=inches("1/8"), **given)
    rules = replace(case.rules, cover_tol=inches("1/16"), width_tol=inches("3/16"), robust=robust)
    case = replace(case, rules=rules)
    for x in range(0, plane.width, inches("13 3/64")):
        place(case, layout, Wanted("S", x, inches(4), inches(8), inches(100)), 1)
    placed = place(case, layout, Wanted("S", inches(50), inches(2), inches(5), inches(100)), 99)
    pipe = make_pipe(0, "P", outside=inches(2), base=inches(5), status="planned",
                     reach=plane.width)
    for low, high in spans(placed):
        for x, clear in ((low, True), (high, True), (low - 1, False), (high + 1, False)):
            drawn = replace(pipe, x=x)
            alone = replace(case, penetrations=(drawn,), step=1)
            found = judge(alone, replace(layout, moves=(0,)))
            edge = min(x, plane.width - x) < inches(13)
            assert edge or (found.penetrations[0].state == "clear") == clear, (x, clear)
    assert len(spans(placed)) >= 5
    return case


@pytest.mark.parametrize("robust", [False, True])
@pytest.mark.parametrize(
    ("start", "lay"), [(None, "left-to-right"), (None, "right-to-left"), ("100", "from")]
)
def test_stretches_between_seams_that_leave_the_plain_grid(
    robust: bool, start: str | None, lay: Lay
) -> None:
    plane = make_plane(
        width=inches(230), lay=lay, start=None if start is None else inches(start)
    )
    odds = (Odd(0, 3, inches(12)), Odd(0, 4, inches("9 1/4")))
    changes = (Change(0, 1, inches("1/8")), Change(0, 2, inches("-3/64")))
    if start is not None:
        odds, changes = (Odd(0, -2, inches(12)), *odds), (Change(0, -1, inches("1/8")), *changes)
    layout = Layout((inches(14),), (), odds, changes)
    bent_place(plane, layout, robust=robust, seam_back="1/4", seam_fwd="1 1/8")


def test_a_plane_laid_from_a_line_keeps_the_ends_its_line_leaves() -> None:
    """The line at 50 in, 100 wide: 14 in at either end; another first width is no choice."""
    case = make_case(planes=(make_plane(start=inches(50)), make_plane("N")))
    assert laid_layout(case, {"N": inches(9)}).firsts == (inches(14), inches(9))
    assert laid_layout(case, {"S": inches(9), "N": inches(9)}).firsts == (inches(14), inches(9))


def test_laid_planes_that_the_rules_do_not_allow_are_named() -> None:
    """100 in, cover 18: a first width of 14 leaves 14; of 9 leaves 1, less than `min_end`."""
    case = make_case(planes=(make_plane(), make_plane("N")), odd_panels=1)
    for first, odds, named in (
        ("14", {}, ""), ("9", {}, "S"), ("14", {"S": {2: inches(12)}}, "S"),
        ("17", {"S": {2: inches(12)}}, ""), ("17", {"S": {2: inches(8)}}, "S"),
    ):
        laid = AsLaid({"S": inches(first), "N": inches(14)}, odds, {})
        judged = judge(case, laid_layout(case, laid.firsts, laid.odds))
        assert against_rules(case, laid, judged) == named, (first, odds)


def test_odd_panels_and_modules_already_laid() -> None:
    """10, an odd panel of 12, then stretches of 4: 2 to 5 an 1/8 in wider, 6 and 7 plain."""
    case = make_case(planes=(make_plane(), make_plane("N")), odd_panels=1, play=inches("1/8"))
    layout = laid_layout(case, {"N": inches(10)}, {"N": {2: inches(12)}},
                         {"N": {1: inches("1/8"), 2: 0}})
    assert layout.odds == (Odd(1, 2, inches(12)),)
    assert layout.changes == (Change(1, 1, inches("1/8")),)
    assert judge(case, layout).planes[1].seams == tuple(
        inches(x) for x in ("10", "22", "40 1/8", "58 1/4", "76 3/8", "94 3/8")
    )


def test_a_neighbour_at_the_same_height_keeps_its_spacing() -> None:
    """Spacing 12 + 2 + 2 from a pipe at 50: 34 and 66 are the nearest centres."""
    assert spans(placed_at("41", make_pipe(inches(50)))) == [
        (inches(19), inches(27)), (inches(73), inches(81)),
    ]


def test_a_neighbour_up_the_slope_counts_by_the_straight_distance() -> None:
    """At y 100 and a pipe at (41, 112): 16 centre to centre, so dx at least the root of 112,
    10.583 in: nothing of the pan from 37 to 45 is left; from a pipe at y 116 all of it is."""
    near = placed_at("41", make_pipe(inches(41), y=inches(112)))
    assert (inches(37), inches(45)) not in spans(near)
    assert (inches(55), inches(63)) in spans(near)
    assert spans(placed_at("41", make_pipe(inches(41), y=inches(116)))) == spans(placed_at("41"))


def test_without_a_height_the_worst_is_taken() -> None:
    far = make_pipe(inches(41), y=inches(10))
    assert spans(placed_at("41", far)) == spans(placed_at("41"))
    low = placed_at("41", far, y=None)
    assert spans(low) == [(inches(19), inches(25)), (inches(57), inches(63)),
                          (inches(73), inches(81))]


def test_a_curb_counts_by_its_rectangle() -> None:
    """A curb 20 across at 41: its side at 51, spacing 12 and radius 2: from 65 on."""
    assert spans(placed_at("73", make_curb(inches(41)))) == [(inches(73), inches(81))]


def test_keepouts() -> None:
    """A beam from 40 to 42 takes 38 to 44 for a 4 in pipe; touching is allowed."""
    beam = Keepout(inches(40), inches(42), None, None, "beam")
    assert (inches(37), inches(38)) in spans(placed_at("41", keepouts=(beam,)))
    assert (inches(44), inches(45)) in spans(placed_at("41", keepouts=(beam,)))
    above = Keepout(inches(40), inches(42), inches(102), inches(110), "duct")
    assert (inches(37), inches(45)) in spans(placed_at("41", keepouts=(above,)))
    assert (inches(37), inches(38)) in spans(placed_at("41", keepouts=(above,), y=None))
    assert placed_at("41", keepouts=(beam,)).keepouts == (beam,)


def test_where_a_neighbour_finally_stands() -> None:
    case = make_case(make_pipe(inches(50), status="planned"))
    layout = Layout((inches(14),), (inches(9),))  # to 59: from 43 and 75 on
    placed = place(case, layout, Wanted("S", inches(41), inches(4), inches(8), inches(100)), 99)
    assert spans(placed) == [
        (inches(19), inches(27)), (inches(37), inches(43)), (inches(75), inches(81)),
    ]


def test_the_new_pipe_takes_no_id_of_another() -> None:
    assert placed_at("41", make_pipe(inches(5), "NEW")).pipe.id == "NEW+"


def test_bases() -> None:
    case = make_case()
    assert base_width(case, inches(4), None, turned=False) == inches(9)
    assert base_width(case, inches(4), inches(8), turned=False) == inches(8)
    turned = base_width(case, inches(4), inches(8), turned=True)
    assert (turned - 1) ** 2 < 2 * inches(8) ** 2 <= turned**2


def test_the_large_demo() -> None:
    done = ran(WORKSHOP, "--plane", "S", "--near", "61 ft", "--outside", "3.5")
    assert done.returncode == 0, done.stderr
    text = " ".join(done.stdout.split())
    for part in (
        "Held against layout 1 of the list, its moves made", "No place up the slope is given",
        "Not clear as wanted", "its hole meets seam 41", "body to body, to F1",
        "CLEAR STRETCHES, NEAREST FIRST", "towards the west gable", "BEFORE YOU BUILD FROM THIS",
    ):
        assert part in text, part
    assert max(len(line) for line in done.stdout.splitlines()) <= 80


def test_clear_as_wanted_comes_first() -> None:
    done = ran(WORKSHOP, "--plane", "S", "--near", "60 ft", "--outside", "3.5", "--y", "12 ft")
    text = done.stdout
    assert text.index("CLEAR AS WANTED") < text.index("CLEAR STRETCHES")


def test_laid_seams_and_json(tmp_path: Path) -> None:
    """First width 10 on 20 ft (240 in): seams at 10, 28, 46, 64, 82, 100, …; half an inch a side.

    Outside 2 1/2 and a flange of 2 1/2 a side make a base of 7 1/2; half of it, the gap of 1/2 and
    the seam's 1/2 keep centres 4 3/4 from a seam: wanted on the one at 100, 95 1/4 is as near as
    104 3/4, and the lower comes first. Whole half inches: set to 95.
    """
    target = tmp_path / "placed.json"
    done = ran(write(tmp_path, SHED), "--plane", "S", "--near", "100", "--outside", "2.5",
               "--first", "S=10", "--y", "10 in", "--json", str(target), "--count", "1")
    assert done.returncode == 0, done.stderr
    assert "the seams already laid, pipes as drawn" in " ".join(done.stdout.split())
    found = json.loads(target.read_text(encoding="utf-8"))
    assert found["format"] == "offseam-place-1"
    assert found["clear_as_wanted"] is False
    assert found["seams"][:2] == [10, 28]
    (stretch,) = found["stretches"]
    assert (stretch["from"], stretch["to"]) == (86.75, 95.25)
    assert (stretch["nearest"]["x"], stretch["nearest"]["away"]) == (95, -5)
    assert stretch["nearest"]["margin"] == 0.25


def test_an_odd_panel_already_laid(tmp_path: Path) -> None:
    """From 9, with panel 4 only 9 wide: seams at 9, 27, 45, 54, 72, 90, 108, …, so centres are
    clear from 94 3/4 to 103 1/4, and 100 is in it. Without it the seam at 99 is too near.
    """
    case = write(tmp_path, SHED.replace("[panel]", "[rules]\nodd_panels = 1\n[panel]"))
    target = tmp_path / "placed.json"
    done = ran(case, "--plane", "S", "--near", "100", "--outside", "2.5", "--y", "10 in",
               "--first", "S=9", "--odd", "S=4:9", "--json", str(target), "--count", "1")
    assert done.returncode == 0, done.stderr
    assert "ODD: panel 4 from the west gable is 9\" wide" in done.stdout
    assert "not laid as the rules" not in done.stdout
    found = json.loads(target.read_text(encoding="utf-8"))
    assert found["seams"][:7] == [9, 27, 45, 54, 72, 90, 108]
    assert found["odd"] == [{"panel": 4, "width": 9}]
    assert found["clear_as_wanted"] is True
    (stretch,) = found["stretches"]
    assert (stretch["from"], stretch["to"]) == (94.75, 103.25)


def test_a_changed_module_already_laid(tmp_path: Path) -> None:
    """Panels 2 to 5 an 1/8 in wider: seams 10, 28 1/8, 46 1/4, 64 3/8, 82 1/2, 100 1/2. The case
    allows only half of that, so the plane is named; and it is laid all the same."""
    case = write(tmp_path, SHED.replace("[panel]", "[rules]\nplay = \"1/16\"\n[panel]"))
    target = tmp_path / "placed.json"
    done = ran(case, "--plane", "S", "--near", "100", "--outside", "2.5", "--y", "10 in",
               "--first", "S=10", "--module", "S=1:+1/8", "--json", str(target))
    assert done.returncode == 0, done.stderr
    assert "(S: not laid as the rules of this case allow)" in " ".join(done.stdout.split())
    found = json.loads(target.read_text(encoding="utf-8"))
    assert found["seams"][:6] == [10, 28.125, 46.25, 64.375, 82.5, 100.5]
    assert found["modules"] == [{"stretch": 1, "panels": [2, 5], "module": 18.125}]


def test_a_plane_laid_from_a_line_has_no_first_width_to_give(tmp_path: Path) -> None:
    """The line at 5 ft on 20 ft: seams at 6, 24, 42, 60, 78, …; an odd panel -1 of 10 in puts the
    seams below the line at 50, 32 and 14."""
    text = SHED.replace('id = "S"\n', 'id = "S"\nlay = "from"\nfrom = "5 ft"\n', 1)
    case = write(tmp_path, text)
    args = (case, "--plane", "S", "--near", "100", "--outside", "2.5", "--y", "10 in")
    done = ran(*args, "--first", "S=6")
    assert done.returncode == 2
    assert "no choice of a first width; leave it out" in done.stderr
    target = tmp_path / "placed.json"
    done = ran(*args, "--odd", "S=-1:10", "--json", str(target))
    assert done.returncode == 0, done.stderr
    assert json.loads(target.read_text(encoding="utf-8"))["seams"][:5] == [14, 32, 50, 60, 78]


def test_too_wide_for_any_pan_is_3() -> None:
    done = ran(WORKSHOP, "--plane", "S", "--near", "60 ft", "--outside", "15")
    assert done.returncode == 3
    assert "There is none on this plane" in done.stdout
    assert "wide-base" in done.stdout
    assert "no clear place" in done.stderr


def test_no_layout_to_hold_it_against_is_3(tmp_path: Path) -> None:
    case = write(tmp_path, NOTHING_OBEYS)
    done = ran(case, "--plane", "S", "--near", "60", "--outside", "3.5")
    assert done.returncode == 3
    assert "--first" in done.stderr
    laid = ran(case, "--plane", "S", "--near", "60", "--outside", "3.5", "--first", "S=12")
    assert laid.returncode == 0, laid.stderr


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--plane", "Q"), 'no plane "Q"'),
        (("--near", "300 ft"), "runs from 0 to 212"),
        (("--near", "here"), "is no length"),
        (("--outside", "0"), "above 0"),
        (("--base", "1"), "at least as wide"),
        (("--y", "99 ft"), "up the slope"),
        (("--first", "N=12"), "plane S as well"),
        (("--first", "S"), "write PLANE=LENGTH"),
        (("--first", "S=1 ft", "--first", "S=2 ft"), "twice"),
        (("--first", "S=300 ft"), "wider than the cover"),
        (("--first", "S=0"), "puts no seam"),
        (("--layout", "99"), "in the list"),
        (("--layout", "2", "--first", "S=12"), "exclude each other"),
        (("--layout", "2", "--odd", "S=3:12"), "--layout and --odd exclude each other"),
        (("--odd", "S=3:12"), "first width laid on plane S as well"),
        (("--first", "S=12", "--odd", "N=3:12"), "first width laid on plane N as well"),
        (("--first", "S=12", "--module", "S=3"), "write PLANE=STRETCH:LENGTH"),
        (("--first", "S=12", "--odd", "S=999:12"), "There is no panel 999 on plane S"),
        (("--first", "S=12", "--module", "S=999:1/64"), "There is no stretch 999"),
        (("--count", "0"), "--count 0"),
        (("--cover", "17"), "--cover"),
    ],
)
def test_a_wrong_command_line_is_2(more: tuple[str, ...], told: str) -> None:
    args = {"--plane": "S", "--near": "61 ft", "--outside": "3.5"}
    given = [*(part for name, value in args.items() if name not in more
               for part in (name, value)), *more]
    done = ran(WORKSHOP, *given)
    assert done.returncode == 2, done.stdout
    assert told in done.stderr


def test_several_covers_ask_which_is_laid(tmp_path: Path) -> None:
    text = SHED.replace("cover = 18", "cover = [16, 18]")
    case = write(tmp_path, text)
    args = (case, "--plane", "S", "--near", "100", "--outside", "2.5")
    asked = ran(*args, "--first", "S=10")
    assert asked.returncode == 2
    assert "--cover" in asked.stderr
    done = ran(*args, "--first", "S=10", "--cover", "16")
    assert done.returncode == 0, done.stderr
    assert 'panels cover 16"' in done.stdout
    assert ran(*args).returncode == 0


def test_names_are_data(tmp_path: Path) -> None:
    done = ran(write(tmp_path, hostile_case()), "--plane", "[red]S[/]", "--near", "111",
               "--outside", "3.5")
    assert done.returncode == 0, done.stderr
    assert "[red]S[/]" in done.stdout
    from rich.cells import cell_len

    assert max(cell_len(line) for line in done.stdout.splitlines()) <= 80
