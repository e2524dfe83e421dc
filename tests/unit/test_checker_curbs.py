"""Curbs as built, each limit to the tick; by hand.

Seams at 14, 32, 50, 68 and 86 in, half an inch to a side, `curb_side` 6, `enough` 1 1/2,
`land_tol` 1/8. An unlanded wall costs 2 h x 100 + 60 = 260, a cut seam 190.
"""

from __future__ import annotations

import pytest

from solver.case import Case, Lay, Penetration
from solver.result import COUNT_NAMES, Judged, JudgedPenetration
from tests.unit.builders import (
    codes,
    inches,
    look,
    make_case,
    make_curb,
    make_pipe,
    make_plane,
)

TICK = 1
SHORT = 14  # place of the shortfall in the order


def on(pen: Penetration, *, lay: Lay = "left-to-right", **rules: int) -> Case:
    return make_case(pen, planes=(make_plane(lay=lay),), **rules)  # type: ignore[arg-type]


def stand(pen: Penetration, **rules: int) -> JudgedPenetration:
    return look(on(pen, **rules)).penetrations[0]  # type: ignore[arg-type]


def unlanded(judged: Judged) -> int:
    return judged.counts[COUNT_NAMES.index("unlanded")]


# ------------------------------------------------------------------ ribbed


def ribbed(x: int, across: int = inches(18), *, must: bool = False) -> Penetration:
    return make_curb(x, across=across, detail="ribbed", must_land=must)


def test_a_ribbed_curb_between_two_seams() -> None:
    # Walls at 32 and 50 upon their seams: neither cut nor beside it. The next seams stand at 14
    # and 68, 18 from the walls.
    judged = look(on(ribbed(inches(41))))
    curb = judged.penetrations[0]
    assert (curb.landed, curb.state, curb.seams_cut) == ((True, True), "clear", 0)
    assert (curb.seam_low, curb.seam_high, curb.room2) == (inches(14), inches(68), 2 * inches(18))
    assert (unlanded(judged), judged.cost.total, judged.order[SHORT]) == (0, 0, 0)
    # The same curb with a flange cuts both: its side of 1/2 reaches into either wall.
    assert stand(make_curb(inches(41), across=inches(18))).seams_cut == 2


@pytest.mark.parametrize("lay", ["left-to-right", "right-to-left"])
def test_land_tol_to_the_tick(lay: Lay) -> None:
    # Off to either side by 1/8: both landed; a tick more and neither is.
    for off, landed in ((inches("1/8"), True), (inches("1/8") + TICK, False)):
        for sign in (1, -1):
            curb = look(on(ribbed(inches(41) + sign * off), lay=lay)).penetrations[0]
            assert curb.landed == (landed, landed)
    # Half ticks stay exact: a curb two half ticks wider has its walls a half tick farther out.
    for across, landed in (
        (2 * inches("1/8"), True), (2 * inches("1/8") + TICK, False),
        (-2 * inches("1/8"), True), (-2 * inches("1/8") - TICK, False),
    ):  # fmt: skip
        curb = look(on(ribbed(inches(41), inches(18) + across), lay=lay)).penetrations[0]
        assert curb.landed == (landed, landed)


def test_one_wall_landed() -> None:
    # Centre 40, 16 across: walls at 32 (landed) and 48, where the seam at 50 is 2 in away: not cut
    # (2 > 1/2), and crowding (2 < 6).
    judged = look(on(ribbed(inches(40), inches(16))))
    curb = judged.penetrations[0]
    assert (curb.landed, curb.state, curb.seams_cut) == ((True, False), "crowded", 0)
    assert (curb.seam_low, curb.seam_high) == (inches(14), inches(50))
    assert curb.margin2 == 2 * inches(2 - 6)
    assert unlanded(judged) == 1
    assert judged.cost.flashing == 26000 + 26000  # the wall, and crowded


def test_other_seams_are_as_for_a_flange_curb() -> None:
    # 36 across about 50: walls at 32 and 68 landed, the seam at 50 cut; the flanks 18 in.
    judged = look(on(ribbed(inches(50), inches(36))))
    curb = judged.penetrations[0]
    assert (curb.landed, curb.state, curb.seams_cut) == ((True, True), "spans", 1)
    assert curb.margin2 == 2 * inches(12)
    # An inch off: the seams at 32 and 50 are cut, the one at 68 is an inch off its wall: crowded.
    off = look(on(ribbed(inches(49), inches(36))))
    curb = off.penetrations[0]
    assert (curb.landed, curb.state, curb.seams_cut) == ((False, False), "crowded", 2)
    assert curb.margin2 == 2 * inches(1 - 6)
    assert (unlanded(off), off.cost.flashing) == (2, 2 * 26000 + 2 * 19000 + 26000)


def test_its_shortfall_is_that_of_a_flange_curb() -> None:
    # 4 across about 43, walls at 41 and 45: flanks 9 and 5; with curb_side 4 a margin of 1.
    judged = look(on(ribbed(inches(43), inches(4)), curb_side=inches(4)))
    assert judged.penetrations[0].margin2 == 2 * inches(1)
    assert judged.order[SHORT] == 2 * inches("1/2")


@pytest.mark.parametrize(
    ("x", "across", "where"),
    [
        ("40 1/2", 17, "at its wall at 4' 1\""),  # walls at 32 and 49
        ("41 1/2", 17, "at its wall at 2' 9\""),  # at 33 and 50
        ("41 1/2", 18, "at either wall"),  # at 32 1/2 and 50 1/2
    ],
)
def test_must_land(x: str, across: int, where: str) -> None:
    judged = look(on(ribbed(inches(x), inches(across), must=True)))
    assert codes(judged) == ["must-land"]
    assert judged.breaks[0].about == ("C1",)
    assert judged.breaks[0].says == (
        f'C1 must have a seam at both of its walls, within 1/8": there is none {where}.'
    )
    assert look(on(ribbed(inches(x), inches(across)))).breaks == ()
    assert look(on(ribbed(inches(41), must=True))).breaks == ()


def test_landing_goes_by_the_seams_as_laid() -> None:
    # Robust: seams creep 1/4 in a panel, far more than land_tol. The flank to the seam at 68 (the
    # fourth, three panels on: 3/4) is 18 - 3/4, that to 14 (none) 18.
    case = on(ribbed(inches(41)), robust=True, cover_tol=inches("1/4"))
    curb = look(case).penetrations[0]
    assert curb.landed == (True, True)
    assert curb.worst_room2 == 2 * inches("17 1/4")


def test_other_things_land_nowhere() -> None:
    assert stand(make_curb(inches(41), across=inches(18))).landed is None
    assert stand(make_curb(inches(41), across=inches(18), detail="close")).landed is None
    assert stand(make_pipe(inches(41))).landed is None


def test_a_plane_without_seams_leaves_both_walls_bare() -> None:
    case = make_case(ribbed(inches(9), inches(4)), planes=(make_plane(width=inches(18)),))
    judged = look(case, first=inches(18))
    assert judged.penetrations[0].landed == (False, False)
    assert (unlanded(judged), judged.cost.total) == (2, 52000)


# ------------------------------------------------------------------ close


def close(x: int, across: int = inches(17)) -> Penetration:
    return make_curb(x, across=across, detail="close")


def test_a_close_curb_is_never_crowded_and_wants_its_seams_near() -> None:
    # 17 across about 41: from 32 1/2 to 49 1/2, flanks 1/2 each: not cut, as the side is just 1/2.
    judged = look(on(close(inches(41))))
    curb = judged.penetrations[0]
    assert (curb.state, curb.seams_cut, curb.needed2) == ("clear", 0, 0)
    assert (curb.room2, curb.margin2) == (2 * inches("1/2"), 2 * inches("1/2"))
    assert (judged.order[SHORT], judged.cost.total) == (2 * inches(1), 0)
    assert stand(make_curb(inches(41), across=inches(17))).state == "crowded"
    # A tick to the right cuts the seam at 50; the next is 68 and 18 1/2 less a tick away.
    off = look(on(close(inches(41) + TICK)))
    curb = off.penetrations[0]
    assert (curb.state, curb.seams_cut, off.cost.total) == ("spans", 1, 19000)
    assert curb.margin2 == 2 * (inches("1/2") + TICK)
    assert off.order[SHORT] == 2 * (inches("1/2") + TICK + inches("18 1/2") - TICK)


def test_its_shortfall_knows_no_enough() -> None:
    # 4 across about 41: flanks of 7 and 7, shortfall 14 in; of a flange curb (margin 1) 1/2.
    assert look(on(close(inches(41), inches(4)))).order[SHORT] == 2 * inches(14)
    assert look(on(make_curb(inches(41), across=inches(4)))).order[SHORT] == 2 * inches("1/2")


def test_a_side_without_a_seam_adds_nothing() -> None:
    # About 7: from 5 to 9; only the seam at 14 is beside it, 5 away.
    judged = look(on(close(inches(7), inches(4))))
    assert judged.penetrations[0].seam_low is None
    assert judged.order[SHORT] == 2 * inches(5)
    everything = look(on(close(inches(50), inches(90))))
    assert everything.penetrations[0].margin2 is None
    assert everything.order[SHORT] == 0


def test_in_a_robust_case_its_flanks_shift_too() -> None:
    # Seams creep 1/16 a panel: that at 32 by 1/16, at 50 by 1/8. 14 across about 41: flanks 2 in.
    robust = on(close(inches(41), inches(14)), robust=True, cover_tol=inches("1/16"))
    judged = look(robust)
    assert judged.penetrations[0].worst_margin2 == 2 * inches("1 7/8")
    assert judged.order[SHORT] == 2 * inches("1 15/16") + 2 * inches("1 7/8")
    # Shifted beyond its wall a seam is as near as it goes, and still does not crowd.
    tight = on(close(inches(41)), robust=True, cover_tol=inches(1))
    judged = look(tight)
    assert (judged.penetrations[0].state, judged.order[SHORT]) == ("clear", 0)
    assert judged.penetrations[0].worst_margin2 == -2 * inches("1 1/2")
