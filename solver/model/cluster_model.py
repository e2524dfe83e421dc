"""A group of pipes in each other's way as a CP-SAT model, for groups too dense for branching."""

from __future__ import annotations

from collections.abc import Sequence

from ortools.sat.python import cp_model

from solver.clock import Clock
from solver.model.run import minimize_in_order
from solver.model.variables import Expr
from solver.tabling.cluster import Choice

_CHUNK = 1 << 45


def solve_cluster(pipes: Sequence[Choice], clock: Clock) -> list[int] | None:
    """Option per pipe with the least sum of keys in which all fit; None if nothing fits.

    Keys are far longer than 64 bits, so they are cut into digits and minimized digit by digit; a
    digit's sum may carry into the one before it, which the model states.

    Raises:
        TimeoutError: the clock ran out first.
    """
    model = cp_model.CpModel()
    takes = [[model.new_bool_var("") for _ in pipe.keys] for pipe in pipes]
    for i, pipe in enumerate(pipes):
        model.add_exactly_one(takes[i])
        for j, fits in pipe.fits.items():
            for k, mask in enumerate(fits):
                fitting = [takes[j][m] for m in range(len(takes[j])) if mask >> m & 1]
                if len(fitting) < len(takes[j]):
                    model.add_bool_or([*fitting, ~takes[i][k]])
    watch = [take for row in takes for take in row]
    outcome = minimize_in_order(model, _digits(model, pipes, takes), watch, clock)
    if outcome.values is None or not outcome.proven:
        if outcome.infeasible:
            return None
        raise TimeoutError
    picks, at = [], 0
    for row in takes:
        picks.append(outcome.values[at : at + len(row)].index(1))
        at += len(row)
    return picks


def _digits(
    model: cp_model.CpModel, pipes: Sequence[Choice], takes: list[list[cp_model.IntVar]]
) -> list[Expr]:
    """The sum of keys as digits, most significant first, carries resolved."""
    longest = max(max(pipe.keys) for pipe in pipes) * len(pipes)
    digits: list[Expr] = []
    carry: Expr = 0
    place = 0
    while longest >> (45 * place):
        terms = [
            take * (key >> (45 * place) & (_CHUNK - 1))
            for pipe, row in zip(pipes, takes, strict=True)
            for key, take in zip(pipe.keys, row, strict=True)
        ]
        digit = model.new_int_var(0, _CHUNK - 1, "")
        up = model.new_int_var(0, len(pipes) + 1, "")
        model.add(sum(terms) + carry == digit + _CHUNK * up)
        digits.append(digit)
        carry = up
        place += 1
    return digits[::-1]
