"""How the panels of one plane may be laid, and where that puts them: for oracle_odd.

Panels are numbered from the starting end, or from the line that a plane is laid from: 1, 2, …
towards its high end and -1, -2, … towards its low end. A panel is laid full while more than one
cover is left; what is left then is the last panel. Lengths are half ticks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import oracle
from oracle_odd_case import OddCase

Pairs = tuple[tuple[int, int], ...]


@dataclass(frozen=True, order=True)
class Laying:
    """What is decided about the panels of a plane."""

    first: int  # on a plane laid from a line the width at its low end, which follows
    odds: Pairs = ()  # (panel number, width), sorted
    changes: Pairs = ()  # (stretch, change of module other than none), sorted


class Seam(NamedTuple):
    at: int
    low_side: int  # what it takes of the flat on its low side
    high_side: int
    shift: int  # how far it may stand from its place
    of: int  # the panel whose far edge it is; 0 for the line


@dataclass(frozen=True)
class Placed:
    """Where a laying puts panels and seams; in increasing x."""

    panels: tuple[tuple[int, int, int], ...]  # number, low edge, high edge
    seams: tuple[Seam, ...]
    laid_first: int | None  # the seam that is laid first
    origin: int  # where laying starts
    first: int
    last: int
    full: Mapping[int, tuple[int, ...]]  # the full panels of each stretch that has any


# ---------------------------------------------------------------------------- numbers


def stretch_of(case: OddCase, plane: int, number: int) -> int:
    """The stretch that a panel number belongs to."""
    every = case.base.remeasure
    if case.lines[plane] is not None:
        return (abs(number) - 1) // every + 1 if number > 0 else -((abs(number) - 1) // every + 1)
    if "stretches-from-first" in case.faults:
        return (number - 1) // every + 1
    return (number - 2) // every + 1


def seam_shift(case: OddCase, plane: int, number: int, odds: Mapping[int, int]) -> int:
    """How far the far edge of a panel (0: the line) may stand from its place."""
    base, line = case.base, case.lines[plane]
    skipped = 0
    if "creep-skips-odd" in case.faults:
        skipped = sum(odd * number > 0 and abs(odd) <= abs(number) for odd in odds)
    if line is None:
        return oracle.seam_shift(base, case.plane(plane), number - 1 - skipped)
    panels = abs(number) - skipped
    panels = 0 if panels == 0 else (panels - 1) % base.remeasure + 1
    if "line-creeps" in case.faults:
        panels = abs(number) % base.remeasure + 1
    shift = panels * base.cover_tol
    if number > 0 and "line-high-run-shifts" in case.faults:
        shift += base.width_tol
    return shift


# ---------------------------------------------------------------------------- placing


def run_panels(
    case: OddCase, plane: int, laying: Laying, length: int, number: int, step: int
) -> list[tuple[int, int]]:
    """(number, width) of the panels of a run that has a length left, its last panel included."""
    odds, changes, cover = dict(laying.odds), dict(laying.changes), case.base.cover
    panels, left = [], length
    while True:
        change = changes.get(stretch_of(case, plane, number), 0)
        if number in odds:
            width = odds[number] + ("odd-takes-change" in case.faults) * change
        elif left <= cover and "lays-on" not in case.faults:
            break
        else:
            width = cover + change
        if width <= 0:
            raise ValueError(f"panel {number} has no width")
        if width >= left:
            break
        panels.append((number, width))
        left -= width
        number += step
    return [*panels, (number, left)]


def place(case: OddCase, plane: int, laying: Laying) -> Placed:
    """Where everything stands, legal or not."""
    here, line, base = case.plane(plane), case.lines[plane], case.base
    if case.seamless(plane):
        widths = [(1, here.width)]
    elif line is not None:
        low = run_panels(case, plane, laying, line, -1, -1)
        widths = low[::-1] + run_panels(case, plane, laying, here.width - line, 1, 1)
    else:
        widths = [(1, min(laying.first, here.width))]
        if laying.first < here.width:
            widths += run_panels(case, plane, laying, here.width - laying.first, 2, 1)
        if not here.rightward:
            widths.reverse()
    panels, at = [], 0
    for number, width in widths:
        panels.append((number, at, at + width))
        at += width
    odds = dict(laying.odds)
    seams = []
    for (low_number, _, x), (high_number, _, _) in pairwise(panels):
        upwards = here.rightward if line is None else x > line  # the way it was laid
        low_side, high_side = (base.back, base.fwd) if upwards else (base.fwd, base.back)
        of = low_number if upwards else high_number
        if line == x:
            of = 0
            low_side = high_side = max(base.back, base.fwd)
        if line is not None and "line-one-way" in case.faults:
            low_side, high_side = base.back, base.fwd
        if line == x and "line-seam-one-sided" in case.faults:
            low_side, high_side = base.back, base.fwd
        seams.append(Seam(x, low_side, high_side, seam_shift(case, plane, of, odds), of))
    at_ends = {panels[0][0], panels[-1][0]}
    full: dict[int, tuple[int, ...]] = {}
    for number in sorted((n for n, _, _ in panels if n not in at_ends and n not in odds), key=abs):
        stretch = stretch_of(case, plane, number)
        full[stretch] = (*full.get(stretch, ()), number)
    laid = [x for x, *_, of in seams if of == (1 if line is None else 0)]
    ends = (panels[0][2] - panels[0][1], panels[-1][2] - panels[-1][1])
    backwards = line is None and not here.rightward
    return Placed(
        panels=tuple(panels),
        seams=tuple(seams),
        laid_first=laid[0] if laid else None,
        origin=line if line is not None else here.width if backwards else 0,
        first=ends[1] if backwards else ends[0],
        last=ends[0] if backwards else ends[1],
        full=full,
    )


# ---------------------------------------------------------------------------- what is legal


def laying_faults(case: OddCase, plane: int, laying: Laying) -> list[str]:
    """Which rules the panels of a plane break."""
    base, placed = case.base, place(case, plane, laying)
    at_ends = {placed.panels[0][0], placed.panels[-1][0]}
    numbers = {number for number, _, _ in placed.panels}
    broken = []
    if case.seamless(plane):
        if laying.first != case.plane(plane).width and case.lines[plane] is None:
            broken.append("one-panel")
    else:
        if case.lines[plane] is None and laying.first not in oracle.whole_marks(base):
            broken.append("whole-marks")
        if not all(base.min_end <= end <= base.cover for end in (placed.first, placed.last)):
            broken.append("end-rule")
    if len(laying.odds) > case.odd_panels:
        broken.append("odd-count")
    for number, width in laying.odds:
        if number not in numbers - at_ends:
            broken.append("odd-place")
        if width not in case.odd_widths:
            broken.append("odd-width")
    for stretch, change in laying.changes:
        if abs(change) > case.play or change % case.play_mark:
            broken.append("change-size")
        if change and stretch not in placed.full:
            broken.append("change-place")
    return broken


# ---------------------------------------------------------------------------- enumeration


def run_choices(
    case: OddCase, plane: int, length: int, number: int, step: int, plain: bool
) -> Iterator[tuple[Pairs, Pairs, int]]:
    """Every way to lay a run that has a length left: odd panels, changes, the last panel's width.

    Panel by panel: each is either the last, a full one, or an odd one.
    """
    base, faults = case.base, case.faults
    most = 0 if plain else case.odd_panels
    sizes = (0,) if plain else case.changes
    begin = number

    def may_be_odd(number: int, odds: Pairs, left: int, width: int) -> bool:
        if "odd-not-second" in faults and number == 2:
            return False
        if "odd-not-beside-line" in faults and abs(number) == 1:
            return False
        if "odd-not-neighbours" in faults and odds and odds[-1][0] == number - step:
            return False
        return not ("odd-not-beside-last" in faults and left - width <= base.cover)

    def lay(
        left: int, number: int, odds: Pairs, changes: dict[int, int]
    ) -> Iterator[tuple[Pairs, Pairs, int]]:
        stretch = stretch_of(case, plane, number)
        known = list(changes.values())[:1] if "play-for-all" in faults else []
        if stretch in changes:
            known = [changes[stretch]]
        lays_on = "lays-on" in faults
        if left <= base.cover and not (lays_on and base.cover + changes.get(stretch, 0) < left):
            altered = tuple(sorted((s, c) for s, c in changes.items() if c))
            if left >= base.min_end:
                yield odds, altered, left
            elif "odd-may-be-last" in faults and left in case.odd_widths and len(odds) < most:
                yield (*odds, (number, left)), altered, left
        if left > base.cover or lays_on:
            for change in known or sizes:
                width = base.cover + change
                if width < left:
                    onward = {**changes, stretch: change}
                    yield from lay(left - width, number + step, odds, onward)
        if len(odds) < most:
            for width in case.odd_widths:
                if width < left and may_be_odd(number, odds, left, width):
                    taken = width + ("odd-takes-change" in faults) * changes.get(stretch, 0)
                    if taken < left:
                        more = (*odds, (number, width))
                        yield from lay(left - taken, number + step, more, changes)

    yield from lay(length, begin, (), {})


def layings(case: OddCase, plane: int, plain: bool = False) -> Iterator[Laying]:
    """Every legal way to lay a plane; `plain`: with nothing odd and no module changed."""
    width, line, base = case.plane(plane).width, case.lines[plane], case.base
    if case.seamless(plane):
        yield Laying(width)
        return
    if line is not None:
        most = case.odd_panels * (2 if "odd-per-run" in case.faults else 1)
        for odds, changes, first in run_choices(case, plane, line, -1, -1, plain):
            for more, others, _ in run_choices(case, plane, width - line, 1, 1, plain):
                if len(odds) + len(more) <= most:
                    both = tuple(sorted(odds + more))
                    yield Laying(first, both, tuple(sorted(changes + others)))
        return
    firsts = [f for f in oracle.whole_marks(base) if base.min_end <= f <= base.cover]
    for first in firsts:
        for odds, changes, _ in run_choices(case, plane, width - first, 2, 1, plain):
            yield Laying(first, odds, changes)
    if "odd-may-be-first" in case.faults and case.odd_panels and not plain:
        for first in case.odd_widths:
            if first < base.min_end:
                for odds, changes, _ in run_choices(case, plane, width - first, 2, 1, plain):
                    if len(odds) < case.odd_panels:
                        yield Laying(first, ((1, first), *odds), changes)
