"""A case as the program holds it, made into what oracle_odd counts with: for oracle_outline.

Only the shapes of the data are the program's; every length is doubled to half ticks. What a case
knows beside that is kept here: outlines, curbs as built, centres, sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

import oracle
from oracle_faults import NO_FAULTS
from oracle_odd_case import OddCase
from oracle_odd_laying import Laying, Seam, layings, place
from oracle_outline_faults import OUTLINE_FAULTS
from oracle_outline_pieces import Part, Shape
from solver import case as program
from solver.case_parts import Hole, Outline

SQUARE = {"in": (12 * oracle.IN) ** 2, "mm": 1000 * oracle.MM * 100 * oracle.MM}
"""A square foot; a tenth of a square metre."""
UPRIGHT = ("rake", "wall")


@dataclass(frozen=True)
class Pen:
    """What a penetration is beside what `oracle.Pen` knows."""

    detail: str  # of a curb; pipes have none
    must_land: bool
    low_end: int
    high_end: int


@dataclass(frozen=True)
class Centre:
    plane: int
    at: int
    pan: bool
    tol: int
    must: bool


@dataclass(frozen=True)
class Roof:
    odd: OddCase
    shapes: tuple[Shape | None, ...]
    lengths: tuple[int, ...]  # of the planes up the slope
    pens: tuple[Pen, ...]
    centres: tuple[Centre, ...]
    min_piece: int
    min_length: int
    land_tol: int
    stock: bool  # stock is paid for
    sheet: int  # the width of a sheet
    turn_up: int
    square: int  # the unit of stock, in square half ticks
    faults: frozenset[str]

    @property
    def base(self) -> oracle.Case:
        return self.odd.base

    def seams_beside(self, index: int, seams: Sequence[Seam]) -> Sequence[Seam]:
        """The seams of a plane where they stand at the height of a penetration (oracle_lean)."""
        return seams

    def lean_faults(self, plane: int, laying: Laying) -> list[str]:
        """Which rules a laying breaks where a plane leans (oracle_lean)."""
        return []


def shape_of(outline: Outline, holes: Sequence[Hole] = ()) -> Shape:
    """An outline as given, in half ticks."""
    rings, kinds = [], []
    for number, one in enumerate([outline, *(hole.outline for hole in holes)]):
        points = [(2 * x, 2 * y) for x, y in one.points]
        own = list(one.kinds)
        if number:  # the other way round, each kind staying with its edge
            points.reverse()
            own = own[-2::-1] + own[-1:]
        rings.append(tuple(points))
        kinds.append(tuple(own))
    return Shape(tuple(rings), tuple(kinds))


def ends_at(shape: Shape, x: int, y: int) -> tuple[int, int] | None:
    """Where the roof ends beside a point, towards it to whole ticks; None off the roof."""
    for low, high in shape.stretches(y):
        if low <= x <= high:
            return 2 * ceil(low / 2), 2 * floor(high / 2)
    return None


def _pen(pen: program.Penetration, shape: Shape | None, width: int, faults: frozenset[str]) -> Pen:
    detail = pen.detail if pen.kind == "curb" else ""
    if detail and "land-all-curbs" in faults:
        detail = "ribbed"
    if detail == "ribbed" and "land-none" in faults:
        detail = "flange"
    ends = None if shape is None else ends_at(shape, 2 * pen.x, 2 * pen.y)
    low, high = (0, width) if ends is None or "ends-of-extent" in faults else ends
    return Pen(detail, pen.must_land and "must-land-ignored" not in faults, low, high)


def _base_pen(pen: program.Penetration, plane: int) -> oracle.Pen:
    assert pen.makeable is None, "fittings are for oracle"
    return oracle.Pen(
        id=pen.id, plane=plane, pipe=pen.kind == "pipe", x=2 * pen.x, y=2 * pen.y,
        outside=2 * pen.outside, base=2 * pen.base, across=2 * pen.across, along=2 * pen.along,
        status=pen.status, reach_low=2 * pen.reach_low, reach_high=2 * pen.reach_high,
        min_offset=2 * pen.min_offset, forbid=frozenset(pen.forbid), x_tol=2 * pen.x_tol,
        bends=None, headroom=None,
    )  # fmt: skip


def _base(case: program.Case) -> oracle.Case:
    """All that oracle knows of a case."""
    rules, inches = case.rules, case.units == "in"
    ids = [plane.id for plane in case.planes]
    pens = [pen.id for pen in case.penetrations]

    def both(size: int | None) -> int | None:
        return None if size is None else 2 * size

    return oracle.Case(
        cover=2 * case.panel.cover, back=2 * case.panel.seam_back, fwd=2 * case.panel.seam_fwd,
        min_end=2 * rules.min_end,
        lengths={
            "mark": 2 * case.mark, "work_gap": 2 * rules.work_gap, "hole_gap": 2 * rules.hole_gap,
            "seamer_gap": 2 * rules.seamer_gap, "end_lap": 2 * rules.end_lap,
            "curb_side": 2 * rules.curb_side, "edge_gap": 2 * rules.edge_gap,
            "spacing": 2 * rules.spacing, "enough": 2 * rules.enough,
            "uneven_free": 2 * rules.uneven_free, "meet_tol": 2 * rules.meet_tol,
            "step": 2 * case.step, "uneven_unit": oracle.IN if inches else 25 * oracle.MM,
        },
        cents={name: case.rates.cents(name) for name in program.RATE_NAMES},
        planes=tuple(
            oracle.Plane(
                plane.id, 2 * plane.width, plane.lay == "left-to-right",
                tuple(
                    oracle.Keepout(2 * k.x_from, 2 * k.x_to, both(k.y_from), both(k.y_to))
                    for k in plane.keepouts
                ),
            )
            for plane in case.planes
        ),
        pens=tuple(_base_pen(pen, ids.index(pen.plane)) for pen in case.penetrations),
        links=tuple(
            oracle.Link(ids.index(link.planes[0]), ids.index(link.planes[1]),
                        link.how == "mirror", 2 * link.offset, link.stagger, link.must)
            for link in case.links
        ),
        cover_tol=2 * rules.cover_tol, remeasure=rules.remeasure, width_tol=2 * rules.width_tol,
        robust=rules.robust,
        agreed_firsts={ids.index(plane): 2 * first for plane, first in case.freeze.firsts},
        agreed_moves={pens.index(pen): 2 * move for pen, move in case.freeze.moves},
        faults=NO_FAULTS,
    )  # fmt: skip


def read(case: program.Case, faults: frozenset[str] = NO_FAULTS) -> Roof:
    """A case in half ticks; `faults` are planted."""
    unknown = faults - OUTLINE_FAULTS.keys()
    if unknown:
        raise ValueError(f"unknown faults: {sorted(unknown)}")
    base, rules, mark = _base(case), case.rules, case.mark
    widths = [2 * width for width in rules.odd_widths]
    if not widths:
        marks = range(mark, case.panel.cover, mark)
        widths = [2 * w for w in marks if rules.odd_min <= w <= case.panel.cover - mark]
    if "centre-free" in faults:
        base = replace(base, cents={**base.cents, "off_centre": 0})
    if "unlanded-free" in faults:
        base = replace(base, cents={**base.cents, "unlanded": 0})
    if "stock-free" in faults:
        base = replace(base, cents={**base.cents, "area": 0})
    shapes = tuple(
        None if plane.outline is None
        else shape_of(plane.outline, () if "holes-ignored" in faults else plane.holes)
        for plane in case.planes
    )  # fmt: skip
    sheet = case.sheet
    return Roof(
        odd=OddCase(
            base=base, odd_panels=rules.odd_panels, odd_widths=tuple(sorted(set(widths))),
            play=2 * rules.play, play_mark=2 * rules.play_mark if rules.play_mark else 2,
            lines=tuple(None if p.start is None else 2 * p.start for p in case.planes),
            faults=NO_FAULTS,
        ),
        shapes=shapes,
        lengths=tuple(2 * plane.length for plane in case.planes),
        pens=tuple(
            _pen(pen, shapes[mine.plane], base.planes[mine.plane].width, faults)
            for pen, mine in zip(case.penetrations, base.pens, strict=True)
        ),
        centres=tuple(
            Centre([p.id for p in case.planes].index(c.plane), 2 * c.at,
                   c.on == "pan" and "centre-rib-for-pan" not in faults, 2 * c.tol,
                   c.must and "centre-must-ignored" not in faults)
            for c in case.centres
        ),
        min_piece=2 * rules.min_piece,
        min_length=2 * rules.min_length,
        land_tol=2 * rules.land_tol,
        stock=case.rates.each["area"].given and "stock-ignored" not in faults,
        sheet=0 if sheet is None else 2 * (case.panel.cover + sheet.male + sheet.female),
        turn_up=0 if sheet is None else 2 * sheet.turn_up,
        square=SQUARE[case.units],
        faults=faults,
    )  # fmt: skip


# ---------------------------------------------------------------------------- what may be laid


def parts(roof: Roof, plane: int, low: int, high: int) -> tuple[Part, ...]:
    """What a panel covers of a plane with an outline."""
    shape = roof.shapes[plane]
    assert shape is not None
    found = shape.parts(low, high, "touch-joins" in roof.faults)
    if "strip-not-piece" in roof.faults and found:
        found = (Part(
            min(p.x_low for p in found), max(p.x_high for p in found),
            min(p.y_low for p in found), max(p.y_high for p in found),
            tuple(e for p in found for e in p.beside),
        ),)  # fmt: skip
    return found


def part_faults(roof: Roof, part: Part, panel: int) -> list[str]:
    """Which of the rules on pieces one breaks; `panel`: the width of its panel."""
    faults, least = roof.faults, roof.base.min_end
    broken = []
    if part.width < roof.min_piece or ("piece-strict" in faults and part.width == roof.min_piece):
        broken.append("piece-narrow")
    short = part.length < roof.min_length
    if short or ("length-strict" in faults and part.length == roof.min_length):
        broken.append("piece-short")
    ends = [
        e for e in part.beside
        if (e.upright or "end-rule-sloping" in faults)
        and (e.kind in UPRIGHT or "end-rule-all-kinds" in faults)
        and not (e.kind == "wall" and "end-rule-rakes-only" in faults)
        and not ("end-rule-outer-only" in faults and (e.hole or not _outermost(roof, e.start[0])))
    ]  # fmt: skip
    size = Fraction(panel) if "end-rule-by-panel" in faults else part.width
    if ends and (size < least or (size == least and "end-strict" in faults)):
        broken.append("end-rule")
    if "pieces-ignored" in faults:
        broken = [rule for rule in broken if rule == "end-rule"]
    if "lengths-ignored" in faults:
        broken = [rule for rule in broken if rule != "piece-short"]
    return broken


def _outermost(roof: Roof, x: int) -> bool:
    return x in (0, *(plane.width for plane in roof.base.planes))


def outline_faults(roof: Roof, plane: int, laying: Laying) -> list[str]:
    """Which rules on pieces the panels of a plane with an outline break, each once."""
    found: list[str] = []
    if roof.odd.seamless(plane) and "single-judged" not in roof.faults:
        return []  # it can only be laid one way
    panels = place(roof.odd, plane, laying).panels
    for number, (_, low, high) in enumerate(panels):
        for part in parts(roof, plane, low, high):
            found += part_faults(roof, part, high - low)
        at_end = number in (0, len(panels) - 1) and len(panels) > 1
        if "plain-end-rule" in roof.faults and at_end and high - low < roof.base.min_end:
            found.append("end-rule")
    return [rule for n, rule in enumerate(found) if rule not in found[:n]]


def loose(roof: Roof, plane: int) -> OddCase:
    """The case by which the ends of a plane are laid: where it has an outline a mark will do."""
    if roof.shapes[plane] is None:
        return roof.odd
    least = 1 if "sliver-ends" in roof.faults else roof.base.lengths["mark"]
    return replace(roof.odd, base=replace(roof.base, min_end=least))


def legal_layings(roof: Roof, plane: int, plain: bool = False) -> list[Laying]:
    """Every legal way to lay a plane; `plain`: with nothing odd and no module changed."""
    found = list(layings(loose(roof, plane), plane, plain))
    if roof.shapes[plane] is not None:
        found = [laying for laying in found if not outline_faults(roof, plane, laying)]
    return [laying for laying in found if not roof.lean_faults(plane, laying)]
