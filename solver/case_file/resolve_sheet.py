"""What [sheet] and [prices] come to: every default filled in."""

from __future__ import annotations

from typing import Final

from solver.case_file.default_prices import PRICES
from solver.case_file.defaults import LENGTHS
from solver.case_file.entries_rates import RateEntry
from solver.case_file.entries_sheet import PricesEntry, SheetEntry
from solver.case_parts import PRICE_NAMES, Metal, Price, Sheet
from solver.stock.metals import thickness_of
from solver.units import Units, parse_length

_GAUGE: Final[dict[Metal, int]] = {"steel": 24, "stainless": 24, "copper": 16}
"""The usual gauge, copper's in ounces a square foot (common practice, no source)."""

_THICKNESS: Final[dict[Metal, tuple[str, str]]] = {
    "aluminium": ("0.032 in", "0.8 mm"),
    "zinc": ("0.028 in", "0.7 mm"),
}
"""The usual thickness of metals that have no gauges (common practice, no source)."""


def gauge(entry: SheetEntry) -> int | None:
    """The gauge as it counts: that given, or the usual one where nothing says how thick it is."""
    if entry.gauge is None and entry.thickness is None:
        return _GAUGE.get(entry.metal)
    return entry.gauge


def thickness(entry: SheetEntry, units: Units) -> int | None:
    """Thickness of the metal (ticks); None where it has no such gauge."""
    if entry.thickness is not None:
        return entry.thickness
    if (number := gauge(entry)) is not None:
        return thickness_of(entry.metal, number)
    return parse_length(_THICKNESS[entry.metal][units == "mm"], units)


def sheet(entry: SheetEntry, units: Units, *, given: bool) -> Sheet:
    """What panels are made of. `given`: the case has a table [sheet]."""
    lengths = LENGTHS[units]

    def length(name: str) -> int:
        own: int | None = getattr(entry, name)
        return lengths[name] if own is None else own

    return Sheet(
        metal=entry.metal,
        thickness=thickness(entry, units) or 0,
        gauge=gauge(entry),
        male=length("male"),
        female=length("female"),
        turn_up=length("turn_up"),
        eave_hook=length("eave_hook"),
        ridge_up=length("ridge_up"),
        hip_up=length("hip_up"),
        valley_hook=length("valley_hook"),
        wall_up=length("wall_up"),
        max_length=entry.max_length,
        lap=lap(entry, units),
        stock=entry.stock,
        clip_spacing=length("clip_spacing"),
        fasteners=entry.fasteners,
        given=given,
    )


def lap(entry: SheetEntry, units: Units) -> int:
    """How far the panels of an end lap overlap (ticks)."""
    return LENGTHS[units]["lap"] if entry.lap is None else entry.lap


def prices(entry: PricesEntry, units: Units) -> tuple[tuple[str, Price], ...]:
    """The price of every line of the take-off, in the order of PRICE_NAMES."""
    return tuple((name, _price(getattr(entry, name), name, units)) for name in PRICE_NAMES)


def _price(own: RateEntry, name: str, units: Units) -> Price:
    hours, material = PRICES[units][name]
    return Price(
        hours if own.hours is None else own.hours,
        material if own.material is None else own.material,
        given=own.hours is not None or own.material is not None,
    )
