"""What the checker charges, summed by hand, and the whole order of two layouts.

The rates are round figures of the tests' own: crew 100 and plumber 120 an hour, with the hours and
material that the program assumes where a case gives none. One occurrence then costs, in cents:
tight 0.5 h = 5000; crosses 2 h + 35 = 23500; on-seam 5 h + 150 = 65000; seam cut 1.5 h + 40 =
19000; crowded 2 h + 60 = 26000; planned move 0.5 x 120 = 6000; stubbed move 1.5 x 120 + 45 =
22500; uneven 0.25 h = 2500; misaligned 1 h = 10000.
"""

from __future__ import annotations

import pytest

from solver.case import Case
from solver.checker.judge import judge
from solver.layout import Layout
from solver.result import COUNT_NAMES, Cost, Judged
from tests.unit.builders import (
    inches,
    make_case,
    make_curb,
    make_link,
    make_pipe,
    make_plane,
    make_rates,
    mm,
)


def look(case: Case, *moves: int, first: int | None = None) -> Judged:
    firsts = tuple(inches(14) if first is None else first for _ in case.planes)
    return judge(case, Layout(firsts, moves or (0,) * len(case.penetrations)))


def count(judged: Judged, name: str) -> int:
    return judged.counts[COUNT_NAMES.index(name)]


def test_a_roof_with_everything_clear_costs_nothing_extra() -> None:
    judged = look(make_case(make_pipe(inches(41)), make_curb(inches(59), across=inches(6))))
    assert judged.cost == Cost(flashing=0, moves=0, odd_panels=0, look=0)
    assert judged.cost.total == 0
    assert judged.counts == (0,) * 12


def test_every_pipe_state_and_curb_is_charged() -> None:
    # Seams at 14, 32, 50, 68 and 86 in. Pipes: one tight at 36 1/2, two crossing at 36 and 54, one
    # on the seam at 68. Curbs: 20 in about 41 spans two; 16 in about 38 cuts one and is crowded.
    case = make_case(
        make_pipe(inches("36 1/2"), "V1"),
        make_pipe(inches(36), "V2"),
        make_pipe(inches(54), "V3"),
        make_pipe(inches(68), "V4"),
        make_curb(inches(41), "C1"),
        make_curb(inches(38), "C2", across=inches(16)),
    )
    judged = look(case)
    # 5000 + 2 x 23500 + 65000 + 3 x 19000 + 26000 = 200000
    assert judged.cost == Cost(flashing=200000, moves=0, odd_panels=0, look=0)
    # on-seam cut cross tight crowded moved links off-centre unlanded odd uneven stock
    assert judged.counts == (1, 3, 2, 1, 1, 0, 0, 0, 0, 0, 0, 0)


def test_moves_cost_the_plumber_by_status() -> None:
    case = make_case(
        make_pipe(inches(36), "V1", status="planned"),
        make_pipe(inches(54), "V2", status="planned"),
        make_pipe(inches(75), "V3", status="stubbed"),
        make_pipe(inches(9), "V4", status="planned"),
    )
    judged = look(case, inches(1), inches(1), inches(3), 0)
    # V1 to 37 and V2 to 55: just clear; V3 from 75 to 78: clear; V4 stays. 2 x 6000 + 22500
    assert judged.breaks == ()
    assert judged.cost == Cost(flashing=0, moves=34500, odd_panels=0, look=0)
    assert count(judged, "moved") == 3


def test_what_is_moved_though_it_cannot_be_counts_but_has_no_rate() -> None:
    case = make_case(
        make_pipe(inches(41), "V1"),
        make_curb(inches(59), "C1", across=inches(6)),
        make_pipe(inches(77), "V2", status="planned", reach=0),
    )
    judged = look(case, inches(1), inches(18), 0)
    assert [breach.code for breach in judged.breaks[:2]] == ["cannot-move", "cannot-move"]
    assert (judged.cost.moves, count(judged, "moved")) == (0, 2)
    # A planned pipe has a rate, whatever its reach.
    assert look(case, 0, 0, inches(1)).cost.moves == 6000


@pytest.mark.parametrize(
    ("width", "uneven"),
    [
        # first 14 in, seams to 86 in, last = width - 86. 2 in are free, then whole inches count.
        ("100", 0), ("98", 0), ("97 1/16", 0), ("97", 1), ("96 15/16", 1), ("96", 2), ("92", 6),
        ("102", 0), ("102 15/16", 0), ("103", 1), ("104", 2),
    ],
)  # fmt: skip
def test_uneven_ends_count_in_whole_inches(width: str, uneven: int) -> None:
    judged = look(make_case(planes=(make_plane(width=inches(width)),)))
    assert count(judged, "uneven") == uneven
    assert judged.cost == Cost(flashing=0, moves=0, odd_panels=0, look=2500 * uneven)


def test_uneven_ends_count_to_the_tick() -> None:
    for width, uneven in ((inches(97), 1), (inches(97) + 1, 0)):
        assert count(look(make_case(planes=(make_plane(width=width),))), "uneven") == uneven


def test_uneven_ends_count_by_25_mm_in_a_metric_case() -> None:
    # 1000 mm under 300 mm, first 250: seams 250, 550, 850, last 150: 100 apart, 50 free, 2 x 25.
    # One mark more apart changes nothing, 25 mm are 25 mm and not an inch (25.4 mm).
    def uneven(width: int) -> int:
        case = make_case(
            planes=(make_plane(width=width),), units="mm", mark=mm(1), cover=mm(300),
            min_end=mm(100), uneven_free=mm(50),
        )  # fmt: skip
        return count(look(case, first=mm(250)), "uneven")

    assert uneven(mm(1000)) == 2
    assert uneven(mm(1000) + 1) == 1
    assert uneven(mm(999)) == 2
    assert uneven(mm(975)) == 3


def test_unevenness_is_summed_over_planes_after_rounding_each_down() -> None:
    # 3 3/4 and 3 3/4 apart: 1 + 1, not 3.
    planes = (make_plane(width=inches("96 1/4")), make_plane("N", width=inches("96 1/4")))
    judged = look(make_case(planes=planes))
    assert (count(judged, "uneven"), judged.cost.look) == (2, 5000)


def test_one_panel_is_never_uneven() -> None:
    case = make_case(planes=(make_plane(width=inches(10)),))
    assert count(look(case, first=inches(10)), "uneven") == 0


@pytest.mark.parametrize("must", [False, True])
def test_a_missed_link_is_charged_whether_it_must_or_not(must: bool) -> None:
    case = make_case(
        planes=(make_plane(), make_plane("N"), make_plane("W")),
        links=(make_link("S", "N", must=must), make_link("N", "W", must=must)),
    )
    met = judge(case, Layout((inches(14), inches(14), inches(14)), ()))
    assert (met.cost.total, count(met, "links_missed")) == (0, 0)
    both = judge(case, Layout((inches(14), inches(15), inches(14)), ()))
    assert (both.cost.look, count(both, "links_missed")) == (20000, 2)
    assert [breach.code for breach in both.breaks] == (["must-link"] * 2 if must else [])


def test_rates_are_rounded_to_cents_before_they_are_counted() -> None:
    # 0.333 h x 10.01 = 3.33333: 333 cents each, so three tight pipes cost 999 and not 1000.
    rates = make_rates(crew_hour="10.01", tight=("0.333", "0"))
    pipes = [make_pipe(inches(x), f"V{i}") for i, x in enumerate(("36 1/2", "54 1/2", "72 1/2"))]
    assert look(make_case(*pipes, rates=rates)).cost.flashing == 999
    # 0.5 h x 0.01 = half a cent, which goes up: 1 each, 3 for three.
    halves = make_rates(crew_hour="0.01", tight=("0.5", "0"))
    assert look(make_case(*pipes, rates=halves)).cost.flashing == 3


def test_the_whole_order_of_one_layout() -> None:
    # S 100 in, first 14, last 14. N 96 in from the right, first 13: last 96 - 13 - 72 = 11.
    # V1 moved from 36 to 37 1/2: room 5, needed 4 1/2, margin 1/2, so 1 short of 1 1/2 enough.
    # V2 at 41: room 8 1/2, margin 4, enough. V3 on N is tight: falls short by nothing.
    # N's seams: 96 - 13 - 72 = 11, 29, 47, …; 47 + 1/2 + 4 = 51 1/2 is tight.
    # C1 about 59 on S: 4 in across, flanks 7, margin 1: 1/2 short. C2 about 41 on S, 27 in across:
    # 27 1/2 .. 54 1/2, cuts 32 and 50, flanks 13 1/2, margin 7 1/2: enough.
    case = make_case(
        make_pipe(inches(36), "V1", status="planned", y=inches(10)),
        make_pipe(inches(41), "V2", y=inches(60)),
        make_pipe(inches("51 1/2"), "V3", plane="N"),
        make_curb(inches(59), "C1", across=inches(4), along=inches(4), y=inches(110)),
        make_curb(inches(41), "C2", across=inches(27), along=inches(4), y=inches(160)),
        planes=(make_plane(), make_plane("N", width=inches(96), lay="right-to-left")),
    )
    firsts, moves = (inches(14), inches(13)), (inches("1 1/2"), 0, 0, 0, 0)
    judged = judge(case, Layout(firsts, moves))
    assert judged.breaks == ()
    assert [pen.state for pen in judged.penetrations] == [
        "clear", "clear", "tight", "clear", "spans"
    ]  # fmt: skip
    # one tight 5000, two seams cut 38000, one planned move 6000; N is 2 in uneven, which is free
    assert judged.cost == Cost(flashing=43000, moves=6000, odd_panels=0, look=0)
    assert judged.order == (
        49000,
        *(0, 2, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0),
        0,  # no stretch of another module
        2 * inches("1 1/2"),  # shortfall in half ticks: 1 + 1/2
        inches("1 1/2"),  # distance moved
        -inches(11),  # the narrowest end, N's last
        *(0, 0, 0, 0),  # no odd panel: widths, distance to the next, to the start; no change
        *firsts,
        *moves,
    )  # fmt: skip


def test_a_crowded_curb_and_a_curb_without_neighbours_fall_short_by_nothing() -> None:
    crowded = look(make_case(make_curb(inches(38), across=inches(16))))
    assert crowded.order[14] == 0
    alone = look(make_case(make_curb(inches(50), across=inches(90))))
    assert (alone.penetrations[0].margin2, alone.order[14]) == (None, 0)


def test_signed_moves_and_distances_in_the_order() -> None:
    case = make_case(
        make_pipe(inches(41), "V1", status="planned"),
        make_pipe(inches(77), "V2", status="planned"),
    )
    judged = look(case, -inches(2), inches(1))
    assert judged.order[-2:] == (-inches(2), inches(1))
    assert judged.order[15] == inches(3)


def test_planes_without_a_seam_have_no_narrowest_end() -> None:
    bare = look(make_case(planes=(make_plane(width=inches(10)),)), first=inches(10))
    assert bare.order[16] == 0
    mixed = make_case(planes=(make_plane(), make_plane("N", width=inches(10))))
    judged = judge(mixed, Layout((inches(14), inches(10)), ()))
    assert judged.order[16] == -inches(14)
