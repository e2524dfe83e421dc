"""Reading a DXF drawing: what in its model space could be an outline, a pipe, a curb or a tag.

Nothing is chosen here. Coordinates are exact numbers in the drawing's own unit, seen from above.
"""

from __future__ import annotations

import io
import warnings
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

from solver.case_file.load_file import MOST_BYTES, read_bytes
from solver.case_file.load_report import printable
from solver.errors import CaseError, Problem

Point = tuple[Fraction, Fraction]
MOST_ENTITIES: Final = 100_000
_MOST_IN_BLOCK: Final = 2_000
_DEEPEST_BLOCK: Final = 4
_BINARY: Final = b"Binary DXF"
_FLAT: Final = 1e-9
_FARTHEST: Final = 10**12  # in units of the drawing: farther than any place on earth
CURVED: Final = ("ARC", "ELLIPSE", "SPLINE", "HELIX")


@dataclass(frozen=True, slots=True)
class Ring:
    """A polyline. `fault` says why it is no closed ring of straight sides; empty where it is."""

    layer: str
    kind: str
    handle: str
    points: tuple[Point, ...]
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle, with its radius."""

    layer: str
    kind: str
    handle: str
    centre: Point
    radius: Fraction
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A block where it is inserted: its attributes by tag, and what it draws there.

    `ends` are the ends of all its straight lines.
    """

    layer: str
    kind: str
    handle: str
    at: Point
    attributes: tuple[tuple[str, str], ...]
    rings: tuple[Ring, ...]
    circles: tuple[Circle, ...]
    ends: tuple[Point, ...]
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """A text and where it is put."""

    layer: str
    kind: str
    handle: str
    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class Other:
    """Anything else, told by its kind alone."""

    layer: str
    kind: str
    handle: str


@dataclass(slots=True)
class Drawing:
    """Everything of a model space in the order of the file.

    `insunits` is what the drawing says of its unit (the header variable $INSUNITS, 0: nothing).
    `mended` counts what was broken in the file and could be read all the same.
    """

    file: str
    insunits: int
    rings: list[Ring] = field(default_factory=list)
    circles: list[Circle] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    others: list[Other] = field(default_factory=list)
    mended: int = 0
    _spelled: dict[str, str] = field(default_factory=dict)

    def layer(self, name: str) -> str:
        """A layer as it is spelled first: a drawing tells small letters from capitals nowhere."""
        return self._spelled.setdefault(name.casefold(), name)

    def things(self) -> Iterable[Ring | Circle | Block | Text | Other]:
        """Everything, kind by kind."""
        return [*self.rings, *self.circles, *self.blocks, *self.texts, *self.others]

    def layers(self) -> list[str]:
        """The layers on which anything is drawn, by name."""
        return sorted(Counter(thing.layer for thing in self.things()))


def read_drawing(path: Path) -> Drawing:
    """Read a DXF file.

    Raises:
        CaseError: no readable, whole DXF text file of bearable size; one sentence.
    """
    file = printable(str(path), most=200)
    data = _bytes(path, file)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            from ezdxf import recover

            document, auditor = recover.read(io.BytesIO(data))
            space = document.modelspace()
            if len(space) > MOST_ENTITIES:
                raise _refused(file, f"it draws {len(space):,} things, more than "
                               f"{MOST_ENTITIES:,}: {_SMALLER}")
            drawing = Drawing(file, int(document.header.get("$INSUNITS", 0)))
            drawing.mended = len(auditor.errors) + len(auditor.fixes)
            for entity in space:
                _add(entity, drawing)
        except CaseError:
            raise
        except MemoryError:
            raise _refused(file, f"it is too large to be read: {_SMALLER}") from None
        except Exception as error:  # the library trips over a broken file in many ways
            said = " ".join(str(error).split())[:120]
            raise _refused(
                file, f"it is broken and cannot be read as a DXF drawing ({printable(said, 120)}); "
                "export it again") from None
    return drawing


_SMALLER: Final = "save the outlines and penetrations alone as a drawing of their own"


def _bytes(path: Path, file: str) -> bytes:
    try:
        huge = path.is_file() and path.stat().st_size > MOST_BYTES
    except (OSError, ValueError):
        huge = False
    if huge:
        raise _refused(file, f"it is larger than 32 MB: {_SMALLER}")
    data = read_bytes(path, file, "DXF")
    if _BINARY in data[:24]:
        raise _refused(file, "it is a binary DXF; export it as a text (ASCII) DXF")
    if data[:4] == b"AC10" and b"\x00" in data[:64]:
        raise _refused(file, "it is a DWG drawing; export it as a text (ASCII) DXF")
    if not data.strip():
        raise _refused(file, "the file is empty; export the drawing again")
    if b"\x00" in data or b"SECTION" not in data:
        raise _refused(file, "it is no DXF drawing; export the plan as a text (ASCII) DXF")
    if data.split()[-1:] != [b"EOF"]:
        raise _refused(file, "it ends in the middle (the last line of a DXF says EOF); export it "
                             "again")
    return data


def _add(entity: Any, drawing: Drawing) -> None:
    kind = entity.dxftype()
    layer = drawing.layer(str(entity.dxf.get("layer", "0")))
    handle = str(entity.dxf.get("handle") or "?")
    if kind in ("LWPOLYLINE", "POLYLINE"):
        drawing.rings.append(_ring(entity, kind, layer, handle))
    elif kind == "CIRCLE":
        drawing.circles.append(_circle(entity, kind, layer, handle))
    elif kind == "INSERT":
        drawing.blocks.append(_block(entity, kind, layer, handle))
    elif kind in ("TEXT", "MTEXT"):
        at = entity.dxf.insert
        drawing.texts.append(Text(layer, kind, handle, _point(at), str(entity.plain_text())))
    else:
        drawing.others.append(Other(layer, kind, handle))


def _ring(entity: Any, kind: str, layer: str, handle: str) -> Ring:
    if kind == "LWPOLYLINE":
        corners = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
        closed = bool(entity.closed)
    elif entity.is_2d_polyline or entity.is_3d_polyline:
        corners = [
            (*vertex.dxf.location.vec2, vertex.dxf.get("bulge", 0.0)) for vertex in entity.vertices
        ]
        closed = bool(entity.is_closed)
    else:
        return Ring(layer, kind, handle, (), "it is a mesh, no polyline")
    if not corners:
        return Ring(layer, kind, handle, (), "it has no points")
    fault = _leans(entity)
    if any(abs(bulge) > _FLAT for *_, bulge in corners[: None if closed else -1]):
        fault = "it has a curved side; draw that side as straight pieces"
    if not closed and any(
        abs(corners[0][axis] - corners[-1][axis]) > _FLAT for axis in (0, 1)
    ):
        fault = fault or "it is open; close it"
    points = tuple(_point(one) for one in _from_above(entity, [c[:2] for c in corners]))
    return Ring(layer, kind, handle, points, fault)


def _circle(entity: Any, kind: str, layer: str, handle: str) -> Circle:
    centre = _from_above(entity, [entity.dxf.center])[0]
    radius = _number(entity.dxf.radius)
    fault = _leans(entity) or ("" if radius > 0 else "it has no size")
    return Circle(layer, kind, handle, _point(centre), radius, fault)


def _block(entity: Any, kind: str, layer: str, handle: str) -> Block:
    attributes = tuple(
        (str(one.dxf.get("tag", "")), str(one.dxf.get("text", ""))) for one in entity.attribs
    )
    at = _point(_from_above(entity, [entity.dxf.insert])[0])
    inside = Drawing("", 0)
    ends: list[Point] = []
    fault = _leans(entity)
    if entity.mcount > 1:
        fault = "it is a block put in rows; put it in one by one"
    else:
        fault = fault or _draw(entity, inside, ends, 0)
    return Block(layer, kind, handle, at, attributes, tuple(inside.rings), tuple(inside.circles),
                 tuple(ends), fault)


def _draw(entity: Any, inside: Drawing, ends: list[Point], depth: int) -> str:
    """Add what a block draws where it is inserted; returns why that cannot be told."""
    if depth >= _DEEPEST_BLOCK:
        return "it is a block of blocks of blocks; explode it"
    for part in entity.virtual_entities():
        if len(inside.rings) + len(inside.circles) + len(ends) > _MOST_IN_BLOCK:
            return "its block draws too much; put in a plain rectangle or circle"
        if part.dxftype() == "INSERT":
            if fault := _draw(part, inside, ends, depth + 1):
                return fault
        elif part.dxftype() == "LINE":
            ends += [_point(part.dxf.start), _point(part.dxf.end)]
        elif part.dxftype() in CURVED:
            inside.others.append(Other("", part.dxftype(), ""))
        else:
            _add(part, inside)
    return ""


def _leans(entity: Any) -> str:
    """Whether it is drawn in another plane than the paper's."""
    x, y, _ = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
    return "it does not lie flat in the drawing" if abs(x) + abs(y) > _FLAT else ""


def _from_above(entity: Any, points: list[Any]) -> list[Any]:
    """Points of an entity that may be drawn mirrored, as they lie in the drawing."""
    ocs = entity.ocs()
    return list(ocs.points_to_wcs([_vec(point) for point in points])) if ocs else points


def _vec(point: Any) -> Any:
    from ezdxf.math import Vec3

    return Vec3(point)


def _point(point: Any) -> Point:
    return _number(point[0]), _number(point[1])


def _number(value: Any) -> Fraction:
    number = Fraction(float(value))
    if abs(number) > _FARTHEST:
        raise ValueError(f"a coordinate of {float(value):g}")
    return number


def _refused(file: str, want: str) -> CaseError:
    return CaseError([Problem(file, "", "", "", want)])
