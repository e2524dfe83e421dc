"""The take-off of a laid roof: its lines, what they come to, what is saved, what to add or deduct.

Money in whole cents. What the optimizer weighs (`extra`) and the rest of the roof stand apart: the
extra lines of a layout come to its cost exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from solver.case import Case
from solver.errors import DisagreementError
from solver.result import Judged, Result
from solver.takeoff.adjust import Adjust, PenPrice, adjustments, pen_prices
from solver.takeoff.notes import clarifications
from solver.takeoff.prices import Trade, UnitPrice, price_of, why_unpriced
from solver.takeoff.quantities import Item, Quantities, extra_quantities, rest_quantities


@dataclass(frozen=True, slots=True)
class TakeLine:
    """One line. `usual` is None where there is no usual layout; `price` None where nothing is
    charged here, and `note` then says where.
    """

    item: Item
    usual: Decimal | None
    this: Decimal
    price: UnitPrice | None
    note: str

    @property
    def difference(self) -> Decimal | None:
        """How much more than the usual layout takes."""
        return None if self.usual is None else self.this - self.usual

    @property
    def hours(self) -> Decimal:
        """Person-hours of this layout."""
        return Decimal(0) if self.price is None else self.this * self.price.hours

    @property
    def material(self) -> Decimal:
        """Material of this layout, in currency."""
        return Decimal(0) if self.price is None else self.this * self.price.material

    @property
    def amount(self) -> int:
        """What this layout's quantity costs (cents)."""
        return 0 if self.price is None else self.price.amount(self.this)

    @property
    def usual_amount(self) -> int | None:
        """What the usual layout's quantity costs (cents)."""
        if self.usual is None:
            return None
        return 0 if self.price is None else self.price.amount(self.usual)


@dataclass(frozen=True, slots=True)
class Sums:
    """What the lines come to (cents)."""

    rest: int
    extra: int

    @property
    def total(self) -> int:
        """All of it."""
        return self.rest + self.extra


@dataclass(frozen=True)
class TakeOff:
    """The take-off of layout `rank` of a case.

    `blind_mean` is what starting every plane anywhere costs extra on average, None where unknown;
    it has no quantities, so it is held against the extra only.
    """

    case: Case
    rank: int
    proven: bool
    judged: Judged
    usual: Judged | None
    blind_mean: int | None
    lines: tuple[TakeLine, ...]
    adjusts: tuple[Adjust, ...]
    pens: tuple[PenPrice, ...]
    notes: tuple[str, ...]

    @cached_property
    def sums(self) -> Sums:
        """What this layout comes to."""
        return Sums(
            sum(line.amount for line in self.lines if line.item.part == "rest"),
            sum(line.amount for line in self.lines if line.item.part == "extra"),
        )

    @cached_property
    def usual_sums(self) -> Sums | None:
        """What the usual layout comes to."""
        if self.usual is None:
            return None
        amounts = [(line.item.part, line.usual_amount or 0) for line in self.lines]
        return Sums(
            sum(cents for part, cents in amounts if part == "rest"),
            sum(cents for part, cents in amounts if part == "extra"),
        )

    def hours(self, trade: Trade) -> Decimal:
        """Person-hours of one trade, all lines."""
        return sum(
            (line.hours for line in self.lines if line.price and line.price.trade == trade),
            Decimal(0),
        )

    @property
    def saves_on_usual(self) -> Sums | None:
        """How much less than the usual layout it costs (cents); below 0 where it costs more."""
        if self.usual_sums is None:
            return None
        return Sums(self.usual_sums.rest - self.sums.rest, self.usual_sums.extra - self.sums.extra)

    @property
    def saves_on_blind(self) -> int | None:
        """How much less extra than a blind start costs on average (cents)."""
        return None if self.blind_mean is None else self.blind_mean - self.sums.extra


def take_offs(result: Result, ranks: list[int]) -> list[TakeOff]:
    """Take-offs of layouts of a result, by rank from 1.

    Raises:
        DisagreementError: the extra lines of a layout do not come to its cost.
    """
    case, usual = result.case, result.usual
    blind = None if result.blind is None else result.blind.mean
    before = None if usual is None else quantities(case, usual)
    return [
        take_off(case, entry.judged, usual, blind, entry.rank, proven=entry.proof == "proven",
                 before=before)
        for entry in (result.layouts[rank - 1] for rank in ranks)
    ]


def take_off(
    case: Case, judged: Judged, usual: Judged | None = None, blind_mean: int | None = None,
    rank: int = 1, *, proven: bool = True, before: Quantities | None = None,
) -> TakeOff:
    """The take-off of one layout beside the usual one (`before` are that one's quantities).

    Raises:
        DisagreementError: the extra lines of a layout do not come to its cost.
    """
    this = quantities(case, judged)
    if before is None and usual is not None:
        before = quantities(case, usual)
    lines = tuple(
        TakeLine(item, None if before is None else before.get(item, Decimal(0)),
                 this.get(item, Decimal(0)), price_of(case, item), why_unpriced(case, item))
        for item in _in_order([*this, *(before or {})])
    )
    shown = tuple(line for line in lines if line.this or line.usual)
    found = TakeOff(
        case, rank, proven, judged, usual, blind_mean, shown, adjustments(case, this),
        pen_prices(case, judged), clarifications(case, judged, usual, this, proven),
    )
    _insist(found.sums.extra, judged, "this layout")
    if usual is not None and found.usual_sums is not None:
        _insist(found.usual_sums.extra, usual, "the usual layout")
    return found


def quantities(case: Case, judged: Judged) -> Quantities:
    """All that is counted, the rest of the roof first."""
    return rest_quantities(case, judged) | extra_quantities(case, judged)


def _in_order(items: list[Item]) -> list[Item]:
    """Every item once: kinds in the order of the take-off, within a kind by size."""
    seen = list(dict.fromkeys(items))
    order = {name: place for place, name in enumerate(_ORDER)}
    return sorted(seen, key=lambda item: (
        item.part == "extra", order.get((item.part, item.name), len(order)), item.size,
        item.words, item.more,
    ))


_ORDER = (
    *(("rest", name) for name in (
        "panel", "odd_sheet", "sheet", "end_lap", "clip", "fastener", "boot", "splice", "curb",
        "cricket", "eave", "ridge", "rake", "hip", "valley", "wall", "closure",
    )),
    *(("extra", name) for name in (
        "tight", "crosses", "on_seam", "seam_cut", "crowded", "unlanded", "move_planned",
        "move_stubbed", "odd_panel", "play", "uneven", "misaligned", "off_centre", "area",
    )),
)


def _insist(cents: int, judged: Judged, which: str) -> None:
    if cents != judged.cost.total:
        raise DisagreementError(
            f"The extra lines of the take-off of {which} come to {cents} cents, its cost is "
            f"{judged.cost.total} cents."
        )
