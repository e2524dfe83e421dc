"""Reading --first, --move, --odd, --module: ids may hold anything, lengths are the case's."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.check_command import _choices
from cli.failures import OptionError
from solver.api import case_from_document
from solver.case import Case
from solver.units import TICKS_PER_INCH
from tests.unit.cli_runs import offseam, write


@pytest.fixture
def case() -> Case:
    pen = {"plane": "S", "kind": "pipe", "y": 60, "outside": 3.5, "status": "planned"}
    return case_from_document({
        "title": "t", "units": "in", "panel": {"cover": 18},
        "plane": [{"id": "S", "width": 240, "length": 144}, {"id": "a=b", "width": 240,
                                                             "length": 144}],
        "penetration": [{"id": "V1", "x": 60, **pen}, {"id": "=x=1", "x": 120, **pen}],
    })


def test_ids_with_an_equals_sign_split_at_the_last_one(case: Case) -> None:
    firsts, moves, odds, changes = _choices(
        case, ["a=b=11 1/2", "S=1' 2\""], ["=x=1=-2.5", "V1=50.8 mm"]
    )
    assert (odds, changes) == ({}, {})
    assert firsts == {"a=b": 23 * TICKS_PER_INCH // 2, "S": 14 * TICKS_PER_INCH}
    assert moves == {"=x=1": -5 * TICKS_PER_INCH // 2, "V1": 2 * TICKS_PER_INCH}


@pytest.mark.parametrize(
    ("first", "move", "told"),
    [
        (["S"], [], "PLANE=LENGTH"),
        (["=12"], [], "PLANE=LENGTH"),
        ([], ["V1"], "PEN=LENGTH"),
        (["s=12"], [], 'no plane "s"'),
        ([], ["V11=1"], 'the nearest is "V1"'),
        (["S=12", "S=12"], [], "given twice"),
        (["S=11 1/0"], [], "no length"),
        ([], ["V1="], "no length"),
        ([], ["V1=nan"], "no length"),
        ([], ["V1=1e999"], "no length"),
        (["S=2 km"], [], "no length"),
    ],
)
def test_what_cannot_be_read_is_told(
    case: Case, first: list[str], move: list[str], told: str
) -> None:
    with pytest.raises(OptionError, match=r"--(first|move)") as caught:
        _choices(case, first, move)
    assert told in str(caught.value)


def test_all_wrong_options_are_told_at_once(case: Case) -> None:
    with pytest.raises(OptionError) as caught:
        _choices(case, ["Z=1", "S=x"], ["V1=y"])
    assert len(caught.value.messages) == 3


@pytest.fixture
def bent() -> Case:
    """Plane S from its low end; plane "M=1:2" both ways from a line."""
    return case_from_document({
        "title": "t", "units": "in", "panel": {"cover": 18},
        "rules": {"odd_panels": 2, "play": "1/16"},
        "plane": [
            {"id": "S", "width": 240, "length": 144},
            {"id": "M=1:2", "width": 240, "length": 144, "lay": "from", "from": 100,
             "low_end": "valley", "high_end": "hip"},
        ],
    })


def test_odd_panels_and_modules_are_read_by_plane_and_number(bent: Case) -> None:
    inch = TICKS_PER_INCH
    odds = ["S=3:12 1/2", "S= 5 :250 mm", "M=1:2=-2:11", "M=1:2=1:9"]
    modules = ["S=2:+1/64", "S=1:-1/32", "M=1:2=-1:1/64"]
    assert _choices(bent, [], [], odds, modules) == (
        {}, {},
        {"S": {3: 25 * inch // 2, 5: 250 * 640}, "M=1:2": {-2: 11 * inch, 1: 9 * inch}},
        {"S": {2: inch // 64, 1: -inch // 32}, "M=1:2": {-1: inch // 64}},
    )


@pytest.mark.parametrize(
    ("odd", "module", "told"),
    [
        (["S"], [], 'write PLANE=PANEL:LENGTH, such as S=3:12 1/2'),
        (["S=12"], [], "write PLANE=PANEL:LENGTH"),
        (["=3:12"], [], "write PLANE=PANEL:LENGTH"),
        ([], ["S=12"], "write PLANE=STRETCH:LENGTH, such as S=3:+1/64"),
        (["T=3:12"], [], 'no plane "T"'),
        (["S=three:12"], [], '"three" is no number of a panel'),
        (["S=3.5:12"], [], '"3.5" is no number of a panel'),
        (["S=²:12"], [], "is no number of a panel"),
        (["S=9999999999:12"], [], "is no number of a panel"),
        ([], ["S=:1/64"], '"" is no number of a stretch'),
        (["S=0:12"], [], "there is no panel 0"),
        (["S=-2:12"], [], "there is no panel -2"),
        (["M=1:2=0:12"], [], "counted from 1, minus towards the valley"),
        (["S=3:12", "S=3:12"], [], 'panel 3 of plane "S" is given twice'),
        ([], ["S=3:0", "S=03:1/64"], 'stretch 3 of plane "S" is given twice'),
        (["S=3:"], [], "no length"),
        (["S=3:12:5"], [], "no length"),
        ([], ["S=3:+"], "no length"),
    ],
)
def test_what_cannot_be_read_of_panels_is_told(
    bent: Case, odd: list[str], module: list[str], told: str
) -> None:
    with pytest.raises(OptionError, match=r"--(odd|module)") as caught:
        _choices(bent, [], [], odd, module)
    assert told in str(caught.value)


def test_every_wrong_option_of_all_four_kinds_is_told_at_once(bent: Case) -> None:
    with pytest.raises(OptionError) as caught:
        _choices(bent, ["S=x", "M=1:2=9"], ["V=1"], ["S=a:b", "T=1:2"], ["S=1:z"])
    # "S=a:b" has a number and a length that are none; the line leaves no first width to choose.
    assert len(caught.value.messages) == 7
    assert "no choice of a first width" in str(caught.value)


ENDS_TOO_WIDE = """\
title = "Narrow"
units = "in"
[panel]
cover = 18
[rules]
min_end = 13
odd_panels = 1
play = "1/16"
[[plane]]
id = "S"
width = 56
length = 100
low_end = "west gable"
"""


def test_the_command_prices_odd_panels_and_modules(tmp_path: Path) -> None:
    """56 in with ends from 13 to 18 in: 15, an odd panel of 10, a full one of 18 1/64, and what is
    left, 12 63/64 in: short by a 64th. Without play it is 13. No plain start is legal, so there is
    no usual layout to compare with."""
    case = write(tmp_path, ENDS_TOO_WIDE)
    good = offseam("check", case, "--first", "S=15", "--odd", "S=2:10")
    assert good.returncode == 0, good.stderr
    assert "THIS LAYOUT OBEYS THE RULES" in good.stdout and "usual layout" not in good.stdout
    assert 'ODD: panel 2 from the west gable is 10" wide' in good.stdout
    assert "[odd-panels]" in good.stdout and "[play]" not in good.stdout
    wide = offseam("check", case, "--first", "S=15", "--odd", "S=2:10", "--module", "S=1:+1/64",
                   "--json", "-")
    assert wide.returncode == 3
    document = json.loads(wide.stdout)
    assert [reason["code"] for reason in document["reasons"]] == ["end-rule"]
    (plane,) = document["layouts"][0]["planes"]
    assert plane["seams"] == [15, 25, 43.015625] and plane["last"] == 12.984375
    assert document["layouts"][0]["cost"]["play"] > 0
    assert {"odd-panels", "play"} <= {finding["code"] for finding in document["findings"]}


def test_the_command_tells_every_wrong_option_at_once(tmp_path: Path) -> None:
    case = write(tmp_path, ENDS_TOO_WIDE)
    done = offseam("check", case, "--odd", "T=2:10", "--odd", "S=two:10", "--module", "S=1:wide")
    assert done.returncode == 2 and not done.stdout
    for told in ('no plane "T"', '"two" is no number of a panel', '"wide" is no length'):
        assert told in done.stderr
