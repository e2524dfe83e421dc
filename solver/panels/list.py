"""The panel list of a layout: every piece to be cut, alike ones under one mark.

A piece is as wide in the flat as what it covers, the legs it keeps and a turn-up at every other
side, and as long as it reaches up the slope and its ends' allowances. Marks are the plane's id and
a number, counted from where laying starts (on a plane laid from a line: from its low end) and from
the eave up, so the same layout always has the same marks.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from solver.case import Case, Plane
from solver.case_file.entries_sheet import SheetEntry
from solver.case_file.resolve_sheet import sheet
from solver.case_parts import Sheet
from solver.panels.across import Placed, above, across_of, boxes, zones
from solver.panels.laps import lapped
from solver.panels.legs import legs_of, panel_numbers
from solver.panels.parts import Across, Cut, Mark, PanelList, PanelPiece, PlanePanels
from solver.panels.piece import Course, Cutter
from solver.result import Judged, JudgedPlane
from solver.shape.pieces import pieces_of
from solver.units import round_half_away

Key = tuple[object, ...]


def panel_list(case: Case, judged: Judged, rank: int) -> PanelList:
    """The panel list of a judged layout, number `rank` of the ranked list."""
    made_of = sheet_of(case)
    placed = list(zip(case.penetrations, judged.penetrations, strict=True))
    planes = tuple(
        plane_panels(
            case, made_of, plane, own, [pair for pair in placed if pair[0].plane == plane.id]
        )
        for plane, own in zip(case.planes, judged.planes, strict=True)
    )
    return PanelList(case, rank, judged, made_of, planes)


def sheet_of(case: Case) -> Sheet:
    """The case's sheet, or the usual one where a case made by a script has none."""
    return case.sheet or sheet(SheetEntry(), case.units, given=False)


def rounded(value: Fraction | int, mark: int) -> int:
    """A length to the nearest mark (ticks), halves away from zero."""
    return round_half_away(Fraction(value) / mark) * mark


def plane_panels(
    case: Case, made_of: Sheet, plane: Plane, judged: JudgedPlane, placed: Sequence[Placed]
) -> PlanePanels:
    """The list of one plane; `placed` are its penetrations with where they stand."""
    seams = judged.seams
    curbs = boxes(placed, seams, case.rules.land_tol)
    laid_across = zones(plane, placed)
    roof = pieces_of(plane, seams, curbs)
    over = [tall for zone in laid_across for tall in above(plane, zone)]
    own = pieces_of(plane, seams, [*curbs, *over]) if over else roof
    courses = _courses(case, plane, judged)
    cutter = Cutter(case, plane, made_of, curbs)
    holes = [hole.what for hole in plane.holes]
    pieces = [
        lapped(cutter.cut(piece, courses[piece.panel - 1]), made_of, placed, holes) for piece in own
    ]
    if plane.lay == "right-to-left":
        pieces.sort(key=lambda piece: (piece.panel, piece.part))
    marks = _marks(case, plane, pieces)
    legs = legs_of(case, plane, seams)
    beside = {seam: (legs[i][1], legs[i + 1][0]) for i, seam in enumerate(seams)}
    across: list[Across] = []
    for zone in laid_across:
        name = f"{plane.id}-{len(marks) + len(across) + 1}"
        found = across_of(case, made_of, zone, roof, beside, name)
        if found is not None:
            across.append(found)
    area = sum((piece.area for piece in roof), Fraction(0))
    return PlanePanels(plane, judged, marks, tuple(across), area)


def _courses(case: Case, plane: Plane, judged: JudgedPlane) -> list[Course]:
    """The panels of a plane in increasing x."""
    at = (0, *judged.seams, plane.width)
    odd = {(one.low, one.high) for one in judged.odd}
    legs = legs_of(case, plane, judged.seams)
    found = []
    for place, number in enumerate(panel_numbers(case, plane, judged.seams)):
        low, high = at[place], at[place + 1]
        own = (low, high) in odd
        found.append(
            Course(number, low, high, legs[place], own, not own and high - low != case.panel.cover)
        )
    return found


def _marks(case: Case, plane: Plane, pieces: Sequence[PanelPiece]) -> tuple[Mark, ...]:
    """Alike pieces together, in the order in which the first of each is met."""
    groups: dict[Key, list[PanelPiece]] = {}
    for piece in pieces:
        groups.setdefault(_key(case, piece), []).append(piece)
    return tuple(
        Mark(f"{plane.id}-{number}", tuple(group))
        for number, group in enumerate(groups.values(), 1)
    )


def _key(case: Case, piece: PanelPiece) -> Key:
    """What alike pieces have in common: all that is read off the list to make one."""
    mark = case.mark

    def near(value: Fraction | int) -> int:
        return rounded(value, mark)

    def cuts(row: tuple[Cut, ...]) -> Key:
        return tuple(
            (cut.kind, *(near(part) for end in (cut.left, cut.right) for part in end),
             round(cut.degrees, 1), near(cut.slant * case.panel.cover), cut.long)
            for cut in row
        )

    shape = tuple(
        (near(x - piece.low), near(y - piece.y_low)) for ring in piece.rings for x, y in ring
    )
    laps = tuple(
        (near(lap.y - piece.bottom), near(lap.shifted), lap.near, lap.bevel) for lap in piece.laps
    )
    return (
        near(piece.finished), near(piece.rip), piece.made, piece.left, piece.right,
        near(piece.length), *(near(length) for length in piece.lengths), cuts(piece.lower),
        cuts(piece.upper), tuple(notch.name for notch in piece.notches),
        shape if piece.notches else None, laps,
    )
