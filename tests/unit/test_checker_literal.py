"""The checker against the rules read literally: every seam, every pair, in fractions."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from solver.case import Case, Lay, Penetration
from solver.checker.judge import judge
from solver.layout import Layout
from tests.unit.builders import make_case, make_curb, make_pipe, make_plane

BOTH_LAYS: tuple[Lay, ...] = ("left-to-right", "right-to-left")


def literal(case: Case, first: int, pen: Penetration) -> tuple[str, Fraction | None, int]:
    """State, room or margin, and seams cut, in fractions and over every seam, as the rules read."""
    plane, rules = case.planes[0], case.rules
    x = Fraction(pen.x)
    runs = [first + k * case.panel.cover for k in range(60)]
    runs = [run for run in runs if run < plane.width]
    from_left = plane.lay == "left-to-right"
    start = x if from_left else plane.width - x  # distance from the starting end
    if pen.kind == "pipe":
        rooms = [x - rules.end_lap, plane.width - x - rules.end_lap]
        for run in runs:
            side = case.panel.seam_fwd if run < start else case.panel.seam_back
            if run == start:
                side = max(case.panel.seam_fwd, case.panel.seam_back)
            rooms.append(abs(start - run) - side)
        room, radius, half = min(rooms), Fraction(pen.outside, 2), Fraction(pen.base, 2)
        if room >= max(half + rules.work_gap, radius + rules.seamer_gap):
            return "clear", room, 0
        if room >= half:
            return "tight", room, 0
        return ("crosses" if room >= radius + rules.hole_gap else "on-seam"), room, 0
    half = Fraction(pen.across, 2)
    cut, flanks = 0, []
    for run in runs:
        side = case.panel.seam_fwd if run < start else case.panel.seam_back
        if run == start or abs(run - start) < half + side:
            cut += 1
        else:
            flanks.append(abs(run - start) - half)
    if flanks and min(flanks) < rules.curb_side:
        return "crowded", min(flanks) - rules.curb_side, cut
    margin = min(flanks) - rules.curb_side if flanks else None
    return ("spans" if cut else "clear"), margin, cut


@pytest.mark.parametrize("seed", range(3))
def test_states_agree_with_the_rules_read_seam_by_seam(seed: int) -> None:
    # Tiny numbers, so that every limit is hit exactly many times over.
    draw = random.Random(seed)
    seen: set[str] = set()
    for _ in range(500):
        pens = (
            make_pipe(
                draw.randint(0, 60), outside=draw.randint(1, 5), base=draw.randint(5, 12)
            ),
            make_curb(draw.randint(0, 60), across=draw.randint(1, 25)),
        )
        case = make_case(
            *pens, planes=(make_plane(width=60, lay=draw.choice(BOTH_LAYS)),), mark=1,
            cover=draw.randint(8, 20), seam_back=draw.randint(0, 3), seam_fwd=draw.randint(0, 3),
            min_end=1, work_gap=draw.randint(0, 2), hole_gap=draw.randint(0, 2),
            seamer_gap=draw.randint(0, 3), end_lap=draw.randint(0, 10),
            curb_side=draw.randint(0, 4),
        )  # fmt: skip
        first = draw.randint(1, case.panel.cover)
        judged = judge(case, Layout((first,), (0, 0)))
        for pen, got in zip(pens, judged.penetrations, strict=True):
            state, amount, cut = literal(case, first, pen)
            got2 = got.room2 if pen.kind == "pipe" else got.margin2
            assert (got.state, got.seams_cut) == (state, cut)
            assert got2 == (None if amount is None else 2 * amount)
            seen.add(f"{pen.kind} {got.state}")
        seams = judged.planes[0].seams
        pipe = judged.penetrations[0]
        low = pipe.seam_low if pipe.seam_low is not None else 0
        high = pipe.seam_high if pipe.seam_high is not None else 60
        assert low == max((s for s in seams if s <= pipe.x), default=0)
        assert high == min((s for s in seams if s > pipe.x), default=60)
        clear = [
            x for x in range(low, high + 1)
            if literal(case, first, make_pipe(x, outside=pens[0].outside, base=pens[0].base))[0]
            == "clear"
        ]  # fmt: skip
        if clear:
            assert pipe.clear_from2 is not None and pipe.clear_to2 is not None
            assert -(-pipe.clear_from2 // 2) == clear[0] and pipe.clear_to2 // 2 == clear[-1]
        elif pipe.clear_from2 is not None and pipe.clear_to2 is not None:
            # no whole tick is clear, at most a half one
            assert pipe.clear_from2 == pipe.clear_to2 and pipe.clear_from2 % 2
    assert len(seen) == 7  # four pipe states, three curb states: none was missed


def test_pairs_agree_with_every_pair_looked_at() -> None:
    draw = random.Random(11)
    broken = 0
    for _ in range(300):
        pens = tuple(
            make_pipe(draw.randint(20, 60), f"V{i}", y=draw.randint(0, 40),
                      outside=draw.randint(1, 9), status="planned", reach=99)
            if draw.random() < 0.7
            else make_curb(draw.randint(20, 60), f"C{i}", y=draw.randint(0, 40),
                           across=draw.randint(1, 20), along=draw.randint(1, 20))
            for i in range(8)
        )  # fmt: skip
        spacing = draw.randint(0, 8)
        case = make_case(
            *pens, planes=(make_plane(width=100),), cover=100, step=1, spacing=spacing
        )
        moves = tuple(
            draw.choice((0, draw.randint(-10, 10))) if p.kind == "pipe" else 0 for p in pens
        )
        judged = judge(case, Layout((100,), moves))
        got = {frozenset(b.about) for b in judged.breaks if b.code == "near-pair"}
        want = set()
        for i, one in enumerate(pens):
            for j in range(i):
                other = pens[j]
                if not (moves[i] or moves[j]):
                    continue
                drawn = _squared(one, other, one.x - other.x)
                now = _squared(one, other, one.x + moves[i] - other.x - moves[j])
                radii = sum(Fraction(p.outside, 2) for p in (one, other) if p.kind == "pipe")
                limit = (radii + spacing) ** 2
                if now < limit and now < drawn:
                    want.add(frozenset((one.id, other.id)))
        assert got == want
        broken += len(want)
    assert broken > 100


def _squared(one: Penetration, other: Penetration, dx: int) -> Fraction:
    """Squared distance centre to centre, or centre to the nearest point of the other's curb."""
    half_x = Fraction(one.across + other.across, 2)
    half_y = Fraction(one.along + other.along, 2)
    x = max(Fraction(0), abs(dx) - half_x)
    y = max(Fraction(0), abs(one.y - other.y) - half_y)
    return x * x + y * y
