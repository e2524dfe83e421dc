"""`offseam free` as a process: what it prints, writes and returns."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from cli_runs import HEAD, NOTHING_OBEYS, ROOT, SHED, hostile_case, write

WORKSHOP = str(ROOT / "cases" / "workshop" / "case.toml")
CLINIC = str(ROOT / "cases" / "clinic" / "case.toml")
RUN = """
import sys
from cli import free_command, main
if not any(one.name == "free" for one in main.app.registered_commands):
    main.app.command("free")(free_command.free_command)
main.main()
"""


def ran(*args: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", RUN, "free", *args], cwd=ROOT, capture_output=True, timeout=60,
        encoding="utf-8", check=False,
    )  # fmt: skip


def test_the_large_demo_answers_every_question() -> None:
    done = ran(WORKSHOP)
    assert done.returncode == 0, done.stderr
    for part in (
        "Best as drawn (nothing moved): 12,138.00", "Best with moves: 4,704.25",
        "IF ONE PIPE WERE MOVED", "towards", "EVERYTHING CLEAR", "IF A RULE WERE OTHERWISE",
        'least end panel 5", an inch less', "link S-N given up", "no pipe may cross a seam",
        "WITHOUT ONE PENETRATION", "BEFORE YOU BUILD FROM THIS",
    ):
        assert part in done.stdout, part
    assert "SUPPOSED" not in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 80


def test_what_cannot_move_is_an_option_and_has_no_price() -> None:
    done = ran(CLINIC, "--fixed")
    assert done.returncode == 0
    text = " ".join(done.stdout.split())
    assert "SUPPOSED" in text
    assert "No price for moving it is included" in text


def test_only_some(tmp_path: Path) -> None:
    target = tmp_path / "freed.json"
    done = ran(CLINIC, "--only", "V5", "--only", "C1", "--json", str(target))
    assert done.returncode == 0, done.stderr
    found = json.loads(target.read_text(encoding="utf-8"))
    assert found["format"] == "offseam-free-1"
    assert [one["id"] for one in found["moves"]] == ["V5"]
    assert [one["about"] for one in found["removals"]] == [["V5"], ["C1"]]
    five = found["moves"][0]
    assert five["best"]["saves"] == found["as_drawn"]["cost"]["total"] - five["best"]["total"]
    assert five["smallest"]["moved"] * five["best"]["moved"] > 0
    assert found["complete"] is True


def test_json_in_place_of_the_report() -> None:
    done = ran(CLINIC, "--json", "-", "--only", "V1")
    assert json.loads(done.stdout)["units"] == "in"


def test_joins_are_told(tmp_path: Path) -> None:
    text = SHED + """
[[join]]
id = "J1"
penetrations = ["V1", "V2"]
keeps = "V1"
hours = 2
material = 30
"""
    done = ran(write(tmp_path, text))
    assert done.returncode == 0, done.stderr
    assert "JOINED" in done.stdout
    assert "V1 stays of V1 and V2" in done.stdout
    assert "270.00" in done.stdout  # 2 h at the default 120.00, and 30.00


def test_where_nothing_obeys_it_says_what_would(tmp_path: Path) -> None:
    done = ran(write(tmp_path, NOTHING_OBEYS), "--fixed")
    assert done.returncode == 3
    text = " ".join(done.stdout.split())
    assert "no layout obeys the rules" in text
    assert "makes a layout possible" in text
    assert "costs" in text
    assert "no layout satisfies the rules" in done.stderr


def test_where_no_start_is_legal(tmp_path: Path) -> None:
    text = HEAD + '[rules]\nmin_end = 12\n[[plane]]\nid = "S"\nwidth = 20\nlength = 99\n'
    done = ran(write(tmp_path, text))
    assert done.returncode == 3
    assert "no first width that obeys the end rule" in done.stdout
    assert "no layout then" in done.stdout


@pytest.mark.parametrize(
    ("args", "told"),
    [
        ((CLINIC, "--only", "V99"), 'no penetration of that id'),
        ((CLINIC, "--time", "0"), "--time 0"),
        ((CLINIC, "--json", "/no/such/folder/x.json"), "--json"),
        (("none.toml",), "none.toml"),
    ],
)
def test_a_wrong_command_line_is_2(args: tuple[str, ...], told: str) -> None:
    done = ran(*args)
    assert done.returncode == 2
    assert told in done.stderr


def test_out_of_time_is_4() -> None:
    done = ran(WORKSHOP, "--time", "0.000001")
    assert done.returncode == 4
    assert "time ran out" in done.stderr


def test_ids_are_data(tmp_path: Path) -> None:
    done = ran(write(tmp_path, hostile_case()), "--fixed")
    assert done.returncode in (0, 3), done.stderr
    assert "[bold]x[/]" in done.stdout
    from rich.cells import cell_len

    assert max(cell_len(line) for line in done.stdout.splitlines()) <= 80


def test_odd_panels_and_play_are_left_out_and_said_to_be(tmp_path: Path) -> None:
    """40 in: full panels leave 4 to 10 at the far end, less than 12; an odd panel would do."""
    text = HEAD + (
        '[rules]\nmin_end = 12\nodd_panels = 1\nplay = "1/16"\n'
        '[[plane]]\nid = "S"\nwidth = 40\nlength = 99\n'
    )
    case = write(tmp_path, text)
    done = ran(case)
    assert done.returncode == 3
    said = " ".join(done.stdout.split())
    assert "No layout of full panels obeys the end rule" in said
    assert "Odd panels and play are left out of what follows" in said
    assert "EVERYTHING CLEAR" not in said
    assert "no layout of full panels satisfies the rules" in done.stderr
    (says,) = json.loads(ran(case, "--json", "-").stdout)["left_out"]
    assert says.startswith("Odd panels and play are left out of what follows")
    assert json.loads(ran(CLINIC, "--json", "-").stdout)["left_out"] == []


def test_a_plane_laid_from_a_line_with_no_legal_ends(tmp_path: Path) -> None:
    """The line at 20 in on 40, cover 18: 2 in are left at either end, less than 6."""
    text = HEAD + '[[plane]]\nid = "S"\nwidth = 40\nlength = 99\nlay = "from"\nfrom = 20\n'
    done = ran(write(tmp_path, text))
    assert done.returncode == 3
    assert "No layout of full panels obeys the end rule" in " ".join(done.stdout.split())
    assert "no layout satisfies the rules" in done.stderr
