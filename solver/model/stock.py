"""Cutting stock in CP-SAT: how many of each kind of blank, and what stock lengths are cut into.

Blanks are chosen and cut in one model, so what shares a blank is decided by what it does to the
stock. A place in a stock length may hold any blank that is no longer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, gcd

from ortools.sat.python import cp_model

from solver.clock import Clock
from solver.model.run import ModelFaultError
from solver.model.stock_columns import Column, Linear, relaxed
from solver.model.variables import Expr
from solver.stock.kinds import Kind
from solver.stock.patterns import every_pattern, first_fit, greedy_kinds

Cutting = tuple[int, tuple[int, ...]]
"""A stock length and the lengths of the places in it, longest first."""

_FEW = 1500
"""Up to so many ways to cut stock all of them are in the model, and its proof is one for good."""
_WORK = 2.0
"""Search ends after so much work (CP-SAT's deterministic seconds), for the number of sheets after a
quarter of it: the plan then does not depend on how fast the machine is."""


@dataclass(frozen=True)
class Answer:
    """How many of each kind of blank, and the stock they are cut from (empty with coil).

    `length` is that of the stock or coil in ticks, `bound` what no plan goes below. `fewest`: none
    of that length has fewer sheets (blanks, with coil).
    """

    made: tuple[int, ...]
    cuttings: tuple[tuple[Cutting, int], ...]
    length: int
    bound: int
    fewest: bool


def best_plan(
    counts: Sequence[int],
    kinds: Sequence[Kind],
    stock: Sequence[int],
    clock: Clock,
    work: float = _WORK,
) -> Answer:
    """The least length of stock, or of coil where `stock` is empty; then the fewest sheets.

    Every count is at least 1, every kind no longer than the longest stock. There is always a plan,
    however little time there is.
    """
    if stock:
        return _from_stock(counts, kinds, sorted(stock), clock, work)
    return _from_coil(counts, kinds, clock, work)


def _from_coil(
    counts: Sequence[int], kinds: Sequence[Kind], clock: Clock, work: float
) -> Answer:
    start = greedy_kinds(counts, kinds, lambda kind: kind.length)
    model, made = _made_model(counts, kinds)
    length = cp_model.LinearExpr.weighted_sum(made, [kind.length for kind in kinds])
    for variable, value in zip(made, start, strict=True):
        model.add_hint(variable, value)
    share: dict[int, int] = {}
    for kind in kinds:  # twice what a cut takes at least
        for i in kind.of:
            share[i] = min(share.get(i, 2 * kind.length), 2 * kind.length // len(kind.of))
    least = ceil(sum(count * share[i] for i, count in enumerate(counts)) / 2)
    found = _two_levels(model, length, sum(made), made, clock, work, least)
    total = sum(n * kind.length for n, kind in zip(start, kinds, strict=True))
    if found.values is None or found.first > total:
        return Answer(tuple(start), (), total, max(least, found.bound), False)
    least = max(least, found.bound)
    fewest = found.second_done and found.first == least
    return Answer(tuple(found.values), (), found.first, least, fewest)


def _from_stock(
    counts: Sequence[int], kinds: Sequence[Kind], stock: Sequence[int], clock: Clock, work: float
) -> Answer:
    with clock.share(0.6):
        linear = relaxed(counts, kinds, stock, clock)
    step = gcd(*stock)
    least = ceil(linear.bound / step) * step
    starts = [_start(counts, kinds, stock, linear, rounded) for rounded in (True, False)]
    start_made, start_cuttings = min(
        starts, key=lambda s: (sum(each[0] for each in s[1]), len(s[1]))
    )
    every = _all_cuttings(counts, kinds, stock)
    cuttings = _distinct(
        every if every is not None else [_places(column, kinds) for column in linear.columns],
        [cutting for _, some in starts for cutting in some],
    )
    model, made = _made_model(counts, kinds)
    needed = sum(counts)
    taken = [model.new_int_var(0, needed, f"cutting{n}") for n in range(len(cuttings))]
    _places_suffice(model, kinds, made, cuttings, taken, needed)
    length = cp_model.LinearExpr.weighted_sum(taken, [capacity for capacity, _ in cuttings])
    model.add(length >= least)
    begun = Counter(start_cuttings)
    for variable, value in zip(made, start_made, strict=True):
        model.add_hint(variable, value)
    for variable, cutting in zip(taken, cuttings, strict=True):
        model.add_hint(variable, begun[cutting])
    found = _two_levels(model, length, sum(taken), [*made, *taken], clock, work, least)
    if every is not None:
        least = max(least, ceil(found.bound / step) * step)
    total = sum(capacity for capacity, _ in start_cuttings)
    if found.values is None or (found.first, found.second) > (total, len(start_cuttings)):
        answer, used = start_made, begun
        fewest = total == least and len(start_cuttings) * stock[-1] < total + stock[-1]
    else:
        answer = found.values[: len(kinds)]
        used = Counter(dict(zip(cuttings, found.values[len(kinds) :], strict=True)))
        total = found.first
        fewest = total == least and (
            (found.second_done and every is not None) or (found.second - 1) * stock[-1] < total
        )
    order = sorted(((c, n) for c, n in used.items() if n), reverse=True)
    return Answer(tuple(answer), tuple(order), total, least, fewest)


def _made_model(
    counts: Sequence[int], kinds: Sequence[Kind]
) -> tuple[cp_model.CpModel, list[cp_model.IntVar]]:
    """How many of each kind of blank are made: every cut exactly as often as it is wanted."""
    model = cp_model.CpModel()
    made = []
    of: list[list[Expr]] = [[] for _ in counts]
    for n, kind in enumerate(kinds):
        most = min(counts[i] // kind.of.count(i) for i in kind.of)
        variable = model.new_int_var(0, most, f"kind{n}")
        made.append(variable)
        for i in kind.of:
            of[i].append(variable)
    for count, some in zip(counts, of, strict=True):
        model.add(sum(some) == count)
    return model, made


def _places_suffice(
    model: cp_model.CpModel,
    kinds: Sequence[Kind],
    made: Sequence[cp_model.IntVar],
    cuttings: Sequence[Cutting],
    taken: Sequence[cp_model.IntVar],
    needed: int,
) -> None:
    """From the longest down: blanks so far find places that are long enough."""
    blanks: dict[int, list[Expr]] = {}
    for kind, variable in zip(kinds, made, strict=True):
        blanks.setdefault(kind.length, []).append(variable)
    places: dict[int, list[Expr]] = {}
    for (_, lengths), variable in zip(cuttings, taken, strict=True):
        for length, times in sorted(Counter(lengths).items()):
            places.setdefault(length, []).append(times * variable)
    most = needed * max(len(lengths) for _, lengths in cuttings)
    spare: Expr = 0
    for length in sorted({**blanks, **places}, reverse=True):
        left = model.new_int_var(0, most, f"spare{length}")
        model.add(left == spare + sum(places.get(length, [])) - sum(blanks.get(length, [])))
        spare = left


def _start(
    counts: Sequence[int], kinds: Sequence[Kind], stock: Sequence[int], linear: Linear,
    rounded: bool,
) -> tuple[list[int], list[Cutting]]:
    """A plan to begin with: the relaxation rounded down (if asked for), first fit for the rest."""
    left = list(counts)
    made = [0] * len(kinds)
    cuttings: list[Cutting] = []
    alone = {kind.of[0]: n for n, kind in enumerate(kinds) if kind.how == "alone"}
    for column, takes in zip(linear.columns, linear.takes, strict=True):
        for _ in range(int(takes + 1e-6) if rounded else 0):
            cuttings.append(_places(column, kinds))
            for n in column[1]:
                of = kinds[n].of
                wanted = [i for k, i in enumerate(of) if left[i] > of[:k].count(i)]
                if len(wanted) == len(of):
                    made[n] += 1
                elif wanted:  # a longer place does no harm
                    made[alone[wanted[0]]] += 1
                for i in wanted:
                    left[i] -= 1
    rest = greedy_kinds(left, kinds, lambda kind: kind.length)
    blanks = [kind.length for n, kind in zip(rest, kinds, strict=True) for _ in range(n)]
    cuttings += first_fit(blanks, stock)
    return [a + b for a, b in zip(made, rest, strict=True)], cuttings


def _places(column: Column, kinds: Sequence[Kind]) -> Cutting:
    return column[0], tuple(sorted((kinds[n].length for n in column[1]), reverse=True))


def _all_cuttings(
    counts: Sequence[int], kinds: Sequence[Kind], stock: Sequence[int]
) -> list[Cutting] | None:
    """Every cutting that could be needed, None where there are many."""
    most: dict[int, int] = {}
    for kind in kinds:
        times = min(counts[i] // kind.of.count(i) for i in kind.of)
        most[kind.length] = most.get(kind.length, 0) + times
    return every_pattern(list(most), list(most.values()), stock, _FEW)


def _distinct(*some: Sequence[Cutting]) -> list[Cutting]:
    return list(dict.fromkeys(cutting for each in some for cutting in each))


@dataclass(frozen=True)
class _Found:
    values: list[int] | None
    first: int
    second: int
    bound: int
    second_done: bool


def _two_levels(
    model: cp_model.CpModel,
    first: Expr,
    second: Expr,
    watch: Sequence[cp_model.IntVar],
    clock: Clock,
    work: float,
    least: int,
) -> _Found:
    """Minimize one expression, then the other where the first is at its least or as found.

    Every read of a value is here, behind the status. Unlike `minimize_in_order` this ends after so
    much work, not only with the clock.
    """
    values: list[int] | None = None
    at = [0, 0]
    bound, done = least, False
    for level, expression in enumerate((first, second)):
        if clock.over():
            break
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = work if level == 0 else work / 4
        solver.parameters.catch_sigint_signal = False
        left = clock.left()
        if left is not None:
            solver.parameters.max_time_in_seconds = max(left, 0.01)
        model.minimize(expression)
        with clock.stopping(solver.stop_search):
            status = solver.solve(model)
        if status in (cp_model.MODEL_INVALID, cp_model.INFEASIBLE):
            raise ModelFaultError(model.validate() or "a stock plan that exists was called none")
        if level == 0:
            bound = max(bound, round(solver.best_objective_bound))
        if status == cp_model.UNKNOWN:
            break
        values = [int(solver.value(variable)) for variable in watch]
        at = [int(solver.value(first)), int(solver.value(second))]
        done = status == cp_model.OPTIMAL
        if done and round(solver.best_objective_bound) != at[level]:
            raise ModelFaultError("called optimal, but bound and length differ")
        if level == 0:
            model.add(first == at[0])
            model.clear_hints()  # type: ignore[no-untyped-call]
            for variable, value in zip(watch, values, strict=True):
                model.add_hint(variable, value)
        elif not done:
            break
        if level == 0:
            done = False
    return _Found(values, at[0], at[1], bound, done)
