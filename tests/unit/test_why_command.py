"""`offseam why`: what is printed and written, exit codes, and what the checker would not pass."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from cli.failures import OptionError
from cli.report.lines import plain
from cli.report.why_part import why_page
from cli.why_command import why_command
from solver.clock import Clock
from solver.conflicts import groups as conflicts
from solver.conflicts import search as conflict_search
from solver.conflicts.groups import explain
from solver.conflicts.proof import Prover
from solver.conflicts.search import Linked, minimal_groups
from solver.conflicts.world import World
from solver.errors import DisagreementError
from unit.builders import inches, make_case, make_link, make_pipe, make_plane
from unit.cli_runs import HEAD, NOTHING_OBEYS, SHED, hostile_case, write

APP = typer.Typer()
APP.command()(why_command)


def why(*args: str) -> Any:
    return CliRunner().invoke(APP, args)


def printed(case: Any) -> str:
    return "\n".join(plain(one) for one in why_page(case, [explain(case)]))


def words(text: str) -> str:
    return " ".join(text.split())


def test_everything_clear_is_said_with_the_start_that_does_it(tmp_path: Path) -> None:
    found = why(write(tmp_path, SHED))
    assert found.exit_code == 0
    assert "EVERYTHING CAN BE CLEAR" in found.stdout
    assert "starting at" in found.stdout and "WHAT EXCLUDES WHAT" not in found.stdout


def test_two_pipes_nine_inches_apart(tmp_path: Path) -> None:
    found = why(write(tmp_path, NOTHING_OBEYS))
    text = words(found.stdout)
    assert found.exit_code == 0
    assert "A and B stand 9\" apart: 9\" less than one 18\" pan." in text
    assert "Without A, B is clear starting at" in text
    assert "These are all the groups there are." in text
    assert all(len(one) <= 80 for one in found.stdout.splitlines())


def test_no_legal_start_is_the_answer(tmp_path: Path) -> None:
    text = SHED.replace("cover = 18", "cover = 18\n[rules]\nmin_end = 17")
    found = why(write(tmp_path, text))
    assert found.exit_code == 0
    assert "[no-start]" in found.stdout and "has no first width" in words(found.stdout)


def test_must_links_that_cannot_be_met_are_the_answer(tmp_path: Path) -> None:
    case = make_case(
        make_pipe(inches(50)), planes=(make_plane("S"), make_plane("N")),
        links=(make_link(must=True, offset=inches("1/2")),), mark=inches(1), meet_tol=0,
    )
    text = words(printed(case))
    assert "[must-link]" in text and "whatever stands on them" in text


def test_a_link_that_takes_part_is_named() -> None:
    """Laid from the same gable both slopes have one grid; 9 in off, the two pipes exclude it."""
    planes = make_plane("S"), make_plane("N", lay="right-to-left")
    one = make_pipe(inches(50), "V1", plane="S")
    other = make_pipe(inches(100 - 59), "W1", plane="N", base=inches(9))  # 5 in of room
    case = make_case(one, other, planes=planes, links=(make_link(must=True),), mark=inches(1),
                     min_end=inches(1))
    (group,) = explain(case).groups
    assert group.ids == ("V1", "W1") and group.linked is not None and group.whole
    assert [[t.kind for t in relief.things] for relief in group.reliefs] == [["link"]]
    text = words(printed(case))
    assert "V1 (plane S) and W1 (plane N)" in text
    assert "Where V1 is clear, the must link leaves plane N only" in text
    assert "The must link between S and N takes part: without it both could be clear" in text


def test_agreed_moves_count_as_made(tmp_path: Path) -> None:
    text = NOTHING_OBEYS.replace('forbid = ["tight", "crosses", "on-seam"]', "spacing = 0").replace(
        'id = "B"\n', 'id = "B"\nstatus = "planned"\n')
    assert "A and B" in why(write(tmp_path, text)).stdout
    moved = text + "[freeze]\nmove = { B = 9 }\n"
    found = why(write(tmp_path, moved))
    assert "EVERYTHING CAN BE CLEAR" in found.stdout
    assert "Agreed moves count as made" in found.stdout


def test_every_cover_has_its_answer(tmp_path: Path) -> None:
    path = write(tmp_path, NOTHING_OBEYS.replace("cover = 18", "cover = [18, 26]"))
    found = why(path)
    assert 'COVER 18"' in found.stdout and 'COVER 26"' in found.stdout
    answers = json.loads(why(path, "--json", "-").stdout)["answers"]
    assert [answer["cover"] for answer in answers] == [18, 26]
    assert [answer["all_clear"] for answer in answers] == [False, True]


def test_the_file_says_what_the_page_says(tmp_path: Path) -> None:
    out = tmp_path / "why.json"
    assert why(write(tmp_path, NOTHING_OBEYS), "--json", str(out)).exit_code == 0
    found = json.loads(out.read_text(encoding="utf-8"))
    assert found["format"] == "offseam-why-1" and found["units"] == "in"
    (answer,) = found["answers"]
    assert answer["groups_found"] == answer["groups_shown"] == 1 and answer["complete"]
    (group,) = answer["groups"]
    assert group["penetrations"] == ["A", "B"]
    assert group["pair"]["over"] == 9 and group["pair"]["short"] == 9
    assert group["judged"]["all"] and group["takes_part"] == []
    assert {each["drop"] for each in group["without"]} == {"A", "B"}


@pytest.mark.parametrize("args", [("--most", "0"), ("--size", "0"), ("--size", "13"),
                                  ("--json", "/nowhere/at/all.json")])
def test_options_that_cannot_be_followed(tmp_path: Path, args: tuple[str, ...]) -> None:
    found = why(write(tmp_path, SHED), *args)
    assert isinstance(found.exception, OptionError) and args[0] in str(found.exception)


def test_names_that_mean_something_to_a_printer_do_no_harm(tmp_path: Path) -> None:
    from rich.cells import cell_len

    found = why(write(tmp_path, hostile_case()))
    assert found.exit_code == 0
    assert all(cell_len(one) <= 80 for one in found.stdout.splitlines())


def test_size_and_number_that_bite_are_said(tmp_path: Path) -> None:
    pens = "".join(
        f'[[penetration]]\nid = "V{n}"\nplane = "S"\nkind = "pipe"\nx = {40 + 9 * n}\ny = 60\n'
        "outside = 3.5\n" for n in range(8)
    )
    path = write(tmp_path, HEAD + '[[plane]]\nid = "S"\nwidth = "20 ft"\nlength = "12 ft"\n' + pens)
    found = why(path, "--most", "2", "--size", "1")
    assert "groups of more than 1 were not looked for (--size)" in words(found.stdout)
    assert "NOT EVERYTHING CAN BE CLEAR" in found.stdout
    found = why(path, "--most", "2")
    assert "WHAT EXCLUDES WHAT: 2 of 16 groups" in found.stdout
    assert "give a larger --most" in words(found.stdout)


def crossed(count: int) -> World:
    """Pipes at unlike places of one plane, the mark an inch: groups of several sizes."""
    pens = [make_pipe(inches(20 + 20 * n), f"V{n}", base=inches(9)) for n in range(count)]
    plane = make_plane(width=inches(400))
    case = make_case(*pens, planes=(plane,), mark=inches(1))
    return World(case, (0,), tuple(range(count)))


def test_the_cap_on_work_is_told_and_what_is_complete_is() -> None:
    world = crossed(14)
    whole = minimal_groups(Linked(world), 6, Clock())
    assert whole.complete and whole.found > 10
    cut = Linked(world)
    cut.steps = 150
    search = minimal_groups(cut, 6, Clock())
    assert search.ended == "work" and not search.complete
    known = [group for group in whole.groups if len(group) <= search.complete_to]
    assert [g for g in search.groups if len(g) <= search.complete_to] == known
    assert set(search.groups) <= set(whole.groups)


def test_the_cap_on_number_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    world = crossed(14)
    whole = minimal_groups(Linked(world), 6, Clock())
    monkeypatch.setattr(conflict_search, "MOST_FOUND", 3)
    search = minimal_groups(Linked(world), 6, Clock())
    assert search.ended == "count" and not search.complete and search.found >= 3
    assert set(search.groups) < set(whole.groups)


def test_a_stopped_search_keeps_what_it_knows() -> None:
    clock = Clock()
    clock.stop()
    found = explain(crossed(6).case, clock=clock)
    assert found.stopped and not found.groups
    assert "ended early" in words("\n".join(plain(one) for one in why_page(found.case, [found])))


def test_what_the_checker_does_not_confirm_is_a_fault() -> None:
    prover = Prover(crossed(4).case, (0,), [1_000])
    with pytest.raises(DisagreementError, match="V0"):
        prover.never((0,))  # it can be clear
    with pytest.raises(DisagreementError, match="V0"):
        prover.witness((0,), (("S", inches(20)),))  # beyond the cover, and a seam at V0


def test_a_group_judged_in_part_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(conflicts, "MOST_JUDGED", 5)
    case = make_case(make_pipe(inches(40), "A"), make_pipe(inches(49), "B"))
    (group,) = explain(case).groups
    assert not group.whole and group.judged == 5
    assert "The checker judged 5 starts of this group, not all of them" in words(printed(case))


ODD_LEDGE = HEAD + """\
[rules]
odd_panels = 1
min_end = 12
[[plane]]
id = "S"
width = 40
length = 99
[[plane]]
id = "N"
width = 45
length = 99
[[penetration]]
id = "A"
plane = "N"
kind = "pipe"
x = 20
y = 30
outside = 2
base = 4
"""
"""40 in: a first panel of 12 to 18 and full ones leave 4 to 10, less than 12; with one of 9 to 16
in the middle both ends can be 12 and more, and then all is well."""


def test_what_odd_panels_could_do_is_left_out_and_said_to_be(tmp_path: Path) -> None:
    case = write(tmp_path, ODD_LEDGE)
    done = why(case)
    text = words(done.stdout)
    assert "So no layout of full panels obeys the rules." in text
    assert "Odd panels are left out of this explanation" in text
    (answer,) = json.loads(why(case, "--json", "-").stdout)["answers"]
    (says,) = answer["left_out"]
    assert says.startswith("Odd panels are left out of this explanation: it looks at full panels")
    plain = write(tmp_path, SHED)
    (answer,) = json.loads(why(plain, "--json", "-").stdout)["answers"]
    assert answer["left_out"] == []


def test_a_line_is_taken_as_given(tmp_path: Path) -> None:
    text = SHED.replace('id = "S"\n', 'id = "S"\nlay = "from"\nfrom = "5 ft"\n', 1)
    (answer,) = json.loads(why(write(tmp_path, text), "--json", "-").stdout)["answers"]
    assert answer["left_out"] == [
        "Plane S is laid both ways from a line: where the line stands is taken as given."
    ]
