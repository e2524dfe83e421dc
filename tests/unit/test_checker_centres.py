"""Where the pattern should sit: pans and ribs on a point, to the tick; by hand.

With a first of 14 in the seams stand at 14, 32, 50, 68 and 86 in and the middles of the pans at 7,
23, 41, 59, 77 and 93. A missed centre costs 0.5 h x 100 = 50.
"""

from __future__ import annotations

import pytest

from solver.case import Case
from solver.case_parts import Centre
from solver.checker.judge import judge
from solver.layout import Layout, Odd
from solver.result import COUNT_NAMES, Judged, JudgedCentre
from tests.unit.builders import codes, inches, look, make_case, make_centre, make_plane

TICK = 1


def at(*centres: Centre, **rules: int) -> Case:
    return make_case(centres=centres, **rules)  # type: ignore[arg-type]


def missed(judged: Judged) -> int:
    return judged.counts[COUNT_NAMES.index("off_centre")]


def test_a_pan_on_a_point_to_the_tick() -> None:
    for x, hit in (
        (inches(41), True),
        (inches(42), True), (inches(42) + TICK, False),
        (inches(40), True), (inches(40) - TICK, False),
    ):  # fmt: skip
        judged = look(at(make_centre(x)))
        assert judged.centres == (
            JudgedCentre("S", "hip peak", "pan", x, hit, 2 * (inches(41) - x)),
        )
        assert (missed(judged), judged.cost.look) == ((0, 0) if hit else (1, 5000))
        assert judged.cost.total == judged.cost.look
        assert judged.breaks == ()


def test_a_rib_on_a_point_to_the_tick() -> None:
    for x, hit in (
        (inches(51), True), (inches(51) + TICK, False),
        (inches(49), True), (inches(49) - TICK, False),
    ):  # fmt: skip
        (centre,) = look(at(make_centre(x, "rib"))).centres
        assert (centre.hit, centre.off2) == (hit, 2 * (inches(50) - x))


def test_the_middle_of_a_pan_may_lie_on_half_a_tick() -> None:
    # A first of 14 1/16 in and a cover of 18 in and a tick: the second pan's middle is half a tick
    # off. 14 1/16 + 9 = 23 1/16.
    middle2 = 2 * inches("14 1/16") + inches(18) + TICK
    for tol, hit in ((inches(1), True), (inches(1) - TICK, False)):
        x = (middle2 - 2 * inches(1) + 1) // 2  # half a tick less than an inch away
        case = at(make_centre(x, tol=tol), cover=inches(18) + TICK)
        (centre,) = look(case, first=inches("14 1/16")).centres
        assert (centre.off2, centre.hit) == (2 * inches(1) - 1, hit)


@pytest.mark.parametrize(("x", "place"), [(7, 7), (93, 93), (0, 7), (100, 93)])
def test_the_end_panels_count(x: int, place: int) -> None:
    (centre,) = look(at(make_centre(inches(x), tol=inches(8)))).centres
    assert (centre.off2, centre.hit) == (2 * inches(place - x), True)


def test_ends_of_the_plane_are_no_ribs() -> None:
    (centre,) = look(at(make_centre(0, "rib"))).centres
    assert (centre.off2, centre.hit) == (2 * inches(14), False)


def test_of_two_equally_near_the_one_at_smaller_x_is_told() -> None:
    (rib,) = look(at(make_centre(inches(41), "rib"))).centres
    assert rib.off2 == -2 * inches(9)


def test_a_plane_of_one_panel_has_a_middle_and_no_rib() -> None:
    plane = make_plane(width=inches(10))
    centres = (make_centre(inches(5)), make_centre(inches(5), "rib", must=True, what="door"))
    judged = look(make_case(planes=(plane,), centres=centres), first=inches(10))
    pan, rib = judged.centres
    assert (pan.hit, pan.off2, rib.hit, rib.off2) == (True, 0, False, None)
    assert [breach.says for breach in judged.breaks] == [
        'The door of plane S at 5" must have a rib within 1": the plane has no rib.'
    ]


def test_odd_panels_count_where_they_lie() -> None:
    # Panel 3 of 12 in: 32 to 44, middle 38; the next from 44 to 62, middle 53.
    case = at(make_centre(inches(38)), make_centre(inches(53)), odd_panels=1)
    judged = judge(case, Layout((inches(14),), (), (Odd(0, 3, inches(12)),)))
    assert [centre.off2 for centre in judged.centres] == [0, 0]
    assert missed(look(case)) == 2


def test_centres_belong_to_their_plane_and_keep_their_order() -> None:
    planes = (make_plane(), make_plane("N", lay="right-to-left", width=inches(96)))
    # N's seams from the right: 96 - 14 = 82, 64, 46, 28, 10; middles 5, 19, 37, 55, 73, 89.
    case = make_case(
        planes=planes,
        centres=(make_centre(inches(37), plane="N"), make_centre(inches(41)),
                 make_centre(inches(10), "rib", plane="N")),
    )  # fmt: skip
    judged = look(case)
    assert [(c.plane, c.off2) for c in judged.centres] == [("N", 0), ("S", 0), ("N", 0)]


def test_a_must_is_a_breach_and_counts_all_the_same() -> None:
    judged = look(at(make_centre(inches(45) + TICK, must=True), make_centre(inches(45))))
    assert codes(judged) == ["must-centre"]
    assert judged.breaks[0].about == ("S",)
    assert judged.breaks[0].says == (
        "The hip peak of plane S at 3' 9\" must have the middle of a pan within 1\": the nearest "
        'is 4 1/16" off, at smaller x.'
    )
    assert (missed(judged), judged.cost.look) == (2, 10000)
    assert judged.centres[0].must and not judged.centres[1].must
    assert look(at(make_centre(inches(42), must=True))).breaks == ()


def test_it_stands_in_the_order_behind_links_missed() -> None:
    judged = look(at(make_centre(inches(45))))
    place = 1 + COUNT_NAMES.index("off_centre")
    assert judged.order[place] == 1
    assert [i for i, value in enumerate(judged.order[:place]) if value] == [0]
