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
    `levels` are the values of all levels there (less may do where it is not proven). `first_bound`
    is the proven least value of the first level. `proven` says that every level was minimized to
    proof; `infeasible` that no solution exists.
    """

    values: list[int] | None
    first_bound: int | None
    proven: bool
    infeasible: bool
    levels: tuple[int, ...] | None = None


def minimize_in_order(
    model: cp_model.CpModel,
    levels: Sequence[Expr],
    watch: Sequence[cp_model.IntVar],
    clock: Clock,
    *,
    presolve: bool = True,
    in_turns: bool = False,
    workers: int = 1,
) -> Outcome:
    """Minimize `levels` one after the other, each fixed once proven, and report `watch`.

    The model is changed: proven levels stay in it as constraints. One worker is deterministic.
    `in_turns`: two ways to search take turns at a level, for longer and longer. On models that are
    solved for many levels probing takes longer than it saves, as a rule; now and then it is the
    other way round by orders of magnitude.
    """
    values: list[int] | None = None
    found: tuple[int, ...] | None = None
    first_bound: int | None = None
    # A constant level needs no search, but a model without any other must still be solved once.
    todo = [i for i, level in enumerate(levels) if not isinstance(level, int)]
    if levels and isinstance(levels[0], int):
        first_bound = levels[0]
    for group in _groups(model, levels, todo):
        together = _packed(model, levels, group) if group else 0 * watch[0]
        if found is not None and all(found[i] == _span(model, levels[i])[0] for i in group):
            for i in group:
                model.add(levels[i] == found[i])  # it cannot be less: nothing to search for
            continue
        turn = 0
        while True:
            if clock.over():
                return Outcome(values, first_bound, False, False, found)
            solver = _solver(clock, presolve, workers, turn if in_turns else None)
            model.minimize(together)
            with clock.stopping(solver.stop_search):
                status = solver.solve(model)
            if status == cp_model.MODEL_INVALID:
                raise ModelFaultError(model.validate())
            if status == cp_model.INFEASIBLE:
                if values is not None:
                    raise ModelFaultError("what was found to have a layout has become infeasible")
                return Outcome(None, None, True, True)
            if group == [0]:
                bound = round(solver.best_objective_bound)
                first_bound = bound if first_bound is None else max(bound, first_bound)
            if status != cp_model.UNKNOWN:
                values = [int(solver.value(variable)) for variable in watch]
                found = tuple(int(solver.value(each)) for each in levels)
                _hint(model, solver)
            if status == cp_model.OPTIMAL:
                break
            if not in_turns or _was_cut_short(clock):
                clock.note_early_end()
                return Outcome(values, first_bound, False, False, found)
            turn += 1
        if round(solver.best_objective_bound) != round(solver.objective_value):
            raise ModelFaultError("called optimal, but bound and cost differ")
        assert found is not None
        for i in group:
            model.add(levels[i] == found[i])
    return Outcome(values, first_bound, True, False, found)


_FIRST_TURN = 2.0, 6000
"""What ends the first turn: so much work (CP-SAT's deterministic seconds), or so many conflicts.
Each next one may take twice that."""


def _solver(
    clock: Clock, presolve: bool, workers: int, turn: int | None
) -> cp_model.CpSolver:
    """A solver that heeds the clock; in turns, lean on even ones and thorough on odd ones."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.cp_model_presolve = presolve
    left = clock.left()
    if left is not None:
        solver.parameters.max_time_in_seconds = max(left, 0.01)
    if turn is not None:
        work, conflicts = _FIRST_TURN
        solver.parameters.max_deterministic_time = work * 2**turn
        solver.parameters.max_number_of_conflicts = conflicts * 2**turn
        if turn % 2 == 0:
            solver.parameters.cp_model_probing_level = 0
            solver.parameters.symmetry_level = 0
        else:
            solver.parameters.linearization_level = 2
    # CP-SAT's own handler would leave SIGINT at the system default afterwards.
    solver.parameters.catch_sigint_signal = False
    return solver


def _was_cut_short(clock: Clock) -> bool:
    """Whether a search ended for the clock's sake and not because its turn was over."""
    left = clock.left()
    return clock.over() or (left is not None and left < 0.02)


_TOGETHER = 100_000
"""Levels of small range are minimized together, as long as so many sets of values are possible."""


def _groups(model: cp_model.CpModel, levels: Sequence[Expr], todo: list[int]) -> list[list[int]]:
    """Numbers of levels to minimize at a time; the first level always stands alone."""
    groups: list[list[int]] = []
    size = _TOGETHER + 1
    for i in todo:
        least, most = _span(model, levels[i])
        size *= most - least + 1
        if size > _TOGETHER:
            groups.append([i])
            size = most - least + 1 if i else _TOGETHER + 1  # its bound must be known by itself
        else:
            groups[-1].append(i)
    return groups or [[]]


def _packed(model: cp_model.CpModel, levels: Sequence[Expr], group: list[int]) -> Expr:
    """Levels as one: each weighs more than all that those behind it can come to."""
    whole: Expr = 0
    for i in group:
        least, most = _span(model, levels[i])
        whole = whole * (most - least + 1) + (levels[i] - least) if len(group) > 1 else levels[i]
    return whole


def _span(model: cp_model.CpModel, level: Expr) -> tuple[int, int]:
    """The least and the most that the domains of its variables let a level be."""
    if isinstance(level, int):
        return level, level
    flat = cp_model.FlatIntExpr(level)
    least = most = int(flat.offset)
    for variable, times in zip(flat.vars, flat.coeffs, strict=True):
        domain = list(model.proto.variables[variable.index].domain)  # it reads no domain[-1]
        ends = times * domain[0], times * domain[-1]
        least, most = least + min(ends), most + max(ends)
    return least, most


def _hint(model: cp_model.CpModel, solver: cp_model.CpSolver) -> None:
    """Begin the next search with the solution just found, every variable of it."""
    model.clear_hints()  # type: ignore[no-untyped-call]
    solution = list(solver.response_proto.solution)
    model.proto.solution_hint.vars.extend(range(len(solution)))
    model.proto.solution_hint.values.extend(solution)
