"""Running CP-SAT: one level of the tie order after another, every read gated in one place.

After UNKNOWN or INFEASIBLE the solver's values are garbage rather than an error, so nothing outside
this module calls `value`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.clock import Clock
from solver.errors import OffseamError
from solver.model.variables import Expr


class ModelFaultError(OffseamError, RuntimeError):
    """CP-SAT calls a model of ours malformed, or its answer contradicts itself."""


@dataclass(frozen=True)
class Outcome:
    """What minimizing level after level gave.

    `values` are the watched variables' values in the best solution, None if there is none.
    `first_bound` is the proven least value of the first level. `proven` says that every level was
    minimized to proof; `infeasible` that no solution exists.
    """

    values: list[int] | None
    first_bound: int | None
    proven: bool
    infeasible: bool


def minimize_in_order(
    model: cp_model.CpModel,
    levels: Sequence[Expr],
    watch: Sequence[cp_model.IntVar],
    clock: Clock,
    *,
    presolve: bool = True,
    workers: int = 1,
) -> Outcome:
    """Minimize `levels` one after the other, each fixed once proven, and report `watch`.

    The model is changed: proven levels stay in it as constraints. One worker is deterministic.
    """
    values: list[int] | None = None
    first_bound: int | None = None
    # A constant level needs no search, but a model without any other must still be solved once.
    todo = [level for level in levels if not isinstance(level, int)] or [0 * watch[0]]
    if levels and isinstance(levels[0], int):
        first_bound = levels[0]
    for level in todo:
        if clock.over():
            return Outcome(values, first_bound, False, False)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        solver.parameters.cp_model_presolve = presolve
        left = clock.left()
        if left is not None:
            solver.parameters.max_time_in_seconds = max(left, 0.01)
        model.clear_hints()  # type: ignore[no-untyped-call]
        if values is not None:
            for variable, value in zip(watch, values, strict=True):
                model.add_hint(variable, value)
        model.minimize(level)
        # CP-SAT's own handler would leave SIGINT at the system default afterwards.
        solver.parameters.catch_sigint_signal = False
        with clock.stopping(solver.stop_search):
            status = solver.solve(model)
        if status == cp_model.MODEL_INVALID:
            raise ModelFaultError(model.validate())
        if status == cp_model.INFEASIBLE:
            if values is not None:
                raise ModelFaultError("a level proven reachable has become infeasible")
            return Outcome(None, None, True, True)
        if first_bound is None:
            first_bound = round(solver.best_objective_bound)
        if status == cp_model.UNKNOWN:
            clock.note_early_end()
            return Outcome(values, first_bound, False, False)
        reached = round(solver.objective_value)
        values = [int(solver.value(variable)) for variable in watch]
        if status != cp_model.OPTIMAL:
            clock.note_early_end()
            return Outcome(values, first_bound, False, False)
        if round(solver.best_objective_bound) != reached:
            raise ModelFaultError("called optimal, but bound and cost differ")
        model.add(level == reached)
    return Outcome(values, first_bound, True, False)

