"""Which penetrations, moved as some layout lists them, would stand too near each other.

A move is always within its reach and off ends and keep-outs, whatever the first width; only the
distance to others hangs on whether these are moved as well. Exact integers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.case import Case, Penetration


@dataclass(frozen=True, slots=True)
class Pair:
    """Two penetrations (numbers) and their moves (ticks) that break the spacing together."""

    one: int
    one_move: int
    other: int
    other_move: int


def near_pairs(case: Case, moves: Sequence[tuple[int, ...]]) -> tuple[Pair, ...]:
    """All that break the spacing among the moves listed (none of them 0) and staying."""
    found = []
    for plane in case.planes:
        here = case.on(plane.id)
        for at, i in enumerate(here):
            for j in here[at + 1 :]:
                if not moves[i] and not moves[j]:
                    continue
                one, other = case.penetrations[i], case.penetrations[j]
                found += [
                    Pair(i, a, j, b)
                    for a in (0, *moves[i]) for b in (0, *moves[j])
                    if (a or b) and too_near(case, one, other, a, b)
                ]
    return tuple(found)


def too_near(case: Case, one: Penetration, other: Penetration, a: int, b: int) -> bool:
    """Whether two penetrations, moved by `a` and `b`, keep less than the spacing and are not at
    least as far apart as drawn: Euclidean on the slope, body to body."""
    radii2 = sum(pen.outside for pen in (one, other) if pen.kind == "pipe")
    asked = (radii2 + 2 * case.rules.spacing) ** 2
    across = sum(pen.across for pen in (one, other) if pen.kind == "curb")
    along = sum(pen.along for pen in (one, other) if pen.kind == "curb")
    up = max(0, 2 * abs(one.y - other.y) - along)

    def squared(apart: int) -> int:
        return max(0, 2 * abs(apart) - across) ** 2 + up**2

    now, drawn = squared(one.x + a - other.x - b), squared(one.x - other.x)
    return now < min(asked, drawn)
