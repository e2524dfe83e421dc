"""How the checker writes lengths: part of it, and shared with nothing else.

A name ending in `2`, and `halves`, count half ticks.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from solver.case import Case
from solver.units import Units, format_length

_FINE: Final = {"in": 254, "mm": 64}
"""1/64 in and 0.1 mm: a change of module is finer than the crew's mark."""


@dataclass(frozen=True, slots=True)
class Words:
    """Writes lengths so that a broken limit always shows as broken, even by one tick."""

    units: Units
    mark: int

    def near(self, ticks: int) -> str:
        """To the nearest mark."""
        return format_length(2 * ticks, self.units, self.mark)

    def place(self, ticks: int) -> str:
        """A place along the eave, in feet and inches where the case is in inches."""
        return format_length(2 * ticks, self.units, self.mark, feet=True)

    def signed(self, ticks: int) -> str:
        """A move with its direction as a sign, + towards larger x; a change, + is wider."""
        return ("+" if ticks > 0 else "") + self.near(ticks)

    def down(self, halves: int) -> str:
        """Rounded towards less: what is too little, or what is allowed at most."""
        return format_length(halves, self.units, self.mark, how="down")

    def up(self, halves: int) -> str:
        """Rounded towards more: what is too much, or what is asked at least."""
        text = self.down(-halves)
        return text.removeprefix("-") if halves >= 0 else f"-{text}"


def words_of(case: Case) -> Words:
    """To the crew's mark."""
    return Words(case.units, case.mark)


def fine_words(case: Case) -> Words:
    """Finer than the crew's mark, for changes of a module."""
    fine = _FINE[case.units]
    return Words(case.units, min(case.rules.play_mark or fine, fine))


def odd_limits(case: Case) -> str:
    """The widths an odd panel may have: "9" to 17 15/16"", or "12" or 14"" from a list."""
    near, rules, mark = words_of(case).near, case.rules, case.mark
    if rules.odd_widths:
        return " or ".join(near(width) for width in rules.odd_widths)
    least = -(-rules.odd_min // mark) * mark
    most = (case.panel.cover - mark) // mark * mark
    return f"{near(least)} to {near(most)}"


def numbers(of: Iterable[int]) -> str:
    """Numbers without a gap but at 0: "1 to 6", or "-3 to -1 and 1"."""
    low = sorted(number for number in of if number < 0)
    high = sorted(number for number in of if number > 0)
    runs = [
        f"{side[0]} to {side[-1]}" if len(side) > 1 else str(side[0])
        for side in (low, high)
        if side
    ]
    return " and ".join(runs)
