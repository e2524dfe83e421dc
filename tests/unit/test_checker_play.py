"""Play as the checker sees it: stretches, their modules, limits to the tick, money.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments. Unless told otherwise: 100 in under 18 in panels, first 14, a play of 1/8 in
by 1/64, control lines every 2 panels: stretch 1 holds panels 2 and 3, stretch 2 panels 4 and 5,
stretch 3 the last panel, 6.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.case import Case, Penetration
from solver.checker.judge import compare, judge
from solver.errors import ChoiceError, DisagreementError
from solver.layout import Change, Layout, Odd
from solver.result import Cost, Judged, JudgedStretch
from tests.unit.builders import (
    codes,
    inches,
    make_case,
    make_curb,
    make_link,
    make_pipe,
    make_plane,
    mm,
)

TICK = 1
EIGHTH, FINE = inches("1/8"), inches("1/64")
COVER = inches(18)


def play_case(*pens: Penetration, **kw: object) -> Case:
    given: dict[str, object] = {"play": EIGHTH, "play_mark": FINE, "remeasure": 2}
    return make_case(*pens, **(given | kw))  # type: ignore[arg-type]


def look(
    case: Case, *changes: tuple[int, int], first: int = inches(14), odds: tuple[Odd, ...] = ()
) -> Judged:
    """One plane, first 14 in, changes as (stretch, ticks), nothing moved."""
    moves = (0,) * len(case.penetrations)
    return judge(case, Layout((first,), moves, odds, tuple(Change(0, *each) for each in changes)))


def says(judged: Judged) -> str:
    assert len(judged.breaks) == 1, codes(judged)
    return judged.breaks[0].says


def test_a_stretch_is_laid_wider_or_narrower() -> None:
    # 14, then 18 1/8 twice: 32 1/8, 50 1/4; then 18 twice: 68 1/4, 86 1/4; 13 3/4 left.
    wider = look(play_case(), (1, EIGHTH))
    assert wider.breaks == ()
    plane = wider.planes[0]
    assert plane.seams == tuple(inches(x) for x in ("14", "32 1/8", "50 1/4", "68 1/4", "86 1/4"))
    assert plane.last == inches("13 3/4")
    assert plane.stretches == (
        JudgedStretch(1, 2, 3, 2, COVER + EIGHTH),
        JudgedStretch(2, 4, 5, 2, COVER),
        JudgedStretch(3, 6, 6, 0, COVER),
    )
    # The second by 1/64 narrower: 32, 50, 67 63/64, 85 31/32.
    narrower = look(play_case(), (2, -FINE)).planes[0]
    assert narrower.seams[-1] == inches("85 31/32")
    assert narrower.stretches[1].module == inches("17 63/64")


def test_stretches_are_counted_from_the_starting_end() -> None:
    # From the right: 14, 32 1/8, 50 1/4, 68 1/4, 86 1/4 from there.
    case = play_case(planes=(make_plane(lay="right-to-left"),))
    plane = look(case, (1, EIGHTH)).planes[0]
    assert plane.seams == tuple(
        inches(100) - inches(x) for x in ("86 1/4", "68 1/4", "50 1/4", "32 1/8", "14")
    )
    assert plane.stretches[0] == JudgedStretch(1, 2, 3, 2, COVER + EIGHTH)


def test_four_panels_to_a_stretch_unless_told_otherwise() -> None:
    plane = look(play_case(remeasure=4), (1, EIGHTH)).planes[0]
    assert plane.seams[-1] == inches("86 1/2")
    assert plane.stretches == (
        JudgedStretch(1, 2, 5, 4, COVER + EIGHTH), JudgedStretch(2, 6, 6, 0, COVER)
    )  # fmt: skip


def test_stretches_are_listed_only_where_the_case_allows_play() -> None:
    assert look(play_case(play=0)).planes[0].stretches == ()


def test_an_odd_panel_keeps_its_own_width() -> None:
    # Panel 2 of 16 in, panel 3 of 18 1/8: 14, 30, 48 1/8, 66 1/8, 84 1/8, 15 7/8 left.
    case = play_case(odd_panels=1)
    judged = look(case, (1, EIGHTH), odds=(Odd(0, 2, inches(16)),))
    assert judged.breaks == ()
    plane = judged.planes[0]
    assert plane.seams == tuple(inches(x) for x in ("14", "30", "48 1/8", "66 1/8", "84 1/8"))
    assert plane.stretches[0] == JudgedStretch(1, 2, 3, 1, COVER + EIGHTH)


def test_a_stretch_without_a_full_panel_keeps_the_cover() -> None:
    last = look(play_case(), (3, FINE))
    assert says(last) == (
        'The module of stretch 3 of plane S is changed by +1/64", but it has no full panel to lay '
        "wider or narrower: its module must stay the cover."
    )
    assert last.cost.play == 2500  # priced all the same
    both = (Odd(0, 2, inches(16)), Odd(0, 3, inches(16)))
    assert codes(look(play_case(odd_panels=2), (1, -FINE), odds=both)) == ["no-full-panel"]


def test_laying_stops_where_a_cover_is_left() -> None:
    # 104 in: 18 in are left behind 86, the last panel, though the module of stretch 3 would fit.
    for width, panels in ((inches(104), 6), (inches(104) + TICK, 7)):
        case = play_case(planes=(make_plane(width=width),))
        assert look(case, (3, -EIGHTH)).planes[0].panels == panels
    # A tick more than 104 in: panel 6 is laid 17 7/8 wide, and 1/8 in and a tick are left.
    case = play_case(planes=(make_plane(width=inches(104) + TICK),))
    assert look(case, (3, -EIGHTH)).planes[0].last == EIGHTH + TICK
    # 18 1/16 left, and a module of 18 1/8: nothing fits, and the last panel is too wide.
    case = play_case(planes=(make_plane(width=inches("104 1/16")),))
    wide = look(case, (3, EIGHTH))
    assert codes(wide) == ["end-rule", "no-full-panel"]
    assert wide.breaks[0].says == (
        'The last width of plane S is 18 1/16": it must be at most a full panel, 18".'
    )


def test_the_last_panel_takes_what_is_left_to_the_tick() -> None:
    # 14 + 2 x 18 1/8 + 2 x 18 = 86 1/4: a plane of 92 1/4 leaves just 6 in.
    for off, broken in ((0, []), (TICK, ["end-rule"])):
        case = play_case(planes=(make_plane(width=inches("92 1/4") - off),))
        assert codes(look(case, (1, EIGHTH))) == broken


@pytest.mark.parametrize("sign", [1, -1])
def test_how_far_the_module_may_be_changed(sign: int) -> None:
    shown = "+" if sign > 0 else "-"
    assert look(play_case(), (1, sign * EIGHTH)).breaks == ()
    assert look(play_case(), (1, sign * FINE)).breaks == ()
    over = look(play_case(), (1, sign * (EIGHTH + FINE)))
    assert says(over) == (
        f'The module of stretch 1 of plane S is changed by {shown}9/64": the play is at most 1/8" '
        "either way."
    )
    # A tick too much is shown as too much, and is no whole mark either.
    tick = look(play_case(), (1, sign * (EIGHTH + TICK)))
    assert codes(tick) == ["beyond-play", "play-mark"]
    assert f'{shown}9/64": the play is at most 1/8"' in tick.breaks[0].says
    off = look(play_case(), (1, sign * (FINE + TICK)))
    assert says(off) == (
        f'The module of stretch 1 of plane S is changed by about {shown}1/64": a change is a whole '
        'number of 1/64".'
    )


def test_a_play_between_two_marks_allows_the_whole_marks_in_it() -> None:
    case = play_case(play=2 * FINE + TICK)
    assert look(case, (1, 2 * FINE)).breaks == ()
    assert codes(look(case, (1, 3 * FINE))) == ["beyond-play"]


def test_no_play_at_all() -> None:
    judged = look(play_case(play=0), (1, FINE))
    assert says(judged) == (
        'The module of stretch 1 of plane S is changed by +1/64": the case allows no play.'
    )
    assert judged.planes[0].seams[1] == inches("32 1/64")


def test_metric_words() -> None:
    # 1000 mm under 300: first 200; 500, 800, and 200 left; a play of 1.5 mm by 0.5 mm.
    case = play_case(
        planes=(make_plane(width=mm(1000)),), units="mm", mark=mm(1), cover=mm(300),
        min_end=mm(125), uneven_free=mm(50), play=mm("1.5"), play_mark=mm("0.5"),
    )  # fmt: skip
    assert look(case, (1, mm("0.5")), first=mm(200)).planes[0].seams[1] == mm("500.5")
    over = look(case, (1, mm(2)), first=mm(200))
    assert says(over) == (
        "The module of stretch 1 of plane S is changed by +2.0 mm: the play is at most 1.5 mm "
        "either way."
    )


def test_a_pipe_and_a_curb_stand_among_the_seams_as_they_are_laid() -> None:
    # Seams 32 1/8 and 50 1/4: clear from 37 1/8 to 45 1/4; 37 would do among 32 and 50.
    pipe = look(play_case(make_pipe(inches("37 1/8"))), (1, EIGHTH)).penetrations[0]
    assert (pipe.state, pipe.clear_from2, pipe.clear_to2) == (
        "clear", 2 * inches("37 1/8"), 2 * inches("45 1/4")
    )  # fmt: skip
    short = look(play_case(make_pipe(inches("37 1/8") - TICK)), (1, EIGHTH)).penetrations[0]
    assert short.state == "tight"
    # 6 in across at 41 1/8: 9 in from 32 1/8, just 6 in of flank; a tick nearer and it is crowded.
    for x, state in ((inches("41 1/8"), "clear"), (inches("41 1/8") - TICK, "crowded")):
        curb = make_curb(x, across=inches(6))
        assert look(play_case(curb), (1, EIGHTH)).penetrations[0].state == state


def test_creep_goes_on_as_before() -> None:
    # Every 2 panels a control line, 1/16 in a panel: seams 0, 1, 2, 1, 2 sixteenths.
    # A pipe at 59 between 50 1/4 and 68 1/4: 8 3/4 - 1/2 - 2/16 against 9 1/4 - 1/2 - 1/16.
    case = play_case(make_pipe(inches(59)))
    case = replace(case, rules=replace(case.rules, cover_tol=inches("1/16")))
    pipe = look(case, (1, EIGHTH)).penetrations[0]
    assert (pipe.room2, pipe.worst_room2) == (2 * inches("8 1/4"), 2 * inches("8 1/8"))


def test_altered_stretches_are_charged_each() -> None:
    # 0.25 h x 100 = 25 each. The last is 100 - 14 - 36 1/4 - 35 31/32 = 13 25/32: even enough.
    judged = look(play_case(), (1, EIGHTH), (2, -FINE))
    assert judged.breaks == ()
    assert judged.cost == Cost(flashing=0, moves=0, odd_panels=0, look=0, play=5000)
    assert judged.cost.total == 5000
    assert judged.counts == (0,) * 12
    assert look(play_case(), (1, 0)).cost.play == 0  # no change, so not altered


def test_the_whole_order_with_play() -> None:
    # M = 100 in // 17 7/8 in + 1 = 5 + 1. One odd panel, 2, of 16 in: 14, 30, 48 1/8, 66 7/64,
    # 84 7/64 and 84 3/32: stretch 1 +1/8 (panel 3), stretch 2 -1/64 (panels 4 and 5).
    case = play_case(odd_panels=2)
    judged = look(case, (1, EIGHTH), (2, -FINE), odds=(Odd(0, 2, inches(16)),))
    assert judged.breaks == ()
    assert judged.planes[0].seams[-1] == inches("84 3/32")
    assert judged.order == (
        21000 + 5000,
        *(0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0),
        2,
        0,
        0,
        -inches(14),
        -inches(16),
        -2 * inches(22),  # centre at 22, from the left end
        2 * inches(22),
        EIGHTH + FINE,
        *(inches(14), 2, inches(16), 0, 0),
        *(EIGHTH, -FINE, 0, 0, 0, 0),
    )


def test_links_go_by_the_start_and_tell_how_far_the_seams_stray() -> None:
    # S's seams behind the first run 1/8, 1/4, 1/4, 1/4 off those of N.
    case = play_case(
        planes=(make_plane(), make_plane("N")), links=(make_link(mirror=False, must=True),)
    )
    judged = judge(case, Layout((inches(14), inches(14)), (), (), (Change(0, 1, EIGHTH),)))
    assert judged.breaks == ()
    assert (judged.links[0].meet, judged.links[0].strays2) == (True, 2 * inches("1/4"))


def test_what_cannot_be_judged() -> None:
    for changes, told in (
        (((4, FINE),), "There is no stretch 4 on plane S as it is laid: its stretches are 1 to 3."),
        (((0, FINE),), "There is no stretch 0 on plane S"),
        (((-1, FINE),), "There is no stretch -1 on plane S"),
        (((1, -COVER),), 'A change of -18" leaves nothing of the panels of stretch 1 of plane S: '
                         'their cover is 18".'),
        (((1, FINE), (1, 2 * FINE)), 'A change of +1/32" is named for stretch 1 of plane S, which '
                                     "has one already: name it once."),
    ):  # fmt: skip
        with pytest.raises(ChoiceError) as refused:
            look(play_case(), *changes)
        assert told in str(refused.value)
    assert look(play_case(), (1, TICK - COVER)).planes[0].stretches[0].module == TICK
    single = play_case(planes=(make_plane(width=COVER),))
    with pytest.raises(ChoiceError, match="no stretch 1 on plane S as it is laid: it has none"):
        look(single, (1, FINE), first=COVER)
    with pytest.raises(ChoiceError, match="A change of module is given for plane number -1"):
        judge(play_case(), Layout((inches(14),), (), (), (Change(-1, 1, FINE),)))


def test_compare_names_what_differs() -> None:
    case = play_case()
    mine = look(case, (2, FINE))
    other = (*mine.order[:-5], 0, *mine.order[-4:])  # stretch 2 of six
    with pytest.raises(DisagreementError, match=r"change 2 of S +254 +0"):
        compare(mine, mine.cost.total, mine.counts, other, case)
