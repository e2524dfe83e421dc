"""The independent checker: what a layout means, from the case and the decisions alone.

It is written a second time, straight from the rules of the trade, so that a slip in the optimizer's
arithmetic cannot pass unseen: seams are an explicit list here, and nothing is shared with the
search. Exact integers throughout; a name ending in `2` counts half ticks. `solver.laying` lays the
panels one by one, `solver.stands` says how a pipe or curb stands among the seams, `solver.breaches`
which rules a layout breaks.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest

from solver.breach_words import words_of
from solver.breaches import breaches
from solver.case import Case, Plane
from solver.checker_order import altered, order_names, order_of
from solver.errors import ChoiceError, DisagreementError
from solver.laying import Laid, lay, miss2, no_meaning, strays2
from solver.layout import Layout
from solver.result import (
    COUNT_NAMES,
    Cost,
    Judged,
    JudgedLink,
    JudgedOdd,
    JudgedPenetration,
    JudgedPlane,
    JudgedStretch,
)
from solver.stands import grid_of, judge_penetration
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

_UNEVEN_UNIT = {"in": TICKS_PER_INCH, "mm": 25 * TICKS_PER_MM}
_RATE_OF_STATE = {"tight": "tight", "crosses": "crosses", "on-seam": "on_seam"}


def judge(case: Case, layout: Layout) -> Judged:
    """Work out everything that follows from a layout; broken rules are listed, not refused.

    Raises:
        ChoiceError: the decisions cannot be judged at all (wrong number of them, a first width
            that leaves no seam on a plane wider than one panel, an odd panel or a stretch that the
            plane does not have, a width of nothing, a moved centre off its plane).
    """
    _refuse_what_has_no_meaning(case, layout)
    laid = tuple(
        lay(case, plane, layout.firsts[i], dict(_odds(layout, i)), dict(_changes(layout, i)))
        for i, plane in enumerate(case.planes)
    )
    planes = tuple(
        _judge_plane(case, plane, laid[i], dict(_odds(layout, i)), dict(_changes(layout, i)))
        for i, plane in enumerate(case.planes)
    )
    grids = {
        plane.id: grid_of(case, plane, judged.seams)
        for plane, judged in zip(case.planes, planes, strict=True)
    }
    penetrations = tuple(
        judge_penetration(case, pen, move, grids[pen.plane])
        for pen, move in zip(case.penetrations, layout.moves, strict=True)
    )
    of_plane = {plane.id: own for plane, own in zip(case.planes, laid, strict=True)}
    pairs = [(of_plane[link.planes[0]], of_plane[link.planes[1]]) for link in case.links]
    misses2 = tuple(miss2(case, link, *pair) for link, pair in zip(case.links, pairs, strict=True))
    links = tuple(
        JudgedLink(
            planes=link.planes,
            meet=missed2 <= 2 * case.rules.meet_tol,
            must=link.must,
            strays2=strays2(case, link, *pair),
        )
        for link, pair, missed2 in zip(case.links, pairs, misses2, strict=True)
    )
    counts = _counts(case, planes, links, penetrations)
    cost = _cost(case, layout, counts, penetrations)
    judged = Judged(
        layout=layout,
        cost=cost,
        counts=counts,
        order=(),
        planes=planes,
        links=links,
        penetrations=penetrations,
        breaks=breaches(case, layout, laid, planes, links, misses2, penetrations),
    )
    return replace(judged, order=order_of(case, judged))


def _odds(layout: Layout, plane: int) -> list[tuple[int, int]]:
    """Number and width of the odd panels of one plane, in the order of their numbers."""
    return sorted((odd.panel, odd.width) for odd in layout.odds if odd.plane == plane)


def _changes(layout: Layout, plane: int) -> list[tuple[int, int]]:
    """Stretch and change of the module of one plane, in the order of the stretches."""
    return sorted((each.stretch, each.ticks) for each in layout.changes if each.plane == plane)


def _refuse_what_has_no_meaning(case: Case, layout: Layout) -> None:
    wrong = []
    count = len(case.planes)
    if len(layout.firsts) != count:
        wrong.append(
            f"{len(layout.firsts)} first widths are given: the case has {count} planes."
        )
    if len(layout.moves) != len(case.penetrations):
        wrong.append(
            f"{len(layout.moves)} moves are given: the case has "
            f"{len(case.penetrations)} penetrations."
        )
    for what, each in (
        *(("An odd panel", odd.plane) for odd in layout.odds),
        *(("A change of module", change.plane) for change in layout.changes),
    ):
        if not 0 <= each < count:
            wrong.append(f"{what} is given for plane number {each}: the case has {count}, from 0.")
    if wrong:
        raise ChoiceError(" ".join(wrong))
    for i, plane in enumerate(case.planes):
        first, odds, changes = layout.firsts[i], _odds(layout, i), _changes(layout, i)
        wrong += no_meaning(case, plane, first, odds, changes)
    width = {plane.id: plane.width for plane in case.planes}
    shown = words_of(case).near
    for pen, move in zip(case.penetrations, layout.moves, strict=True):
        if move and not 0 <= pen.x + move <= width[pen.plane]:
            wrong.append(
                f"A move of {shown(move)} takes {pen.id} off plane {pen.plane}, to "
                f"{shown(pen.x + move)}: the plane runs from 0 to {shown(width[pen.plane])}."
            )
    if wrong:
        raise ChoiceError(" ".join(wrong))


def _judge_plane(
    case: Case, plane: Plane, laid: Laid, odds: dict[int, int], changes: dict[int, int]
) -> JudgedPlane:
    low, high = laid.panels[0], laid.panels[-1]
    ends = (low.high - low.low, high.high - high.low)
    first, last = reversed(ends) if plane.lay == "right-to-left" else ends
    by_number = {panel.number: panel for panel in laid.panels}
    odd = tuple(
        JudgedOdd(number, by_number[number].high - by_number[number].low,
                  by_number[number].low, by_number[number].high)
        for number in sorted(odds)
    )  # fmt: skip
    stretches = _stretches(case, laid, changes) if case.rules.play else ()
    return JudgedPlane(plane.id, first, last, len(laid.panels), laid.seams, odd, stretches)


def _stretches(
    case: Case, laid: Laid, changes: dict[int, int]
) -> tuple[JudgedStretch, ...]:
    """1, 2, … and, on a plane laid both ways, then -1, -2, …; the last panel belongs to one too."""
    numbers: dict[int, list[int]] = {}
    for panel in laid.panels:
        numbers.setdefault(panel.stretch, []).append(panel.number)
    return tuple(
        JudgedStretch(
            stretch,
            min(numbers[stretch], key=abs),
            max(numbers[stretch], key=abs),
            laid.full_in(stretch),
            case.panel.cover + changes.get(stretch, 0),
        )
        for stretch in sorted(numbers, key=lambda number: (number < 0, abs(number)))
        if stretch
    )


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
    case: Case,
    layout: Layout,
    counts: tuple[int, ...],
    penetrations: tuple[JudgedPenetration, ...],
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
        play=altered(layout) * cents("play"),
    )


def compare(
    mine: Judged,
    claimed_total: int,
    claimed_counts: tuple[int, ...],
    claimed_order: tuple[int, ...],
    case: Case | None = None,
) -> None:
    """Hold what the optimizer claims about a layout (cents, counts, tie order) against `mine`.

    `case`, where it is given, names the elements of the order that are chosen on planes.

    Raises:
        DisagreementError: anything differs; the message holds both views side by side.
    """
    rows: list[tuple[str, int | None, int | None]] = [("total", mine.cost.total, claimed_total)]
    rows += [
        (f"count {COUNT_NAMES[i] if i < len(COUNT_NAMES) else i + 1}", own, claim)
        for i, (own, claim) in enumerate(zip_longest(mine.counts, claimed_counts))
    ]
    names = order_names(case, mine)
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
