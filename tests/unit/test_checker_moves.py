"""Which moves the rules allow, every limit to the tick.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments.
"""

from __future__ import annotations

from solver.case import Keepout, Penetration
from solver.result import Judged
from tests.unit.builders import codes, inches, look, make_case, make_curb, make_pipe, make_plane

TICK = 1


# A planned pipe at 41 in may go from 37 to 45 in and stay clear.


def moved(move: int, pen: Penetration | None = None, **kw: int) -> Judged:
    case = make_case(pen or make_pipe(inches(41), status="planned"), **kw)  # type: ignore[arg-type]
    return look(case, move=move)


def test_a_move_is_whole_steps() -> None:
    assert moved(inches(1)).breaks == ()
    assert moved(inches("-1/2")).breaks == ()
    assert codes(moved(inches(1) + TICK)) == ["whole-steps"]
    assert codes(moved(inches("3/4"))) == ["whole-steps"]
    judged = moved(-inches(2))
    assert (judged.penetrations[0].x, judged.penetrations[0].moved) == (inches(39), -inches(2))


def test_reach_towards_each_end() -> None:
    pipe = make_pipe(inches(41), status="planned", reach=(inches(1), inches(2)))
    assert moved(-inches(1), pipe).breaks == ()
    assert moved(inches(2), pipe).breaks == ()
    low, high = moved(-inches("1 1/2"), pipe), moved(inches("2 1/2"), pipe)
    assert codes(low) == codes(high) == ["beyond-reach"]
    assert low.breaks[0].says == (
        'V1 is moved by 1 1/2" towards the S left end: it reaches at most 1" that way.'
    )
    assert "S right end" in high.breaks[0].says
    barely = moved(inches(2) + TICK, pipe, step=TICK)
    assert codes(barely) == ["beyond-reach"]
    assert '2 1/16" towards' in barely.breaks[0].says
    one_way = make_pipe(inches(41), status="planned", reach=(0, inches(2)))
    assert codes(moved(-inches("1/2"), one_way)) == ["beyond-reach"]


def test_a_stubbed_pipe_needs_a_real_offset() -> None:
    pipe = make_pipe(inches(41), status="stubbed", min_offset=inches(3))
    assert moved(0, pipe).breaks == ()
    for sign in (1, -1):
        assert moved(sign * inches(3), pipe).breaks == ()
        assert codes(moved(sign * inches("2 1/2"), pipe)) == ["below-offset"]
        assert codes(moved(sign * (inches(3) - TICK), pipe, step=TICK)) == ["below-offset"]
    planned = make_pipe(inches(41), status="planned", min_offset=inches(3))
    assert moved(inches("1/2"), planned).breaks == ()


def test_what_cannot_move() -> None:
    fixed = make_pipe(inches(41))
    held = make_pipe(inches(41), hold="shaft wall")
    stuck = make_pipe(inches(41), status="planned", reach=0)
    for pen, why in ((fixed, "fixed"), (held, "shaft wall"), (stuck, "reach is 0")):
        judged = moved(inches(1), pen)
        assert codes(judged) == ["cannot-move"]
        assert why in judged.breaks[0].says
        assert judged.penetrations[0].x == inches(42)
        assert moved(0, pen).breaks == ()
    reroof = look(make_case(fixed, reroof=True), move=inches(1))
    assert "re-roof" in reroof.breaks[0].says
    curb = moved(inches(20), make_curb(inches(41), across=inches(4)))
    assert codes(curb) == ["cannot-move"]  # stands a pan further on and on the seam's near side
    assert curb.penetrations[0].x == inches(61)


def test_a_fixed_pipe_that_is_moved_still_obeys_its_new_place() -> None:
    judged = moved(inches(9), make_pipe(inches(41)))
    assert codes(judged) == ["cannot-move", "not-clear"]
    assert judged.penetrations[0].state == "on-seam"


def test_a_moved_pipe_must_end_clear() -> None:
    assert moved(inches(4)).breaks == ()  # 45 in: exactly clear
    short = moved(inches(4) + TICK, step=TICK)
    assert codes(short) == ["not-clear"]
    assert short.breaks[0].says == (
        'V1 would not be clear after its move (it is tight in its pan), with 4 7/16\" of '
        'room: a moved pipe must end clear, with at least 4 1/2".'
    )
    drawn = make_case(make_pipe(inches(48), status="planned"))
    assert look(drawn).breaks == ()  # on-seam as drawn breaks no move rule


def test_edge_gap_from_both_ends() -> None:
    # 4/2 + 12 = 14 in from an end, on a plane of one wide pan so that nothing else binds.
    for end_x, inward in ((inches(14), TICK), (inches(86), -TICK)):
        for x, expected in ((end_x + inward, []), (end_x, []), (end_x - inward, ["near-edge"])):
            start = make_pipe(x + 10 * inward, status="planned")
            case = make_case(start, cover=inches(100), step=TICK)
            judged = look(case, first=inches(100), move=-10 * inward)
            assert codes(judged) == expected
    odd = make_pipe(inches(14) + 10, status="planned", outside=inches(4) + TICK)
    case = make_case(odd, cover=inches(100), step=TICK)
    assert codes(look(case, first=inches(100), move=-10)) == ["near-edge"]  # half a tick short
    assert codes(look(case, first=inches(100), move=-9)) == []
    assert look(case, first=inches(100), move=-10).breaks[0].says == (
        'V1 would stand 14" from the S left end, centre to end: a moved pipe keeps at least '
        '14 1/16".'
    )
    there = make_case(make_pipe(inches(2), status="planned"), cover=inches(100))
    assert look(there, first=inches(100)).breaks == ()  # where the case put it


def test_keepout_strip() -> None:
    # A beam from 44 to 46 in: the 4 in pipe may touch it at 42 in or 48 in, not a tick nearer.
    beam = Keepout(inches(44), inches(46), None, None, "beam")
    plane = make_plane(keepouts=(beam,))
    for touch, away in ((inches(42), -TICK), (inches(48), TICK)):
        for x, expected in ((touch + away, []), (touch, []), (touch - away, ["in-keepout"])):
            pipe = make_pipe(x + 20, status="planned")
            case = make_case(pipe, planes=(plane,), cover=inches(100), step=TICK)
            judged = look(case, first=inches(100), move=-20)
            assert codes(judged) == expected
    inside = make_case(
        make_pipe(inches(45), status="planned"), planes=(plane,), cover=inches(100)
    )
    assert look(inside, first=inches(100)).breaks == ()  # stands there as drawn
    still = look(inside, first=inches(100), move=inches("1/2"))
    assert codes(still) == ["in-keepout"]
    assert "beam from 3' 8\" to 3' 10\"" in still.breaks[0].says


def test_keepout_rectangle_is_met_at_its_corner() -> None:
    # A 10 in pipe (radius 5) and the corner (44, 103) from (40, 100): 4, 3 away, so 5: it touches.
    corner = Keepout(inches(44), inches(60), inches(103), inches(120), "hatch")
    plane = make_plane(keepouts=(corner,))
    for dx, dy, expected in ((0, 0, []), (TICK, 0, ["in-keepout"]), (0, TICK, ["in-keepout"])):
        pipe = make_pipe(
            inches(39) + dx, y=inches(100) + dy, outside=inches(10), base=inches(10),
            status="planned",
        )  # fmt: skip
        case = make_case(pipe, planes=(plane,), cover=inches(100), step=TICK)
        assert codes(look(case, first=inches(100), move=inches(1))) == expected
    below = make_pipe(inches(50), y=inches(98), outside=inches(10), base=inches(10),
                      status="planned")  # fmt: skip
    case = make_case(below, planes=(plane,), cover=inches(100))
    assert look(case, first=inches(100), move=inches(1)).breaks == ()  # touches from below
