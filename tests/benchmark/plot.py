"""Measured growth as a drawing: plain SVG, readable in black and white.

One panel an axis, both scales logarithmic (counts from 0 stand side by side). Lines differ by
stroke and by marker. A marker with an arrow on the top line: not finished within the limit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape

WIDTH, HEIGHT = 974, 836
_PANEL_W, _PANEL_H = 362, 270
_LEFT, _TOP = 74, 96
_STEP_X, _STEP_Y = 488, 366
_FONT = "font-family='Helvetica, Arial, sans-serif'"
_DASHES = ("", "7 3", "2 3", "10 3 2 3", "14 4")
_SHADES = ("#000", "#000", "#444", "#444", "#666")


@dataclass(frozen=True)
class Panel:
    """One axis: its title, what grows, sizes, and values by line and size (None: cut off)."""

    title: str
    along: str
    sizes: Sequence[int]
    lines: Mapping[str, Mapping[int, float | None]]


@dataclass(frozen=True)
class Mark:
    """A line across every panel, such as the limit that values of None hit."""

    value: float
    says: str
    unit: str


def write_plot(
    path: Path, title: str, upwards: str, panels: Sequence[Panel], mark: Mark,
    notes: Sequence[str] = (),
) -> None:
    """Draw the panels two in a row. `upwards` names what the values are."""
    values = [
        value for panel in panels for line in panel.lines.values() for value in line.values()
        if value
    ]
    low = min([*values, mark.value / 10]) / 1.6
    high = max([*values, mark.value]) * 2.6
    names = list(dict.fromkeys(name for panel in panels for name in panel.lines))
    out = [
        f"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {WIDTH} {HEIGHT}' "
        f"width='{WIDTH}' height='{HEIGHT}' {_FONT}>",
        f"<title>{escape(title)}</title>",
        f"<rect width='{WIDTH}' height='{HEIGHT}' fill='#fff'/>",
        _text(WIDTH / 2, 28, title, size=18, anchor="middle", weight="bold"),
        *_legend(names),
    ]
    for k, panel in enumerate(panels):
        x, y = _LEFT + (k % 2) * _STEP_X, _TOP + (k // 2) * _STEP_Y
        out += _panel(panel, names, x, y, (low, high), mark, upwards)
    for k, note in enumerate(notes):
        out.append(_text(_LEFT, HEIGHT - 34 + 17 * k, note, size=12))
    out.append("</svg>")
    path.write_text("\n".join(out) + "\n", encoding="utf-8")


def _panel(
    panel: Panel, names: Sequence[str], left: float, top: float, span: tuple[float, float],
    mark: Mark, upwards: str,
) -> list[str]:
    low, high = span
    across = _across(panel.sizes, left)

    def up(value: float) -> float:
        part = math.log(max(value, low) / low) / math.log(high / low)
        return top + _PANEL_H * (1 - part)

    bottom, right = top + _PANEL_H, left + _PANEL_W
    out = [_text(left, top - 10, panel.title, size=13, weight="bold")]
    power = math.ceil(math.log10(low))
    while 10.0 ** power <= high:
        value = 10.0 ** power
        out.append(_line(left, up(value), right, up(value), "#ccc", 1))
        out.append(_text(left - 7, up(value) + 4, f"{value:g}", size=12, anchor="end"))
        power += 1
    for size in panel.sizes:
        out.append(_line(across(size), bottom, across(size), bottom + 5, "#000", 1))
        out.append(_text(across(size), bottom + 19, f"{size}", size=12, anchor="middle"))
    line = up(mark.value)
    out.append(_line(left, line, right, line, "#000", 1, "1 3"))
    out.append(_text(right + 5, line - 2, mark.says, size=11))
    out.append(_text(right + 5, line + 11, f"{mark.value:g} {mark.unit}", size=11))
    out.append(
        f"<rect x='{left}' y='{top}' width='{_PANEL_W}' height='{_PANEL_H}' fill='none' "
        "stroke='#000'/>"
    )
    out.append(_text(left + _PANEL_W / 2, bottom + 38, panel.along, size=13, anchor="middle"))
    middle = top + _PANEL_H / 2
    out.append(
        f"<text x='{left - 50}' y='{middle}' font-size='13' text-anchor='middle' "
        f"transform='rotate(-90 {left - 50} {middle})'>{escape(upwards)}</text>"
    )
    cut: dict[int, int] = {}  # how many lines are cut off at a size, so that none hides another
    for number, name in reversed(list(enumerate(names))):  # the first one on top
        points: list[tuple[float, float]] = []
        marks: list[str] = []
        for size, found in panel.lines.get(name, {}).items():
            point = (across(size), up(mark.value if found is None else found))
            if found is None:
                aside = 13 * cut.get(size, 0) * (-1 if point[0] > right - 60 else 1)
                point = (point[0] + aside, point[1])
                cut[size] = cut.get(size, 0) + 1
                marks += _arrow(*point)
            points.append(point)
            marks.append(_marker(number, *point))
        if len(points) > 1:
            path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
            dash = _DASHES[number % len(_DASHES)]
            out.append(
                f"<path d='{path}' fill='none' stroke='{_SHADES[number % len(_SHADES)]}' "
                f"stroke-width='1.7'" + (f" stroke-dasharray='{dash}'" if dash else "") + "/>"
            )
        out += marks
    return out


def _across(sizes: Sequence[int], left: float) -> Callable[[int], float]:
    """Where a size stands: by its logarithm, or side by side where sizes count from 0."""
    inset, room = 26.0, _PANEL_W - 52.0
    if min(sizes) <= 0:
        return lambda size: left + inset + room * sizes.index(size) / max(len(sizes) - 1, 1)
    span = math.log(max(sizes) / min(sizes)) or 1.0
    return lambda size: left + inset + room * math.log(size / min(sizes)) / span


def _legend(names: Sequence[str]) -> list[str]:
    out = []
    each = (WIDTH - 60) / max(len(names), 1)
    for number, name in enumerate(names):
        x, y = 40 + each * number, 54
        dash = _DASHES[number % len(_DASHES)]
        out.append(_line(x, y, x + 44, y, _SHADES[number % len(_SHADES)], 1.7, dash))
        out.append(_marker(number, x + 22, y))
        out.append(_text(x + 52, y + 4, name, size=13))
    return out


def _arrow(x: float, y: float) -> list[str]:
    """From a marker upwards: it would be higher still."""
    return [
        _line(x, y - 6, x, y - 17, "#000", 1.3),
        f"<path d='M{x - 3.5:.1f} {y - 13:.1f}L{x:.1f} {y - 19:.1f}L{x + 3.5:.1f} {y - 13:.1f}' "
        "fill='none' stroke='#000' stroke-width='1.3'/>",
    ]


def _marker(number: int, x: float, y: float) -> str:
    """Disc, ring, square, triangle, cross: told apart without colour."""
    kind = number % 5
    r = 3.6 if kind == 0 else 5.0  # where two meet both are seen
    if kind in (0, 1):
        fill = "#000" if kind == 0 else "#fff"
        return (f"<circle cx='{x:.1f}' cy='{y:.1f}' r='{r}' fill='{fill}' stroke='#000' "
                "stroke-width='1.4'/>")
    shapes = {
        2: f"M{x - r:.1f} {y - r:.1f}h{2 * r}v{2 * r}h{-2 * r}z",
        3: f"M{x:.1f} {y - r - 1:.1f}L{x + r + .6:.1f} {y + r:.1f}H{x - r - .6:.1f}z",
        4: f"M{x - r:.1f} {y - r:.1f}l{2 * r} {2 * r}m0 {-2 * r}l{-2 * r} {2 * r}",
    }
    fill = {2: "#fff", 3: "#888", 4: "none"}[kind]
    return f"<path d='{shapes[kind]}' fill='{fill}' stroke='#000' stroke-width='1.5'/>"


def _line(
    x: float, y: float, to_x: float, to_y: float, stroke: str, width: float, dash: str = ""
) -> str:
    dashes = f" stroke-dasharray='{dash}'" if dash else ""
    return (f"<line x1='{x:.1f}' y1='{y:.1f}' x2='{to_x:.1f}' y2='{to_y:.1f}' "
            f"stroke='{stroke}' stroke-width='{width}'{dashes}/>")


def _text(
    x: float, y: float, words: str, *, size: int, anchor: str = "start", weight: str = "normal"
) -> str:
    return (f"<text x='{x:.1f}' y='{y:.1f}' font-size='{size}' text-anchor='{anchor}' "
            f"font-weight='{weight}'>{escape(words)}</text>")
