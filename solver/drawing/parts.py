"""What a scene is made of. Ticks; a name ending in `2` counts half ticks.

x runs along the eave from the plane's low end, y up the slope from the eave, as in the case.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.case import Keepout, Penetration, Plane
from solver.case_parts import Centre, EdgeKind
from solver.result import JudgedCentre, JudgedOdd, JudgedPenetration, JudgedPlane
from solver.stubs.landmarks import Landmark

Point = tuple[int, int]
Stretch = tuple[int, int]
DimensionKind = Literal["overall", "end", "panels", "odd", "grid", "seam"]


@dataclass(frozen=True, slots=True)
class SeamLine:
    """A seam: its number as reports count it, its centre `x`, and where it runs.

    `parts` (y from, y to) are what of it lies on the roof, out of the holes and of the curbs that
    cut it, low first; at a sloping edge to the nearest tick. `far` is how far its centre stands
    from where laying starts.
    """

    number: int
    x: int
    far: int
    parts: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class ControlLine:
    """A control line of the field sheet: its number in its run, the seam it belongs to, its x (the
    mark of that seam's leg, not its centre), and where it runs."""

    number: int
    seam: int
    x: int
    parts: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """What stands beside a penetration on one side: seam `seam` (None: an end of the roof) at `x`.

    `distance` is from centre to centre. `margin2` is what is left of that distance beyond all that
    is needed; None where nothing is needed on that side.
    """

    seam: int | None
    x: int
    distance: int
    margin2: int | None


@dataclass(frozen=True, slots=True)
class Standing:
    """A penetration where the layout puts it.

    It is taped from `datum`, a grid line or an end of the plane, `off` ticks (+ is larger x),
    towards `towards` (None where it stands on it). `y_plan` is its y in plan, None on a plane
    without a pitch. `move_towards` is where a move goes.
    """

    pen: Penetration
    stands: JudgedPenetration
    datum: Landmark
    off: int
    towards: Landmark | None
    y_plan: int | None
    low: Side
    high: Side
    move_towards: Landmark | None

    @property
    def moved(self) -> bool:
        """Whether it stands elsewhere than drawn."""
        return self.stands.moved != 0


@dataclass(frozen=True, slots=True)
class OddPanel:
    """A panel of odd width and the polygons of the roof under it (to the nearest tick)."""

    judged: JudgedOdd
    shapes: tuple[tuple[Point, ...], ...]


@dataclass(frozen=True, slots=True)
class Dimension:
    """A distance along the eave from `low` to `high`.

    "panels": `count` panels of equal width; "end": the panel at an end; "odd": a panel of odd
    width; "grid": between grid lines or from an end to one; "seam": from a grid line to the nearest
    seam; "overall": the whole plane. `names` are what it runs between, where they have names.
    """

    kind: DimensionKind
    low: int
    high: int
    count: int = 1
    names: tuple[str, ...] = ()

    @property
    def length(self) -> int:
        """What it measures (ticks)."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Scene:
    """One plane of layout `rank`, ready to be drawn.

    `outline` runs counter-clockwise seen from outside; `kinds` names the edge that begins at the
    point of the same number. Seams, grid lines and penetrations come in increasing x; control lines
    in the order of their runs. `start` is where laying starts.
    """

    index: int
    rank: int
    plane: Plane
    judged: JudgedPlane
    outline: tuple[Point, ...]
    kinds: tuple[EdgeKind, ...]
    holes: tuple[tuple[str, tuple[Point, ...]], ...]
    seams: tuple[SeamLine, ...]
    control: tuple[ControlLine, ...]
    penetrations: tuple[Standing, ...]
    dimensions: tuple[Dimension, ...]
    gridlines: tuple[Landmark, ...]
    keepouts: tuple[Keepout, ...]
    centres: tuple[tuple[Centre, JudgedCentre], ...]
    odd: tuple[OddPanel, ...]
    low_end: Landmark
    high_end: Landmark
    start: Landmark
