"""The oracle on odd panels, play and planes laid from a line: by hand, and against itself.

Expected values follow from the arithmetic beside them; lengths are in inches.
"""

from __future__ import annotations

import os
import sys
from fractions import Fraction
from functools import cache
from itertools import product
from math import prod
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import oracle
import oracle_odd
from oracle_odd_best import Stands, candidates
from oracle_odd_case import read
from oracle_odd_faults import ODD_FAULTS
from oracle_odd_laying import layings
from oracle_odd_price import price
from oracle_odd_telling import telling_cases
from strategies import random_case, random_case_stage2
from strategies_odd import random_case_odd, ways

INCH = 16256
CASES = int(os.environ.get("OFFSEAM_FAULT_CASES", "800"))


def inches(*values: float) -> list[Fraction]:
    """Inches as ticks."""
    return [Fraction(value) * INCH for value in values]


def one_plane(width: Any, *pens: dict[str, Any], **parts: Any) -> dict[str, Any]:
    """Cover 16, seam sides 1 back and 2 forward, marks of 1 in, ends of 4 in or more."""
    return {
        "title": "by hand",
        "units": "in",
        "mark": 1,
        "panel": {"cover": 16, "seam_back": 1, "seam_fwd": 2},
        "rules": {"min_end": 4, "end_lap": 3, "work_gap": 0.5, "hole_gap": 0.5, "edge_gap": 0,
                  "spacing": 2, "curb_side": 3, "enough": 0, "uneven_free": 2, "meet_tol": 0.5,
                  "odd_panels": 1, "odd_min": 8} | parts.pop("rules", {}),
        "plane": [{"id": "P", "width": width, "length": 200} | parts.pop("plane", {})],
        "penetration": [{"plane": "P", "y": 50} | pen for pen in pens],
    } | parts  # fmt: skip


def pipe(x: float, **more: Any) -> dict[str, Any]:
    """A pipe of 2 in with a flashing of 6 in: it needs 3 1/2 in of room."""
    return {"id": "V", "kind": "pipe", "x": x, "outside": 2, "base": 6} | more


def look(
    case: dict[str, Any], first: float | None = None, odd: dict[int, float] | None = None,
    changes: dict[int, float] | None = None,
) -> dict[str, Any]:  # fmt: skip
    """What the oracle says of one way to lay plane P, in inches."""

    def ticks(sizes: dict[int, float] | None) -> dict[int, int]:
        return {number: round(size * INCH) for number, size in (sizes or {}).items()}

    firsts = {} if first is None else {"P": round(first * INCH)}
    return oracle_odd.check(case, firsts, {}, {"P": ticks(odd)}, {"P": ticks(changes)})


def broken(*args: Any, **more: Any) -> list[str]:
    return [rule for rule, _ in look(*args, **more)["breaks"]]


def listed(answer: dict[str, Any]) -> list[tuple[Any, ...]]:
    """Total, first width and odd panels of plane P of every layout listed, in inches."""
    return [
        (lay["total"], *(Fraction(first, INCH) for first in lay["firsts"][:1]),
         [(panel, Fraction(width, INCH)) for panel, width, _, _ in lay["planes"][0]["odd"]])
        for lay in answer["layouts"]
    ]  # fmt: skip


# ---------------------------------------------------------------------------- odd panels


def test_an_odd_panel_shifts_what_lies_behind() -> None:
    # 10, then 16 and an odd 9: seams 10, 26, 35, 51; 60 - 51 = 9 are left.
    got = look(one_plane(60, pipe(30.5)), 10, {3: 9})
    plane = got["planes"][0]
    assert plane["seams"] == inches(10, 26, 35, 51) and got["lasts"] == inches(9)
    assert plane["odd"] == [(3, *inches(9, 26, 35))] and plane["panels"] == 5
    # In the odd panel: 30.5 - 26 - 2 = 2.5 and 35 - 30.5 - 1 = 3.5. Below base/2 = 3: crosses.
    assert (got["room"], got["states"]) == (inches(2.5), ["crosses"])
    assert got["seams_beside"] == [tuple(inches(26, 35))] and got["breaks"] == []
    # 2 h * 95 + 35 for that, 1.5 h * 95 + 60 for the odd panel
    assert got["cost"] == {"flashing": 22500, "moves": 0, "odd_panels": 20250, "look": 0, "play": 0}
    # From the right: seams at 60 - 10, - 26, - 35, - 51; 30.5 lies after the seam at 34: 3.5 - 2.
    got = look(one_plane(60, pipe(30.5), plane={"lay": "right-to-left"}), 10, {3: 9})
    assert got["planes"][0]["seams"] == inches(9, 25, 34, 50)
    assert got["planes"][0]["odd"] == [(3, *inches(9, 25, 34))] and got["room"] == inches(1.5)


@pytest.mark.parametrize(
    ("first", "odd", "rules"),
    [
        (10, {}, []),  # 10 26 42, last 14
        (10, {2: 8}, []),  # 10 18 34 50, last 6
        (10, {4: 8}, []),  # 10 26 42 50, last 6
        (10, {2: 12}, ["end-rule"]),  # 10 22 38 54, last 2
        (10, {4: 14}, ["odd-place"]),  # 42 + 14 is the end: panel 4 is the last
        (10, {5: 8}, ["odd-place"]),  # there are 4
        (10, {1: 10}, ["odd-place"]),  # the first panel
        (10, {2: 7}, ["odd-width"]),  # 10 17 33 49, last 7
        (14, {3: 16}, ["odd-width"]),  # a full panel; 14 30 46, last 10
        (12, {2: 8.5}, ["odd-width"]),  # no whole mark; 12 20.5 36.5 52.5, last 3.5
        (10, {2: 8, 4: 9}, ["odd-count"]),  # 10 18 34 43, last 13
    ],
)
def test_which_odd_panels_are_legal(first: int, odd: dict[int, int], rules: list[str]) -> None:
    got = broken(one_plane(56), first, odd)
    assert got == rules or (odd.get(2) == 8.5 and got == ["end-rule", *rules])


def test_widths_of_odd_panels() -> None:
    def widths(**rules: Any) -> list[Fraction]:
        case = read(one_plane(56, rules=rules))
        return [Fraction(width, 2 * INCH) for width in case.odd_widths]

    assert widths() == list(range(8, 16))  # to a mark below the cover
    assert widths(odd_min=13.5) == [14, 15]
    assert widths(odd_widths=[9.5, 4]) == [4, 9.5]  # just those, odd_min or not
    document = one_plane(56)
    del document["rules"]["odd_min"]
    document["panel"]["cover"], document["mark"] = 17, 2
    assert read(document).odd_widths == tuple(2 * INCH * w for w in (10, 12, 14))  # 8.5 … 15


def test_one_odd_panel_clears_what_no_plain_start_can() -> None:
    # 48 with ends of 12 or more: first + last + 16 = 48 leaves 16 and 16 only: seams 16 32. The
    # pipe at 31 is 1 before 32, which takes 1: on-seam, 625. With an odd panel first + odd + last =
    # 32, so 12 + 8 + 12: seams 12 20 36 (31: 11 - 2 and 5 - 1 = 4, clear) or 12 28 36 (3 - 2 = 1).
    answer = oracle_odd.solve(one_plane(48, pipe(31), rules={"min_end": 12}))
    assert listed(answer) == [(20250, 12, [(2, 8)]), (62500, 16, [])]
    assert answer["layouts"][0]["windows"] == [tuple(inches(12, 12))]
    assert answer["as_drawn"]["total"] == 20250 and answer["usual"]["total"] == 62500
    assert answer["blind"] == {"mean": 62500, "worst": 62500, "starts": {"P": 1}}


def test_ties_between_odd_panels() -> None:
    # 50 with ends of 12 or more: 50 - 32 = 18 and 50 - 16 = 34 share out to no two ends of 12 … 16.
    # One odd panel: first + odd + last = 34: 8 with 12 14, 13 13, 14 12; 9 with 12 13, 13 12; 10
    # with 12 12. The widest narrow end: 13, 8, 13, as panel 2 (13 … 21) or 3 (29 … 37). Centre
    # lines at 17 and 33 are both 17 from an end; 2 is nearer the start.
    case = one_plane(50, rules={"min_end": 12})
    answer = oracle_odd.solve(case)
    assert listed(answer) == [(20250, 13, [(2, 8)])]
    order = answer["layouts"][0]["order"]
    assert order == (20250, *(0,) * 7, 1, 0, 0, 0, 0, *inches(-13, -8, -34, 34), 0,
                     13 * INCH, 2, 8 * INCH)  # fmt: skip
    assert answer["usual"] is None and answer["blind"] is None and answer["no_start"] == []
    # A pipe at 6.5 is clear either way (end 3.5, seam 5.5) and 10.5 from 17: so panel 3, 17 away.
    case["penetration"] = [{"plane": "P", "y": 50} | pipe(6.5)]
    assert listed(oracle_odd.solve(case)) == [(20250, 13, [(3, 8)])]
    # With 12 agreed the narrow end is 12 whatever the odd panel: the widest of 8, 9, 10.
    case["penetration"], case["freeze"] = [], {"first": {"P": 12}}
    assert listed(oracle_odd.solve(case)) == [(20250, 12, [(2, 10)])]


def test_curbs_between_odd_seams() -> None:
    # Seams 10 26 35 51. Half of 13 is 6.5: 26 and 35, 4.5 away, are cut; flanks 20.5 - 6.5.
    curb = {"id": "C", "kind": "curb", "x": 30.5, "along": 10}
    got = look(one_plane(60, curb | {"across": 13}), 10, {3: 9})
    assert (got["states"], got["seams_cut"], got["room"]) == (["spans"], [2], inches(14))
    assert got["seams_beside"] == [tuple(inches(10, 51))]
    # Half of 5 is 2.5: 26 takes 2, 4.5 just away; both flanks are 2, below 3.
    got = look(one_plane(60, curb | {"across": 5}), 10, {3: 9})
    assert (got["states"], got["seams_cut"], got["room"]) == (["crowded"], [0], inches(2))


def test_creep_counts_odd_panels() -> None:
    # 1/4 for each panel since the last control, every 2: seams 10, 26, 35, 51 are off by 0, 1/4,
    # 1/2, 1/4. At 30.5 the seam at 26 governs: 2.5 - 1/4. At 39.5: 39.5 - 35 - 2 - 1/2.
    rules = {"cover_tol": 0.25, "remeasure": 2}
    assert look(one_plane(60, pipe(30.5), rules=rules), 10, {3: 9})["worst_room"] == inches(2.25)
    assert look(one_plane(60, pipe(39.5), rules=rules), 10, {3: 9})["worst_room"] == inches(2)


def test_window_keeps_the_odd_panel_between_the_ends() -> None:
    # 47 with a first width of 12: 12 28 43, last 4, panel 3 odd (15). A mark of 4 more, 16 32, and
    # 15 are left: the odd panel would be the last. Less: 8 24 39, last 8; 4 20 35, last 12.
    lay = oracle_odd.solve(telling_cases()["window-odd-falls-off"])["layouts"][0]
    assert lay["planes"][0]["odd"] == [(3, *inches(15, 28, 43))]
    assert lay["windows"] == [tuple(inches(4, 12)), tuple(inches(12, 12))]


def test_odd_panels_keep_off_where_pipes_finally_stand() -> None:
    # One plane: 4 up, 9 from the centre line at 33, not 4 down, 1 from it. With a plane Q whose odd
    # panel has a pipe on its centre line nothing is gained by that, and the smaller move wins.
    cases = telling_cases()
    assert oracle_odd.solve(cases["odd-distance-drawn"])["layouts"][0]["moves"][0] == 4 * INCH
    assert oracle_odd.solve(cases["odd-distance-own-plane"])["layouts"][0]["moves"][0] == -4 * INCH


# ---------------------------------------------------------------------------- play


def test_stretches_count_panels() -> None:
    # Panels 2 3 | 4 5 | 6 7: the second stretch 1 wider. 10 26 42 | 59 76 | 92, last 8.
    rules = {"play": 1, "play_mark": 1, "remeasure": 2}
    got = look(one_plane(100, rules=rules), 10, {}, {2: 1})
    assert got["planes"][0]["seams"] == inches(10, 26, 42, 59, 76, 92)
    assert got["planes"][0]["stretches"] == [
        (1, (2, 3), 16 * INCH), (2, (4, 5), 17 * INCH), (3, (6,), 16 * INCH)
    ]  # fmt: skip
    assert got["cost"]["play"] == 2375 and got["breaks"] == []  # 0.25 h * 95
    # With panel 4 odd (9) only panel 5 is wider: 10 26 42 | 51 68 | 84, last 16.
    got = look(one_plane(100, rules=rules), 10, {4: 9}, {2: 1})
    assert got["planes"][0]["seams"] == inches(10, 26, 42, 51, 68, 84)
    assert got["planes"][0]["stretches"][1] == (2, (5,), 17 * INCH) and got["breaks"] == []


def test_which_changes_are_legal() -> None:
    rules = {"play": 1, "play_mark": 0.5, "remeasure": 2}
    case = one_plane(100, rules=rules)  # 10 26 42 58 74 90, last 10
    assert broken(case, 10, {}, {1: 0.5}) == broken(case, 10, {}, {3: -1}) == []
    assert broken(case, 10, {}, {1: 0.25}) == broken(case, 10, {}, {1: 1.5}) == ["change-size"]
    assert broken(case, 10, {}, {4: 1}) == ["change-place"]
    # 58: panels 2 3 | 4 | last. Odd panel 4: its stretch has no full one. 10 26 42 51, last 7.
    assert broken(one_plane(58, rules=rules), 10, {4: 9}, {2: 1}) == ["change-place"]


def test_the_last_panel_takes_what_is_left_up_to_a_cover() -> None:
    # 16, two of 15, and 16 left: just one cover, so it is the last, not one more of 15.
    got = look(one_plane(62, rules={"play": 1, "play_mark": 1}), 16, {}, {1: -1})
    assert got["planes"][0]["seams"] == inches(16, 31, 46) and got["lasts"] == inches(16)
    assert got["breaks"] == []


def test_play_is_used_where_nothing_else_can() -> None:
    # 56 with ends of 15: 56 - 32 = 24 and 56 - 16 = 40 are no two ends. With both full panels 3
    # narrower 56 - 26 = 30 are 15 and 15; 2 narrower 28 is too little. Seams 15 28 41.
    case = one_plane(56, rules={"min_end": 15, "odd_panels": 0, "play": 3, "play_mark": 1})
    (lay,) = oracle_odd.solve(case)["layouts"]
    assert lay["planes"][0]["seams"] == inches(15, 28, 41) and lay["total"] == 2375
    # stretches 1 … 56 // 13 + 1 = 5 of the order, the first altered by -3
    assert lay["order"] == (2375, *(0,) * 9, 1, 0, 0, -15 * INCH, 0, 0, 0, *inches(3, 15, -3),
                            0, 0, 0, 0)  # fmt: skip
    # A tie between 12 29, 1 wider, and 16 31, 1 narrower: the first width before the change.
    (lay,) = oracle_odd.solve(telling_cases()["changes-before-first"])["layouts"]
    assert lay["planes"][0]["seams"] == inches(12, 29) and lay["lasts"] == inches(14)
    # With a control after every panel each of the two is a stretch of its own.
    case["rules"]["remeasure"] = 1
    (lay,) = oracle_odd.solve(case)["layouts"]
    assert lay["total"] == 4750 and lay["order"][-5:] == (*inches(-3, -3), 0, 0, 0)


# ---------------------------------------------------------------------------- from a line


def test_sides_of_seams_laid_from_a_line() -> None:
    # 60 from 28: seams 12, 28, 44. Needed 3.5. Above the line 1 on the low side and 2 on the high
    # one, below it the other way round, the line's own 2 and 2; the ends' lap is 3.
    case = one_plane(60, plane={"lay": "from", "from": 28})
    assert look(case)["planes"][0]["seams"] == inches(12, 28, 44)
    for x in (6.5, 16.5, 22.5, 33.5, 39.5, 49.5):  # 5.5, 4.5, 5.5, 5.5, 4.5, 5.5 from a seam
        case["penetration"] = [{"plane": "P", "y": 50} | pipe(x)]
        assert look(case)["room"] == inches(3.5), x
    for x, state in ((16.25, "tight"), (33.25, "tight"), (39.75, "tight"), (28, "on-seam")):
        case["penetration"] = [{"plane": "P", "y": 50} | pipe(x)]
        assert look(case)["states"] == [state]
    usual = oracle_odd.solve(case)["usual"]
    assert (usual["firsts"], usual["lasts"]) == (inches(12), inches(16))


def test_odd_panels_beside_the_line() -> None:
    # 60 from 26: -1 of 10 to 16, which are left; 1 of 9 to 35, 2 full to 51, 9 left.
    case = one_plane(60, plane={"lay": "from", "from": 26}, rules={"odd_panels": 2})
    got = look(case, odd={1: 9, -1: 10})
    assert got["planes"][0]["seams"] == inches(16, 26, 35, 51) and got["breaks"] == []
    assert (got["firsts"], got["lasts"]) == (inches(16), inches(9))
    assert got["order"][16] == 2 * 9.5 * INCH  # centre lines 21 and 30.5: 5 and 4.5 from the line
    assert got["order"][18:] == (16 * INCH, -1, 10 * INCH, 1, 9 * INCH)
    assert broken(case, odd={1: 9, -2: 10}) == ["odd-place"]  # 10, 10 left: -2 is the last
    case["rules"]["odd_panels"] = 1
    assert broken(case, odd={1: 9, -1: 10}) == ["odd-count"]


def test_creep_from_a_line() -> None:
    # 1/4 a panel, control every 2: seams k from the line are off by 1/4, 1/2, 1/4 … and the line by
    # nothing; the high end by 1, no seam with it. From 44 on 76: seams 12 28 44 60.
    rules = {"cover_tol": 0.25, "width_tol": 1, "remeasure": 2}
    for x, worst in ((38.5, 3.5), (49.5, 3.5), (55.5, 3.25), (65.5, 3.25), (16.5, 3), (22.5, 3.25),
                     (69.5, 2.5)):  # fmt: skip
        case = one_plane(76, pipe(x), plane={"lay": "from", "from": 44}, rules=rules)
        got = look(case)
        assert (got["room"], got["worst_room"]) == (inches(3.5), inches(worst)), x


def test_stretches_on_both_sides_of_the_line() -> None:
    # 80 from 40, two panels a stretch: 1 2 | 3 … and -1 -2 | -3. All full ones below 1 narrower:
    # 40 25 10, 10 left. Above: 56 72, 8 left.
    rules = {"play": 1, "play_mark": 1, "remeasure": 2}
    got = look(one_plane(80, plane={"lay": "from", "from": 40}, rules=rules), changes={-1: -1})
    assert got["planes"][0]["seams"] == inches(10, 25, 40, 56, 72) and got["breaks"] == []
    assert got["planes"][0]["stretches"] == [(-1, (-1, -2), 15 * INCH), (1, (1, 2), 16 * INCH)]
    # 80 // 15 + 1 = 6 stretches either way
    assert got["order"][-12:] == (0, 0, 0, 0, 0, 0, -INCH, 0, 0, 0, 0, 0)


# ---------------------------------------------------------------------------- links


def two_planes(**link: Any) -> dict[str, Any]:
    case = one_plane(56)
    case["plane"].append({"id": "Q", "width": 56, "length": 200})
    return case | {"link": [{"planes": ["P", "Q"], "how": "mirror"} | link]}


def test_strays_over_the_whole_length() -> None:
    # P 10 26 42 is 46 30 14 seen from Q; Q 14 30 46 meets it. With Q's panel 2 odd (12) 14 26 42:
    # 46 and 30 are 4 off, and so are 26 and 42; they start alike all the same.
    def told(case: dict[str, Any], q: int, odd: dict[int, int]) -> tuple[list[bool], list[int]]:
        firsts = {"P": 10 * INCH, "Q": q * INCH}
        got = oracle_odd.check(case, firsts, {}, {"Q": {n: w * INCH for n, w in odd.items()}})
        return got["links"], got["strays2"]

    assert told(two_planes(), 14, {}) == ([True], [0])
    assert told(two_planes(), 14, {2: 12}) == ([True], [8 * INCH])
    assert told(two_planes(offset=1), 14, {}) == ([False], [2 * INCH])
    # Half a cover is 8: Q 6 22 38 54 is 8 from 46 30 14, and with panel 2 odd (12) 6 18 34 50:
    # 14 is 8 from 6, 30 is 12 from 18 and 4 from 34: 4 off, and so on.
    assert told(two_planes(stagger=True), 6, {}) == ([True], [0])
    assert told(two_planes(stagger=True), 6, {2: 12}) == ([True], [8 * INCH])


# ---------------------------------------------------------------------------- against itself


def visible(value: Any, *more: str) -> Any:
    """An answer without the tie order's own tuples."""
    if isinstance(value, dict):
        return {
            name: sorted(item) if name == "agreed" else visible(item, *more)
            for name, item in value.items()
            if name not in ("key", "order", *more)
        }
    return [visible(item, *more) for item in value] if isinstance(value, list) else value


@pytest.mark.parametrize("make", [random_case, random_case_stage2])
def test_without_odd_panels_and_play_it_is_the_oracle(make: Any) -> None:
    for seed in range(200):
        document = make(seed)
        if isinstance(document["panel"]["cover"], list):
            continue
        ours = visible(oracle_odd.solve(document), "strays2", "planes", "seams_beside", "play")
        assert ours == visible(oracle.solve(document)), seed


def test_enumeration_with_no_reasoning_agrees() -> None:
    """Panel by panel or all that can be written down; plane by plane or all at once."""
    laid = tried = 0
    for seed in range(300):
        document = random_case_odd(seed)
        case = read(document)
        here = ways(case, 80)
        if max(here) > 80 or case.odd_panels > 2:
            continue
        for plane in range(len(here)):
            every = oracle_odd.every_laying(case, plane, 3000)
            if every is not None:
                assert sorted(layings(case, plane)) == sorted(every), (seed, plane)
                laid += 1
        options = [oracle.move_options(case.base, pen) for pen in case.base.pens]
        if not 1 < prod(here) * prod(map(len, options)) <= 300 or tried == 60:
            continue
        best = []
        for taken in product(*(list(layings(case, plane)) for plane in range(len(here)))):
            allowed = [
                (price(case, taken, moves)["order"], taken, moves)
                for moves in product(*options)
                if not oracle_odd.breaches(case, taken, moves)
            ]
            best += [min(allowed)] if allowed else []
        assert sorted(best) == candidates(case, True, Stands(case), every=True), seed
        tried += 1
    assert laid >= 100 and tried >= 40


def test_more_odd_panels_are_never_worse() -> None:
    compared = 0
    for seed in range(250):
        document = random_case_odd(seed)
        most = document["rules"].get("odd_panels", 0)
        totals = []
        for count in range(most + 1):
            fewer = document | {"rules": document["rules"] | {"odd_panels": count}}
            layouts = oracle_odd.solve(fewer)["layouts"]
            totals.append(layouts[0]["total"] if layouts else 10**12)
        assert totals == sorted(totals, reverse=True), seed
        compared += totals[0] != totals[-1]
    assert compared >= 25


def turned(document: dict[str, Any]) -> dict[str, Any]:
    """Every plane the other way round, without links and what is only at the high end."""
    case = read(document)

    def mm(half_ticks: int) -> str:
        return f"{half_ticks / oracle.MM:.8f} mm"

    other = {name: value for name, value in document.items() if name not in ("link", "freeze")}
    other["rules"] = document["rules"] | {"width_tol": 0}
    other["plane"], other["penetration"] = [], []
    for number, (plane, read_plane) in enumerate(
        zip(document["plane"], case.base.planes, strict=True)
    ):
        width, line = read_plane.width, case.lines[number]
        lay = {"lay": "right-to-left" if read_plane.rightward else "left-to-right"}
        if line is not None:
            lay = {"lay": "from", "from": mm(width - line)}
        keepouts = [
            keepout | {"from": mm(width - at.hi), "to": mm(width - at.lo)}
            for keepout, at in zip(plane.get("keepout", []), read_plane.keepouts, strict=True)
        ]
        other["plane"].append(plane | lay | {"keepout": keepouts})
    for pen, at in zip(document.get("penetration", []), case.base.pens, strict=True):
        there = pen | {"x": mm(case.plane(at.plane).width - at.x)}
        if at.pipe:
            there |= {"reach_low": mm(at.reach_high), "reach_high": mm(at.reach_low)}
        other["penetration"].append(there)
    return other


def test_a_roof_turned_round_is_worth_the_same() -> None:
    for seed in range(250):
        document = turned(turned(random_case_odd(seed)))
        one, two = oracle_odd.solve(document), oracle_odd.solve(turned(document))
        assert [p for p, _ in one["no_start"]] == [p for p, _ in two["no_start"]]
        assert one["blind"] == two["blind"], seed
        for a, b in zip(one["layouts"], two["layouts"], strict=True):
            assert a["order"][:18] == b["order"][:18], seed  # all but the decisions themselves


@cache
def right_answer(seed: int) -> Any:
    return visible(oracle_odd.solve(random_case_odd(seed)))


@pytest.mark.parametrize("fault", sorted(ODD_FAULTS))
def test_planted_faults_are_noticed(fault: str, record_property: Any) -> None:
    """Each wrong reading changes what is answered for some random case, or for one made to tell."""
    planted = frozenset([fault])
    if fault in telling_cases():
        document = telling_cases()[fault]
        right = visible(oracle_odd.solve(document))
        assert visible(oracle_odd.solve(document, faults=planted)) != right
        return
    noticed = None
    for seed in range(CASES):
        if visible(oracle_odd.solve(random_case_odd(seed), faults=planted)) != right_answer(seed):
            noticed = seed
            break
    record_property("noticed", f"by case {noticed}")
    assert noticed is not None, ODD_FAULTS[fault]
