"""Every way to lay the rest of a run from the last seam laid, panel by panel.

Stretches of another module are counted from that seam: having measured it, the crew stands at a
control line. Ticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.case import Case, Plane
from solver.replan.front import Front
from solver.tabling.choices import changes_of_module, odd_widths
from solver.tabling.starts import least_end

MOST_WAYS = 20_000
MOST_STEPS = 1_000_000
"""So many ways are looked at one by one, and so many panels laid to find them."""


class TooManyWaysError(Exception):
    """The rest can be laid in too many ways to look at each."""


@dataclass(frozen=True, order=True)
class Way:
    """Widths of all panels of the rest but the last, what is odd among them (number from 1 behind
    the front, width), and changes of module by stretch from the front.

    `planned`: the plan's own rest, whose stretches go on as the plan counts them; `altered` is then
    how many of them are new to the rest.
    """

    odds: tuple[tuple[int, int], ...]
    changes: tuple[tuple[int, int], ...]
    widths: tuple[int, ...]
    planned: bool = False
    altered_: int = 0

    @property
    def altered(self) -> int:
        """How many stretches of another module begin in the rest."""
        return self.altered_ if self.planned else len(self.changes)

    def last(self, room: int) -> int:
        """The last panel's width where `room` is left in all."""
        return room - sum(self.widths)


def ways_of(
    case: Case, plane: Plane, left: tuple[int, int], slots: int, least: int | None = None,
    most: int | None = None,
) -> list[Way]:
    """Every way whose last panel is legal at the eave and at the ridge, in the tie order.

    `left` is the lesser and the larger of what is left there; `slots` how many odd panels the plane
    may still have. `least` and `most` stand for the narrowest and the widest legal end where
    something else is asked for.

    Raises:
        TooManyWaysError: there are more than are looked at one by one.
    """
    found = []
    least = least_end(case, plane) if least is None else least
    for way in _ways(case, left, slots, least, case.panel.cover if most is None else most):
        found.append(way)
        if len(found) > MOST_WAYS:
            raise TooManyWaysError
    return sorted(found)


def _ways(
    case: Case, left: tuple[int, int], slots: int, least: int, most: int
) -> Iterator[Way]:
    cover, again = case.panel.cover, case.rules.remeasure
    odd, modules = (odd_widths(case) if slots > 0 else ()), changes_of_module(case)
    spread, steps = left[1] - left[0], 0
    stack: list[tuple[int, Way, int | None]] = [(left[0], Way((), (), ()), None)]
    while stack:
        low, way, change = stack.pop()
        number = len(way.widths) + 1
        if (number - 1) % again == 0:
            change = None
        if least <= low and low + spread <= most:
            yield way
        if len(way.odds) < slots:
            for wide in odd:
                if wide < low:
                    more = Way((*way.odds, (number, wide)), way.changes, (*way.widths, wide))
                    stack.append((low - wide, more, change))
        if low + spread > cover:
            stretch = (number - 1) // again + 1
            for c in modules if change is None else (change,):
                if cover + c < low:
                    told = (*way.changes, (stretch, c)) if change is None and c else way.changes
                    more = Way(way.odds, told, (*way.widths, cover + c))
                    stack.append((low - cover - c, more, c))
        steps += 1
        if steps > MOST_STEPS or len(stack) > MOST_STEPS:
            raise TooManyWaysError


def fanned_ways(front: Front, least: int, most: int, cover: int) -> list[Way]:
    """The ways to lay the rest of a fan: full panels, each as much wider or narrower at the top as
    planned, and a last one of `least` to `most` at eave and ridge."""
    found = []
    for count in range(max(front.left) // cover + 1):
        widths = (cover,) * count
        low, high = sorted(front.lasts(widths))
        if least <= low and high <= most:
            found.append(Way((), (), widths))
    return found


def neighbours(case: Case, plane: Plane, left: tuple[int, int], way: Way) -> list[Way]:
    """Every legal way that differs from `way` by the module of one stretch; first `way` itself."""
    found, again = [way], case.rules.remeasure
    stretches = (len(way.widths) - 1) // again + 2
    now = dict(way.changes)
    for stretch in range(1, stretches + 1):
        for c in changes_of_module(case):
            if c != now.get(stretch, 0):
                other = _laid(case, left, way.odds, {**now, stretch: c})
                if other is not None and least_end(case, plane) <= other.last(left[0]):
                    found.append(other)
    return found


def _laid(
    case: Case, left: tuple[int, int], odds: tuple[tuple[int, int], ...], changes: dict[int, int]
) -> Way | None:
    """The way with these decisions; None where they do not come to a legal end."""
    cover, again, due = case.panel.cover, case.rules.remeasure, dict(odds)
    widths: list[int] = []
    low, spread, used = left[0], left[1] - left[0], set()
    while low + spread > cover or len(widths) + 1 in due:
        number = len(widths) + 1
        stretch = (number - 1) // again + 1
        wide = due.get(number, cover + changes.get(stretch, 0))
        if number not in due and changes.get(stretch):
            used.add(stretch)
        if wide >= low:
            return None
        low -= wide
        widths.append(wide)
    if any(number > len(widths) for number in due):
        return None
    kept = tuple((s, changes[s]) for s in sorted(used))
    return Way(odds, kept, tuple(widths))


def plain_way(case: Case, left: int) -> Way:
    """Full panels until no more than a cover is left."""
    return Way((), (), (case.panel.cover,) * max(0, -(-left // case.panel.cover) - 1))
