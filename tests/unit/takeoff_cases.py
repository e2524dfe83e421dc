"""Sheets and prices in round figures for hand arithmetic, and take-offs of small cases."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from solver.case import Case
from solver.case_parts import PRICE_NAMES, Price, Sheet
from solver.takeoff.lines import TakeOff
from tests.unit.builders import inches

SHEET = Sheet(
    metal="steel", thickness=inches("1/64"), gauge=24, male=inches("1 1/4"),
    female=inches("1 1/2"), turn_up=inches(1), eave_hook=inches(1), ridge_up=inches("1 1/2"),
    hip_up=inches("1 1/2"), valley_hook=inches(1), wall_up=inches(2), max_length=None,
    lap=inches(6), stock=(), clip_spacing=inches(24), fasteners=2, given=True,
)  # fmt: skip
"""A pan of 18 in takes a sheet of 20 3/4 in."""


def priced(case: Case, *, sheet: Sheet | None = SHEET, **given: tuple[str, str]) -> Case:
    """The case with a sheet and prices: 1 h and 10 of each as a guess, but what is `given`."""
    prices = dict.fromkeys(PRICE_NAMES, Price(Decimal(1), Decimal(10), given=False))
    prices |= {name: Price(Decimal(h), Decimal(m), given=True) for name, (h, m) in given.items()}
    return replace(case, sheet=sheet, prices=tuple(prices.items()))


def counted(found: TakeOff) -> dict[str, Decimal]:
    """This layout's quantities by the words of their items."""
    return {line.item.words: line.this for line in found.lines}


def amounts(found: TakeOff) -> dict[str, int]:
    """This layout's amounts in cents by the words of their items, only what is priced."""
    return {line.item.words: line.amount for line in found.lines if line.price is not None}
