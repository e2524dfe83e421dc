"""A layout: decisions only. What follows from them is the checker's to say.

Panels are numbered from the starting end: 1 is the first. On a plane laid both ways from a line
they are numbered from the line: 1, 2, … towards the high end, -1, -2, … towards the low end. A
*stretch* is what lies between two control lines: `remeasure` panels, the first stretch beginning
behind the first panel (on a plane laid both ways: at the line, stretches 1, 2, … and -1, -2, …).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Odd:
    """A panel of odd width: index of its plane, its number, its width (ticks)."""

    plane: int
    panel: int
    width: int


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """How much wider (+) or narrower (-) than the cover the full panels of a stretch are laid.

    Index of the plane, number of the stretch (from 1), ticks for each of its full panels.
    """

    plane: int
    stretch: int
    ticks: int


@dataclass(frozen=True, slots=True, order=True)
class Layout:
    """First panel width of every plane and the move of every penetration (ticks, case order).

    `moves` are signed: + is towards larger x. A plane that is a single panel has its own width as
    first width; so has a plane laid from a line that of the panel at its low end, which is a result
    and not a choice. `odds` and `changes` are sorted, and hold only what differs from the cover.
    """

    firsts: tuple[int, ...]
    moves: tuple[int, ...]
    odds: tuple[Odd, ...] = ()
    changes: tuple[Change, ...] = ()
