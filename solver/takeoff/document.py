"""The take-off as a JSON document: money with two decimals, quantities as plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, Final

from solver.document import money_number
from solver.result import Result
from solver.takeoff.adjust import Adjust, PenPrice
from solver.takeoff.lines import Sums, TakeLine, TakeOff
from solver.takeoff.prices import MAN_DAY, Trade, UnitPrice

FORMAT: Final = "offseam-takeoff-1"
TRADES: Final[tuple[Trade, ...]] = ("crew", "plumber")
Json = dict[str, Any]


def takeoff_document(result: Result, chosen: TakeOff | None, others: Sequence[TakeOff]) -> Json:
    """The take-off as JSON values; without a layout it is empty and the findings say why."""
    case = result.case
    head: Json = {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "revision": case.revision,
        "date": case.date,
        "versions": result.versions,
        "case_sha256": case.sha256,
        "layout": None if chosen is None else chosen.rank,
        "proof": "proven" if chosen is not None and chosen.proven else "not proven",
    }
    if chosen is not None:
        head |= _body(chosen)
        head["layouts"] = [
            {"layout": one.rank, **_sums(one.sums)} for one in others
        ]
    head["findings"] = [
        {"code": f.code, "severity": f.severity, "about": list(f.about), "says": f.says}
        for f in result.findings
    ]
    return head


def _body(found: TakeOff) -> Json:
    usual, saves = found.usual_sums, found.saves_on_usual
    blind = found.blind_mean
    return {
        "hour": {"crew": float(found.case.rates.crew_hour),
                 "plumber": float(found.case.rates.plumber_hour)},
        "lines": [_line(line) for line in found.lines],
        "sums": _sums(found.sums),
        "hours": {trade: float(found.hours(trade)) for trade in TRADES},
        "man_day_hours": MAN_DAY,
        "usual": None if usual is None else _sums(usual),
        "saves_on_usual": None if saves is None else _sums(saves),
        "blind_mean_extra": None if blind is None else money_number(blind),
        "saves_on_blind_mean_extra": _cents(found.saves_on_blind),
        "add_or_deduct": [_adjust(one) for one in found.adjusts],
        "penetrations": [_pen(one) for one in found.pens],
        "clarifications": list(found.notes),
    }


def _sums(sums: Sums) -> Json:
    return {"rest": money_number(sums.rest), "extra": money_number(sums.extra),
            "total": money_number(sums.total)}


def _line(line: TakeLine) -> Json:
    item, price = line.item, line.price
    return {
        "part": item.part,
        "in_optimizer_total": item.part == "extra",
        "name": item.name,
        "item": item.words,
        "more": item.more,
        "unit": item.unit,
        "usual": _number(line.usual),
        "this": _number(line.this),
        "difference": _number(line.difference),
        **_price(price),
        "hours": float(line.hours) if price is not None else None,
        "material": float(line.material) if price is not None else None,
        "amount": money_number(line.amount) if price is not None else None,
        "usual_amount": _cents(line.usual_amount) if price is not None else None,
        "note": line.note,
    }


def _price(price: UnitPrice | None) -> Json:
    if price is None:
        return dict.fromkeys(("hours_each", "material_each", "trade", "rate", "each", "whose"))
    return {
        "hours_each": float(price.hours), "material_each": float(price.material),
        "trade": price.trade, "rate": float(price.hour), "each": float(price.each),
        "whose": price.whose,
    }


def _adjust(one: Adjust) -> Json:
    return {
        "name": one.name, "what": one.words, "unit": one.unit, "add_each": money_number(one.cents),
        "deduct_each": money_number(-one.cents), "now": one.now, "whose": one.price.whose,
    }


def _pen(one: PenPrice) -> Json:
    return {
        "id": one.pen.id, "plane": one.pen.plane, "kind": one.pen.kind, "status": one.pen.status,
        "state": one.stands.state, "is_moved": bool(one.stands.moved),
        "to_a_seam": _cents(one.on_seam), "cleared": _cents(one.cleared),
        "cleared_by_a_move": _cents(one.cleared_by_move), "not_moved": _cents(one.unmoved),
    }


def _number(quantity: Decimal | None) -> float | int | None:
    if quantity is None:
        return None
    return int(quantity) if quantity == int(quantity) else float(quantity)


def _cents(cents: int | None) -> float | None:
    return None if cents is None else money_number(cents)
