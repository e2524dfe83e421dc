"""Where tags stand so that none covers another: beside what they name, or on a leader."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import cos, floor, hypot, pi, sin
from typing import Final

Box = tuple[float, float, float, float]
"""x from, y from, x to, y to."""
XY = tuple[float, float]

_RINGS: Final = 40
_ANGLES: Final = [
    pi / 8 * ((step + 1) // 2 * (1 if step % 2 else -1)) + pi / 5 for step in range(16)
]
_TURNS: Final = [(cos(angle), sin(angle)) for angle in _ANGLES]
"""Sixteen ways from a thing, the way up and right first."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A tag that wants a place near `at`, off a thing `reach` large around it; its size."""

    at: XY
    reach: XY
    wide: float
    high: float


@dataclass(frozen=True, slots=True)
class Placed:
    """The box of a tag, and the leader to it from its thing; None where it stands close by."""

    box: Box
    leader: tuple[XY, XY] | None


class Occupied:
    """Boxes and leaders already on paper, looked up by place."""

    def __init__(self, cell: float) -> None:
        self._cell = cell
        self._boxes: dict[tuple[int, int], list[Box]] = {}
        self._lines: dict[tuple[int, int], list[tuple[XY, XY]]] = {}

    def add(self, box: Box) -> None:
        """Take a box."""
        for key in self._keys(box):
            self._boxes.setdefault(key, []).append(box)

    def add_line(self, line: tuple[XY, XY]) -> None:
        """Take a leader."""
        for key in self._keys(_around(line)):
            self._lines.setdefault(key, []).append(line)

    def free(self, box: Box, *, but: Box | None = None, lines: bool = True) -> bool:
        """Whether a box meets no box (except `but`) and, if `lines` count, no leader."""
        for key in self._keys(box):
            if any(other != but and _overlap(box, other) for other in self._boxes.get(key, ())):
                return False
            if lines and any(_runs_through(line, box) for line in self._lines.get(key, ())):
                return False
        return True

    def free_line(self, line: tuple[XY, XY], own: Box) -> bool:
        """Whether a leader runs through no box but `own` and crosses no leader."""
        for key in self._keys(_around(line)):
            if any(
                other != own and _runs_through(line, other) for other in self._boxes.get(key, ())
            ):
                return False
            if any(_cross(line, other) for other in self._lines.get(key, ())):
                return False
        return True

    def _keys(self, box: Box) -> Iterator[tuple[int, int]]:
        size = self._cell
        for column in range(floor(box[0] / size), floor(box[2] / size) + 1):
            for row in range(floor(box[1] / size), floor(box[3] / size) + 1):
                yield column, row


def place_all(
    wanted: Iterable[Wanted], occupied: Occupied, within: Box, gap: float
) -> list[Placed]:
    """A place for every tag, in their order: the nearest free one inside `within`.

    `occupied` holds, among others, the boxes of the things themselves (`thing_box`). Where nothing
    is free however far away, a tag stands beside its thing and covers something.
    """
    found = []
    for one in wanted:
        placed = _place(one, occupied, within, gap)
        occupied.add(placed.box)
        if placed.leader is not None:
            occupied.add_line(placed.leader)
        found.append(placed)
    return found


def thing_box(one: Wanted) -> Box:
    """The box of the thing a tag names."""
    (x, y), (across, up) = one.at, one.reach
    return x - across, y - up, x + across, y + up


def _place(one: Wanted, occupied: Occupied, within: Box, gap: float) -> Placed:
    own = thing_box(one)
    near = [box for box in _beside(one, gap) if _holds(within, box)]
    # close by only where nothing else is as close, so that nobody takes it for another's tag
    for box in near:
        if occupied.free(box) and occupied.free(_grown(box, 2.5 * gap), but=own):
            return Placed(box, None)
    for box in _rings(one, gap):
        if _holds(within, box) and occupied.free(box):
            leader = _leader(one, box)
            if occupied.free_line(leader, own):
                return Placed(box, leader)
    for lines in (True, False):
        for box in near:
            if occupied.free(box, lines=lines):
                return Placed(box, None)
        for box in _rings(one, gap):
            if _holds(within, box) and occupied.free(box, lines=lines):
                return Placed(box, _leader(one, box))
    return Placed(next(_beside(one, gap)), None)


def _beside(one: Wanted, gap: float) -> Iterator[Box]:
    """Boxes close to a thing: right, above, left, below, then at its corners."""
    (x, y), (across, up), wide, high = one.at, one.reach, one.wide, one.high
    for left, bottom in (
        (x + across + gap, y - high / 2), (x - wide / 2, y + up + gap),
        (x - across - gap - wide, y - high / 2), (x - wide / 2, y - up - gap - high),
        (x + across * 0.7 + gap, y + up * 0.7 + gap),
        (x - across * 0.7 - gap - wide, y + up * 0.7 + gap),
        (x + across * 0.7 + gap, y - up * 0.7 - gap - high),
        (x - across * 0.7 - gap - wide, y - up * 0.7 - gap - high),
    ):
        yield left, bottom, left + wide, bottom + high


def _rings(one: Wanted, gap: float) -> Iterator[Box]:
    """Boxes around a thing, ring by ring outwards."""
    (x, y), (across, up), wide, high = one.at, one.reach, one.wide, one.high
    for ring in range(1, _RINGS + 1):
        far = ring * high * 1.1
        for turn_x, turn_y in _TURNS:
            left = x + (across + gap + far + wide / 2) * turn_x - wide / 2
            bottom = y + (up + gap + far + high / 2) * turn_y - high / 2
            yield left, bottom, left + wide, bottom + high


def _leader(one: Wanted, box: Box) -> tuple[XY, XY]:
    """From the edge of the thing to the nearest point of the box."""
    (x, y), (across, up) = one.at, one.reach
    end = (min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3]))
    away = (end[0] - x, end[1] - y)
    size = hypot(*away) or 1.0
    radius = min(across, up)
    return (x + away[0] / size * radius, y + away[1] / size * radius), end


def _holds(within: Box, box: Box) -> bool:
    return (within[0] <= box[0] and box[2] <= within[2]
            and within[1] <= box[1] and box[3] <= within[3])


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _around(line: tuple[XY, XY]) -> Box:
    (x_1, y_1), (x_2, y_2) = line
    return min(x_1, x_2), min(y_1, y_2), max(x_1, x_2), max(y_1, y_2)


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _runs_through(line: tuple[XY, XY], box: Box) -> bool:
    """Whether a line has more than its end in a box (Liang and Barsky's clipping, from memory)."""
    (x_1, y_1), (x_2, y_2) = line
    low, high = 0.0, 1.0
    for start, delta, least, most in (
        (x_1, x_2 - x_1, box[0], box[2]), (y_1, y_2 - y_1, box[1], box[3])
    ):
        if delta == 0:
            if start <= least or start >= most:
                return False
            continue
        a, b = (least - start) / delta, (most - start) / delta
        low, high = max(low, min(a, b)), min(high, max(a, b))
    return high - low > 1e-9


def _cross(one: tuple[XY, XY], other: tuple[XY, XY]) -> bool:
    def side(line: tuple[XY, XY], at: XY) -> float:
        (x_1, y_1), (x_2, y_2) = line
        return (x_2 - x_1) * (at[1] - y_1) - (y_2 - y_1) * (at[0] - x_1)

    return (side(one, other[0]) * side(one, other[1]) < 0
            and side(other, one[0]) * side(other, one[1]) < 0)
