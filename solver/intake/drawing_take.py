"""From a drawing to a draft: planes from outlines, pipes from circles, curbs from rectangles.

Everything is whole ticks from the moment the drawing's unit is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from solver.intake.drafts import Draft, length_text, plain_number
from solver.intake.drawing_layers import Layers
from solver.intake.drawing_planes import DrawnPlane, drawn_planes, plane_draft
from solver.intake.drawing_read import Block, Circle, Drawing, Point, Ring
from solver.intake.drawing_sheet import Account, Sheet, Ticks, extent, is_box, without_repeats
from solver.units import LONGEST

_MOST_THINGS: Final = 2_000


@dataclass(slots=True)
class _Found:
    """A pipe or curb in the drawing's ticks: what it came from, its place, its size.

    `size` is a diameter twice, or width and height; `base` the width of a flashing, 0 for none.
    """

    source: Ring | Circle | Block
    what: str
    at: Ticks
    size: Ticks
    base: int = 0


def take(
    drawing: Drawing, layers: Layers, unit: str, *, title: str, cover: str, guessed: bool,
    pitch: str = "", status: str = "fixed", eaves: Mapping[str, str] | None = None,
) -> tuple[Draft, Account]:
    """The draft that a drawing makes, and the account of what was taken and left.

    `unit` is what one unit of the drawing is (a key of `UNIT_TICKS`); `cover`, `pitch` (then
    lengths up the slope are in plan) and `status` are written as given; `eaves` says by plane at
    which side of the drawing its eave is, "bottom" where it says nothing.

    Raises:
        CaseError: no outline, too many of anything, or an eave of a plane there is not.
    """
    sheet = Sheet(drawing, layers, unit)
    planes = drawn_planes(sheet, eaves or {})
    tables = _tables(sheet, planes, _things(sheet), status)
    sheet.leave_the_rest()
    notes = (
        f"Taken from the drawing {drawing.file}: look at every plane before it counts.",
        "Each plane's eave is taken to be at the side of the drawing that its comment names.",
    )
    drafts = tuple(plane_draft(sheet, plane, pitch) for plane in planes)
    draft = Draft(title, sheet.units, cover, drafts, tuple(tables), guessed, notes)
    return draft, sheet.account


def _things(sheet: Sheet) -> list[_Found]:
    found = _circles(sheet)
    for block in sheet.drawing.blocks:
        if block.layer in sheet.layers.pipe and (block.circles or block.fault):
            _add_pipe_block(sheet, block, found)
        elif block.layer in sheet.layers.curb:
            _add_curb(sheet, block, found)
        elif block.layer in sheet.layers.pipe:
            sheet.refuse(block, "it shows no whole circle; put the block in equally large both "
                                "ways, or draw a circle")
    for ring in sheet.drawing.rings:
        if ring.layer in sheet.layers.curb and ring.handle not in sheet.used:
            _add_curb(sheet, ring, found)
    if len(found) > _MOST_THINGS:
        raise sheet.error(f"it has {len(found):,} circles and curbs, more than {_MOST_THINGS:,}; "
                          "name the layers with --pipe-layer and --curb-layer")
    return found


def _circles(sheet: Sheet) -> list[_Found]:
    """Pipes from circles; a larger one about the same centre is the flashing's base."""
    about: dict[Ticks, list[Circle]] = {}
    for circle in sheet.drawing.circles:
        if circle.layer not in sheet.layers.pipe:
            continue
        if circle.fault:
            sheet.refuse(circle, circle.fault)
        else:
            about.setdefault(sheet.at(circle.centre), []).append(circle)
    found = []
    for at, circles in about.items():
        circles.sort(key=lambda circle: circle.radius)
        body, *others = circles
        base = _base(sheet, [circle.radius for circle in circles])
        found.append(_Found(body, "pipe", at, _diameter(sheet, body.radius), base))
        for other in others:
            if other is others[-1] and base:
                sheet.take(other, "flashing's base")
            else:
                sheet.refuse(other, "it is drawn about the same centre as another")
    return found


def _add_pipe_block(sheet: Sheet, block: Block, found: list[_Found]) -> None:
    fault = block.fault or next((circle.fault for circle in block.circles if circle.fault), "")
    if fault:
        sheet.refuse(block, fault)
        return
    body = min(block.circles, key=lambda circle: circle.radius)
    base = _base(sheet, sorted(circle.radius for circle in block.circles))
    found.append(
        _Found(block, "pipe", sheet.at(body.centre), _diameter(sheet, body.radius), base))


def _diameter(sheet: Sheet, radius: Fraction) -> Ticks:
    return sheet.length(2 * radius), sheet.length(2 * radius)


def _base(sheet: Sheet, radii: Sequence[Fraction]) -> int:
    return sheet.length(2 * radii[-1]) if radii[-1] > radii[0] else 0


def _add_curb(sheet: Sheet, source: Ring | Block, found: list[_Found]) -> None:
    points = _body(source)
    if source.fault or not points:
        sheet.refuse(source, source.fault or "it shows no rectangle")
        return
    corners = without_repeats([sheet.at(point) for point in points])
    if not is_box(corners) or (isinstance(source, Ring) and len(corners) != 4):
        sheet.refuse(source, "it is no rectangle with sides along and across the drawing")
        return
    low = (min(x for x, _ in corners), min(y for _, y in corners))
    wide, high = extent(corners)
    found.append(_Found(source, "curb", (low[0] + wide // 2, low[1] + high // 2), (wide, high)))


def _body(source: Ring | Block) -> list[Point]:
    """The corners that say how large a curb is: of the widest ring, or of all that is drawn."""
    if isinstance(source, Ring):
        return list(source.points)
    rings = [ring for ring in source.rings if not ring.fault]
    return list(max(rings, key=_width).points) if rings else list(source.ends)


def _width(ring: Ring) -> Fraction:
    return max(x for x, _ in ring.points) - min(x for x, _ in ring.points)


def _tables(
    sheet: Sheet, planes: list[DrawnPlane], found: list[_Found], status: str
) -> list[dict[str, str]]:
    from shapely import Point as Place

    inside: list[tuple[int, DrawnPlane, _Found]] = []
    for one in found:
        around = ((number, plane) for number, plane in enumerate(planes)
                  if plane.shape.covers(Place(one.at)))
        number, plane = next(around, (0, None))
        if plane is None:
            sheet.refuse(one.source, f"no outline is around this {one.what}")
        elif max(*one.size, one.base) > LONGEST:
            sheet.refuse(one.source, "it is larger than 1 km")
        else:
            inside.append((number, plane, one))
    inside.sort(key=lambda kept: (kept[0], kept[1].placed(kept[2].at), kept[2].source.handle))
    names = sheet.names.of(
        [one.source for *_, one in inside], [one.at for *_, one in inside],
        [one.size for *_, one in inside],
    )
    tables = []
    for (_, plane, one), name in zip(inside, names, strict=True):
        sheet.take(one.source, one.what)
        letter = "P" if one.what == "pipe" else "C"
        tables.append(
            {"id": name or sheet.names.next_free(letter), "plane": plane.id, "kind": one.what}
            | _place_and_size(sheet, plane, one) | {"status": status})
    sheet.account.notes += sheet.names.notes
    for text in sheet.names.used:
        sheet.take(text, "name")
    return tables


def _place_and_size(sheet: Sheet, plane: DrawnPlane, one: _Found) -> dict[str, str]:
    x, y = plane.placed(one.at)
    table = {"x": length_text(x, sheet.units), "y": length_text(y, sheet.units)}
    if one.what == "pipe":
        table["outside"] = plain_number(one.size[0], sheet.units)
        if one.base:
            table["base"] = plain_number(one.base, sheet.units)
        return table
    across, along = plane.size(one.size)
    table["across"] = plain_number(across, sheet.units)
    table["along"] = plain_number(along, sheet.units)
    return table
