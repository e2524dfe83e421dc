"""How pipes and curbs stand among the seams, every limit to the tick.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments.
"""

from __future__ import annotations

import pytest

from solver.case import Lay, Penetration
from solver.result import JudgedPenetration
from tests.unit.builders import inches, look, make_case, make_curb, make_pipe, make_plane

TICK = 1
BOTH_LAYS: tuple[Lay, ...] = ("left-to-right", "right-to-left")


def stand(pen: Penetration, *, lay: Lay = "left-to-right", **rules: int) -> JudgedPenetration:
    """How one penetration stands over seams at 14, 32, 50, 68 and 86 in."""
    return look(make_case(pen, planes=(make_plane(lay=lay),), **rules)).penetrations[0]  # type: ignore[arg-type]


# 4 in pipe, 8 in base, between the seams at 32 and 50 in that take 1/2 in each:
# needed = max(4 + 1/2, 2 + 0) = 4 1/2; the base fits from 4 in, the hole from 2 + 3/8 = 2 3/8.


@pytest.mark.parametrize("lay", BOTH_LAYS)
@pytest.mark.parametrize(
    ("room", "inside", "outside"),
    [("4 1/2", "clear", "tight"), ("4", "tight", "crosses"), ("2 3/8", "crosses", "on-seam")],
)
def test_pipe_states_to_the_tick(lay: Lay, room: str, inside: str, outside: str) -> None:
    right_of_32 = inches(32) + inches("1/2") + inches(room)
    left_of_50 = inches(50) - inches("1/2") - inches(room)
    for x, away in ((right_of_32, TICK), (left_of_50, -TICK)):
        assert stand(make_pipe(x + away), lay=lay).state == inside
        assert stand(make_pipe(x), lay=lay).state == inside
        assert stand(make_pipe(x), lay=lay).room2 == 2 * inches(room)
        assert stand(make_pipe(x - away), lay=lay).state == outside


def test_unlike_seam_sides_follow_the_laying() -> None:
    # back 1/4, fwd 3/4. Left to right, the side right of the seam at 32 is laid after: 3/4, so
    # clear from 32 + 3/4 + 4 1/2 = 37 1/4; left of 50 is laid before: to 50 - 1/4 - 4 1/2 = 45 1/4.
    # Right to left the two sides change places: 36 3/4 and 44 3/4.
    for lay, low, high in (
        (BOTH_LAYS[0], "37 1/4", "45 1/4"),
        (BOTH_LAYS[1], "36 3/4", "44 3/4"),
    ):
        for x, inward in ((inches(low), TICK), (inches(high), -TICK)):
            on = stand(make_pipe(x), lay=lay, seam_back=inches("1/4"), seam_fwd=inches("3/4"))
            assert (on.state, on.margin2) == ("clear", 0)
            assert (on.clear_from2, on.clear_to2) == (2 * inches(low), 2 * inches(high))
            off = make_pipe(x - inward)
            out = stand(off, lay=lay, seam_back=inches("1/4"), seam_fwd=inches("3/4"))
            assert (out.state, out.margin2) == ("tight", -2)


@pytest.mark.parametrize("lay", BOTH_LAYS)
def test_on_the_seam_itself_the_larger_side_counts(lay: Lay) -> None:
    sides = {"seam_back": inches("1/4"), "seam_fwd": inches("3/4")}
    on = stand(make_pipe(inches(32)), lay=lay, **sides)
    assert on.room2 == -2 * inches("3/4")
    assert on.state == "on-seam"
    assert (on.seam_low, on.seam_high) == (inches(32), inches(50))
    below = stand(make_pipe(inches(32) - TICK), lay=lay, **sides)
    assert (below.seam_low, below.seam_high) == (inches(14), inches(32))
    low_side = inches("1/4") if lay == "left-to-right" else inches("3/4")
    assert below.room2 == 2 * (TICK - low_side)


def test_the_end_lap_takes_its_share_at_both_ends() -> None:
    # First pan 0 .. 14: the lap leaves clear from 4 + 4 1/2 = 8 1/2 to 14 - 1/2 - 4 1/2 = 9.
    at = stand(make_pipe(inches("8 1/2")))
    assert (at.state, at.room2, at.seam_low, at.seam_high) == (
        "clear", 2 * inches("4 1/2"), None, inches(14)
    )  # fmt: skip
    assert (at.clear_from2, at.clear_to2) == (2 * inches("8 1/2"), 2 * inches(9))
    assert stand(make_pipe(inches("8 1/2") - TICK)).state == "tight"
    last = stand(make_pipe(inches("91 1/2")))
    assert (last.state, last.seam_low, last.seam_high) == ("clear", inches(86), None)
    assert (last.clear_from2, last.clear_to2) == (2 * inches(91), 2 * inches("91 1/2"))
    assert stand(make_pipe(inches("91 1/2") + TICK)).state == "tight"


def test_a_lap_that_reaches_past_a_seam_binds_in_the_next_pan() -> None:
    # Lap 34 in: the pan 32 .. 50 is clear from 34 + 4 1/2 = 38 1/2, not from 32 + 5 = 37.
    there = stand(make_pipe(inches(37)), end_lap=inches(34))
    assert (there.clear_from2, there.clear_to2) == (2 * inches("38 1/2"), 2 * inches(45))
    assert (there.state, there.room2) == ("crosses", 2 * inches(3))


def test_the_seamer_can_ask_for_more_than_the_base() -> None:
    # max(8/2 + 1/2, 4/2 + 5) = 7: clear from 32 1/2 + 7 = 39 1/2 to 42 1/2.
    pipe = stand(make_pipe(inches("39 1/2")), seamer_gap=inches(5))
    assert (pipe.state, pipe.needed2) == ("clear", 2 * inches(7))
    assert stand(make_pipe(inches("39 1/2") - TICK), seamer_gap=inches(5)).state == "tight"


def test_a_base_too_wide_for_the_pan_is_clear_nowhere() -> None:
    # The pan leaves 17 in of flat; a base of 16 in with two gaps of 1/2 in fits just so.
    just = stand(make_pipe(inches(41), base=inches(16)))
    assert (just.clear_from2, just.clear_to2) == (2 * inches(41), 2 * inches(41))
    assert just.state == "clear"
    over = stand(make_pipe(inches(41), base=inches(16) + TICK))
    assert (over.clear_from2, over.clear_to2) == (None, None)
    assert (over.state, over.margin2) == ("tight", -TICK)  # half a tick: an odd base stays exact


def test_odd_diameters_are_not_rounded() -> None:
    # Room of 2 3/8 in and half a tick is asked of a pipe one tick wider; whole ticks straddle it.
    x = inches(32) + inches("1/2") + inches("2 3/8")
    assert stand(make_pipe(x, outside=inches(4) + TICK)).state == "on-seam"
    assert stand(make_pipe(x + TICK, outside=inches(4) + TICK)).state == "crosses"


def test_a_plane_without_seams_leaves_only_the_ends() -> None:
    case = make_case(make_pipe(inches(9)), planes=(make_plane(width=inches(18)),))
    pipe = look(case, first=inches(18)).penetrations[0]
    # 9 - 4 = 5 of room; clear from 8 1/2 to 9 1/2.
    assert (pipe.state, pipe.room2, pipe.seam_low, pipe.seam_high) == (
        "clear", 2 * inches(5), None, None
    )  # fmt: skip
    assert (pipe.clear_from2, pipe.clear_to2) == (2 * inches("8 1/2"), 2 * inches("9 1/2"))


# A curb of 20 in about 41 in reaches from 31 to 51: it cuts the seams at 32 and 50, and its flanks
# to 14 and 68 are 31 - 14 = 17 and 68 - 51 = 17, 11 beyond curb_side.


def test_a_curb_that_spans() -> None:
    curb = stand(make_curb(inches(41)))
    assert (curb.state, curb.seams_cut, curb.margin2) == ("spans", 2, 2 * inches(11))
    assert (curb.seam_low, curb.seam_high) == (inches(14), inches(68))
    # Its room is the least flank, and the curb side is what it needs.
    assert (curb.room2, curb.needed2) == (2 * inches(17), 2 * inches(6))
    assert (curb.clear_from2, curb.clear_to2) == (None, None)


@pytest.mark.parametrize("lay", BOTH_LAYS)
def test_a_seam_is_cut_to_the_tick(lay: Lay) -> None:
    # Unlike sides, back 1/4 and fwd 3/4. The seam at 32 lies below the curb at 41, so the side
    # that faces the curb is the one towards larger x: fwd when laid from the left. It is cut while
    # 9 in < across/2 + side: not at across = 2 x (9 - 3/4) = 16 1/2 in, but one tick above.
    sides = {"seam_back": inches("1/4"), "seam_fwd": inches("3/4"), "curb_side": 0}
    low_side, high_side = ("3/4", "1/4") if lay == "left-to-right" else ("1/4", "3/4")
    for side, other in ((low_side, inches(50)), (high_side, inches(32))):
        # 1 in nearer to the other seam: only this one is in question
        x = inches(42) if other == inches(50) else inches(40)
        across = 2 * (inches(10) - inches(side))
        assert stand(make_curb(x, across=across), lay=lay, **sides).seams_cut == 1
        assert stand(make_curb(x, across=across - TICK), lay=lay, **sides).seams_cut == 1
        over = stand(make_curb(x, across=across + TICK), lay=lay, **sides)
        assert (over.seams_cut, over.state) == (2, "spans")


def test_the_flank_is_measured_to_the_seam_line() -> None:
    # 6 in across at 41: flanks 9 - 3 = 6 = curb_side, so clear with margin 0; the seam's own side
    # takes nothing off a flank. One tick off centre one flank is a tick short.
    curb = stand(make_curb(inches(41), across=inches(6)))
    assert (curb.state, curb.margin2, curb.seams_cut) == ("clear", 0, 0)
    for off in (TICK, -TICK):
        crowded = stand(make_curb(inches(41) + off, across=inches(6)))
        assert (crowded.state, crowded.margin2) == ("crowded", -2)
    odd = stand(make_curb(inches(41), across=inches(6) + TICK))
    assert (odd.state, odd.margin2) == ("crowded", -1)


def test_a_curb_can_cut_and_crowd() -> None:
    # 16 in about 38: 30 .. 46. Cuts 32 (6 < 8 1/2); 50 is 12 away, not cut: flank 12 - 8 = 4 < 6.
    curb = stand(make_curb(inches(38), across=inches(16)))
    assert (curb.state, curb.seams_cut, curb.margin2) == ("crowded", 1, -2 * inches(2))


def test_a_seam_under_the_centre_is_cut() -> None:
    curb = stand(make_curb(inches(50), across=2 * TICK))
    assert (curb.state, curb.seams_cut) == ("spans", 1)
    assert (curb.seam_low, curb.seam_high) == (inches(32), inches(68))


def test_no_uncut_seam_means_no_margin() -> None:
    case = make_case(make_curb(inches(50), across=inches(90)))
    curb = look(case).penetrations[0]
    assert (curb.state, curb.seams_cut, curb.margin2) == ("spans", 5, None)
    bare = make_case(make_curb(inches(9), across=inches(4)), planes=(make_plane(width=inches(18)),))
    alone = look(bare, first=inches(18)).penetrations[0]
    assert (alone.state, alone.seams_cut, alone.margin2) == ("clear", 0, None)
