"""A case as drawn: nothing may move but what is agreed, and that has already been carried out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from solver.case import Case, Freeze, Penetration
from solver.clock import Clock
from solver.errors import DisagreementError
from solver.ranks.assemble import make_roof
from solver.ranks.ranking import choose_combiner
from solver.tabling.choices import plain_columns
from solver.tabling.profile import Profile, build_profile
from solver.tabling.starts import Ticks

NOT_CLEAR: Final = ("tight", "crosses", "on-seam")


def agreed_moves(case: Case) -> dict[str, int]:
    """Moves that are agreed and not nothing, by id (ticks)."""
    return {name: move for name, move in case.freeze.moves if move}


def agreed_cents(case: Case) -> int:
    """What the agreed moves cost; moving what cannot move has no rate."""
    rate = {"planned": "move_planned", "stubbed": "move_stubbed"}
    return sum(
        case.rates.cents(rate[pen.status])
        for pen in case.penetrations
        if pen.id in agreed_moves(case) and pen.kind == "pipe" and pen.status in rate
    )


def held_case(case: Case) -> Case:
    """The case with agreed moves carried out and everything fixed where it then stands.

    A pipe that has been moved must be clear, as after any move.
    """
    moves = agreed_moves(case)
    penetrations = tuple(
        set_to(pen, pen.x + moves[pen.id]) if pen.id in moves else fixed(pen)
        for pen in case.penetrations
    )
    return replace(
        case, penetrations=penetrations, freeze=Freeze(case.freeze.firsts, ()), covers=()
    )


def fixed(pen: Penetration) -> Penetration:
    """The same penetration, not to be moved."""
    return replace(pen, status="fixed", reach_low=0, reach_high=0, min_offset=0, makeable=None)


def set_to(pen: Penetration, x: int) -> Penetration:
    """A penetration that has been moved to `x` (ticks): a pipe must be clear there."""
    barred = tuple(dict.fromkeys((*pen.forbid, *NOT_CLEAR))) if pen.kind == "pipe" else pen.forbid
    return replace(fixed(pen), x=x, forbid=barred)


@dataclass(frozen=True)
class Best:
    """The best first widths with nothing moved (ticks, plane order) and their total in cents."""

    firsts: tuple[int, ...]
    total: int


def profiles_of(case: Case) -> list[Profile] | None:
    """The profiles of a case, every panel but the ends as wide as the cover; None where a plane has
    no legal start."""
    if not all(plain_columns(case, plane) for plane in case.planes):
        return None
    return [build_profile(case, plane) for plane in case.planes]


def best_held(case: Case, profiles: list[Profile], clock: Clock) -> Best | None:
    """The best layout of a held case; None where nothing obeys the rules.

    Raises:
        TimeoutError: the clock ran out before it was proven.
    """
    roof = make_roof(case, profiles, drawn=True)
    found = choose_combiner(roof, clock).next([])
    if clock.over() and (found is None or not found.proven):
        raise TimeoutError
    if found is None:
        return None
    firsts = tuple(int(p.firsts[f]) for p, f in zip(profiles, found.picks, strict=True))
    return Best(firsts, found.bound)


def positions(case: Case) -> Ticks:
    """Where every penetration stands after the agreed moves (ticks, case order)."""
    moves = agreed_moves(case)
    return np.array([pen.x + moves.get(pen.id, 0) for pen in case.penetrations], dtype=np.int64)


def insist_same(found: int | None, claimed: int, what: str) -> None:
    """Hold a total solved again (cents) against the one the tables claim.

    Raises:
        DisagreementError: they differ.
    """
    if found != claimed:
        raise DisagreementError(
            f"The best layout with {what}: tables say {claimed} cents, solving it again says "
            f"{'there is none' if found is None else found}."
        )
