"""The usual layout against sums done by hand.

Common practice, no source: first and last panel equal, or as near as the marks allow; where half of
what whole panels leave over is too narrow, one full panel is taken out and its width shared too;
where nothing is left over, full panels from end to end. Each sum is written out beside its example.
"""

from __future__ import annotations

from typing import Any

import pytest

from solver.api import case_from_document, result_document, solve


def answer(units: str, width: Any, cover: Any, min_end: Any, **more: Any) -> dict[str, Any]:
    """The result file of a bare plane."""
    plane = {"id": "A", "width": width, "length": 100, "lay": more.pop("lay", "left-to-right")}
    document = {
        "title": "bare plane",
        "units": units,
        "panel": {"cover": cover},
        "rules": {"min_end": min_end},
        "plane": [plane],
        **more,
    }
    return result_document(solve(case_from_document(document)))


EXAMPLES = [
    # 5 x 18 = 90 leaves 10. Half of it, 5, is less than 6: take out a panel, (10 + 18) / 2 = 14.
    # Check: 14 + 4 x 18 + 14 = 100.
    pytest.param("in", 100, 18, 6, {}, 14, 14, 6, id="share a panel"),
    # 5 x 18 = 90 leaves 12. Half of it is exactly 6: wide enough. 6 + 5 x 18 + 6 = 102.
    pytest.param("in", 102, 18, 6, {}, 6, 6, 7, id="half the rest just wide enough"),
    # 28' 11" = 347. 19 x 18 = 342 leaves 5. 2 1/2 is too narrow: (5 + 18) / 2 = 11 1/2.
    # Check: 11 1/2 + 18 x 18 + 11 1/2 = 347.
    pytest.param("in", "28' 11\"", 18, 6, {}, 11.5, 11.5, 20, id="28 ft 11 in"),
    # 212 ft = 2544. 141 x 18 = 2538 leaves 6. 3 is too narrow: (6 + 18) / 2 = 12.
    # Check: 12 + 140 x 18 + 12 = 2544.
    pytest.param("in", "212 ft", 18, 6, {}, 12, 12, 142, id="212 ft"),
    # 8 x 18 = 144 leaves nothing: a full panel at both ends.
    pytest.param("in", 144, 18, 6, {}, 18, 18, 8, id="nothing left over"),
    # 20 x 16 = 320 leaves 11 3/16. Half of it is 5 19/32, enough for 5, between the marks 5 9/16
    # and 5 5/8, equally far from both: the wider, 5 5/8. Far end: 11 3/16 - 5 5/8 = 5 9/16.
    pytest.param("in", "331 3/16", 16, 5, {}, 5.625, 5.5625, 22, id="two marks equally near"),
    # 15 x 475 = 7125 leaves 220. 110 is less than 160: (220 + 475) / 2 = 347.5, between the marks
    # 347 and 348: the wider, 348. Far end: 7345 - 348 - 14 x 475 = 347.
    pytest.param("mm", 7345, 475, 160, {}, 348, 347, 16, id="mm, two marks equally near"),
    # The same laid from the other end: 348 at the right, 347 at the left.
    pytest.param("mm", 7345, 475, 160, {"lay": "right-to-left"}, 348, 347, 16, id="mm, from right"),
    # 16 x 600 = 9600 leaves 230. Half of it, 115, is at least 100. 115 + 16 x 600 + 115 = 9830.
    pytest.param("mm", "9.83 m", 600, 100, {}, 115, 115, 18, id="mm, half the rest"),
    # 12 x 16 3/8 = 196 1/2 leaves 3 1/2. 1 3/4 is less than 5: (3 1/2 + 16 3/8) / 2 = 9 15/16. To
    # the quarter inch that is 10 (1/16 off; 9 3/4 is 3/16 off). 200 - 10 - 11 x 16 3/8 = 9 7/8.
    pytest.param("in", 200, "16 3/8", 5, {"mark": "1/4"}, 10, 9.875, 13, id="coarse mark"),
    # 10 x 16 3/8 = 163 3/4 leaves nothing: a full panel first, though 16 3/8 is no whole quarter.
    pytest.param(
        "in", "163 3/4", "16 3/8", 5, {"mark": "1/4"}, 16.375, 16.375, 10, id="cover no whole mark"
    ),
    # 5 x 18 = 90 leaves 12 1/32. Half of it, 6 1/64, is enough; the marks beside it are 6 and
    # 6 1/16. 6 is nearer, and leaves 6 1/32 at the far end.
    pytest.param("in", "102 1/32", 18, 6, {}, 6, 6.03125, 7, id="width between marks"),
    # Whole inches. 90 leaves 11 1/2, half of it 5 3/4 is less than 5 7/8: (11 1/2 + 18) / 2 =
    # 14 3/4, and the whole inch nearest to it is 15. Far end: 101 1/2 - 15 - 4 x 18 = 14 1/2.
    pytest.param("in", "101 1/2", 18, "5 7/8", {"mark": 1}, 15, 14.5, 6, id="whole inches"),
    # Narrower than a panel: one panel, no seam.
    pytest.param("in", 14, 18, 6, {}, 14, 14, 1, id="one panel"),
    # Exactly one cover wide: still one panel.
    pytest.param("mm", 475, 475, 160, {}, 475, 475, 1, id="exactly one panel"),
    # Just wider: 475 leaves 1. 0.5 is too narrow: (1 + 475) / 2 = 238 at both ends, one seam.
    pytest.param("mm", 476, 475, 160, {}, 238, 238, 2, id="one seam"),
]


@pytest.mark.parametrize(
    ("units", "width", "cover", "min_end", "more", "first", "last", "panels"), EXAMPLES
)
def test_by_hand(
    units: str, width: Any, cover: Any, min_end: Any, more: dict[str, Any],
    first: float, last: float, panels: int,
) -> None:  # fmt: skip
    plane = answer(units, width, cover, min_end, **more)["usual"]["planes"][0]
    assert (plane["first"], plane["last"], plane["panels"]) == (first, last, panels)
    assert len(plane["seams"]) == panels - 1


def test_seams_stand_where_the_tape_says() -> None:
    """14 in first of 100 in: seams at 14, 32, 50, 68 and 86 in, from either end."""
    for lay in ("left-to-right", "right-to-left"):
        plane = answer("in", 100, 18, 6, lay=lay)["usual"]["planes"][0]
        assert plane["seams"] == [14, 32, 50, 68, 86]


def test_seams_from_the_right() -> None:
    """348 mm at the right of 7,345 mm: seams at 6,997, 6,522 and so on down to 347 mm."""
    plane = answer("mm", 7345, 475, 160, lay="right-to-left")["usual"]["planes"][0]
    assert (plane["seams"][0], plane["seams"][-2], plane["seams"][-1]) == (347, 6522, 6997)


def test_plane_narrower_than_the_least_end() -> None:
    """4 in where an end panel should have 6: one panel all the same, and a word about it."""
    found = answer("in", 4, 18, 6)
    assert found["usual"]["planes"][0]["first"] == 4
    assert [(f["code"], f["about"]) for f in found["findings"] if f["about"]] == [
        ("narrow-plane", ["A"])
    ]


@pytest.mark.parametrize(
    ("units", "width", "cover", "min_end", "works", "too_much", "named"),
    [
        # 100 - 4 x 18 = 28 for both ends: 14 each at best, so 15 is too much.
        ("in", 100, 18, 15, 14, "14 1/16", '14"'),
        # One seam in 20 1/8: 10 1/16 each at best.
        ("in", "20 1/8", 18, 11, "10 1/16", "10 1/8", '10 1/16"'),
        # 7345 - 14 x 475 = 695 for both ends: 347 and 348 at best.
        ("mm", 7345, 475, 400, 347, 348, "347 mm"),
    ],
)
def test_no_start_names_the_least_end_that_works(
    units: str, width: Any, cover: Any, min_end: Any, works: Any, too_much: Any, named: str
) -> None:
    found = answer(units, width, cover, min_end)
    assert (found["layouts"], found["usual"]) == ([], None)
    says = [f["says"] for f in found["findings"] if f["code"] == "no-start"]
    assert len(says) == 1
    assert says[0].endswith(f"that works is {named}.")
    assert answer(units, width, cover, works)["usual"] is not None
    assert answer(units, width, cover, too_much)["usual"] is None
