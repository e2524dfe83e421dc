"""What a stock plan is made of: wanted cuts, blanks, stock lengths. Ticks throughout.

A sheet lies face up with its female leg at the left and its male leg at the right, as pans of a
plane laid left to right are seen by someone who looks up the slope; `along` is measured up it. A
pan of a plane laid right to left lies in it turned end for end, its eave end up.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Keeps = Literal["both", "male", "female", "none"]


@dataclass(frozen=True, slots=True)
class Cut:
    """Alike pieces to be cut, `count` of them under one `mark`.

    `length` is the cut length from the lowest to the highest point, with all allowances; `width`
    the finished width. `keeps` says which legs of the sheet it keeps; the other edges are ripped
    and turned up. `foot` and `head` tell a straight bevel across the whole width at the lower and
    the upper end: how much higher the right corner is than the left one, seen from outside looking
    up the slope; 0 is a square cut, None any other shape. `turned`: its male leg is at the left
    (planes laid right to left). `flat`: its width in the flat, where that is not what `keeps`
    makes of it (a leg formed anew, two male legs); such a piece has a sheet to itself.
    """

    mark: str
    length: int
    width: int
    keeps: Keeps = "both"
    count: int = 1
    foot: Fraction | int | None = 0
    head: Fraction | int | None = 0
    turned: bool = False
    flat: int | None = None

    def __post_init__(self) -> None:
        """Refuse what no piece can be.

        Raises:
            ValueError: a length or width below 1, or a count below 0.
        """
        if self.length < 1 or self.width < 1 or self.count < 0:
            raise ValueError(f"cut {self.mark}: length and width are at least 1 tick, count 0")
        if self.flat is not None and self.flat < 1:
            raise ValueError(f"cut {self.mark}: its width in the flat is at least 1 tick")

    @property
    def bevels(self) -> tuple[Fraction, Fraction]:
        """Its foot and head where they are straight bevels no longer than the piece, else 0."""
        foot, head = (Fraction(rise or 0) for rise in (self.foot, self.head))
        return (
            foot if abs(foot) <= self.length else Fraction(0),
            head if abs(head) <= self.length else Fraction(0),
        )

    @property
    def ripped(self) -> int:
        """How many of its edges are ripped and turned up."""
        return {"both": 0, "male": 1, "female": 1, "none": 2}[self.keeps]


@dataclass(frozen=True, slots=True)
class Part:
    """Where one piece lies in a blank: from `left` to `right` across, `low` to `high` along it.

    `foot` and `head` are the bevels of its lower and upper end as it lies there (see `Cut`), over
    its finished width from `pan_left` to `pan_right`; beside that the ends run square.
    """

    mark: str
    left: int
    right: int
    pan_left: int
    pan_right: int
    low: Fraction
    high: Fraction
    foot: Fraction
    head: Fraction
    turned: bool


How = Literal["alone", "side by side", "end to end"]


@dataclass(frozen=True, slots=True)
class Blank:
    """Alike blanks, `count` of them: full-width sheet of one length, and what is cut from each."""

    length: int
    how: How
    parts: tuple[Part, ...]
    count: int

    @property
    def marks(self) -> tuple[str, ...]:
        """The marks of what is cut from it."""
        return tuple(part.mark for part in self.parts)


@dataclass(frozen=True, slots=True)
class Pattern:
    """`count` stock sheets of one length, each cut into the same blanks (numbers in the plan)."""

    length: int
    blanks: tuple[int, ...]
    count: int


@dataclass(frozen=True, slots=True)
class StockPlan:
    """What to buy and what to cut from it.

    `blanks` are what is cut, `stock` the stock sheets they come from (empty with coil). `length` is
    that of all stock, or of coil, and no plan of the ways `stock_kinds` describes takes less than
    `bound`. `proven`: they are the same. `fewest`: nor is there one of that length with fewer
    stock sheets (blanks, with coil); a plan of several stock lengths may be proven and not that.
    Areas and weights are those of the stock, of bare metal. `waste` is what becomes of none of the
    pieces, in percent of the stock's area: the legs, turn-ups and allowances count as used.
    `wider` are marks that the width of the sheet does not give, counted as one sheet each; `longer`
    are marks longer than any stock length, and not in the plan.
    """

    blanks: tuple[Blank, ...]
    stock: tuple[Pattern, ...]
    length: int
    bound: int
    proven: bool
    fewest: bool
    sheet_width: int
    sheets: int
    area_m2: float
    area_ft2: float
    weight_kg: float
    weight_lb: float
    waste: float
    wider: tuple[str, ...]
    longer: tuple[str, ...]
