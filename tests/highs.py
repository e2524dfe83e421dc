"""The cheapest layout as a mixed-integer linear model, solved by SciPy's HiGHS.

A second opinion on the optimum cost by another method than the program's and the oracle's. Only the
reading of a document into exact integers is shared, with `oracle.read`; what a first width does to
a penetration is computed anew in `highs_rules`.

The model, with binaries

- `a[p, f]`: plane p begins with its legal first width f; one f per plane,
- `z[i, m]`: pipe i moves by m (0: it stays); one m per pipe,

and continuous `s` for what a pipe that stays is charged, `miss` for linked planes that do not meet:

- a move needs a first width that makes it clear: `z[i, m] <= sum of a[p, f] with (i, m) clear`,
- a pipe that stays pays its state: for each cost level c of pipe i, with F the first widths at
  which it would pay c, and M the moves that are clear somewhere in F:
  `s[i, c] >= sum over F of a[p, f] - sum over M of z[i, m]`,
- a forbidden state: `z[i, 0] + sum of a[p, f] with i forbidden at f <= 1`,
- spacing: `z[i, m] + sum of z[j, n] that come too near <= 1`,
- a link: `a[p, f] <= sum of a[q, g] that meet f + miss` (without `miss` where it is a must).

Cases with odd panels, or planes laid from a line, have a model of their own: `highs_odd`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

import highs_odd
import oracle
from highs_moves import add_spacing
from highs_rows import NotSolvedError, Rows
from highs_rules import (
    Flags,
    Ints,
    allowed_moves,
    curb_cost,
    first_widths,
    meeting,
    pipe_cost,
    pipe_states,
    uneven_cost,
)

__all__ = ["NotSolvedError", "build", "optimum_cents"]


def _pipes(model: Rows, case: oracle.Case, planes: list[Ints], starts: list[Ints]) -> None:
    """Rows of movable pipes; what cannot move is charged to its plane's first widths."""
    moves: dict[int, dict[int, int]] = {}  # pipe -> move -> column
    for i, pen in enumerate(case.pens):
        firsts, a = planes[pen.plane], starts[pen.plane]
        options = allowed_moves(case, pen)
        price = pipe_cost if pen.pipe else curb_cost
        cents, barred = price(case, pen, firsts)
        if not options:
            for column, extra, no in zip(a, cents, barred, strict=True):
                model.cost[column] += int(extra)
                if no:
                    model.upper[column] = 0.0
            moves[i] = {}
            continue
        stay = model.column(0, whole=True)
        moves[i] = {0: stay}
        clear: dict[int, Flags] = {}
        for move in options:
            clear[move] = pipe_states(case, pen, firsts, move) == 0
            moves[i][move] = model.column(case.cents["move_" + pen.status], whole=True)
            model.at_most([moves[i][move]], a[clear[move]])
        model.one_of(list(moves[i].values()))
        if barred.any():
            model.at_most([stay, *a[barred]], limit=1)
        for level in np.unique(cents[cents > 0]):
            pays = cents == level
            gone = [moves[i][move] for move in options if (clear[move] & pays).any()]
            model.at_most(a[pays], [*gone, model.column(int(level), whole=False)])
    add_spacing(model, case, moves)


def build(document: Mapping[str, Any]) -> tuple[Rows, bool]:
    """The model of a case, and whether every plane has a legal first width at all."""
    case = oracle.read(document)
    model = Rows()
    planes = [first_widths(case, plane) for plane in case.planes]
    starts: list[Ints] = []
    for plane, firsts in zip(case.planes, planes, strict=True):
        ends = uneven_cost(case, plane, firsts)
        starts.append(np.array([model.column(int(c), whole=True) for c in ends], dtype=np.int64))
        if len(firsts):
            model.one_of(starts[-1])
    if not all(len(firsts) for firsts in planes):
        return model, False
    _pipes(model, case, planes, starts)
    for link in case.links:
        table = meeting(case, link, planes[link.one], planes[link.two])
        miss = [] if link.must else [model.column(case.cents["misaligned"], whole=False)]
        for k, column in enumerate(starts[link.one]):
            model.at_most([column], [*starts[link.two][table[k]], *miss])
    return model, True


def optimum_cents(document: Mapping[str, Any], *, time_limit: float | None = None) -> int | None:
    """The least total of any allowed layout in cents; None where no layout is allowed.

    `document` is a case in the shape of the case file, without a penetrations file. `time_limit` in
    seconds, None for none.

    Raises:
        NotSolvedError: HiGHS stopped before it had a proof, or its answer is not a whole number.
        NotCoveredError: the model for odd panels does not cover a rule of the case.
    """
    if highs_odd.bends(document):
        return highs_odd.optimum_cents(document, time_limit=time_limit)
    model, startable = build(document)
    if not startable:
        return None
    return model.least(time_limit)
