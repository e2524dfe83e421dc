"""Findings on layouts: centres missed, walls without a seam, pans that a pipe splits; by hand.

Seams stand at 14, 32, 50, 68 and 86 in on a plane of 100 x 200 in.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.case import Case, Penetration, Plane
from solver.case_parts import Centre, Hole, Outline
from solver.checking import Checked
from solver.findings.of_answer import checked_findings, result_findings
from solver.findings.of_case import case_findings
from solver.findings.of_roof_answer import chord, end_laps2, roof_verdicts, wall_gaps2
from solver.result import Against, Finding, Judged, JudgedCentre, Ranked
from tests.unit.builders import (
    inches,
    look,
    make_case,
    make_centre,
    make_curb,
    make_pipe,
    make_plane,
    make_sheet,
)


def roof(*pens: Penetration, plane: Plane | None = None, longest: int | None = None) -> Case:
    case = make_case(*pens, planes=(plane or make_plane(),))
    rules = replace(case.rules, split_below=inches(16), land_tol=inches("1/8"))
    sheet = None if longest is None else replace(make_sheet(), max_length=longest)
    return replace(case, rules=rules, sheet=sheet)


def told(case: Case, judged: Judged | None = None, code: str = "split-pan") -> list[Finding]:
    found = roof_verdicts(case, [("Layout 1", judged or look(case))])
    return [finding for finding in found if finding.code == code]


def test_a_pipe_on_a_seam_splits_its_pan() -> None:
    (finding,) = told(roof(make_pipe(inches(50))))
    assert (finding.severity, finding.about) == ("note", ("V1",))
    assert finding.says == (
        'Layout 1: pipe V1 meets seam 3, so its pan is split: a splice from 16" below its body to '
        "the top of it is 20\" long, from 6' 10\" to 8' 6\" up the slope. Keep it off end laps and "
        "fixed points.")


def test_only_a_pipe_on_a_seam_does() -> None:
    assert told(roof(make_pipe(inches(41)), make_pipe(inches(54), "V2"))) == []
    assert told(roof(make_curb(inches(50)))) == []
    end = roof(make_pipe(inches(2)))
    assert look(end).penetrations[0].state == "on-seam" and told(end) == []


def test_only_the_first_layout_is_told_of() -> None:
    case = roof(make_pipe(inches(50)))
    clear = look(case, first=inches(9))
    assert clear.penetrations[0].state == "clear"
    found = roof_verdicts(case, [("Layout 1", clear), ("Layout 2", look(case))])
    assert found == []


def test_the_roof_may_end_below_it() -> None:
    """The body is from 8 to 12 in up: 16 in below it there is no roof."""
    (finding,) = told(roof(make_pipe(inches(50), y=inches(10))))
    assert finding.severity == "warning"
    assert ('a splice from the eave, nearer below its body than 16", to the top of it is 12" long, '
            "from 0\" to 1' 0\" up the slope.") in finding.says
    (fits,) = told(roof(make_pipe(inches(50), y=inches(18))))
    assert fits.severity == "note" and 'is 20" long, from 0"' in fits.says


@pytest.mark.parametrize(
    ("y", "near"),
    [
        # A panel of 202 1/2 in with its hook and turn-up, in two lengths of 104 1/4: the lap is
        # from 97 1/4 to 103 1/4 in. The splice is from 18 in below the centre to 2 in above it.
        (inches("89 1/4"), False), (inches("89 1/4") + 1, True), (inches(100), True),
        (inches("127 1/4") - 1, True), (inches("127 1/4"), False),
    ],
)
def test_a_splice_keeps_a_lap_away_from_end_laps(y: int, near: bool) -> None:
    (finding,) = told(roof(make_pipe(inches(50), y=y), longest=inches(120)))
    assert (finding.severity == "warning") is near
    assert ("Equal lengths would lap at 8' 1 1/4\" to 8' 7 1/4\", nearer to it than 6\"" in
            finding.says) is near
    (long,) = told(roof(make_pipe(inches(50), y=y), longest=inches(240)))
    assert long.severity == "note"


def test_end_laps_of_equal_lengths() -> None:
    """202 1/2 in: one length of 202 1/2, else two of (202 1/2 + 6) / 2, or three of
    (202 1/2 + 12) / 3 = 71 1/2, which lap every 65 1/2 in from 1 in below the eave."""
    for longest, places in (
        ("202 1/2", []), ("202", ["97 1/4"]), ("104 1/4", ["97 1/4"]),
        ("104 3/16", ["64 1/2", "130"]), ("71 1/2", ["64 1/2", "130"]),
    ):
        case = roof(longest=inches(longest))
        low, high = chord(case.planes[0], inches(50), inches(100))
        assert end_laps2(case, low, high) == [2 * inches(place) for place in places]
    assert end_laps2(roof(), low, high) == []


def test_where_the_roof_ends_along_a_panel() -> None:
    """A valley from (0, 40) to (60, 0), a hole from 20 to 80 in along and 100 to 120 in up."""
    corners = ((60, 0), (100, 0), (100, 200), (0, 200), (0, 40))
    outline = Outline(tuple((inches(x), inches(y)) for x, y in corners),
                      ("eave", "rake", "ridge", "rake", "valley"))
    box = tuple((inches(x), inches(y)) for x, y in ((20, 100), (80, 100), (80, 120), (20, 120)))
    plane = replace(make_plane(), outline=outline, holes=(Hole("h", Outline(box, ("wall",) * 4)),))
    low, high = chord(plane, inches(30), inches(50))
    assert (low, high) == ((inches(20), "valley"), (inches(100), "wall"))
    low, high = chord(plane, inches(30), inches(150))
    assert (low, high) == ((inches(120), "wall"), (inches(200), "ridge"))
    assert chord(plane, inches(10), inches(50))[0] == (Fraction(inches(100), 3), "valley")


def centred(case: Case, *, hit: bool, off2: int | None, on: str = "pan") -> tuple[Case, Judged]:
    asked = Centre("S", inches(41), "pan" if on == "pan" else "rib", inches(1), False, "hip peak")
    case = replace(case, centres=(asked,))
    centre = JudgedCentre("S", "hip peak", on, inches(41), hit, off2)
    return case, replace(look(case), centres=(centre,))


def test_a_centre_missed_is_told_with_how_far() -> None:
    case, judged = centred(roof(), hit=False, off2=-2 * inches(3))
    (finding,) = told(case, judged, "off-centre")
    assert (finding.severity, finding.about) == ("warning", ("S",))
    assert finding.says == (
        "Layout 1: NO pan stands on the hip peak of plane S (3' 5\"): the middle of the nearest is "
        '3" off, towards the S left end; 1" is allowed.')
    case, judged = centred(roof(), hit=False, off2=None, on="rib")
    assert "NO rib stands on the hip peak" in told(case, judged, "off-centre")[0].says
    assert "the plane has no seam." in told(case, judged, "off-centre")[0].says
    case, judged = centred(roof(), hit=True, off2=0)
    assert told(case, judged, "off-centre") == []


def ribbed(case: Case, *landed: bool) -> Judged:
    judged = look(case)
    (stands,) = judged.penetrations
    walls = (landed[0], landed[1])
    return replace(judged, penetrations=(replace(stands, landed=walls),))


def test_a_wall_without_a_seam_is_told() -> None:
    """Walls at 32 and 52 in: a seam on the one, one 2 in off the other."""
    case = roof(replace(make_curb(inches(42)), detail="ribbed"))
    assert wall_gaps2(case.penetrations[0], look(case).planes[0]) == (0, -2 * inches(2))
    (finding,) = told(case, ribbed(case, True, False), "unlanded")
    assert finding.about == ("C1",)
    assert finding.says == (
        "Layout 1: curb C1 carries its own ribs, but no seam lands on its wall towards the S right "
        'end (the nearest seam: 2" off); 1/8" is allowed.')
    (both,) = told(case, ribbed(case, False, False), "unlanded")
    assert "S left end (the nearest seam: 0\" off) and its wall towards" in both.says
    assert told(case, ribbed(case, True, True), "unlanded") == []
    flanged = roof(make_curb(inches(42)))
    assert told(flanged, code="unlanded") == []


def test_as_the_checker_judges_them() -> None:
    """Pans' middles at 41 and 59 in: 42 is 1 in off, 42 1/16 more. Walls at 32 and 52 in."""
    case = replace(
        roof(make_curb(inches(42), detail="ribbed")),
        centres=(make_centre(inches(42)), make_centre(inches("42 1/16")),
                 make_centre(inches(51), "rib"), make_centre(inches("51 1/16"), "rib")),
    )
    missed = told(case, code="off-centre")
    assert ["3' 6 1/16\"" in missed[0].says, "4' 3 1/16\"" in missed[1].says] == [True, True]
    assert len(missed) == 2
    assert [one.about for one in told(case, code="unlanded")] == [("C1",)]


def test_a_plane_of_one_panel_has_no_seam_to_land() -> None:
    case = roof(replace(make_curb(inches(8)), detail="ribbed"),
                plane=make_plane(width=inches(16)))
    laid = look(case, first=inches(16)).planes[0]
    assert wall_gaps2(case.penetrations[0], laid) == (None, None)


def test_they_stand_among_the_findings_of_solve_and_check() -> None:
    case = roof(make_pipe(inches(50)))
    judged = look(case)
    entry = Ranked(1, judged, 0, ((inches(14), inches(14)),), Against({}, {}, 0, ""))
    assert "split-pan" in [finding.code for finding in result_findings(case, (entry,))]
    checked = Checked(case, judged, (), tuple(case_findings(case)))
    (finding,) = (one for one in checked_findings(checked) if one.code == "split-pan")
    assert finding.says.startswith("This layout: pipe V1 meets seam 3")
