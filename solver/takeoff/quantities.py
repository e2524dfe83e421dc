"""What there is to buy and to do on a laid roof, counted: the quantities of the take-off.

Every quantity is exact as it stands: lengths to a tenth of a foot (a hundredth of a metre), areas
as `solver.takeoff.sheets` rounds them, all else whole; money is reckoned from these.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import ceil
from typing import Final, Literal

from solver.case import Case, Penetration, Plane
from solver.case_parts import EDGE_KINDS, EdgeKind
from solver.findings.of_roof import LOW_PITCH, WIDE_CURB
from solver.findings.of_roof_answer import binding_seam
from solver.result import COUNT_NAMES, Judged
from solver.shape.edges import edges_of
from solver.takeoff.edges import edge_runs
from solver.takeoff.seams import clips_along, on_roof, seam_stretches
from solver.takeoff.sheets import stock_of
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units, say_length

Part = Literal["rest", "extra"]
"""`extra` is what the optimizer weighs: what it costs more than with everything clear."""
FOOT: Final = {"in": (12 * TICKS_PER_INCH, Decimal("0.1")),
               "mm": (1000 * TICKS_PER_MM, Decimal("0.01"))}
"""Ticks in the unit that edges are sold by, and how finely they are told."""
_STATES: Final = {
    "clear": "in the flat", "tight": "tight", "crosses": "crossing", "on-seam": "on a seam",
}
_EDGES: Final = {
    "eave": "Eave", "ridge": "Ridge", "rake": "Rake", "hip": "Hip", "valley": "Valley",
    "wall": "Wall",
}
_CLOSED: Final[tuple[EdgeKind, ...]] = ("eave", "ridge", "hip")
_DETAILS: Final = {"flange": "", "ribbed": ", ribbed", "close": ", close"}


@dataclass(frozen=True, slots=True)
class Item:
    """What a line is about. `name` is one of PRICE_NAMES (RATE_NAMES where `extra`), or "sheet",
    "odd_sheet". `size` puts alike items in order, `more` is a text of the case.
    """

    part: Part
    name: str
    words: str
    unit: str
    size: tuple[int, ...] = ()
    more: str = ""


Quantities = dict[Item, Decimal]


def rest_quantities(case: Case, judged: Judged) -> Quantities:
    """The roof itself, in the order of the take-off; nothing that needs what a case leaves out."""
    found: Quantities = {}
    for item, count in (
        *_metal(case, judged), *_boots(case, judged), *_splices(case, judged), *_curbs(case),
        *_edges(case),
    ):
        found[item] = found.get(item, Decimal(0)) + count
    return found


def _metal(case: Case, judged: Judged) -> Iterator[tuple[Item, Decimal]]:
    sheet = case.sheet
    if sheet is None:
        return
    stock = stock_of(case, judged, sheet)
    unit = "sq ft" if case.units == "in" else "m²"
    apart = case.rates.each["odd_panel"].material > 0
    yield (Item("rest", "panel", "Panels, area of sheets", unit),
           stock.area + (0 if apart else stock.odd_area))
    if apart and stock.odd_area:
        yield Item("rest", "odd_sheet", "Sheets of odd panels", unit), stock.odd_area
    yield Item("rest", "sheet", "Sheets, number", "each"), Decimal(stock.sheets)
    if stock.laps:
        yield Item("rest", "end_lap", "End laps", "each"), Decimal(stock.laps)
    clips = sum(
        clips_along(high - low, sheet.clip_spacing)
        for plane, laid in zip(case.planes, judged.planes, strict=True)
        for seam in seam_stretches(case, plane, laid, judged)
        for low, high in seam
    )
    far = say_length(sheet.clip_spacing, case.units)
    yield Item("rest", "clip", f"Clips at {far}", "each"), Decimal(clips)
    yield (Item("rest", "fastener", f"Fasteners, {sheet.fasteners} a clip", "each"),
           Decimal(clips * sheet.fasteners))


def _boots(case: Case, judged: Judged) -> Iterator[tuple[Item, Decimal]]:
    found = []
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        if pen.kind == "pipe":
            place = list(_STATES).index(stands.state)
            words = f"Boot {say_length(pen.outside, case.units)}, {_STATES[stands.state]}"
            more = "" if pen.nominal is None else f"nominal {pen.nominal}"
            found.append(Item("rest", "boot", words, "each", (pen.outside, place), more))
    for item in sorted(found, key=lambda item: (item.size, item.more)):
        yield item, Decimal(1)


def _splices(case: Case, judged: Judged) -> Iterator[tuple[Item, Decimal]]:
    planes = {plane.id: (plane, laid) for plane, laid in zip(case.planes, judged.planes,
                                                             strict=True)}
    long = sorted(
        splice_length(case, planes[pen.plane][0], pen, stands.x)
        for pen, stands in zip(case.penetrations, judged.penetrations, strict=True)
        if stands.state == "on-seam"
        and binding_seam(case, *planes[pen.plane], pen, stands) is not None
    )
    for ticks in long:
        words = f"Splice {say_length(ticks, case.units)} long"
        yield Item("rest", "splice", words, "each", (ticks,)), Decimal(1)


def splice_length(case: Case, plane: Plane, pen: Penetration, x: int) -> int:
    """How long the splice of a split pan is for a pipe at `x` (ticks, rounded up).

    From `split_below` below the pipe, or from where the roof begins below it, to its top.
    """
    edges = edges_of(plane)
    below = [low for low, high in on_roof(edges, x) if low <= pen.y <= high]
    top = pen.y + Fraction(pen.outside, 2)
    return ceil(top - max([top - pen.outside - case.rules.split_below, *below[-1:]]))


def _curbs(case: Case) -> Iterator[tuple[Item, Decimal]]:
    curbs = sorted(
        (pen for pen in case.penetrations if pen.kind == "curb"),
        key=lambda pen: (pen.across, pen.along, pen.detail),
    )
    for pen in curbs:
        sides = " x ".join(say_length(side, case.units) for side in (pen.across, pen.along))
        words = f"Curb {sides}{_DETAILS[pen.detail]}"
        yield Item("rest", "curb", words, "each", (pen.across, pen.along)), Decimal(1)
    pitch = {plane.id: plane.pitch for plane in case.planes}
    flat = {name for name, of in pitch.items() if of is not None and of.rise < LOW_PITCH}
    if wide := sum(pen.across > WIDE_CURB or pen.plane in flat for pen in curbs):
        yield Item("rest", "cricket", "Crickets above curbs", "each"), Decimal(wide)


def _edges(case: Case) -> Iterator[tuple[Item, Decimal]]:
    unit = "ft" if case.units == "in" else "m"
    runs = edge_runs(case)
    for kind in EDGE_KINDS:
        if told := length_of(runs[kind].once, case.units):
            yield Item("rest", kind, f"{_EDGES[kind]}, along the slope", unit), told
    closed = sum(
        (length_of(runs[kind].sides, case.units) for kind in _CLOSED), start=Decimal(0)
    )
    if closed:
        yield Item("rest", "closure", "Closures, eave, ridge, hip", unit), closed


def length_of(ticks: float, units: Units) -> Decimal:
    """Feet to a tenth, or metres to a hundredth, halves up."""
    per, step = FOOT[units]
    return (Decimal(ticks) / per).quantize(step, ROUND_HALF_UP)


def extra_quantities(case: Case, judged: Judged) -> Quantities:
    """What the optimizer weighs, counted by the names of the rates."""
    count = dict(zip(COUNT_NAMES, judged.counts, strict=True))
    moved = [
        pen.status
        for pen, stands in zip(case.penetrations, judged.penetrations, strict=True)
        if stands.moved and pen.kind == "pipe"
    ]
    inch = "inch" if case.units == "in" else "25 mm"
    area = "sq ft" if case.units == "in" else "0.1 m²"
    rows = (
        ("tight", "Pipe tight in its pan", "each", count["tight"]),
        ("crosses", "Boot across a seam", "each", count["crosses"]),
        ("on_seam", "Pipe on a seam, split pan", "each", count["on-seam"]),
        ("seam_cut", "Seam cut at a curb", "each", count["seams_cut"]),
        ("crowded", "Curb crowded by a seam", "each", count["crowded"]),
        ("unlanded", "Curb wall without a seam", "each", count["unlanded"]),
        ("move_planned", "Pipe moved, not yet set", "each", moved.count("planned")),
        ("move_stubbed", "Pipe moved, roughed in", "each", moved.count("stubbed")),
        ("odd_panel", "Odd panel", "each", count["odd_panels"]),
        ("play", "Stretch of altered panels", "each", len(judged.layout.changes)),
        ("uneven", "Uneven ends", inch, count["uneven"]),
        ("misaligned", "Link whose seams do not meet", "each", count["links_missed"]),
        ("off_centre", "Centre missed", "each", count["off_centre"]),
        ("area", "Metal of the sheets", area, count["stock"]),
    )
    return {Item("extra", name, words, unit): Decimal(n) for name, words, unit, n in rows}
