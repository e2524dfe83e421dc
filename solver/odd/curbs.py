"""Curbs with one odd panel near them, exactly: what a full-panel charge has to be mended by.

A curb hangs on all seams around it. As long as one odd panel alone stands within its window, the
seams are full panels up to it and full panels behind it, so its state is known from where that
panel begins and how wide it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solver.case import Penetration
from solver.odd.grid import OddGrid
from solver.tabling.curb_phase import CROWDED, CURB_CODE, curb_table
from solver.tabling.phase import Grids
from solver.tabling.runs import FAR, Runs
from solver.tabling.starts import Ticks
from solver.tabling.tables import forbidden

NO_WAY = np.int64(1) << 58
"""Added where a curb would be in a forbidden state: more than any word, and it can be added up."""


@dataclass(frozen=True)
class CurbCharge:
    """A curb as it is charged: for each residue in full panels (`full`), in an odd panel (`odd`).

    `u` is its distance from the start, `window` where seams matter to it (ticks); `cut` and
    `crowded` are the words of one seam cut and of being crowded, `short` its shortfall in full
    panels.
    """

    pen: Penetration
    u: int
    window: tuple[int, int]
    full: Ticks
    odd: int
    cut: int
    crowded: int
    short: Ticks


@dataclass(frozen=True)
class Mends:
    """What to add to the charges where an odd panel begins at one of `places`, (places, widths):
    words and shortfalls (half ticks)."""

    places: Ticks
    words: Ticks
    shorts: Ticks

    def of(self, places: Ticks) -> Ticks:
        """The words for any places; 0 where nothing is to mend."""
        return self._rows(self.words, places)

    def both(self, places: Ticks, width: Ticks) -> tuple[Ticks, Ticks]:
        """Words and shortfalls for pairs of a place and a width number."""
        if not len(self.places):
            return np.zeros(len(places), dtype=np.int64), np.zeros(len(places), dtype=np.int64)
        row = np.minimum(np.searchsorted(self.places, places), len(self.places) - 1)
        hit = self.places[row] == places
        return np.where(hit, self.words[row, width], 0), np.where(hit, self.shorts[row, width], 0)

    def _rows(self, table: Ticks, places: Ticks) -> Ticks:
        found = np.zeros((len(places), table.shape[1]), dtype=np.int64)
        if len(self.places):
            row = np.minimum(np.searchsorted(self.places, places), len(self.places) - 1)
            hit = self.places[row] == places
            found[hit] = table[row[hit]]
        return found


def mends(grid: OddGrid, curbs: Sequence[CurbCharge]) -> Mends:
    """The mends of all curbs of a plane."""
    near = np.zeros(len(grid.at), dtype=bool)
    widest = int(grid.widths.max(initial=0))
    for curb in curbs:
        low, high = curb.window
        near |= (grid.at <= high) & (grid.at + widest >= low)
    places = np.flatnonzero(near & grid.on_plane)
    words = np.zeros((len(places), len(grid.widths)), dtype=np.int64)
    shorts = np.zeros_like(words)
    for curb in curbs:
        low, high = curb.window
        s = grid.at[places][:, None]
        touched = (s <= high) & (s + grid.widths >= low)
        touched &= s + grid.widths < grid.plane.width
        row, width = np.nonzero(touched)
        if len(row):
            more_words, more_shorts = _mend(grid, curb, places[row], width)
            words[row, width] += more_words
            shorts[row, width] += more_shorts
    return Mends(places, words, shorts)


def _mend(
    grid: OddGrid, curb: CurbCharge, places: Ticks, width: Ticks
) -> tuple[Ticks, Ticks]:
    """The true word and shortfall of a curb beside one odd panel, less what it is charged."""
    cover, end = grid.cover, grid.plane.width
    s = grid.at[places]
    e = s + grid.widths[width]
    residue = grid.residue[places]
    first = np.where(grid.residues[residue] == 0, cover, grid.residues[residue])
    before = (s - first) // cover
    at = np.stack([first, s, e], axis=1)
    module = np.stack([np.full_like(s, cover), e - s, np.full_like(s, cover)], axis=1)
    number = np.stack([np.zeros_like(s), before, before + 1], axis=1)
    runs = Runs(np.where(at >= end, FAR, at), module, number, before + 2 + (end - e - 1) // cover)
    table = curb_table(Grids(grid.case, grid.plane, first, runs), curb.pen)
    true = table.cut * curb.cut + (table.states == CROWDED) * curb.crowded
    true = np.where(forbidden(table.states, CURB_CODE, curb.pen), NO_WAY, true)
    behind = grid.residue[np.minimum(places + grid.step[residue, width], len(grid.at) - 1)]
    charged = np.where(
        curb.u < s, curb.full[residue], np.where(curb.u < e, curb.odd, curb.full[behind])
    )
    counted = np.where(
        curb.u < s, curb.short[residue], np.where(curb.u < e, 0, curb.short[behind])
    )
    return true - charged, table.short2 - counted
