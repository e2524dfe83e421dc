"""Paper and scale of a drawing: the largest usual scale at which a plane fits and can be read."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Final

from solver.drawing.parts import Scene
from solver.units import TICKS_PER_MM, Units

_INCH: Final = 25.4


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper lying on its side (mm)."""

    name: str
    wide: float
    high: float


PAPERS: Final[dict[Units, tuple[Paper, Paper]]] = {
    "in": (Paper("letter", 11 * _INCH, 8.5 * _INCH), Paper("11 x 17", 17 * _INCH, 11 * _INCH)),
    "mm": (Paper("A4", 297, 210), Paper("A3", 420, 297)),
}
"""ANSI/ASME Y14.1 sizes A and B; ISO 216 A4 and A3."""
SCALES: Final[dict[Units, tuple[tuple[int, str], ...]]] = {
    "in": (
        (4, '3" = 1\''), (8, '1 1/2" = 1\''), (12, '1" = 1\''), (16, '3/4" = 1\''),
        (24, '1/2" = 1\''), (32, '3/8" = 1\''), (48, '1/4" = 1\''), (64, '3/16" = 1\''),
        (96, '1/8" = 1\''), (128, '3/32" = 1\''), (192, '1/16" = 1\''), (384, '1/32" = 1\''),
    ),
    "mm": tuple(
        (n, f"1 : {n}") for n in (2, 5, 10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500)
    ),
}
"""The scales on an architect's scale rule, and those of ISO 5455 with the usual ones between."""
MARGIN: Final = 9.0
SIDES: Final = 15.0
"""Room left and right of the roof for the names of its ends (mm)."""
ABOVE: Final = 35.0
BELOW: Final = 27.0
"""What the dimensions above the roof and the grid below it take (mm)."""
TITLE: Final = 31.0
BUBBLE: Final = 3.3
"""Radius of a grid line's bubble (mm)."""
NO_GRID: Final = 9.0
"""What stands below a roof without grid lines."""
_HEAD_HIGH, _ROW_HIGH, _MOST_ROWS_HIGH = 24.0, 5.2, 76.0
"""Of the schedule: its head and notes, a row, and how much of a sheet it may ask for."""
_PAN: Final = 3.4
_ROOM_EACH, _ROOM_SHORT = 150.0, 350.0
"""A pan is drawn at least so wide (mm), and a penetration has at least so much roof (mm²)."""


@dataclass(frozen=True, slots=True)
class Setting:
    """How a plane is put on paper: one roof length is `scale` times that on paper; `stretches` of
    the eave (ticks from, to), one a sheet."""

    paper: Paper
    scale: int
    says: str
    stretches: tuple[tuple[int, int], ...]

    def ticks(self, mm: float) -> float:
        """A length on paper (mm) as one on the roof."""
        return mm * TICKS_PER_MM * self.scale


def setting_for(scene: Scene, cover: int, units: Units) -> Setting:
    """Paper and scale: one small sheet where everything can be read on it, else one large sheet,
    else several large sheets with match lines."""
    small, large = PAPERS[units]
    for paper in (small, large):
        for scale, says in SCALES[units]:
            if _fits(scene, paper, scale) and _legible(scene, cover, scale):
                return Setting(paper, scale, says, ((0, scene.plane.width),))
    low = [s for s in SCALES[units] if _low(scene, large, s[0])] or [SCALES[units][-1]]
    legible = [s for s in low if _legible(scene, cover, s[0])]
    scale, says = legible[-1] if legible else low[0]
    count = len(_stretches(scene, cover, _room(large, scale)))
    for finer in (one for one in low if one[0] < scale):  # no more sheets, but a larger roof
        if _fits(scene, large, finer[0], wide=False) and len(
            _stretches(scene, cover, _room(large, finer[0]))
        ) == count:
            scale, says = finer
            break
    return Setting(large, scale, says, _stretches(scene, cover, _room(large, scale)))


def whole(scene: Scene, cover: int, units: Units) -> Setting:
    """The setting of a drawing without paper: as `setting_for`, in one stretch."""
    found = setting_for(scene, cover, units)
    return Setting(found.paper, found.scale, found.says, ((0, scene.plane.width),))


def below_high(scene: Scene, scale: int) -> float:
    """What stands below the eave (mm): more where bubbles of grid lines take several rows."""
    if not scene.gridlines:
        return NO_GRID
    return BELOW + (2 * BUBBLE + 0.4) * max(bubble_rows(scene, scale))


def bubble_rows(scene: Scene, scale: int) -> tuple[int, ...]:
    """The row of each grid line's bubble (from 0), so that none covers another."""
    wide = (2 * BUBBLE + 0.4) * TICKS_PER_MM * scale
    reached: list[float] = []
    rows = []
    for line in scene.gridlines:
        row = next((n for n, x in enumerate(reached) if x <= line.x), len(reached))
        reached[row : row + 1] = [line.x + wide]
        rows.append(row)
    return tuple(rows)


def crowded(scene: Scene, setting: Setting) -> bool:
    """Whether there is so little roof for each penetration that tags are kept short."""
    area = scene.plane.width / setting.ticks(1) * (_height(scene) / setting.ticks(1))
    return area < _ROOM_SHORT * len(scene.penetrations)


def _room(paper: Paper, scale: int) -> float:
    return (paper.wide - 2 * MARGIN - 2 * SIDES) * TICKS_PER_MM * scale


def _height(scene: Scene) -> int:
    return max(y for _, y in scene.outline)


def _low(scene: Scene, paper: Paper, scale: int) -> bool:
    room = paper.high - 2 * MARGIN - ABOVE - below_high(scene, scale) - TITLE
    return _height(scene) <= room * TICKS_PER_MM * scale


def _fits(scene: Scene, paper: Paper, scale: int, *, wide: bool = True) -> bool:
    """Whether the roof fits with (the beginning of) its schedule; `wide`: also along the eave."""
    rows = min(_HEAD_HIGH + _ROW_HIGH * len(scene.penetrations), _MOST_ROWS_HIGH)
    high = paper.high - 2 * MARGIN - ABOVE - below_high(scene, scale) - TITLE - rows
    if wide and scene.plane.width > _room(paper, scale):
        return False
    return _height(scene) <= high * TICKS_PER_MM * scale


def _legible(scene: Scene, cover: int, scale: int) -> bool:
    on_paper = TICKS_PER_MM * scale
    area = scene.plane.width / on_paper * (_height(scene) / on_paper)
    return cover >= _PAN * on_paper and area >= _ROOM_EACH * len(scene.penetrations)


def _stretches(scene: Scene, cover: int, room: float) -> tuple[tuple[int, int], ...]:
    """Stretches of about equal length, parted in the middle of a panel."""
    width = scene.plane.width
    count = max(ceil(width / max(room - cover, 1)), 1)
    at = [0]
    panels = [0, *(seam.x for seam in scene.seams), width]
    middles = [(low + high) // 2 for low, high in pairwise(panels)]
    for place in range(1, count):
        near = min(middles, key=lambda x: (abs(x - width * place // count), x))
        if near > at[-1]:
            at.append(near)
    return tuple(zip(at, [*at[1:], width], strict=True))
