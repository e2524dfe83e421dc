"""`offseam replan` as a process: page, file, exit codes, refusals."""

from __future__ import annotations

import json
from pathlib import Path

from tests.unit.cli_runs import SHED, hostile_case, offseam, write

FRIDAY = """\
date = "2031-05-02"
[[plane]]
id = "S"
seam = 3
eave = "{eave}"
"""


def files(folder: Path, eave: str, more: str = "") -> tuple[str, str]:
    return write(folder, SHED), write(folder, FRIDAY.format(eave=eave) + more, "friday.toml")


def planned(folder: Path) -> float:
    done = offseam("solve", write(folder, SHED), "--json", "-")
    return float(json.loads(done.stdout)["layouts"][0]["planes"][0]["seams"][2])


def test_the_page_fits_and_ends_with_the_cautions(tmp_path: Path) -> None:
    at = planned(tmp_path)
    case, friday = files(tmp_path, str(at + 0.5))
    done = offseam("replan", case, "--asbuilt", friday)
    assert (done.returncode, done.stderr) == (0, "")
    assert all(len(line) <= 80 for line in done.stdout.splitlines())
    assert done.stdout.startswith("LAYING ON\nA shed\n")
    words = " ".join(done.stdout.split())
    assert '(1/2" gained)' in words and "First decision at panel" in words
    assert "fall protection" in done.stdout


def test_the_file_has_every_panel_and_the_page_is_left_out(tmp_path: Path) -> None:
    at = planned(tmp_path)
    case, friday = files(tmp_path, str(at))
    done = offseam("replan", case, "--asbuilt", friday, "--json", "-")
    document = json.loads(done.stdout)
    assert (document["format"], document["closes"], document["layout"]) == (
        "offseam-replan-1", True, 1)
    plane = document["planes"][0]
    assert plane["as_planned"] and document["states_changed"] == []
    assert sum(panel["width_eave"] for panel in plane["panels"]) == 240 - at
    assert document["cost"]["total"] == document["cost"]["planned"]


def test_what_does_not_close_is_told_with_exit_code_3(tmp_path: Path) -> None:
    at = planned(tmp_path)
    beyond = (240 - at) % 18 - 4  # so that 4 in are left for the last panel
    case, friday = files(tmp_path, str(at + (beyond if beyond < 9 else beyond - 18)))
    done = offseam("replan", case, "--asbuilt", friday)
    assert done.returncode == 3
    assert "NOTHING CLOSES" in done.stdout and "What would mend it" in done.stdout


def test_refusals(tmp_path: Path) -> None:
    case, friday = files(tmp_path, "4 ft", "layuot = 1\n")
    done = offseam("replan", case, "--asbuilt", friday)
    assert done.returncode == 2 and "layuot is 1: there is no such key" in done.stderr
    assert done.stdout == ""
    case, friday = files(tmp_path, "4 ft")
    assert "--asbuilt is missing" in offseam("replan", case).stderr
    over = offseam("replan", case, "--asbuilt", friday, "--json", friday)
    assert over.returncode == 2 and "friday.toml" in over.stderr
    write(tmp_path, "layout = 2\n" + FRIDAY.format(eave="4 ft"), "friday.toml")
    both = offseam("replan", case, "--asbuilt", friday, "--layout", "1")
    assert both.returncode == 2 and "says that layout 2 is being built" in both.stderr


def test_another_layout_by_its_first_width(tmp_path: Path) -> None:
    case = write(tmp_path, SHED)
    text = 'first = { S = 12 }\n[[plane]]\nid = "S"\nseam = 2\neave = 30\n'
    friday = write(tmp_path, text, "friday.toml")
    done = offseam("replan", case, "--asbuilt", friday, "--json", "-")
    document = json.loads(done.stdout)
    assert (document["layout"], document["planes"][0]["planned"]) == (None, 30)
    wrong = write(tmp_path, text.replace("12", "1"), "monday.toml")
    refused = offseam("replan", case, "--asbuilt", wrong)
    assert refused.returncode == 2 and "no layout with these first widths" in refused.stderr


def test_names_from_a_case_are_data(tmp_path: Path) -> None:
    case = write(tmp_path, hostile_case())
    friday = write(tmp_path, '[[plane]]\nid = "[red]S[/]"\nseam = 2\neave = 30\n', "friday.toml")
    done = offseam("replan", case, "--asbuilt", friday)
    assert done.returncode in (0, 2) and "Traceback" not in done.stderr + done.stdout
    if done.returncode == 0:
        assert "[red]S[/]" in done.stdout
