"""A sparse mixed-integer linear model in the making, and its solution by SciPy's HiGHS."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from highs_rules import Flags, Ints


class NotSolvedError(RuntimeError):
    """HiGHS ended without an optimum and without a proof that there is none."""


class Rows:
    """Columns between 0 and `upper` with costs; rows `low <= row <= high` of entries 1 and -1."""

    def __init__(self) -> None:
        self.cost: list[int] = []
        self.whole: list[int] = []
        self.upper: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []
        self._entries: list[tuple[Ints, Ints, int]] = []  # rows, columns, 1 or -1

    def column(self, cost: int, *, whole: bool) -> int:
        """One more column; its number."""
        return int(self.columns(np.array([cost], dtype=np.int64), whole=whole)[0])

    def columns(
        self, costs: Ints, *, whole: bool | Flags, barred: Flags | None = None
    ) -> Ints:
        """More columns; their numbers. What is `barred` must stay 0."""
        begin = len(self.cost)
        self.cost += costs.tolist()
        self.whole += np.broadcast_to(np.asarray(whole, dtype=int), len(costs)).tolist()
        self.upper += [1.0] * len(costs) if barred is None else np.where(barred, 0.0, 1.0).tolist()
        return np.arange(begin, len(self.cost), dtype=np.int64)

    def row(self, low: float, high: float, plus: ArrayLike, minus: ArrayLike = ()) -> None:
        """The sum of some columns, less that of others, lies between two numbers."""
        for sign, columns in ((1, plus), (-1, minus)):
            numbers = np.asarray(columns, dtype=np.int64)
            self._entries.append((np.full(len(numbers), len(self.low)), numbers, sign))
        self.low.append(low)
        self.high.append(high)

    def one_of(self, columns: ArrayLike) -> None:
        """Exactly one of the columns is taken."""
        self.row(1, 1, columns)

    def at_most(self, plus: ArrayLike, minus: ArrayLike = (), limit: int = 0) -> None:
        """The sum of some columns, less that of others, is at most `limit`."""
        self.row(-np.inf, limit, plus, minus)

    def balance(self, nodes: int, columns: Ints, tails: Ints, heads: Ints) -> None:
        """What comes to a node leaves it; tails and heads of -1 are no node."""
        begin = len(self.low)
        for ends, sign in ((tails, -1), (heads, 1)):
            inner = ends >= 0
            self._entries.append((begin + ends[inner], columns[inner], sign))
        self.low += [0.0] * nodes
        self.high += [0.0] * nodes

    def least(self, time_limit: float | None) -> int | None:
        """The least cost, None where no choice is allowed. `time_limit` in seconds.

        Raises:
            NotSolvedError: HiGHS stopped before it had a proof, or its answer is no whole number.
        """
        matrix = csr_array(
            (
                np.concatenate([np.full(len(at), sign, float) for at, _, sign in self._entries]),
                (np.concatenate([rows for rows, _, _ in self._entries]),
                 np.concatenate([columns for _, columns, _ in self._entries])),
            ),
            shape=(len(self.low), len(self.cost)),
        )  # fmt: skip
        self._entries.clear()
        options: dict[str, Any] = {"mip_rel_gap": 0.0}
        if time_limit is not None:
            options["time_limit"] = time_limit
        answer = milp(
            c=np.array(self.cost, dtype=float),
            constraints=LinearConstraint(matrix, np.array(self.low), np.array(self.high)),
            integrality=np.array(self.whole),
            bounds=Bounds(np.zeros(len(self.cost)), np.array(self.upper)),
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
