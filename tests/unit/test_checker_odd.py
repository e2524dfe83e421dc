"""Odd panels as the checker sees them: seams, what stands among them, limits to the tick, money.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments. Unless told otherwise: 100 in under 18 in panels, odd ones 9 to 17 15/16 in,
two of them allowed.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.case import Case, Penetration
from solver.checker.judge import compare, judge
from solver.errors import ChoiceError, DisagreementError
from solver.layout import Layout, Odd
from solver.result import COUNT_NAMES, Cost, Judged, JudgedOdd, JudgedPenetration
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
WIDE = inches(12)


def odd_case(*pens: Penetration, odd_panels: int = 2, **kw: object) -> Case:
    return make_case(*pens, odd_panels=odd_panels, **kw)  # type: ignore[arg-type]


def look(case: Case, *odds: tuple[int, int], first: int = inches(16)) -> Judged:
    """One plane, a first width of 16 in, odd panels as (number, width), nothing moved."""
    moves = (0,) * len(case.penetrations)
    return judge(case, Layout((first,), moves, tuple(Odd(0, *odd) for odd in odds)))


def stand(pen: Penetration, **kw: object) -> JudgedPenetration:
    """One penetration where panel 3, from 34 to 46 in, is 12 in wide."""
    return look(odd_case(pen, **kw), (3, WIDE)).penetrations[0]


def says(judged: Judged) -> str:
    assert len(judged.breaks) == 1, codes(judged)
    return judged.breaks[0].says


def test_an_odd_panel_shifts_every_seam_behind_it() -> None:
    # From the left: 16, 34, 34 + 12 = 46, 64, 82, and 18 left. From the right the same mirrored.
    left = look(odd_case(), (3, WIDE))
    assert left.breaks == ()
    plane = left.planes[0]
    assert plane.seams == tuple(inches(x) for x in (16, 34, 46, 64, 82))
    assert (plane.first, plane.last, plane.panels) == (inches(16), inches(18), 6)
    assert plane.odd == (JudgedOdd(3, WIDE, inches(34), inches(46)),)
    assert plane.stretches == ()
    right = look(odd_case(planes=(make_plane(lay="right-to-left"),)), (3, WIDE)).planes[0]
    assert right.seams == tuple(inches(x) for x in (18, 36, 54, 66, 84))
    assert (right.first, right.last) == (inches(16), inches(18))
    assert right.odd == (JudgedOdd(3, WIDE, inches(54), inches(66)),)


def test_odd_panels_may_be_neighbours_and_beside_both_ends() -> None:
    # 14, then 12 and 12: 26, 38, 56, 74, 92, and 8 left; panel 6 reaches from 74 to 92.
    side_by_side = look(odd_case(), (2, WIDE), (3, WIDE), first=inches(14))
    assert side_by_side.breaks == ()
    assert side_by_side.planes[0].seams == tuple(inches(x) for x in (14, 26, 38, 56, 74, 92))
    # 14, 26, 44, 62, 80; panel 6 of 9 in to 89, and 11 left.
    outer = look(odd_case(), (2, WIDE), (6, inches(9)), first=inches(14))
    assert outer.breaks == ()
    assert outer.planes[0].seams == tuple(inches(x) for x in (14, 26, 44, 62, 80, 89))
    assert outer.planes[0].last == inches(11)


def test_the_last_width_is_what_the_odd_panels_leave_to_the_tick() -> None:
    # First 16 leaves exactly a cover behind 82; a mark less and one more panel has to be laid.
    short = look(odd_case(), (3, WIDE), first=inches("15 15/16"))
    assert short.planes[0].panels == 7
    assert says(short) == 'The last width of plane S is 1/16": it must be at least 6".'
    # A plane of 88 in leaves 88 - 82 = 6 in, just enough.
    for off, broken in ((0, []), (TICK, ["end-rule"])):
        case = odd_case(planes=(make_plane(width=inches(88) - off),))
        assert codes(look(case, (3, WIDE))) == broken


def test_an_odd_panel_needs_a_seam_of_the_plane_on_either_side() -> None:
    # First 14: 32, 50, 68, 86, and 14 left: a panel 6 of 14 in would end where the plane does.
    end = look(odd_case(), (6, inches(14)), first=inches(14))
    assert says(end) == (
        'Panel 6 of plane S is an end panel, 14" wide: an odd panel has a seam of the plane on '
        "either side, here it is one of 2 to 5."
    )
    assert end.planes[0].odd == (JudgedOdd(6, inches(14), inches(86), inches(100)),)
    assert end.cost.odd_panels == 21000  # priced all the same
    # A mark narrower and its far edge is a seam, with 1/16 in behind it.
    inside = look(odd_case(), (6, inches("13 15/16")), first=inches(14))
    assert codes(inside) == ["end-rule"]
    assert inside.planes[0].seams[-1] == inches("99 15/16")
    first = look(odd_case(), (1, WIDE), first=inches(14))
    assert codes(first) == ["odd-end"]
    assert first.planes[0].seams[0] == inches(14)  # its width is the first width, whatever is asked
    assert 'Panel 1 of plane S is an end panel, 14" wide' in says(first)


def test_a_single_panel_has_no_odd_one() -> None:
    case = odd_case(planes=(make_plane(width=inches(18)),))
    assert says(look(case, (1, WIDE), first=inches(18))) == (
        'Panel 1 of plane S is an end panel, 18" wide: an odd panel has a seam of the plane on '
        "either side, here there is none."
    )
    with pytest.raises(ChoiceError, match="no panel 2 on plane S as it is laid: its panels are 1"):
        look(case, (2, WIDE), first=inches(18))


@pytest.mark.parametrize(
    ("width", "told"),
    [
        (inches(9), ""),
        (inches("17 15/16"), ""),
        (inches("8 15/16"), 'is 8 15/16" wide'),
        (inches(9) - TICK, 'is 8 15/16" wide'),
        (inches(18), 'is 18" wide'),
        (inches("17 15/16") + TICK, 'is 18" wide'),
        (inches(12) + TICK, 'falls between two marks, at about 12"'),
    ],
)
def test_the_width_of_an_odd_panel_to_the_tick(width: int, told: str) -> None:
    # One more panel follows than with a plain grid, so the plane is made to fit: 14 in behind it.
    case = odd_case(planes=(make_plane(width=inches(16 + 18 + 18 + 14) + width),))
    judged = look(case, (3, width))
    if not told:
        assert judged.breaks == ()
        return
    assert says(judged) == (
        f'Panel 3 of plane S {told}: an odd panel is a whole number of 1/16" wide, 9" to 17 15/16".'
    )
    assert judged.cost.odd_panels == 21000


def test_a_range_between_two_marks_is_told_by_the_marks_in_it() -> None:
    # odd_min a tick above 9 in, cover a tick above 18 in: 9 1/16 to 17 15/16 in are left.
    case = odd_case(odd_min=inches(9) + TICK, cover=inches(18) + TICK)
    assert 'is 9" wide: an odd panel is a whole number of 1/16" wide, 9 1/16" to 17 15/16"' in (
        look(case, (3, inches(9))).breaks[-1].says
    )


def test_widths_from_a_list() -> None:
    # A list counts alone: 6 in though below odd_min, and nothing between the widths of the list.
    case = odd_case(odd_widths=(inches(6), inches(12) + TICK))
    assert codes(look(case, (3, inches(12) + TICK), first=inches("15 15/16"))) == ["end-rule"]
    assert "odd-width" not in codes(look(case, (3, inches(6))))
    assert "odd-width" in codes(look(case, (3, inches(6) - TICK)))
    off = look(case, (3, inches(12)))
    assert says(off) == (
        'Panel 3 of plane S is about 12" wide: an odd panel is exactly 6" or 12" wide.'
    )


def test_how_many_odd_panels_a_plane_may_have() -> None:
    odds = ((2, WIDE), (3, WIDE))
    assert look(odd_case(odd_panels=2), *odds, first=inches(14)).breaks == ()
    one = look(odd_case(odd_panels=1), *odds, first=inches(14))
    assert says(one) == "Plane S has 2 odd panels: the case allows at most 1 on a plane."
    none = look(odd_case(odd_panels=0), (3, WIDE))
    assert says(none) == "Plane S has an odd panel: the case allows none."


# Panel 3 lies from 34 to 46 in, its neighbours from 16 to 34 and from 46 to 64 in.


def test_a_pipe_in_an_odd_panel() -> None:
    # needed 4 1/2: clear from 34 + 1/2 + 4 1/2 = 39 to 46 - 5 = 41.
    at = stand(make_pipe(inches(39)))
    assert (at.state, at.room2, at.margin2) == ("clear", 2 * inches("4 1/2"), 0)
    assert (at.seam_low, at.seam_high) == (inches(34), inches(46))
    assert (at.clear_from2, at.clear_to2) == (2 * inches(39), 2 * inches(41))
    assert stand(make_pipe(inches(39) - TICK)).state == "tight"
    assert stand(make_pipe(inches(41))).state == "clear"
    assert stand(make_pipe(inches(41) + TICK)).state == "tight"
    # 32 in is clear in the plain grid of a first width of 14; here it stands 2 in from a seam.
    assert stand(make_pipe(inches(32))).state == "on-seam"


def test_pipes_before_and_behind_an_odd_panel() -> None:
    before, behind = stand(make_pipe(inches(21))), stand(make_pipe(inches(51)))
    assert (before.clear_from2, before.clear_to2) == (2 * inches(21), 2 * inches(29))
    assert (behind.clear_from2, behind.clear_to2) == (2 * inches(51), 2 * inches(59))
    assert before.state == behind.state == "clear"
    assert stand(make_pipe(inches(51) - TICK)).state == "tight"


def test_sides_in_an_odd_panel_laid_from_the_right() -> None:
    # The same from the right: panel 3 from 54 to 66. Sides back 1/4, fwd 3/4: the back faces right,
    # so 54 takes 1/4 of it (its side of larger x) and 66 takes 3/4: clear 58 3/4 to 60 3/4.
    kw: dict[str, object] = {
        "planes": (make_plane(lay="right-to-left"),),
        "seam_back": inches("1/4"), "seam_fwd": inches("3/4"),
    }  # fmt: skip
    at = stand(make_pipe(inches(60)), **kw)
    assert (at.clear_from2, at.clear_to2) == (2 * inches("58 3/4"), 2 * inches("60 3/4"))


def test_a_curb_cuts_and_is_flanked_by_the_seams_as_they_stand() -> None:
    # 11 in about 40: 34 1/2 .. 45 1/2; a seam 6 in off is cut while 6 < 5 1/2 + 1/2: just not.
    crowded = stand(make_curb(inches(40), across=inches(11)))
    assert (crowded.state, crowded.seams_cut, crowded.room2) == ("crowded", 0, 2 * inches("1/2"))
    # A tick wider it cuts both, and its flanks go to 16 and 64: 24 less 5 1/2 and half a tick.
    spans = stand(make_curb(inches(40), across=inches(11) + TICK))
    assert (spans.state, spans.seams_cut) == ("spans", 2)
    assert (spans.seam_low, spans.seam_high) == (inches(16), inches(64))
    assert spans.room2 == 2 * inches("18 1/2") - TICK


def test_creep_counts_an_odd_panel_like_any_other() -> None:
    # Control lines every 2 panels, 1/8 in a panel: seams 16, 34, 46, 64, 82 may be off by 0, 1, 2,
    # 1, 2 eighths. A pipe at 55 between 46 and 64: 9 - 1/2 - 2/8 to the one, 9 - 1/2 - 1/8.
    case = odd_case(make_pipe(inches(55)), remeasure=2)
    case = replace(case, rules=replace(case.rules, cover_tol=inches("1/8"), robust=True))
    pipe = look(case, (3, WIDE)).penetrations[0]
    assert pipe.room2 == 2 * inches("8 1/2")
    assert pipe.worst_room2 == 2 * inches("8 1/4")
    # 46 + 1/2 + 1/4 + 4 1/2, 64 - 1/2 - 1/8 - 4 1/2
    assert (pipe.clear_from2, pipe.clear_to2) == (2 * inches("51 1/4"), 2 * inches("58 7/8"))


def test_odd_panels_are_counted_and_charged() -> None:
    # 1.5 h x 100 + 60 = 210 each. First 14 and last 8 differ by 6, 4 beyond what is free: 4 x 25.
    judged = look(odd_case(), (2, WIDE), (3, WIDE), first=inches(14))
    assert judged.cost == Cost(flashing=0, moves=0, odd_panels=42000, look=10000, play=0)
    assert judged.cost.total == 52000
    assert judged.counts[COUNT_NAMES.index("odd_panels")] == 2
    assert judged.counts[COUNT_NAMES.index("uneven")] == 4


def test_the_whole_order_with_odd_panels() -> None:
    # S: 16, 34, 46 (odd 34..46, centre 40), 64, 82; N from the right, 100 in, first 14, odd panels
    # 2 and 3 of 12: 86, 74, 62, 44, 26, 8, last 8: centres 80 and 68, from the right 20 and 32.
    # A pipe at 55 on S, moved to 54 (clear from 51 to 59), another at 53 on N: 18 1/2 from the two
    # of 44 and 62 less 1/2: 8 1/2, margin 4.
    pens = (make_pipe(inches(55), "V1", status="planned"), make_pipe(inches(53), "V2", plane="N"))
    case = odd_case(*pens, planes=(make_plane(), make_plane("N", lay="right-to-left")))
    odds = (Odd(0, 3, WIDE), Odd(1, 2, WIDE), Odd(1, 3, WIDE))
    judged = judge(case, Layout((inches(16), inches(14)), (-inches(1), 0), odds))
    assert judged.breaks == ()
    assert judged.order == (
        63000 + 6000 + 10000,  # three odd panels, a planned move, N's ends uneven by 4
        *(0, 0, 0, 0, 0, 1, 0, 0, 0, 3, 4, 0),
        0,  # no stretch of another module
        0,  # all have enough
        inches(1),
        -inches(8),
        -inches(36),
        -2 * inches(14),  # S: 54 - 40 = 14; N: 68 - 53 = 15 and 100 - 80 = 20
        2 * inches(40 + 20 + 32),
        0,
        *(inches(16), 3, WIDE, 0, 0),
        *(inches(14), 2, WIDE, 3, WIDE),
        *(-inches(1), 0),
    )


def test_an_end_of_the_plane_can_be_nearest_to_an_odd_panel() -> None:
    # Panel 5 of 9 in from 70 to 79: centre 74 1/2, 25 1/2 from the right end; a curb at 10.
    case = odd_case(make_curb(inches(10), across=inches(4)))
    judged = look(case, (5, inches(9)))
    assert judged.planes[0].odd[0].low == inches(70)
    assert judged.order[18] == -2 * inches("25 1/2")


def linked(*odds: Odd, stagger: bool = False, second: int = inches(16), **kw: object) -> Judged:
    """S and N, both 100 in and laid from the left, a seam of S at x meeting one of N at x."""
    case = odd_case(
        planes=(make_plane(), make_plane("N")),
        links=(make_link(mirror=False, stagger=stagger),), **kw,
    )  # fmt: skip
    return judge(case, Layout((inches(16), second), (), odds))


def test_links_go_by_the_start_and_tell_how_far_the_seams_stray() -> None:
    same = linked(Odd(0, 3, WIDE), Odd(1, 3, WIDE)).links[0]
    assert (same.meet, same.strays2) == (True, 0)
    # S: 16, 34, 46, 64, 82. N, 16, 34, 52, 70, 88: 46 misses 52 by 6, and so do 64 and 82.
    shifted = linked(Odd(0, 3, WIDE)).links[0]
    assert (shifted.meet, shifted.strays2) == (True, 2 * inches(6))
    # N odd at panel 5: 16, 34, 52, 70, 82: 46 misses 52 by 6 and so on, 82 meets 82.
    later = linked(Odd(0, 3, WIDE), Odd(1, 5, WIDE)).links[0]
    assert (later.meet, later.strays2) == (True, 2 * inches(6))


def test_a_plain_link_strays_by_what_it_misses() -> None:
    # 16 against 18: 2 in; against 7: 9 in, the most there is.
    assert linked(second=inches(18)).links[0].strays2 == 2 * inches(2)
    assert linked(second=inches(7)).links[0].strays2 == 2 * inches(9)
    assert linked(second=inches(7), stagger=True).links[0].strays2 == 0
    assert linked(second=inches(8), stagger=True).links[0].strays2 == 2 * inches(1)


def test_staggered_seams_stray_from_half_a_cover() -> None:
    # S: 16, 34, 46, 64, 82; N from 7: 25, 43, 61, 79, 97. 46 - 43 = 3 and 61 - 46 = 15: 6 in off 9.
    assert linked(Odd(0, 3, WIDE), second=inches(7), stagger=True).links[0].strays2 == (
        2 * inches(6)
    )


def test_the_other_plane_goes_on_beyond_its_seams() -> None:
    # N 46 in wide: 16, 28 (panel 2 of 12 in), last 18. S, from 16 on: 34 lies 6 beyond 28, and so
    # on; 16 meets 16. Looked at from N, 28 misses 34 by 6.
    case = odd_case(
        planes=(make_plane(), make_plane("N", width=inches(46))),
        links=(make_link(mirror=False),),
    )
    judged = judge(case, Layout((inches(16), inches(16)), (), (Odd(1, 2, WIDE),)))
    assert (judged.links[0].meet, judged.links[0].strays2) == (True, 2 * inches(6))
    # In a mirror link N's seams stand at 100 - 16 = 84 and 100 - 28 = 72 of S, first 84 = 12 + 4 x
    # 18, which S starts with: 12, 30, 48, 66, 84; 72 misses by 6; S's 66 goes on from 72 by 6.
    mirrored = replace(case, links=(make_link(),))
    judged = judge(mirrored, Layout((inches(12), inches(16)), (), (Odd(1, 2, WIDE),)))
    assert (judged.links[0].meet, judged.links[0].strays2) == (True, 2 * inches(6))


def test_what_cannot_be_judged() -> None:
    case = odd_case()
    for odds, told in (
        (((3, 0),), 'A width of 0" leaves nothing of panel 3 of plane S: an odd panel is 9" to '
                    '17 15/16" wide.'),
        (((3, -TICK),), "leaves nothing of panel 3"),
        (((3, WIDE), (3, inches(13))), 'An odd width of 13" is named for panel 3 of plane S, which '
                                       "has one already: name it once."),
        (((0, WIDE),), "There is no panel 0 on plane S as it is laid: its panels are 1 to 6."),
        (((-2, WIDE),), "There is no panel -2 on plane S"),
        (((7, WIDE),), "There is no panel 7 on plane S as it is laid: its panels are 1 to 6."),
    ):  # fmt: skip
        with pytest.raises(ChoiceError) as refused:
            look(case, *odds, first=inches(14))
        assert told in str(refused.value)
    with pytest.raises(ChoiceError, match="given for plane number 1: the case has 1"):
        judge(case, Layout((inches(14),), (), (Odd(1, 3, WIDE),)))


def test_all_that_cannot_be_judged_is_told_at_once() -> None:
    with pytest.raises(ChoiceError) as refused:
        look(odd_case(), (3, 0), (9, WIDE), first=inches(14))
    assert "nothing of panel 3" in str(refused.value)
    assert "no panel 9" in str(refused.value)
    with pytest.raises(ChoiceError) as first:
        look(odd_case(), (3, 0), first=inches(120))
    assert 'first width of 120"' in str(first.value) and "nothing of panel 3" in str(first.value)


def test_compare_names_what_differs() -> None:
    case = odd_case(make_pipe(inches(55)))
    mine = look(case, (3, WIDE))
    compare(mine, mine.cost.total, mine.counts, mine.order, case)
    other = [*mine.order]
    other[18] += 1  # the least distance
    other[23] += 1  # the width of the first odd panel
    with pytest.raises(DisagreementError) as told:
        compare(mine, mine.cost.total, mine.counts, tuple(other), case)
    assert "odd panel to the next, negative" in str(told.value)
    assert "odd width 1 of S" in str(told.value)
    with pytest.raises(DisagreementError, match="choice 3 on the planes"):
        compare(mine, mine.cost.total, mine.counts, tuple(other))
