"""Where the roof ends beside a pipe at its own height, and what follows from it; by hand.

On the hip plane of `builders.HIP` the hips stand y in from 0 and from 100 at a height of y. Seams
at 14, 32, 50, 68 and 86 in, half an inch to a side; a pipe needs 4 1/2 in, an end lap takes 4.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.case import Lay, Penetration, Plane
from solver.case_parts import Hole, Outline
from solver.checker.outlines import ends_beside
from solver.errors import ChoiceError
from solver.result import JudgedPenetration
from tests.unit.builders import (
    HIP,
    codes,
    inches,
    look,
    make_case,
    make_hole,
    make_outline,
    make_outlined,
    make_pipe,
    make_plane,
)

TICK = 1


def small(*points: tuple[int, int], hole: tuple[tuple[int, int], ...] = ()) -> Plane:
    """A plane of a few ticks."""
    plane = make_plane(width=max(x for x, _ in points), length=max(y for _, y in points))
    holes = (Hole("yard", Outline(hole, ("wall",) * len(hole))),) if hole else ()
    return replace(plane, outline=Outline(points, ("hip",) * len(points)), holes=holes)


# ------------------------------------------------------------------ the ends themselves


@pytest.mark.parametrize(
    ("y", "ends"),
    [(0, (0, 100)), (1, (1, 99)), (2, (1, 99)), (3, (1, 99)), (4, (2, 98)), (30, (10, 90))],
)
def test_ends_are_rounded_towards_the_roof(y: int, ends: tuple[int, int]) -> None:
    # Hips 3 up for 1 along: at y they stand at y / 3 and 100 - y / 3.
    assert ends_beside(small((0, 0), (100, 0), (90, 30), (10, 30)), 50, y) == ends


def test_a_point_off_the_roof_has_no_ends() -> None:
    plane = small((0, 0), (100, 0), (90, 30), (10, 30))
    assert ends_beside(plane, 50, 31) is None
    assert ends_beside(plane, 50, -1) is None
    assert ends_beside(plane, 10, 30) == (10, 90)
    assert ends_beside(plane, 9, 30) is None
    assert ends_beside(plane, 9, 27) == (9, 91)
    assert ends_beside(plane, 8, 27) is None


HOLE = ((40, 20), (60, 20), (60, 40), (40, 40))


@pytest.mark.parametrize(
    ("x", "y", "ends"),
    [
        (30, 30, (0, 40)), (70, 30, (60, 100)), (40, 30, (0, 40)), (60, 30, (60, 100)),
        (41, 30, None), (50, 19, (0, 100)), (50, 20, (0, 100)), (50, 21, None),
        (50, 40, (0, 100)), (30, 21, (0, 40)),
    ],
)  # fmt: skip
def test_the_edge_of_a_hole_belongs_to_the_roof(
    x: int, y: int, ends: tuple[int, int] | None
) -> None:
    plane = small((0, 0), (100, 0), (100, 60), (0, 60), hole=HOLE)
    assert ends_beside(plane, x, y) == ends


def test_a_valley_notch_parts_the_roof_above_its_point() -> None:
    # A notch from the ridge down to (50, 20): below and at its point the roof goes through.
    plane = small((0, 0), (100, 0), (100, 60), (60, 60), (50, 20), (40, 60), (0, 60))
    assert ends_beside(plane, 10, 20) == (0, 100)
    assert ends_beside(plane, 10, 24) == (0, 49)
    assert ends_beside(plane, 90, 24) == (51, 100)
    assert ends_beside(plane, 90, 21) == (51, 100)  # 50 1/4, inwards
    assert ends_beside(plane, 10, 60) == (0, 40)


def test_a_plain_rectangle_ends_at_nothing_and_at_its_width() -> None:
    for x in (-5, 0, 50, 200):
        assert ends_beside(make_plane(width=100, length=10), x, 99) == (0, 100)


# ------------------------------------------------------------------ room


def stand(pen: Penetration, *, lay: Lay = "left-to-right", **rules: int) -> JudgedPenetration:
    plane = make_outlined(HIP, lay=lay)
    return look(make_case(pen, planes=(plane,), **rules)).penetrations[0]  # type: ignore[arg-type]


def test_room_beside_a_hip_to_the_tick() -> None:
    # At 12 in up the roof runs from 12 to 88. Its lap reaches to 16, farther than the seam at 14
    # (14 1/2): clear from 16 + 4 1/2 = 20 1/2 to 32 - 1/2 - 4 1/2 = 27.
    at = stand(make_pipe(inches("20 1/2"), y=inches(12)))
    assert (at.state, at.room2, at.margin2) == ("clear", 2 * inches("4 1/2"), 0)
    assert (at.clear_from2, at.clear_to2) == (2 * inches("20 1/2"), 2 * inches(27))
    for pipe in (
        make_pipe(inches("20 1/2") - TICK, y=inches(12)),
        make_pipe(inches("20 1/2"), y=inches(12) + TICK),
    ):
        off = stand(pipe)
        assert (off.state, off.margin2) == ("tight", -2)
    high = stand(make_pipe(inches("79 1/2"), y=inches(12)))
    assert (high.state, high.margin2) == ("clear", 0)
    assert (high.clear_from2, high.clear_to2) == (2 * inches(73), 2 * inches("79 1/2"))
    assert stand(make_pipe(inches("79 1/2") + TICK, y=inches(12))).state == "tight"


def test_the_ends_given_in_the_case_are_not_read() -> None:
    pipe = replace(make_pipe(inches("20 1/2"), y=inches(12)), ends=(0, inches(100)))
    assert stand(pipe) == stand(replace(pipe, ends=None))


def test_the_width_tolerance_comes_off_the_high_end_only() -> None:
    tol = inches("1/4")
    low = stand(make_pipe(inches("20 1/2"), y=inches(12)), width_tol=tol)
    assert (low.worst_margin2, low.state) == (0, "clear")
    pipe = make_pipe(inches("79 1/2"), y=inches(12))
    high = stand(pipe, width_tol=tol)
    assert (high.worst_margin2, high.state) == (-2 * tol, "clear")
    robust = stand(pipe, width_tol=tol, robust=True)
    assert robust.state == "tight"
    assert robust.clear_to2 == 2 * (inches("79 1/2") - tol)


def test_a_dormer_wall_is_an_end_too() -> None:
    # Walls at 55 and 75 beside a pipe in the pan from 32 to 50: 55 - 4 - 4 1/2 = 46 1/2 is farther
    # than the seam allows (45); with the wall at 53 it is clear to 44 1/2 only.
    outline = make_outline((0, 0, "eave"), (100, 0, "rake"), (100, 90, "ridge"), (0, 90, "rake"))
    for wall, upto in ((55, 45), (53, "44 1/2")):
        dormer = make_hole((wall, 30), (75, 30), (75, 60), (wall, 60))
        plane = make_outlined(outline, holes=(dormer,))
        pipe = look(make_case(make_pipe(inches(40), y=inches(45)), planes=(plane,))).penetrations[0]
        assert pipe.clear_to2 == 2 * inches(upto)


# ------------------------------------------------------------------ moves


def test_a_moved_pipe_keeps_off_the_hip_to_the_tick() -> None:
    # 4 in through: 2 + 12 = 14 in from the ends, centre to end; from 26 to 27 it is clear as well.
    for y, broken in ((inches(12), []), (inches(12) + TICK, ["near-edge"])):
        pipe = make_pipe(inches(30), y=y, status="planned")
        judged = look(make_case(pipe, planes=(make_outlined(HIP),)), move=-inches(4))
        assert codes(judged) == broken
    assert judged.breaks[0].says == (
        'V1 would stand 13 15/16" from the end of the roof towards the S left end, centre to end: '
        'a moved pipe keeps at least 14".'
    )
    high = make_pipe(inches(70), y=inches(12) + TICK, status="planned")
    judged = look(make_case(high, planes=(make_outlined(HIP),)), move=inches(4))
    assert codes(judged) == ["near-edge"] and "S right end" in judged.breaks[0].says


def test_a_move_off_the_roof_has_no_meaning() -> None:
    # At 12 in up the roof begins at 12: a move by -18 from 30 ends just there, a tick more is off.
    case = make_case(
        make_pipe(inches(30), y=inches(12), status="planned"), planes=(make_outlined(HIP),)
    )
    assert "near-edge" in codes(look(case, move=-inches(18)))
    with pytest.raises(ChoiceError) as off:
        look(case, move=-inches(18) - TICK)
    assert str(off.value) == (
        'A move of -18" takes V1 off plane S, to 12": the plane runs from 12" to 88" at the height '
        "of V1."
    )


def test_a_penetration_off_the_roof_cannot_be_judged() -> None:
    case = make_case(make_pipe(inches(5), y=inches(12)), planes=(make_outlined(HIP),))
    with pytest.raises(ChoiceError, match='V1 stands off plane S, at x 5" and y 12"'):
        look(case)
