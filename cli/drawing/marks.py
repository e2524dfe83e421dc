"""What a drawing is made of, before it is written as SVG or DXF.

Coordinates are ticks on the roof, y upwards; sizes of text and signs too (a size on paper times the
scale). `layer` is the DXF layer, `role` how it looks (`cli.look`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from rich.cells import cell_len

from cli.look import Role
from solver.case import State

Layer = Literal[
    "OUTLINE", "SEAMS", "CONTROL-LINES", "PENETRATIONS", "FLASHINGS", "MOVED-FROM", "DIMENSIONS",
    "GRID", "KEEP-OUT", "ODD-PANELS", "STATES", "TEXT", "SCHEDULE", "TITLE",
]
LAYERS: Final[tuple[Layer, ...]] = (
    "OUTLINE", "SEAMS", "CONTROL-LINES", "PENETRATIONS", "FLASHINGS", "MOVED-FROM", "DIMENSIONS",
    "GRID", "KEEP-OUT", "ODD-PANELS", "STATES", "TEXT", "SCHEDULE", "TITLE",
)
Anchor = Literal["start", "middle", "end"]
XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; `arrow`: with a head of that size at its end."""

    layer: Layer
    role: Role
    start: XY
    end: XY
    arrow: float = 0
    id: str = ""


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed polygon; `tint`: lightly filled, `white`: covers what is below it."""

    layer: Layer
    role: Role
    points: tuple[XY, ...]
    tint: bool = False
    white: bool = False
    hatch: bool = False
    id: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    layer: Layer
    role: Role
    centre: XY
    radius: float
    white: bool = False
    id: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text whose base line begins, is centred or ends at `at`. `turn` in degrees.

    `role`: "arrow" for what changes, "leader" for what is quiet, else "text".
    """

    layer: Layer
    at: XY
    text: str
    height: float
    anchor: Anchor = "start"
    turn: int = 0
    bold: bool = False
    role: Role = "text"


@dataclass(frozen=True, slots=True)
class SignAt:
    """The sign of a state around `at`, `radius` large."""

    kind: Literal["pipe", "curb"]
    state: State
    at: XY
    radius: float


@dataclass(frozen=True, slots=True)
class Dim:
    """A dimension along the eave from `low` to `high`, its line at `y`.

    Its extension lines begin at `foot`. `text_at` is where its text stands (`anchor`), on the line
    unless it does not fit; `height` is that of the text.
    """

    low: int
    high: int
    y: float
    foot: tuple[float, float]
    text: str
    text_at: XY
    anchor: Anchor
    height: float


@dataclass(frozen=True, slots=True)
class Running:
    """A running figure: the distance of `x` from `origin`, written upwards from `y`, its extension
    line from `foot`. `text_x` is where it is written: beside `x` where figures stand too close."""

    x: int
    origin: int
    text_x: float
    y: float
    foot: float
    text: str
    height: float


Mark = Line | Polygon | Circle | Text | SignAt | Dim | Running


@dataclass
class Marks:
    """Marks in the order they are drawn; `roof` are those that are cut off at a match line."""

    roof: list[Mark] = field(default_factory=list)
    over: list[Mark] = field(default_factory=list)


def text_width(text: str, height: float, *, bold: bool = False) -> float:
    """About how wide a text is: never less than in the usual fonts without serifs."""
    units = 0.0
    for char in text:
        if char in " .,:;'|!il/()[]\"":
            units += 0.4
        elif char in "mwMW@—…":
            units += 0.98
        elif char.isupper():
            units += 0.75
        elif char.isascii():
            units += 0.635
        else:
            units += 1.05 if cell_len(char) == 2 else 0.75 if cell_len(char) else 0
    return units * height * (1.1 if bold else 1.0)


def fit(text: str, width: float, height: float, *, bold: bool = False) -> str:
    """A text cut in its middle to a width, so that ids of a series still differ."""
    if text_width(text, height, bold=bold) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        keep = (low + high + 1) // 2
        cut = _cut(text, keep)
        if text_width(cut, height, bold=bold) <= width:
            low = keep
        else:
            high = keep - 1
    return _cut(text, low)


def _cut(text: str, keep: int) -> str:
    head, tail = keep - keep // 2, keep // 2
    return text[:head] + "…" + (text[-tail:] if tail else "")


def wrapped(text: str, width: float, height: float, most: int = 99) -> list[str]:
    """A text in lines no wider than `width`, broken at blanks, at most `most` of them."""
    lines: list[str] = []
    now = ""
    for word in text.split(" "):
        longer = f"{now} {word}" if now else word
        if now and text_width(longer, height) > width:
            lines.append(now)
            now = word
        else:
            now = longer
    lines.append(now)
    if len(lines) > most:
        lines = [*lines[: most - 1], " ".join(lines[most - 1 :])]
    return [fit(line, width, height) for line in lines]
