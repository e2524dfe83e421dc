"""The independent checker: what a layout means, from the case and the decisions alone.

It is written a second time, straight from the rules of the trade, so that a slip in the optimizer's
arithmetic cannot pass unseen: seams are an explicit list here, and nothing is shared with the
search. Exact integers throughout; a name ending in `2` counts half ticks. `solver.checker.laying`
lays the panels one by one, `solver.checker.outlines` cuts them to the roof, `solver.checker.stands`
says how a pipe or curb stands among the seams, `solver.checker.breaches` which rules a layout
breaks, `solver.checker.counts` what it costs.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest

from solver.case import Case, Penetration, Plane
from solver.checker.breach_words import words_of
from solver.checker.breaches import breaches
from solver.checker.centres import judge_centres
from solver.checker.counts import cost_of, counts_of
from solver.checker.laying import Laid, lay, miss2, no_meaning, strays2
from solver.checker.leaning import roof_at, seams_at, tops
from solver.checker.order import order_names, order_of
from solver.checker.outlines import Piece, ends_beside, pieces_of
from solver.checker.stands import judge_penetration
from solver.checker.stands_grid import grid_of
from solver.errors import ChoiceError, DisagreementError
from solver.layout import Layout
from solver.result import (
    COUNT_NAMES,
    Judged,
    JudgedLink,
    JudgedOdd,
    JudgedPlane,
    JudgedStretch,
)


def judge(case: Case, layout: Layout) -> Judged:
    """Work out everything that follows from a layout; broken rules are listed, not refused.

    Raises:
        ChoiceError: the decisions cannot be judged at all (wrong number of them, a first width
            that leaves no seam on a plane wider than one panel, an odd panel or a stretch that the
            plane does not have, a width of nothing, a centre off its plane).
    """
    _refuse_what_has_no_meaning(case, layout)
    ends = _ends_in_reach(case, layout)
    laid = tuple(
        lay(case, plane, layout.firsts[i], dict(_odds(layout, i)), dict(_changes(layout, i)))
        for i, plane in enumerate(case.planes)
    )
    pieces = tuple(
        _pieces(plane, own) for plane, own in zip(case.planes, laid, strict=True)
    )
    planes = tuple(
        _judge_plane(case, plane, laid[i], dict(_odds(layout, i)), dict(_changes(layout, i)))
        for i, plane in enumerate(case.planes)
    )
    heights = dict.fromkeys((pen.plane, _height(case, pen)) for pen in case.penetrations)
    by_id = {plane.id: (plane, own) for plane, own in zip(case.planes, laid, strict=True)}
    grids = {
        (name, y): grid_of(case, plane, seams_at(plane, own.seams, y))
        for name, y in heights
        for plane, own in (by_id[name],)
    }
    penetrations = tuple(
        judge_penetration(case, pen, move, grids[pen.plane, _height(case, pen)], beside)
        for pen, move, beside in zip(case.penetrations, layout.moves, ends, strict=True)
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
    centres = judge_centres(case, laid)
    counts = counts_of(case, laid, pieces, planes, links, centres, penetrations)
    cost = cost_of(case, layout, counts, penetrations)
    judged = Judged(
        layout=layout,
        cost=cost,
        counts=counts,
        order=(),
        planes=planes,
        links=links,
        penetrations=penetrations,
        breaks=breaches(
            case, layout, laid, pieces, planes, links, misses2, penetrations, ends, centres
        ),
        centres=centres,
    )
    return replace(judged, order=order_of(case, judged))


def _height(case: Case, pen: Penetration) -> int:
    """The height at which the seams beside a penetration are looked at: its own where seams are
    fanned, 0 elsewhere, where it is all the same."""
    lean = next(plane.lean for plane in case.planes if plane.id == pen.plane)
    return pen.y if lean is not None and lean.fan else 0


def _pieces(plane: Plane, laid: Laid) -> tuple[tuple[Piece, ...], ...]:
    """The pieces of every panel in increasing x; none on a plain rectangle."""
    if plane.outline is None:
        return ()
    return pieces_of(plane, [(panel.low, panel.high) for panel in laid.panels])


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
    if wrong:
        raise ChoiceError(" ".join(wrong))


def _ends_in_reach(case: Case, layout: Layout) -> tuple[tuple[int, int], ...]:
    """Where the roof ends on either side of every penetration, which stays between them (ticks)."""
    shown = words_of(case).near
    planes = {plane.id: plane for plane in case.planes}
    wrong, ends = [], []
    for pen, move in zip(case.penetrations, layout.moves, strict=True):
        plane = planes[pen.plane]
        if plane.lean is not None:
            beside: tuple[int, int] | None = roof_at(plane, pen.y)
        else:
            beside = ends_beside(plane, pen.x, pen.y)
        if beside is None:
            wrong.append(
                f"{pen.id} stands off plane {pen.plane}, at x {shown(pen.x)} and y {shown(pen.y)}: "
                "a penetration is on its plane and in none of its holes."
            )
            continue
        ends.append(beside)
        low, high = (shown(end) if end else "0" for end in beside)
        if move and not beside[0] <= pen.x + move <= beside[1]:
            there = f" at the height of {pen.id}" if plane.outline is not None else ""
            wrong.append(
                f"A move of {shown(move)} takes {pen.id} off plane {pen.plane}, to "
                f"{shown(pen.x + move)}: the plane runs from {low} to {high}{there}."
            )
    if wrong:
        raise ChoiceError(" ".join(wrong))
    return tuple(ends)


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
    top = tops(plane, laid)
    if top is not None and plane.lay == "right-to-left":
        top = top[::-1]
    return JudgedPlane(plane.id, first, last, len(laid.panels), laid.seams, odd, stretches, top)


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
