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
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

import oracle
from highs_rules import (
    Flags,
    Ints,
    allowed_moves,
    curb_cost,
    first_widths,
    meeting,
    pipe_cost,
    pipe_states,
    too_near,
    uneven_cost,
)


class NotSolvedError(RuntimeError):
    """HiGHS ended without an optimum and without a proof that there is none."""


@dataclass
class _Rows:
    """A sparse model in the making: columns with costs, rows `low <= row <= high`."""

    cost: list[int] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    at: list[tuple[int, int]] = field(default_factory=list)
    value: list[int] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def column(self, cost: int, *, whole: bool) -> int:
        self.cost.append(cost)
        self.whole.append(int(whole))
        self.upper.append(1.0)
        return len(self.cost) - 1

    def row(self, low: float, high: float, plus: Any, minus: Any = ()) -> None:
        here = len(self.low)
        for sign, columns in ((1, plus), (-1, minus)):
            self.at += [(here, column) for column in columns]
            self.value += [sign] * len(columns)
        self.low.append(low)
        self.high.append(high)

    def one_of(self, columns: Any) -> None:
        self.row(1, 1, columns)

    def at_most(self, plus: Any, minus: Any = (), limit: int = 0) -> None:
        self.row(-np.inf, limit, plus, minus)


def _pipes(model: _Rows, case: oracle.Case, planes: list[Ints], starts: list[Ints]) -> None:
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
    _spacing(model, case, moves)


def _spacing(model: _Rows, case: oracle.Case, moves: dict[int, dict[int, int]]) -> None:
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


def build(document: Mapping[str, Any]) -> tuple[_Rows, bool]:
    """The model of a case, and whether every plane has a legal first width at all."""
    case = oracle.read(document)
    model = _Rows()
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
    """
    model, startable = build(document)
    if not startable:
        return None
    rows, columns = zip(*model.at, strict=True)
    matrix = csr_array(
        (np.array(model.value, dtype=float), (np.array(rows), np.array(columns))),
        shape=(len(model.low), len(model.cost)),
    )
    options: dict[str, Any] = {"mip_rel_gap": 0.0}
    if time_limit is not None:
        options["time_limit"] = time_limit
    answer = milp(
        c=np.array(model.cost, dtype=float),
        constraints=LinearConstraint(matrix, np.array(model.low), np.array(model.high)),
        integrality=np.array(model.whole),
        bounds=Bounds(np.zeros(len(model.cost)), np.array(model.upper)),
        options=options,
    )
    if answer.status == 2:
        return None
    if answer.status != 0:
        raise NotSolvedError(answer.message)
    cents: int = round(float(answer.fun))
    if abs(answer.fun - cents) > 1e-3:
        raise NotSolvedError(f"{answer.fun} is not a whole number of cents")
    return cents
