"""How far metal grows with heat, and what that asks of whatever stands in its way.

Holes need the movement towards them, and no less than 10 mm all round (NZ Metal Roof and Wall
Cladding Code of Practice, read). Exact fractions; ticks are rounded up at the end.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Final, Literal

from solver.case_parts import Metal, Movement
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units

Fixed = int | Literal["top", "bottom", "middle"]
COEFFICIENTS: Final[dict[Metal, tuple[int, str]]] = {
    "steel": (12, "EN 1993-1-1 3.2.6, second-hand"),
    "aluminium": (23, "EN 1999-1-1 3.2.5, memory"),
    "zinc": (22, "memory"),
    "copper": (17, "Copper Development Association, Pub 156, read"),
    "stainless": (16, "austenitic, EN 10088-1, memory"),
}
"""Millionths of its length that a metal grows for each kelvin, and where that comes from."""
LEAST_GAP: Final = 10 * TICKS_PER_MM
"""All round a penetration: NZ Code of Practice, read."""
GAP_STEP: Final[dict[Units, int]] = {"in": TICKS_PER_INCH // 16, "mm": TICKS_PER_MM}
"""Gaps are rounded up to whole ones of these."""


@dataclass(frozen=True, slots=True)
class Travel:
    """How far a point of a panel moves `up` and `down` the slope from where it was laid, and from
    end to end in all (`total`); ticks, each rounded up."""

    up: int
    down: int
    total: int

    @property
    def most(self) -> int:
        """The larger of both ways."""
        return max(self.up, self.down)


def coefficient(metal: Metal) -> Fraction:
    """What a length of metal grows for each kelvin, as a share of it."""
    return Fraction(COEFFICIENTS[metal][0], 10**6)


def coefficient_source(metal: Metal) -> str:
    """Where the coefficient comes from."""
    return COEFFICIENTS[metal][1]


def expansion(
    alpha: Fraction, length: Fraction | int, kelvin: Fraction | Decimal | int
) -> Fraction:
    """How far a length grows, in its own unit; `alpha` for each degree of what `kelvin` counts."""
    return alpha * length * Fraction(kelvin)


def fixed_point(fixed: Fixed, low: Fraction, high: Fraction) -> Fraction:
    """Where a length from `low` to `high` up the slope is fixed (ticks).

    One that does not reach a height at which all are to be fixed is fixed at its end next to it.
    """
    if fixed == "top":
        return high
    if fixed == "bottom":
        return low
    if fixed == "middle":
        return (low + high) / 2
    return min(max(Fraction(fixed), low), high)


def travel_at(alpha: Fraction, movement: Movement, at: Fraction, fixed: Fraction) -> Travel:
    """How a point `at` up the slope moves: away from the fixed point when it gets warmer."""
    away = expansion(alpha, abs(at - fixed), movement.warmer)
    back = expansion(alpha, abs(at - fixed), movement.colder)
    up, down = (back, away) if at < fixed else (away, back)
    return Travel(ceil(up), ceil(down), ceil(up + down))


def up_to_step(ticks: int, units: Units) -> int:
    """A length rounded up to whole sixteenths of an inch, or millimetres (ticks)."""
    step = GAP_STEP[units]
    return -(-ticks // step) * step
