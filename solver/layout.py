"""A layout: decisions only. What follows from them is the checker's to say."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Layout:
    """First panel width of every plane and the move of every penetration (ticks, case order).

    `moves` are signed: + is towards larger x. A plane that is a single panel has its own width as
    first width.
    """

    firsts: tuple[int, ...]
    moves: tuple[int, ...]
