"""Pipe diameters of the demo cases against the general library `fluids`.

Source: the outside diameters of ASTM D2665 (PVC drain, waste and vent pipe) as tabulated by
`fluids.piping` (schedule "PVCD2665", metres), second-hand: the standard itself was not read. ASME
B36.10M steel pipe has the same outside diameters from 1 1/2 to 6 in.

Each case's README lists its pipes by nominal size ("- 3 in: V1, V2"). A pipe that is of no
standard size has to be listed after "- not a standard size:".
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from fluids.piping import nearest_pipe

import demo_cases
import oracle

NOMINAL = ("1 1/4", "1 1/2", "2", "3", "4", "6", "8", "10", "12")
METRES_PER_INCH = 0.0254
LINE = re.compile(r"^- (?:(?P<size>[\d /]+) in|not a standard size): (?P<ids>.+)$", re.MULTILINE)


def outside_inches(nominal: str) -> float:
    """Outside diameter of a nominal size in the ASTM D2665 table."""
    size = float(sum(Fraction(part) for part in nominal.split()))
    found, _, outside, _ = nearest_pipe(NPS=size, schedule="PVCD2665")
    assert found == size
    return float(outside / METRES_PER_INCH)


def labels(name: str) -> dict[str, str]:
    """Pipe id -> nominal size (or "") as the README of a demo case says."""
    text = (demo_cases.FOLDER / name / "README.md").read_text(encoding="utf-8")
    return {
        pipe.strip(): line["size"] or ""
        for line in LINE.finditer(text)
        for pipe in line["ids"].split(",")
    }


def pipes(name: str) -> dict[str, float]:
    """Pipe id -> outside diameter in inches, as the case says."""
    document = demo_cases.document(name)
    plain = {**document.get("rules", {}), "odd_panels": 0}  # sizes do not hang on them,
    # nor on outlines, which this oracle does not read
    planes = [{"width": 1, "length": 1, **plane} for plane in document["plane"]]
    case = oracle.read({**document, "rules": plain, "plane": planes})
    return {pen.id: pen.outside / oracle.IN for pen in case.pens if pen.pipe}


@pytest.mark.parametrize(
    ("nominal", "inches"),
    [("1 1/2", 1.900), ("2", 2.375), ("3", 3.500), ("4", 4.500), ("6", 6.625)],
)
def test_table_says_what_the_trade_says(nominal: str, inches: float) -> None:
    """The library's table and the outside diameters every plumber's chart prints (memory)."""
    assert outside_inches(nominal) == pytest.approx(inches, abs=0.0005)


@pytest.mark.parametrize("name", demo_cases.names())
def test_every_pipe_is_the_size_its_readme_says(name: str) -> None:
    told, found = labels(name), pipes(name)
    assert set(told) == set(found)
    # Lengths in millimetres are written to a tenth: half of that off at most.
    for pipe, inches in found.items():
        standard = [size for size in NOMINAL if abs(outside_inches(size) - inches) <= 0.05 / 25.4]
        assert standard == ([told[pipe]] if told[pipe] else []), f"{name}: {pipe}"


def test_at_least_five_pipes_of_each_common_size_are_checked() -> None:
    sizes = [size for name in demo_cases.names() for size in labels(name).values()]
    for nominal in ("1 1/2", "2", "3", "4", "6"):
        assert sizes.count(nominal) >= 5
