"""Linked planes and forbidden states, every limit to the tick.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments.
"""

from __future__ import annotations

import pytest

from solver.case import Lay, Penetration
from solver.checker.judge import judge
from solver.layout import Layout
from solver.result import Judged
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


@pytest.mark.parametrize(
    ("pen", "state"),
    [
        (make_pipe(inches(36) + inches("1/2"), forbid=("tight",)), "tight"),
        (make_pipe(inches(36), forbid=("crosses",)), "crosses"),
        (make_pipe(inches(33), forbid=("on-seam",)), "on-seam"),
        (make_curb(inches(41), forbid=("spans",)), "spans"),
        (make_curb(inches(38), across=inches(16), forbid=("crowded",)), "crowded"),
    ],
)
def test_forbidden_states(pen: Penetration, state: str) -> None:
    judged = look(make_case(pen))
    assert judged.penetrations[0].state == state
    assert codes(judged) == ["forbidden"]
    assert judged.breaks[0].about == (pen.id,) and state.replace("-", " ").split()[0] in (
        judged.breaks[0].says
    )


def test_a_state_that_is_not_the_forbidden_one_passes() -> None:
    assert look(make_case(make_pipe(inches(36), forbid=("tight", "on-seam")))).breaks == ()
    # It cuts a seam, but its state is crowded, and only a state can be forbidden.
    assert look(make_case(make_curb(inches(38), across=inches(16), forbid=("spans",)))).breaks == ()


def linked(first: int, *, other_lay: Lay = "right-to-left", **kw: object) -> Judged:
    """S with a first width of 14 in, N with `first`, both 100 in wide."""
    case = make_case(
        planes=(make_plane(), make_plane("N", lay=other_lay)),
        links=(make_link(**kw),),  # type: ignore[arg-type]
    )
    return judge(case, Layout((inches(14), first), ()))


def test_mirror_links_meet_within_the_tolerance() -> None:
    # Seams of S at 14, 32, …: N, mirrored, wants 100 - 14 = 86 = 14 (mod 18). N laid from its right
    # end has seams at 100 - first, so first = 14 meets, and 1/4 in either way still does.
    for first, meet in (
        (inches(14), True),
        (inches("14 1/4"), True),
        (inches("13 3/4"), True),
        (inches("14 1/4") + TICK, False),
        (inches("13 3/4") - TICK, False),
    ):
        assert linked(first).links[0].meet is meet
        assert linked(first, other_lay="left-to-right").links[0].meet is meet


def test_mirror_turns_the_plane_round() -> None:
    # An offset of 3: seams of S at x meet 103 - x, so 103 - 14 = 89 = 17 (mod 18).
    assert linked(inches(17), offset=inches(3), other_lay="left-to-right").links[0].meet
    assert not linked(inches(11), offset=inches(3), other_lay="left-to-right").links[0].meet


def test_same_links_shift_the_plane() -> None:
    # 14 + 1 = 15 on N laid from the left; from the right the seams of N are at 100 - first, so
    # first = 85 = 13 (mod 18).
    assert linked(inches(15), mirror=False, offset=inches(1), other_lay="left-to-right").links[
        0
    ].meet
    assert linked(inches(13), mirror=False, offset=inches(1)).links[0].meet
    assert not linked(inches(15), mirror=False, offset=inches(1)).links[0].meet


def test_meeting_wraps_round_the_cover() -> None:
    # 14 + 3 3/4 = 17 3/4 = -1/4 (mod 18): a full panel on N (18 = 0) is 1/4 in off, and meets.
    kw: dict[str, object] = {"mirror": False, "other_lay": "left-to-right"}
    assert linked(inches(18), offset=inches("3 3/4"), **kw).links[0].meet  # type: ignore[arg-type]
    short = linked(inches(18), offset=inches("3 3/4") - TICK, **kw)  # type: ignore[arg-type]
    assert not short.links[0].meet


def test_stagger_asks_for_half_a_cover() -> None:
    # S wants 86 = 14 (mod 18) on N; half a cover off is 5 (or 23): 14 - 9.
    kw: dict[str, object] = {"stagger": True, "other_lay": "left-to-right"}
    for first, meet in (
        (inches(14), False),
        (inches(5), True),
        (inches("5 1/4"), True),
        (inches("5 1/4") + TICK, False),
        (inches("4 3/4"), True),
        (inches("4 3/4") - TICK, False),
    ):
        assert linked(first, **kw).links[0].meet is meet  # type: ignore[arg-type]


def test_half_of_an_odd_cover_is_exact() -> None:
    # Cover 5 ticks over 18 in: half is 2 1/2 ticks over 9 in. With no tolerance nothing whole
    # meets; with one tick the two nearest do.
    cover = inches(18) + 5
    planes = (make_plane(), make_plane("N"))
    for tol, meets in ((0, [False] * 4), (1, [False, True, True, False])):
        case = make_case(
            planes=planes, links=(make_link(mirror=False, stagger=True),), cover=cover, meet_tol=tol
        )
        firsts = [inches(5) + ticks for ticks in (-4, -3, -2, -1)]
        got = [judge(case, Layout((inches(14), f), ())).links[0].meet for f in firsts]
        # 14 in - first = 9 in + 4, 3, 2, 1 ticks, against 9 in + 2 1/2
        assert got == meets


def test_a_plane_without_a_seam_meets_anything() -> None:
    case = make_case(
        planes=(make_plane(), make_plane("N", width=inches(18))),
        links=(make_link(must=True), make_link(must=True, stagger=True)),
    )
    judged = judge(case, Layout((inches(14), inches(18)), ()))
    assert [link.meet for link in judged.links] == [True, True]
    assert judged.breaks == ()


def test_a_must_link_that_is_missed_is_a_breach() -> None:
    judged = linked(inches(16), must=True)
    assert codes(judged) == ["must-link"]
    assert judged.breaks[0].about == ("S", "N")
    assert "miss by 2" in judged.breaks[0].says
    assert linked(inches(16)).breaks == ()
