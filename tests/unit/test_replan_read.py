"""What an as-built file may say: every problem at once, each by its id."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from solver.errors import CaseError
from solver.replan.read import as_built_of, load_as_built
from tests.unit.builders import inches, make_case, make_pipe, make_plane

CASE = make_case(
    make_pipe(inches(40), "A"), planes=(make_plane("S"), make_plane("N", start=inches(50))),
)


def told(document: dict[str, Any]) -> list[str]:
    with pytest.raises(CaseError) as caught:
        as_built_of(document, CASE, "friday.toml")
    return str(caught.value).split("\n")


def test_a_sound_file_is_read_in_the_units_of_the_case() -> None:
    built = as_built_of({
        "date": "2031-05-02", "layout": 2,
        "plane": [{"id": "S", "seam": 2, "eave": "2' 8\"", "ridge": "815 mm", "odd": {"2": 12}}],
        "penetration": [{"id": "A", "x": 41.5}],
    }, CASE)
    entry, seen = built.planes[0].entry, built.seen[0].entry
    assert entry is not None and seen is not None
    assert (built.date, built.layout, built.firsts) == ("2031-05-02", 2, ())
    assert (entry.eave, entry.ridge, entry.odd) == (inches(32), 815 * 640, ((2, inches(12)),))
    assert (seen.x, seen.y, seen.status) == (inches("41 1/2"), None, None)


def test_everything_that_is_wrong_is_told_at_once_in_file_order() -> None:
    assert told({
        "layuot": 1,
        "plane": [
            {"id": "T", "seam": 3, "eave": 10},
            {"id": "S", "seam": -1, "eave": 10, "tape": 10},
            {"id": "S", "seam": 0},
            {"id": "N", "seam": 1},
        ],
        "penetration": [{"id": "B", "x": 4}, {"id": "A", "x": 400, "status": "loose"}],
    }) == [
        'friday.toml: layuot is 1: there is no such key; the nearest known one is "layout"',
        'friday.toml: plane T id is "T": the case has no such plane; known are S, N',
        "friday.toml: plane S seam is -1: seams of plane S are counted from 1; only a plane laid "
        "both ways from a line has seams below 0",
        "friday.toml: plane S tape is 10: give either eave, to the seam's centre, or tape, to the "
        "tape mark",
        "friday.toml: plane S seam is 0: write the number of the last seam laid, counted from "
        "where laying starts: 1 is the far edge of the first panel",
        "friday.toml: plane N eave: it is required and not given: the distance at the eave from "
        "where laying starts to the seam's centre (or tape, to the tape mark)",
        'friday.toml: penetration B id is "B": the case has no such penetration; known are A',
        'friday.toml: penetration A status is "loose": write "fixed", "stubbed" or "planned"',
    ]


@pytest.mark.parametrize(
    ("document", "says"),
    [
        ({}, "plane: write a [[plane]] with id, seam and eave"),
        ({"plane": {"id": "S"}}, "plane is a table: write [[plane]] with double brackets"),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32, "odd": {"3": 12}}]},
         "panel 3 is not laid yet at seam 2"),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32, "odd": {"1": 12}}]},
         "panel 1 is the first panel"),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32, "odd": {"x": 12}}]},
         '"x" is no number of a panel'),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32, "odd": 12}]},
         "write a table of panel numbers and widths"),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32}] * 2}, "keep the later one"),
        ({"plane": [{"id": "S", "seam": 2, "eave": -3}]}, "it must be more than 0"),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32}], "first": {"N": 12}},
         "plane N is laid both ways from a line"),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32}], "first": {"S": 12}, "layout": 1},
         "give either the layout that is being built or first widths"),
        ({"plane": [{"id": "S", "seam": 2, "eave": 32}], "penetration": [{"id": "A", "x": 400}]},
         "it stands off plane S; write 0 to 100\""),
    ],
)  # fmt: skip
def test_each_says_what_would_be_right(document: dict[str, Any], says: str) -> None:
    assert any(says in sentence for sentence in told(document))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (None, "there is no such file; give the path of a measurement file"),
        ("", "the file is empty; write a [[plane]]"),
        ("plane = [", "it is not TOML"),
        ("{", "it is not JSON"),
    ],
)
def test_files_that_cannot_be_read(tmp_path: Path, text: str | None, says: str) -> None:
    path = tmp_path / "friday.toml"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    with pytest.raises(CaseError, match=r"friday\.toml") as caught:
        load_as_built(path, CASE)
    assert says in str(caught.value)


def test_a_layout_below_the_first_is_told_as_a_layout() -> None:
    for value in (0, -2, 1.5, True):
        with pytest.raises(CaseError, match="write the number of a listed layout; 1 is the best"):
            as_built_of({"layout": value, "plane": [{"id": "S", "seam": 1, "eave": 14}]},
                        make_case())
