"""The oracle itself: examples worked by hand, plain enumeration, and planted faults.

All expected values here follow from the arithmetic written beside them. Lengths are in inches; a
tick is 1/640 mm, so an inch is 25.4 * 640 = 16256 ticks.
"""

from __future__ import annotations

import os
import sys
from fractions import Fraction
from functools import cache
from math import prod
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import oracle
from strategies import random_case

INCH = 16256
CASES = int(os.environ.get("OFFSEAM_FAULT_CASES", "300"))
ENOUGH = 3  # notices of a fault after which its test stops (all cases when asked for more)


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
                  "spacing": 2, "curb_side": 3, "enough": 0, "uneven_free": 2, "meet_tol": 0.5}
        | parts.pop("rules", {}),
        "plane": [{"id": "P", "width": width, "length": 200} | parts.pop("plane", {})],
        "penetration": [{"plane": "P", "y": 50} | pen for pen in pens],
    } | parts  # fmt: skip


def pipe(x: float, **more: Any) -> dict[str, Any]:
    """A pipe of 2 in with a flashing of 6 in."""
    return {"id": "V", "kind": "pipe", "x": x, "outside": 2, "base": 6} | more


def test_lengths_are_read_to_the_tick() -> None:
    def ticks(value: Any, units: str = "in") -> Fraction:
        return Fraction(oracle.half_ticks(value, units), 2)

    assert ticks("11 1/2") == ticks("11-1/2 in") == ticks(11.5) == Fraction(23, 2) * INCH
    assert ticks("28' 11\"") == 347 * INCH  # 28 * 12 + 11
    assert ticks("28'-11 1/2\"") == Fraction(695, 2) * INCH
    assert ticks("8.5 ft") == 102 * INCH and ticks("7'") == 84 * INCH
    assert ticks("350 mm") == 350 * 640 and ticks("2.4 m") == 2400 * 640
    assert ticks(5, "mm") == ticks("5", "mm") == 3200
    assert ticks("25.4 mm") == INCH and ticks("1/64") == 254
    # half a tick is 0.00078125 mm: away from zero
    assert ticks(0.00078125, "mm") == 1 and ticks(-0.00078125, "mm") == -1
    assert ticks("0.00078 mm") == 0
    for wrong in ("", "x", "1 2", "3 cm", "--1"):
        with pytest.raises(ValueError, match="length"):
            oracle.half_ticks(wrong, "in")


@pytest.mark.parametrize(
    ("width", "first", "last"),
    [
        (2544, 12, 12),  # 2544 = 141 * 18 + 6; 6/2 = 3 < 6, so (6 + 18)/2 = 12
        (2552, 7, 7),  # 2552 = 141 * 18 + 14; 14/2 = 7
        (54, 18, 18),  # no rest: full panels
        (51, 8, 7),  # rest 15, ideal 7 1/2; of 7 and 8 the wider; last 51 - 8 - 2 * 18 = 7
        (18, 18, 18),  # one panel
        (5, 5, 5),  # one panel narrower than min_end
    ],
)
def test_usual_layout(width: int, first: int, last: int) -> None:
    case = one_plane(width, panel={"cover": 18, "seam_half": 0}, rules={"min_end": 6})
    usual = oracle.solve(case)["usual"]
    assert usual["firsts"] == inches(first) and usual["lasts"] == inches(last)


def test_pipe_states_and_sides() -> None:
    # Seams at 10, 26, 42 of 50. needed = 6/2 + 1/2 = 3 1/2; flashing in the flat from 3 on; hole
    # safe from 2/2 + 1/2 = 1 1/2 on. Right of the seam at 10, laid before, it takes 2.
    for x, room, state in [
        (15.5, 3.5, "clear"), (15.25, 3.25, "tight"), (15, 3, "tight"), (14.75, 2.75, "crosses"),
        (13.5, 1.5, "crosses"), (13.25, 1.25, "on-seam"), (10, -2, "on-seam"),
        (9, 0, "on-seam"),  # left of it, laid after: 1 - 1
        (6.5, 2.5, "crosses"),  # 3 1/2 - 1 to the seam; 6 1/2 - 3 = 3 1/2 to the end
        (6, 3, "tight"),  # the end's lap governs: 6 - 3; to the seam 4 - 1 = 3 as well
    ]:  # fmt: skip
        got = oracle.check(one_plane(50, pipe(x)), [10 * INCH], [0])
        assert (got["room"], got["states"]) == (inches(room), [state]), x
        assert got["needed"] == inches(3.5) and got["margin"] == inches(room - 3.5)
    # Laid from the right the first width is at the right: seams at 40, 24, 8. At 15 the seam at
    # 24 was laid before (9 - 2 = 7), the seam at 8 after (7 - 1 = 6).
    case = one_plane(50, pipe(15), plane={"lay": "right-to-left"})
    assert oracle.check(case, [10 * INCH], [0])["room"] == inches(6)


def test_turned_base_is_rounded_up() -> None:
    # 6 in = 97536 ticks; 97536 * sqrt 2 = 137936.73…, so 137937; half of it is needed, and 1/2 in.
    got = oracle.check(one_plane(50, pipe(18, turned=True)), [10 * INCH], [0])
    assert got["needed"] == [Fraction(137937, 2) + INCH // 2]


def test_curb_cut_crowded_and_margin() -> None:
    curb = {"id": "C", "kind": "curb", "across": 10, "along": 10}
    # Seams at 10, 26, 42. A seam at a curb's left takes 2 towards it, one at its right 1.
    for x, cuts, state, flank in [
        (17, 0, "crowded", 2),  # 7 from the seam at 10, not below 5 + 2: uncut, flank 2 < 3
        (18, 0, "clear", 3),  # 8 - 5 = 3 both ways: just enough
        (16, 1, "spans", 5),  # 6 < 7: cut; the seam at 26: 10 - 5 = 5
        (20, 0, "crowded", 1),  # 6 from the seam at 26, not below 5 + 1: uncut, flank 1
        (20.5, 1, "spans", 5.5),  # 5 1/2 < 6: cut; the seam at 10: 10 1/2 - 5
    ]:
        got = oracle.check(one_plane(50, curb | {"x": x}), [10 * INCH], [0])
        assert (got["seams_cut"], got["states"]) == ([cuts], [state]), x
        assert got["margin"] == inches(flank - 3), x
    # One that cuts and crowds pays both: across 24 at 24. The seam at 10 is 14 away, not below
    # 12 + 2: uncut, flank 2 < 3. The one at 26 is cut. The one at 42 has 18 - 12 = 6.
    got = oracle.check(one_plane(50, curb | {"x": 24, "across": 24}), [10 * INCH], [0])
    assert got["states"] == ["crowded"] and got["seams_cut"] == [1]
    # 1.5 h * 95 + 40 = 182.50 and 2 h * 95 + 60 = 250
    assert got["cost"]["flashing"] == 18250 + 25000
    # No seam left over: no margin.
    got = oracle.check(one_plane(20, curb | {"x": 10}), [10 * INCH], [0])
    assert got["states"] == ["spans"] and got["margin"] == [None]


def test_money_rounds_each_rate() -> None:
    rates = {
        "crew_hour": 33.33,
        "tight": {"hours": 0.25, "material": 0},  # 8.3325: 833
        "crosses": {"hours": 0, "material": 7.005},  # 700.5: 701
        "on_seam": {"material": 1},  # 5 h left at 33.33, 166.65 and 1: 16765
    }
    case = oracle.read(one_plane(50, rates=rates))
    assert [case.cents[n] for n in ("tight", "crosses", "on_seam")] == [833, 701, 16765]
    assert case.cents["move_stubbed"] == 22500  # 1.5 h * 120 + 45


def test_unevenness_counts_whole_inches() -> None:
    # 50 = 10 + 16 + 16 + 8: differ by 2, free. 12 and 6: 6 - 2 = 4. 5 and 13: 8 - 2 = 6.
    for first, uneven in [(10, 0), (12, 4), (5, 6)]:
        got = oracle.check(one_plane(50), [first * INCH], [])
        assert got["counts"]["uneven"] == uneven
        assert got["cost"]["look"] == uneven * 2375  # 0.25 h * 95 = 23.75
    differ = one_plane(50, rules={"uneven_free": 2.25})
    assert oracle.check(differ, [12 * INCH], [])["counts"]["uneven"] == 3  # 3.75


def test_no_start_names_the_largest_end() -> None:
    # 17 1/2 with cover 16: first 8 leaves 9 1/2, first 9 leaves 8 1/2: an end of 8 is the most.
    answer = oracle.solve(one_plane(17.5, rules={"min_end": 9}))
    assert answer["no_start"] == [("P", 8 * INCH)] and answer["layouts"] == []


def test_links() -> None:
    def met(offset: float, **more: Any) -> bool:
        case = one_plane(50)
        case["plane"].append({"id": "Q", "width": 60, "length": 9, "lay": "right-to-left"})
        case["link"] = [{"planes": ["P", "Q"], "how": "mirror", "offset": offset} | more]
        links = oracle.check(case, [10 * INCH, 10 * INCH], [])["links"]
        return bool(links[0])

    # Seams of P at 10 (mod 16) meet 50 + offset - 10; seams of Q at 60 - 10 = 50 = 2 (mod 16).
    assert [met(o) for o in (10, 10.5, 10.75, 26, 2)] == [True, True, False, True, False]
    # half a cover between: 40 + offset = 10 (mod 16)
    assert [met(o, stagger=True) for o in (2, 1.5, 10)] == [True, True, False]
    # as one above the other: 10 + offset = 2 (mod 16)
    assert [met(o, how="same") for o in (8, -8, 10)] == [True, True, False]


def test_moves_name_what_they_break() -> None:
    def broken(move: float, *others: dict[str, Any], **more: Any) -> list[str]:
        pen = pipe(20, status="planned", reach=4) | more
        plane = {
            "keepout": [{"from": 25, "to": 26}, {"from": 14, "to": 16, "y_from": 53, "y_to": 60}]
        }
        case = one_plane(60, pen, *others, plane=plane)
        got = oracle.check(case, [12 * INCH], [int(move * INCH), *(0 for _ in others)])
        return [rule for rule, _ in got["breaks"]]

    # Seams at 12, 28, 44: clear from 12 + 2 + 3.5 = 17.5 to 28 - 1 - 3.5 = 23.5.
    assert broken(0) == broken(3.5) == broken(-2.5) == []
    assert broken(4) == ["not-clear"]  # the disc of 2 touches the strip at 25
    assert broken(4.5) == ["reach", "keep-out", "not-clear"]
    assert broken(0.25) == ["step"]
    assert broken(1, reach_high=0.5) == ["reach"] and broken(-1, reach_high=0.5) == []
    assert broken(1, status="stubbed", min_offset=2) == ["min-offset"]
    assert broken(1, hold="a wall") == broken(1, status="fixed") == ["fixed"]
    # Spacing 2 and two radii of 1 keep centres 4 apart: at (23, 54), 3 and 4 away it is 5.
    other = pipe(27, id="W", y=50)
    assert broken(3, other) == [] and broken(3.5, other) == ["spacing"]
    # Already 3 apart: it may not get nearer, but away or no move at all it may.
    near = pipe(23, id="W", y=50)
    assert broken(0.5, near) == ["spacing"] and broken(-0.5, near) == broken(0, near) == []
    # 3-4-5: needs 5 between centres with an outside of 4; at dx 3, dy 4 exactly, at 2 1/2 less.
    big = pipe(26, id="W", y=54, outside=4)
    assert broken(3, big) == [] and broken(3.5, big) == ["spacing"]
    # A curb of 4 by 4 at (28, 50): its side at 26; 2 + 1 from it is 23.
    curb = {"id": "C", "kind": "curb", "x": 28, "across": 4, "along": 4}
    assert broken(3, curb) == [] and broken(3.5, curb) == ["spacing"]
    # Edge: radius 1 and a gap of 8 keep 9 from the end.
    case = one_plane(60, pipe(10, status="planned"), rules={"edge_gap": 8, "end_lap": 0})
    assert oracle.check(case, [16 * INCH], [-INCH])["breaks"] == []
    assert oracle.check(case, [16 * INCH], [-3 * INCH // 2])["breaks"] == [("edge-gap", ("V",))]


def test_best_moves_of_given_first_widths() -> None:
    # Width 32 with ends of 10 or more: 10 leaves 6, 11 leaves 5 … only 16 and 16 is legal, with the
    # seam through the pipe at 16. Clear is 3.5 + 2 = 5.5 to the right or 3.5 + 1 = 4.5 to the left.
    case = one_plane(32, pipe(16, status="planned", reach=3), rules={"enough": 1, "min_end": 10})
    answer = oracle.solve(case)  # a reach of 3 is too short
    assert [lay["firsts"] for lay in answer["layouts"]] == [inches(16)]
    assert answer["layouts"][0]["total"] == 62500  # 5 h * 95 + 150
    # With a reach of 5 it goes left by 4.5 or 5, for 60 (0.5 h * 120). Margins 0 and 1/2 fall short
    # of 1 by 1 and 1/2: so 5. Unmoved is no candidate: only the best of each first width is.
    case["penetration"][0]["reach"] = 5
    answer = oracle.solve(case)
    assert [lay["moves"] for lay in answer["layouts"]] == [inches(-5)]
    assert answer["layouts"][0]["total"] == 6000
    assert answer["layouts"][0]["windows"] == [(16 * INCH, 16 * INCH)]
    assert answer["as_drawn"]["total"] == 62500
    # Width 33 with ends of 8 or more: 8 leaves 9, 9 leaves 8 (16 leaves 1). Seams 8 24 or 9 25:
    # room 16 - 8 - 2 = 6 or 16 - 9 - 2 = 5, margins 2.5 and 1.5: enough; ends alike: the smaller.
    case["plane"][0]["width"], case["rules"]["min_end"] = 33, 8
    answer = oracle.solve(case)
    assert answer["blind"]["starts"] == {"P": 2}
    assert [(lay["firsts"], lay["total"], lay["windows"]) for lay in answer["layouts"]] == [
        (inches(8), 0, [(8 * INCH, 9 * INCH)])
    ]


def test_trade_off_between_states() -> None:
    # Width 44, cover 16, ends of 4 or more: first 4 … 8 leave 8 … 4 (44 - 32 - first) and 12 … 16
    # leave 16 … 12. Pipes fixed at 8 and 15. Differences 4 2 0 2 4 both ways, less 2: 2 0 0 0 2.
    case = one_plane(44, pipe(8, id="A"), pipe(15, id="B", y=90),
                     rates={"tight": {"hours": 0, "material": 10}})  # fmt: skip
    # seams  4 20 36: A 8 - 4 - 2 = 2 crosses;  B 20 - 15 - 1 = 4 clear
    # seams  5 21 37: A 1 on-seam;              B 5 clear
    # seams  6 22 38: A 0 on-seam;  7 23 39: A -1 on-seam;  8 24 40: A -2 on-seam
    # seams 12 28:    A 12 - 8 - 1 = 3 tight;   B 15 - 12 - 2 = 1 on-seam
    # seams 13 29:    A 4 clear;                B 0 on-seam
    # seams 14 30:    A 5 clear;                B -1 on-seam
    # seams 15 31:    A 5 (8 - 3 at the end);   B -2 on-seam
    # seams 16 32:    A 5 clear;                B 16 - 15 - 1 = 0 on-seam
    answer = oracle.solve(case)
    states = {lay["firsts"][0] // INCH: lay["states"] for lay in answer["layouts"]}
    # Cheapest: 4 with a crossing (2 h * 95 + 35 = 225) and 2 in uneven (2 * 23.75). Then the first
    # one in order with a smaller count: 625 with no crossing, nothing uneven, narrowest end widest:
    # 14 and 14 … against 5 … 7 (narrowest 5, 6, 5) and 13, 15 (13).
    assert states == {4: ["crosses", "clear"], 14: ["clear", "on-seam"]}
    assert [lay["total"] for lay in answer["layouts"]] == [22500 + 4750, 62500]
    # Blind: 4: 272.50; 5 6 7: 625; 8: 625 + 47.50; 12: 10 + 625 + 47.50; 13 14 15: 625; 16: 672.50;
    # sum 272.5 + 6 * 625 + 672.5 + 682.5 + 672.5 = 6050, over 10 = 605.
    assert answer["blind"] == {"mean": 60500, "worst": 68250, "starts": {"P": 10}}
    # 14 is in the run 12 … 16 (8 and 12 are 4 apart); at 12 A is tight, so 13 … 16.
    assert answer["layouts"][1]["windows"] == [(13 * INCH, 16 * INCH)]
    # Forbidding what crosses leaves the other one; forbidding on-seam too leaves none.
    case["rules"]["forbid"] = ["crosses"]
    assert oracle.solve(case)["layouts"][0]["firsts"] == inches(14)
    case["rules"]["forbid"] = ["crosses", "on-seam"]
    answer = oracle.solve(case)
    assert answer["layouts"] == [] and answer["as_drawn"] is None
    # usual: rest 12, ideal 6: A on the seam
    assert answer["usual"]["firsts"] == inches(6)
    assert answer["usual"]["breaks"] == {"must": [], "forbid": ["A"], "agreed": []}


def test_enumeration_with_no_reasoning_agrees() -> None:
    """Plane by plane or all at once: the same best layout for every set of first widths."""
    tried = 0
    for seed in range(2000):
        document = random_case(seed)
        case = oracle.read(document)
        size = prod(len(oracle.legal_firsts(case, plane)) for plane in case.planes)
        size *= prod(len(oracle.move_options(case, pen)) for pen in case.pens)
        if not 1 < size <= 1500:
            continue
        best: dict[tuple[int, ...], tuple[Any, ...]] = {}
        for layout in oracle.exhaustive(document):
            best.setdefault(tuple(layout["firsts"]), layout["key"])
        found = [oracle.price(case, firsts, moves)["key"]
                 for _, firsts, moves in oracle.candidates(case, moving=True)]  # fmt: skip
        assert found == sorted(best.values()), seed
        tried += 1
        if tried == 40:
            return
    pytest.fail(f"only {tried} cases were small enough")


def visible(answer: dict[str, Any]) -> dict[str, Any]:
    """An answer without the tie order's own tuples."""

    def bare(layout: dict[str, Any] | None) -> dict[str, Any] | None:
        return layout and {name: value for name, value in layout.items() if name != "key"}

    return answer | {
        "layouts": [bare(layout) for layout in answer["layouts"]],
        "usual": bare(answer["usual"]),
        "as_drawn": bare(answer["as_drawn"]),
    }


@cache
def right_answer(seed: int) -> dict[str, Any]:
    return visible(oracle.solve(random_case(seed)))


@pytest.mark.parametrize("fault", sorted(oracle.FAULTS))
def test_planted_faults_are_noticed(fault: str, record_property: Any) -> None:
    """Each wrong reading changes what is answered for some of the random cases.

    Set OFFSEAM_FAULT_CASES to count over that many cases to the end.
    """
    to_the_end = "OFFSEAM_FAULT_CASES" in os.environ
    noticed = seen = 0
    for seed in range(CASES):
        seen += 1
        wrong = visible(oracle.solve(random_case(seed), faults=frozenset([fault])))
        noticed += wrong != right_answer(seed)
        if noticed >= ENOUGH and not to_the_end:
            break
    record_property("noticed", f"{noticed} of {seen}")
    print(f"{fault}: noticed in {noticed} of {seen} cases")
    assert noticed > 0, oracle.FAULTS[fault]
