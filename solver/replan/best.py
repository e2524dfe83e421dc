"""The best of many ways to lay the rest of a plane, with the best moves of its pipes for each.

What a way is worth is tabulated as for a whole plane (`solver.tabling`), every penetration at its
own height, since seams may lean. A key is the tie order down to the distance moved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from solver.case import Penetration, needed2
from solver.clock import Clock
from solver.replan.row import Row
from solver.replan.ways import Way
from solver.shape.outline import strip_faults
from solver.tabling.cluster import ClusterTooHardError, best_choice
from solver.tabling.cluster_keys import make_choices
from solver.tabling.cluster_tree import best_by_tree
from solver.tabling.moves import plane_options
from solver.tabling.pattern import missed_centre, stock_units
from solver.tabling.phase import Grids, room2
from solver.tabling.profile import own_best, uneven_unit
from solver.tabling.runs import Runs, begins, runs_of
from solver.tabling.starts import Ticks
from solver.tabling.tables import (
    ALTERED,
    CENTRES,
    CHANGED,
    COST,
    DIST,
    LEVELS,
    MOVED,
    ODD,
    ODD_WIDTH,
    SHORT,
    START2,
    STOCK,
    UNEVEN,
    PenTable,
    move_rate,
    pen_table,
    shortfall2,
)

MOST_NODES = 20_000


@dataclass(frozen=True)
class Choice:
    """A way of the list by its place, the move of every penetration of the plane by its place in
    the case, and its key; `concerned` are the places of those that the key counts."""

    way: int
    moves: dict[int, int]
    key: tuple[int, ...]
    concerned: tuple[int, ...]


def best_choice_of(
    row: Row, ways: Sequence[Way], clock: Clock, *, lawful: bool = True
) -> Choice | None:
    """The best way; None where none obeys the rules. `lawful=False`: whatever states are forbidden.

    Raises:
        TimeoutError: the clock ran out.
    """
    if not ways:
        return None
    return _Search(row, ways, lawful).best(clock)


class _Search:
    def __init__(self, row: Row, ways: Sequence[Way], lawful: bool) -> None:
        self.row, self.ways, self.case, self.plane = row, ways, row.case, row.plane
        self.flat = replace(row.plane, lean=None)  # a way's seams are where they stand at a height
        self.count = len(ways)
        self.levels = np.zeros((len(LEVELS), self.count), dtype=np.int64)
        self.allowed = np.ones(self.count, dtype=bool)
        self._grids: dict[tuple[int, int], Grids] = {}
        self._pattern(lawful)
        self.opts, self.pairs = plane_options(self.case, self.plane)
        self.place = {o.pen: r for r, o in enumerate(self.opts)}
        self.tables: dict[int, PenTable] = {}
        self.moves = np.zeros((len(self.opts), self.count), dtype=np.int64)
        for r, o in enumerate(self.opts):
            pen = self.case.penetrations[o.pen]
            if not self._concerned(pen):
                continue
            table = pen_table(self._grid(pen), o)
            if not lawful:
                table = PenTable(
                    table.stay, np.ones(self.count, dtype=bool), table.states, table.move,
                    table.move_short, table.mirrored, table.may_stay,
                )
            self.tables[r] = table
            taken, self.moves[r], fine = own_best(self.case, o, table)
            self.levels += taken
            self.allowed &= fine

    # ------------------------------------------------------------------ what each way is worth

    def _pattern(self, lawful: bool) -> None:
        case, rates, levels = self.case, self.case.rates, self.levels
        front = self.row.front
        for f, way in enumerate(self.ways):
            first, last = self.row.ends(way)
            over = max(abs(first - last) - case.rules.uneven_free, 0)
            levels[UNEVEN, f] = over // uneven_unit(case)
            levels[ODD, f], levels[ALTERED, f] = len(way.odds), way.altered
            levels[ODD_WIDTH, f] = -sum(width for _, width in way.odds)
            seams = np.cumsum([front.eave, *way.widths])
            levels[START2, f] = sum(2 * int(seams[n - 1]) + width for n, width in way.odds)
            levels[CHANGED, f] = sum(abs(ticks) for _, ticks in way.changes)
        levels[COST] = (
            levels[UNEVEN] * rates.cents("uneven") + levels[ODD] * rates.cents("odd_panel")
            + levels[ALTERED] * rates.cents("play")
        )
        centres = [c for c in case.centres if c.plane == self.plane.id]
        if centres or rates.each["area"].given:
            whole = Grids(case, self.flat, *self._runs(0, None))
            for centre in centres:
                missed = missed_centre(whole, centre)
                levels[CENTRES] += missed
                levels[COST] += missed * rates.cents("off_centre")
                ahead = self.row.distance(centre.at) > front.eave
                if lawful and centre.must and ahead:  # what lies behind cannot be mended
                    self.allowed &= ~missed
            if rates.each["area"].given:
                stock = stock_units(whole)
                levels[STOCK] += stock
                levels[COST] += stock * rates.cents("area")
        if self.plane.outline is not None:
            self.allowed &= [self._pieces_fine(way) for way in self.ways]

    def _pieces_fine(self, way: Way) -> bool:
        """Whether the pieces of the panels still to be laid are wide and long enough."""
        at = [self.row.front.eave, *_sums(self.row.front.eave, way.widths), self.row.front.room]
        for near, far in pairwise(at):
            low, high = sorted((self._x(near), self._x(far)))
            if strip_faults(self.case, self.plane, low, high):
                return False
        return True

    def _x(self, distance: int) -> int:
        if self.plane.lay == "from":
            return (self.plane.start or 0) + self.row.front.sign * distance
        return self.plane.width - distance if self.plane.lay == "right-to-left" else distance

    def _concerned(self, pen: Penetration) -> bool:
        """Whether the rest can change anything for a penetration: not where it lies far behind."""
        panel = self.case.panel
        half = max(pen.outside, pen.base, pen.across) // 2 + max(panel.seam_back, panel.seam_fwd)
        half += panel.cover + (self.case.rules.remeasure + 1) * self.case.rules.cover_tol
        return self.row.distance(pen.x) + half >= self.row.front.measured(pen.y)

    def _runs(self, y: int, half: int | None) -> tuple[Ticks, Runs]:
        rows, firsts = [], []
        for way in self.ways:
            seams = self.row.seams(way, y) if half is None else self.row.near(way, y, half)
            firsts.append(seams[0])
            widths = [seams[0], *(b - a for a, b in pairwise(seams))]
            rows.append((begins(widths), len(widths)))
        return np.array(firsts, dtype=np.int64), runs_of(rows)

    def _grid(self, pen: Penetration) -> Grids:
        """The seams at a penetration's height. In a robust case their numbers count, so all are
        there; else those that can matter."""
        half = None if self.case.rules.robust else max(pen.base, pen.across)
        bound = -1 if half is None else -(-half // self.case.panel.cover) * self.case.panel.cover
        y = pen.y if self._leaning() else 0
        if (y, bound) not in self._grids:
            runs = self._runs(y, None if half is None else bound)
            self._grids[y, bound] = Grids(self.case, self.flat, *runs)
        return self._grids[y, bound]

    def _leaning(self) -> bool:
        other = self.row.other_front
        return self.row.front.slanted or (other is not None and other.slanted)

    # ------------------------------------------------------------------ which one is best

    def best(self, clock: Clock) -> Choice | None:
        settled: NDArray[np.bool_] = ~self._clashing_anywhere()
        ends = np.array([min(self.row.ends(way)) for way in self.ways], dtype=np.int64)
        while self.allowed.any():
            order = np.lexsort((
                self.levels[CHANGED], self.levels[START2], self.levels[ODD_WIDTH], -ends,
                *(self.levels[k] for k in range(DIST, -1, -1)),
            ))
            f = int(next(f for f in order if self.allowed[f]))
            if settled[f]:
                moves = {o.pen: int(self.moves[r, f]) for r, o in enumerate(self.opts)}
                key = tuple(int(n) for n in self.levels[: DIST + 1, f])
                return Choice(f, moves, key, tuple(self.opts[r].pen for r in self.tables))
            if clock.over():
                raise TimeoutError
            self._settle(f, clock)
            settled[f] = True
        return None

    def _tied(self) -> list[tuple[int, int, int]]:
        return [(self.place[p.a], self.place[p.b], p.least) for p in self.pairs]

    def _clashing_anywhere(self) -> NDArray[np.bool_]:
        clash = np.zeros(self.count, dtype=bool)
        for a, b, least in self._tied():
            clash |= self._near(a, b, least, slice(None))
        return clash

    def _near(self, a: int, b: int, least: int, f: slice | int) -> NDArray[np.bool_]:
        x = [self.case.penetrations[self.opts[r].pen].x for r in (a, b)]
        one, other = self.moves[a, f], self.moves[b, f]
        near: NDArray[np.bool_] = (np.abs(x[0] + one - x[1] - other) < least) & (
            (one != 0) | (other != 0)
        )
        return near

    def _settle(self, f: int, clock: Clock) -> None:
        """Solve every group of tied pipes in which two clash together."""
        tied = self._tied()
        groups: list[set[int]] = []
        for a, b, _ in tied:
            joined = {a, b}.union(*(g for g in groups if g & {a, b}))
            groups = [g for g in groups if not g & joined] + [joined]
        for group in groups:
            if any(a in group and self._near(a, b, least, f) for a, b, least in tied):
                rows = sorted(group)
                options = [self._options(r, f) for r in rows]
                picks = None
                if all(deltas.size for deltas, _ in options):
                    inside = {r: i for i, r in enumerate(rows)}
                    ties = [(inside[a], inside[b], least) for a, b, least in tied if a in group]
                    x = [self.case.penetrations[self.opts[r].pen].x for r in rows]
                    picks = _decide(options, x, ties, clock)
                if picks is None:
                    self.allowed[f] = False
                    return
                for r, (deltas, levels), k in zip(rows, options, picks, strict=True):
                    now = int(np.flatnonzero(deltas == self.moves[r, f])[0])
                    self.levels[:, f] += levels[:, k] - levels[:, now]
                    self.moves[r, f] = deltas[k]

    def _options(self, r: int, f: int) -> tuple[Ticks, Ticks]:
        """Every option of a pipe for one way: moves, and levels (levels, options)."""
        o = self.opts[r]
        pen = self.case.penetrations[o.pen]
        if r not in self.tables:
            return np.zeros(1, dtype=np.int64), np.zeros((len(LEVELS), 1), dtype=np.int64)
        grid = self._grid(pen).pick(slice(f, f + 1))
        room = room2(grid, pen, pen.x + o.deltas)[:, 0]
        fine = room >= needed2(pen, self.case.rules)
        fine[0] = self.tables[r].stay_allowed[f] and self.tables[r].may_stay
        levels = np.zeros((len(LEVELS), len(o.deltas)), dtype=np.int64)
        levels[COST, 1:] = move_rate(self.case, pen)
        levels[MOVED, 1:] = 1
        levels[SHORT] = shortfall2(self.case, pen, room)
        levels[DIST] = np.abs(o.deltas)
        levels[:, 0] = self.tables[r].stay[:, f]
        return o.deltas[fine], levels[:, fine]


def _decide(
    options: list[tuple[Ticks, Ticks]], x: list[int], ties: list[tuple[int, int, int]],
    clock: Clock,
) -> list[int] | None:
    choices, orders = make_choices(options, x, ties)
    try:
        picks = best_choice(choices, MOST_NODES)
    except ClusterTooHardError:
        decided, by_tree = best_by_tree(options, x, ties)
        if decided:
            return by_tree
        from solver.model.cluster_model import solve_cluster  # loads ortools: only when needed

        picks = solve_cluster(choices, clock)
    if picks is None:
        return None
    return [order[k] for order, k in zip(orders, picks, strict=True)]


def _sums(start: int, widths: Sequence[int]) -> list[int]:
    found = []
    for width in widths:
        start += width
        found.append(start)
    return found


