"""The field sheets of a layout: one a plane, from exact ticks. Nothing is added up from figures
that were rounded for print.
"""

from __future__ import annotations

from typing import Literal

from solver.case import Case, Plane
from solver.case_parts import Field
from solver.field.closing import ToLay, tolerance
from solver.field.control import Mark, Strip, control_lines, strips_of
from solver.field.eave import Spans, datum_of, eave_gaps, eave_spans
from solver.field.lean import grounded, seams_at
from solver.field.limits import field_of
from solver.field.movement import movements
from solver.field.parts import Closing, FieldSheets, PlaneField, Run
from solver.field.rows import Member, make_rows
from solver.field.squaring import diagonals_of, triangle_of
from solver.field.work import Laid, panels_of
from solver.findings.seam_order import from_line, seam_numbers
from solver.result import Judged, JudgedPlane

Way = Literal[1, -1]


def field_sheets(case: Case, judged: Judged, rank: int) -> FieldSheets:
    """The sheets of layout `rank`: squaring, seam table, control lines, closing, order of work."""
    limits = field_of(case)
    planes = tuple(
        _plane(case, limits, plane, ends, [
            Member(case.penetrations[i], judged.penetrations[i]) for i in case.on(plane.id)
        ])
        for plane, ends in zip(case.planes, judged.planes, strict=True)
    )
    return FieldSheets(case, rank, judged, limits, planes, movements(case, judged))


def _plane(
    case: Case, limits: Field, plane: Plane, ends: JudgedPlane, members: list[Member]
) -> PlaneField:
    panels = panels_of(case, plane, ends)
    spans = eave_spans(grounded(plane))
    ways: tuple[Way, ...] = (1, -1) if from_line(case, plane) else (
        (-1,) if plane.lay == "right-to-left" else (1,)
    )
    runs = tuple(
        _run(case, limits, plane, ends, members, panels, spans, way) for way in ways
    )
    if plane.lean is not None and plane.lean.fan:  # nothing there is square
        return PlaneField(plane, ends, None, (), runs)
    laid = sorted(panels, key=lambda one: (abs(one.number), -one.number))
    shape = grounded(plane)
    return PlaneField(
        plane, ends, triangle_of(case, shape, runs, spans),
        diagonals_of(case, shape, runs, [(one.number, one.low, one.high) for one in laid], spans),
        runs,
    )


def _run(
    case: Case, limits: Field, plane: Plane, ends: JudgedPlane, members: list[Member],
    panels: list[Laid], spans: Spans, way: Way,
) -> Run:
    both = from_line(case, plane)
    start = (plane.start or 0) if both else (0 if way == 1 else plane.width)
    far = plane.width - start if way == 1 else start
    datum = datum_of(spans, start, way)
    numbered = sorted(
        (way * (x - start), number)
        for x, number in zip(ends.seams, seam_numbers(plane, ends.seams), strict=True)
        if way * (x - start) > 0
    )
    strips = strips_of(plane, [(one.pen, one.stands) for one in members])
    marks = _marks(limits, plane, ends, strips, numbered, start, datum, way)
    lines, no_line = control_lines(marks, limits.control, spans)
    own = sorted(
        (one for one in panels if way * (one.low + one.high - 2 * start) > 0),
        key=lambda one: abs(one.number),
    )
    here = [
        one for one in members
        if way * (one.stands.x - start) > 0 or (one.stands.x == start and way == 1)
        or not both
    ]
    closing = _closing(case, limits, plane, ends, numbered, own, here, far, way)
    rows = make_rows(
        case, limits, plane, ends, way=way, start=start, far=far, datum=datum, numbered=numbered,
        lines=lines, own=own, members=here,
        closing=closing.seam if closing is not None else None,
    )
    return Run(way, start, far, datum, eave_gaps(spans, start, way, datum, far), rows, no_line,
               closing)


def _marks(
    limits: Field, plane: Plane, ends: JudgedPlane, strips: tuple[Strip, ...],
    numbered: list[tuple[int, int]], start: int, datum: int, way: Way,
) -> list[Mark]:
    """The marks of a run's seams, and what a line at each of them runs through."""
    leg = way * limits.tape_mark
    at = [
        tuple(dict(zip(ends.seams, seams_at(plane, ends.seams, y), strict=True))
              for y in (strip.y_from, strip.y_to))
        for strip in strips
    ]
    marks = []
    for centre, _ in numbered:
        foot = start + way * centre
        through = tuple(
            strip.name for strip, (low, high) in zip(strips, at, strict=True)
            if strip.holds(low[foot] - leg, high[foot] - leg)
        )
        marks.append(Mark(centre - limits.tape_mark - datum, foot - leg, through))
    return marks


def _closing(
    case: Case, limits: Field, plane: Plane, ends: JudgedPlane, numbered: list[tuple[int, int]],
    own: list[Laid], members: list[Member], far: int, way: Way,
) -> Closing | None:
    """From the first seam that is no more than the closing length from the far end."""
    place = next(
        (i for i, (centre, _) in enumerate(numbered) if far - centre <= limits.closing), None
    )
    if place is None:
        return None
    centre, number = numbered[place]
    odd = {one.panel for one in ends.odd}
    left = own[place + 1 :]
    panels = [
        ToLay(*((one.low, one.high) if way == 1 else (one.high, one.low)),
              full=one is not left[-1] and one.number not in odd)
        for one in left
    ]
    top = panels[-1].width if ends.top is None else ends.top[1]
    can = tolerance(case, plane, panels, top)
    begin = panels[0].start
    about = tuple(one.pen.id for one in members if way * (one.stands.x - begin) > 0)
    return Closing(
        seam=number, remains=far - centre + limits.tape_mark, panels=len(panels),
        full=sum(panel.full for panel in panels), least=can.least, most=can.most,
        last=panels[-1].width, last_least=can.last_least, last_most=can.last_most,
        ahead=can.ahead, behind=can.behind, play=can.play, about=about,
    )

