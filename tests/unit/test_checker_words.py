"""The sentences of the checker: they name thing and value, and a broken limit reads as broken.

What is too little is written rounded down and what is asked at least rounded up (and the other way
round for what is too much), so that no sentence says that 12" is less than 12".
"""

from __future__ import annotations

import pytest

from solver.case import Case
from solver.checker.judge import judge
from solver.errors import ChoiceError
from solver.layout import Layout
from tests.unit.builders import (
    codes,
    inches,
    look,
    make_case,
    make_curb,
    make_link,
    make_pipe,
    make_plane,
)

TICK = 1


def says(case: Case, *, first: int = inches(14), move: int = 0) -> str:
    judged = look(case, first=first, move=move)
    assert len(judged.breaks) == 1, codes(judged)
    return judged.breaks[0].says


def test_a_single_panel() -> None:
    case = make_case(planes=(make_plane(width=inches(18) - TICK),))
    head = "Plane S is a single panel without seams: its first width is its own, "
    assert says(case, first=inches(18)) == head + '17 15/16", and not 18".'
    assert says(case, first=inches(18) - 2 * TICK) == head + '18", and not 17 15/16".'


def test_first_and_last_widths_against_limits_between_two_marks() -> None:
    short = make_case(planes=(make_plane(width=inches(91)),), min_end=inches(5) + 2 * TICK)
    assert says(short) == 'The last width of plane S is 5": it must be at least 5 1/16".'
    wide = make_case(planes=(make_plane(width=inches(103)),), cover=inches(16) - TICK)
    assert says(wide, first=inches(16)) == (
        'The first width of plane S is 16": it must be at most a full panel, 15 15/16".'
    )
    one_more = make_case(planes=(make_plane(width=inches(92) - TICK),))
    assert says(one_more).startswith('The last width of plane S is 5 15/16":')


def test_first_width_between_two_marks() -> None:
    assert says(make_case(), first=inches("14 1/32") - TICK) == (
        'The first width of plane S falls between two marks, at about 14": it must be a whole '
        'number of 1/16", or a full panel of 18".'
    )


def test_steps_reach_and_offset() -> None:
    planned = make_pipe(inches(41), status="planned", reach=inches(2) - TICK)
    assert says(make_case(planned), move=inches("3/4")) == (
        'V1 is moved by about 3/4": a move is a whole number of steps of 1/2".'
    )
    assert says(make_case(planned), move=inches(2)) == (
        'V1 is moved by 2" towards the S right end: it reaches at most 1 15/16" that way.'
    )
    stubbed = make_pipe(inches(41), status="stubbed", min_offset=inches(3) + TICK)
    assert says(make_case(stubbed), move=-inches(3)) == (
        'V1 is stubbed in and moved by 3": fittings offset it by at least 3 1/16", or it stays.'
    )
    barely = make_pipe(inches(41), status="stubbed", min_offset=inches(3))
    assert says(make_case(barely, step=TICK), move=TICK - inches(3)) == (
        'V1 is stubbed in and moved by 2 15/16": fittings offset it by at least 3", or it stays.'
    )


def test_what_stays() -> None:
    assert says(make_case(make_pipe(inches(41), hold="shaft wall")), move=inches(1)) == (
        "V1 cannot move: it is held (shaft wall)."
    )
    curb = make_curb(inches(59), across=inches(4))
    assert says(make_case(curb), move=TICK) == "C1 cannot move: a curb stays where it is."


def test_an_end_is_named_and_its_distance_not_overstated() -> None:
    pipe = make_pipe(inches(80), status="planned")
    case = make_case(pipe, cover=inches(100), step=TICK)
    assert says(case, first=inches(100), move=inches(6) + TICK) == (
        'V1 would stand 13 15/16" from the S right end, centre to end: a moved pipe keeps at '
        'least 14".'
    )


def test_a_moved_pipe_that_is_not_clear() -> None:
    # needed = 8/2 in and half a tick, plus 1/2 in; moved to exactly 4 1/2 in of room.
    pipe = make_pipe(inches(41), base=inches(8) + TICK, status="planned")
    assert says(make_case(pipe), move=inches(4)) == (
        'V1 would not be clear after its move (it is tight in its pan), with 4 1/2\" of '
        'room: a moved pipe must end clear, with at least 4 9/16".'
    )


def test_spacing_between_two_marks() -> None:
    one = make_pipe(inches(80), status="planned")
    two = make_pipe(inches(102), "V2")
    planes = (make_plane(width=inches(200)),)
    # 22 apart, 18 body to body; 6 nearer is 12, where one tick more is asked.
    case = make_case(one, two, planes=planes, cover=inches(200), spacing=inches(12) + TICK)
    assert says(case, first=inches(200), move=inches(6)) == (
        'V1 would stand 12" from V2, body to body: at least 12 1/16" must stay between them.'
    )
    # Drawn 22 apart less 4 is 18 in, 18 in and a tick is asked: nearer by 1/2 is refused.
    near = make_case(one, two, planes=planes, cover=inches(200), spacing=inches(18) + TICK)
    assert says(near, first=inches(200), move=inches("1/2")) == (
        'V1 would stand 17 1/2" from V2, body to body; the case has it 18" from it, and where '
        'that is less than 18 1/16" a move may not bring the two nearer.'
    )


def test_spacing_drawn_exactly_as_asked_and_a_spacing_of_nothing() -> None:
    two = make_pipe(inches(102), "V2")
    planes = (make_plane(width=inches(200)),)
    # Drawn 16 apart, 12 body to body: just what is asked, so the plain rule is what it breaks.
    one = make_pipe(inches(86), status="planned")
    exact = make_case(one, two, planes=planes, cover=inches(200))
    assert says(exact, first=inches(200), move=inches("1/2")) == (
        'V1 would stand 11 1/2" from V2, body to body: at least 12" must stay between them.'
    )
    bare = make_case(one, two, planes=planes, cover=inches(200), spacing=0, step=TICK)
    assert look(bare, first=inches(200), move=inches(12)).breaks == ()  # touching
    beyond = make_pipe(inches(90), status="planned")
    into = make_case(beyond, two, planes=planes, cover=inches(200), spacing=0, step=TICK)
    assert says(into, first=inches(200), move=inches(8) + TICK) == (
        'V1 would stand 1/16" into V2, body to body: at least 0" must stay between them.'
    )
    # Drawn a tick less than 12 1/16 apart: written as 12 1/16, never as less than it is.
    off = make_pipe(inches("85 15/16") + TICK, status="planned")
    near = make_case(off, two, planes=planes, cover=inches(200), spacing=inches(13))
    assert 'the case has it 12 1/16" from it' in says(near, first=inches(200), move=inches(1))


def test_overlap_is_given_as_a_depth() -> None:
    one = make_pipe(inches(101), status="planned")
    two = make_pipe(inches(104), "V2")  # 3 apart, bodies 4: 1 in into each other
    case = make_case(one, two, planes=(make_plane(width=inches(200)),), cover=inches(200))
    assert says(case, first=inches(200), move=inches(1)) == (
        'V1 would stand 2" into V2, body to body; the case has it 1" into it, and where that is '
        'less than 12" a move may not bring the two nearer.'
    )


def test_a_must_link() -> None:
    case = make_case(
        planes=(make_plane(), make_plane("N", lay="right-to-left")),
        links=(make_link(must=True),),
        meet_tol=inches("1/4") + TICK,
    )
    judged = judge(case, Layout((inches(14), inches("14 5/16")), ()))
    assert [breach.says for breach in judged.breaks] == [
        'The seams of planes S and N must line up as their link asks, within 1/4", but miss by '
        '5/16".'
    ]
    assert judged.links[0].must and not judged.links[0].meet


def test_a_forbidden_state() -> None:
    assert says(make_case(make_pipe(inches(36), forbid=("crosses",)))) == (
        "V1 crosses a seam with its flashing, which the case forbids for it."
    )


def test_what_cannot_be_judged() -> None:
    with pytest.raises(ChoiceError) as first:
        look(make_case(), first=inches(120))
    assert str(first.value) == (
        'A first width of 120" puts no seam on plane S: it lies between 0 and the plane\'s width '
        'of 100".'
    )
    with pytest.raises(ChoiceError) as off:
        look(make_case(make_pipe(inches(41), status="planned")), move=inches(60))
    assert str(off.value) == (
        'A move of 60" takes V1 off plane S, to 101": the plane runs from 0 to 100".'
    )
