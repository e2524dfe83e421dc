"""The order in which layouts are ranked, element by element: part of the independent checker.

Shared with nothing else. Exact integers; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from solver.case import Case, Plane
from solver.checker.leaning import seams_at
from solver.checker.stands_curbs import apart2
from solver.checker.stands_grid import grid_of
from solver.layout import Layout
from solver.result import COUNT_NAMES, Judged, JudgedPenetration, JudgedPlane

HEAD_NAMES: Final = (
    "total", *COUNT_NAMES, "stretches altered", "shortfall", "distance", "narrowest end, negative",
    "odd widths, negative", "odd panel to the next, negative", "odd panels to the start",
    "sizes of changes",
)
"""What stands before the choices made on each plane."""


def altered(layout: Layout) -> int:
    """How many stretches have another module than the cover."""
    return sum(1 for change in layout.changes if change.ticks)


def order_of(case: Case, judged: Judged) -> tuple[int, ...]:
    """The whole tie order of a layout; smaller is better."""
    return tuple(value for _, value in _named(case, judged))


def order_names(case: Case | None, judged: Judged) -> list[str]:
    """The name of each element of a layout's order; without the case less is known of planes."""
    if case:
        return [name for name, _ in _named(case, judged)]
    moves = [f"move of {pen.id}" for pen in judged.penetrations]
    between = len(judged.order) - len(HEAD_NAMES) - len(moves)
    return [*HEAD_NAMES, *(f"choice {i + 1} on the planes" for i in range(between)), *moves]


def _named(case: Case, judged: Judged) -> Iterator[tuple[str, int]]:
    layout = judged.layout
    yield from zip(HEAD_NAMES, _head(case, judged), strict=True)
    for i, plane in enumerate(case.planes):
        yield from _choices(case, plane, judged.planes[i], layout, i)
    for pen, move in zip(case.penetrations, layout.moves, strict=True):
        yield f"move of {pen.id}", move


def _head(case: Case, judged: Judged) -> tuple[int, ...]:
    layout = judged.layout
    ends = [end for plane in judged.planes if plane.seams for end in (plane.first, plane.last)]
    nearest2, starts2 = [], 0
    for plane, own in zip(case.planes, judged.planes, strict=True):
        start = {"left-to-right": 0, "right-to-left": plane.width, "from": plane.start or 0}
        marks = [0, plane.width, *(pen.x for pen in judged.penetrations if pen.plane == plane.id)]
        for odd in own.odd:
            centre2 = odd.low + odd.high
            nearest2.append(min(abs(centre2 - 2 * x) for x in marks))
            starts2 += abs(centre2 - 2 * start[plane.lay])
    return (
        judged.cost.total,
        *judged.counts,
        altered(layout),
        _shortfalls2(case, judged),
        sum(abs(move) for move in layout.moves),
        -min(ends, default=0),
        -sum(odd.width for plane in judged.planes for odd in plane.odd),
        -min(nearest2, default=0),
        starts2,
        sum(abs(change.ticks) for change in layout.changes),
    )


def _shortfalls2(case: Case, judged: Judged) -> int:
    """What all penetrations fall short by: a close curb by how far seams are from its walls."""
    total2 = 0
    planes = {
        plane.id: (plane, own) for plane, own in zip(case.planes, judged.planes, strict=True)
    }
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        if pen.kind == "curb" and pen.detail == "close":
            plane, own = planes[pen.plane]
            there = seams_at(plane, own.seams, pen.y)
            total2 += apart2(case, pen, stands.moved, grid_of(case, plane, there))
        else:
            total2 += _shortfall2(case, stands)
    return total2


def _shortfall2(case: Case, pen: JudgedPenetration) -> int:
    """How far a penetration that stands well falls short of a margin that is enough."""
    margin2 = pen.worst_margin2 if case.rules.robust else pen.margin2
    if pen.state not in ("clear", "spans") or margin2 is None:
        return 0
    return max(0, 2 * case.rules.enough - margin2)


def _choices(
    case: Case, plane: Plane, judged: JudgedPlane, layout: Layout, i: int
) -> Iterator[tuple[str, int]]:
    """What is chosen on one plane, as it stands in the tie order."""
    rules = case.rules
    first = judged.first if plane.lay == "from" else layout.firsts[i]
    yield f"first width of {plane.id}", first
    pairs = [(odd.panel, odd.width) for odd in judged.odd]
    pairs += [(0, 0)] * (rules.odd_panels - len(pairs))
    for place, (number, width) in enumerate(pairs, 1):
        yield f"odd panel {place} of {plane.id}", number
        yield f"odd width {place} of {plane.id}", width
    if rules.play:
        changes = {each.stretch: each.ticks for each in layout.changes if each.plane == i}
        most = plane.width // (case.panel.cover - rules.play) + 1
        for sign in (1, -1) if plane.lay == "from" else (1,):
            for stretch in range(1, most + 1):
                yield f"change {sign * stretch} of {plane.id}", changes.get(sign * stretch, 0)
