"""Nominal sizes of pipe and their outside diameters.

Source: ASTM D1785 / D2665 (plastic pipe for drains, waste and vents) and ASME B36.10M, second-hand
(as the general library `fluids` tabulates them, schedule "PVCD2665"): the standards themselves were
not read. Other pipe differs: hubless cast iron of the same nominal size is smaller.
"""

from __future__ import annotations

import re
from typing import Final

from solver.errors import LengthError
from solver.units import parse_length

OUTSIDE_INCHES: Final = {
    "1 1/4": "1.66",
    "1 1/2": "1.9",
    "2": "2.375",
    "3": "3.5",
    "4": "4.5",
    "6": "6.625",
    "8": "8.625",
    "10": "10.75",
    "12": "12.75",
}
"""Outside diameter in inches by nominal size."""

_BY_TICKS: Final = {parse_length(name, "in"): name for name in OUTSIDE_INCHES}
_BY_OUTSIDE: Final = {parse_length(text, "in"): name for name, text in OUTSIDE_INCHES.items()}
_WORDS: Final = re.compile(
    r"[Øø⌀∅]|\b(?:dia|diam|diameter|nominal|nom|nps|pipe|pvc|abs|vtr|round)\b\.?", re.IGNORECASE
)


def nominal_size(text: str) -> str | None:
    """The nominal size a text names (`3"`, `3 in`, `1-1/2`, `Ø4`), None where it names none."""
    plain = " ".join(_WORDS.sub(" ", text[:80]).split())
    if plain[:1].isdigit() and "mm" not in plain.lower():
        try:
            return _BY_TICKS.get(parse_length(plain, "in"))
        except LengthError:
            return None
    return None


def nominal_of_outside(ticks: int) -> str | None:
    """The nominal size of which this is the outside diameter (ticks)."""
    return _BY_OUTSIDE.get(ticks)
