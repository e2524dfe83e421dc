"""The independent checker: what a layout means, from the case and the decisions alone.

It is written a second time, straight from the rules of the trade, so that a slip in the optimizer's
arithmetic cannot pass unseen: seams are an explicit list here, and nothing is shared with the
search. Exact integers throughout; a name ending in `2` counts half ticks. `solver.stands` says how
a pipe or curb stands among the seams, `solver.breaches` which rules a layout breaks.
"""

from __future__ import annotations

from itertools import zip_longest

from solver.breaches import breaches
from solver.case import Case, Link, Plane
from solver.errors import ChoiceError, DisagreementError
from solver.layout import Layout
from solver.result import (
    COUNT_NAMES,
    Cost,
    Judged,
    JudgedLink,
    JudgedPenetration,
    JudgedPlane,
)
from solver.stands import Grid, grid_of, judge_penetration
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, format_length

_UNEVEN_UNIT = {"in": TICKS_PER_INCH, "mm": 25 * TICKS_PER_MM}
_RATE_OF_STATE = {"tight": "tight", "crosses": "crosses", "on-seam": "on_seam"}


def judge(case: Case, layout: Layout) -> Judged:
    """Work out everything that follows from a layout; broken rules are listed, not refused.

    Raises:
        ChoiceError: the decisions cannot be judged at all (wrong number of them, a first width
            that leaves no seam on a plane wider than one panel, a moved centre off its plane).
    """
    _refuse_what_has_no_meaning(case, layout)
    planes = tuple(
        _judge_plane(case, plane, first)
        for plane, first in zip(case.planes, layout.firsts, strict=True)
    )
    grids = {
        plane.id: grid_of(case, plane, judged.seams)
        for plane, judged in zip(case.planes, planes, strict=True)
    }
    penetrations = tuple(
        judge_penetration(case, pen, move, grids[pen.plane])
        for pen, move in zip(case.penetrations, layout.moves, strict=True)
    )
    misses2 = tuple(_miss2(case, link, grids) for link in case.links)
    links = tuple(
        JudgedLink(planes=link.planes, meet=miss2 <= 2 * case.rules.meet_tol, must=link.must)
        for link, miss2 in zip(case.links, misses2, strict=True)
    )
    counts = _counts(case, planes, links, penetrations)
    cost = _cost(case, counts, penetrations)
    ends = [end for plane in planes if plane.seams for end in (plane.first, plane.last)]
    order = (
        cost.total,
        *counts,
        sum(_shortfall2(case, pen) for pen in penetrations),
        sum(abs(move) for move in layout.moves),
        -min(ends, default=0),
        *layout.firsts,
        *layout.moves,
    )
    return Judged(
        layout=layout,
        cost=cost,
        counts=counts,
        order=order,
        planes=planes,
        links=links,
        penetrations=penetrations,
        breaks=breaches(case, layout, planes, links, misses2, penetrations),
    )


def _refuse_what_has_no_meaning(case: Case, layout: Layout) -> None:
    wrong = []
    if len(layout.firsts) != len(case.planes):
        wrong.append(
            f"{len(layout.firsts)} first widths are given: the case has {len(case.planes)} planes."
        )
    if len(layout.moves) != len(case.penetrations):
        wrong.append(
            f"{len(layout.moves)} moves are given: the case has "
            f"{len(case.penetrations)} penetrations."
        )
    if wrong:
        raise ChoiceError(" ".join(wrong))

    def shown(ticks: int) -> str:
        return format_length(2 * ticks, case.units, case.mark)

    for plane, first in zip(case.planes, layout.firsts, strict=True):
        if plane.width > case.panel.cover and not 0 < first < plane.width:
            wrong.append(
                f"A first width of {shown(first)} puts no seam on plane {plane.id}: it lies "
                f"between 0 and the plane's width of {shown(plane.width)}."
            )
    width = {plane.id: plane.width for plane in case.planes}
    for pen, move in zip(case.penetrations, layout.moves, strict=True):
        if move and not 0 <= pen.x + move <= width[pen.plane]:
            wrong.append(
                f"A move of {shown(move)} takes {pen.id} off plane {pen.plane}, to "
                f"{shown(pen.x + move)}: the plane runs from 0 to {shown(width[pen.plane])}."
            )
    if wrong:
        raise ChoiceError(" ".join(wrong))


def _judge_plane(case: Case, plane: Plane, first: int) -> JudgedPlane:
    """Lay the panels one by one from the starting end."""
    cover = case.panel.cover
    if plane.width <= cover:  # one panel, whatever the layout says its width is
        return JudgedPlane(plane.id, plane.width, plane.width, 1, ())
    from_start = range(first, plane.width, cover)
    last = plane.width - from_start[-1]
    if plane.lay == "left-to-right":
        seams = tuple(from_start)
    else:
        seams = tuple(plane.width - run for run in reversed(from_start))
    return JudgedPlane(plane.id, first, last, len(seams) + 1, seams)


def _miss2(case: Case, link: Link, grids: dict[str, Grid]) -> int:
    """By how much the seams of two linked planes miss what the link asks, in half ticks."""
    one, other = (grids[plane_id] for plane_id in link.planes)
    if not one.seams or not other.seams:
        return 0  # a plane without a seam meets anything
    cover = case.panel.cover
    seam = one.seams[0]
    wanted = (one.width - seam if link.how == "mirror" else seam) + link.offset
    ahead = (wanted - other.seams[0]) % cover
    apart = min(ahead, cover - ahead)
    return cover - 2 * apart if link.stagger else 2 * apart


def _counts(
    case: Case,
    planes: tuple[JudgedPlane, ...],
    links: tuple[JudgedLink, ...],
    penetrations: tuple[JudgedPenetration, ...],
) -> tuple[int, ...]:
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
        "odd_panels": sum(len(plane.odd) for plane in planes),
        "uneven": uneven,
    }
    return tuple(of[name] for name in COUNT_NAMES)


def _cost(
    case: Case, counts: tuple[int, ...], penetrations: tuple[JudgedPenetration, ...]
) -> Cost:
    """Whole cents: every rate is rounded before it is multiplied by how often it occurs."""
    cents = case.rates.cents
    count = dict(zip(COUNT_NAMES, counts, strict=True))
    flashing = sum(count[state] * cents(rate) for state, rate in _RATE_OF_STATE.items())
    flashing += count["seams_cut"] * cents("seam_cut") + count["crowded"] * cents("crowded")
    moves = 0
    for pen, judged in zip(case.penetrations, penetrations, strict=True):
        # Moving what cannot move has no rate; it is a breach instead.
        if judged.moved and pen.kind == "pipe" and pen.status != "fixed":
            moves += cents("move_planned" if pen.status == "planned" else "move_stubbed")
    return Cost(
        flashing=flashing,
        moves=moves,
        odd_panels=count["odd_panels"] * cents("odd_panel"),
        look=count["uneven"] * cents("uneven") + count["links_missed"] * cents("misaligned"),
    )


def _shortfall2(case: Case, pen: JudgedPenetration) -> int:
    """How far a penetration that stands well falls short of a margin that is enough."""
    margin2 = pen.worst_margin2 if case.rules.robust else pen.margin2
    if pen.state not in ("clear", "spans") or margin2 is None:
        return 0
    return max(0, 2 * case.rules.enough - margin2)


def compare(
    mine: Judged,
    claimed_total: int,
    claimed_counts: tuple[int, ...],
    claimed_order: tuple[int, ...],
) -> None:
    """Hold what the optimizer claims about a layout (cents, counts, tie order) against `mine`.

    Raises:
        DisagreementError: anything differs; the message holds both views side by side.
    """
    rows: list[tuple[str, int | None, int | None]] = [("total", mine.cost.total, claimed_total)]
    rows += [
        (f"count {COUNT_NAMES[i] if i < len(COUNT_NAMES) else i + 1}", own, claim)
        for i, (own, claim) in enumerate(zip_longest(mine.counts, claimed_counts))
    ]
    names = ["total", *COUNT_NAMES, "shortfall", "distance", "narrowest end, negative"]
    names += [f"first width of {plane.id}" for plane in mine.planes]
    names += [f"move of {pen.id}" for pen in mine.penetrations]
    rows += [
        (f"order {i + 1}, {names[i] if i < len(names) else 'one too many'}", own, claim)
        for i, (own, claim) in enumerate(zip_longest(mine.order, claimed_order))
    ]
    differing = [row for row in rows if row[1] != row[2]]
    if not differing:
        return
    lines = [
        "The checker and the optimizer disagree about one layout: a fault of the program,",
        "neither view is to be trusted. Money in cents, lengths in ticks, shortfall in halves.",
        f"{'':<40} {'checker':>16} {'optimizer':>16}",
    ]
    for name, own, claim in differing:
        lines.append(f"{name:<40} {_or_missing(own):>16} {_or_missing(claim):>16}")
    raise DisagreementError("\n".join(lines))


def _or_missing(value: int | None) -> str:
    return "missing" if value is None else str(value)
