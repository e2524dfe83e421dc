"""Worst shift and chance held against extreme draws, each other, and solving again.

No expected numbers here: extreme draws go through the checker's arithmetic seam by seam, and the
worth of measuring again is computed a second time by solving the whole case for each position.
"""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import product

import pytest

from solver.api import Result, case_from_document, solve
from solver.case import Case, Plane
from solver.checker.judge import judge
from solver.checker.stands import judge_penetration
from solver.checker.stands_grid import grid_of
from solver.clock import Clock
from solver.layout import Layout
from solver.result import Judged
from solver.risk.chance import layout_chances
from solver.risk.creep import has_tolerances, layout_creep
from solver.risk.remeasure_first import POSITIONS, remeasure_first, true_positions
from solver.tabling.profile import Profile
from strategies import random_case
from tests.unit.builders import inches, make_case, make_curb, make_pipe, make_plane


def small_case(seed: int) -> tuple[Case, Layout]:
    """One plane of up to five seams, a pipe and a curb, everything uncertain."""
    source = random.Random(seed)
    width = inches(source.randint(40, 100))
    lay = source.choice(("left-to-right", "right-to-left"))
    x_tol = source.choice((0, inches("1/4"), inches(1)))
    pipe = make_pipe(source.randrange(inches(5), width - inches(5)), base=inches(6))
    curb = make_curb(source.randrange(inches(8), width - inches(8)), across=inches(9))
    case = make_case(
        replace(pipe, x_tol=x_tol), replace(curb, x_tol=source.choice((0, inches("1/2")))),
        planes=(make_plane(width=width, lay=lay),), curb_side=inches(2),
        seam_back=inches("3/8"), seam_fwd=inches("5/8"), end_lap=inches(source.choice((0, 4))),
    )
    rules = replace(
        case.rules,
        cover_tol=source.choice((0, inches("1/16"), inches("1/4"))),
        remeasure=source.randint(1, 4),
        width_tol=source.choice((0, inches("1/2"))),
    )
    first = inches(source.randint(6, 18))
    return replace(case, rules=rules), Layout((first,), (0, 0))


def extreme_draws(case: Case, judged: Judged) -> list[tuple[Plane, tuple[int, ...]]]:
    """The plane and its seams (increasing x) for every choice of limits."""
    plane, rules = case.planes[0], case.rules
    count = len(judged.planes[0].seams)
    found = []
    signs = (1, -1) if rules.cover_tol else (0,)
    for width_sign in (1, -1) if rules.width_tol else (0,):
        real = replace(plane, width=plane.width + width_sign * rules.width_tol)
        for errors in product(signs, repeat=max(count - 1, 0)):
            at, off, seams = judged.planes[0].first, 0, []
            for number in range(count):
                if number:
                    # Back on the control line once `remeasure` panels are on.
                    off = errors[number - 1] + (0 if (number - 1) % rules.remeasure == 0 else off)
                    at += case.panel.cover
                seams.append(at + off * rules.cover_tol)
            if plane.lay == "right-to-left":
                seams = [real.width - seam for seam in reversed(seams)]
            found.append((real, tuple(seams)))
    return found


@pytest.mark.parametrize("seed", range(250))
def test_worst_room_is_the_least_over_extreme_draws(seed: int) -> None:
    case, layout = small_case(seed)
    judged = judge(case, layout)
    for pen, creep in zip(case.penetrations, layout_creep(case, judged), strict=True):
        rooms, cuts = [], set()
        for plane, seams in extreme_draws(case, judged):
            grid = grid_of(case, plane, seams)
            for sign in (1, -1):
                there = judge_penetration(
                    case, replace(pen, x=pen.x + sign * pen.x_tol), 0, grid, (0, plane.width)
                )
                rooms.append(there.room2)
                cuts.add(there.seams_cut)
        worst2 = creep.stands.worst_room2
        if pen.kind == "curb":
            # Which seams are cut goes by the nominal place: comparable where that never changes.
            if cuts == {creep.stands.seams_cut}:
                assert worst2 == min((r for r in rooms if r is not None), default=None)
            continue
        assert worst2 is not None
        least2 = min(r for r in rooms if r is not None)
        if worst2 > 0:
            assert worst2 == least2
        else:  # a seam may pass under the centre: past it, it gets no nearer than its own side
            assert least2 < pen.outside + 2 * case.rules.hole_gap
            assert worst2 <= least2


def test_enough_curbs_are_comparable() -> None:
    """The comparison above is not empty for curbs."""
    held = 0
    for seed in range(250):
        case, layout = small_case(seed)
        stands = judge(case, layout).penetrations[1]
        held += stands.worst_margin2 is not None and stands.worst_margin2 > 0
    assert held > 25


def loose_case(seed: int) -> Case:
    """A random case with tolerances added."""
    source = random.Random(seed)
    case = case_from_document(random_case(seed))
    unit = inches("1/32") if case.units == "in" else 640
    pens = tuple(
        replace(pen, x_tol=source.choice((0, 8, 16, 48)) * unit) for pen in case.penetrations
    )
    rules = replace(
        case.rules, cover_tol=source.choice((0, 1, 2)) * unit, remeasure=source.randint(1, 6),
        width_tol=source.choice((0, 16)) * unit,
    )
    return replace(case, rules=rules, penetrations=pens)


def solved(case: Case) -> Result:
    return solve(case, top=2)


@pytest.mark.parametrize("seed", range(300_000, 300_060))
def test_what_survives_the_worst_case_survives_every_draw(seed: int) -> None:
    case = loose_case(seed)
    result = solved(case)
    layouts = [entry.judged for entry in result.layouts]
    layouts += [result.usual] if result.usual else []
    if not layouts:
        return
    sides = max(case.panel.seam_back, case.panel.seam_fwd)
    for judged, chance in zip(layouts, layout_chances(case, layouts, 300, 1), strict=True):
        spread = chance.spread
        assert spread.p10 <= spread.p50 <= spread.p90
        if not has_tolerances(case):
            assert {spread.mean, spread.p10, spread.p90} == {judged.cost.total}
        for stands, drawn in zip(judged.penetrations, chance.penetrations, strict=True):
            assert drawn.planned == stands.state
            assert sum(drawn.draws.values()) == chance.samples
            safe = stands.worst_margin2 is None or stands.worst_margin2 >= 0
            kind = next(p.kind for p in case.penetrations if p.id == stands.id)
            if stands.state == "clear" and safe and (
                kind == "pipe" or case.rules.curb_side >= sides
            ):
                assert drawn.draws["clear"] == chance.samples, stands.id


@pytest.mark.parametrize("seed", range(300_100, 300_140))
def test_exact_measurements_leave_nothing_to_chance(seed: int) -> None:
    case = case_from_document(random_case(seed))
    layouts = [entry.judged for entry in solved(case).layouts]
    for judged, chance in zip(layouts, layout_chances(case, layouts, 5, 1), strict=True):
        assert (chance.spread.mean, chance.spread.p10, chance.spread.p50, chance.spread.p90) == (
            (judged.cost.total,) * 4
        )
        for stands, drawn in zip(judged.penetrations, chance.penetrations, strict=True):
            assert drawn.draws[stands.state] == 5


def worth_by_solving(case: Case, first: Judged, i: int) -> int:
    """Cents times positions that knowing position `i` saves: the whole case solved each time."""
    pen, spared = case.penetrations[i], 0
    for x in true_positions(pen):
        pens = list(case.penetrations)
        pens[i] = replace(pen, x=x, x_tol=0)
        known = replace(case, penetrations=tuple(pens))
        keep = judge(known, first.layout).cost.total
        again = solve(known, top=1).layouts
        spared += keep - min([keep, *(entry.judged.cost.total for entry in again)])
    return spared


@pytest.mark.parametrize("robust", [False, True])
@pytest.mark.parametrize("seed", range(300_200, 300_216))
def test_worth_of_measuring_again_is_what_solving_again_saves(seed: int, robust: bool) -> None:
    case = loose_case(seed)
    case = replace(case, rules=replace(case.rules, robust=robust))
    layouts = solved(case).layouts
    if not layouts:
        return
    first = layouts[0].judged
    gains = remeasure_first(case, first, Clock())
    assert gains.looked == gains.uncertain == sum(1 for pen in case.penetrations if pen.x_tol)
    by_id = {gain.id: gain for gain in gains.gains}
    told = [gain.gain for gain in gains.gains]
    assert told == sorted(told, reverse=True)
    for i, pen in enumerate(case.penetrations[:4]):
        if not pen.x_tol:
            assert pen.id not in by_id
            continue
        exact = worth_by_solving(case, first, i)
        mine = by_id[pen.id].gain if pen.id in by_id else 0
        assert mine == (2 * exact + POSITIONS) // (2 * POSITIONS), pen.id


def crowded_case(seed: int) -> Case:
    """Pipes side by side that can move, some just as near as they may be, so moves collide."""
    source = random.Random(seed)
    x, pens = inches(30), []
    for n in range(4):
        x += inches(source.choice((9, 16, 16, 17)))
        status = source.choice(("planned", "planned", "stubbed", "fixed"))
        pipe = make_pipe(x, f"V{n}", status=status, base=inches(source.choice((6, 8, 10))))
        pens.append(replace(pipe, x_tol=source.choice((0, inches("1/2"), inches(2)))))
    lay = source.choice(("left-to-right", "right-to-left"))
    plane = make_plane(width=inches(140), lay=lay)
    # Few first widths: no easy way out.
    mark = inches(source.choice(("1/2", 3, 9, 18)))
    return make_case(*pens, planes=(plane,), mark=mark)


def test_worth_of_measuring_again_where_moves_collide(monkeypatch: pytest.MonkeyPatch) -> None:
    collided = worth = 0
    settle = Profile.settle

    def counted(self: Profile, f: int, clock: Clock) -> None:
        nonlocal collided
        collided += not self.settled[f]
        settle(self, f, clock)

    for seed in range(14):
        case = crowded_case(seed)
        first = solved(case).layouts[0].judged
        with monkeypatch.context() as patched:
            patched.setattr(Profile, "settle", counted)
            gains = remeasure_first(case, first, Clock())
        by_id = {gain.id: gain.gain for gain in gains.gains}
        worth += len(by_id)
        for i, pen in enumerate(case.penetrations):
            if pen.x_tol:
                exact = worth_by_solving(case, first, i)
                mine = by_id.get(pen.id, 0)
                assert mine == (2 * exact + POSITIONS) // (2 * POSITIONS), (seed, pen.id)
    assert collided > 50 and worth > 5
