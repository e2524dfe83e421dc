"""Roof planes from the closed outlines of a drawing, each in coordinates of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from solver.case_file.load_report import printable
from solver.intake.drafts import PlaneDraft, length_text, plain_number
from solver.intake.drawing_names import plain_name
from solver.intake.drawing_read import Ring
from solver.intake.drawing_sheet import Sheet, Ticks, extent, is_box, without_repeats
from solver.units import LONGEST

SIDES: Final = ("bottom", "top", "left", "right")
_MOST_PLANES: Final = 200
_Shaped = tuple[Ring, list[Ticks], Any]


@dataclass(slots=True)
class DrawnPlane:
    """An outline and what is cut out of it, in the drawing's ticks; `shape` is its polygon.

    `side` is where the drawing has its eave, `low` its least x and y once it is turned.
    """

    id: str
    ring: Ring
    shape: Any
    corners: list[Ticks]
    side: str = "bottom"
    low: Ticks = (0, 0)
    holes: list[list[Ticks]] = field(default_factory=list)

    def placed(self, point: Ticks) -> Ticks:
        """A point of the drawing as x along the eave and y up the slope."""
        x, y = turned(point, self.side)
        return x - self.low[0], y - self.low[1]

    def size(self, box: Ticks) -> Ticks:
        """Width and height of a box of the drawing, along the eave and up the slope."""
        return box if self.side in ("bottom", "top") else (box[1], box[0])


def drawn_planes(sheet: Sheet, eaves: Mapping[str, str]) -> list[DrawnPlane]:
    """The planes from left to right in the drawing. A ring inside another is a hole of it.

    Raises:
        CaseError: no outline, too many, or an eave of a plane there is not.
    """
    shaped = _shaped(sheet)
    outer = [one for one in shaped
             if not any(one is not other and other[2].contains(one[2]) for other in shaped)]
    if not outer:
        where = ", ".join(f'"{printable(layer)}"' for layer in sheet.layers.outline)
        first = f": {sheet.account.refused[0]}" if sheet.account.refused else ""
        raise sheet.error(
            f"there is no closed outline of straight sides on layer {where}{first}; name the layer "
            "that has it with --outline-layer" if where else
            "it has no closed polyline that could be an outline; draw each roof plane as one"
        )
    if len(outer) > _MOST_PLANES:
        raise sheet.error(f"it has {len(outer):,} outlines, more than {_MOST_PLANES}; name the "
                          "layer of the roof planes with --outline-layer")
    outer.sort(key=lambda one: (min(x for x, _ in one[1]), min(y for _, y in one[1])))
    planes = []
    for number, (ring, corners, polygon) in enumerate(outer, start=1):
        name = _name(sheet, ring, polygon, number)
        planes.append(DrawnPlane(name, ring, polygon, corners))
        sheet.take(ring, "plane")
    for name in eaves:
        if name not in [plane.id for plane in planes]:
            known = ", ".join(printable(plane.id) for plane in planes)
            raise sheet.error(f'--eave "{printable(name)}": there is no such plane; it has {known}')
    for plane in planes:
        plane.side = eaves.get(plane.id, "bottom")
        corners = [turned(corner, plane.side) for corner in plane.corners]
        plane.low = (min(x for x, _ in corners), min(y for _, y in corners))
    _cut_holes(sheet, planes, [one for one in shaped if one not in outer])
    return planes


def _shaped(sheet: Sheet) -> list[_Shaped]:
    from shapely import Polygon

    sound = []
    for ring in sheet.drawing.rings:
        if ring.layer not in sheet.layers.outline:
            continue
        if ring.fault:
            sheet.refuse(ring, ring.fault)
        else:
            sound.append(ring)
    if sound:
        sheet.origin = sound[0].points[0]
    shaped = []
    for ring in sound:
        corners = without_repeats([sheet.at(point) for point in ring.points])
        if max(extent(corners)) > LONGEST:
            sheet.refuse(ring, "it is larger than 1 km; say what one unit of the drawing is with "
                               "--units")
            continue
        polygon = Polygon(corners) if len(corners) >= 3 else None
        if polygon is None or not polygon.is_valid or not polygon.area:
            sheet.refuse(ring, "its sides cross, touch or lie on each other")
            continue
        shaped.append((ring, corners, polygon))
    return shaped


def _name(sheet: Sheet, ring: Ring, polygon: Any, number: int) -> str:
    """A text on the outline's own layer that stands inside it, else a number."""
    from shapely import Point as Place

    for text in sheet.drawing.texts:
        name = plain_name(text.text)
        if text.layer == ring.layer and name and text.handle not in sheet.used and polygon.covers(
            Place(sheet.at(text.at))
        ):
            sheet.names.use(text)
            sheet.take(text, "name of a plane")
            return sheet.names.unique(name, "plane")
    return sheet.names.unique(f"S{number}", "plane")


def _cut_holes(sheet: Sheet, planes: list[DrawnPlane], inner: Sequence[_Shaped]) -> None:
    """Rings inside an outline are holes, unless the same layer has the curbs."""
    for ring, corners, polygon in inner:
        if ring.layer in sheet.layers.curb:
            continue
        plane = next(plane for plane in planes if plane.shape.contains(polygon))
        plane.holes.append(corners)
        sheet.take(ring, "hole")


def plane_draft(sheet: Sheet, plane: DrawnPlane, pitch: str) -> PlaneDraft:
    """The plane as a case writes it: width and length of a rectangle, else the corners."""

    def told(points: Sequence[Ticks]) -> tuple[tuple[str, str], ...]:
        return tuple(
            (plain_number(x, sheet.units), plain_number(y, sheet.units))
            for x, y in map(plane.placed, points)
        )

    wide, high = plane.size(extent(plane.corners))
    where = f"Drawn on layer {plane.ring.layer}, eave at the {plane.side} of the drawing."
    holes = tuple(map(told, plane.holes))
    if len(plane.corners) == 4 and is_box(plane.corners):
        width, length = length_text(wide, sheet.units), length_text(high, sheet.units)
        return PlaneDraft(plane.id, width, length, (), holes, pitch, bool(pitch), where)
    return PlaneDraft(plane.id, "", "", told(plane.corners), holes, pitch, bool(pitch), where)


def turned(point: Ticks, side: str) -> Ticks:
    """A point as seen by someone who stands at that side of the drawing and faces it."""
    x, y = point
    return {"bottom": (x, y), "top": (-x, -y), "left": (-y, x), "right": (y, -x)}[side]
