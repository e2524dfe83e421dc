"""What moved pipes keep from each other, as rows of a linear model: for `highs` and `highs_odd`."""

from __future__ import annotations

from collections.abc import Mapping

import oracle
from highs_rows import Rows
from highs_rules import too_near


def add_spacing(
    model: Rows, case: oracle.Case, moves: Mapping[int, Mapping[int, int]]
) -> None:
    """Of two pipes on a plane at most one takes a move that the other's forbids.

    `moves`: the column of each move (0: it stays) of each penetration, by index; none for one that
    cannot move.
    """
    for i, one in enumerate(case.pens):
        for j in range(len(case.pens)):
            other = case.pens[j]
            if i == j or one.plane != other.plane or not moves[i]:
                continue
            for m, column in moves[i].items():
                if not moves[j]:  # the other cannot move
                    if m and too_near(case, one, other, m):
                        model.upper[column] = 0.0
                elif i < j:
                    near = [
                        there for n, there in moves[j].items()
                        if (m or n) and too_near(case, one, other, m - n)
                    ]
                    if near:
                        model.at_most([column, *near], limit=1)
