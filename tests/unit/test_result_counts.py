"""The result file of roofs as they are, and older ones beside it."""

from __future__ import annotations

import copy
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from cli.report.compare_part import compare_page
from cli.report.lines import plain
from solver.case import Case, Rate
from solver.case_parts import Centre, Hole, Outline, Pitch
from solver.checking import Checked
from solver.comparing.changes import compare_results
from solver.comparing.result_file import read_result
from solver.document import check_document, dump
from solver.result import JudgedCentre
from tests.unit.builders import (
    inches,
    look,
    make_case,
    make_curb,
    make_pipe,
    make_plane,
    make_sheet,
)

Json = dict[str, Any]


def document(case: Case, **change: Any) -> Json:
    judged = replace(look(case), **change)
    return check_document(Checked(case, judged, (), ()), {})


def plain_roof(*, area: bool = False) -> Case:
    case = make_case(make_pipe(inches(41)), sheet=make_sheet())
    if not area:
        return case
    each = {**case.rates.each, "area": Rate(Decimal(0), Decimal(3), True)}
    return replace(case, rates=replace(case.rates, each=each))


def test_counts_rates_and_costs_of_sheets_only_where_they_are_charged() -> None:
    (layout,) = document(plain_roof())["layouts"]
    assert list(layout["counts"]) == [
        "on-seam", "seams_cut", "crosses", "tight", "crowded", "moved", "links_missed",
        "off_centre", "unlanded", "odd_panels", "uneven",
    ]
    assert "stock" not in layout["cost"] and layout["centres"] == []
    assert "area" not in document(plain_roof())["rates"]["used"]
    case = plain_roof(area=True)
    cost = replace(look(case).cost, stock=1200)
    counts = (*look(case).counts[:-1], 4)
    found = document(case, cost=cost, counts=counts)
    assert found["layouts"][0]["cost"]["stock"] == 12 and found["layouts"][0]["cost"]["total"] == 12
    assert found["layouts"][0]["counts"]["stock"] == 4
    assert found["rates"]["used"]["area"] == {"hours": 0, "material": 3, "each": 3}


def test_centres_are_told_in_the_units_of_the_case() -> None:
    asked = tuple(Centre("S", inches(41), on, inches(1), False, "peak") for on in ("pan", "rib"))
    case = replace(plain_roof(), centres=asked)
    judged = (
        JudgedCentre("S", "peak", "pan", inches(41), True, -inches(1)),
        JudgedCentre("S", "peak", "rib", inches(41), False, None),
    )
    (layout,) = document(case, centres=judged)["layouts"]
    assert layout["centres"] == [
        {"plane": "S", "what": "peak", "at": 41, "on": "pan", "hit": True, "off": -0.5},
        {"plane": "S", "what": "peak", "at": 41, "on": "rib", "hit": False, "off": None},
    ]


def test_landed_walls_are_told_of_ribbed_curbs_only() -> None:
    case = make_case(make_curb(inches(42), detail="ribbed"),
                     make_curb(inches(80), "C2", across=inches(4)))
    one, other = look(case).penetrations
    (layout,) = document(case, penetrations=(
        replace(one, landed=(True, False)), replace(other, landed=None)))["layouts"]
    one, other = layout["penetrations"]
    assert one["landed"] == [True, False] and "landed" not in other


def test_outlines_and_pitches_are_told_where_the_case_has_them() -> None:
    corners = tuple((inches(x), inches(y)) for x, y in ((0, 0), (100, 0), (100, 150)))
    box = tuple((inches(x), inches(y)) for x, y in ((80, 10), (90, 10), (90, 20)))
    shaped = replace(
        make_plane(length=inches(150)), pitch=Pitch("4:12", Fraction(1, 3)),
        outline=Outline(corners, ("eave", "rake", "hip")),
        holes=(Hole("dormer", Outline(box, ("wall", "wall", "valley"))),),
    )
    case = make_case(planes=(shaped, make_plane("N")))
    one, other = document(case)["layouts"][0]["planes"]
    assert one["outline"] == [
        {"x": 0, "y": 0, "edge": "eave"}, {"x": 100, "y": 0, "edge": "rake"},
        {"x": 100, "y": 150, "edge": "hip"},
    ]
    assert one["holes"] == [{"what": "dormer", "outline": [
        {"x": 80, "y": 10, "edge": "wall"}, {"x": 90, "y": 10, "edge": "wall"},
        {"x": 90, "y": 20, "edge": "valley"},
    ]}]
    assert one["pitch"] == "4:12"
    assert not {"outline", "holes", "pitch"} & set(other)


def compared(folder: Path, old: Json, new: Json) -> tuple[Any, str]:
    files = []
    for name, one in (("old.json", old), ("new.json", new)):
        (folder / name).write_text(dump(one), encoding="utf-8")
        files.append(str(folder / name))
    found = compare_results(read_result(files[0]), read_result(files[1]), (files[0], files[1]))
    lines = compare_page(found, ("old.json", "new.json"))
    return found, " ".join(" ".join(plain(one) for one in lines).split())


def earlier(now: Json) -> Json:
    """The same as a version wrote it that knew nothing of centres, ribs and sheets."""
    old = copy.deepcopy(now)
    (layout,) = old["layouts"]
    for name in ("off_centre", "unlanded"):
        del layout["counts"][name], old["rates"]["used"][name]
    del layout["centres"]
    return old


def test_an_older_file_says_the_same_of_a_plain_roof(tmp_path: Path) -> None:
    now = document(plain_roof())
    for pair in ((earlier(now), now), (now, earlier(now)), (earlier(now), earlier(now))):
        assert compared(tmp_path, *pair)[0].nothing


def test_the_new_counts_are_compared(tmp_path: Path) -> None:
    now = document(plain_roof())
    new = copy.deepcopy(now)
    new["layouts"][0]["counts"].update(off_centre=1, unlanded=2)
    for old in (now, earlier(now)):
        found, page = compared(tmp_path, old, new)
        assert [(one.name, one.old, one.new) for one in found.counts] == [
            ("off_centre", 0, 1), ("unlanded", 0, 2)]
        assert ("centres missed 1 (before 0); walls of ribbed curbs without a seam 2 (before 0)."
                in page)


def test_sheets_charged_now_and_not_before(tmp_path: Path) -> None:
    case = plain_roof(area=True)
    cost = replace(look(case).cost, stock=1200)
    new = document(case, cost=cost, counts=(*look(case).counts[:-1], 4))
    found, page = compared(tmp_path, document(plain_roof()), new)
    assert [one.name for one in found.costs] == ["total", "stock"]
    assert [(one.name, one.old, one.new) for one in found.counts] == [("stock", 0, 4)]
    assert [one.name for one in found.rates] == ["area"]
    assert "sheets: 12.00, before 0.00: 12.00 more." in page
    assert "units of sheet stock 4 (before 0)" in page
    assert "rate area: 0 h and 3.00, 3.00 each, before not there." in page
    assert compared(tmp_path, new, new)[0].nothing
