"""The panels of a plane, laid one by one, and how the seams of two laid planes meet.

Part of the independent checker: written straight from how a crew lays a roof, and shared with
nothing but `solver.checker.judge`. Exact integers; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from solver.case import Case, Link, Plane
from solver.checker.breach_words import fine_words, numbers, odd_limits, words_of

Pairs = Sequence[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class LaidPanel:
    """One panel as it lies: its number, its stretch (0: none), where it begins and ends (ticks).

    `full` is a panel between the two ends that is not odd.
    """

    number: int
    stretch: int
    low: int
    high: int
    full: bool


@dataclass(frozen=True)
class Laid:
    """The panels of one plane in increasing x, and its first-laid seam (None: it has no seam)."""

    panels: tuple[LaidPanel, ...]
    start: int | None

    @property
    def width(self) -> int:
        """Width of the plane (ticks)."""
        return self.panels[-1].high

    @cached_property
    def seams(self) -> tuple[int, ...]:
        """The seams strictly inside the plane, in increasing x (ticks)."""
        return tuple(panel.high for panel in self.panels[:-1])

    @property
    def ends(self) -> tuple[int, int]:
        """The numbers of the panels at the low and at the high end."""
        return self.panels[0].number, self.panels[-1].number

    def full_in(self, stretch: int) -> int:
        """How many full panels a stretch has."""
        return sum(panel.full for panel in self.panels if panel.stretch == stretch)


def stretch_of(plane: Plane, number: int, remeasure: int) -> int:
    """The stretch that a panel lies in; 0 for the first panel of a plane laid from one end."""
    if plane.lay == "from":
        stretch = (abs(number) - 1) // remeasure + 1
        return stretch if number > 0 else -stretch
    return (number - 2) // remeasure + 1 if number > 1 else 0


def lay(
    case: Case, plane: Plane, first: int, odds: Mapping[int, int], changes: Mapping[int, int]
) -> Laid:
    """Lay a plane from its starting end, or both ways from its line.

    `odds` are widths by panel number, `changes` of the module by stretch (ticks). `first` counts
    for a plane laid from one end only. Everything must have a meaning (`no_meaning`).
    """
    if plane.width <= case.panel.cover:  # one panel, whatever the decisions say
        return Laid((LaidPanel(1, 0, 0, plane.width, full=False),), None)
    if plane.start is not None and plane.lay == "from":
        start = plane.start
        low = list(_run(case, plane, plane.start, -1, odds, changes))
        row = [*reversed(low), *_run(case, plane, plane.width - plane.start, 1, odds, changes)]
    else:
        row = [(1, first), *_run(case, plane, plane.width - first, 2, odds, changes)]
        start = first
        if plane.lay == "right-to-left":
            row.reverse()
            start = plane.width - first
    panels, at = [], 0
    for place, (number, width) in enumerate(row):
        full = 0 < place < len(row) - 1 and number not in odds
        stretch = stretch_of(plane, number, case.rules.remeasure)
        panels.append(LaidPanel(number, stretch, at, at + width, full))
        at += width
    return Laid(tuple(panels), start)


def _run(
    case: Case,
    plane: Plane,
    room: int,
    number: int,
    odds: Mapping[int, int],
    changes: Mapping[int, int],
) -> Iterator[tuple[int, int]]:
    """Numbers and widths of the panels that fill `room`, from panel `number` on.

    A full panel is laid only where what is left is wider than the cover, an odd one wherever it is
    due and fits; the last panel takes what is left.
    """
    step = 1 if number > 0 else -1
    while room > case.panel.cover or number in odds:
        change = changes.get(stretch_of(plane, number, case.rules.remeasure), 0)
        wide = odds.get(number, case.panel.cover + change)
        if wide >= room:
            break
        yield number, wide
        room -= wide
        number += step
    yield number, room


def no_meaning(
    case: Case, plane: Plane, first: int, odds: Pairs, changes: Pairs
) -> list[str]:
    """Why a plane cannot be laid at all with these decisions, a sentence for each reason.

    `odds` are panel numbers and widths, `changes` stretches and changes of their module (ticks).
    """
    near = words_of(case).near
    if plane.lay == "from" and (plane.start is None or not 0 < plane.start < plane.width):
        return [
            f"The line that plane {plane.id} is laid from stands at {near(plane.start or 0)}: it "
            f"lies between 0 and the plane's width of {near(plane.width)}."
        ]
    wrong = not_panels(case, plane, odds, changes)
    if plane.width > case.panel.cover and plane.lay != "from" and not 0 < first < plane.width:
        return [
            f"A first width of {near(first)} puts no seam on plane {plane.id}: it lies between 0 "
            f"and the plane's width of {near(plane.width)}.",
            *wrong,
        ]
    widths = {number: width for number, width in reversed(odds) if width > 0}
    modules = {at: ticks for at, ticks in reversed(changes) if case.panel.cover + ticks > 0}
    laid = lay(case, plane, first, widths, modules)
    panels = {panel.number for panel in laid.panels}
    wrong += (
        f"There is no panel {number} on plane {plane.id} as it is laid: its panels are "
        f"{numbers(panels)}."
        for number in sorted(widths.keys() - panels)
    )
    stretches = {panel.stretch for panel in laid.panels} - {0}
    has = f"its stretches are {numbers(stretches)}" if stretches else "it has none"
    wrong += (
        f"There is no stretch {stretch} on plane {plane.id} as it is laid: {has}."
        for stretch in sorted(modules.keys() - stretches)
    )
    return wrong


def not_panels(case: Case, plane: Plane, odds: Pairs, changes: Pairs) -> list[str]:
    """What has no meaning however the plane is laid: panels of no width, or named twice."""
    cover, wrong, seen = case.panel.cover, [], set()
    near, signed = words_of(case).near, fine_words(case).signed
    for number, width in odds:
        head = f"panel {number} of plane {plane.id}"
        if number in seen:
            wrong.append(
                f"An odd width of {near(width)} is named for {head}, which has one already: name "
                "it once."
            )
        elif width <= 0:
            wrong.append(
                f"A width of {near(width)} leaves nothing of {head}: an odd panel is "
                f"{odd_limits(case)} wide."
            )
        seen.add(number)
    seen = set()
    for stretch, ticks in changes:
        head = f"stretch {stretch} of plane {plane.id}"
        if stretch in seen:
            wrong.append(
                f"A change of {signed(ticks)} is named for {head}, which has one already: name it "
                "once."
            )
        elif cover + ticks <= 0:
            wrong.append(
                f"A change of {signed(ticks)} leaves nothing of the panels of {head}: their cover "
                f"is {near(cover)}."
            )
        seen.add(stretch)
    return wrong


def miss2(case: Case, link: Link, one: Laid, other: Laid) -> int:
    """By how much the grids two linked planes start with miss what the link asks, in half ticks."""
    if one.start is None or other.start is None:
        return 0  # a plane without a seam meets anything
    cover = case.panel.cover
    wanted = (one.width - one.start if link.how == "mirror" else one.start) + link.offset
    ahead = (wanted - other.start) % cover
    apart = min(ahead, cover - ahead)
    return cover - 2 * apart if link.stagger else 2 * apart


def strays2(case: Case, link: Link, one: Laid, other: Laid) -> int:
    """The farthest any seam of two linked planes misses what the link asks, in half ticks.

    Each seam of either plane is looked at from the other, whose seams go on beyond its outermost
    ones a cover apart.
    """
    if not one.seams or not other.seams:
        return 0
    if link.how == "mirror":  # its own way back
        there = [one.width + link.offset - seam for seam in one.seams]
        back = [one.width + link.offset - seam for seam in other.seams]
    else:
        there = [seam + link.offset for seam in one.seams]
        back = [seam - link.offset for seam in other.seams]
    cover = case.panel.cover
    shifts2 = (-cover, cover) if link.stagger else (0,)
    return max(
        min(_nearest2(seams, 2 * at + shift2, cover) for shift2 in shifts2)
        for seams, places in ((other.seams, there), (one.seams, back))
        for at in places
    )


def _nearest2(seams: tuple[int, ...], at2: int, cover: int) -> int:
    """Distance (half ticks) to the nearest seam, beyond the outermost to their grid going on."""
    beyond2 = max(2 * seams[0] - at2, at2 - 2 * seams[-1])
    if beyond2 >= 0:
        ahead2 = beyond2 % (2 * cover)
        return min(ahead2, 2 * cover - ahead2)
    place = bisect_right(seams, at2 // 2)
    return min(at2 - 2 * seams[place - 1], 2 * seams[place] - at2)
