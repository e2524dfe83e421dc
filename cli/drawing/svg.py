"""The drawing of a plane as SVG: one file a sheet, printed to scale.

A user unit is an inch (a millimetre) of the roof, so that what is read off the file is the roof;
`width` and `height` are the paper's. x is that of the case, y is upside down.
"""

from __future__ import annotations

from math import atan2, cos, pi, sin
from typing import Final

from cli.drawing.marks import (
    Circle,
    Dim,
    Line,
    Mark,
    Polygon,
    Running,
    SignAt,
    Text,
)
from cli.drawing.pages import Page, pages_of
from cli.look import FAINT, FONT, INK, PAPER, PENS, SIGNS, STATE_COLOUR, TINT, Pen
from cli.report.lines import clean
from solver.case import Case
from solver.drawing.parts import Scene
from solver.drawing.scene import scene_of
from solver.field.sheet import field_sheets
from solver.result import Judged
from solver.units import TICKS_PER, TICKS_PER_MM

_OVER_LINES: Final = ("OUTLINE", "SEAMS", "CONTROL-LINES", "KEEP-OUT")
"""Layers whose texts stand over lines, which a white edge keeps from them."""
_ESCAPES: Final = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"}


def plane_svg(
    case: Case, judged: Judged, plane_index: int, *, rank: int = 1, layouts: int = 1,
    proven: bool = True, sheet: int = 1,
) -> str:
    """Sheet `sheet` (from 1) of the drawing of plane number `plane_index` (from 0)."""
    return plane_svgs(
        case, judged, plane_index, rank=rank, layouts=layouts, proven=proven
    )[sheet - 1]


def plane_svgs(
    case: Case, judged: Judged, plane_index: int, *, rank: int = 1, layouts: int = 1,
    proven: bool = True,
) -> tuple[str, ...]:
    """All sheets of the drawing of plane number `plane_index` (from 0)."""
    field = field_sheets(case, judged, rank).planes[plane_index]
    scene = scene_of(case, judged, plane_index, rank, field)
    return scene_svgs(case, scene, layouts=layouts, proven=proven)


def scene_svgs(
    case: Case, scene: Scene, *, layouts: int = 1, proven: bool = True
) -> tuple[str, ...]:
    """All sheets of the drawing of a scene."""
    pages = pages_of(case, scene, layouts=layouts, proven=proven)
    return tuple(_Writer(case, scene, page).text() for page in pages)


def escaped(text: str) -> str:
    """A text as data of an SVG or HTML file; what would steer it is shown as an escape."""
    return "".join(_ESCAPES.get(char, char) for char in clean(text))


class _Writer:
    def __init__(self, case: Case, scene: Scene, page: Page) -> None:
        self._case, self._scene, self._page = case, scene, page
        self._per = TICKS_PER[case.units]
        self._mm = TICKS_PER_MM * page.setting.scale / self._per  # units in a mm of paper

    def text(self) -> str:
        page, paper = self._page, self._page.setting.paper
        wide, high = self._number(paper.wide * self._mm), self._number(paper.high * self._mm)
        low, top = self._xy(page.corner)
        name = f"{clean(self._case.title)}, plane {clean(self._scene.plane.id)}"
        box = self._number
        lines = [
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{paper.wide:g}mm" '
            f'height="{paper.high:g}mm" viewBox="{low} {top} {wide} {high}" role="img" '
            f'font-family="{FONT}" data-units="{self._case.units}" '
            f'data-scale="{page.setting.scale}">',
            f"<style>@page {{ size: {paper.wide:g}mm {paper.high:g}mm; margin: 0 }}</style>",
            f"<title>{escaped(name)}</title>",
            f"<desc>{escaped(self._says())}</desc>",
            f'<rect x="{low}" y="{top}" width="{wide}" height="{high}" fill="{PAPER}"/>',
        ]
        if page.stretch is not None:
            left, right = page.clip
            a, b = box(left / self._per), box((right - left) / self._per)
            lines += [
                f'<clipPath id="stretch"><rect x="{a}" y="{top}" width="{b}" height="{high}"/>'
                "</clipPath>",
                '<g clip-path="url(#stretch)">',
                *(self._mark(mark) for mark in page.roof),
                "</g>",
            ]
        lines += [self._mark(mark) for mark in page.over]
        return "\n".join([*lines, "</svg>", ""])

    def _says(self) -> str:
        scene = self._scene
        moved = sum(one.moved for one in scene.penetrations)
        return (f"{len(scene.seams)} seams, {len(scene.penetrations)} penetrations, "
                f"{moved} of them moved. Positions to be verified.")

    def _number(self, value: float) -> str:
        text = f"{value:.6f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text

    def _size(self, ticks: float) -> str:
        return self._number(ticks / self._per)

    def _xy(self, at: tuple[float, float]) -> tuple[str, str]:
        return self._number(at[0] / self._per), self._number(-at[1] / self._per)

    def _pen(self, pen: Pen) -> str:
        dashes = ""
        if pen.dashes:
            sizes = " ".join(self._number(dash * self._mm) for dash in pen.dashes)
            dashes = f' stroke-dasharray="{sizes}"'
        return (f'stroke="{pen.colour}" stroke-width="{self._number(pen.weight * self._mm)}"'
                f'{dashes}')

    def _mark(self, mark: Mark) -> str:
        match mark:
            case Line():
                return self._line(mark)
            case Polygon():
                return self._polygon(mark)
            case Circle():
                x, y = self._xy(mark.centre)
                return (f'<circle{self._tag(mark.layer, mark.id)} cx="{x}" cy="{y}" '
                        f'r="{self._size(mark.radius)}" fill="{PAPER if mark.white else "none"}" '
                        f'{self._pen(PENS[mark.role])}/>')
            case Text():
                return self._text(mark)
            case SignAt():
                return self._sign(mark)
            case Dim():
                return self._dim(mark)
            case Running():
                return self._running(mark)

    def _tag(self, layer: str, name: str) -> str:
        about = f' data-id="{escaped(name)}"' if name else ""
        return f' class="{layer.lower()}"{about}'

    def _line(self, mark: Line) -> str:
        (x_1, y_1), (x_2, y_2) = self._xy(mark.start), self._xy(mark.end)
        pen = PENS[mark.role]
        drawn = (f'<line{self._tag(mark.layer, mark.id)} x1="{x_1}" y1="{y_1}" x2="{x_2}" '
                 f'y2="{y_2}" {self._pen(pen)}/>')
        return drawn + (self._head(mark, pen) if mark.arrow else "")

    def _head(self, mark: Line, pen: Pen) -> str:
        angle = atan2(mark.end[1] - mark.start[1], mark.end[0] - mark.start[0])
        points = [mark.end]
        for side in (-1, 1):
            turn = angle + pi + side * 0.32
            points.append((mark.end[0] + mark.arrow * cos(turn),
                           mark.end[1] + mark.arrow * sin(turn)))
        return f'<polygon points="{self._points(tuple(points))}" fill="{pen.colour}"/>'

    def _points(self, points: tuple[tuple[float, float], ...]) -> str:
        return " ".join(",".join(self._xy(point)) for point in points)

    def _polygon(self, mark: Polygon) -> str:
        fill = TINT if mark.tint or mark.hatch else PAPER if mark.white else "none"
        name = "" if mark.id == "label" else mark.id
        pen = "stroke=\"none\"" if mark.id == "label" else self._pen(PENS[mark.role])
        opacity = ' fill-opacity="0.85"' if mark.id == "label" else ""
        return (f'<polygon{self._tag(mark.layer, name)} points="{self._points(mark.points)}" '
                f'fill="{fill}"{opacity} {pen}/>')

    def _text(self, mark: Text) -> str:
        x, y = self._xy(mark.at)
        turn = f' transform="rotate({-mark.turn} {x} {y})"' if mark.turn else ""
        weight = ' font-weight="bold"' if mark.bold else ""
        anchor = f' text-anchor="{mark.anchor}"' if mark.anchor != "start" else ""
        halo = "" if mark.layer not in _OVER_LINES else (
            f' paint-order="stroke" stroke="{PAPER}" stroke-width="{self._number(self._mm)}"')
        return (f'<text x="{x}" y="{y}" font-size="{self._size(mark.height)}" '
                f'fill="{PENS[mark.role].colour}"{anchor}{weight}{halo}{turn}>{escaped(mark.text)}'
                "</text>")

    def _sign(self, mark: SignAt) -> str:
        sign, colour = SIGNS[mark.kind, mark.state], STATE_COLOUR[mark.state]
        (cx, cy), radius = mark.at, mark.radius
        weight = self._number(0.32 * self._mm)
        fill = colour if sign.filled else PAPER
        x, y = self._xy(mark.at)
        if sign.ring:
            drawn = f'<circle cx="{x}" cy="{y}" r="{self._size(radius)}"'
        else:
            left, top = self._xy((cx - radius, cy + radius))
            drawn = (f'<rect x="{left}" y="{top}" width="{self._size(2 * radius)}" '
                     f'height="{self._size(2 * radius)}"')
        drawn += f' fill="{fill}" stroke="{colour}" stroke-width="{weight}"/>'
        for _, a, b, c, d in sign.strokes:
            x_1, y_1 = self._xy((cx + a * radius, cy + b * radius))
            x_2, y_2 = self._xy((cx + c * radius, cy + d * radius))
            drawn += (f'<line x1="{x_1}" y1="{y_1}" x2="{x_2}" y2="{y_2}" '
                      f'stroke="{PAPER if sign.filled else colour}" stroke-width="{weight}"/>')
        return f'<g class="state {mark.state}">{drawn}</g>'

    def _dim(self, mark: Dim) -> str:
        pen = self._pen(PENS["dimension"])
        k = TICKS_PER_MM * self._page.setting.scale
        x_1, y = self._xy((mark.low, mark.y))
        x_2, _ = self._xy((mark.high, mark.y))
        drawn = f'<line x1="{x_1}" y1="{y}" x2="{x_2}" y2="{y}" {pen}/>'
        way = 1 if mark.y > mark.foot[0] else -1
        for x, foot in ((mark.low, mark.foot[0]), (mark.high, mark.foot[1])):
            a, b = self._xy((x, foot + way * k)), self._xy((x, mark.y + way * 1.2 * k))
            drawn += f'<line x1="{a[0]}" y1="{a[1]}" x2="{b[0]}" y2="{b[1]}" {pen}/>'
            tick = 0.8 * k
            a, b = self._xy((x - tick, mark.y - tick)), self._xy((x + tick, mark.y + tick))
            bold = Pen(INK, 0.3)
            drawn += (f'<line x1="{a[0]}" y1="{a[1]}" x2="{b[0]}" y2="{b[1]}" '
                      f'{self._pen(bold)}/>')
        drawn += self._text(
            Text("DIMENSIONS", mark.text_at, mark.text, mark.height, mark.anchor))
        return (f'<g class="dimension" data-from="{x_1}" data-to="{x_2}">{drawn}</g>')

    def _running(self, mark: Running) -> str:
        k = TICKS_PER_MM * self._page.setting.scale
        points = ((mark.x, mark.foot + 0.8 * k), (mark.x, mark.y - 1.8 * k),
                  (mark.text_x, mark.y - 0.4 * k))
        pen = self._pen(Pen(FAINT, 0.13))
        text = Text("DIMENSIONS", (mark.text_x + mark.height * 0.36, mark.y), mark.text,
                    mark.height, turn=90)
        return (f'<g class="running" data-x="{self._size(mark.x)}">'
                f'<polyline points="{self._points(points)}" fill="none" {pen}/>'
                f"{self._text(text)}</g>")
