"""Facts of the trade that the program uses, each with where it comes from.

- NZ Metal Roof and Wall Cladding Code of Practice (read): 8.3 (v2), a penetration wider than 600 mm
  needs a cricket or diverter, as does any where the pitch is below 10 degrees; 8.4 (v2), avoid one
  that blocks over 50 % of the pan.
- Metal Construction Association paper on curbs for hydrostatic (low-slope) roofs (read): a curb's
  side stands at least 6 in from the next seam.
- Guidance for membrane roofs, MRCA magazine, December 2025 (read; a warning only): 12 in clear
  between penetrations and from edges.
- The international inch is 25.4 mm exactly (agreement of 1959, memory).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from solver.api import case_from_document, check, solve
from solver.units import parse_length


def document(units: str, cover: Any, width: Any, *pens: dict[str, Any]) -> dict[str, Any]:
    """A case of one plane without rules of its own: the defaults count."""
    return {
        "title": "from the books",
        "units": units,
        "panel": {"cover": cover},
        "plane": [{"id": "A", "width": width, "length": width}],
        "penetration": [
            {"id": f"P{number}", "plane": "A", **pen} for number, pen in enumerate(pens, start=1)
        ],
    }


def codes(case: dict[str, Any]) -> list[tuple[str, tuple[str, ...]]]:
    """Finding codes and the ids they are about."""
    return [(f.code, f.about) for f in solve(case_from_document(case)).findings]


@pytest.mark.parametrize(
    ("units", "across", "wide"),
    [
        ("mm", 600, False),
        ("mm", 601, True),
        ("mm", "600.1 mm", True),
        ("in", "23 9/16", False),  # 598.5 mm
        ("in", "23 5/8", True),  # 600.1 mm
        ("in", "600 mm", False),
    ],
)
def test_cricket_above_600_mm(units: str, across: Any, wide: bool) -> None:
    """NZ Code of Practice 8.3 (v2), read."""
    cover, width = (18, 600) if units == "in" else (450, 15000)
    curb = {"kind": "curb", "x": width / 2, "y": width / 2, "across": across, "along": 10}
    found = codes(document(units, cover, width, curb))
    assert (("wide-curb", ("P1",)) in found) is wide


@pytest.mark.parametrize(
    ("pitch", "low"),
    [("9.9 deg", True), ("10 deg", False), ("2:12", True), ("2.2:12", False)],  # 9.46 and 10.39°
)
def test_cricket_below_10_degrees(pitch: str, low: bool) -> None:
    """NZ Code of Practice 8.3 (v2), read: whatever the curb's width."""
    curb = {"kind": "curb", "x": 300, "y": 300, "across": 10, "along": 10}
    case = document("in", 18, 600, curb)
    case["plane"][0]["pitch"] = pitch
    assert (("cricket", ("P1",)) in codes(case)) is low


@pytest.mark.parametrize(
    ("kind", "size", "blocked"),
    [
        ("pipe", 250, False),  # the flashing takes just half of 500 mm
        ("pipe", 251, True),
        ("curb", 250, False),
        ("curb", "250.1 mm", True),
    ],
)
def test_half_the_pan(kind: str, size: Any, blocked: bool) -> None:
    """NZ Code of Practice 8.4 (v2), read."""
    pen: dict[str, Any] = {"kind": kind, "x": 5000, "y": 5000}
    pen |= {"outside": 110, "base": size} if kind == "pipe" else {"across": size, "along": 300}
    assert (("blocked-pan", ("P1",)) in codes(document("mm", 500, 10000, pen))) is blocked


@pytest.mark.parametrize(
    ("across", "state"), [(24, "clear"), ("24 1/8", "crowded"), (23, "clear")]
)
def test_curb_side_of_six_inches_unless_told(across: Any, state: str) -> None:
    """Metal Construction Association, read: 6 in from a curb's side to the next seam.

    Pans of 36 in from 18 in: seams at 18 and 54. A curb of 24 in centred at 36 leaves 6 in.
    """
    curb = {"kind": "curb", "x": 36, "y": 100, "across": across, "along": 30}
    case = case_from_document(document("in", 36, 216, curb))
    judged = check(case, {"A": parse_length(18, "in")}, {}).judged
    assert judged is not None
    assert judged.penetrations[0].state == state


@pytest.mark.parametrize(("apart", "near"), [("15 1/2", False), ("15 7/16", True)])
def test_a_foot_between_penetrations(apart: str, near: bool) -> None:
    """MRCA magazine, December 2025, read: two 3 1/2 in pipes, 12 in clear are 15 1/2 in apart."""
    pipes = [
        {"kind": "pipe", "x": 100, "y": 100, "outside": 3.5},
        {"kind": "pipe", "x": 100, "y": 100 + float(sum(map(Fraction, apart.split()))),
         "outside": 3.5},
    ]
    found = codes(document("in", 18, 400, *pipes))
    assert (("near-pair", ("P1", "P2")) in found) is near


@pytest.mark.parametrize(("x", "near"), [(13.75, False), (13.6875, True)])
def test_a_foot_from_an_edge(x: float, near: bool) -> None:
    """MRCA magazine, December 2025, read: the edge of a 3 1/2 in pipe 12 in from the end."""
    for place in (x, 400 - x):
        pipe = {"kind": "pipe", "x": place, "y": 100, "outside": 3.5}
        assert (("near-edge", ("P1",)) in codes(document("in", 18, 400, pipe))) is near


def test_international_inch() -> None:
    """25.4 mm exactly, agreement of 1959 (memory); so a foot is 304.8 mm and 64ths are exact."""
    assert parse_length(1, "in") == parse_length("25.4 mm", "in") == parse_length(25.4, "mm")
    assert parse_length("1 ft", "in") == parse_length("304.8 mm", "in")
    assert 64 * parse_length("1/64", "in") == parse_length(1, "in")
    assert 10 * parse_length("0.1 mm", "in") == parse_length("1 mm", "in")
