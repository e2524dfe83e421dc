"""The take-off as a spreadsheet: CSV in UTF-8 with a byte-order mark, one row a line.

Below the lines stand prices to add or deduct (part "add or deduct", a price each and no amount)
and the clarifications, so that the amounts of the lines add up by themselves. Texts that a
spreadsheet could take for a formula are guarded as in the stub-up list.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from cli.report.takeoff_words import PARTS, TRADES, number
from cli.sheets_csv import BOM, guarded, tag
from solver.takeoff.lines import TakeLine, TakeOff
from solver.takeoff.prices import UnitPrice

HEAD: Final = (
    "revision", "date", "layout", "part", "in the optimizer's total", "item", "more", "unit",
    "quantity usual", "quantity this layout", "difference", "hours each", "hours", "material each",
    "material", "trade", "trade rate", "price each", "amount", "amount usual", "amount difference",
    "whose rate", "note",
)
Cell = str | int | Decimal | None


def takeoff_csv(found: TakeOff) -> str:
    """The text of the file, lines ended as RFC 4180 says."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(HEAD)
    start: tuple[Cell, ...] = (found.case.revision, found.case.date, found.rank)
    for row in takeoff_rows(found):
        cells = (*start, *(row.get(name) for name in HEAD[3:]))
        writer.writerow([guarded(cell) if isinstance(cell, str) else cell for cell in cells])
    return BOM + stream.getvalue()


def takeoff_rows(found: TakeOff) -> Iterator[dict[str, Cell]]:
    for line in found.lines:
        yield _line(line)
    for one in found.adjusts:
        yield {
            "part": "add or deduct", "item": one.words, "unit": one.unit,
            "quantity this layout": one.now, **_price(one.price),
            "note": "add for each more, deduct for each fewer",
        }
    for note in found.notes:
        yield {"part": "clarification", "item": note}


def _line(line: TakeLine) -> dict[str, Cell]:
    item, price = line.item, line.price
    row: dict[str, Cell] = {
        "part": PARTS[item.part], "in the optimizer's total": "yes" if item.part == "extra" else
        "no", "item": item.words, "more": tag(item.more), "unit": item.unit,
        "quantity usual": None if line.usual is None else number(line.usual),
        "quantity this layout": number(line.this),
        "difference": None if line.difference is None else number(line.difference),
        "note": line.note,
    }
    if price is None:
        return row
    usual = line.usual_amount
    return row | _price(price) | {
        "hours": number(line.hours), "material": number(line.material),
        "amount": currency(line.amount),
        "amount usual": None if usual is None else currency(usual),
        "amount difference": None if usual is None else currency(line.amount - usual),
    }


def _price(price: UnitPrice) -> dict[str, Cell]:
    return {
        "hours each": number(price.hours), "material each": number(price.material),
        "trade": TRADES[price.trade], "trade rate": number(price.hour),
        "price each": number(price.each), "whose rate": price.whose,
    }


def currency(cents: int) -> Decimal:
    """Cents as currency units with two decimals, exactly."""
    return Decimal(cents).scaleb(-2)
