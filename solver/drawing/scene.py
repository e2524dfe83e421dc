"""The scenes of a layout: one for each plane, from exact ticks, for every picture of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby, pairwise
from math import isqrt

from solver.case import Case, Penetration, Plane, ends_of, needed2
from solver.case_parts import Pitch
from solver.drawing.parts import (
    ControlLine,
    Dimension,
    OddPanel,
    Point,
    Scene,
    SeamLine,
    Side,
    Standing,
    Stretch,
)
from solver.field.parts import PlaneField
from solver.field.sheet import field_sheets
from solver.findings.seam_order import from_line, seam_numbers, sides
from solver.result import Judged, JudgedOdd, JudgedPenetration, JudgedPlane
from solver.shape.edges import Edge, edges_of, outline_of
from solver.shape.pieces import pieces_of
from solver.stubs.landmarks import Landmark, end_of, grid_lines, start_of, taping_at, way_of
from solver.units import round_half_away


def scenes(case: Case, judged: Judged, rank: int) -> tuple[Scene, ...]:
    """The scenes of all planes of layout `rank`, in the order of the case.

    Control lines are those of the field sheets.
    """
    fields = field_sheets(case, judged, rank).planes
    return tuple(
        scene_of(case, judged, index, rank, field) for index, field in enumerate(fields)
    )


def scene_of(
    case: Case, judged: Judged, index: int, rank: int, field: PlaneField | None = None
) -> Scene:
    """The scene of plane number `index` (from 0) of layout `rank`.

    Without its field sheet no control lines are drawn.
    """
    plane, laid = case.planes[index], judged.planes[index]
    members = sorted(case.on(plane.id), key=lambda i: (judged.penetrations[i].x, i))
    standing = [(case.penetrations[i], judged.penetrations[i]) for i in members]
    outline = outline_of(plane)
    edges = edges_of(plane)
    lines = grid_lines(case, plane)
    places = _Places(case, plane, laid, lines)
    begin = _begin(case, plane)
    return Scene(
        index=index,
        rank=rank,
        plane=plane,
        judged=laid,
        outline=outline.points,
        kinds=outline.kinds,
        holes=tuple((hole.what, hole.outline.points) for hole in plane.holes),
        seams=tuple(
            SeamLine(number, x, abs(x - begin), _without_curbs(case, _on_roof(edges, x), x, [
                pair for pair in standing if pair[0].kind == "curb"
            ]))
            for x, number in zip(laid.seams, seam_numbers(plane, laid.seams), strict=True)
        ),
        control=tuple(_control(edges, field)),
        penetrations=tuple(places.standing(pen, stands) for pen, stands in standing),
        dimensions=tuple(_dimensions(plane, laid, lines)),
        gridlines=lines,
        keepouts=plane.keepouts,
        centres=tuple(
            (asked, found)
            for asked, found in zip(case.centres, judged.centres, strict=True)
            if asked.plane == plane.id
        ),
        odd=tuple(_odd(plane, one) for one in laid.odd),
        low_end=end_of(plane, high=False),
        high_end=end_of(plane, high=True),
        start=start_of(plane),
    )


def plan_length(pitch: Pitch, slope_ticks: int) -> int:
    """A length up the slope as one in plan (ticks): by √(1 + rise²), rounded to the nearest tick.

    Exact, as the whole root of twice the length squared says on which side of a half it lies.
    """
    rise, run = pitch.rise.numerator, pitch.rise.denominator
    twice = isqrt((2 * slope_ticks) ** 2 * run * run // (rise * rise + run * run))
    size = (twice + 1) // 2
    return size if slope_ticks >= 0 else -size


class _Places:
    """How penetrations stand on one plane: what they are taped from, what is beside them."""

    def __init__(
        self, case: Case, plane: Plane, laid: JudgedPlane, lines: tuple[Landmark, ...]
    ) -> None:
        self._case, self._plane, self._lines = case, plane, lines
        self._number = dict(
            zip(laid.seams, seam_numbers(plane, laid.seams), strict=True)
        )

    def standing(self, pen: Penetration, stands: JudgedPenetration) -> Standing:
        """A penetration with all that the schedule says of its place."""
        plane = self._plane
        taping = taping_at(plane, self._lines, stands.x)
        towards = way_of(plane, self._lines, pen.x, stands.x) if stands.moved else None
        return Standing(
            pen, stands, taping.datum, stands.x - taping.datum.x, taping.towards(stands.x),
            None if plane.pitch is None else plan_length(plane.pitch, pen.y),
            self._side(pen, stands, high=False), self._side(pen, stands, high=True), towards,
        )

    def _side(self, pen: Penetration, stands: JudgedPenetration, *, high: bool) -> Side:
        """The seam, or the end of the roof where that binds (for a curb: is nearer); its margin.

        A pipe on a seam has that seam on both sides.
        """
        case, plane, x = self._case, self._plane, stands.x
        seam = stands.seam_high if high else stands.seam_low
        if pen.kind == "pipe" and x in self._number:
            seam = x
        end = ends_of(plane, pen)[high]
        distance = abs(end - x)
        room2 = 2 * (distance - case.rules.end_lap)
        at_end = Side(
            None, end, distance, room2 - needed2(pen, case.rules) if pen.kind == "pipe" else None
        )
        if seam is None or (pen.kind == "curb" and (end < seam if high else end > seam)):
            return at_end
        distance = abs(seam - x)
        if pen.kind == "curb":
            needs2 = 0 if pen.detail == "close" else 2 * case.rules.curb_side
            margin2 = 2 * distance - pen.across - needs2
            return Side(self._number[seam], seam, distance, margin2)
        taken = sides(case, plane, seam)
        facing = max(taken) if seam == x else taken[0 if high else 1]
        margin2 = 2 * (distance - facing) - needed2(pen, case.rules)
        if at_end.margin2 is not None and at_end.margin2 < margin2:
            return at_end
        return Side(self._number[seam], seam, distance, margin2)


def _begin(case: Case, plane: Plane) -> int:
    """Where laying starts (x)."""
    if from_line(case, plane):
        return plane.start or 0
    return plane.width if plane.lay == "right-to-left" else 0


def _on_roof(edges: Sequence[Edge], x: int) -> tuple[Stretch, ...]:
    """Where an upright line at `x` runs over the roof on either side of it, low first."""
    found: list[tuple[Fraction, Fraction]] = []
    for side in (-1, 1):
        # just beside a corner an edge counts that reaches to that side of it only
        met = sorted(
            edge.y_at(x)
            for edge in edges
            if not edge.upright and _reaches(edge, x, side)
        )
        found += zip(met[::2], met[1::2], strict=True)
    merged: list[tuple[Fraction, Fraction]] = []
    for low, high in sorted(found):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    whole = ((round_half_away(low), round_half_away(high)) for low, high in merged)
    return tuple((low, high) for low, high in whole if low < high)


def _reaches(edge: Edge, x: int, side: int) -> bool:
    low, high = sorted((edge.start[0], edge.end[0]))
    return low <= x < high if side > 0 else low < x <= high


def _without_curbs(
    case: Case, parts: tuple[Stretch, ...], x: int,
    curbs: Sequence[tuple[Penetration, JudgedPenetration]],
) -> tuple[Stretch, ...]:
    """What is left of a seam where curbs stand on it; one that lands on a wall is whole."""
    for pen, stands in curbs:
        if 2 * abs(x - stands.x) >= pen.across or (
            pen.detail == "ribbed"
            and abs(2 * abs(x - stands.x) - pen.across) <= 2 * case.rules.land_tol
        ):
            continue
        low, high = pen.y - pen.along // 2, pen.y + pen.along // 2
        left = [
            piece
            for part in parts
            for piece in ((part[0], min(part[1], low)), (max(part[0], high), part[1]))
        ]
        parts = tuple((a, b) for a, b in left if a < b)
    return parts


def _odd(plane: Plane, one: JudgedOdd) -> OddPanel:
    inside = tuple(x for x in (one.low, one.high) if 0 < x < plane.width)
    number = 2 if one.low > 0 else 1
    return OddPanel(one, tuple(
        tuple((round_half_away(x), round_half_away(y)) for x, y in piece.points)
        for piece in pieces_of(plane, inside)
        if piece.panel == number
    ))


def _control(edges: Sequence[Edge], field: PlaneField | None) -> Iterator[ControlLine]:
    if field is None:
        return
    for run in field.runs:
        for row in run.rows:
            if row.line and row.number is not None:
                x = run.start + run.way * (run.datum + row.at)
                yield ControlLine(row.line, row.number, x, _on_roof(edges, x))


def _dimensions(
    plane: Plane, laid: JudgedPlane, lines: tuple[Landmark, ...]
) -> Iterator[Dimension]:
    """Overall, then the chain of panels from low x, then grid lines, then seams from grid lines."""
    yield Dimension("overall", 0, plane.width)
    odd = {(one.low, one.high) for one in laid.odd}
    panels = list(pairwise((0, *laid.seams, plane.width)))
    inner = panels[1:-1]
    yield Dimension("end", *panels[0])

    def alike(panel: Stretch) -> tuple[int, bool]:
        return panel[1] - panel[0], panel in odd

    for (_, is_odd), run in groupby(inner, alike):
        same = list(run)
        if is_odd:
            yield from (Dimension("odd", *one) for one in same)
        else:
            yield Dimension("panels", same[0][0], same[-1][1], len(same))
    if len(panels) > 1:
        yield Dimension("end", *panels[-1])
    ends: tuple[Landmark, ...] = (end_of(plane, high=False), *lines, end_of(plane, high=True))
    if lines:
        for one, other in pairwise(ends):
            if one.x < other.x:
                yield Dimension("grid", one.x, other.x, 1, (one.name, other.name))
    for line in lines:
        near = min(laid.seams, key=lambda seam: (abs(seam - line.x), seam), default=line.x)
        if near != line.x:
            yield Dimension("seam", min(near, line.x), max(near, line.x), 1, (line.name,))


__all__ = ["Point", "Scene", "plan_length", "scene_of", "scenes"]
