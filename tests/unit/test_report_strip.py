"""The strip drawing: to scale, and honest about which side of a seam a pipe stands on."""

from __future__ import annotations

import itertools

import pytest

from cli.report.lines import plain
from cli.report.strip import Strip
from cli.report.strip_scale import COLUMNS, LEAST_PAN, scale_for
from solver.case import Case, Penetration
from solver.checker.judge import judge
from solver.layout import Layout
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units
from tests.unit.builders import inches, make_case, make_curb, make_pipe, make_plane

MARGIN = 5


def strip_of(case: Case, first: int, moves: tuple[int, ...] | None = None) -> list[str]:
    """The lines of the first plane's strip."""
    judged = judge(case, Layout((first,), moves or (0,) * len(case.penetrations)))
    pairs = list(zip(case.penetrations, judged.penetrations, strict=True))
    return [plain(one) for one in Strip(case, case.planes[0], judged.planes[0], pairs).lines()]


def roof(lines: list[str]) -> str:
    """The only drawn row, from the plane's low end."""
    (row,) = (one for one in lines if one.startswith("    [") or one.endswith("]"))
    return row[MARGIN:].removesuffix("]")


def test_a_strip_by_hand() -> None:
    # 100 in wide, seams at 14, 32, 50, 68, 86 in; one character is 2 in, the coarsest that keeps
    # the plane on one row of 72 and is fine enough: columns 7, 16, 25, 34, 43.
    case = make_case(make_pipe(inches(22), "V1"), make_pipe(inches(50), "V2"),
                     make_pipe(inches("72 1/4"), "V3"))
    lines = strip_of(case, inches(14))
    assert lines[0] == "feet 0'          2'          4'          6'          8'"
    assert roof(lines) == "       |   o    |        @        | x      |      "
    assert lines[1] == "seam " + " " * 7 + "1        2        3        4        5"
    assert lines[3].split() == ["V1", "V2", "V3"]
    assert lines[3].index("V2") == MARGIN + 25


def test_seams_count_from_the_end_where_laying_starts() -> None:
    case = make_case(planes=(make_plane(lay="right-to-left"),))
    lines = strip_of(case, inches(14))
    assert lines[1].split() == ["seam", "5", "4", "3", "2", "1"]


def test_a_move_leaves_an_arrow_where_the_pipe_was_drawn() -> None:
    case = make_case(make_pipe(inches(33), "V1", status="planned"),
                     make_pipe(inches(66), "V2", status="planned"))
    drawn = roof(strip_of(case, inches(14), (inches(8), inches(-7))))
    # The first was drawn on a seam's column: the seam stays, the arrow stands beside it.
    assert drawn[33 // 2 : 41 // 2 + 1] == "|>  o"
    assert drawn[59 // 2] == "o" and drawn[66 // 2] == "<"


def test_a_curb_shows_what_it_cuts_and_whether_it_is_crowded() -> None:
    cut = roof(strip_of(make_case(make_curb(inches(41), across=inches(24))), inches(14)))
    assert cut[29 // 2 : 54 // 2] == "##+########+#"  # from 29 to 53 in, seams at 32 and 50
    crowded = roof(strip_of(make_case(make_curb(inches(36), across=inches(6))), inches(14)))
    assert "c" in crowded and "+" not in crowded and "#" not in crowded


@pytest.mark.parametrize("eighths", range(0, 18 * 8, 3))
@pytest.mark.parametrize("first", ["6", "9 5/16", "13 7/8"])
def test_a_pipe_is_on_a_seam_in_the_drawing_only_if_it_is_on_one(first: str, eighths: int) -> None:
    case = make_case(make_pipe(inches(600) + eighths * TICKS_PER_INCH // 8, "V1"),
                     planes=(make_plane(width=inches(1200)),))
    lay = Layout((inches(first),), (0,))
    judged = judge(case, lay)
    stands, ends = judged.penetrations[0], judged.planes[0]
    strip = Strip(case, case.planes[0], ends, [(case.penetrations[0], stands)])
    rows = [row for row in strip.rows if row.pens]
    assert len(rows) == 1
    (column,) = rows[0].pens
    seams = {strip.scale.column(seam) for seam in ends.seams}
    if stands.state == "on-seam":
        assert column in seams
    else:
        assert column not in seams
        # Between the right two seams, and within a column of the truth.
        low = max(s for s in ends.seams if s <= stands.x)
        assert strip.scale.column(low) < column
        assert abs(column - strip.scale.column(stands.x)) <= 1


@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_pan_is_at_least_four_characters_and_a_row_fits(units: Units) -> None:
    covers = [inches(n) for n in (5, 8, 12, 15, 16, 18, 20, 24, 36)] if units == "in" else [
        TICKS_PER_MM * n for n in (125, 250, 300, 333, 400, 475, 530, 600, 1000)]
    widths = [TICKS_PER_MM * n for n in (300, 2000, 7000, 21945, 60000, 1000000)]
    for cover, width in itertools.product(covers, widths):
        scale = scale_for(units, cover, width)
        assert cover >= LEAST_PAN * scale.character
        assert scale.row <= COLUMNS * scale.character
        assert scale.row % scale.step == 0 and scale.step % scale.character == 0


def test_empty_stretches_of_a_long_plane_are_skipped_and_named() -> None:
    pens = (make_pipe(inches(100), "V1"), make_pipe(inches(6000), "V2"))
    case = make_case(*pens, planes=(make_plane(width=inches(12000)),))
    lines = strip_of(case, inches(9))
    assert sum(one.startswith("feet") for one in lines) == 3  # both pipes, and the far end
    assert sum("no penetrations, not drawn" in one for one in lines) == 2
    assert lines[-2].endswith("]") or lines[-3].endswith("]")


def test_hundreds_of_pipes_stay_within_the_page() -> None:
    pens: tuple[Penetration, ...] = tuple(
        make_pipe(inches(20) + n * inches(5), f"PIPE-{n}") for n in range(400)
    )
    case = make_case(*pens, planes=(make_plane(width=inches(2544)),))
    lines = strip_of(case, inches(9))
    assert max(map(len, lines)) <= 80
    assert len(lines) < 120
    assert any("see the table" in one for one in lines)


def test_a_single_panel_and_pipes_outside_the_ends_are_drawn() -> None:
    case = make_case(make_pipe(0, "A"), make_pipe(inches(15), "B"),
                     planes=(make_plane(width=inches(15)),))
    lines = strip_of(case, inches(15))
    assert any("A" in one for one in lines) and any("B" in one for one in lines)
    assert max(map(len, lines)) <= 80
