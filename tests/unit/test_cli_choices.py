"""Reading --first and --move: ids may hold anything, lengths are the case's."""

from __future__ import annotations

import pytest

from cli.check_command import _choices
from cli.failures import OptionError
from solver.api import case_from_document
from solver.case import Case
from solver.units import TICKS_PER_INCH


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
    firsts, moves = _choices(case, ["a=b=11 1/2", "S=1' 2\""], ["=x=1=-2.5", "V1=50.8 mm"])
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
