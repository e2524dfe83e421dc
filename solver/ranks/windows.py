"""How far off the crew may start a plane before any penetration changes its state."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from solver.case import Case
from solver.layout import Layout
from solver.tabling.choices import is_legal
from solver.tabling.columns import column_of, column_runs, first_widths
from solver.tabling.curb_phase import curb_table
from solver.tabling.phase import Grids, pipe_states, room2
from solver.tabling.starts import least_end, legal_firsts, run_around, whole_marks


def start_windows(case: Case, layout: Layout) -> tuple[tuple[int, int], ...]:
    """For each plane the run of consecutive legal first widths (from, to; ticks) around the chosen.

    In it, moves, odd panels, modules and other planes as chosen, every penetration keeps its state,
    as many seams land on the walls of ribbed curbs, and the ends stay legal. Links and centres are
    left out. A plane laid from a line has no choice of it.
    """
    return tuple(_window(case, i, layout) for i in range(len(case.planes)))


def _window(case: Case, number: int, layout: Layout) -> tuple[int, int]:
    column, plane = column_of(layout, number), case.planes[number]
    if plane.lay == "from" and plane.width > case.panel.cover:
        return column.first, column.first
    if not column.odds and not column.changes:
        grids = Grids(case, plane, legal_firsts(case, plane))
    else:
        marks = whole_marks(case, least_end(case, plane))
        tried = [replace(column, first=int(w)) for w in marks]
        legal = [one for one in tried if is_legal(case, plane, one)]
        grids = Grids(case, plane, first_widths(legal), column_runs(case, plane, legal))
    chosen = int(np.searchsorted(grids.firsts, column.first))
    same = np.ones(len(grids.firsts), dtype=bool)
    for i in case.on(plane.id):
        pen = case.penetrations[i]
        if pen.kind == "curb":
            table = curb_table(grids, pen)
            states = table.states
            same &= table.unlanded == table.unlanded[chosen]
        else:
            x = np.array([pen.x + layout.moves[i]], dtype=np.int64)
            states = pipe_states(case, pen, room2(grids, pen, x)[0])
        same &= states == states[chosen]
    return run_around(case, grids.firsts, chosen, same)
