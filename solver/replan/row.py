"""All seams of a plane under way: those laid, those a way would add, those of the other run.

Distances are counted from the plane's *zero*: the starting end, or the low end of a plane laid both
ways from a line. Ticks.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise

from solver.case import Case, Plane
from solver.layout import Layout, Odd
from solver.replan.front import Front
from solver.replan.ways import Way


@dataclass(frozen=True)
class Row:
    """A plane with one run under way. `other` are the seams of its other run as they stand or are
    planned, as distances from the line by height (a front with its way, or plain distances)."""

    case: Case
    plane: Plane
    front: Front
    other: tuple[int, ...] = ()
    other_front: Front | None = None
    other_way: Way | None = None

    def _others(self, y: int) -> list[int]:
        if self.other_front is not None and self.other_way is not None:
            return run_at(self.other_front, self.other_way, y)
        return list(self.other)

    def seams(self, way: Way, y: int) -> list[int]:
        """Every seam at height `y`, as increasing distances from zero."""
        own = run_at(self.front, way, y)
        if self.plane.lay != "from":
            return own
        start = self.plane.start or 0
        low, high = self._others(y), own
        if self.front.sign < 0:
            low, high = high, low
        return [*(start - d for d in reversed(low)), start, *(start + d for d in high)]

    def seams_x(self, way: Way, y: int) -> tuple[int, ...]:
        """Every seam at height `y` in increasing x."""
        found = self.seams(way, y)
        if self.plane.lay == "right-to-left":
            return tuple(self.plane.width - at for at in reversed(found))
        return tuple(found)

    def near(self, way: Way, y: int, half: int) -> list[int]:
        """The seams that can matter to what stands ahead of the front or within `half` of it."""
        at = self.front.measured(y)
        keep = at - half - 3 * self.case.panel.cover
        if self.plane.lay != "from":
            return [d for d in self.seams(way, y) if d >= keep]
        start = self.plane.start or 0
        if self.front.sign < 0:
            return [d for d in self.seams(way, y) if start - d >= keep]
        return [d for d in self.seams(way, y) if d - start >= keep]

    def distance(self, x: int) -> int:
        """How far along the run `x` is from where the laying starts; negative on the other run."""
        if self.plane.lay == "from":
            return (x - (self.plane.start or 0)) * self.front.sign
        return self.plane.width - x if self.plane.lay == "right-to-left" else x

    def ends(self, way: Way) -> tuple[int, int]:
        """Widths at the eave of the first and the last panel (low and high end from a line)."""
        found = self.seams(way, 0)
        return found[0], self.plane.width - found[-1]

    def widths(self, way: Way) -> dict[int, int]:
        """Widths at the eave of all panels but the last of each run, by number."""
        found: dict[int, int] = {}
        if self.plane.lay != "from":
            runs = [(1, run_at(self.front, way, 0))]
        else:
            sign = self.front.sign
            runs = [(sign, run_at(self.front, way, 0)), (-sign, self._others(0))]
        for sign, seams in runs:
            for number, (one, other) in enumerate(pairwise([0, *seams]), 1):
                found[sign * number] = other - one
        return found

    def layout(self, way: Way) -> tuple[int, tuple[Odd, ...]]:
        """The plane as the checker lays it: its first width, and every panel that is not as wide as
        the cover as an odd one."""
        widths = self.widths(way)
        first = self.ends(way)[0]
        cover = self.case.panel.cover
        skip = 1 if self.plane.lay != "from" else 0
        odds = [Odd(self.front.plane, n, w) for n, w in widths.items() if w != cover and n != skip]
        return first, tuple(sorted(odds))


def run_at(front: Front, way: Way, y: int) -> list[int]:
    """The seams of a run at height `y`, laid and to be laid, as distances from the start."""
    skew, tilt = front.skew(y), front.tilt
    ahead = enumerate(accumulate(way.widths, initial=front.eave), front.seam)
    return [*front.laid(y)[:-1], *(at + tilt.seam(number, y) + skew for number, at in ahead)]


def plan_way(layout: Layout, front: Front, seams: list[int]) -> Way:
    """The plan's own rest behind the front: its panels in their widths, laid from the last seam.

    `seams` are those of the whole run as planned.
    """
    numbers = range(front.seam + 1, len(seams) + 1)
    width_of = {k: seams[k - 1] - seams[k - 2] for k in numbers} if front.seam else {}
    odd = {abs(o.panel): o.width for o in layout.odds
           if o.plane == front.plane and o.panel * front.sign > 0}
    stretches = {
        one.stretch: one.ticks for one in layout.changes
        if one.plane == front.plane and one.ticks and one.stretch * front.sign > 0
    }
    odds = tuple((k - front.seam, odd[k]) for k in numbers if k in odd)
    altered = len(stretches) - front.altered
    changes = tuple(sorted((abs(s), t) for s, t in stretches.items()))
    return Way(odds, changes, tuple(width_of[k] for k in numbers), True, altered)
