"""What a judged layout counts and costs: part of the independent checker.

Shared with nothing else. Whole numbers; lengths in ticks, money in cents.
"""

from __future__ import annotations

from collections.abc import Sequence

from solver.case import Case, Plane
from solver.checker.breaches_pieces import Pieces
from solver.checker.laying import Laid
from solver.checker.order import altered
from solver.checker.outlines import length_of
from solver.layout import Layout
from solver.result import (
    COUNT_NAMES,
    Cost,
    JudgedCentre,
    JudgedLink,
    JudgedPenetration,
    JudgedPlane,
)
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

_UNEVEN_UNIT = {"in": TICKS_PER_INCH, "mm": 25 * TICKS_PER_MM}
_SQUARE_FOOT = 12 * TICKS_PER_INCH * 12 * TICKS_PER_INCH
_TENTH_SQUARE_METRE = 100 * TICKS_PER_MM * 1000 * TICKS_PER_MM
_AREA_UNIT = {"in": _SQUARE_FOOT, "mm": _TENTH_SQUARE_METRE}
_RATE_OF_STATE = {"tight": "tight", "crosses": "crosses", "on-seam": "on_seam"}


def counts_of(
    case: Case,
    laid: Sequence[Laid],
    pieces: Sequence[Pieces],
    planes: Sequence[JudgedPlane],
    links: Sequence[JudgedLink],
    centres: Sequence[JudgedCentre],
    penetrations: Sequence[JudgedPenetration],
) -> tuple[int, ...]:
    """The counts of a layout in the order of COUNT_NAMES.

    `pieces` are those of every panel of every plane in increasing x, none on a plain rectangle.
    """
    states = [pen.state for pen in penetrations]
    unit = _UNEVEN_UNIT[case.units]
    uneven = sum(
        max(0, abs(plane.first - plane.last) - case.rules.uneven_free) // unit for plane in planes
    )
    of = {
        "on-seam": states.count("on-seam"),
        "seams_cut": sum(pen.seams_cut for pen in penetrations),
        "crosses": states.count("crosses"),
        "tight": states.count("tight"),
        "crowded": states.count("crowded"),
        "moved": sum(1 for pen in penetrations if pen.moved),
        "links_missed": sum(1 for link in links if not link.meet),
        "off_centre": sum(1 for centre in centres if not centre.hit),
        "unlanded": sum(pen.landed.count(False) for pen in penetrations if pen.landed),
        "odd_panels": sum(len(plane.odd) for plane in planes),
        "uneven": uneven,
        "stock": 0,
    }
    if case.rates.each["area"].given:
        of["stock"] = sum(
            _stock(case, plane, own, cut)
            for plane, own, cut in zip(case.planes, laid, pieces, strict=True)
        )
    return tuple(of[name] for name in COUNT_NAMES)


def _stock(case: Case, plane: Plane, laid: Laid, pieces: Pieces) -> int:
    """Sheet that a plane takes, in whole square feet or whole tenths of a square metre, rounded up.

    A whole sheet for every panel, as long as its pieces together reach. Ripping the first panel
    leaves the leg that the last one needs, so one sheet makes both where both and their turn-ups
    fit in a cover (common practice, no source).
    """
    sheet, cover = case.sheet, case.panel.cover
    assert sheet is not None  # every case that is loaded has one
    if plane.outline is None:
        lengths = [plane.length] * len(laid.panels)
    else:
        lengths = [length_of(own) for own in pieces]
    if len(lengths) > 1 and plane.lay != "from":
        low, high = laid.panels[0], laid.panels[-1]
        if low.high - low.low + high.high - high.low + 2 * sheet.turn_up <= cover:
            lengths = [*lengths[1:-1], max(lengths[0], lengths[-1])]
    area = sum(lengths) * (cover + sheet.male + sheet.female)
    return -(-area // _AREA_UNIT[case.units])


def cost_of(
    case: Case,
    layout: Layout,
    counts: Sequence[int],
    penetrations: Sequence[JudgedPenetration],
) -> Cost:
    """Whole cents: every rate is rounded before it is multiplied by how often it occurs."""
    cents = case.rates.cents
    count = dict(zip(COUNT_NAMES, counts, strict=True))
    flashing = sum(count[state] * cents(rate) for state, rate in _RATE_OF_STATE.items())
    flashing += sum(
        count[name] * cents(rate)
        for name, rate in (
            ("seams_cut", "seam_cut"), ("crowded", "crowded"), ("unlanded", "unlanded")
        )
    )  # fmt: skip
    moves = 0
    for pen, judged in zip(case.penetrations, penetrations, strict=True):
        # Moving what cannot move has no rate; it is a breach instead.
        if judged.moved and pen.kind == "pipe" and pen.status != "fixed":
            moves += cents("move_planned" if pen.status == "planned" else "move_stubbed")
    look = (("uneven", "uneven"), ("links_missed", "misaligned"), ("off_centre", "off_centre"))
    return Cost(
        flashing=flashing,
        moves=moves,
        odd_panels=count["odd_panels"] * cents("odd_panel"),
        look=sum(count[name] * cents(rate) for name, rate in look),
        play=altered(layout) * cents("play"),
        stock=count["stock"] * cents("area") if count["stock"] else 0,
    )
