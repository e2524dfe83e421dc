"""Clear distance between penetrations, every limit to the tick.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments.
"""

from __future__ import annotations

from solver.case import Penetration
from solver.checker.judge import judge
from solver.layout import Layout
from solver.result import Judged
from tests.unit.builders import codes, inches, look, make_case, make_curb, make_pipe, make_plane

TICK = 1


def pair(one: Penetration, other: Penetration, move: int, other_move: int = 0) -> Judged:
    """Both on one wide pan, where only the pair can break a rule."""
    case = make_case(
        one, other, planes=(make_plane(width=inches(200)),), cover=inches(200), step=TICK
    )
    return judge(case, Layout((inches(200),), (move, other_move)))


def test_two_pipes_keep_their_spacing_to_the_tick() -> None:
    # 4 in and 6 in: centres 2 + 3 + 12 = 17 in apart. Along the slope 8, along the eave 15:
    # 8 x 8 + 15 x 15 = 17 x 17.
    other = make_pipe(inches(100), "V2", y=inches(108), outside=inches(6))
    for side in (1, -1):
        one = make_pipe(inches(100) - side * inches(20), status="planned")
        to_limit = side * inches(5)
        assert codes(pair(one, other, to_limit - side)) == []
        assert codes(pair(one, other, to_limit)) == []
        near = pair(one, other, to_limit + side)
        assert codes(near) == ["near-pair"]
        assert near.breaks[0].about == ("V1", "V2")
        assert near.breaks[0].says == (
            'V1 would stand 11 15/16" from V2, body to body: at least 12" must stay between them.'
        )


def test_both_of_a_pair_may_move_and_count_once() -> None:
    one = make_pipe(inches(80), status="planned")
    other = make_pipe(inches(100), "V2", status="planned")
    # 20 apart, 16 allowed
    assert codes(pair(one, other, inches(2), -inches(2))) == []
    assert codes(pair(one, other, inches(2), -inches(2) - TICK)) == ["near-pair"]
    assert codes(pair(one, other, inches(12), inches(12))) == []  # apart as before


def test_a_pair_that_is_too_near_may_not_get_nearer() -> None:
    one = make_pipe(inches(95), status="planned")
    other = make_pipe(inches(105), "V2")  # 10 apart, 16 asked
    assert codes(pair(one, other, 0)) == []  # neither moved
    assert codes(pair(one, other, -TICK)) == []
    assert codes(pair(one, other, inches(20))) == ["beyond-reach"]  # 10 apart on the other side
    nearer = pair(one, other, TICK)
    assert codes(nearer) == ["near-pair"]
    assert nearer.breaks[0].says == (
        'V1 would stand 5 15/16" from V2, body to body; the case has it 6" from it, and where that '
        'is less than 12" a move may not bring the two nearer.'
    )
    twin = make_pipe(inches(105), "V2", status="planned")
    assert codes(pair(one, twin, inches(3), inches(3))) == []  # both as far apart as drawn


def test_overlapping_pipes_go_by_their_centres() -> None:
    one = make_pipe(inches(100), status="planned")
    other = make_pipe(inches(101), "V2")
    assert codes(pair(one, other, -TICK)) == []
    assert codes(pair(one, other, inches(2))) == []  # the same distance on the other side
    into = pair(one, other, TICK)
    assert codes(into) == ["near-pair"]
    assert "into V2" in into.breaks[0].says


def test_a_pipe_keeps_off_a_curb_by_its_corner() -> None:
    # Curb 20 x 30 about (100, 100): corner at (110, 115). A 4 in pipe keeps 2 + 12 = 14 to it;
    # straight beside it the centre stays at 110 + 14 = 124.
    curb = make_curb(inches(100))
    side = make_pipe(inches(130), status="planned", y=inches(115))
    assert codes(pair(side, curb, -inches(6))) == []
    assert codes(pair(side, curb, -inches(6) - TICK)) == ["near-pair"]
    # A pipe of 1 in keeps 12 1/2 = 25/2: 7/2 across and 24/2 up the slope (7-24-25).
    corner = make_pipe(inches(120), status="planned", y=inches(127), outside=inches(1))
    assert codes(pair(corner, curb, -inches("6 1/2"))) == []
    assert codes(pair(corner, curb, -inches("6 1/2") - TICK)) == ["near-pair"]
    above = make_pipe(inches(120), status="planned", y=inches(127) + TICK, outside=inches(1))
    assert codes(pair(above, curb, -inches("6 1/2") - TICK)) == []


def test_a_pipe_inside_a_curb_may_go_anywhere_inside() -> None:
    curb = make_curb(inches(100))
    pipe = make_pipe(inches(100), status="planned")
    assert codes(pair(pipe, curb, inches(5))) == []
    assert codes(pair(pipe, curb, inches(11))) == []  # getting out is never nearer
    outside = make_pipe(inches(115), status="planned")  # 5 in from the flank, 14 asked
    assert codes(pair(outside, curb, -TICK)) == ["near-pair"]
    assert codes(pair(outside, curb, TICK)) == []


def test_an_odd_curb_is_compared_exactly() -> None:
    # Half a tick more of curb than in the case above: 124 in is now half a tick too near.
    curb = make_curb(inches(100), across=inches(20) + TICK)
    side = make_pipe(inches(130), status="planned")
    assert codes(pair(side, curb, -inches(6))) == ["near-pair"]
    assert codes(pair(side, curb, -inches(6) + TICK)) == []


def test_other_planes_and_unmoved_pairs_are_exempt() -> None:
    far = make_pipe(inches(42), "V2", plane="N", y=inches(100))
    case = make_case(
        make_pipe(inches(41), status="planned"), far, planes=(make_plane(), make_plane("N"))
    )
    assert look(case, move=inches(1)).breaks == ()
    drawn = make_case(*(make_pipe(inches(41) + i, f"V{i}", status="planned") for i in range(3)))
    assert look(drawn).breaks == ()
    away = look(drawn, move=-inches(1))  # V0 gets away from both
    assert codes(away) == []


def test_a_curb_moved_against_the_rules_is_paired_too() -> None:
    one, other = make_curb(inches(60)), make_curb(inches(100), "C2")
    # Faces 70 and 90: 20 apart, 12 asked.
    assert codes(pair(one, other, inches(8))) == ["cannot-move"]
    assert codes(pair(one, other, inches(8) + TICK)) == ["cannot-move", "near-pair"]
