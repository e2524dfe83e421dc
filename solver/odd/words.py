"""Levels of the tie order packed into one whole number, so that numbers compare as levels do."""

from __future__ import annotations

import numpy as np

from solver.case import Case, Penetration, Plane
from solver.odd.grid import OddGrid
from solver.tabling.profile import uneven_unit
from solver.tabling.starts import Ticks
from solver.tabling.tables import (
    COST,
    CROSS,
    CROWD,
    CUT,
    LEVELS,
    MOVED,
    ODD,
    ON,
    TIGHTS,
    UNEVEN,
    move_rate,
)

NEVER = np.int64(1) << 61
"""The word of what is not allowed."""


class OddWords(OddGrid):
    """The grid of a plane with the weights of its levels, from the cost to the uneven ends.

    The true largest sums are the radixes. Where they do not all fit, the last counts are left out:
    then words compare as far as they go.
    """

    def __init__(self, case: Case, plane: Plane) -> None:
        super().__init__(case, plane)
        self._weights()

    def _weights(self) -> None:
        case = self.case
        pens = [case.penetrations[i] for i in self.pens]
        pipes = sum(pen.kind == "pipe" for pen in pens)
        curbs = [pen for pen in pens if pen.kind == "curb"]
        side = case.panel.seam_back + case.panel.seam_fwd
        least = min((self.cover, *self.widths.tolist()))
        cuts = sum((pen.across + 2 * side) // least + 2 for pen in curbs)
        movable = sum(pen.status != "fixed" for pen in pens)
        most = {
            ON: pipes, CUT: cuts, CROSS: pipes, TIGHTS: pipes, CROWD: len(curbs), MOVED: movable,
            ODD: self.slots, UNEVEN: self.cover // uneven_unit(case) + 1,
        }
        cents = case.rates.cents
        dearest = (
            pipes * max(cents(name) for name in
                        ("on_seam", "crosses", "tight", "move_planned", "move_stubbed"))
            + cuts * cents("seam_cut") + len(curbs) * cents("crowded")
            + self.slots * cents("odd_panel") + most[UNEVEN] * cents("uneven")
        )
        self.weight = np.zeros(len(LEVELS), dtype=np.int64)
        scales: list[tuple[int, int]] = []
        scale = 1
        kept = list(most)
        while True:
            scale, scales = 1, []
            for level in reversed(kept):
                scales.append((level, scale))
                scale *= most[level] + 1
            if scale * (dearest + 1) < 1 << 60 or not kept:
                break
            kept.pop()
        for level, own in scales:
            self.weight[level] = own
        self.weight[COST] = scale

    def word(self, levels: Ticks) -> Ticks:
        """Levels (levels, …) packed into words."""
        result: Ticks = np.tensordot(self.weight, levels, axes=1)
        return result

    def levels_of(self, words: Ticks) -> Ticks:
        """The levels (levels, …) that words hold; levels a word has no room for are 0."""
        levels = np.zeros((len(LEVELS), *words.shape), dtype=np.int64)
        rest = words
        for level in np.argsort(-self.weight, kind="stable"):
            if self.weight[level]:
                levels[level], rest = np.divmod(rest, self.weight[level])
        return levels

    def uneven_words(self, firsts: Ticks, lasts: Ticks) -> Ticks:
        """What uneven ends add."""
        over = np.maximum(np.abs(firsts - lasts) - self.case.rules.uneven_free, 0)
        count = over // uneven_unit(self.case)
        each = self.weight[UNEVEN] + self.weight[COST] * self.case.rates.cents("uneven")
        result: Ticks = count * each
        return result

    @property
    def odd_word(self) -> int:
        """What one odd panel adds by itself."""
        return int(self.weight[ODD] + self.weight[COST] * self.case.rates.cents("odd_panel"))

    def move_word(self, pen: Penetration) -> int:
        """What moving a pipe costs at least."""
        return int(self.weight[MOVED] + self.weight[COST] * move_rate(self.case, pen))

    def curb_word(self, pen: Penetration) -> int:
        """What a curb costs at least: the seams that must run into it wherever they stand."""
        reach = pen.across // 2 + min(self.case.panel.seam_back, self.case.panel.seam_fwd)
        u = self._from_start(pen.x)
        if u - reach < 0 or u + reach > self.plane.width:
            return 0
        cut = max(-(-2 * reach // self.cover) - 1, 0)
        each = self.weight[CUT] + self.weight[COST] * self.case.rates.cents("seam_cut")
        return int(cut * each)
