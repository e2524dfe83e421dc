"""The arithmetic behind a conflict: by hand, and against every place of the seams."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from cli.report.why_words import Tape, pair_words, single_words
from solver.case import Case, Lay, Penetration
from solver.checker.judge import judge
from solver.conflicts.groups import explain
from solver.conflicts.result import Group
from solver.conflicts.sums import seams_alone
from solver.conflicts.world import World
from solver.layout import Layout
from unit.builders import inches, make_case, make_curb, make_pipe, make_plane


def groups(case: Case) -> list[Group]:
    return list(explain(case).groups)


def narrow(x: str | int, name: str, base: int = 8) -> Penetration:
    """A pipe of 4 in with a base of 8 in: with 1/2 in of gap it needs 4 1/2 in of room."""
    return make_pipe(inches(x), name, base=inches(base))


def test_two_pipes_half_a_cover_apart_by_hand() -> None:
    """27 in apart: 9 in over one 18 in pan, 9 in short of two.

    Each needs 4 1/2 in, a seam takes 1/2 in a side: 10 in for a seam between them. 1 in is missing.
    """
    case = make_case(narrow(40, "V3"), narrow(67, "V7"))
    (group,) = groups(case)
    pair = group.pair
    assert pair is not None and group.ids == ("V3", "V7")
    assert (pair.pans, pair.over, pair.short) == (1, inches(9), inches(9))
    assert pair.between2 == pair.around2 == 2 * inches(10)
    assert pair.further2 == pair.nearer2 == 2 * inches(1)
    assert pair_words(Tape(case), pair) == (
        'V3 and V7 stand 27" apart: 9" over one 18" pan, 9" short of two. Each needs 4 1/2" beside '
        'its centre and a seam\'s two sides take 1": a seam between them needs 10". Seams repeat '
        'every 18", so one always runs between the two in 9" on one hand or on the other: one of '
        'the two always meets a seam. They would have to stand at least 1" further apart or 1" '
        "nearer together."
    )


def test_a_plane_laid_from_a_line_has_no_sum_of_its_seams() -> None:
    """Left of its line the seams turn their sides, and it has one start only: no sum is given, and
    what each of two pipes 27 in apart meets there is told one by one."""
    case = make_case(
        narrow(40, "V3"), narrow(67, "V7"),
        planes=(make_plane(lay="from", start=inches(50)),),
    )
    found = groups(case)  # seams at 14, 32, 50, 68 and 86 in: V7 is an inch off one
    assert [group.ids for group in found] == [("V7",)]
    assert found[0].pair is None
    turned = make_case(
        narrow(40, "V3"), narrow(67, "V7"), seam_back=0, seam_fwd=inches(2),
        planes=(make_plane(lay="from", start=inches(44)),),
    )
    # Seams at 8, 26, 44, 62 and 80: V3 is 4 in left of the line, V7 5 in right of a seam.
    world = World(turned, (0,), (0, 1))
    assert not seams_alone(world, 0)
    assert not seams_alone(world, 1)


def test_thirty_and_a_half_inches_apart_at_five_inches_each_is_no_conflict() -> None:
    """12 1/2 in over one 18 in pan: a seam fits in 12 1/2 in where 5 + 5 in and its sides do."""
    pens = narrow(40, "V3", 9), narrow("70 1/2", "V7", 9)
    assert explain(make_case(*pens, min_end=inches(1))).all_clear
    wider = tuple(replace(pen, base=inches(12)) for pen in pens)  # 6 1/2 in each and 1 in: 14 in
    assert [group.ids for group in groups(make_case(*wider, min_end=inches(1)))
            ] == [("V3", "V7")]


@pytest.mark.parametrize("lay", ["left-to-right", "right-to-left"])
def test_the_needs_follow_the_order_of_laying(lay: Lay) -> None:
    """Sides 1/4 in back and 1 in forward: a pipe and a curb keep unlike distances."""
    case = make_case(
        narrow(40, "V1"), make_curb(inches(85), "C1", across=inches(8)),
        planes=(make_plane(width=inches(130), lay=lay),), curb_side=inches("1/2"),
        seam_back=inches("1/4"), seam_fwd=inches(1), work_gap=inches(2),
    )
    (group,) = groups(case)
    pair = group.pair
    assert pair is not None
    needs = {need.id: (need.before2, need.after2) for need in (pair.one, pair.other)}
    assert needs["V1"] == (2 * inches(7), 2 * inches("6 1/4"))  # 6 in of room
    assert needs["C1"] == (2 * inches(5), 2 * inches("4 1/2"))  # half of 8 in; 1 in and 1/2 in
    first, second = ("V1", "C1") if lay == "left-to-right" else ("C1", "V1")
    assert (pair.one.id, pair.other.id) == (first, second)
    assert pair.between2 == needs[first][1] + needs[second][0]
    assert pair.around2 == needs[second][1] + needs[first][0]


def test_a_curb_wider_than_a_pan_by_hand() -> None:
    """34 in and 6 in on either side: 46 in, and a pan has 18 in."""
    case = make_case(make_curb(inches(50), "C1", across=inches(34)))
    (group,) = groups(case)
    assert single_words(Tape(case), group) == [
        'C1 is 34" across and keeps 6" to the seam on either side: 46" from seam to seam. A pan '
        'has 18".'
    ]


def test_a_base_too_wide_for_the_flat_by_hand() -> None:
    """18 in of base and 1/2 in on either side: 19 in, and a pan has 18 in less two sides: 17 in."""
    case = make_case(narrow(50, "F1", 18))
    (group,) = groups(case)
    assert single_words(Tape(case), group) == [
        'F1 needs 9 1/2" on either side of its centre: 19" of flat. A pan of 18" has 17".'
    ]


def test_a_pipe_under_the_turn_up_by_hand() -> None:
    """6 in from the end, of which the end lap takes 4 in: 2 in, and 4 1/2 in are needed."""
    case = make_case(narrow(6, "V1"))
    (group,) = groups(case)
    assert single_words(Tape(case), group) == [
        'V1 stands 6" from the S left end. The turn-up there takes 4": 2" is left, and it needs '
        '4 1/2" beside its centre.'
    ]
    assert [[t.kind for t in relief.things] for relief in group.reliefs] == [["end-lap"]]


def clear_somewhere(case: Case) -> bool:
    """Whether a first width on some tick leaves everything clear, by the checker."""
    cover = case.panel.cover
    return any(
        all(pen.state == "clear" for pen in judge(
            case, Layout((first,), (0,) * len(case.penetrations))).penetrations)
        for first in range(1, cover + 1)
    )


@pytest.mark.parametrize("seed", range(150))
def test_a_pair_sum_is_exact_to_the_tick(seed: int) -> None:
    """Small even numbers, the mark a tick: what the sum says is missing is just missing.

    A sum is given exactly where the pair is excluded; moved apart (or together) by what it says the
    two can be clear, moved by a tick less they cannot.
    """
    draw = random.Random(seed)
    cover = draw.randrange(20, 40)
    width = 30 * cover + draw.randrange(cover)
    lay: Lay = draw.choice(["left-to-right", "right-to-left"])

    def some(name: str, x: int) -> Penetration:
        if draw.random() < 0.3:
            return make_curb(x, name, across=2 * draw.randrange(1, cover // 4), along=2)
        outside = 2 * draw.randrange(1, 4)
        return make_pipe(x, name, outside=outside, base=outside + 2 * draw.randrange(cover // 4))

    one, other = some("A", 10 * cover), some("B", 15 * cover + draw.randrange(cover))
    case = make_case(
        one, other, planes=(make_plane(width=width, lay=lay),), cover=cover, mark=1, min_end=1,
        end_lap=0, seam_back=draw.randrange(4), seam_fwd=draw.randrange(4),
        work_gap=draw.randrange(3), curb_side=draw.randrange(6),
    )
    if not all(clear_somewhere(replace(case, penetrations=(pen,))) for pen in (one, other)):
        return
    found = groups(case)
    assert bool(found) == (not clear_somewhere(case))
    if not found:
        return
    pair = found[0].pair
    assert pair is not None and pair.further2 > 0 and pair.nearer2 > 0
    for sign, missing2, whole2 in (
        (1, pair.further2, pair.between2), (-1, pair.nearer2, pair.around2),
    ):
        if whole2 > 2 * cover:
            continue
        ticks = -(-missing2 // 2)
        apart = [
            replace(case, penetrations=(one, replace(other, x=other.x + sign * move)))
            for move in (ticks, ticks - 1)
        ]
        assert clear_somewhere(apart[0])
        assert not clear_somewhere(apart[1])
