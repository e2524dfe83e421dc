"""Field sheets of random roofs: figures added up again, control lines, closing against the checker.

What a sheet says is held against plain sums of panel widths, written here, and against
`solver.checker.judge`, which shares nothing with the sheets.
"""

from __future__ import annotations

import csv
import io
import random
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from cli.field_csv import field_csv
from solver.api import case_from_document
from solver.case import Case
from solver.case_parts import Field, Lean
from solver.checker.judge import judge
from solver.errors import ChoiceError
from solver.field.limits import field_of
from solver.field.parts import FieldSheets, Run
from solver.field.sheet import field_sheets
from solver.layout import Change, Layout, Odd
from solver.shape.edges import holds
from solver.tabling.starts import legal_firsts
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, parse_length
from strategies import random_case, random_case_stage2
from strategies_outline import random_roof
from tests.unit.builders import inches, make_case, make_pipe, make_plane

SEEDS = range(610_000, 610_060)


def sheets(case: Case, seed: int) -> FieldSheets:
    """The sheets of some layout, with limits drawn so that several control lines come about."""
    dice = random.Random(seed)
    cover = case.panel.cover
    limits = Field(
        dice.choice((case.panel.seam_back, 0, -case.panel.seam_fwd)),
        dice.choice((cover, 2 * cover, 3 * cover + case.mark, 5 * cover)),
        dice.choice((cover, 4 * cover, 50 * cover)), inches(12),
    )
    case = replace(case, field=limits)
    firsts = []
    for plane in case.planes:
        legal = [int(first) for first in legal_firsts(case, plane)]
        firsts.append(dice.choice(legal) if legal else min(cover, plane.width))
    layout = Layout(tuple(firsts), (0,) * len(case.penetrations))
    return field_sheets(case, judge(case, layout), 1)


def any_case(seed: int) -> Case:
    """Plain roofs, roofs laid from lines with creep and the like, and roofs with outlines."""
    if seed % 3 == 0:
        return case_from_document(random_case(seed))
    if seed % 3 == 1:
        return case_from_document(random_case_stage2(seed))
    return random_roof(seed)


def summed(found: FieldSheets, run: Run, plane: int) -> list[int]:
    """Where the seams of a run stand from its start: panel widths added up one by one."""
    sheet = found.planes[plane]
    bounds = [0, *sheet.judged.seams, sheet.plane.width]
    widths = [high - low for low, high in pairwise(bounds)]
    begin = bounds.index(run.start)
    own = widths[begin:] if run.way == 1 else widths[:begin][::-1]
    sums, at = [], 0
    for width in own:
        at += width
        sums.append(at)
    return sums


@pytest.mark.parametrize("seed", SEEDS)
def test_running_dimensions_added_again(seed: int) -> None:
    found = sheets(any_case(seed), seed)
    mark = found.limits.tape_mark
    for place, sheet in enumerate(found.planes):
        assert sum(len(run.rows) - 1 for run in sheet.runs) == sheet.judged.panels
        for run in sheet.runs:
            sums = summed(found, run, place)
            assert [row.centre for row in run.rows] == [0, *sums]
            assert run.far == sums[-1]
            assert [row.at for row in run.rows[1:-1]] == [
                at - mark - run.datum for at in sums[:-1]
            ]
            assert run.rows[-1].at == run.far - run.datum
            # From line to line: what is told adds up to the tick.
            gone, line, lines = 0, None, 0
            for row in run.rows[1:]:
                assert row.control == line and gone + row.back == row.at
                if row.line:
                    lines += 1
                    assert row.line == lines
                    gone, line = row.at, row.number


@pytest.mark.parametrize("seed", SEEDS)
def test_every_printed_figure_is_within_half_a_mark(seed: int) -> None:
    case = any_case(seed)
    found = sheets(case, seed)
    fine = min(case.mark, TICKS_PER_INCH // 16 if case.units == "in" else TICKS_PER_MM)
    rows = list(csv.DictReader(io.StringIO(field_csv(found, True).removeprefix("\ufeff"))))
    told = [row for row in rows if row["what"] in ("start", "seam", "end")]
    exact = [row for sheet in found.planes for run in sheet.runs for row in run.rows]
    assert len(told) == len(exact)
    for row, own in zip(told, exact, strict=True):
        for heading, ticks in (("start to mark", own.at), ("from control line", own.back)):
            if row[heading]:
                said = parse_length(row[heading].lstrip("'"), case.units)
                assert 2 * abs(said - ticks) <= fine, (row, ticks)
                number = parse_length(float(row[f"{heading} ({case.units})"]), case.units)
                assert number == ticks


@pytest.mark.parametrize("seed", SEEDS)
def test_control_lines_never_run_through_a_flashing_and_are_the_nearest(seed: int) -> None:
    found = sheets(any_case(seed), seed)
    every = found.limits.control
    for sheet in found.planes:
        strips = []
        for pen, stands in zip(found.case.penetrations, found.judged.penetrations, strict=True):
            if pen.plane == sheet.plane.id:
                wide = Fraction(pen.base if pen.kind == "pipe" else pen.across, 2)
                strips.append((stands.x - wide, stands.x + wide))
        for hole in sheet.plane.holes:
            xs = [x for x, _ in hole.outline.points]
            strips.append((Fraction(min(xs)), Fraction(max(xs))))
        for run in sheet.runs:
            seams = [row for row in run.rows if row.kind == "seam"]
            clear = set()
            for row in seams:
                x = run.start + run.way * (row.centre - found.limits.tape_mark)
                blocked = any(low < x < high for low, high in strips)
                # Beside a point at which a corner only touches the eave there is none.
                eave = sheet.plane.outline is None or (
                    0 <= x <= sheet.plane.width and holds(sheet.plane, x, 0)
                )
                assert not (row.line and (blocked or not eave))
                if row.at > 0 and not blocked and eave:
                    clear.add(row.at)
            lines = {row.at for row in seams if row.line}
            last = max((row.at for row in seams), default=0)
            missing = {one.target for one in run.no_line}
            for target in range(every, last + 1, every):
                near = [at for at in clear if 2 * abs(at - target) <= every]
                if near and sheet.plane.outline is None:
                    assert min(near, key=lambda at: (abs(at - target), at)) in lines
                if not near and any(2 * abs(row.at - target) <= every and row.at > 0
                                    for row in seams):
                    assert target in missing


@pytest.mark.parametrize("seed", SEEDS)
def test_every_penetration_is_told_once_where_it_stands(seed: int) -> None:
    found = sheets(any_case(seed), seed)
    told = []
    for sheet in found.planes:
        for run in sheet.runs:
            for row in run.rows:
                for ahead in row.here:
                    told.append(ahead.pen.id)
                    at = run.way * (ahead.stands.x - run.start)
                    assert row.at + ahead.past == at - run.datum
                    assert ahead.low == row.number
                    if ahead.pen.kind == "pipe":
                        after = run.rows[run.rows.index(row) + 1]
                        assert row.centre <= at < after.centre or at in (0, run.far)
                        assert ahead.high == after.number
                        assert ahead.on == (row.number is not None and row.centre == at)
    assert sorted(told) == sorted(pen.id for pen in found.case.penetrations)


@pytest.mark.parametrize("seed", [seed for seed in range(610_100, 610_220) if seed % 3 == 2])
def test_the_triangle_lies_on_the_roof(seed: int) -> None:
    found = sheets(random_roof(seed), seed)
    for sheet in found.planes:
        one = sheet.triangle
        if one is None:
            continue
        assert {one.along, one.up} == {3 * one.n * one.unit, 4 * one.n * one.unit}
        assert one.along**2 + one.up**2 == one.across**2
        for share in (Fraction(part, 97) for part in range(98)):
            there, top = one.corner + one.way * one.along, one.up
            assert holds(sheet.plane, one.corner + one.way * one.along * share, 0)
            assert holds(sheet.plane, one.corner, top * share)
            assert holds(sheet.plane, there + (one.corner - there) * share, top * share)


def has_panels(case: Case, layout: Layout) -> bool:
    """Whether a layout names no panel that the plane does not have."""
    try:
        judge(case, layout)
    except ChoiceError:
        return False
    return True


@pytest.mark.parametrize("seed", range(40))
def test_what_still_closes_is_what_the_checker_lets_pass(seed: int) -> None:
    """Drift is a plane that is narrower (ahead) or wider (behind) by as much: brute force over it,
    and over every width that the play leaves the full panels of the closing stretch."""
    dice = random.Random(seed)
    fine = inches("1/16")
    play = dice.choice((0, inches("1/16"), inches("1/8")))
    lay = dice.choice(("left-to-right", "right-to-left"))
    width = inches(dice.randrange(60, 170)) + dice.randrange(16) * fine
    plane = make_plane("S", width=width, lay=lay)  # type: ignore[arg-type]
    if dice.random() < 0.4:  # out of square: both ends are legal at the ridge as well
        plane = replace(plane, lean=Lean(
            inches(dice.randrange(-3, 4)), inches(dice.randrange(-3, 4)), False, width))
    case = make_case(planes=(plane,), play=play, play_mark=inches("1/16"), remeasure=1,
                     odd_panels=1, min_end=inches(6))
    case = replace(case, field=Field(0, inches(120), inches(dice.choice((30, 50, 80))), inches(12)))
    layouts = [
        Layout((int(first),), (), odds)
        for first in legal_firsts(case, plane)
        for odds in ((), (Odd(0, 2, inches(12)),), (Odd(0, 3, inches(12)),))
    ]
    dice.shuffle(layouts)
    layout = next(one for one in layouts if has_panels(case, one) and not judge(case, one).breaks)
    judged, odds, first = judge(case, layout), layout.odds, layout.firsts[0]
    run = field_sheets(case, judged, 1).planes[0].runs[0]
    closing, panels = run.closing, judged.planes[0].panels
    assert closing is not None and closing.seam is not None
    full = [n for n in range(closing.seam + 1, panels) if all(odd.panel != n for odd in odds)]
    assert (closing.panels, closing.full) == (panels - closing.seam, len(full))
    assert run.rows[closing.seam].closing
    assert run.far - run.rows[closing.seam].centre <= field_of(case).closing
    assert closing.seam == 1 or run.far - run.rows[closing.seam - 1].centre > case.field.closing  # type: ignore[union-attr]

    def closes(drift: int) -> bool:
        """Some change of the full panels makes the plane, narrower by `drift`, legal: all at the
        same change but for what is left over, which the end takes."""
        narrow = replace(case, planes=(replace(plane, width=width - drift),))
        for ticks in range(-play, play + 1, fine):
            changes = tuple(Change(0, n - 1, ticks) for n in full if ticks)
            try:
                again = judge(narrow, Layout((first,), (), odds, changes))
            except ChoiceError:
                continue
            if not again.breaks and again.planes[0].panels == panels:
                return True
        return False

    for drift in (0, closing.ahead, closing.ahead // 2, -closing.behind, -closing.behind // 2):
        assert closes(drift)
    if plane.lean is not None:
        assert run.rows[-1].top == width + (plane.lean.high - plane.lean.low)
    for drift in (closing.ahead + 1, -closing.behind - 1, closing.ahead + inches(1)):
        assert not closes(drift)
    assert closing.play == bool(play and full)


def test_a_drift_case_with_figures_made_by_hand() -> None:
    """100 in, first 14: seams at 14, 32, 50, 68, 86, the last 14 wide. From 50 in on three panels
    remain, two of them full: without play 14 - 6 = 8 in ahead, 18 - 14 = 4 in behind; with 1/8 in
    of play each of the two gives or takes 1/8 in more."""
    for play, more in ((0, 0), (inches("1/8"), inches("1/4"))):
        case = replace(make_case(make_pipe(inches(59)), play=play),
                       field=Field(inches("1/2"), inches(120), inches(50), inches(12)))
        closing = field_sheets(case, judge(case, Layout((inches(14),), (0,))), 1).planes[0].runs[
            0].closing
        assert closing is not None and closing.seam == 3
        assert closing.remains == inches("50 1/2")
        assert (closing.panels, closing.full, closing.last) == (3, 2, inches(14))
        assert (closing.ahead, closing.behind) == (inches(8) + more, inches(4) + more)
        assert closing.about == ("V1",)
