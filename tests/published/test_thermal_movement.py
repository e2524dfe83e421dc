"""Movement of metal with heat against worked figures that others print.

- NZ Metal Roof and Wall Cladding Code of Practice (read): 30 m of steel over 60 K moves 21.6 mm;
  ranges of steel roofs: insulated light 75 K, dark 95 K, uninsulated light 60 K, dark 75 K; at
  least 10 mm of gap all round a penetration.
- NRCA, in Construction Canada, November 2016 (read): 40 ft of steel over 160 F degrees at 6.7e-6
  per F degree moves 0.5146 in.
- Copper Development Association, Pub 156 (read): copper 17e-6 per kelvin.
- A difference of 200 F degrees is 111.1 K (arithmetic: five ninths), not 93.3.
- A panel fixed at mid-length moves half at each end (closed form).
The coefficients of the other metals are from memory of the standards named in the code.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from solver.case import Case
from solver.case_file.load import case_from_document
from solver.checker.judge import judge
from solver.field.heat import COEFFICIENTS, LEAST_GAP, coefficient, coefficient_source, expansion
from solver.field.movement import movements
from solver.layout import Layout
from solver.units import TICKS_PER_INCH, TICKS_PER_MM


def metric(movement: dict[str, object], metal: str = "steel", length: int = 30000) -> Case:
    return case_from_document(
        {"title": "t", "units": "mm", "panel": {"cover": 400}, "sheet": {"metal": metal},
         "movement": movement, "plane": [{"id": "S", "width": 2000, "length": length}]}
    )  # fmt: skip


def test_30_m_of_steel_over_60_kelvin() -> None:
    assert expansion(coefficient("steel"), 30000, 60) == Fraction("21.6")
    case = metric({"warmer": 60, "colder": 0})
    found = movements(case, judge(case, Layout((400 * TICKS_PER_MM,), ())))
    assert found is not None
    lower = found.planes[0].lower
    assert (lower.down, lower.up) == (Fraction("21.6") * TICKS_PER_MM, 0)


def test_40_ft_of_steel_over_160_fahrenheit_degrees() -> None:
    moves = expansion(Fraction("0.0000067"), 40 * 12, 160)
    assert moves == Fraction("0.51456")
    assert round(float(moves), 4) == 0.5146
    # Ours with 12 millionths for each kelvin: 0.512 in, within half a per cent of that.
    ours = expansion(coefficient("steel"), 40 * 12, Fraction(160 * 5, 9))
    assert ours == Fraction("0.512")
    assert abs(ours / moves - 1) < Fraction(1, 190)


def test_a_difference_in_fahrenheit_degrees_is_no_temperature() -> None:
    movement = metric({"warmer": "200 F", "colder": "0 F"}).movement
    assert movement is not None
    assert round(movement.warmer, 1) == Decimal("111.1")
    assert movement.warmer == Decimal("111.111111")
    assert movement.colder == 0


@pytest.mark.parametrize(
    "surface, kelvin",
    [("insulated light", 75), ("insulated dark", 95), ("uninsulated light", 60),
     ("uninsulated dark", 75)],
)  # fmt: skip
def test_ranges_of_steel_roofs(surface: str, kelvin: int) -> None:
    movement = metric({"surface": surface}).movement
    assert movement is not None
    assert movement.warmer + movement.colder == kelvin
    assert movement.warmer == movement.colder


def test_a_panel_fixed_in_its_middle_moves_half_at_each_end() -> None:
    halves = {}
    for fixed in ("middle", "top"):
        case = metric({"range": 60, "fixed": fixed})
        found = movements(case, judge(case, Layout((400 * TICKS_PER_MM,), ())))
        assert found is not None
        halves[fixed] = found.planes[0]
    assert halves["middle"].lower.total == halves["middle"].upper.total
    assert 2 * halves["middle"].lower.total == halves["top"].lower.total == 21.6 * TICKS_PER_MM
    assert halves["top"].upper.total == 0


def test_coefficients() -> None:
    assert {metal: alpha for metal, (alpha, _) in COEFFICIENTS.items()} == {
        "steel": 12, "aluminium": 23, "zinc": 22, "copper": 17, "stainless": 16,
    }  # fmt: skip
    assert coefficient("copper") == Fraction(17, 1_000_000)
    assert all(coefficient_source(metal) for metal in COEFFICIENTS)


def test_metals_move_as_their_coefficients_do() -> None:
    """10 m over 50 K: 6.0 mm of steel, 11.5 of aluminium, 11.0 of zinc, 8.5 of copper, 8.0."""
    for metal, tenths in (
        ("steel", 60), ("aluminium", 115), ("zinc", 110), ("copper", 85), ("stainless", 80)
    ):  # fmt: skip
        case = metric({"warmer": 50, "colder": 0}, metal, 10000)
        found = movements(case, judge(case, Layout((400 * TICKS_PER_MM,), ())))
        assert found is not None
        assert found.planes[0].lower.down == Fraction(tenths, 10) * TICKS_PER_MM


def test_a_gap_is_at_least_10_mm() -> None:
    assert LEAST_GAP == 10 * TICKS_PER_MM
    # In sixteenths of an inch, rounded up: 10 mm is 6.3 of them.
    assert 6 * TICKS_PER_INCH < 16 * LEAST_GAP < 7 * TICKS_PER_INCH


def test_nothing_is_said_without_temperatures() -> None:
    case = metric({"range": 60})
    judged = judge(case, Layout((400 * TICKS_PER_MM,), ()))
    assert movements(replace(case, movement=None), judged) is None
