"""Gauges and densities against tables that state weights by themselves.

All from memory. Manufacturers' Standard Gauge is defined by weight: 24 gauge is 16 oz/ft2, the
others below, with 41.82 lb/ft2 to the inch (that allows for edges: 489.6 lb/ft3 would be 40.80).
Galvanized Sheet Gauge: 2.5 oz/ft2 more for each. ASTM B370: copper goes by its weight.
EN 1991-1-1 table A.4 (kN/m3): steel 77.0-78.5, aluminium 27.0, copper 87.0-89.0, zinc 71.0-72.0;
with 9.80665 m/s2 ours are within 2 %. An ounce per square foot is 0.305152 kg/m2.
"""

from __future__ import annotations

import pytest

from solver.stock.metals import (
    density,
    density_source,
    gauge_source,
    gauges_of,
    thickness_of,
    weight_kg,
    weight_lb,
)
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

OUNCE_PER_FT2 = 0.45359237 / 16 / 0.3048**2
MSG_OUNCES = {20: 24, 22: 20, 24: 16, 26: 12, 28: 10, 29: 9}


@pytest.mark.parametrize("gauge, ounces", MSG_OUNCES.items())
def test_steel_gauges_weigh_what_defines_them(gauge: int, ounces: int) -> None:
    ticks = thickness_of("steel", gauge)
    assert ticks is not None
    assert ticks / TICKS_PER_INCH * 41.82 * 16 == pytest.approx(ounces, abs=0.05)
    by_density = weight_kg("steel", ticks, 1.0) / OUNCE_PER_FT2
    assert by_density == pytest.approx(ounces, rel=0.03)


@pytest.mark.parametrize("gauge, ounces", MSG_OUNCES.items())
def test_coated_gauges_weigh_two_and_a_half_ounces_more(gauge: int, ounces: int) -> None:
    ticks = thickness_of("steel", gauge, coated=True)
    assert ticks is not None
    assert ticks / TICKS_PER_INCH * 41.82 * 16 == pytest.approx(ounces + 2.5, abs=0.05)


@pytest.mark.parametrize("ounces", [16, 18, 20, 24, 32])
def test_copper_weighs_its_name(ounces: int) -> None:
    ticks = thickness_of("copper", ounces)
    assert ticks is not None
    assert weight_lb("copper", ticks, 0.3048**2) * 16 == pytest.approx(ounces, rel=0.01)


@pytest.mark.parametrize(
    "metal, low, high",
    [("steel", 77.0, 78.5), ("aluminium", 27.0, 27.0), ("copper", 87.0, 89.0),
     ("zinc", 71.0, 72.0), ("stainless", 77.0, 78.5)],
)  # fmt: skip
def test_densities(metal: str, low: float, high: float) -> None:
    weight = density(metal) * 9.80665 / 1000  # type: ignore[arg-type]
    assert low * 0.98 <= weight <= high * 1.02
    assert density_source(metal)  # type: ignore[arg-type]


def test_a_cubic_metre_of_sheet() -> None:
    """1000 m2 of 1 mm."""
    assert weight_kg("steel", TICKS_PER_MM, 1000.0) == pytest.approx(7850)


def test_gauges_get_thinner_and_none_is_made_up() -> None:
    for metal in ("steel", "stainless", "copper"):
        sizes = [thickness_of(metal, gauge) or 0 for gauge in gauges_of(metal)]
        assert sizes == sorted(sizes, reverse=True) and all(sizes)
        assert gauge_source(metal)
    assert thickness_of("steel", 23) is None
    assert thickness_of("zinc", 24) is None and gauges_of("aluminium") == ()
    assert thickness_of("steel", 24) == 389  # 0.0239 in x 16256 = 388.5: halves away from zero
