"""The oracle for outlines against figures worked out by hand: centres, curbs, stock, the list.

Lengths in inches, the cover 18 in. Nothing of the program is asked but the shapes of its data.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import oracle_outline
from oracle_outline_case import read
from solver.case import Penetration
from solver.case_parts import Centre, Outline
from unit.builders import inches, make_curb
from unit.hand_roofs import BOX, HIPS, plane, rated, ring, roof

# ---------------------------------------------------------------------------- centres


def test_a_pan_is_centred_by_its_middle_and_a_rib_by_its_seam() -> None:
    """First 14: panel 14–32 has its middle at 23, panel 0–14 at 7; ribs at 14, 32 …"""
    def look(at: str, on: Any, tol: str, must: bool = False) -> dict[str, Any]:
        case = roof(plane(HIPS))
        centre = Centre("S", inches(at), on, inches(tol), must, "peak")
        return oracle_outline.check(replace(case, centres=(centre,)), [inches(14)], [])

    assert look("24", "pan", "1")["counts"]["off_centre"] == 0
    assert look("24", "pan", "15/16")["counts"]["off_centre"] == 1
    assert look("24", "pan", "1")["centres"][0]["off2"] == [-2 * inches(1)]
    assert look("7", "pan", "0")["counts"]["off_centre"] == 0
    assert look("13", "rib", "1")["counts"]["off_centre"] == 0
    assert look("0", "rib", "1")["counts"]["off_centre"] == 1
    assert look("30", "rib", "1", True)["breaks"] == [("must-centre", ("S",))]
    both = look("5", "pan", "0")
    assert both["total"] == both["cost"]["look"] == 5000  # half an hour at 100
    assert both["counts"]["off_centre"] == 1


# ---------------------------------------------------------------------------- curbs as built


def curb(x: str, across: str, detail: Any, must: bool = False) -> Penetration:
    own = make_curb(inches(x), across=inches(across), y=inches(20))
    return replace(own, detail=detail, must_land=must)


def test_a_ribbed_curb_with_a_seam_at_each_wall() -> None:
    """First 14, seams at 14 32 50 68 86: a curb of 18 at 41 has walls at 32 and 50; off by an
    eighth it still lands, by 3/16 not: then 31 13/16 is a flank of -… and 49 13/16 is cut."""
    def look(x: str, detail: Any = "ribbed", must: bool = False) -> dict[str, Any]:
        case = rated(roof(plane(HIPS), pens=(curb(x, "18", detail, must),)), unlanded="7")
        return oracle_outline.check(case, [inches(14)], [0])

    assert look("41")["landed"] == [(True, True)]
    assert (look("41")["states"], look("41")["seams_cut"]) == (["clear"], [0])
    assert look("41")["room"] == [inches(18)]  # the next seams are 18 from the walls
    assert look("41 1/8")["counts"]["unlanded"] == 0
    off = look("41 3/16")
    assert off["landed"] == [(False, False)]
    assert (off["counts"]["unlanded"], off["seams_cut"]) == (2, [2])  # sides of 1/2 reach both
    assert off["cost"]["flashing"] == 2 * 700 + 2 * (150 * 100 + 40 * 100)
    assert look("41 3/16", must=True)["breaks"] == [("must-land", ("C1",))]
    assert look("41", "flange")["counts"]["unlanded"] == 0
    assert look("41", "flange")["seams_cut"] == [2]  # a flange curb there cuts both


def test_one_wall_landed() -> None:
    """A curb of 20 at 42: walls at 32 (landed) and 52; the seam at 50 is inside, cut."""
    case = roof(plane(HIPS), pens=(curb("42", "20", "ribbed"),))
    told = oracle_outline.check(case, [inches(14)], [0])
    assert told["landed"] == [(True, False)]
    assert (told["counts"]["unlanded"], told["seams_cut"]) == (1, [1])
    assert told["room"] == [inches(16)]  # 68 - 52; the low side has 32 - 14 = 18


def test_a_close_curb_is_never_crowded_and_wants_its_seams_near() -> None:
    """A curb of 16 at 41 between 32 and 50: flanks 1 and 1; its sides of 1/2 cut nothing."""
    case = roof(plane(HIPS), pens=(curb("41", "16", "close"),))
    told = oracle_outline.check(case, [inches(14)], [0])
    assert (told["states"], told["needed"], told["margin"]) == (["clear"], [0], [inches(1)])
    assert told["order"][14] == 2 * (inches(1) + inches(1))  # cents, twelve counts, altered
    flange = roof(plane(HIPS), pens=(curb("41", "16", "flange"),))
    assert oracle_outline.check(flange, [inches(14)], [0])["states"] == ["crowded"]
    # With a seam on one side only: 82–98 of 100 with the last seam at 86, cut; 68 is 14 off.
    edge = roof(plane(BOX), pens=(curb("90", "16", "close"),))
    told = oracle_outline.check(edge, [inches(14)], [0])
    assert (told["states"], told["order"][14]) == (["spans"], 2 * inches(14))


# ---------------------------------------------------------------------------- stock


def test_stock_of_a_box_and_of_hips() -> None:
    """Box 100 by 40 of seven strips, sheets of 18 + 1 1/4 + 1 1/2 = 20 3/4 in.

    First 14: 14 + 5 * 18 = 104 > 100: seams 14 32 50 68 86, six panels, last 14; 14 + 14 + 2 > 18:
    six sheets of 40: 6 * 20.75 * 40 = 4980 sq in = 34.58 sq ft: 35. First 4: last 6 of seven
    panels, 4 + 6 + 2 = 12 <= 18: one sheet less: again six, 35.
    Hips, first 4: strips 4 22 40 58 76 94 100: lengths 8 | 40 40 40 40 | 76–94: 40 (at 76) | 12.
    First and last share a sheet of 12: 20.75 * (5 * 40 + 12) = 4399 sq in = 30.55: 31.
    """
    def units(outline: Outline, first: int) -> int:
        case = rated(roof(plane(outline)), area="1")
        told = oracle_outline.check(case, [inches(first)], [])
        assert told["cost"]["stock"] == 100 * told["counts"]["stock"]
        return int(told["counts"]["stock"])

    assert units(BOX, 14) == 35
    assert units(BOX, 4) == 35
    assert units(HIPS, 4) == 31
    assert oracle_outline.check(roof(plane(BOX)), [inches(14)], [])["counts"]["stock"] == 0


def test_stock_is_rounded_up_for_each_plane() -> None:
    two = rated(roof(plane(BOX), plane(BOX, id="N")), area="1")
    told = oracle_outline.check(two, [inches(14), inches(14)], [])
    assert told["counts"]["stock"] == 70  # 2 * 34.58 = 69.17 would be 70 as well …
    part = ring("0,0 100,0 100,41 0,41", "eave rake ridge rake")  # 5104.5 sq in = 35.45
    two = rated(roof(plane(part), plane(part, id="N")), area="1")
    assert oracle_outline.check(two, [inches(14), inches(14)], [])["counts"]["stock"] == 72
    # and not 71, what 70.9 would be


# ---------------------------------------------------------------------------- the whole answer


def test_a_small_hip_by_hand() -> None:
    """Firsts 2–8 and 10–18 are legal (see above): 16 starts; the ideal is 5, which is legal but
    below min_end 6: half of 10 is 5 < 6, so (10 + 18) / 2 = 14."""
    told = oracle_outline.solve(roof(plane(HIPS)))
    assert told["usual"]["firsts"] == [inches(14)]
    assert told["blind"] == {"mean": 0, "worst": 0, "starts": {"S": 16}}
    # nothing differs but the narrowest end: 14 and 14
    assert [entry["firsts"] for entry in told["layouts"]] == [[inches(14)]]
    # without a penetration every state is kept: 10 to 18
    assert told["layouts"][0]["windows"] == [(inches(10), inches(18))]


def test_the_list_trades_a_centre_for_a_landing() -> None:
    """A rib wanted at 14 exactly, a curb with walls at 33 and 51: seams at 14 32 50 or 15 33 51."""
    own = curb("42", "18", "ribbed")
    case = roof(plane(HIPS), pens=(own,))
    case = replace(case, centres=(Centre("S", inches(14), "rib", 0, False, "ridge end"),))
    case = rated(case, off_centre="10", unlanded="6", seam_cut="0", crowded="0")
    case = replace(case, rates=replace(case.rates, crew_hour=Decimal(0)))
    told = oracle_outline.solve(case)
    assert told["layouts"][0]["firsts"] == [inches(15)]  # 10 against 12 for two walls
    assert told["layouts"][0]["total"] == 1000
    assert [e["firsts"] for e in told["layouts"][1:]] == [[inches(14)]]
    # crowded by the seam at 50 (inside) and 32: cuts are counts as well
    assert told["layouts"][1]["counts"]["unlanded"] == 2
    assert told["blind"]["worst"] == 2200


def test_no_start_and_what_would_help() -> None:
    """A plane 40 wide of rakes, cover 18, min_end 17: 40 = 18 + 18 + 4, first + last = 22."""
    box = ring("0,0 40,0 40,40 0,40", "eave rake ridge rake")
    case = roof(plane(box), min_end=inches(17))
    assert oracle_outline.solve(case)["no_start"] == ["S"]
    help_ = oracle_outline.would_help(read(case), 0)
    assert help_ == {"min_piece": None, "min_length": None, "min_end": inches(11)}
