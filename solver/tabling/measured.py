"""What knowing one position exactly would be worth: its terms, for however it is worked out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from solver.case import Penetration

POSITIONS: Final = 16
"""How many true positions stand for the range, each in the middle of its share."""


@dataclass(frozen=True, slots=True)
class Gain:
    """What measuring one penetration again is worth.

    `now` is the expected cost of the first layout over the true positions of this one, `gain` what
    knowing the position would lower that by (cents, halves up). `other` of `of` positions ask for
    another choice than the first layout.
    """

    id: str
    plane: str
    x_tol: int
    now: int
    gain: int
    other: int
    of: int


@dataclass(frozen=True, slots=True)
class Gains:
    """Penetrations whose measuring is worth something, the most first; ties in case order.

    `looked` of `uncertain` were worked out: fewer where time ended it. `possible` is False where
    the planes hang together by so many links that this is not worked out at all.
    """

    gains: tuple[Gain, ...]
    looked: int
    uncertain: int
    possible: bool = True


def true_positions(pen: Penetration) -> list[int]:
    """The middles of `POSITIONS` equal shares of where a penetration may really be (ticks)."""
    return [
        pen.x + (pen.x_tol * (2 * k + 1 - POSITIONS) * 2 + POSITIONS) // (2 * POSITIONS)
        for k in range(POSITIONS)
    ]


def worth(pen: Penetration, keep: list[int], best: list[int]) -> tuple[int, Gain]:
    """What knowing a position spares: cents at each place, with the first layout and anew."""
    spared = sum(keep) - sum(best)
    other = sum(b < k for b, k in zip(best, keep, strict=True))
    return spared, Gain(
        pen.id, pen.plane, pen.x_tol, _rounded(sum(keep)), _rounded(spared), other, POSITIONS
    )


def _rounded(total: int) -> int:
    return (2 * total + POSITIONS) // (2 * POSITIONS)
