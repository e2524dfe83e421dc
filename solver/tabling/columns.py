"""What choices of a plane are to the tables: their seams, their own levels, layouts of them."""

from __future__ import annotations

import numpy as np

from solver.case import Case, Plane
from solver.layout import Change, Layout, Odd
from solver.tabling.choices import panels_of
from solver.tabling.runs import Column, Runs, begins, runs_of
from solver.tabling.starts import Ticks
from solver.tabling.tables import ALTERED, CHANGED, COST, LEVELS, ODD, ODD_WIDTH, START2


def column_runs(case: Case, plane: Plane, columns: list[Column]) -> Runs:
    """The seams of legal columns."""
    rows = []
    for column in columns:
        if plane.lay == "from" or column.changes:
            widths = panels_of(case, plane, column)
            assert widths is not None
            rows.append((begins(widths), len(widths)))
        else:
            rows.append(_odd_runs(case, plane, column))
    return runs_of(rows)


def _odd_runs(
    case: Case, plane: Plane, column: Column
) -> tuple[list[tuple[int, int, int]], int]:
    """Runs and number of seams of a column with nothing but odd panels, without laying each."""
    cover = case.panel.cover
    runs = []
    at, number = column.first, 0  # a seam, and how many stand before it
    for panel, width in column.odds:
        full = panel - 2 - number
        if full:
            runs.append((at, cover, number))
            at, number = at + full * cover, number + full
        runs.append((at, width, number))
        at, number = at + width, number + 1
    if not runs or at + cover < plane.width:
        runs.append((at, cover, number))
    return runs, number + 1 + (plane.width - at - 1) // cover


def first_widths(columns: list[Column]) -> Ticks:
    """The first widths of columns (ticks)."""
    return np.array([column.first for column in columns], dtype=np.int64)


def layout_from(columns: list[Column], moves: tuple[int, ...]) -> Layout:
    """The decisions of a column for every plane, and of moves."""
    return Layout(
        tuple(column.first for column in columns),
        moves,
        tuple(Odd(i, *odd) for i, column in enumerate(columns) for odd in column.odds),
        tuple(Change(i, *one) for i, column in enumerate(columns) for one in column.changes),
    )


def column_of(layout: Layout, plane: int) -> Column:
    """What a layout decides about the plane of that index."""
    return Column(
        layout.firsts[plane],
        tuple((odd.panel, odd.width) for odd in layout.odds if odd.plane == plane),
        tuple((one.stretch, one.ticks) for one in layout.changes if one.plane == plane),
    )


def own_levels(case: Case, plane: Plane, column: Column) -> Ticks:
    """What odd panels and changes of module are worth by themselves, level by level."""
    levels = np.zeros(len(LEVELS), dtype=np.int64)
    levels[ODD] = len(column.odds)
    levels[ALTERED] = len(column.changes)
    levels[COST] = (
        len(column.odds) * case.rates.cents("odd_panel")
        + len(column.changes) * case.rates.cents("play")
    )
    levels[ODD_WIDTH] = -sum(width for _, width in column.odds)
    levels[START2] = sum(abs(centre2) for centre2 in odd_centres2(case, plane, column, True))
    levels[CHANGED] = sum(abs(ticks) for _, ticks in column.changes)
    return levels


def odd_centres2(case: Case, plane: Plane, column: Column, from_start: bool) -> list[int]:
    """Centre lines of a column's odd panels in half ticks, as x or as seen from the start.

    On a plane laid both ways the start is the line, and what lies left of it is negative.
    """
    if plane.lay != "from" and not column.changes:
        runs, _ = _odd_runs(case, plane, column)
        at = {number + 2: seam for seam, _, number in runs}
        near2 = [2 * at[number] + width for number, width in column.odds]
        turned = plane.lay == "right-to-left" and not from_start
        return [2 * plane.width - n for n in near2] if turned else near2
    widths = panels_of(case, plane, column) or ()
    ends = np.concatenate([[0], np.cumsum(widths)]).astype(np.int64)
    both = plane.start if plane.lay == "from" else None
    line = 0 if both is None else int(np.searchsorted(ends, both))
    found = []
    for number, width in column.odds:
        # The panel's near edge: panel 1 begins at the start, -1 ends at the line.
        edge = number - 1 if both is None else line + number - (number > 0)
        centre2 = 2 * int(ends[edge]) + width
        if from_start:
            found.append(centre2 - 2 * (both or 0))
        else:
            found.append(2 * plane.width - centre2 if plane.lay == "right-to-left" else centre2)
    return found


def odd_clearance2(case: Case, plane: Plane, column: Column, x: Ticks) -> Ticks:
    """For each of `x` the least distance (half ticks) from the centre line of an odd panel."""
    centres2 = np.array(odd_centres2(case, plane, column, False), dtype=np.int64)
    result: Ticks = np.abs(2 * x[:, None] - centres2[None, :]).min(axis=1)
    return result
