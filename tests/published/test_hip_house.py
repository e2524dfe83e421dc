"""The panel list of a hip house, every piece recomputed by hand from its plan and its pitch.

The house is 40 ft by 24 ft, every slope 6:12: two trapezoids and two triangles whose hips run at 45
degrees in plan. Sources:

* framing square, length of common rafter per foot of run and of hip per foot of common run, at
  6:12: 13.42 and 18.00 (the table common to framing squares, from memory for this pitch; the 12:12
  line of the same table is printed in Griffith, Carpentry, appendix IV, read).
* that each is the square root behind it, 12 x sqrt(1 + (6/12)^2) and 12 x sqrt(2 + (6/12)^2), is
  the Pythagorean theorem.
* lengths of pieces: similar triangles. At x in from the corner of a slope the hip stands x / 12 x
  13.416 up it, for its run in plan equals x.
* legs, turn-ups and hooks: common practice, no source; here the figures of the case's own sheet.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import atan, degrees, hypot, sqrt
from pathlib import Path
from typing import NamedTuple

import pytest

from solver.case import Case, Plane
from solver.case_parts import Outline
from solver.panels.list import panel_list
from solver.panels.parts import Mark, PanelList
from solver.shape.edges import edges_of
from solver.units import round_half_away
from tests.unit.builders import inches, make_plane
from tests.unit.cli_runs import offseam
from tests.unit.panel_cases import SHEET, inch, laid, roof

TABLE_COMMON, TABLE_HIP = 13.42, 18.00
FACTOR = sqrt(1 + Fraction(6, 12) ** 2)
LONG, SHORT, RUN, COVER = 480, 288, 144, 18
EAVE_HOOK, HIP_UP, RIDGE_UP, MALE, FEMALE, TURN_UP = 1, 1.75, 1.5, 1.25, 1.5, 1
TICK = 1 / 16256


def slope(y: int) -> int:
    """Inches in plan as ticks on the slope, rounded once."""
    return round_half_away(Fraction(inches(y) * FACTOR))


def trapezoid(name: str) -> Plane:
    up = slope(RUN)
    points = ((0, 0), (inches(LONG), 0), (inches(LONG - RUN), up), (inches(RUN), up))
    shape = Outline(points, ("eave", "hip", "ridge", "hip"))
    return replace(make_plane(name), width=inches(LONG), length=up, outline=shape)


def triangle(name: str) -> Plane:
    up = slope(RUN)
    shape = Outline(((0, 0), (inches(SHORT), 0), (inches(RUN), up)), ("eave", "hip", "hip"))
    return replace(make_plane(name), width=inches(SHORT), length=up, outline=shape)


def house() -> Case:
    return roof(planes=(trapezoid("N"), triangle("E"), trapezoid("S"), triangle("W")))


LONG_SEAMS = range(15, LONG, COVER)  # 15, 33, …, 465: 26 seams, 27 panels, 15 in at both ends
SHORT_SEAMS = range(9, SHORT, COVER)  # 9, 27, …, 279: 16 seams, 17 panels, the peak in the ninth


def found() -> PanelList:
    case = house()
    seams = (LONG_SEAMS, SHORT_SEAMS, LONG_SEAMS, SHORT_SEAMS)
    return panel_list(case, laid(case, *seams), 1)


class Wanted(NamedTuple):
    """What a hand list says of one panel (inches)."""

    low: float
    high: float
    flat: float
    length: float
    cuts: tuple[tuple[str, str, float], ...]  # of the upper end: kind, long side, width
    left: str
    right: str


def by_hand(wide: int, seams: Sequence[float] = ()) -> list[Wanted]:
    """Every panel of a slope with hips at both ends, from the eave's width alone."""
    at = [0, *(seams or (LONG_SEAMS if wide == LONG else SHORT_SEAMS)), wide]
    rows = []
    for place, (low, high) in enumerate(pairwise(at)):
        first, last = place == 0, place == len(at) - 2
        flat = high - low + (TURN_UP if first else FEMALE) + (TURN_UP if last else MALE)
        # How far in from the nearer corner the farthest point of the panel lies, in plan.
        middle = min(max(wide // 2, low), high)
        inmost = min(max(min(x, wide - x) for x in (low, middle, high)), RUN)
        length = inmost * FACTOR + EAVE_HOOK
        cuts = []
        for kind, side, one, other in (
            ("hip", "right", 0, RUN), ("ridge", "", RUN, wide - RUN), ("hip", "left", wide - RUN,
                                                                      wide),
        ):
            part = min(high, other) - max(low, one)
            if part > 0:
                cuts.append((kind, side, part))
        # The hip is turned up more than the ridge; both meet at its inner end.
        length += HIP_UP if any(kind == "hip" for kind, _, _ in cuts) else RIDGE_UP
        rows.append(Wanted(low, high, flat, length, tuple(cuts),
                           "none" if first else "female", "none" if last else "male"))
    return rows


@pytest.mark.parametrize("plane, wide", list(enumerate((LONG, SHORT, LONG, SHORT))))
def test_every_piece_of_every_slope(plane: int, wide: int) -> None:
    own = found().planes[plane]
    pieces = sorted((piece for mark in own.marks for piece in mark.pieces), key=lambda p: p.low)
    wanted = by_hand(wide)
    assert len(pieces) == len(wanted) == (27 if wide == LONG else 17)
    for piece, row in zip(pieces, wanted, strict=True):
        assert (inch(piece.low), inch(piece.high)) == (row.low, row.high)
        assert inch(piece.rip) == pytest.approx(row.flat, abs=1e-12)
        assert float(inch(piece.length)) == pytest.approx(row.length, abs=2 * TICK)
        assert (piece.left, piece.right) == (row.left, row.right)
        assert [(cut.kind, cut.long) for cut in piece.upper] == [cut[:2] for cut in row.cuts]
        assert [inch(cut.right[0] - cut.left[0]) for cut in piece.upper] == [
            cut[2] for cut in row.cuts]
        assert [(cut.kind, cut.degrees) for cut in piece.lower] == [("eave", 0)]
        for cut in piece.upper:
            if cut.kind == "hip":
                assert cut.degrees == pytest.approx(degrees(atan(FACTOR)), abs=1e-4)


def test_some_pieces_in_figures() -> None:
    """By pencil, 13.4164 in of slope for a foot of run.

    Slope S: first panel 15 in: 15/12 x 13.4164 = 16.77, and 1 and 1 3/4: 19.52. The second reaches
    33 in: 36.90 + 2.75 = 39.65, the eighth 141 in: 157.64 + 2.75 = 160.39. Panels 9 and 19 hold the
    ends of the ridge, 144 in from the corners: 12 x 13.4164 = 161.00, and 2.75: 163.75, cut for 3
    in and for 15 in. Those between are 161.00, and 1 and 1 1/2: 163.50.
    Slope E: the ninth has the peak in its middle, 9 in to either side: 163.75, 10.06 back.
    """
    south, east = found().planes[2], found().planes[1]

    def at(marks: tuple[Mark, ...], panel: int) -> Mark:
        return next(m for m in marks if panel in [piece.panel for piece in m.pieces])

    def figures(mark: Mark) -> float:
        return round(float(inch(mark.piece.length)), 2)

    assert [figures(at(south.marks, n)) for n in (1, 2, 8, 9, 10, 18, 19, 27)] == [
        19.52, 39.65, 160.39, 163.75, 163.5, 163.5, 163.75, 19.52]
    assert [len(at(south.marks, n).pieces) for n in (1, 9, 10)] == [1, 1, 9]
    ninth = at(east.marks, 9).piece
    assert round(float(inch(ninth.length)), 2) == 163.75
    assert [round(float(inch(cut.left[1])), 2) for cut in ninth.upper] == [10.06, 0]
    corner = at(south.marks, 9).piece
    assert [(cut.kind, inch(cut.right[0] - cut.left[0])) for cut in corner.upper] == [
        ("hip", 3), ("ridge", 15)]


def test_against_the_framing_square() -> None:
    # A common rafter of 12 ft of run: 12 x 13.42; the table's last digit is worth 12 x 0.005.
    middle = max(
        (mark for mark in found().planes[0].marks), key=lambda mark: len(mark.pieces)).piece
    rafter = float(inch(middle.length)) - EAVE_HOOK - RIDGE_UP
    assert rafter == pytest.approx(12 * TABLE_COMMON, abs=12 * 0.005)
    # The hip of the whole house, and what one panel's cover takes of it.
    hips = [edge for edge in edges_of(trapezoid("N")) if edge.kind == "hip"]
    for edge in hips:
        assert edge.length / inches(1) == pytest.approx(12 * TABLE_HIP, abs=12 * 0.005)
    second = found().planes[0].marks[1].piece
    cut = second.upper[0]
    assert hypot(COVER, float(inch(cut.slant * inches(COVER)))) == pytest.approx(
        COVER / 12 * TABLE_HIP, abs=COVER / 12 * 0.005)


def test_areas_are_those_of_the_plan_on_the_slope() -> None:
    """Roof: plan 40 x 24 ft = 960 sq ft, times the factor of the pitch. Panels: width x length of
    the hand list."""
    own = found()
    foot2 = inches(12) ** 2
    assert float(own.roof / foot2) == pytest.approx(960 * FACTOR, rel=5e-7)
    assert float(own.roof / foot2) == pytest.approx(960 * TABLE_COMMON / 12, rel=0.005 / 13.42)
    flat = 2 * sum(row.flat * row.length for wide in (LONG, SHORT) for row in by_hand(wide))
    assert float(own.metal / foot2) == pytest.approx(flat / 144, rel=1e-6)
    assert own.pieces == 2 * 27 + 2 * 17


def test_the_command_on_the_house_as_drawn_in_plan(tmp_path: Path) -> None:
    """The case as an architect draws it: plan and pitch, the layout left to the program."""
    corners = {
        "S": f"{{x=0,y=0}}, {{x={LONG},y=0}}, {{x={LONG - RUN},y={RUN}}}, {{x={RUN},y={RUN}}}",
        "E": f"{{x=0,y=0}}, {{x={SHORT},y=0}}, {{x={RUN},y={RUN}}}",
    }
    text = f"""title = "A hip house"
units = "in"
[panel]
cover = {COVER}
[sheet]
male = {MALE}
female = {FEMALE}
turn_up = {TURN_UP}
eave_hook = {EAVE_HOOK}
ridge_up = {RIDGE_UP}
hip_up = {HIP_UP}
"""
    for name, points in corners.items():
        text += f'[[plane]]\nid = "{name}"\npitch = "6:12"\nin_plan = true\n'
        text += f"outline = [{points}]\n"
    target = tmp_path / "house.toml"
    target.write_text(text, encoding="utf-8")
    done = offseam("panels", str(target), "--json", "-")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    for plane, wide in zip(told["planes"], (LONG, SHORT), strict=True):
        own = [(piece, mark) for mark in plane["marks"] for piece in mark["pieces"]]
        own.sort(key=lambda pair: pair[0]["panel"])
        wanted = by_hand(wide, [piece["x_to"] for piece, _ in own][:-1])
        assert len(own) == len(wanted)
        for (piece, mark), row in zip(own, wanted, strict=True):
            assert (piece["x_from"], piece["x_to"]) == (row.low, row.high)
            assert mark["rip_width"] == row.flat
            # printed to the nearest sixteenth
            assert mark["cut_length"] == pytest.approx(row.length, abs=1 / 32 + 2 * TICK)
            kinds = [(cut["kind"], cut["long_side"] or "") for cut in mark["upper_end"]]
            assert kinds == [cut[:2] for cut in row.cuts]
            assert {cut["degrees_from_square"] for cut in mark["upper_end"]} <= {0, 48.2}
            assert {cut["rise_per_cover"] for cut in mark["upper_end"]} <= {0, 20.125}
    assert told["totals"]["roof_area"] == pytest.approx(480 * FACTOR, abs=0.01)


def test_the_house_has_the_sheet_that_was_reckoned_with() -> None:
    sheet = SHEET
    assert [inch(x) for x in (sheet.eave_hook, sheet.hip_up, sheet.ridge_up, sheet.male,
                              sheet.female, sheet.turn_up)] == [
        Fraction(x) for x in (EAVE_HOOK, HIP_UP, RIDGE_UP, MALE, FEMALE, TURN_UP)]
