"""What roofing sheet weighs and how thick a gauge is.

Every figure of this file is from memory of the source named beside it; none was read for it.
Weights are of the bare metal: a mill's own sheet is what a crane and a truck are planned by.
"""

from __future__ import annotations

from typing import Final

from solver.case_parts import Metal
from solver.units import TICKS_PER_MM, parse_length

DENSITIES: Final[dict[Metal, tuple[int, str]]] = {
    "steel": (7850, "EN 1991-1-1 table A.4 (77.0 to 78.5 kN/m3), memory"),
    "aluminium": (2700, "EN 1991-1-1 table A.4 (27.0 kN/m3), memory"),
    "zinc": (7200, "EN 988, zinc-copper-titanium sheet, memory; EN 1991-1-1 table A.4 says more"),
    "copper": (8940, "EN 1991-1-1 table A.4 (87.0 to 89.0 kN/m3), memory"),
    "stainless": (7900, "EN 10088-1, grade 1.4301, memory"),
}
"""Kilograms per cubic metre, and where that comes from."""

STEEL: Final[dict[int, str]] = {
    20: "0.0359 in", 22: "0.0299 in", 24: "0.0239 in", 26: "0.0179 in", 28: "0.0149 in",
    29: "0.0135 in",
}  # fmt: skip
"""Manufacturers' Standard Gauge, bare steel (memory)."""

COATED_STEEL: Final[dict[int, str]] = {
    20: "0.0396 in", 22: "0.0336 in", 24: "0.0276 in", 26: "0.0217 in", 28: "0.0187 in",
    29: "0.0172 in",
}  # fmt: skip
"""Galvanized Sheet Gauge, with the zinc (memory)."""

STAINLESS: Final[dict[int, str]] = {
    20: "0.0375 in", 22: "0.0312 in", 24: "0.0250 in", 26: "0.0187 in", 28: "0.0156 in",
    29: "0.0141 in",
}  # fmt: skip
"""United States Standard Gauge, as used for stainless sheet (memory)."""

COPPER: Final[dict[int, str]] = {
    16: "0.0216 in", 18: "0.0243 in", 20: "0.0270 in", 24: "0.0323 in", 32: "0.0431 in",
}  # fmt: skip
"""Copper goes by ounces per square foot: ASTM B370 (memory)."""

_GAUGES: Final[dict[Metal, dict[int, str]]] = {
    "steel": STEEL, "stainless": STAINLESS, "copper": COPPER,
}  # fmt: skip
_SOURCES: Final[dict[Metal, str]] = {
    "steel": "Manufacturers' Standard Gauge, bare steel, memory",
    "stainless": "United States Standard Gauge, memory",
    "copper": "ounces per square foot, ASTM B370, memory",
}
_KG_PER_LB: Final = 0.45359237
"""Exact: the international pound, 1959."""


def thickness_of(metal: Metal, gauge: int, *, coated: bool = False) -> int | None:
    """Thickness of a gauge (ticks, to the nearest), None where the metal has no such gauge here.

    Steel and stainless: sheet gauge. Copper: ounces per square foot. Aluminium and zinc are sold by
    their thickness. `coated`: steel with its zinc, instead of the steel alone; other metals have no
    coating that counts.
    """
    gauges = COATED_STEEL if coated and metal == "steel" else _GAUGES.get(metal, {})
    text = gauges.get(gauge)
    return None if text is None else parse_length(text, "in")


def gauges_of(metal: Metal) -> tuple[int, ...]:
    """The gauges that `thickness_of` knows, thickest first; none for aluminium and zinc."""
    gauges = _GAUGES.get(metal, {})
    return tuple(sorted(gauges, key=lambda each: thickness_of(metal, each) or 0, reverse=True))


def gauge_source(metal: Metal) -> str:
    """Where the thickness of a gauge comes from; empty where the metal has none."""
    return _SOURCES.get(metal, "")


def density_source(metal: Metal) -> str:
    """Where the density comes from."""
    return DENSITIES[metal][1]


def density(metal: Metal) -> int:
    """Kilograms per cubic metre."""
    return DENSITIES[metal][0]


def weight_kg(metal: Metal, thickness: int, area_m2: float) -> float:
    """Weight of an area of sheet of that thickness (ticks), without any coating."""
    return density(metal) * (thickness / (1000 * TICKS_PER_MM)) * area_m2


def weight_lb(metal: Metal, thickness: int, area_m2: float) -> float:
    """The same in pounds."""
    return weight_kg(metal, thickness, area_m2) / _KG_PER_LB
