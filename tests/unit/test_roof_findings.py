"""Findings on a roof's shape and curbs: inside, on the limit, a tick outside; distances by hand.

The roof is 160 in wide and 80 in up the slope; its valley runs from (100, 0) to (160, 80), which is
3 along for 4 up, so a point is |4 (x - 100) - 3 y| / 5 from it.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.case import Case, Penetration, Plane
from solver.case_parts import Apart, EdgeKind, Hole, Outline, Pitch
from solver.findings.of_case import case_findings
from solver.findings.of_roof import edge_name
from solver.result import Finding
from solver.shape.edges import edges_of
from tests.unit.builders import inches, make_case, make_curb, make_pipe, make_plane

TICK = 1


def points(*pairs: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    return tuple((inches(x), inches(y)) for x, y in pairs)


def hole(low: tuple[int, int], high: tuple[int, int], kind: EdgeKind = "wall") -> Hole:
    (x0, y0), (x1, y1) = low, high
    return Hole("dormer", Outline(points((x0, y0), (x1, y0), (x1, y1), (x0, y1)), (kind,) * 4))


def valley_roof(*holes: Hole, pitch: Pitch | None = None) -> Plane:
    outline = Outline(
        points((0, 0), (100, 0), (160, 80), (0, 80)), ("eave", "valley", "ridge", "rake")
    )
    plane = make_plane(width=inches(160), length=inches(80))
    return replace(plane, outline=outline, holes=holes, pitch=pitch)


def roof(
    *pens: Penetration,
    plane: Plane | None = None,
    setbacks: tuple[tuple[str, int], ...] = (),
    dead_zone: int = 0,
    **more: int,
) -> Case:
    case = make_case(*pens, planes=(plane or valley_roof(),), **more)
    rules = replace(case.rules, setbacks=setbacks, dead_zone=dead_zone)
    return replace(case, rules=rules)


def found(case: Case, code: str) -> list[Finding]:
    return [finding for finding in case_findings(case) if finding.code == code]


@pytest.mark.parametrize(
    ("x", "more", "told"),
    [(0, 0, False), (0, TICK, True), (-2 * TICK, TICK, False), (TICK, 0, True)],
)
def test_a_setback_counts_from_the_body_of_a_pipe(x: int, more: int, told: bool) -> None:
    """At (80, 40) the centre is 40 in from the valley, the body of 4 in is 38 in; a tick along the
    eave is 4/5 of one from the valley."""
    case = roof(make_pipe(inches(80) + x, y=inches(40)),
                setbacks=(("ridge", inches(5)), ("valley", inches(38) + more)))
    findings = found(case, "setback")
    assert bool(findings) is told
    assert all(finding.about == ("V1",) and "valley" in finding.says for finding in findings)


def test_a_setback_says_how_far_and_whose_figure_it_is() -> None:
    case = roof(make_pipe(inches(80), y=inches(40)), setbacks=(("valley", inches(40)),))
    (finding,) = found(case, "setback")
    assert finding.severity == "warning"
    assert finding.says == (
        'pipe V1 stands 38" from the valley, nearer than the setback of 40" that the case asks for '
        "(its own figure: no published one was found).")


@pytest.mark.parametrize(("more", "told"), [(0, False), (TICK, True)])
def test_a_setback_counts_from_the_nearest_corner_of_a_curb(more: int, told: bool) -> None:
    """Of a curb of 20 x 30 in at (70, 40) the corner at (80, 25) is nearest: 31 in."""
    case = roof(make_curb(inches(70), y=inches(40)), setbacks=(("valley", inches(31) + more),))
    assert bool(found(case, "setback")) is told


@pytest.mark.parametrize(("more", "told"), [(0, False), (TICK, True)])
def test_a_corner_of_a_hole_counts(more: int, told: bool) -> None:
    """From (46, 48) to the hole's corner at (40, 40) it is 10 in, to the body of the pipe 8 in."""
    case = roof(make_pipe(inches(46), y=inches(48)), plane=valley_roof(hole((20, 20), (40, 40))),
                setbacks=(("wall", inches(8) + more),))
    findings = found(case, "setback")
    assert bool(findings) is told
    assert not told or "the wall of the dormer" in findings[0].says


@pytest.mark.parametrize(("x", "told"), [(0, False), (-TICK, True)])
def test_a_corner_of_a_hole_counts_from_the_side_of_a_curb(x: int, told: bool) -> None:
    """The corner at (40, 40) points at the side of a curb from 52 to 72 in."""
    case = roof(make_curb(inches(62) + x, y=inches(40)),
                plane=valley_roof(hole((20, 20), (40, 40))), setbacks=(("wall", inches(12)),))
    assert bool(found(case, "setback")) is told


def test_a_curb_that_an_edge_runs_through_meets_it() -> None:
    case = roof(make_curb(inches(115), y=inches(20)), setbacks=(("valley", 0), ("valley", 1)))
    (finding,) = found(case, "setback")
    assert "curb C1 meets the valley" in finding.says


def test_a_pipe_over_an_edge_meets_it_whatever_the_setback() -> None:
    """At (115, 21) it is 3/5 in from the valley, less than half its 4 in."""
    case = roof(make_pipe(inches(115), y=inches(21)), setbacks=(("valley", 0),))
    (finding,) = found(case, "setback")
    assert "pipe V1 meets the valley" in finding.says
    assert found(roof(make_pipe(inches(80), y=inches(21)), setbacks=(("valley", 0),)),
                 "setback") == []


def test_a_setback_holds_on_a_plain_rectangle_too() -> None:
    """Ridge at 200 in: a pipe of 4 in at 186 in is 12 in from it."""
    plane = make_plane()
    for y, told in ((inches(186), False), (inches(186) + TICK, True)):
        case = roof(make_pipe(inches(50), y=y), plane=plane, setbacks=(("ridge", inches(12)),))
        assert bool(found(case, "setback")) is told


@pytest.mark.parametrize(
    ("x", "y", "told"),
    [
        (inches(50), inches(91), False), (inches(50), inches(91) - TICK, True),
        (inches(62), inches(80), False), (inches(62) - TICK, inches(80), True),
        (inches(38), inches(80), False), (inches(38) + TICK, inches(80), True),
        (inches(50), inches(30), False), (inches(62), inches(50), False),
    ],
)
def test_no_pipe_reaches_into_the_dead_zone_above_a_curb(x: int, y: int, told: bool) -> None:
    """A curb of 20 x 30 in at (50, 50): 24 in above it is from 40 to 60 in, 65 to 89 in up."""
    case = roof(make_curb(inches(50), y=inches(50)), make_pipe(x, y=y), plane=make_plane(),
                dead_zone=inches(24))
    findings = found(case, "dead-zone")
    assert [finding.about for finding in findings] == ([("V1", "C1")] if told else [])
    assert not told or "no source" in findings[0].says


def test_the_corner_of_a_dead_zone_is_met_by_a_disc() -> None:
    """Its corner at (60, 89) is 3 and 4 in from (63, 93): 5 in, half of a pipe of 10 in."""
    curb = make_curb(inches(50), y=inches(50))
    for off, told in ((0, False), (TICK, True)):
        pipe = make_pipe(inches(63) - off, y=inches(93), outside=inches(10), base=inches(14))
        case = roof(curb, pipe, plane=make_plane(), dead_zone=inches(24))
        assert bool(found(case, "dead-zone")) is told
        assert found(roof(curb, pipe, plane=make_plane()), "dead-zone") == []


TEN_DEGREES = Fraction("0.1763269807084649734710903868686189861216")


@pytest.mark.parametrize(
    ("rise", "told"),
    [(Fraction(2, 12), True), (TEN_DEGREES, False), (TEN_DEGREES - Fraction(1, 10**20), True),
     (Fraction(3, 12), False)],
)
def test_a_curb_on_a_low_pitch_needs_a_cricket(rise: Fraction, told: bool) -> None:
    pitch = Pitch("as drawn", rise)
    case = roof(make_curb(inches(50), y=inches(40)), plane=valley_roof(pitch=pitch))
    assert [one.about for one in found(case, "cricket")] == ([("C1",)] if told else [])
    assert found(roof(make_pipe(inches(50)), plane=valley_roof(pitch=pitch)), "cricket") == []


def test_a_wide_curb_is_told_of_once() -> None:
    plane = valley_roof(pitch=Pitch("1:12", Fraction(1, 12)))
    case = roof(make_curb(inches(50), y=inches(40), across=inches(24)), plane=plane)
    assert (len(found(case, "wide-curb")), len(found(case, "cricket"))) == (1, 0)
    unknown = roof(make_curb(inches(50), y=inches(40)))
    assert found(unknown, "wide-curb") == found(unknown, "cricket") == []


@pytest.mark.parametrize(
    ("x", "y", "told"),
    [
        (inches(10), inches(15), ""), (inches(10) - TICK, inches(15), "gable edge (rake)"),
        (inches(10), inches(15) - TICK, "eave"), (inches(10), inches(65) + TICK, "ridge"),
        # The corner at (x + 10, y - 15) is on the valley at x = 90 + 3/4 (y - 15).
        (inches(90), inches(15), ""), (inches(105), inches(35), ""),
        (inches(105) + TICK, inches(35), "valley"),
    ],
)
def test_a_curb_stands_on_the_roof(x: int, y: int, told: str) -> None:
    findings = found(roof(make_curb(x, y=y)), "curb-off-roof")
    assert bool(findings) is bool(told)
    assert not told or f"curb C1 reaches over the {told} of plane S" in findings[0].says


@pytest.mark.parametrize(("x", "told"), [(inches(50), False), (inches(50) - TICK, True),
                                         (inches(30), True)])
def test_a_curb_keeps_out_of_holes(x: int, told: bool) -> None:
    """Beside a hole from 20 to 40 in; at 30 in the hole lies across it."""
    plane = valley_roof(hole((20, 30), (40, 50)))
    findings = found(roof(make_curb(x, y=inches(40)), plane=plane), "curb-off-roof")
    assert bool(findings) is told
    assert not told or "reaches into the dormer of plane S" in findings[0].says


def test_a_hole_within_a_curb_and_a_curb_within_a_hole_are_found() -> None:
    for plane in (valley_roof(hole((48, 38), (52, 42))), valley_roof(hole((20, 10), (80, 70)))):
        assert len(found(roof(make_curb(inches(50), y=inches(40)), plane=plane),
                         "curb-off-roof")) == 1


def test_a_curb_over_the_end_of_a_plain_rectangle_is_found() -> None:
    for x, told in ((inches(90), 0), (inches(90) + TICK, 1)):
        assert len(found(roof(make_curb(x), plane=make_plane()), "curb-off-roof")) == told


@pytest.mark.parametrize(("more", "told"), [(0, False), (TICK, True)])
def test_a_pipe_is_near_where_its_own_roof_ends(more: int, told: bool) -> None:
    """At 20 in up the valley stands at 115 in: 14 in from it, the body of 4 in is 12 in off."""
    pipe = replace(make_pipe(inches(101) + more, y=inches(20)), ends=(0, inches(115)))
    findings = found(roof(pipe), "near-edge")
    assert bool(findings) is told
    assert not told or "from the valley towards the S right end, nearer than" in findings[0].says


def test_a_pipe_over_its_end_does_not_stand_less_than_nothing_from_it() -> None:
    for x, does in ((inches(2), 'stands 0" from'), (inches(2) - TICK, "reaches over")):
        (finding,) = found(roof(make_pipe(x), plane=make_plane()), "near-edge")
        assert f"pipe V1 {does} the S left end, nearer" in finding.says


def test_an_upright_end_keeps_its_name() -> None:
    pipe = replace(make_pipe(inches(10), y=inches(20)), ends=(0, inches(115)))
    (finding,) = found(roof(pipe), "near-edge")
    assert finding.says == (
        'pipe V1 stands 8" from the S left end, nearer than the edge gap of 12".')


def test_an_end_at_a_hole_is_told_by_what_it_is() -> None:
    plane = valley_roof(hole((20, 20), (40, 40)))
    pipe = replace(make_pipe(inches(50), y=inches(30)), ends=(inches(40), inches("122 1/2")))
    (finding,) = found(roof(pipe, plane=plane), "near-edge")
    assert "from the wall of the dormer (at 3' 4\") towards the S left end" in finding.says


def test_edges_of_one_kind_are_told_apart_by_where_they_are() -> None:
    plane = valley_roof(hole((20, 20), (40, 40)))
    case = roof(plane=plane)
    names = [edge_name(case, plane, edge) for edge in edges_of(plane)]
    assert names[:4] == ["eave", "valley", "ridge", "gable edge (rake)"]
    assert sorted(names[4:]) == [
        "wall of the dormer (1' 8\" to 3' 4\" along the eave)",
        "wall of the dormer (1' 8\" to 3' 4\" along the eave)",
        "wall of the dormer (at 1' 8\")", "wall of the dormer (at 3' 4\")",
    ]


def test_what_cannot_meet_is_explained() -> None:
    case = replace(roof(), apart=(Apart(("S", "E"), "hip", "their pitches differ."),))
    case = replace(case, planes=(*case.planes, make_plane("E")))
    (finding,) = found(case, "cannot-meet")
    assert finding.about == ("S", "E")
    assert finding.says == "The seams of S and E cannot meet along their hip: their pitches differ."
