"""What the take-off charges where a case says nothing.

All of them are our guesses (no source); every output says so while one is used.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from solver.case_parts import PRICE_NAMES
from solver.units import Units

_TEXTS: Final[dict[str, tuple[str, str, str, str]]] = {
    "panel": ("0.03", "3.50", "0.32", "38"),
    "clip": ("0.02", "0.60", "0.02", "0.60"),
    "fastener": ("0", "0.15", "0", "0.15"),
    "boot": ("0.75", "45", "0.75", "45"),
    "splice": ("2", "40", "2", "40"),
    "curb": ("6", "250", "6", "250"),
    "cricket": ("4", "180", "4", "180"),
    "end_lap": ("0.5", "6", "0.5", "6"),
    "eave": ("0.05", "4", "0.16", "13"),
    "ridge": ("0.10", "9", "0.33", "30"),
    "rake": ("0.08", "7", "0.26", "23"),
    "hip": ("0.12", "9", "0.40", "30"),
    "valley": ("0.12", "10", "0.40", "33"),
    "wall": ("0.10", "8", "0.33", "26"),
    "closure": ("0.03", "2.50", "0.10", "8"),
}
"""Hours and material of one unit by the foot, then by the metre; alike where it is by the piece."""

PRICES: Final[dict[Units, dict[str, tuple[Decimal, Decimal]]]] = {
    "in": {name: (Decimal(_TEXTS[name][0]), Decimal(_TEXTS[name][1])) for name in PRICE_NAMES},
    "mm": {name: (Decimal(_TEXTS[name][2]), Decimal(_TEXTS[name][3])) for name in PRICE_NAMES},
}
"""Person-hours and material of one unit, in the order of PRICE_NAMES."""
