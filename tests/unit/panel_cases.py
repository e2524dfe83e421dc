"""Roofs for the panel list, laid by hand: no optimizer, no checker, seams where the test puts them.

Figures are in inches, made for hand arithmetic: 18 in pans, male leg 1 1/4, female 1 1/2, turn-up
1, eave hook 1, ridge 1 1/2, hip 1 3/4, valley 3/4, wall 2: no two ends allow the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from solver.case import Case, Penetration, Plane
from solver.case_parts import EdgeKind, Hole, Outline, Sheet
from solver.layout import Layout
from solver.panels.list import panel_list
from solver.panels.parts import Mark, PanelList, PanelPiece
from solver.result import Cost, Judged, JudgedOdd, JudgedPenetration, JudgedPlane
from tests.unit.builders import inches, make_case, make_plane

SHEET = Sheet(
    metal="steel", thickness=384, gauge=24, male=inches("1 1/4"), female=inches("1 1/2"),
    turn_up=inches(1), eave_hook=inches(1), ridge_up=inches("1 1/2"), hip_up=inches("1 3/4"),
    valley_hook=inches("3/4"), wall_up=inches(2), max_length=None, lap=inches(6), stock=(),
    clip_spacing=inches(24), fasteners=2, given=True,
)
Corner = tuple[int, int, EdgeKind]


def outline(*corners: Corner) -> Outline:
    """An outline of corners (x, y in inches, the kind of the edge that begins there)."""
    return Outline(
        tuple((inches(x), inches(y)) for x, y, _ in corners), tuple(kind for _, _, kind in corners)
    )


def shaped(*corners: Corner, plane: Plane | None = None, holes: tuple[Hole, ...] = ()) -> Plane:
    """A plane with such an outline."""
    shape = outline(*corners)
    return replace(
        plane or make_plane(), outline=shape, holes=holes,
        width=max(x for x, _ in shape.points), length=max(y for _, y in shape.points),
    )


def roof(*pens: Penetration, planes: tuple[Plane, ...], sheet: Sheet = SHEET) -> Case:
    """A case of such planes."""
    return replace(make_case(*pens, planes=planes), sheet=sheet)


def laid(
    case: Case, *seams: Sequence[int], odd: Sequence[JudgedOdd] = (),
    landed: tuple[bool, bool] | None = None,
) -> Judged:
    """A layout with seams at whole inches, for every plane; a curb cuts what lies inside it."""
    rows = [tuple(inches(at) for at in row) for row in seams]
    planes = tuple(
        JudgedPlane(
            plane.id, row[0] if row else plane.width, plane.width - (row[-1] if row else 0),
            len(row) + 1, row, tuple(odd),
        )
        for plane, row in zip(case.planes, rows, strict=True)
    )
    of = {plane.id: row for plane, row in zip(case.planes, rows, strict=True)}
    stands = []
    for pen in case.penetrations:
        half = (pen.across or pen.outside) // 2
        low = [seam for seam in of[pen.plane] if seam <= pen.x - half]
        high = [seam for seam in of[pen.plane] if seam >= pen.x + half]
        stands.append(JudgedPenetration(
            pen.id, pen.plane, pen.x, 0, "clear", None, 0, None, 0, low[-1] if low else None,
            high[0] if high else None, None, None, landed=landed if pen.kind == "curb" else None,
        ))
    layout = Layout(tuple(one.first for one in planes), (0,) * len(stands))
    return Judged(layout, Cost(0, 0, 0, 0), (), (), planes, (), tuple(stands), ())


def listed(case: Case, *seams: Sequence[int]) -> PanelList:
    """The panel list of a case with seams at whole inches."""
    return panel_list(case, laid(case, *seams), 1)


def marks(found: PanelList, plane: int = 0) -> list[Mark]:
    """The marks of a plane, in order."""
    return list(found.planes[plane].marks)


def piece_at(found: PanelList, x: int, part: int = 1, plane: int = 0) -> PanelPiece:
    """The piece, from the eave up, that holds the line `x` inches up the slope."""
    return next(
        piece for mark in found.planes[plane].marks for piece in mark.pieces
        if piece.low < inches(x) < piece.high and piece.part == part
    )


def inch(ticks: Fraction | int) -> Fraction:
    """Ticks as inches, exactly."""
    return Fraction(ticks) / inches(1)


def notched(piece: PanelPiece) -> list[tuple[str, Fraction, Fraction, str, Fraction]]:
    """What a piece is cut out for: name, from, to, side, what is left there (inches)."""
    return [
        (one.name, inch(one.low), inch(one.high), one.side, inch(one.left))
        for one in piece.notches
    ]
