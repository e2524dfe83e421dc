"""The closing stretch: how far a run may have drifted and still close with legal widths.

Common practice, no source: in the last 10 to 15 ft stop running square and work to the far rake.
Ticks throughout.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from solver.case import Case, Plane
from solver.shape.outline import strip_faults


@dataclass(frozen=True, slots=True)
class ToLay:
    """A panel still to be laid: from x `start` to `end`; `full`: it may be spread or squeezed."""

    start: int
    end: int
    full: bool

    @property
    def width(self) -> int:
        """What it is to cover."""
        return abs(self.end - self.start)


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Widths a full panel may be laid to (`least` to `most`), widths the last one may have, and how
    much more (`ahead`) or less (`behind`) than listed may be read; `play`: it counts play."""

    least: int
    most: int
    last_least: int
    last_most: int
    ahead: int
    behind: int
    play: bool


def tolerance(case: Case, plane: Plane, panels: Sequence[ToLay], top: int) -> Tolerance:
    """What the panels from a seam to the far end, in the order of laying, can take up.

    Each full panel may be laid up to the play (whole marks of play) wider or narrower than the
    cover, and the last takes what is left: between the least end width and a full panel. On a roof
    with an outline the panels are only shifted all together, a mark at a time, for as long as every
    piece of them is legal, so no play is counted in; nor is it where seams are fanned, which takes
    it. `top` is the width of the last panel at the ridge, which must be as legal.
    """
    rules, cover = case.rules, case.panel.cover
    last = panels[-1].width
    if plane.outline is not None:
        ahead, behind = (_shifts(case, plane, panels, way) for way in (1, -1))
        return Tolerance(cover, cover, last - ahead, last + behind, ahead, behind, False)
    fan = plane.lean is not None and plane.lean.fan
    play = rules.play // rules.play_mark * rules.play_mark if rules.play_mark and not fan else 0
    full = [panel.width for panel in panels[:-1] if panel.full]
    give = sum(width - (cover - play) for width in full)
    take = sum(cover + play - width for width in full)
    return Tolerance(
        cover - play, cover + play, rules.min_end, cover, min(last, top) - rules.min_end + give,
        cover - max(last, top) + take, bool(play and full),
    )


def _shifts(case: Case, plane: Plane, panels: Sequence[ToLay], ahead: int) -> int:
    """How far all seams of a closing stretch may go (ticks, whole marks): `ahead` is 1 towards the
    far end, -1 back. One panel more or less than listed is not looked at."""
    bounds = [*(panel.start for panel in panels), panels[-1].end]
    way = 1 if bounds[-1] > bounds[0] else -1
    gone = 0
    while True:
        by = way * ahead * (gone + case.mark)
        moved = [*(seam + by for seam in bounds[:-1]), bounds[-1]]
        if not case.mark <= way * (moved[-1] - moved[-2]) <= case.panel.cover:
            return gone
        if any(strip_faults(case, plane, min(pair), max(pair)) for pair in pairwise(moved)):
            return gone
        gone += case.mark
