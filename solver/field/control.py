"""Control lines: chalked square up the slope, about equally far apart, at the marks of seams.

Common practice, no source: a line about every 10 ft, measured back to every three or four panels.
Distances in ticks, as the tape of the run reads them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.case import Penetration, Plane
from solver.field.eave import Spans, on_eave
from solver.field.parts import NoLine
from solver.result import JudgedPenetration


@dataclass(frozen=True, slots=True)
class Strip:
    """What no line may run through: from `low2` to `high2` along the eave (half ticks of x)."""

    name: str
    low2: int
    high2: int
    y_from: int
    y_to: int

    def holds(self, *xs: int) -> bool:
        """Whether a line runs through it that is at one of `xs` (ticks) where the strip begins up
        the slope and at the other where it ends; along its edge it does not."""
        return 2 * max(xs) > self.low2 and 2 * min(xs) < self.high2


def strips_of(
    plane: Plane, members: Sequence[tuple[Penetration, JudgedPenetration]]
) -> tuple[Strip, ...]:
    """The flashings of a plane's penetrations where they finally stand, and its holes."""
    found = []
    for pen, stands in members:
        wide, long = (pen.base, pen.base) if pen.kind == "pipe" else (pen.across, pen.along)
        found.append(Strip(pen.id, 2 * stands.x - wide, 2 * stands.x + wide,
                           max(pen.y - long // 2, 0), min(pen.y + long // 2, plane.length)))
    for hole in plane.holes:
        xs, ys = zip(*hole.outline.points, strict=True)
        found.append(Strip(hole.what, 2 * min(xs), 2 * max(xs), min(ys), max(ys)))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place a line may stand at: what the tape reads, its x at the eave, what it runs through."""

    at: int
    x: int
    through: tuple[str, ...]


def control_lines(
    marks: Sequence[Mark], every: int, spans: Spans
) -> tuple[dict[int, int], tuple[NoLine, ...]]:
    """The marks (by index, in the order of laying) that are control lines, and where none is.

    For each whole multiple of `every` the nearest mark that is clear of all strips and stands on
    the eave, at most half of `every` away; of two equally near the one nearer to the start. A mark
    is a line once only.
    """
    lines: list[int] = []
    none: list[NoLine] = []
    last = max((mark.at for mark in marks), default=0)
    for target in range(every, last + every // 2 + 1, every):
        near = [i for i, mark in enumerate(marks)
                if mark.at > 0 and 2 * abs(mark.at - target) <= every]
        near.sort(key=lambda i: (abs(marks[i].at - target), marks[i].at))
        clear = [
            i for i in near if on_eave(spans, marks[i].x) and not marks[i].through
        ]
        if clear:
            if clear[0] not in lines:
                lines.append(clear[0])
        elif near:
            standing = [i for i in near if on_eave(spans, marks[i].x)]
            about = dict.fromkeys(name for i in standing for name in marks[i].through)
            none.append(NoLine(target, tuple(about), bool(standing)))
    return {index: place + 1 for place, index in enumerate(sorted(lines))}, tuple(none)
