"""Roofs with outlines for hand arithmetic, in inches; cover 18, marks of 1 in."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from solver.case import Case, Penetration, Plane, Rate
from solver.case_parts import Hole, Outline, Sheet
from unit.builders import inches, make_case

SHEET = Sheet(
    "steel", 406, 24, inches("1 1/4"), inches("1 1/2"), inches(1), 0, 0, 0, 0, 0, None, 0, (),
    inches(24), 2, True,
)  # fmt: skip


def ring(points: str, kinds: str) -> Outline:
    """ "0,0 100,0 …" in inches and the kinds of the edges that begin there."""
    pairs = [tuple(inches(v) for v in p.split(",")) for p in points.split()]
    names: Any = tuple(kinds.split())
    return Outline(tuple((x, y) for x, y in pairs), names)


def plane(outline: Outline, *holes: Outline, id: str = "S", **more: Any) -> Plane:
    width, length = (max(p[axis] for p in outline.points) for axis in (0, 1))
    own = tuple(Hole("dormer", hole) for hole in holes)
    return replace(
        Plane(id, width, length, "left-to-right", "low", "high", (), None, outline, own), **more
    )


HIPS = ring("0,0 100,0 80,40 20,40", "eave hip ridge hip")
BOX = ring("0,0 100,0 100,40 0,40", "eave rake ridge rake")


def roof(*planes: Plane, pens: tuple[Penetration, ...] = (), **rules: int) -> Case:
    """Pieces of 2 in by 4 in, ends of 6 in, marks of 1 in."""
    case = make_case(*pens, planes=planes, mark=inches(1), uneven_free=inches(100))
    sizes = {"min_piece": inches(2), "min_length": inches(4), "land_tol": inches("1/8")} | rules
    each = {**case.rates.each, "area": Rate(Decimal(0), Decimal(0), False)}
    own = replace(case.rates, each=each)
    return replace(case, rules=replace(case.rules, **sizes), rates=own, sheet=SHEET)


def rated(case: Case, **cents: str) -> Case:
    """Material costs; `area` given makes stock count."""
    each = case.rates.each | {n: Rate(Decimal(0), Decimal(c), True) for n, c in cents.items()}
    return replace(case, rates=replace(case.rates, each=each))
