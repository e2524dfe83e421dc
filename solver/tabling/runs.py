"""The seams of many layouts of one plane at once, where odd panels or play bend the plain grid.

A *run* is a row of panels of one module: it begins at a seam and ends where the next one begins. A
*column* is one choice for a plane: first width, odd panels, changes of module. Everything is seen
from the end the laying starts at (from the low end on a plane laid both ways), in ticks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solver.tabling.starts import Ticks

FAR = np.int64(1) << 60
"""Stands for "no seam there": larger than any distance on a roof."""


@dataclass(frozen=True)
class Column:
    """One choice for a plane.

    `odds` are (panel number, width), `changes` (stretch, ticks), both sorted, numbered as in
    `solver.layout`. `first` is the width of the panel at the starting end (low end on a plane laid
    both ways).
    """

    first: int
    odds: tuple[tuple[int, int], ...] = ()
    changes: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class Runs:
    """Runs of panels of many columns, arrays (columns, most runs), padded with `FAR`.

    `at`: the seam a run begins with; `module`: the width of its panels; `number`: how many seams
    stand before it. `count`: how many seams the column has.
    """

    at: Ticks
    module: Ticks
    number: Ticks
    count: Ticks

    def pick(self, columns: Ticks | slice) -> Runs:
        """The runs of some of the columns."""
        return Runs(self.at[columns], self.module[columns], self.number[columns],
                    self.count[columns])

    def upto(self, u: Ticks) -> Ticks:
        """How many seams stand at or before `u`; `u` is (…, columns) or broadcasts to it."""
        most = self.at.shape[1]
        found = np.zeros(np.broadcast_shapes(u.shape, self.count.shape), dtype=np.int64)
        for r in range(most):
            end = self.number[:, r + 1] if r + 1 < most else self.count
            inside = np.minimum(self.number[:, r] + (u - self.at[:, r]) // self.module[:, r] + 1,
                                end)
            found = np.where(u >= self.at[:, r], inside, found)
        return found

    def seam(self, number: Ticks) -> Ticks:
        """Where the seam of that number stands (0 is the first); any value if there is none."""
        found = self.at[:, 0] + number * self.module[:, 0]
        for r in range(1, self.at.shape[1]):
            there = self.at[:, r] + (number - self.number[:, r]) * self.module[:, r]
            found = np.where(number >= self.number[:, r], there, found)
        return found


def runs_of(rows: Sequence[tuple[list[tuple[int, int, int]], int]]) -> Runs:
    """Runs of columns, each given by its (seam, module, number) of every run and its seam count."""
    most = max((len(row) for row, _ in rows), default=1)
    most = max(most, 1)
    padded = np.array(
        [row + [(int(FAR), 1, count)] * (most - len(row)) for row, count in rows], dtype=np.int64
    ).reshape(len(rows), most, 3)
    count = np.array([count for _, count in rows], dtype=np.int64)
    return Runs(padded[:, :, 0], padded[:, :, 1], padded[:, :, 2], count)


def begins(widths: Sequence[int]) -> list[tuple[int, int, int]]:
    """(seam, module, number) of every run of one column: where panel after panel is as wide.

    `widths` are those of all panels but the last, from the starting end.
    """
    row: list[tuple[int, int, int]] = []
    at = 0
    for number, width in enumerate(widths):
        at += width
        following = widths[number + 1] if number + 1 < len(widths) else width
        if not row or (number > 0 and following != row[-1][1]):
            row.append((at, following, number))
    return row
