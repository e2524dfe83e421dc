"""Prices to add or deduct from a take-off: each thing more or fewer, and each penetration alone.

From the rates alone (cents): nothing is solved again, so everything else stays where it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from solver.case import Case, Penetration
from solver.result import Judged, JudgedPenetration
from solver.takeoff.prices import UnitPrice, metal_in_total, price_of
from solver.takeoff.quantities import Item, Quantities

_WORDS: Final = {
    "on_seam": "Pipe on a seam instead of clear",
    "crosses": "Boot across a seam instead of in the flat",
    "tight": "Pipe tight instead of clear",
    "seam_cut": "Seam cut at a curb",
    "crowded": "Curb crowded by a seam",
    "unlanded": "Wall of a ribbed curb without a seam",
    "move_planned": "Pipe moved, not yet set",
    "move_stubbed": "Pipe moved, roughed in",
    "odd_panel": "Odd panel",
    "play": "Stretch of altered panels",
    "uneven": "Uneven ends, each unit",
    "misaligned": "Link whose seams do not meet",
    "off_centre": "Centre missed",
    "area": "Metal, each unit of area",
}
_STATE_RATE: Final = {"tight": "tight", "crosses": "crosses", "on-seam": "on_seam"}


@dataclass(frozen=True, slots=True)
class Adjust:
    """One more of something adds `cents`; one fewer deducts them, at most `now` times."""

    name: str
    words: str
    unit: str
    price: UnitPrice
    cents: int
    now: int


@dataclass(frozen=True, slots=True)
class PenPrice:
    """What changes (cents, + is dearer) if one penetration stood otherwise, all else the same.

    `on_seam`: a pipe, from where it is listed onto a seam. `cleared`: in the clear without being
    moved further (a curb: clear of every seam). `cleared_by_move`: in the clear by a move, where it
    has none yet and is not through the roof. `unmoved`: its move not needed. None where that does
    not arise.
    """

    pen: Penetration
    stands: JudgedPenetration
    on_seam: int | None
    cleared: int | None
    cleared_by_move: int | None
    unmoved: int | None


def adjustments(case: Case, this: Quantities) -> tuple[Adjust, ...]:
    """Unit prices of what the optimizer weighs, for all that can arise in the case."""
    found = []
    for item, count in this.items():
        if item.part != "extra" or not _arises(case, item, int(count)):
            continue
        price = price_of(case, item)
        if price is not None and price.cents is not None:
            found.append(Adjust(item.name, _WORDS[item.name], item.unit, price, price.cents,
                                int(count)))
    return tuple(found)


def _arises(case: Case, item: Item, count: int) -> bool:
    pens = case.penetrations
    pipes = any(pen.kind == "pipe" for pen in pens)
    curbs = any(pen.kind == "curb" for pen in pens)
    return bool(count) or {
        "on_seam": pipes, "crosses": pipes, "tight": pipes, "seam_cut": curbs, "crowded": curbs,
        "unlanded": any(pen.detail == "ribbed" for pen in pens),
        "move_planned": any(_movable(case, pen) and pen.status == "planned" for pen in pens),
        "move_stubbed": any(_movable(case, pen) and pen.status == "stubbed" for pen in pens),
        "odd_panel": bool(case.rules.odd_panels), "play": bool(case.rules.play), "uneven": True,
        "misaligned": bool(case.links), "off_centre": bool(case.centres),
        "area": metal_in_total(case),
    }[item.name]  # fmt: skip


def pen_prices(case: Case, judged: Judged) -> tuple[PenPrice, ...]:
    """For every penetration what standing otherwise adds or deducts, in the order of the case."""
    return tuple(
        _curb(case, pen, stands) if pen.kind == "curb" else _pipe(case, pen, stands)
        for pen, stands in zip(case.penetrations, judged.penetrations, strict=True)
    )


def _pipe(case: Case, pen: Penetration, stands: JudgedPenetration) -> PenPrice:
    cents = case.rates.cents
    rate = _STATE_RATE.get(stands.state)
    now = cents(rate) if rate else 0
    move = cents("move_planned" if pen.status == "planned" else "move_stubbed")
    movable = _movable(case, pen)
    return PenPrice(
        pen, stands,
        on_seam=None if rate == "on_seam" else cents("on_seam") - now,
        cleared=-now if rate else None,
        cleared_by_move=move - now if rate and movable and not stands.moved else None,
        unmoved=-move if stands.moved and pen.status != "fixed" else None,
    )


def _curb(case: Case, pen: Penetration, stands: JudgedPenetration) -> PenPrice:
    cents = case.rates.cents
    now = stands.seams_cut * cents("seam_cut")
    now += cents("crowded") if stands.state == "crowded" else 0
    now += (stands.landed or ()).count(False) * cents("unlanded")
    cleared = -now if stands.state != "clear" or now else None
    return PenPrice(pen, stands, None, cleared, None, None)


def _movable(case: Case, pen: Penetration) -> bool:
    return (case.setting == "new" and pen.kind == "pipe" and pen.status != "fixed"
            and bool(pen.reach_low or pen.reach_high))
