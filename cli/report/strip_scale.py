"""The scale of a strip drawing: how much of the eave one character stands for, and the ruler."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units

COLUMNS: Final = 72
"""Characters of roof in one row."""
LEAST_PAN: Final = 4
"""A pan is drawn at least so many characters wide, so that both sides of a pipe show."""
MOST_PAN: Final = 12
LEAST_LABEL: Final = 8

_FOOT: Final = 12 * TICKS_PER_INCH
_METRE: Final = 1000 * TICKS_PER_MM
_QUARTER: Final = TICKS_PER_INCH // 4
_CHARACTER: Final[dict[Units, tuple[int, ...]]] = {
    "in": tuple(_QUARTER * n for n in (1, 2, 4, 8, 12, 16, 24, 48, 96, 144, 288)),
    "mm": tuple(TICKS_PER_MM * n for n in (5, 10, 20, 25, 50, 100, 125, 200, 250, 500, 1000, 2500)),
}
_STEP: Final[dict[Units, tuple[int, ...]]] = {
    "in": tuple(_FOOT * n // 2 for n in (1, 2, 4, 8, 12, 16, 24, 48, 96, 192, 384)),
    "mm": tuple(_METRE * n // 20 for n in (1, 2, 4, 10, 20, 40, 100, 200, 400, 1000)),
}


@dataclass(frozen=True, slots=True)
class Scale:
    """Ticks of eave in a `character`, between two figures of the ruler (`step`), and in a `row`."""

    units: Units
    character: int
    step: int
    row: int

    def column(self, ticks: int) -> int:
        """The character that a place along the eave falls in."""
        return ticks // self.character

    def figure(self, ticks: int) -> str:
        """A figure of the ruler, without its unit."""
        if self.units == "in":
            feet, inches = divmod(ticks // TICKS_PER_INCH, 12)
            return f"{feet}'" if not inches else f"{feet}'{inches}\""
        text = f"{ticks / _METRE:.2f}".rstrip("0").rstrip(".")
        return text or "0"

    def ruler(self, start: int, width: int) -> str:
        """The figures above a row that starts at `start` ticks, on a plane of `width` ticks."""
        text = ""
        for place in range(start, min(start + self.row, width + 1), self.step):
            at = self.column(place - start)
            if len(text) <= at:
                text = text.ljust(at) + self.figure(place)
        return text

    def says(self) -> str:
        """The scale in words: "1 character = 4 in"."""
        if self.units == "in":
            inches = self.character / TICKS_PER_INCH
            return f"one character is {inches:g} in"
        return f"one character is {self.character // TICKS_PER_MM} mm"


def scale_for(units: Units, cover: int, width: int) -> Scale:
    """The scale for a plane: coarse, so that few rows do, but no pan under four characters.

    A plane that fits into one row is drawn finer, as long as it still fits.
    """
    sizes = _CHARACTER[units]
    fine_enough = [size for size in sizes if size * LEAST_PAN <= cover] or [sizes[0]]
    character = fine_enough[-1]
    for size in reversed(fine_enough):
        if width <= size * COLUMNS and cover <= size * MOST_PAN:
            character = size
    steps = [step for step in _STEP[units] if step % character == 0]
    wide = [step for step in steps if step >= LEAST_LABEL * character]
    step = wide[0] if wide else COLUMNS * character
    row = max(COLUMNS * character // step, 1) * step
    return Scale(units, character, step, row)
