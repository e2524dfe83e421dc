"""Our look, written down once: colours, line weights, dashes and the signs of states.

White paper, dark ink, one accent for whatever changes: pipes that move. A state is told by a shape
and a word, its colour only helps. Colours are those of the Okabe-Ito palette, which the
colour-blind can tell apart (Okabe and Ito, Color Universal Design, 2008; from memory); its orange
and its reddish purple are drawn darker, so that they have 3 : 1 against white as all signs do.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final, Literal

from solver.case import State

PAPER: Final = "#ffffff"
INK: Final = "#1a1a1a"
QUIET: Final = "#5c5c5c"
FAINT: Final = "#a6a6a6"
TINT: Final = "#ececec"
ACCENT: Final = "#0072b2"
FONT: Final = "sans-serif"

STATE_COLOUR: Final[dict[State, str]] = {
    "clear": "#007a59", "tight": "#a86f00", "crosses": "#d55e00", "on-seam": "#000000",
    "crowded": "#d55e00", "spans": "#9a4a78",
}
STATE_LETTER: Final[dict[State, str]] = {
    "clear": "O", "tight": "T", "crosses": "X", "on-seam": "S", "crowded": "C", "spans": "P",
}
STATE_WORD: Final[dict[State, str]] = {
    "clear": "clear", "tight": "tight", "crosses": "crosses a seam", "on-seam": "on a seam",
    "crowded": "crowded", "spans": "spans",
}

Role = Literal[
    "outline", "hole", "seam", "control", "body", "base", "moved-from", "arrow", "dimension",
    "grid", "keepout", "odd", "centre", "text", "leader", "frame", "rule",
]


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn: colour, weight and dashes (mm on paper; no dashes: a full line)."""

    colour: str
    weight: float
    dashes: tuple[float, ...] = ()


PENS: Final[dict[Role, Pen]] = {
    "outline": Pen(INK, 0.5),
    "hole": Pen(INK, 0.35),
    "seam": Pen(QUIET, 0.18),
    "control": Pen(ACCENT, 0.25, (4, 1, 0.6, 1)),
    "body": Pen(INK, 0.35),
    "base": Pen(INK, 0.18),
    "moved-from": Pen(ACCENT, 0.25, (1, 0.7)),
    "arrow": Pen(ACCENT, 0.35),
    "dimension": Pen(QUIET, 0.13),
    "grid": Pen(QUIET, 0.18, (6, 1.2, 1, 1.2)),
    "keepout": Pen(QUIET, 0.13, (1.6, 1)),
    "odd": Pen(FAINT, 0.13),
    "centre": Pen(QUIET, 0.18, (3, 0.8, 0.8, 0.8)),
    "text": Pen(INK, 0.13),
    "leader": Pen(QUIET, 0.13),
    "frame": Pen(INK, 0.35),
    "rule": Pen(FAINT, 0.13),
}

Stroke = tuple[Literal["line"], float, float, float, float]
"""From x, y to x, y in a box from -1 to 1, y upwards."""


@dataclass(frozen=True, slots=True)
class Sign:
    """The sign of a state in a box from -1 to 1, y upwards: a ring or a square, and strokes.

    `filled`: it is filled with its colour and the strokes on it are white.
    """

    ring: bool
    filled: bool
    strokes: tuple[Stroke, ...]


_R: Final = 1 / sqrt(2)
_DIAGONALS: Final[tuple[Stroke, ...]] = (
    ("line", -0.55, -0.55, 0.55, 0.55), ("line", -0.55, 0.55, 0.55, -0.55),
)
SIGNS: Final[dict[tuple[Literal["pipe", "curb"], State], Sign]] = {
    ("pipe", "clear"): Sign(True, False, ()),
    ("pipe", "tight"): Sign(True, False, (("line", -0.55, 0, 0.55, 0),)),
    ("pipe", "crosses"): Sign(True, False, (("line", -1.35 * _R, -1.35 * _R, 1.35 * _R, 1.35 * _R),
                                            )),
    ("pipe", "on-seam"): Sign(True, True, _DIAGONALS),
    ("curb", "clear"): Sign(False, False, ()),
    ("curb", "crowded"): Sign(False, False, (("line", -0.55, 0, 0.55, 0),)),
    ("curb", "spans"): Sign(False, False, (("line", 0, -1.35, 0, 1.35),)),
}
"""Open circle: clear; with a bar: tight; cut by a line: crosses; filled, with a cross: on a seam.
Open square: a clear curb; with a bar: crowded; cut by an upright line: spans a seam."""
