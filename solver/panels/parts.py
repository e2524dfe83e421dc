"""What a panel list is made of: pieces as they are cut, marks, sheets of planes. Ticks throughout.

Left and right are those of someone outside who looks up the slope, so left is towards smaller x.
Fractions are exact; what is printed or grouped is rounded to the case's mark.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import atan, degrees
from typing import Final, Literal

from solver.case import Case, Plane
from solver.case_parts import EdgeKind, Sheet
from solver.result import Judged, JudgedPlane

Leg = Literal["male", "female", "turned up", "none"]
"""What stands at a side of a piece; "none" where it comes to a point."""
EndKind = EdgeKind | Literal["curb", "across"]
"""What a piece ends at: an edge of the roof, a curb, or the panels laid across above one."""
Made = Literal["full", "ripped", "re-formed", "two male", "spread"]
LEGS: Final[tuple[Leg, ...]] = ("male", "female")


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight cut at an end of a piece.

    It runs from `left` to `right`, each (x from the piece's left side, how far it stays back from
    the farthest point of that end along the piece).
    """

    kind: EndKind
    left: tuple[Fraction, Fraction]
    right: tuple[Fraction, Fraction]

    @property
    def slant(self) -> Fraction:
        """What it runs along the panel for one across it; 0 for a square cut."""
        return abs(self.right[1] - self.left[1]) / (self.right[0] - self.left[0])

    @property
    def degrees(self) -> float:
        """Its angle from square."""
        return degrees(atan(self.slant))

    @property
    def long(self) -> Literal["left", "right", ""]:
        """The side that this cut leaves longer; empty for a square cut."""
        if self.left[1] == self.right[1]:
            return ""
        return "left" if self.left[1] < self.right[1] else "right"


@dataclass(frozen=True, slots=True)
class Lap:
    """An end lap: its lower edge stands `y` up the slope from the plane's lowest point.

    `shifted` is how far it is from where equal lengths would put it (+ is up the slope). `near`
    names penetrations whose flashing it could not be kept a lap away from, `bevel` says that it
    falls into a slanting end cut.
    """

    y: Fraction
    shifted: Fraction
    near: tuple[str, ...]
    bevel: bool


@dataclass(frozen=True, slots=True)
class Notch:
    """An upright side of what a piece is cut out for: a curb, a hole, or an edge of the roof.

    It reaches from `low` to `high` up the slope; between it and the piece's own `side` there is
    `left` of the panel's width.
    """

    name: str
    low: Fraction
    high: Fraction
    side: Literal["left", "right"]
    left: Fraction


@dataclass(frozen=True, slots=True)
class PanelPiece:
    """One piece of a panel as it is cut.

    `panel` is counted from where laying starts (see `solver.layout`), `part` from the eave up where
    a panel has several pieces. It covers the roof from `low` to `high` along the eave and from
    `y_low` to `y_high` up the slope; as cut it reaches from `bottom` to `top`. `rip` is its width
    in the flat. `lengths` are the cut lengths from the eave up, one where it has no end lap.
    `notches` are the upright sides of what it is cut out for, from the eave up.
    `rings` are the outline of what it covers on the plane and of what it goes all the way round.
    """

    plane: str
    panel: int
    part: int
    low: int
    high: int
    y_low: Fraction
    y_high: Fraction
    bottom: Fraction
    top: Fraction
    left: Leg
    right: Leg
    rip: int
    made: Made
    lower: tuple[Cut, ...]
    upper: tuple[Cut, ...]
    notches: tuple[Notch, ...]
    laps: tuple[Lap, ...]
    lengths: tuple[Fraction, ...]
    area: Fraction
    rings: tuple[tuple[tuple[Fraction, Fraction], ...], ...]

    @property
    def finished(self) -> int:
        """Its width on the roof."""
        return self.high - self.low

    @property
    def length(self) -> Fraction:
        """Its cut length from end to end, before any end lap."""
        return self.top - self.bottom


@dataclass(frozen=True, slots=True)
class Mark:
    """Alike pieces under one name: the same once widths, lengths and cuts are rounded to the mark.

    The first of `pieces` stands for all of them.
    """

    name: str
    pieces: tuple[PanelPiece, ...]

    @property
    def piece(self) -> PanelPiece:
        """The one that stands for all."""
        return self.pieces[0]


@dataclass(frozen=True, slots=True)
class Across:
    """Panels laid across the slope above a curb of detail "close", between the seams beside it.

    `count` panels of full width, the uppermost ripped to fit; `length` is the cut length of the
    longest, `between` the distance of what they lie between, `height` what they cover up the slope.
    """

    name: str
    curb: str
    count: int
    between: int
    length: int
    height: Fraction
    left: Leg
    right: Leg
    width: int


@dataclass(frozen=True, slots=True)
class PlanePanels:
    """The list of one plane; `roof` is its area without holes and curbs (square ticks)."""

    plane: Plane
    judged: JudgedPlane
    marks: tuple[Mark, ...]
    across: tuple[Across, ...]
    roof: Fraction

    @property
    def pieces(self) -> int:
        """How many pieces there are to cut; a panel of two lengths is two."""
        own = sum(len(piece.lengths) for mark in self.marks for piece in mark.pieces)
        return own + sum(across.count for across in self.across)

    @property
    def metal(self) -> Fraction:
        """Width in the flat times cut length of all pieces (square ticks)."""
        own = [
            piece.rip * length
            for mark in self.marks for piece in mark.pieces for length in piece.lengths
        ]
        return sum(own, Fraction(sum(one.count * one.width * one.length for one in self.across)))


@dataclass(frozen=True, slots=True)
class PanelList:
    """The whole list: layout `rank` of a case, and the sheets its panels are made of."""

    case: Case
    rank: int
    judged: Judged
    sheet: Sheet
    planes: tuple[PlanePanels, ...]

    @property
    def roof(self) -> Fraction:
        """Area of the roof without holes and curbs (square ticks)."""
        return sum((plane.roof for plane in self.planes), Fraction(0))

    @property
    def metal(self) -> Fraction:
        """Area of all pieces in the flat (square ticks)."""
        return sum((plane.metal for plane in self.planes), Fraction(0))

    @property
    def pieces(self) -> int:
        """How many pieces there are to cut."""
        return sum(plane.pieces for plane in self.planes)


def sheet_width(case: Case, sheet: Sheet) -> int:
    """What a full pan takes in the flat: its cover and both legs (ticks)."""
    return case.panel.cover + sheet.male + sheet.female
