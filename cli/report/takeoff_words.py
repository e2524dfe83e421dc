"""How a take-off says its parts, trades, quantities and differences."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from solver.findings.tradeoff import money
from solver.takeoff.prices import Trade
from solver.takeoff.quantities import Part

PARTS: Final[dict[Part, str]] = {"rest": "rest of the roof", "extra": "extra"}
TRADES: Final[dict[Trade, str]] = {"crew": "roof crew", "plumber": "plumber"}


def number(value: Decimal) -> Decimal:
    """A number without needless zeros and without an exponent."""
    plain = value.normalize()
    return plain.quantize(Decimal(1)) if plain == plain.to_integral_value() else plain


def quantity(value: Decimal | None) -> str:
    """A quantity with thousands apart; a dash where there is none to tell."""
    return "-" if value is None else f"{number(value):,f}"


def signed(value: Decimal | None) -> str:
    """A difference with its sign; 0 has none."""
    if value is None:
        return "-"
    return f"{number(value):+,f}" if value else "0"


def signed_money(cents: int | None) -> str:
    """Money with its sign: "+756.00", "-59.00"; a dash where the case does not arise."""
    if cents is None:
        return "-"
    return f"+{money(cents)}" if cents > 0 else money(cents)


def rounded(value: Decimal) -> str:
    """Hours to two decimals, halves up."""
    return f"{number(value.quantize(Decimal('0.01'), ROUND_HALF_UP)):,f}"


def whole(value: Decimal) -> str:
    """Currency with two decimals, up to four where it has them."""
    exact = max(2, -int(value.normalize().as_tuple().exponent))
    return f"{value:,.{min(exact, 4)}f}"
