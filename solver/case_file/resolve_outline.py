"""From the corners of an outline as written to the outline that counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeVar

from solver.case_file.pitch import slope_length
from solver.case_parts import EdgeKind, Hole, Outline, Pitch

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Corner:
    """The corner of that `number` in the file (ticks); `kind` is the edge's that begins there.

    `said` is how the file writes it: (480, "20 ft").
    """

    number: int
    x: int
    y: int
    kind: EdgeKind | None
    said: str = ""

    @property
    def place(self) -> tuple[int, int]:
        """Where it is."""
        return self.x, self.y


@dataclass(frozen=True, slots=True)
class Shape:
    """What a plane looks like, on the slope; `outline` is None for a plain rectangle."""

    outline: Outline | None = None
    holes: tuple[Hole, ...] = ()


def opened(corners: Sequence[Corner]) -> list[Corner]:
    """The corners without a closing one that only repeats the first."""
    closes = len(corners) > 1 and corners[0].place == corners[-1].place
    return list(corners[:-1] if closes else corners)


def edges(corners: Sequence[T]) -> list[tuple[T, T]]:
    """Each corner with the next one, the last with the first."""
    return list(pairwise([*corners, *corners[:1]]))


def area2(corners: Sequence[Corner]) -> int:
    """Twice the area (ticks²), positive where the corners run counter-clockwise."""
    return sum(one.x * two.y - two.x * one.y for one, two in edges(corners))


def on_slope(corners: Sequence[Corner], pitch: Pitch) -> list[Corner]:
    """Corners given in plan as they are on the slope."""
    return [replace(corner, y=slope_length(pitch, corner.y)) for corner in corners]


def outline(corners: Sequence[Corner], around: EdgeKind | None = None) -> Outline:
    """The outline through these corners, counter-clockwise, each kind staying with its edge.

    An edge of no kind is `around`, else as it lies. Points in the middle of a straight edge of one
    kind are left out. The corners are those of a simple polygon.
    """
    turned = without_middles(with_kinds(corners, around))
    return Outline(
        tuple(corner.place for corner in turned),
        tuple(corner.kind or "wall" for corner in turned),
    )


def with_kinds(corners: Sequence[Corner], around: EdgeKind | None = None) -> list[Corner]:
    """The corners counter-clockwise from the same first one, with a kind each."""
    turned = list(corners)
    if area2(corners) < 0:
        back = [corners[0], *reversed(corners[1:])]
        kinds = [corner.kind for corner in reversed(corners)]
        turned = [replace(one, kind=kind) for one, kind in zip(back, kinds, strict=True)]
    return [
        replace(one, kind=one.kind or around or _as_it_lies(one, two)) for one, two in edges(turned)
    ]


def _as_it_lies(one: Corner, two: Corner) -> EdgeKind:
    """What an edge is, taken from where it lies, with the roof on its left."""
    if one.y == two.y:
        return "eave" if two.x > one.x else "ridge"
    if one.x == two.x:
        return "rake"
    return "valley" if two.x > one.x else "hip"


def without_middles(corners: Sequence[Corner]) -> list[Corner]:
    """The corners without those in the middle of a straight edge of one kind."""
    return [
        here
        for before, here, after in zip(
            [*corners[-1:], *corners[:-1]], corners, [*corners[1:], *corners[:1]], strict=True
        )
        if before.kind != here.kind or bend(before, here, after) != 0
    ]


def bend(before: Corner, here: Corner, after: Corner) -> int:
    """0 where three corners are on one line, positive for a turn to the left."""
    first = (here.x - before.x, here.y - before.y)
    then = (after.x - here.x, after.y - here.y)
    return first[0] * then[1] - first[1] * then[0]
