"""Every legal first width of every plane, and what it does to each penetration, to the last tick.

The figures are the checker's own, taken for one plane at a time: what a penetration is worth hangs
on the seams of its plane alone. Half ticks where a name ends in `2`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from solver.case import Case, Penetration, Plane, State
from solver.checker.centres import judge_centres
from solver.checker.laying import Laid, lay
from solver.checker.leaning import roof_at, seams_at, tops
from solver.checker.outlines import ends_beside
from solver.checker.stands import judge_penetration
from solver.checker.stands_grid import Grid, grid_of
from solver.findings.of_roof_answer import binding_seam
from solver.layout import Layout
from solver.page.pairs import Pair, near_pairs
from solver.result import Judged, JudgedPlane, Result
from solver.tabling.choices import is_legal
from solver.tabling.columns import column_of, column_runs, first_widths
from solver.tabling.pattern import stock_units
from solver.tabling.phase import Grids
from solver.tabling.runs import Column
from solver.tabling.starts import least_end, legal_firsts, whole_marks

STATE_CODES: Final[dict[State, int]] = {
    "clear": 0, "tight": 1, "crosses": 2, "on-seam": 3, "crowded": 4, "spans": 5,
}


@dataclass(frozen=True, slots=True)
class Track:
    """One penetration, moved by `move` (ticks), at every first width of a shape.

    `states` are STATE_CODES; `at_end` says where what a pipe on a seam meets is an end of the roof
    instead; `margins2` and `worst2` (after the worst shift) are None where no seam
    flanks a curb; `unlanded` counts the walls of a ribbed curb without a seam.
    """

    pen: int
    move: int
    states: tuple[int, ...]
    at_end: tuple[bool, ...]
    margins2: tuple[int | None, ...]
    worst2: tuple[int | None, ...]
    cut: tuple[int, ...]
    unlanded: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Hits:
    """One place where the pattern should sit: whether it does, at every first width of a shape."""

    centre: int
    hit: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """One way a plane's panels follow the first: odd panels and changes of module, kept at their
    numbers, and every first width (ticks, increasing) that is legal with them.

    `seams` are given for a plane laid from a line, which has no choice: in increasing x. `stock` is
    in the unit of the counts, all 0 where sheets are not charged. `tops` are the first and the last
    width (ticks) at the top of a plane that is laid out out of square.
    """

    odds: tuple[tuple[int, int], ...]
    changes: tuple[tuple[int, int], ...]
    firsts: tuple[int, ...]
    seams: tuple[int, ...] | None
    tracks: tuple[Track, ...]
    hits: tuple[Hits, ...]
    stock: tuple[int, ...]
    tops: tuple[tuple[int, int], ...] | None = None


@dataclass(frozen=True, slots=True)
class PageTables:
    """The shapes of every plane, in plane order; which of them a layout has; and which two
    penetrations, moved as listed, would stand too near each other."""

    shapes: tuple[tuple[Shape, ...], ...]
    pairs: tuple[Pair, ...]

    def shape_of(self, layout: Layout, plane: int) -> int:
        """The number of the shape that a tabulated layout has on a plane."""
        column = column_of(layout, plane)
        return next(
            n for n, shape in enumerate(self.shapes[plane])
            if (shape.odds, shape.changes) == (column.odds, column.changes)
        )


def page_layouts(result: Result) -> list[Judged]:
    """The layouts a page shows: the list, the usual one, the best as drawn."""
    others = [one for one in (result.usual, result.as_drawn) if one is not None]
    return [*(entry.judged for entry in result.layouts), *others]


def page_tables(result: Result) -> PageTables:
    """The tables of all layouts a page shows. Time: planes x first widths x penetrations."""
    case = result.case
    layouts = [judged.layout for judged in page_layouts(result)]
    shapes = tuple(_shapes(case, number, layouts) for number in range(len(case.planes)))
    moves = [
        tuple(dict.fromkeys(layout.moves[i] for layout in layouts if layout.moves[i]))
        for i in range(len(case.penetrations))
    ]
    return PageTables(shapes, near_pairs(case, moves))


def _shapes(case: Case, number: int, layouts: Sequence[Layout]) -> tuple[Shape, ...]:
    """Every way the listed layouts lay the plane, each with the moves they make on any."""
    plane = case.planes[number]
    columns = dict.fromkeys(
        replace(column_of(layout, number), first=0) for layout in layouts
    )
    found = []
    for bent in columns:
        own = [
            layout for layout in layouts
            if replace(column_of(layout, number), first=0) == bent
        ]
        firsts = _firsts(case, plane, number, bent, own)
        moves = {
            i: list(dict.fromkeys([0, *(layout.moves[i] for layout in own)]))
            for i in case.on(plane.id)
        }
        found.append(_shape(case, number, bent, firsts, moves))
    return tuple(found)


def _firsts(
    case: Case, plane: Plane, number: int, bent: Column, own: Sequence[Layout]
) -> tuple[int, ...]:
    if plane.width <= case.panel.cover:
        return (plane.width,)
    if plane.lay == "from":
        return tuple(sorted({layout.firsts[number] for layout in own}))
    if not bent.odds and not bent.changes:
        return tuple(int(first) for first in legal_firsts(case, plane))
    return tuple(
        int(first) for first in whole_marks(case, least_end(case, plane))
        if is_legal(case, plane, replace(bent, first=int(first)))
    )


def _shape(
    case: Case, number: int, bent: Column, firsts: tuple[int, ...], moves: dict[int, list[int]]
) -> Shape:
    plane = case.planes[number]
    odds, changes = dict(bent.odds), dict(bent.changes)
    laid = [lay(case, plane, first, odds, changes) for first in firsts]
    fan = plane.lean is not None and plane.lean.fan
    heights = dict.fromkeys(case.penetrations[i].y if fan else 0 for i in moves)
    grids = {
        y: [grid_of(case, plane, seams_at(plane, own.seams, y)) for own in laid] for y in heights
    }
    tracks = tuple(
        _track(case, plane, i, move, grids[pen.y if fan else 0], _ends(plane, pen))
        for i, each in moves.items() for pen in (case.penetrations[i],) for move in each
    )
    from_line = plane.lay == "from" and plane.width > case.panel.cover
    return Shape(
        bent.odds, bent.changes, firsts, laid[0].seams if from_line else None, tracks,
        _hits(case, plane, laid), _stock(case, plane, bent, firsts), _tops(plane, laid),
    )


def _tops(plane: Plane, laid: Sequence[Laid]) -> tuple[tuple[int, int], ...] | None:
    found = [tops(plane, own) for own in laid]
    pairs = [pair for pair in found if pair is not None]
    if not pairs:
        return None
    return tuple(pair[::-1] if plane.lay == "right-to-left" else pair for pair in pairs)


def _ends(plane: Plane, pen: Penetration) -> tuple[int, int]:
    if plane.lean is not None:
        return roof_at(plane, pen.y)
    beside = ends_beside(plane, pen.x, pen.y)
    assert beside is not None  # a case with a penetration off its plane is not loaded
    return beside


def _track(
    case: Case, plane: Plane, number: int, move: int, grids: Sequence[Grid], ends: tuple[int, int]
) -> Track:
    pen = case.penetrations[number]
    all_ = [judge_penetration(case, pen, move, grid, ends) for grid in grids]
    return Track(
        number, move,
        tuple(STATE_CODES[one.state] for one in all_),
        tuple(
            one.state == "on-seam" and binding_seam(
                case, plane, JudgedPlane(plane.id, 0, 0, len(grid.seams) + 1, grid.seams), pen, one
            ) is None
            for one, grid in zip(all_, grids, strict=True)
        ),
        tuple(one.margin2 for one in all_),
        tuple(one.worst_margin2 for one in all_),
        tuple(one.seams_cut for one in all_),
        tuple(one.landed.count(False) if one.landed else 0 for one in all_),
    )


def _hits(case: Case, plane: Plane, laid: Sequence[Laid]) -> tuple[Hits, ...]:
    here = [i for i, centre in enumerate(case.centres) if centre.plane == plane.id]
    if not here:
        return ()
    alone = replace(
        case, planes=(plane,), centres=tuple(case.centres[i] for i in here)
    )
    judged = [judge_centres(alone, [own]) for own in laid]
    return tuple(
        Hits(i, tuple(one[place].hit for one in judged)) for place, i in enumerate(here)
    )


def _stock(case: Case, plane: Plane, bent: Column, firsts: tuple[int, ...]) -> tuple[int, ...]:
    if not case.rates.each["area"].given:
        return (0,) * len(firsts)
    columns = [replace(bent, first=first) for first in firsts]
    plain = plane.width <= case.panel.cover or (
        plane.lay != "from" and not bent.odds and not bent.changes)
    runs = None if plain else column_runs(case, plane, columns)
    grids = Grids(case, plane, first_widths(columns), runs)
    return tuple(int(units) for units in np.asarray(stock_units(grids)))
