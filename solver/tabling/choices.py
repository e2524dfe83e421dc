"""Every choice a plane has: first widths, odd panels, changes of module, one by one.

Panels are laid until what is left is at most a cover: that is the last panel, unless an odd panel
is due there. Numbering as in `solver.layout`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate, islice

import numpy as np

from solver.case import Case, Plane
from solver.shape.outline import legal_panels
from solver.tabling.lean import ends_fit
from solver.tabling.runs import Column
from solver.tabling.starts import least_end, legal_firsts, whole_marks

MOST_COLUMNS = 4_000
"""So many choices of one plane are looked at one by one, no more."""


STEPS_PER_COLUMN = 50
"""So many panels may be laid for each of those, counting ways that end nowhere."""


class TooManyChoicesError(Exception):
    """A plane has more choices than can be looked at one by one."""


@dataclass(frozen=True)
class _Run:
    """Panels from a seam to an end of the plane: widths of all but the last, and what is odd."""

    widths: tuple[int, ...]
    odds: tuple[tuple[int, int], ...]
    changes: tuple[tuple[int, int], ...]


def odd_widths(case: Case) -> tuple[int, ...]:
    """The widths an odd panel may have (ticks, increasing); empty where the case allows none."""
    rules, mark = case.rules, case.mark
    if not rules.odd_panels:
        return ()
    if rules.odd_widths:
        return rules.odd_widths
    least = max(-(-rules.odd_min // mark), 1) * mark
    return tuple(range(least, case.panel.cover - mark + 1, mark))


def changes_of_module(case: Case) -> tuple[int, ...]:
    """By how much a stretch's panels may be wider or narrower (ticks, increasing)."""
    if not case.rules.play:
        return (0,)
    most = case.rules.play // case.rules.play_mark
    return tuple(case.rules.play_mark * n for n in range(-most, most + 1))


def bends(case: Case, plane: Plane) -> bool:
    """Whether the plane's seams may leave the plain grid, or are laid both ways from a line."""
    if plane.width <= case.panel.cover or (plane.lean is not None and plane.lean.fan):
        return False
    return bool(odd_widths(case)) or len(changes_of_module(case)) > 1 or plane.lay == "from"


def plain_columns(case: Case, plane: Plane) -> list[Column]:
    """Choices with every panel but the ends as wide as the cover, by first width."""
    if plane.lay != "from" or plane.width <= case.panel.cover:
        return [Column(int(first)) for first in legal_firsts(case, plane)]
    widths = panels_of(case, plane, Column(0))
    column = None if widths is None else Column(widths[0])
    return [column] if column is not None and is_legal(case, plane, column) else []


def every_column(case: Case, plane: Plane, most: int = MOST_COLUMNS) -> list[Column]:
    """Every choice of a plane, in the tie order.

    Raises:
        TooManyChoicesError: there are more than `most`.
    """
    cover = case.panel.cover
    if plane.width <= cover:
        return [Column(plane.width)]
    tried = list(islice(_columns(case, plane, most), most + 1))
    if len(tried) > most:
        raise TooManyChoicesError  # before the shape of the plane is asked about any of them
    plain = plane.outline is None and plane.lean is None
    found = [column for column in tried if plain or is_legal(case, plane, column)]
    found.sort(key=lambda column: in_order(case, plane, column))
    return found


def in_order(case: Case, plane: Plane, column: Column) -> tuple[int, ...]:
    """The last ties between choices of a plane: first width, odd panels, then changes by stretch.

    Its length is the same for all columns of a plane.
    """
    pairs = column.odds + ((0, 0),) * (case.rules.odd_panels - len(column.odds))
    key = [column.first, *(number for pair in pairs for number in pair)]
    if case.rules.play:
        most = plane.width // (case.panel.cover - case.rules.play) + 1
        changed = dict(column.changes)
        key += [changed.get(s, 0) for s in range(1, most + 1)]
        if plane.lay == "from":
            key += [changed.get(-s, 0) for s in range(1, most + 1)]
    return tuple(key)


def _columns(case: Case, plane: Plane, most: int) -> Iterator[Column]:
    slots = case.rules.odd_panels
    steps = [STEPS_PER_COLUMN * most]
    if plane.lay == "from":
        assert plane.start is not None
        for low in _runs(case, plane, plane.start, slots, most, steps):
            rest = plane.width - plane.start
            for high in _runs(case, plane, rest, slots - len(low.odds), most, steps):
                down = tuple((-n, w) for n, w in low.odds)
                odds = tuple(sorted(down + high.odds))
                changes = tuple(sorted(tuple((-s, c) for s, c in low.changes) + high.changes))
                yield Column(plane.start - sum(low.widths), odds, changes)
        return
    for first in whole_marks(case, least_end(case, plane)):
        for run in _runs(case, plane, plane.width - int(first), slots, most, steps):
            odds = tuple((n + 1, w) for n, w in run.odds)
            yield Column(int(first), odds, run.changes)


def _runs(
    case: Case, plane: Plane, length: int, slots: int, most: int, steps: list[int]
) -> Iterator[_Run]:
    """Every way to lay panels from a seam over `length` ticks to an end of the plane.

    `steps` counts down how many panels may still be laid: most ways may lead to no legal end.
    """
    if length <= 0:
        return
    cover, least, again = case.panel.cover, least_end(case, plane), case.rules.remeasure
    odd, modules = odd_widths(case), changes_of_module(case)
    # (what is left, widths, odd panels, changes, change of the stretch under way or None)
    stack: list[tuple[int, tuple[int, ...], tuple[tuple[int, int], ...],
                      tuple[tuple[int, int], ...], int | None]] = [(length, (), (), (), None)]
    while stack:
        left, widths, odds, changes, change = stack.pop()
        number = len(widths) + 1
        if (number - 1) % again == 0:
            change = None
        if least <= left <= cover:
            yield _Run(widths, odds, changes)
        if len(odds) < slots:
            stack += [
                (left - w, (*widths, w), (*odds, (number, w)), changes, change)
                for w in odd if w < left
            ]
        if left <= cover:
            continue
        stretch = (number - 1) // again + 1
        for c in modules if change is None else (change,):
            if cover + c < left:
                told = changes if change is not None or not c else (*changes, (stretch, c))
                stack.append((left - cover - c, (*widths, cover + c), odds, told, c))
        steps[0] -= 1
        if len(stack) > most * 4 or steps[0] < 0:
            raise TooManyChoicesError


def panels_of(case: Case, plane: Plane, column: Column) -> tuple[int, ...] | None:
    """Widths of all panels but the last, from the starting end; None if an end would be illegal
    by its width alone.

    On a plane laid both ways they run from the low end, and the column's first width is not read.
    """
    if plane.width <= case.panel.cover:
        return ()
    odds, changes = dict(column.odds), dict(column.changes)
    if plane.lay == "from":
        assert plane.start is not None
        low = _lay(case, plane, plane.start, {-n: w for n, w in odds.items()},
                   {-s: c for s, c in changes.items()})
        high = _lay(case, plane, plane.width - plane.start, odds, changes)
        if low is None or high is None:
            return None
        first = plane.start - sum(low)
        return (first, *reversed(low), *high)
    if not least_end(case, plane) <= column.first <= case.panel.cover:
        return None
    rest = plane.width - column.first
    run = _lay(case, plane, rest, {n - 1: w for n, w in odds.items()}, changes)
    return None if run is None else (column.first, *run)


def _lay(
    case: Case, plane: Plane, length: int, odds: dict[int, int], changes: dict[int, int]
) -> tuple[int, ...] | None:
    """Panels from a seam over `length` ticks; None unless all that is odd comes in between."""
    widths: list[int] = []
    left, cover, again = length, case.panel.cover, case.rules.remeasure
    used: set[int] = set()
    while left > cover or len(widths) + 1 in odds:
        number = len(widths) + 1
        stretch = (number - 1) // again + 1
        if number in odds:
            width = odds[number]
        else:
            width = cover + changes.get(stretch, 0)
            used.add(stretch)
        left -= width
        if left <= 0:
            return None
        widths.append(width)
    whole = all(0 < n <= len(widths) for n in odds if n > 0) and all(
        s in used for s in changes if s > 0
    )
    return tuple(widths) if whole and left >= least_end(case, plane) else None


def is_legal(case: Case, plane: Plane, column: Column) -> bool:
    """Whether a column's ends, on a plane with an outline all its pieces, are wide and long enough,
    and all that is odd stands between the ends."""
    if plane.outline is not None and plane.width > case.panel.cover:
        widths = panels_of(case, plane, column)
        return widths is not None and legal_panels(case, plane, _edges(plane, widths))
    if plane.lean is not None and plane.width > case.panel.cover:
        widths = panels_of(case, plane, column)
        if widths is None:
            return False
        ends = np.array(_edges(plane, widths), dtype=np.int64)
        fits = ends_fit(case, plane, ends[1:2], ends[-1:] - ends[-2:-1], np.array([len(widths)]))
        return bool(fits[0])
    if plane.lay == "from" or column.changes or plane.width <= case.panel.cover:
        return panels_of(case, plane, column) is not None
    least, cover = case.rules.min_end, case.panel.cover
    if not least <= column.first <= cover:
        return False
    at, number = column.first, 1  # the seam behind panel `number`
    for panel, width in column.odds:
        at += (panel - 1 - number) * cover + width
        number = panel
        if at >= plane.width:
            return False
    return (plane.width - at - 1) % cover + 1 >= least


def _edges(plane: Plane, widths: tuple[int, ...]) -> list[int]:
    """The ends of the plane and the seams between, as increasing x (ticks)."""
    at = [0, *accumulate(widths), plane.width]
    return [plane.width - x for x in reversed(at)] if plane.lay == "right-to-left" else at
