"""The shape of [sheet] and [prices]: what panels are cut from, and what the take-off charges."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Any, Final, Literal

from pydantic import Field, PlainValidator, ValidationInfo, WithJsonSchema

from solver.case_file.default_prices import PRICES
from solver.case_file.defaults import said
from solver.case_file.entries_limits import Entry
from solver.case_file.entries_rates import RateEntry
from solver.case_file.entry_values import MaybeGap, MaybeSize, read_sizes

MOST_STOCK: Final = 40
MOST_FASTENERS: Final = 100
MOST_GAUGE: Final = 40


def read_stock(value: object, info: ValidationInfo) -> tuple[int, ...]:
    """The lengths that sheets come in, in ticks, from short to long; none of them for coil."""
    if not isinstance(value, list | tuple):
        raise ValueError('write a list of lengths in brackets, such as ["10 ft", "12 ft"]')
    if len(value) > MOST_STOCK:
        raise ValueError(f"it lists {len(value):,} lengths; at most {MOST_STOCK} can be told")
    sizes, faults = read_sizes("length", value, info)
    for (_, before), (number, size) in pairwise(sizes):
        if size <= before:
            faults.append(
                f"length {number} of the list is not longer than the one before it; write them "
                "from short to long, each once"
            )
            break
    if faults:
        raise ValueError("; ".join(faults))
    return tuple(size for _, size in sizes)


def read_gauge(value: object) -> int:
    """A gauge of sheet metal: a whole number."""
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_GAUGE:
        raise ValueError(f"write a whole number from 1 to {MOST_GAUGE}, without quotes")
    return value


def read_fasteners(value: object) -> int:
    """How many fasteners hold one clip: a whole number, at least 1."""
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_FASTENERS:
        raise ValueError(f"write a whole number of fasteners from 1 to {MOST_FASTENERS}")
    return value


MaybeGauge = Annotated[
    int | None,
    PlainValidator(read_gauge),
    WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_GAUGE}),
]
Fasteners = Annotated[
    int,
    PlainValidator(read_fasteners),
    WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_FASTENERS}),
]
Stock = Annotated[
    tuple[int, ...],
    PlainValidator(read_stock),
    WithJsonSchema({"type": "array", "maxItems": MOST_STOCK}),
]


class SheetEntry(Entry):
    """What panels are made of and how they are cut."""

    metal: Literal["steel", "aluminium", "zinc", "copper", "stainless"] = Field(
        default="steel",
        description='"steel" (default), "aluminium", "zinc", "copper" or "stainless".',
    )
    gauge: MaybeGauge = Field(
        default=None,
        description="Gauge of the metal, a number (copper: ounces a square foot); give this or "
        "thickness. Default: 24 for steel and stainless, 16 for copper.",
    )
    thickness: MaybeSize = Field(
        default=None,
        description="Thickness of the metal, a length; give this or gauge. Default: that of the "
        "gauge; 0.032 in or 0.8 mm for aluminium, 0.028 in or 0.7 mm for zinc.",
    )
    male: MaybeGap = Field(
        default=None,
        description="What the leg on the side that is lapped takes of the sheet, a length. "
        f"Default {said('male')}.",
    )
    female: MaybeGap = Field(
        default=None,
        description="What the leg that laps over takes of the sheet, a length. "
        f"Default {said('female')}.",
    )
    turn_up: MaybeGap = Field(
        default=None,
        description=f"What is turned up at a ripped edge, a length. Default {said('turn_up')}.",
    )
    eave_hook: MaybeGap = Field(
        default=None,
        description="What a panel is longer than the roof at an eave, a length. "
        f"Default {said('eave_hook')}.",
    )
    ridge_up: MaybeGap = Field(
        default=None, description=f"The same at a ridge, a length. Default {said('ridge_up')}."
    )
    hip_up: MaybeGap = Field(
        default=None, description=f"The same at a hip, a length. Default {said('hip_up')}."
    )
    valley_hook: MaybeGap = Field(
        default=None, description=f"The same at a valley, a length. Default {said('valley_hook')}."
    )
    wall_up: MaybeGap = Field(
        default=None, description=f"The same at a wall, a length. Default {said('wall_up')}."
    )
    max_length: MaybeSize = Field(
        default=None,
        description="The longest panel that can be made or handled, a length. Default: no limit.",
    )
    lap: MaybeGap = Field(
        default=None,
        description="How far the panels of an end lap overlap, a length. "
        f"Default {said('lap')}.",
    )
    stock: Stock = Field(
        default=(),
        description="The lengths that sheets come in, from short to long. Default: none, formed "
        "from coil.",
    )
    clip_spacing: MaybeSize = Field(
        default=None,
        description="Distance of clips along a seam, a length. "
        f"Default {said('clip_spacing')}.",
    )
    fasteners: Fasteners = Field(
        default=2, description="Fasteners in each clip, a count. Default 2."
    )


def _price(name: str, unit: str) -> Any:
    (hours, material), (metric_hours, metric_material) = PRICES["in"][name], PRICES["mm"][name]
    default = f"{hours} person-hours and {material} material"
    if PRICES["in"][name] != PRICES["mm"][name]:
        default += f" a foot, {metric_hours} and {metric_material} a metre"
        default = default.replace(" a foot", " a square foot") if name == "panel" else default
        default = default.replace(" a metre", " a square metre") if name == "panel" else default
    return Field(default_factory=RateEntry, description=f"Price of {unit}. Default {default}.")


class PricesEntry(Entry):
    """What the take-off charges for one unit of each of its lines; those left out are guesses."""

    panel: RateEntry = _price("panel", "a square foot (square metre) of sheets, laid")
    clip: RateEntry = _price("clip", "a clip")
    fastener: RateEntry = _price("fastener", "a fastener")
    boot: RateEntry = _price("boot", "a pipe's flashing")
    splice: RateEntry = _price("splice", "a pan split at a pipe")
    curb: RateEntry = _price("curb", "the flashing of a curb")
    cricket: RateEntry = _price("cricket", "a cricket above a curb")
    end_lap: RateEntry = _price("end_lap", "an end lap of two panels")
    eave: RateEntry = _price("eave", "a foot (metre) of eave")
    ridge: RateEntry = _price("ridge", "a foot (metre) of ridge")
    rake: RateEntry = _price("rake", "a foot (metre) of rake")
    hip: RateEntry = _price("hip", "a foot (metre) of hip")
    valley: RateEntry = _price("valley", "a foot (metre) of valley")
    wall: RateEntry = _price("wall", "a foot (metre) of wall")
    closure: RateEntry = _price("closure", "a foot (metre) of closure")
