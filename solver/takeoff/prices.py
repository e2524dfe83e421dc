"""What a line of the take-off costs: hours and material of one unit, whose trade, whose figure.

Man-hours are quantity times man-hours per unit (NAVFAC P-405, 1996, read). Nothing is priced twice:
what the rate `area` holds is not charged again with the panels, nor what `on_seam` holds with a
splice unless the case prices it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, Literal

from solver.case import PLUMBER_RATES, Case
from solver.takeoff.quantities import Item

Trade = Literal["crew", "plumber"]
Whose = Literal["case", "guess"]
MAN_DAY: Final = 8
"""Hours of a man-day: NAVFAC P-405 (1996), read."""


@dataclass(frozen=True, slots=True)
class UnitPrice:
    """One unit of a line: person-hours, material, and what an hour of its trade costs.

    `cents` is the price of one where each occurrence is rounded to whole cents, as the optimizer
    does; None where only the amount is. `whose` is "case" where no guess is in it.
    """

    hours: Decimal
    material: Decimal
    trade: Trade
    hour: Decimal
    whose: Whose
    cents: int | None = None

    @property
    def each(self) -> Decimal:
        """The price of one in currency, as exact as it is charged."""
        if self.cents is not None:
            return Decimal(self.cents) / 100
        return self.hours * self.hour + self.material

    def amount(self, quantity: Decimal) -> int:
        """The price of a quantity in whole cents, halves up."""
        return int((quantity * self.each * 100).to_integral_value(rounding=ROUND_HALF_UP))


def price_of(case: Case, item: Item) -> UnitPrice | None:
    """What one unit of an item costs; None where nothing is charged for it."""
    if item.part == "extra":
        return _extra(case, item.name)
    name = price_name(item)
    price = dict(case.prices).get(name)
    if price is None or (item.name == "splice" and not price.given):
        return None
    hours, material = price.hours, price.material
    if name == "panel" and metal_in_total(case):
        area = case.rates.each["area"]
        hours = Decimal(0) if area.hours else hours
        material = Decimal(0) if area.material else material
    if item.name == "odd_sheet":  # laid like any other, but its metal is in its rate
        material = Decimal(0)
    return UnitPrice(hours, material, "crew", case.rates.crew_hour,
                     _whose(case, hours, price.given, "crew_hour"))


def price_name(item: Item) -> str:
    """Under which name the case prices an item of the rest of the roof."""
    return "panel" if item.name == "odd_sheet" else item.name


def _extra(case: Case, name: str) -> UnitPrice:
    rate = case.rates.each[name]
    plumber = name in PLUMBER_RATES
    hour = case.rates.plumber_hour if plumber else case.rates.crew_hour
    whose = _whose(case, rate.hours, rate.given, "plumber_hour" if plumber else "crew_hour")
    return UnitPrice(rate.hours, rate.material, "plumber" if plumber else "crew", hour, whose,
                     case.rates.cents(name))


def _whose(case: Case, hours: Decimal, given: bool, hour: str) -> Whose:
    guessed = not given or (hours and hour in case.rates.default)
    return "guess" if guessed else "case"


def metal_in_total(case: Case) -> bool:
    """Whether the optimizer charges the area of the sheets."""
    area = case.rates.each.get("area")
    return area is not None and area.given and bool(area.hours or area.material)


def why_unpriced(case: Case, item: Item) -> str:
    """Where what a line does not charge itself is charged; empty where it charges all."""
    if item.name == "odd_sheet":
        return 'metal: "Odd panel"'
    if item.part == "extra" or price_of(case, item) is not None:
        return ""
    if item.name == "splice":
        return 'in "Pipe on a seam"'
    if item.name == "sheet":
        return 'in "Panels"'
    return "no price"
