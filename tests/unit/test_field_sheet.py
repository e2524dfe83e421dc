"""The field sheet rule by rule: tape, control lines, obstructions, order of work, hips. By hand.

Figures are in inches. Unless said otherwise: 100 in, 18 in pans, seams at 14, 32, 50, 68 and 86.
All rules here are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.case import Case, Lay, Penetration, Plane
from solver.case_parts import Field, Lean
from solver.checker.judge import judge
from solver.field.lean import ends_at
from solver.field.limits import field_of
from solver.field.parts import PlaneField, Row, Run
from solver.field.sheet import field_sheets
from solver.layout import Change, Layout, Odd
from tests.unit.builders import (
    HIP,
    inches,
    make_case,
    make_curb,
    make_hole,
    make_outline,
    make_outlined,
    make_pipe,
    make_plane,
    mm,
)

LIMITS = Field(inches("1/2"), inches(36), inches(40), inches(12))


def sheet_of(
    case: Case, first: int = inches(14), odds: tuple[Odd, ...] = (),
    changes: tuple[Change, ...] = (),
) -> PlaneField:
    firsts = (first,) * len(case.planes)
    judged = judge(case, Layout(firsts, (0,) * len(case.penetrations), odds, changes))
    return field_sheets(case, judged, 1).planes[0]


def run_of(
    *pens: Penetration, plane: Plane | None = None, limits: Field | None = LIMITS,
    reroof: bool = False, seamer: int = 0, first: int = inches(14),
) -> Run:
    case = make_case(*pens, planes=(plane or make_plane(),), reroof=reroof, seamer_gap=seamer)
    return sheet_of(replace(case, field=limits), first).runs[0]


def row(run: Run, number: int) -> Row:
    return next(one for one in run.rows if one.number == number and one.kind == "seam")


def at(run: Run) -> list[int]:
    return [one.at for one in run.rows]


def codes(run: Run) -> list[tuple[int | None, str]]:
    return [(one.number, note.code) for one in run.rows for note in one.notes]


def test_usual_limits_and_the_case_s_own() -> None:
    case = make_case(seam_back=inches("3/8"))
    foot = inches(12)
    assert field_of(case) == Field(inches("3/8"), 10 * foot, 12 * foot, foot)
    metric = make_case(units="mm", seam_back=mm(9))
    assert field_of(metric) == Field(mm(9), mm(3000), mm(3600), mm(300))
    assert field_of(replace(case, field=LIMITS)) is LIMITS


def test_the_mark_is_the_leg_and_not_the_centre() -> None:
    run = run_of()
    assert at(run) == [0, *(inches(x) - inches("1/2") for x in (14, 32, 50, 68, 86)), inches(100)]
    assert [one.centre for one in run.rows[1:-1]] == [inches(x) for x in (14, 32, 50, 68, 86)]
    assert [one.kind for one in run.rows] == ["start", *["seam"] * 5, "end"]
    assert [one.number for one in run.rows] == [None, 1, 2, 3, 4, 5, None]


def test_from_the_other_end_all_is_measured_from_there() -> None:
    run = run_of(plane=make_plane(lay="right-to-left"))
    assert (run.way, run.start, run.datum, run.far) == (-1, inches(100), 0, inches(100))
    assert at(run)[1:3] == [inches("13 1/2"), inches("31 1/2")]
    # The leg hooked is that towards the start: on the high side of every seam.
    assert [one.number for one in run.rows[1:-1]] == [1, 2, 3, 4, 5]


def test_from_a_line_there_are_two_runs() -> None:
    plane = make_plane(start=inches(40))
    case = replace(make_case(make_pipe(inches(40), "ON"), make_pipe(inches(47), "HIGH"),
                             make_pipe(inches(30), "LOW"), planes=(plane,)), field=LIMITS)
    high, low = sheet_of(case, inches(4)).runs
    assert (high.way, high.start, high.far) == (1, inches(40), inches(60))
    assert (low.way, low.start, low.far) == (-1, inches(40), inches(40))
    assert [one.number for one in high.rows] == [0, 1, 2, 3, None]
    assert [one.number for one in low.rows] == [0, -1, -2, None]
    assert [one.at for one in low.rows] == [0, inches("17 1/2"), inches("35 1/2"), inches(40)]
    assert [(a.pen.id, a.on) for a in high.rows[0].here] == [("ON", True), ("HIGH", False)]
    assert [(a.pen.id, a.past, a.high) for a in low.rows[0].here] == [("LOW", inches(10), -1)]


def test_one_panel_has_a_start_and_an_end() -> None:
    plane = make_plane(width=inches(16))
    run = run_of(make_pipe(inches(7)), plane=plane, first=inches(16))
    assert [(one.kind, one.at) for one in run.rows] == [("start", 0), ("end", inches(16))]
    (ahead,) = run.rows[0].here
    assert (ahead.low, ahead.high, ahead.past) == (None, None, inches(7))
    assert run.closing is None and run.no_line == ()
    assert [(w.first, w.last, w.width, w.kind) for w in run.rows[0].lay] == [
        (1, 1, inches(16), "end")]


def test_control_lines_stand_on_the_nearest_seam_that_clears() -> None:
    # Multiples of 36: marks 31 1/2 (4 1/2 off) and 67 1/2 (4 1/2 off).
    run = run_of()
    assert [(one.number, one.line) for one in run.rows if one.line] == [(2, 1), (4, 2)]
    assert [one.back for one in run.rows if one.line] == [inches("31 1/2"), inches(36)]
    assert [one.back for one in run.rows][-2:] == [inches(18), inches("32 1/2")]
    # A flashing 8 wide about 28 reaches to 32 and so over 31 1/2: the next nearest, 49 1/2.
    run = run_of(make_pipe(inches(28)))
    assert [one.number for one in run.rows if one.line] == [3, 4]
    # To 31 1/2 itself: the line runs along its edge.
    run = run_of(make_pipe(inches("27 1/2")))
    assert [one.number for one in run.rows if one.line] == [2, 4]
    run = run_of(make_pipe(inches("27 1/2") + 1))
    assert [one.number for one in run.rows if one.line] == [3, 4]


def test_where_no_seam_clears_it_is_said() -> None:
    run = run_of(make_curb(inches(35), across=inches(60)))
    assert [one.number for one in run.rows if one.line] == [4]
    (none,) = run.no_line
    assert (none.target, none.about, none.eave) == (inches(36), ("C1",), True)


def test_a_line_does_not_run_through_a_hole() -> None:
    square = make_outline((0, 0, "eave"), (100, 0, "rake"), (100, 200, "ridge"), (0, 200, "rake"))
    plane = make_outlined(square, holes=(make_hole((25, 60), (40, 60), (40, 90), (25, 90)),))
    run = run_of(plane=plane)
    assert [one.number for one in run.rows if one.line] == [3, 4]


def test_measuring_back_every_few_panels() -> None:
    case = replace(make_case(remeasure=2), field=LIMITS)
    assert [one.number for one in sheet_of(case).runs[0].rows if one.measure] == [3, 5]
    line = make_case(planes=(make_plane(start=inches(40)),), remeasure=2)
    assert [[one.number for one in run.rows if one.measure] for run in sheet_of(line).runs] == [
        [2], [-2]]


def test_the_next_obstruction_is_told_from_the_mark_to_its_centre() -> None:
    run = run_of(make_pipe(inches(59), "V3"), make_pipe(inches(59), "V2", y=inches(50)),
                 make_curb(inches(83), "C1", across=inches(10)), make_pipe(inches(95), "V9"))
    assert [one.next.pen.id if one.next else None for one in run.rows] == [
        "V2", "V2", "V2", "V2", "C1", "V9", None]
    assert [a.pen.id for a in row(run, 3).here] == ["V2", "V3"]  # from the eave up
    assert [(a.low, a.high, a.past) for a in row(run, 3).here] == [
        (3, 4, inches("9 1/2")), (3, 4, inches("9 1/2"))]
    (curb,) = row(run, 4).here
    assert (curb.low, curb.high, curb.past, curb.cut) == (4, None, inches("15 1/2"), (5,))
    (last,) = row(run, 5).here
    assert (last.low, last.high, last.past) == (5, None, inches("9 1/2"))


def test_a_pipe_on_a_seam() -> None:
    (ahead,) = row(run_of(make_pipe(inches(50))), 3).here
    assert ahead.on and ahead.past == inches("1/2")


@pytest.mark.parametrize(
    ("pen", "reroof", "expected"),
    [
        (make_pipe(inches(59)), False, []),  # fixed, new: not said when
        (make_pipe(inches(59), status="planned"), False, []),
        (make_pipe(inches(59), status="stubbed"), False, [(3, "stands-before")]),
        (make_pipe(inches(59)), True, [(3, "stands-before")]),
        (replace(make_pipe(inches(59)), before=True), False, [(3, "stands-before")]),
        (replace(make_pipe(inches(59)), before=False, height=inches(40)), True, []),
        (replace(make_pipe(inches(59)), before=True, height=inches(12)), False,
         [(3, "stands-before")]),
        (replace(make_pipe(inches(59)), before=True, height=inches(12) + 1), False,
         [(3, "stands-before"), (3, "tall")]),
        (replace(make_pipe(inches(59)), height=inches(13)), False, [(3, "tall")]),
        (make_curb(inches(59), across=inches(10)), True, [(3, "stands-before")]),
        (make_curb(inches(59), across=inches(10)), False, []),
        # Its body takes something of panel 3 already: 49 to 53.
        (replace(make_pipe(inches(51)), before=True), False, [(2, "stands-before")]),
        (replace(make_pipe(inches(52)), before=True), False, [(3, "stands-before")]),
        (replace(make_pipe(inches(5)), before=True), False, [(None, "stands-before")]),
    ],
)
def test_what_stands_before_its_panel(
    pen: Penetration, reroof: bool, expected: list[tuple[int | None, str]]
) -> None:
    assert codes(run_of(pen, reroof=reroof)) == expected


def test_the_panels_are_named() -> None:
    run = run_of(replace(make_curb(inches(59), across=inches(40)), before=True))
    (note,) = row(run, 2).notes
    assert "C1 stands before panels 3, 4 and 5 go on" in note.says
    # A body from 46 to 50 touches seam 50 but nothing of panel 4.
    (note,) = row(run_of(replace(make_pipe(inches(48)), before=True)), 2).notes
    assert "before panel 3 goes on" in note.says
    wide = run_of(replace(make_curb(inches(59), across=inches(70)), before=True))
    assert "panels 2 to 6" in wide.rows[1].notes[0].says


@pytest.mark.parametrize(
    ("x", "seamer", "expected"),
    [
        # A body 4 wide at 59: 59 - 2 - 50 1/2 = 6 1/2 on either side.
        ("59", "6 1/2", []),
        ("59", "7", [(3, '6 1/2"'), (4, '6 1/2"')]),
        ("54 3/4", "6", [(3, '2 1/4"')]),
        ("63 1/4", "6", [(4, '2 1/4"')]),
        ("52 1/2", "6", [(3, "no room at all")]),
        ("50", "2", [(3, "no room at all")]),
    ],
)
def test_room_for_a_seaming_machine(
    x: str, seamer: str, expected: list[tuple[int, str]]
) -> None:
    run = run_of(make_pipe(inches(x)), seamer=inches(seamer))
    notes = [(one.number, note) for one in run.rows for note in one.notes]
    assert [number for number, _ in notes] == [number for number, _ in expected]
    for (number, note), (_, said) in zip(notes, expected, strict=True):
        assert note.code == "seamer-room" and f"at seam {number}" in note.says and said in note.says


def test_seams_that_a_curb_cuts_need_no_machine() -> None:
    run = run_of(make_curb(inches(59), across=inches(20)), seamer=inches(9))
    # 49 to 69: seams 50 and 68 are cut; 32 and 86 are 16 1/2 away.
    assert codes(run) == []
    near = run_of(make_curb(inches(59), across=inches(14)), seamer=inches(9))
    assert codes(near) == [(3, "seamer-room"), (4, "seamer-room")]


def test_odd_panels_and_changed_modules_are_told_where_they_begin() -> None:
    case = replace(make_case(odd_panels=1), field=LIMITS)
    run = sheet_of(case, odds=(Odd(0, 3, inches(12)),)).runs[0]
    told = [(one.number, w.first, w.last, w.width, w.kind) for one in run.rows for w in one.lay]
    # Seams at 14, 32, 44, 62, 80; 20 are left: one more at 98 and 2 to the end.
    assert told == [
        (None, 1, 1, inches(14), "end"), (2, 3, 3, inches(12), "odd"), (6, 7, 7, inches(2), "end"),
    ]
    case = replace(make_case(play=inches("1/8"), remeasure=2), field=LIMITS)
    run = sheet_of(case, changes=(Change(0, 1, inches("1/16")),)).runs[0]
    told = [(one.number, w.first, w.last, w.width, w.kind) for one in run.rows for w in one.lay]
    assert told == [
        (None, 1, 1, inches(14), "end"), (1, 2, 3, inches("18 1/16"), "full"),
        (3, 4, 5, inches(18), "full"), (5, 6, 6, inches("13 7/8"), "end"),
    ]


def test_a_hip_roof_is_squared_where_the_triangle_fits() -> None:
    """1000 x 400, hips at 45 degrees: at the start corner nothing stands upright. At the mark of
    the seam at x the slope is x high, and what is left of the eave to the hip's foot 1000 - x; with
    4n up and 3n along (hypotenuse inside), x >= 48 n."""
    outline = make_outline((0, 0, "eave"), (1000, 0, "hip"), (600, 400, "ridge"), (400, 400, "hip"))
    case = make_case(planes=(make_outlined(outline),))
    sheet = sheet_of(case)
    one = sheet.triangle
    assert one is not None and one.seam is not None
    assert one.n == 11  # 33 ft = 396 up, 44 ft = 528 along: from x = 396 on; 12 would be 432 up
    assert (one.along, one.up) == (inches(528), inches(396))
    assert inches(396) <= one.corner <= inches(472) and one.at == one.corner
    (diagonal,) = sheet.diagonals
    assert (diagonal.wide, diagonal.long) == (inches(18), inches(400))


def test_a_valley_at_the_start_moves_the_tape_to_the_corner_of_the_eave() -> None:
    outline = make_outline((0, 60, "valley"), (60, 0, "eave"), (160, 0, "rake"), (160, 60, "ridge"))
    case = replace(make_case(planes=(make_outlined(outline),)), field=LIMITS)
    run = sheet_of(case, inches(16)).runs[0]
    assert (run.datum, run.gaps) == (inches(60), ())
    assert [one.at for one in run.rows] == [
        -inches(60), *(inches(16 + 18 * k) - inches("60 1/2") for k in range(8)), inches(100)]
    assert all(one.at > 0 for one in run.rows if one.line)
    back = make_outlined(outline, lay="right-to-left")
    run = sheet_of(replace(case, planes=(back,)), inches(16)).runs[0]
    assert (run.datum, run.gaps) == (0, ((inches(100), inches(160)),))


def test_a_wing_breaks_the_eave() -> None:
    outline = make_outline((0, 0, "eave"), (100, 0, "valley"), (150, 50, "valley"),
                           (200, 0, "eave"), (300, 0, "rake"), (300, 90, "ridge"), (0, 90, "rake"))
    case = replace(make_case(planes=(make_outlined(outline),)), field=LIMITS)
    run = sheet_of(case).runs[0]
    assert run.gaps == ((inches(100), inches(200)),)
    for one in run.rows:
        assert not one.line or not inches(100) < one.at < inches(200)
    assert any(not none.eave for none in run.no_line)


def test_a_hip_with_a_narrow_last_panel_may_shift_as_far_as_its_pieces_are_legal() -> None:
    """HIP: pieces may be 2 wide and 4 long; the last panel is 14 wide beside a hip of 45 degrees,
    so 14 to 4 is legal: 10 ahead; behind 4, until it is a full panel."""
    case = replace(make_case(planes=(make_outlined(HIP),)), field=LIMITS)
    closing = sheet_of(case).runs[0].closing
    assert closing is not None and not closing.play
    assert (closing.last, closing.ahead, closing.behind) == (inches(14), inches(10), inches(4))


def test_a_curb_over_the_line_of_a_plane_laid_both_ways() -> None:
    plane = make_plane(start=inches(40))
    curb = replace(make_curb(inches(42), across=inches(20)), before=True)
    case = replace(make_case(curb, planes=(plane,)), field=LIMITS)
    high, low = sheet_of(case, inches(4)).runs
    (ahead,) = high.rows[0].here
    assert ahead.low == 0 and ahead.past == inches(2) and not low.rows[0].here
    (note,) = high.rows[0].notes
    assert "panels 1 and -1" in note.says


def leaning(*pens: Penetration, fan: bool, low: str, high: str, back: bool = False) -> PlaneField:
    """100 in of eave, 200 up; at the ridge the rakes stand off by `low` and `high`."""
    lay: Lay = "right-to-left" if back else "left-to-right"
    plane = replace(make_plane(lay=lay), lean=Lean(inches(low), inches(high), fan, inches(100)))
    own = [replace(pen, ends=ends_at(plane, pen.y)) for pen in pens]
    case = make_case(*own, planes=(plane,), play=inches("1/4"), seamer_gap=inches(3))
    return sheet_of(replace(case, field=LIMITS))


def test_square_on_a_roof_out_of_square_the_ridge_is_taped_from_its_own_rake() -> None:
    """The low rake 2 in, the high one 1 in towards the high end: seams stand where they did, so at
    the ridge they are 2 in nearer to the rake; the end panels taper from 14 to 12 and to 15."""
    sheet = leaning(fan=False, low="2", high="1")
    run = sheet.runs[0]
    assert [one.top for one in run.rows] == [
        0, *(inches(x) - inches("2 1/2") for x in (14, 32, 50, 68, 86)), inches(99)]
    assert [(one.width, one.top) for each in run.rows for one in each.lay] == [
        (inches(14), inches(12)), (inches(14), inches(15))]
    closing = run.closing
    assert closing is not None
    # With 1/4 in of play for each full panel: 14 less 6 at the eave, 18 less 15 at the ridge.
    more = closing.full * inches("1/4")
    assert (closing.ahead, closing.behind) == (inches(8) + more, inches(3) + more)
    # The rake leans inwards, so nothing upright fits at the start: the mark of seam 1 is next.
    assert sheet.triangle is not None and sheet.triangle.seam == 1
    back = leaning(fan=False, low="2", high="1", back=True).runs[0]
    assert [one.top for one in back.rows] == [
        0, *(inches(x) + inches("1/2") for x in (14, 32, 50, 68, 86)), inches(99)]


@pytest.mark.parametrize("back", [False, True])
def test_fanned_seams_share_what_the_ridge_is_wider(back: bool) -> None:
    """4 full panels share 1 in: each 18 1/4 at the ridge, the first 14 there too."""
    sheet = leaning(fan=True, low="2", high="3", back=back)
    run = sheet.runs[0]
    tops = [inches(14) + number * inches("18 1/4") - inches("1/2") for number in range(5)]
    assert [one.top for one in run.rows] == [0, *tops, inches(101)]
    assert at(run)[1:-1] == [inches(14) + n * inches(18) - inches("1/2") for n in range(5)]
    assert sheet.triangle is None and sheet.diagonals == ()
    assert run.closing is not None and not run.closing.play


def test_in_a_fan_a_pipe_is_told_from_the_seam_at_its_own_height() -> None:
    """At 100 up the rakes stand 4 off, so seam 3 stands at 54 and its mark at 53 1/2."""
    sheet = leaning(make_pipe(inches(53)), make_pipe(inches(63), "V2"), fan=True, low="8", high="8")
    run = sheet.runs[0]
    assert [(a.pen.id, a.past) for a in row(run, 2).here] == [("V1", inches("17 1/2"))]
    assert [(a.pen.id, a.past) for a in row(run, 3).here] == [("V2", inches("9 1/2"))]
    assert ["seam 3" in note.says for note in row(run, 3).notes] == [True]  # V1 stands in it
    # 49 1/2 at the eave is 53 1/2 here: within 49 to 57 of V1, so the line is seam 2 or 4.
    assert [one.number for one in run.rows if one.line] == [2, 4]
    near = leaning(make_pipe(inches(36)), fan=True, low="8", high="8").runs[0]
    # 31 1/2 at the eave is 35 1/2 at 100 up: within 32 to 40.
    assert [one.number for one in near.rows if one.line] == [3, 4]
