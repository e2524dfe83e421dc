"""A drawing whose unit and layers are known, and the account of what became of all it shows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Final

from solver.case_file.load_report import printable
from solver.errors import CaseError, Problem
from solver.intake.drawing_layers import Layers
from solver.intake.drawing_names import Names
from solver.intake.drawing_read import CURVED, Drawing, Point
from solver.units import TICKS_PER, Units, round_half_away

UNIT_TICKS: Final = {
    "in": TICKS_PER["in"],
    "ft": 12 * TICKS_PER["in"],
    "mm": TICKS_PER["mm"],
    "cm": 10 * TICKS_PER["mm"],
    "m": 1000 * TICKS_PER["mm"],
}
INSUNITS: Final = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
"""What the header variable $INSUNITS of a DXF drawing says, for units that roofs are drawn in."""
SQUARE: Final = 64
"""A tenth of a millimetre in ticks: less than anyone draws on purpose."""
_NAME_NEAR: Final = 24 * TICKS_PER["in"]
Ticks = tuple[int, int]


@dataclass(slots=True)
class Account:
    """What became of everything drawn.

    `took` counts by layer, kind and what it was taken as; `left` by layer and kind; `refused` and
    `notes` are sentences.
    """

    took: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    left: Counter[tuple[str, str]] = field(default_factory=Counter)
    refused: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


class Sheet:
    """The drawing in ticks. `used` are the handles of what was taken or refused."""

    def __init__(self, drawing: Drawing, layers: Layers, unit: str) -> None:
        self.drawing, self.layers = drawing, layers
        self.ticks = UNIT_TICKS[unit]
        self.units: Units = "in" if unit in ("in", "ft") else "mm"
        self.account = Account()
        self.used: set[str] = set()
        self.origin: Point = (Fraction(0), Fraction(0))
        self.names = Names(drawing.texts, _NAME_NEAR, self.at)

    def at(self, point: Point) -> Ticks:
        """A point of the drawing in ticks from the origin."""
        return self.length(point[0] - self.origin[0]), self.length(point[1] - self.origin[1])

    def length(self, units: Fraction) -> int:
        """A length in the drawing's unit, in ticks."""
        return round_half_away(units * self.ticks)

    def take(self, thing: Any, as_what: str) -> None:
        """Note what a thing was taken as."""
        self.used.add(thing.handle)
        self.account.took[thing.layer, thing.kind, as_what] += 1

    def refuse(self, thing: Any, says: str) -> None:
        """Note why a thing that stands on a chosen layer cannot be taken."""
        if thing.handle in self.used:
            return
        self.used.add(thing.handle)
        self.account.left[thing.layer, thing.kind] += 1
        self.account.refused.append(
            f"{thing.kind} {printable(thing.handle)} on layer {printable(thing.layer)}: {says}")

    def leave_the_rest(self) -> None:
        """Count everything that was neither taken nor refused; curves where they matter, each."""
        chosen = {*self.layers.outline, *self.layers.pipe, *self.layers.curb}
        for thing in self.drawing.things():
            if thing.handle in self.used:
                continue
            if thing.kind in CURVED and thing.layer in chosen:
                self.refuse(thing, "it is a curve; draw outlines and curbs of straight sides, "
                                   "pipes as whole circles")
            else:
                self.account.left[thing.layer, thing.kind] += 1

    def error(self, want: str) -> CaseError:
        """What makes the whole drawing unusable."""
        return CaseError([Problem(self.drawing.file, "", "", "", want)])


def extent(corners: Sequence[Ticks]) -> Ticks:
    """Width and height of what lies around corners, in ticks."""
    xs, ys = zip(*corners, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def without_repeats(corners: Sequence[Ticks]) -> list[Ticks]:
    """Corners without those drawn again at the same place, the last before the first too."""
    kept: list[Ticks] = []
    for corner in corners:
        if not kept or not _same(corner, kept[-1]):
            kept.append(corner)
    while len(kept) > 1 and _same(kept[0], kept[-1]):
        kept.pop()
    return kept


def is_box(corners: Sequence[Ticks]) -> bool:
    """Whether every corner is one of the box around them all, which is more than a line."""
    xs, ys = zip(*corners, strict=True)
    return min(extent(corners)) > SQUARE and all(
        min(x - min(xs), max(xs) - x) <= SQUARE and min(y - min(ys), max(ys) - y) <= SQUARE
        for x, y in corners
    )


def _same(one: Ticks, other: Ticks) -> bool:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1])) <= SQUARE
