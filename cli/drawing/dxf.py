"""The drawing of a plane as DXF: full size in inches or millimetres, on layers with plain names.

The roof stands at its own x and y; schedule and title block below it. Dimensions are dimension
entities: what they show is drawn here, as the dimension style would, and follows when a program
draws them anew. The same drawing gives the same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from cli.drawing.dxf_setup import (
    DIMSTYLE,
    RUNNING,
    STYLE,
    library,
    new_document,
    rgb,
    safe_text,
    setup,
)
from cli.drawing.marks import (
    Circle,
    Dim,
    Line,
    Mark,
    Polygon,
    Running,
    SignAt,
    Text,
    text_width,
)
from cli.drawing.plan import Plan
from cli.drawing.scale import MARGIN, Setting, below_high, whole
from cli.drawing.schedule import Words, schedule_of
from cli.drawing.table import Frame, Table
from cli.drawing.title import Sheet, title_marks
from cli.look import ACCENT, PENS, SIGNS, STATE_COLOUR
from solver.case import Case
from solver.drawing.parts import Scene
from solver.drawing.scene import scene_of
from solver.field.sheet import field_sheets
from solver.result import Judged
from solver.units import TICKS_PER

_BELOW: Final = 6.0
"""From what stands below the eave to the schedule, and on to the title block (mm on paper)."""


def plane_dxf(
    case: Case, judged: Judged, plane_index: int, *, rank: int = 1, layouts: int = 1,
    proven: bool = True,
) -> bytes:
    """The drawing of plane number `plane_index` (from 0) of layout `rank`."""
    field = field_sheets(case, judged, rank).planes[plane_index]
    scene = scene_of(case, judged, plane_index, rank, field)
    return scene_dxf(case, scene, layouts=layouts, proven=proven)


def scene_dxf(case: Case, scene: Scene, *, layouts: int = 1, proven: bool = True) -> bytes:
    """The drawing of a scene."""
    setting = whole(scene, case.panel.cover, case.units)
    words = Words(case)
    drawn = Plan(words, scene, setting, (0, scene.plane.width)).marks()
    with _fixed_dates():
        document = new_document()
        setup(document, case, setting)
        writer = _Writer(document, case, setting)
        for mark in (*drawn.roof, *drawn.over, *_below(case, scene, setting, layouts, proven)):
            writer.add(mark)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """No time of writing and no random name in the file."""
    options = library().options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _below(
    case: Case, scene: Scene, setting: Setting, layouts: int, proven: bool
) -> Iterator[Mark]:
    """The schedule and the title block below the roof."""
    k, wide = setting.ticks(1), setting.paper.wide - 2 * MARGIN
    table = Table(schedule_of(case, scene), wide)
    rows = range(len(scene.penetrations))
    left = min((scene.plane.width - wide * k) / 2, 0.0)
    frame = Frame(left, -below_high(scene, setting.scale) * k, k)
    down = _BELOW
    if rows:
        yield from table.marks(frame.below(0, down), rows)
        down += table.high(rows)
        yield from table.note_marks(frame.below(0, down))
        down += table.notes_high + _BELOW
    else:
        yield Text("SCHEDULE", frame.at(0, down), "No penetrations on this plane.", 2.2 * k)
        down += _BELOW
    sheet = Sheet(1, 1, layouts, proven, scaled=False)
    yield from title_marks(case, scene, setting, sheet, frame.below(0, down), wide)


class _Writer:
    """Marks as entities of the model space."""

    def __init__(self, document: Any, case: Case, setting: Setting) -> None:
        self._space = document.modelspace()
        self._per = TICKS_PER[case.units]
        self._k = setting.ticks(1)

    def add(self, mark: Mark) -> None:
        """Draw one mark."""
        match mark:
            case Line():
                self._line(mark)
            case Polygon():
                self._polygon(mark)
            case Circle():
                self._space.add_circle(
                    self._xy(mark.centre), mark.radius / self._per, dxfattribs=self._look(mark)
                )
            case Text():
                self._text(mark)
            case SignAt():
                self._sign(mark)
            case Dim():
                self._dim(mark)
            case Running():
                self._running(mark)

    def _xy(self, at: tuple[float, float]) -> tuple[float, float]:
        return at[0] / self._per, at[1] / self._per

    def _look(self, mark: Line | Polygon | Circle | Text) -> dict[str, Any]:
        """The layer says how most things look; what is moved has the accent wherever it is."""
        found: dict[str, Any] = {"layer": mark.layer}
        if mark.role == "arrow" and mark.layer != "MOVED-FROM":
            found["true_color"] = rgb(ACCENT)
        if mark.role in ("control", "moved-from", "grid", "keepout", "centre"):
            found["linetype"] = mark.role.upper()
        if mark.layer == "GRID" and mark.role == "dimension":
            found["linetype"] = "CONTINUOUS"
        if mark.role == "rule":
            found["color"] = 9
        elif mark.role == "leader" and mark.layer != "MOVED-FROM":
            found["color"] = 8
        if mark.layer == "TITLE" and PENS[mark.role].colour == ACCENT:
            found["true_color"] = rgb(ACCENT)
        return found

    def _line(self, mark: Line) -> None:
        look = self._look(mark)
        self._space.add_line(self._xy(mark.start), self._xy(mark.end), dxfattribs=look)
        if not mark.arrow or mark.start == mark.end:
            return
        (x_1, y_1), (x_2, y_2) = mark.start, mark.end
        size = ((x_2 - x_1) ** 2 + (y_2 - y_1) ** 2) ** 0.5
        along = ((x_2 - x_1) / size * mark.arrow, (y_2 - y_1) / size * mark.arrow)
        back = (x_2 - along[0], y_2 - along[1])
        aside = (-along[1] * 0.33, along[0] * 0.33)
        self._space.add_solid(
            [self._xy(mark.end), self._xy((back[0] + aside[0], back[1] + aside[1])),
             self._xy((back[0] - aside[0], back[1] - aside[1]))],
            dxfattribs=look,
        )

    def _polygon(self, mark: Polygon) -> None:
        if mark.id == "label":
            return
        points = [self._xy(point) for point in mark.points]
        look = self._look(mark)
        self._space.add_lwpolyline(points, close=True, dxfattribs=look)
        if mark.layer in ("KEEP-OUT", "ODD-PANELS"):
            hatch = self._space.add_hatch(dxfattribs={"layer": mark.layer})
            apart = 0.9 * self._k / self._per
            way = 1 if mark.hatch else -1
            lines = [[45.0 * way, (0.0, 0.0), (-apart * way, apart), []]]
            hatch.set_pattern_fill("SLANTED" if mark.hatch else "SLANTED-BACK", definition=lines)
            hatch.paths.add_polyline_path(points, is_closed=True)

    def _text(self, mark: Text) -> None:
        from ezdxf.enums import TextEntityAlignment

        align = {"start": TextEntityAlignment.LEFT, "middle": TextEntityAlignment.CENTER,
                 "end": TextEntityAlignment.RIGHT}[mark.anchor]
        look = self._look(mark) | {
            "style": STYLE, "height": mark.height * 0.73 / self._per, "rotation": mark.turn,
        }
        text = self._space.add_text(safe_text(mark.text), dxfattribs=look)
        text.set_placement(self._xy(mark.at), align=align)

    def _sign(self, mark: SignAt) -> None:
        sign = SIGNS[mark.kind, mark.state]
        look = {"layer": "STATES", "true_color": rgb(STATE_COLOUR[mark.state])}
        (x, y), r = mark.at, mark.radius
        box = [self._xy((x + a * r, y + b * r)) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        if sign.ring:
            self._space.add_circle(self._xy(mark.at), r / self._per, dxfattribs=look)
        else:
            self._space.add_lwpolyline(box, close=True, dxfattribs=look)
        if sign.filled:
            hatch = self._space.add_hatch(dxfattribs=look)
            path = hatch.paths.add_edge_path()
            path.add_arc(self._xy(mark.at), r / self._per, 0, 360)
            look = look | {"true_color": rgb("#ffffff")}
        for _, a, b, c, d in sign.strokes:
            self._space.add_line(
                self._xy((x + a * r, y + b * r)), self._xy((x + c * r, y + d * r)),
                dxfattribs=look,
            )

    def _dim(self, mark: Dim) -> None:
        wide = text_width(mark.text, mark.height)
        shift = {"start": wide / 2, "middle": 0.0, "end": -wide / 2}[mark.anchor]
        at = (mark.text_at[0] + shift, mark.text_at[1] + mark.height * 0.37)
        low, high = self._xy((mark.low, mark.foot[0])), self._xy((mark.high, mark.foot[1]))
        made = self._space.add_linear_dim(
            base=self._xy((mark.low, mark.y)), p1=low, p2=high, location=self._xy(at),
            text=mark.text or " ", dimstyle=DIMSTYLE, dxfattribs={"layer": "DIMENSIONS"},
        )
        self._finish(made, mark.text)
        made.dimension.dxf.text_midpoint = self._xy(at)  # readers want one without a text, too

    def _running(self, mark: Running) -> None:
        from ezdxf.math import Vec2

        feature, origin = Vec2(self._xy((mark.x, mark.foot))), self._xy((mark.origin, 0))
        end = Vec2(self._xy((mark.text_x, mark.y - 0.5 * self._k)))
        made = self._space.add_ordinate_dim(
            feature_location=feature, offset=end - feature, dtype=1,
            origin=origin, text=mark.text, dimstyle=RUNNING, dxfattribs={"layer": "DIMENSIONS"},
        )
        self._finish(made, mark.text)
        # the points exactly, and the text where it begins behind its line: ezdxf takes every
        # letter for as wide as it is high
        entity = made.dimension
        entity.dxf.defpoint, entity.dxf.defpoint2, entity.dxf.defpoint3 = origin, feature, end
        wide = 0.85 * text_width(mark.text, mark.height) / self._per
        middle = (end.x, end.y + wide / 2 + 0.3 * self._k / self._per)
        entity.dxf.text_midpoint = middle
        for part in entity.get_geometry_block().query("MTEXT"):
            part.dxf.insert = middle

    @staticmethod
    def _finish(made: Any, text: str) -> None:
        """Draw it with our text, then leave the figure to the dimension style."""
        made.render()
        before, equals, _ = text.rpartition(" = ")
        made.dimension.dxf.text = f"{before}{equals}<>" if equals else "<>" if text else " "
        for part in made.dimension.get_geometry_block():
            if part.dxf.layer == "0":
                part.dxf.layer = "DIMENSIONS"


