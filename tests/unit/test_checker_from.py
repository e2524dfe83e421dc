"""Planes laid both ways from a line, as the checker sees them.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments. Unless told otherwise: 100 in under 18 in panels, the line at 46 in. Seams
then stand at 10, 28, 46, 64 and 82 in: panels -1 (28 to 46), -2 (10 to 28), -3 (0 to 10), and 1 (46
to 64), 2 (64 to 82), 3 (82 to 100).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.case import Case, Penetration
from solver.checker.judge import compare, judge
from solver.errors import ChoiceError, DisagreementError
from solver.layout import Change, Layout, Odd
from solver.result import Judged, JudgedOdd, JudgedPenetration, JudgedStretch
from tests.unit.builders import (
    codes,
    inches,
    make_case,
    make_curb,
    make_link,
    make_pipe,
    make_plane,
)

TICK = 1
WIDE, EIGHTH = inches(12), inches("1/8")
COVER = inches(18)


def from_case(
    *pens: Penetration, start: int = inches(46), width: int = inches(100), **kw: object
) -> Case:
    planes = (make_plane(width=width, start=start),)
    return make_case(*pens, **({"planes": planes} | kw))  # type: ignore[arg-type]


def look(
    case: Case,
    *odds: tuple[int, int],
    changes: tuple[tuple[int, int], ...] = (),
    first: int = 0,
) -> Judged:
    moves = (0,) * len(case.penetrations)
    return judge(case, Layout(
        (first,), moves, tuple(Odd(0, *odd) for odd in odds),
        tuple(Change(0, *each) for each in changes),
    ))  # fmt: skip


def stand(pen: Penetration, **kw: object) -> JudgedPenetration:
    return look(from_case(pen, **kw)).penetrations[0]  # type: ignore[arg-type]


def test_two_runs_go_from_the_line() -> None:
    judged = look(from_case())
    assert judged.breaks == ()
    plane = judged.planes[0]
    assert plane.seams == tuple(inches(x) for x in (10, 28, 46, 64, 82))
    assert (plane.first, plane.last, plane.panels) == (inches(10), inches(18), 6)


@pytest.mark.parametrize("first", [0, inches(10), inches(14) + TICK, inches(500), -TICK])
def test_the_first_width_is_a_result_whatever_is_given(first: int) -> None:
    judged = look(from_case(), first=first)
    assert judged.breaks == ()
    assert judged.planes[0].first == inches(10)
    assert judged.order[21] == inches(10)


def test_both_ends_obey_the_end_rule_to_the_tick() -> None:
    # The line at 42 leaves 42 - 36 = 6 in at the low end and 100 - 42 - 54 = 4 at the high one.
    both = look(from_case(start=inches(42)))
    assert [breach.says for breach in both.breaks] == [
        'The width at the S right end of plane S is 4": it must be at least 6".'
    ]
    for width, start, broken in (
        (inches(102), inches(42), []),  # 6 and 6
        (inches(102) - TICK, inches(42), ["end-rule"]),
        (inches(102), inches(42) - TICK, ["end-rule"]),
        (inches(102), inches(42) + TICK, ["end-rule"]),
        (inches(108), inches(54), []),  # a full panel at both ends, no seam at the edges
        (inches(108), inches(54) + TICK, ["end-rule"]),  # a tick at the low end
    ):
        assert codes(look(from_case(start=start, width=width))) == broken
    low = look(from_case(start=inches(42) - TICK, width=inches(102)))
    assert low.breaks[0].says == (
        'The width at the S left end of plane S is 5 15/16": it must be at least 6".'
    )


def test_a_run_of_a_single_panel() -> None:
    # The line at 10: nothing is laid between it and the low end but one panel.
    judged = look(from_case(start=inches(10)))
    assert judged.breaks == ()
    assert judged.planes[0].seams == tuple(inches(x) for x in (10, 28, 46, 64, 82))
    assert codes(look(from_case(start=inches(10), odd_panels=1), (-1, WIDE))) == ["odd-end"]


def test_a_plane_no_wider_than_a_cover_is_one_panel() -> None:
    judged = look(from_case(width=COVER, start=inches(9)), first=inches(3))
    assert judged.breaks == ()
    assert (judged.planes[0].seams, judged.planes[0].first) == ((), COVER)
    assert judged.order[21] == COVER
    assert look(from_case(width=COVER + TICK, start=inches(9))).planes[0].seams == (inches(9),)


UNLIKE: dict[str, object] = {"seam_back": inches("1/4"), "seam_fwd": inches("3/4")}


@pytest.mark.parametrize(
    ("back", "fwd", "x", "low", "high"),
    [
        # Left of the line a seam's back is its high side; the line takes 3/4 on both sides.
        ("1/4", "3/4", 19, "10 1/4", "27 1/4"),
        ("1/4", "3/4", 37, "28 1/4", "45 1/4"),
        ("1/4", "3/4", 55, "46 3/4", "63 3/4"),
        ("1/4", "3/4", 73, "64 3/4", "81 3/4"),
        ("3/4", "1/4", 19, "10 3/4", "27 3/4"),
        ("3/4", "1/4", 37, "28 3/4", "45 1/4"),
        ("3/4", "1/4", 55, "46 3/4", "63 1/4"),
        ("3/4", "1/4", 73, "64 1/4", "81 1/4"),
    ],
)
def test_the_backs_of_seams_face_the_line(
    back: str, fwd: str, x: int, low: str, high: str
) -> None:
    pipe = stand(make_pipe(inches(x)), seam_back=inches(back), seam_fwd=inches(fwd))
    assert pipe.clear_from2 == 2 * (inches(low) + inches("4 1/2"))
    assert pipe.clear_to2 == 2 * (inches(high) - inches("4 1/2"))
    assert pipe.room2 == 2 * min(inches(x) - inches(low), inches(high) - inches(x))


def test_clear_beside_the_line_to_the_tick() -> None:
    # 46 + 3/4 + 4 1/2 = 51 1/4 on the one side, 46 - 5 1/4 = 40 3/4 on the other.
    for x, state in (
        (inches("51 1/4"), "clear"),
        (inches("51 1/4") - TICK, "tight"),
        (inches("40 3/4"), "clear"),
        (inches("40 3/4") + TICK, "tight"),
    ):
        assert stand(make_pipe(x), **UNLIKE).state == state


@pytest.mark.parametrize("x", [28, 46, 64])
def test_at_a_seam_the_larger_side_counts(x: int) -> None:
    assert stand(make_pipe(inches(x)), **UNLIKE).room2 == -2 * inches("3/4")


def test_a_curb_cuts_by_the_side_that_faces_it() -> None:
    # 10 in from the curb's centre at 36: the line, at 46, is cut while 10 < across/2 + 3/4. From 38
    # it is 28 that lies 10 off and faces it with its high side, which is its back: 1/4.
    # From 54, 64 faces it with its low side, its back again; from 56 the line lies 10 off.
    for x, side in ((36, "3/4"), (38, "1/4"), (54, "1/4"), (56, "3/4")):
        across = 2 * (inches(10) - inches(side))
        kw = {"curb_side": 0} | UNLIKE
        nearer = 1  # the seam 8 in off on the other side is cut in any case
        assert stand(make_curb(inches(x), across=across), **kw).seams_cut == nearer
        assert stand(make_curb(inches(x), across=across + TICK), **kw).seams_cut == nearer + 1


def test_a_wider_side_can_bind_past_a_nearer_seam() -> None:
    # Back 0, fwd 6, panel 1 only 2 in: seams 46 and 48. Right of 48 its high side takes 6: to 54.
    # With back 6 and fwd 0 it takes nothing there, but the line's 6 reach to 52, past it.
    case = from_case(
        make_pipe(inches(57)), odd_panels=1, odd_min=inches(2), seam_back=inches(6), seam_fwd=0
    )
    pipe = look(case, (1, inches(2))).penetrations[0]
    assert (pipe.seam_low, pipe.seam_high) == (inches(48), inches(66))
    # 57 - 52 = 5 to the one; 66 takes 6 on its low side: 60 - 57 = 3
    assert pipe.room2 == 2 * inches(3)
    assert pipe.clear_from2 is None  # 52 + 4 1/2 lies beyond 60 - 4 1/2
    narrow = replace(case, penetrations=(make_pipe(inches(55), base=inches(5)),))
    pipe = look(narrow, (1, inches(2))).penetrations[0]
    assert pipe.room2 == 2 * inches(3)  # 55 - 52
    assert (pipe.clear_from2, pipe.clear_to2) == (2 * inches(55), 2 * inches(57))
    # A curb of 8 in about 53: 48 is 5 off and 5 < 4 + 0 does not hold, but 46 is 7 off: 7 < 4 + 6.
    curbed = replace(case, penetrations=(make_curb(inches(53), across=inches(8)),))
    curb = look(curbed, (1, inches(2))).penetrations[0]
    assert (curb.seams_cut, curb.seam_low, curb.seam_high) == (1, inches(48), inches(66))
    assert (curb.state, curb.room2) == ("crowded", 2 * inches(1))


def robust(case: Case, *, every: int = 2) -> Case:
    return replace(case, rules=replace(
        case.rules, cover_tol=EIGHTH, remeasure=every, width_tol=inches("1/2"), robust=True,
    ))  # fmt: skip


def test_creep_is_counted_from_the_line_either_way() -> None:
    # Every 2 panels: 10 and 82 may be off by 2 eighths, 28 and 64 by 1, the line by nothing.
    for x, worst in (
        (37, "8 3/8"),  # 28: 9 - 1/2 - 1/8; the line: 8 1/2
        (19, "8 1/4"),  # 10: 9 - 1/2 - 1/4
        (55, "8 3/8"),
        (73, "8 1/4"),
    ):
        pipe = look(robust(from_case(make_pipe(inches(x))))).penetrations[0]
        assert pipe.worst_room2 == 2 * inches(worst)
    # Every panel: all but the line by 1 eighth.
    pipe = look(robust(from_case(make_pipe(inches(73))), every=1)).penetrations[0]
    assert pipe.worst_room2 == 2 * inches("8 3/8")
    # 28 + 1/2 + 1/8 + 4 1/2 and 46 - 1/2 - 4 1/2
    pipe = look(robust(from_case(make_pipe(inches(37))))).penetrations[0]
    assert (pipe.clear_from2, pipe.clear_to2) == (2 * inches("33 1/8"), 2 * inches(41))


def test_the_width_may_be_off_at_the_high_end_only() -> None:
    # 95 is 5 from the high end: less the lap of 4 and 1/2. At 5 the low end leaves 1.
    high = look(robust(from_case(make_pipe(inches(95))))).penetrations[0]
    assert (high.room2, high.worst_room2) == (2 * inches(1), 2 * inches("1/2"))
    low = look(robust(from_case(make_pipe(inches(5))))).penetrations[0]
    assert (low.room2, low.worst_room2) == (2 * inches(1), 2 * inches(1))


def test_odd_panels_of_either_run_and_beside_the_line() -> None:
    # -1 of 12 in: 34, then 16 left, the end panel. 1 of 12 in: 58, 76, 94?: 24 behind 76, so 94 is
    # laid and 6 left.
    judged = look(from_case(odd_panels=2), (-1, WIDE), (1, WIDE))
    assert judged.breaks == ()
    plane = judged.planes[0]
    assert plane.seams == tuple(inches(x) for x in (16, 34, 46, 58, 76, 94))
    assert (plane.first, plane.last) == (inches(16), inches(6))
    assert plane.odd == (
        JudgedOdd(-1, WIDE, inches(34), inches(46)), JudgedOdd(1, WIDE, inches(46), inches(58))
    )  # fmt: skip
    one = look(from_case(odd_panels=1), (-1, WIDE), (1, WIDE))
    assert codes(one) == ["odd-panels"]


def test_the_end_panel_of_a_run_cannot_be_odd() -> None:
    end = look(from_case(odd_panels=1), (-3, inches(10)))
    assert [breach.says for breach in end.breaks] == [
        'Panel -3 of plane S is an end panel, 10" wide: an odd panel has a seam of the plane on '
        "either side, here it is one of -2 to -1 and 1 to 2."
    ]
    # 9 in fit in the 10 that are left, and leave 1.
    assert look(from_case(odd_panels=1), (-3, inches(9))).planes[0].seams[0] == inches(1)


def test_stretches_count_from_the_line() -> None:
    # Every 2 panels: stretch 1 is panels 1 and 2, stretch -1 panels -1 and -2, then the ends.
    case = from_case(play=EIGHTH, remeasure=2)
    judged = look(case, changes=((-1, EIGHTH), (1, -EIGHTH)))
    # 46 - 18 1/8 = 27 7/8, 9 3/4; 46 + 17 7/8 = 63 7/8, 81 3/4, and 18 1/4 left: one more, of 18.
    plane = judged.planes[0]
    assert plane.seams == tuple(
        inches(x) for x in ("9 3/4", "27 7/8", "46", "63 7/8", "81 3/4", "99 3/4")
    )
    assert codes(judged) == ["end-rule"]
    assert plane.stretches == (
        JudgedStretch(1, 1, 2, 2, inches("17 7/8")),
        JudgedStretch(2, 3, 4, 1, COVER),
        JudgedStretch(-1, -1, -2, 2, inches("18 1/8")),
        JudgedStretch(-2, -3, -3, 0, COVER),
    )
    assert judged.cost.play == 5000
    wider = look(case, changes=((1, EIGHTH),))
    assert wider.breaks == () and wider.planes[0].last == inches("17 3/4")
    assert codes(look(case, changes=((-2, EIGHTH),))) == ["no-full-panel"]


def test_the_whole_order() -> None:
    # -1 of 12 in (34..46, centre 40), 1 of 12 in (46..58, centre 52), stretch 2 by 1/8 (panel 3):
    # 58, 76, 94 1/8, last 5 7/8 is too narrow; so by -1/8: 93 7/8, last 6 1/8. First 16: 9 7/8
    # apart, 7 beyond what is free. A pipe at 24 is 9 from 16 and 34 less 1: 8 1/2, enough; it is 16
    # from the centre at 40. M = 100 in // 17 7/8 in + 1 = 6.
    case = from_case(make_pipe(inches(25)), odd_panels=3, play=EIGHTH, remeasure=2)
    judged = look(case, (-1, WIDE), (1, WIDE), changes=((2, -EIGHTH),))
    assert judged.breaks == ()
    assert judged.order == (
        42000 + 2500 + 7 * 2500,
        *(0, 0, 0, 0, 0, 0, 0, 0, 0, 2, 7, 0),
        1,
        0,
        0,
        -inches("6 1/8"),
        -inches(24),
        -2 * inches(15),  # 40 - 25
        2 * inches(6 + 6),  # either centre is 6 from the line
        EIGHTH,
        *(inches(16), -1, WIDE, 1, WIDE, 0, 0),
        *(0, -EIGHTH, 0, 0, 0, 0),
        *(0, 0, 0, 0, 0, 0),
        0,
    )
    with pytest.raises(DisagreementError, match=r"change -1 of S +0 +1"):
        other = (*judged.order[:-7], 1, *judged.order[-6:])
        compare(judged, judged.cost.total, judged.counts, other, case)


def test_links_go_by_the_line() -> None:
    # N from the left with a first of 10 has the same seams; 1/4 in off still meets, a tick not.
    planes = (make_plane(start=inches(46)), make_plane("N"))
    case = make_case(planes=planes, links=(make_link(mirror=False),), odd_panels=1)
    for second, meet in (
        (inches(10), True), (inches("10 1/4"), True), (inches("10 1/4") + TICK, False),
    ):  # fmt: skip
        link = judge(case, Layout((0, second), ())).links[0]
        assert (link.meet, link.strays2) == (meet, 2 * (second - inches(10)))
    # An odd panel -1 of 12 in shifts what lies on the low side: 34 and 16, 6 off 28 and 10; the
    # line goes on meeting 46.
    link = judge(case, Layout((0, inches(10)), (), (Odd(0, -1, WIDE),))).links[0]
    assert (link.meet, link.strays2) == (True, 2 * inches(6))


def test_what_cannot_be_judged() -> None:
    case = from_case(odd_panels=2, play=EIGHTH, remeasure=2)
    for odd, change, told in (
        (0, None, "no panel 0 on plane S as it is laid: its panels are -3 to -1 and 1 to 3."),
        (4, None, "no panel 4 on plane S"),
        (-4, None, "no panel -4 on plane S"),
        (None, 0, "no stretch 0 on plane S as it is laid: its stretches are -2 to -1 and 1 to 2."),
        (None, -3, "no stretch -3 on plane S"),
        (None, 3, "no stretch 3 on plane S"),
    ):
        odds = () if odd is None else ((odd, WIDE),)
        changes = () if change is None else ((change, EIGHTH),)
        with pytest.raises(ChoiceError) as refused:
            look(case, *odds, changes=changes)
        assert told in str(refused.value)
    for start in (0, inches(100), -TICK):
        with pytest.raises(ChoiceError, match="The line that plane S is laid from stands at"):
            look(from_case(start=start))
