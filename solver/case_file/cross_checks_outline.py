"""Planes of a given shape: what their outlines, holes and pitches come to, or what is wrong.

Comes before the other checks: from here on all lengths up the slope are on it, and every plane that
is left has a width and a length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.case import Plane
from solver.case_file.cross_checks_polygons import faults, hole_faults, overlaps
from solver.case_file.entries import CurbEntry
from solver.case_file.entries_outline import PlaneEntry
from solver.case_file.load_report import Element, Report, length_said, shown
from solver.case_file.pitch import slope_length
from solver.case_file.read_tables import Read
from solver.case_file.readings import Readings
from solver.case_file.readings_outline import ReadOutline, ReadShape
from solver.case_file.resolve_outline import (
    Corner,
    Shape,
    on_slope,
    opened,
    outline,
    with_kinds,
    without_middles,
)
from solver.case_parts import EdgeKind, Hole, Pitch
from solver.shape.edges import outline_of
from solver.units import LONGEST, Units

_LEAST_POINTS = 3
_TOO_LONG = "on the slope it comes to more than 1 km; lengths go up to 1 km"


@dataclass(slots=True)
class _Ring:
    """An outline as far as it is sound: all its corners as written, and what they come to.

    `written` and `sound` are None where corners are missing; `sound` (on the slope,
    counter-clockwise, each with its kind) also where they are no simple polygon.
    """

    element: Element
    what: str
    written: list[Corner] | None
    sound: list[Corner] | None


def settle(readings: Readings, units: Units | None, report: Report) -> None:
    """Note what is wrong with shapes; put what is on the slope in place of what is in plan."""
    for read, drawn in zip(readings.planes, readings.drawn, strict=True):
        entry = read.entry
        plan = _plan_pitch(read, report)
        rings = [
            None if drawn.outline is None else _ring(drawn.outline, None, plan, units, report),
            *(_ring(hole, "wall", plan, units, report) for hole in drawn.holes),
        ]
        if entry is None or units is None:
            continue
        if (entry.in_plan and plan is None) or read.misread("in_plan"):
            read.entry = None  # nothing says how long it is on the slope
            continue
        read.entry = _on_slope(read, entry, drawn, rings[0], plan, units, report)
        if read.entry:
            _add_shape(read.entry, drawn, rings, readings, report)
    if units:
        planes = {read.entry.id: read.entry for read in readings.planes if read.entry}
        _settle_penetrations(readings, planes, report)
        _settle_joins(readings, planes, report)


def _plan_pitch(read: Read[PlaneEntry], report: Report) -> Pitch | None:
    """The pitch of a plane that is given in plan."""
    if read.element.table.get("in_plan") is not True:
        return None
    if "pitch" not in read.element.table:
        want = 'give its pitch as well, such as pitch = "4:12", or leave in_plan out'
        report.add(read.element, "in_plan", want)
    return read.entry.pitch if read.entry else None


def _ring(
    drawn: ReadOutline,
    around: EdgeKind | None,
    plan: Pitch | None,
    units: Units | None,
    report: Report,
) -> _Ring:
    ring = _Ring(drawn.element, drawn.what, None, None)
    if not drawn.whole:
        return ring
    corners = opened(
        [
            Corner(number, read.entry.x, read.entry.y, read.entry.edge, _said(read.element))
            for number, read in enumerate(drawn.points, start=1)
            if read.entry
        ]
    )
    if len(corners) < _LEAST_POINTS:
        points = f"{len(corners)} point" + "s" * (len(corners) != 1)
        want = f"it has {points}; an outline has at least {_LEAST_POINTS}"
        report.add(drawn.element, "outline", want, "")
        return ring
    if units is None:
        return ring  # lengths mean nothing yet
    ring.written = corners
    said = list(faults(corners))
    if not said:
        # Points in the middle of an edge go before they are rounded, and may not lie on it then.
        sound = without_middles(with_kinds(corners, around))
        if plan:
            sound = without_middles(on_slope(sound, plan))
            said = [f"on the slope, to the nearest tick, {fault}" for fault in faults(sound)]
        ring.sound = None if said else sound
    for fault in said:
        report.add(drawn.element, "outline", fault, "")
    return ring


def _said(point: Element) -> str:
    return f"({shown(point.table['x'])}, {shown(point.table['y'])})"


def _on_slope(
    read: Read[PlaneEntry],
    entry: PlaneEntry,
    drawn: ReadShape,
    ring: _Ring | None,
    plan: Pitch | None,
    units: Units,
    report: Report,
) -> PlaneEntry | None:
    """A plane with all its lengths on the slope; None where it has none that could be read."""
    element, width, length = read.element, entry.width, entry.length
    if plan:
        length = slope_length(plan, length)
        keepouts = tuple(
            keepout.model_copy(
                update={
                    key: slope_length(plan, value)
                    for key in ("y_from", "y_to")
                    if (value := getattr(keepout, key)) is not None
                }
            )
            for keepout in entry.keepout
        )
        entry = entry.model_copy(update={"keepout": keepouts})
    if ring and ring.written:
        if not _begins_at_0(ring, ring.written, units, report):
            return None
        corners = on_slope(ring.written, plan) if plan else ring.written
        extent = max(corner.x for corner in corners), max(corner.y for corner in corners)
        for key, given, real in (("width", width, extent[0]), ("length", length, extent[1])):
            if given and given != real:
                said = length_said(max(c.x if key == "width" else c.y for c in ring.written), units)
                want = f"its outline is {said} {'wide' if key == 'width' else 'long'}; write that"
                report.add(element, key, f"{want}, or leave it out")
        width, length = extent
    if length > LONGEST:
        report.add(element, "pitch", _TOO_LONG)
        return None
    if not (width and length):
        return None
    return entry.model_copy(update={"width": width, "length": length})


def _begins_at_0(ring: _Ring, corners: Sequence[Corner], units: Units, report: Report) -> bool:
    """Check that an outline begins at x = 0 and at y = 0."""
    said = []
    for name, least in (("x", min(c.x for c in corners)), ("y", min(c.y for c in corners))):
        if least:
            how = f"take {length_said(least, units)} from" if least > 0 else (
                f"add {length_said(-least, units)} to"
            )
            said.append(f"its least {name} is {length_said(least, units)}; {how} every {name} of "
                        "the plane, so that it is 0")  # fmt: skip
    if said:
        report.add(ring.element, "outline", "; ".join(said), "")
    return not said


def _add_shape(
    entry: PlaneEntry,
    drawn: ReadShape,
    rings: Sequence[_Ring | None],
    readings: Readings,
    report: Report,
) -> None:
    """Hold the holes against the outline and each other; add the shape if all is well."""
    own, *holes = rings
    outer = own.sound if own else None
    if drawn.outline is None and drawn.holes:
        outer = _rectangle(entry)
    sound = [hole for hole in holes if hole and hole.sound]
    well = len(sound) == len(holes) and not (own and own.sound is None)
    polygons = [hole.sound for hole in sound if hole.sound]
    off = dict(hole_faults(polygons, outer, written=own is not None)) if outer and sound else {}
    for number, fault in off.items():
        report.add(sound[number].element, "outline", fault, "")
        well = False
    inside = [hole for number, hole in enumerate(sound) if number not in off]
    names = [hole.element.where for hole in inside]
    for number, how in overlaps([hole.sound for hole in inside if hole.sound], names):
        want = f"{how}; holes stand clear of each other"
        report.add(inside[number].element, "outline", want, "")
        well = False
    if well:
        readings.shapes[entry.id] = Shape(
            outline(outer) if outer else None,
            tuple(Hole(hole.what, outline(hole.sound)) for hole in sound if hole.sound),
        )


def _rectangle(entry: PlaneEntry) -> list[Corner]:
    """The outline of a plane that only has a width and a length."""
    plain = Plane(entry.id, entry.width, entry.length, "left-to-right", "", "", ())
    around = outline_of(plain)
    return [
        Corner(number, x, y, kind)
        for number, ((x, y), kind) in enumerate(zip(around.points, around.kinds, strict=True), 1)
    ]


def _settle_penetrations(
    readings: Readings, planes: dict[str, PlaneEntry], report: Report
) -> None:
    for read in readings.penetrations:
        entry = read.entry
        plane = planes.get(entry.plane) if entry else None
        if entry and plane and plane.in_plan and plane.pitch:
            lengths = {"y": slope_length(plane.pitch, entry.y)}
            if isinstance(entry, CurbEntry):
                lengths["along"] = slope_length(plane.pitch, entry.along)
                if lengths["along"] > LONGEST:
                    report.add(read.element, "along", _TOO_LONG)
            read.entry = entry.model_copy(update=lengths)


def _settle_joins(readings: Readings, planes: dict[str, PlaneEntry], report: Report) -> None:
    on = {read.entry.id: read.entry.plane for read in readings.penetrations if read.entry}
    for read in readings.joins:
        curb = read.entry.curb if read.entry else None
        if not (read.entry and curb):
            continue
        stands = [planes.get(on.get(name, "")) for name in read.entry.penetrations]
        plane = next((plane for plane in stands if plane), None)
        if plane and plane.in_plan and plane.pitch:
            lengths = {key: slope_length(plane.pitch, getattr(curb, key)) for key in ("y", "along")}
            if lengths["along"] > LONGEST:
                written = read.element.table["curb"]["along"]
                report.add(read.element, "curb.along", _TOO_LONG, shown(written))
            read.entry = read.entry.model_copy(update={"curb": curb.model_copy(update=lengths)})
