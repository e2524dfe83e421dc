"""The stub-up list: stretches judged by the checker, order, landmarks, bays, fittings."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from cli.report.stub_words import StubWords
from solver.case import Case, Gridline, Keepout
from solver.checker.judge import judge
from solver.errors import DisagreementError
from solver.layout import Change, Layout, Odd
from solver.result import Judged
from solver.stubs.landmarks import end_of, flips, grid_lines, start_of, taping_at, way_of
from solver.stubs.list import StubRow, stub_list
from solver.stubs.stretch import Limit, Stretch, keepout_bounds
from tests.unit.builders import inches, look, make_case, make_pipe, make_plane
from tests.unit.stub_cases import solved, wall

LAYS = ("left-to-right", "right-to-left")
CASES = [wall(seed=seed, lay=LAYS[seed % 2]) for seed in range(10)]
CASES += [
    replace(case, rules=replace(case.rules, cover_tol=inches("1/32"), robust=True))
    for case in CASES[:4]
]


def shifted(case: Case, judged: Judged, row: StubRow, x: int) -> tuple[str, set[str]]:
    """State and broken rules of a pipe set to `x` with everything else as the layout has it.

    Not counted: whole steps, for a tolerance knows none; and for a stubbed pipe that stays the
    smallest offset, since the stretch is then where it may be found.
    """
    index = next(i for i, pen in enumerate(case.penetrations) if pen.id == row.pen.id)
    moves = list(judged.layout.moves)
    moves[index] = x - row.pen.x
    found = judge(case, replace(judged.layout, moves=tuple(moves)))
    passed = {"whole-steps"}
    if not row.stands.moved:
        passed.add("below-offset")
        if abs(x - row.pen.x) <= max((most for _, most in row.pen.makeable or ()), default=0):
            passed.add("no-fitting")
    codes = {b.code for b in found.breaks if row.pen.id in b.about} - passed
    return found.penetrations[index].state, codes


@pytest.mark.parametrize("case", CASES)
def test_the_ends_of_every_stretch_are_good_and_a_tick_beyond_is_not(case: Case) -> None:
    judged = solved(case)
    seen, kinds = 0, set()
    for sheet in stub_list(case, judged, 1).sheets:
        for row in sheet.rows:
            if not isinstance(row.stretch, Stretch):
                assert row.stands.state != "clear" or isinstance(row.stretch, Limit)
                continue
            seen += 1
            low, high = row.stretch.low, row.stretch.high
            assert low.x <= row.stands.x <= high.x
            for x in (low.x, (low.x + row.stands.x) // 2, (high.x + row.stands.x) // 2, high.x):
                assert shifted(case, judged, row, x) == ("clear", set()), (row.pen.id, x)
            for limit, way in ((low, -1), (high, 1)):
                kinds.add(limit.kind)
                state, broken = shifted(case, judged, row, limit.x + way)
                assert state != "clear" or broken, (row.pen.id, limit)
                assert (limit.kind == "seams") == (state != "clear") or broken
    assert seen >= 8 and len(kinds) >= 2, kinds


def bent(lay: str, seed: int, *, robust: bool) -> tuple[Case, Judged]:
    """A wall of pipes under odd panels and changed modules; the second plane has its own."""
    case = wall(lay="left-to-right" if lay == "from" else lay, seed=seed)
    rules = replace(case.rules, odd_panels=3, play=inches("1/8"), play_mark=inches("1/64"),
                    cover_tol=inches("1/32"), width_tol=inches("1/8"), robust=robust)
    planes = case.planes
    if lay == "from":
        planes = tuple(replace(p, lay="from", start=inches(110)) for p in planes)
    panel = replace(case.panel, seam_back=inches("1/4"), seam_fwd=inches("7/8"))
    case = replace(case, rules=rules, planes=planes, panel=panel)
    odds = (Odd(0, 3, inches(12)), Odd(0, 6, inches(10)), Odd(1, 2, inches("15 1/2")))
    changes = (Change(0, 1, inches("1/8")), Change(1, 2, inches("-1/16")))
    if lay == "from":
        odds = (Odd(0, -2, inches(11)), *odds)
    moves = tuple(
        inches(3) if n % 3 == 0 and pen.status != "fixed" else 0
        for n, pen in enumerate(case.penetrations)
    )
    return case, judge(case, Layout((inches(14), inches(9)), moves, odds, changes))


@pytest.mark.parametrize("robust", [False, True])
@pytest.mark.parametrize("lay", [*LAYS, "from"])
def test_stretches_end_at_the_seams_that_really_stand_there(lay: str, robust: bool) -> None:
    seen = 0
    for seed in range(15):
        case, judged = bent(lay, seed, robust=robust)
        for sheet in stub_list(case, judged, 1).sheets:
            for row in sheet.rows:
                if not isinstance(row.stretch, Stretch):
                    continue
                low, high = row.stretch.low, row.stretch.high
                seen += (low.kind == "seams") + (high.kind == "seams")
                for x in (low.x, high.x):
                    assert shifted(case, judged, row, x)[0] == "clear"
                for limit, way in ((low, -1), (high, 1)):
                    if limit.kind == "seams":
                        assert shifted(case, judged, row, limit.x + way)[0] != "clear"
    assert seen >= 20


def test_bays_are_counted_over_an_odd_panel() -> None:
    """First 14, panel 3 is 10: seams at 14, 32, 42, 60 in; 51 in stands between seams 3 and 4."""
    case = make_case(make_pipe(inches(51), status="planned"), odd_panels=1)
    judged = judge(case, Layout((inches(14),), (0,), (Odd(0, 3, inches(10)),)))
    (row,) = stub_list(case, judged, 1).sheets[0].rows
    assert (row.bay.low_no, row.bay.high_no) == (3, 4)
    assert (row.bay.low, row.bay.high) == (inches(42), inches(60))
    assert isinstance(row.stretch, Stretch)
    assert (row.stretch.low.x, row.stretch.high.x) == (inches(47), inches(55))


def test_seams_of_a_plane_laid_both_ways_are_counted_from_its_line() -> None:
    """The line at 50 in: seams at 14, 32, 50, 68 in are -2, -1, 0, 1."""
    plane = replace(make_plane(start=inches(50)), low_end="west gable", high_end="east gable")
    pens = [make_pipe(inches(x), name, status="planned")
            for x, name in ((23, "A"), (41, "B"), (59, "C"), (50, "D"))]
    case = make_case(*pens, planes=(plane,))
    (sheet,) = stub_list(case, judge(case, Layout((0,), (0,) * 4)), 1).sheets
    assert (sheet.start.kind, sheet.start.x) == ("line", inches(50))
    rows = {row.pen.id: row for row in sheet.rows}
    assert {n: (r.bay.low_no, r.bay.high_no) for n, r in rows.items() if n != "D"} == {
        "A": (-2, -1), "B": (-1, 0), "C": (0, 1),
    }
    assert rows["D"].bay.on == 0
    words = StubWords(case, sheet)
    assert words.bay(rows["B"]) == (
        "between seams -1 and 0, counted from the line the panels are laid from (seam 0), minus "
        "towards the west gable")
    assert words.bay(rows["D"]).startswith("ON seam 0, counted from the line")
    # The seam nearer to where laying starts comes first on either side.
    assert words.check(rows["A"]) == '9" from seam -1, 9" from seam -2'
    assert words.check(rows["C"]) == '9" from seam 0, 9" from seam 1'


def test_ends_that_flip_have_other_names_where_neither_starts_the_laying() -> None:
    plane = make_plane(start=inches(50))
    assert flips(plane)
    assert [end_of(plane, high=high).name for high in (False, True)] == ["low end", "high end"]
    named = replace(plane, low_end="west gable", high_end="hip")
    assert [end_of(named, high=high).name for high in (False, True)] == ["west gable", "hip"]


def test_every_kind_of_end_occurs() -> None:
    kinds = set()
    for case in CASES:
        for sheet in stub_list(case, solved(case), 1).sheets:
            for row in sheet.rows:
                if isinstance(row.stretch, Stretch):
                    kinds |= {row.stretch.low.kind, row.stretch.high.kind}
    assert kinds == {"seams", "keepout", "spacing", "edge", "reach", "fittings"}


def stretch(case: Case, *, moves: tuple[int, ...] = ()) -> Stretch | Limit | None:
    """The stretch of the first penetration of a case of one plane."""
    moves = moves or (0,) * len(case.penetrations)
    judged = judge(case, Layout((inches(14),), moves))
    rows = stub_list(case, judged, 1, everything=True).sheets[0].rows
    return next(row for row in rows if row.pen is case.penetrations[0]).stretch


def test_a_stretch_by_hand() -> None:
    """Seams at 32 and 50: 1/2 in a side, 4 1/2 in needed; so 37 to 45 in."""
    found = stretch(make_case(make_pipe(inches(41), status="planned")))
    assert isinstance(found, Stretch)
    assert (found.low.x, found.high.x) == (inches(37), inches(45))
    assert {found.low.kind, found.high.kind} == {"seams"}


def test_reach_edge_spacing_and_fittings_end_it_by_hand() -> None:
    near = stretch(make_case(make_pipe(inches(41), status="planned", reach=(inches(1), 0))))
    assert isinstance(near, Stretch)
    assert (near.low, near.high) == (Limit(inches(40), "reach"), Limit(inches(41), "reach"))
    edge = stretch(make_case(make_pipe(inches(22), status="planned"), edge_gap=inches(20)))
    assert isinstance(edge, Stretch) and edge.low == Limit(inches(22), "edge")
    # 4 in pipes level with each other keep 12 in clear: centres 16 in apart.
    pair = make_case(make_pipe(inches(41), status="planned"), make_pipe(inches(60), "V2"))
    beside = stretch(pair)
    assert isinstance(beside, Stretch) and beside.high == Limit(inches(44), "spacing", "V2")
    # Moved 3 in, the least offset: it may be more but not less.
    moved = stretch(make_case(make_pipe(inches(37), status="stubbed")), moves=(inches(3),))
    assert isinstance(moved, Stretch)
    assert (moved.low, moved.high.kind) == (Limit(inches(40), "fittings"), "seams")
    back = stretch(make_case(make_pipe(inches(44), status="stubbed")), moves=(-inches(3),))
    assert isinstance(back, Stretch) and back.high == Limit(inches(41), "fittings")
    pipe = replace(make_pipe(inches(44), status="stubbed"), makeable=((inches(2), inches(4)),))
    capped = stretch(make_case(pipe), moves=(-inches(3),))
    assert isinstance(capped, Stretch) and capped.low == Limit(inches(40), "fittings")


def test_what_is_not_clear_or_stands_against_a_rule_has_no_stretch() -> None:
    assert stretch(make_case(make_pipe(inches(36), status="planned"))) is None
    beam = Keepout(inches(40), inches(42), None, None, "beam")
    plane = make_plane(keepouts=(beam,))
    case = make_case(make_pipe(inches(41), status="planned"), planes=(plane,))
    assert stretch(case) == Limit(inches(41), "keepout", "beam")


def test_a_keepout_ends_where_the_disc_touches_it() -> None:
    pipe = make_pipe(inches(30), y=inches(100), outside=inches(4))
    strip = Keepout(inches(40), inches(42), None, None, "")
    assert keepout_bounds(strip, pipe) == (inches(38), inches(44))
    over = Keepout(inches(40), inches(42), inches(101), inches(110), "")
    low, high = keepout_bounds(over, pipe) or (0, 0)
    aside = math.sqrt(inches(2) ** 2 - inches(1) ** 2)
    assert 0 <= inches(40) - aside - low < 1 and 0 <= high - inches(42) - aside < 1
    assert keepout_bounds(replace(over, y_from=inches(102)), pipe) is None


def test_rows_stand_in_wall_order_and_only_what_can_be_set_is_listed() -> None:
    case = CASES[0]
    judged = solved(case)
    short, full = (stub_list(case, judged, 1, everything=flag) for flag in (False, True))
    for sheet, whole in zip(short.sheets, full.sheets, strict=True):
        xs = [row.stands.x for row in whole.rows]
        assert xs == sorted(xs) and len(whole.rows) == 9
        assert {row.pen.status for row in sheet.rows} == {"planned", "stubbed"}
        assert [row.pen.id for row in whole.rows if row.listed] == [r.pen.id for r in sheet.rows]
        assert all(row.stretch is None for row in whole.rows if not row.listed)


def test_the_nearest_grid_line_and_the_ways_from_it() -> None:
    plane = make_plane(width=inches(300))
    case = replace(make_case(planes=(plane,)), gridlines=tuple(
        Gridline(name, "S", inches(x)) for name, x in (("B", 200), ("A", 100), ("C", 290))))
    lines = grid_lines(case, plane)
    assert [mark.name for mark in lines] == ["A", "B", "C"]
    tied = taping_at(plane, lines, inches(150))
    assert (tied.datum.name, tied.towards_low.name, tied.towards_high.name) == (
        "A", "starting end", "B")
    assert taping_at(plane, lines, inches(151)).datum.name == "B"
    at = taping_at(plane, lines, inches(100))
    assert at.towards(inches(100)) is None and at.towards(inches(99)) == at.towards_low
    assert way_of(plane, lines, inches(98), inches(101)).name == "B"  # A is passed
    assert way_of(plane, lines, inches(101), inches(98)).kind == "end"
    assert way_of(plane, lines, inches(98), inches(100)).name == "A"


@pytest.mark.parametrize("lay", LAYS)
def test_ends_called_left_or_right_are_named_by_the_laying(lay: str) -> None:
    plane = make_plane(lay=lay)  # type: ignore[arg-type]
    assert flips(plane)
    names = [end_of(plane, high=high).name for high in (False, True)]
    assert sorted(names) == ["far end", "starting end"]
    assert start_of(plane).name == "starting end"
    assert (start_of(plane).x == 0) == (lay == "left-to-right")
    named = replace(plane, low_end="wright's yard", high_end="cleft gable")
    assert not flips(named) and end_of(named, high=True).name == "cleft gable"


@pytest.mark.parametrize(("lay", "numbers"), [(LAYS[0], (2, 3)), (LAYS[1], (4, 3))])
def test_the_bay_is_counted_from_the_starting_end(lay: str, numbers: tuple[int, int]) -> None:
    """Seams at 14, 32, 50, 68, 86 either way; 41 lies between 32 and 50."""
    plane = make_plane(lay=lay)  # type: ignore[arg-type]
    case = make_case(make_pipe(inches(41), status="planned"), planes=(plane,))
    bay = stub_list(case, look(case), 1).sheets[0].rows[0].bay
    assert (bay.low, bay.high) == (inches(32), inches(50))
    assert (bay.low_no, bay.high_no) == numbers and bay.on is None
    on = make_case(make_pipe(inches(32), status="planned"), planes=(plane,))
    assert stub_list(on, look(on), 1).sheets[0].rows[0].bay.on == numbers[0]


def test_the_tape_reads_a_whole_mark_inside_the_stretch() -> None:
    """Drawn a 64th short of 37 in the pipe is not clear; a 64th above, the tape must not say 37."""
    odd = replace(make_case(make_pipe(inches("45 0/64") - inches("1/64"), status="planned")),
                  mark=inches("1/16"))
    row = stub_list(odd, look(odd), 1).sheets[0].rows[0]
    assert row.taped == inches(45) and row.tape_mark == inches("1/16")
    tight = replace(odd, rules=replace(odd.rules, work_gap=inches("33/64")))
    row = stub_list(tight, look(tight), 1).sheets[0].rows[0]
    assert row.taped == inches("44 15/16")


def test_a_move_no_fittings_can_make_is_a_fault_of_the_program() -> None:
    pipe = replace(make_pipe(inches(37), status="stubbed"), nominal="3",
                   makeable=((inches(5), inches(9)),))
    case = make_case(pipe)
    with pytest.raises(DisagreementError, match="V1"):
        stub_list(case, look(case, move=inches(4)), 1)
    from tests.unit.stub_cases import FITTINGS, sized

    low = replace(make_case(sized(make_pipe(inches(37), status="stubbed"))), fittings=FITTINGS)
    impossible = replace(low, penetrations=(replace(low.penetrations[0], headroom=inches(3)),))
    with pytest.raises(DisagreementError):
        stub_list(impossible, look(impossible, move=inches(4)), 1)


def test_only_a_stub_that_moves_needs_fittings() -> None:
    for sheet in (one for case in CASES for one in stub_list(case, solved(case), 1).sheets):
        for row in sheet.rows:
            made = row.stands.moved != 0 and row.pen.status == "stubbed"
            assert bool(row.pairs) == made
            assert (row.pair is not None) == made
