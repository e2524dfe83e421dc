"""What a survey of a plane comes to. Lengths in ticks; a float is for printing only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import acos, degrees, hypot
from typing import Final, Literal

from solver.errors import OffseamError
from solver.survey.triangles import ENDS
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units

PARALLEL: Final[dict[Units, int]] = {"in": TICKS_PER_INCH // 16, "mm": TICKS_PER_MM}
"""Lines whose distance changes by less than this from end to end are called parallel: what a tape
can tell; common practice, no source."""
SQUARE_IN: Final = 200
"""A corner that is out by no more than one part in so many is within what EN 508-1 annex D
(squareness S <= 0.005 w, read) lets the end of a profiled sheet be out over its width. A proxy: no
standard was found for a roof plane."""

How = Literal["triangles", "fitted", "offsets"]


class SurveyError(OffseamError, ValueError):
    """A survey that is no quadrilateral to lay a roof on: the plane, and everything impossible."""

    def __init__(self, plane: str, problems: Sequence[str]) -> None:
        self.plane = plane
        self.problems = tuple(problems)
        super().__init__("\n".join(f"plane {plane}: {problem}" for problem in self.problems))


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing taped, `read`, and what it is between the corners found, `computed` (ticks).

    `residual` is read minus computed: + where the tape gave too much. `fitted`: it took part in
    finding the corners. `alone`: what it would have to be if all others were right and it alone
    wrong; only where four sides and both diagonals were taped, and None where nothing would do.
    `name` is the survey's own word for it: "eave", "low_rake", "low at 10'".
    """

    name: str
    read: int
    computed: float
    residual: float
    fitted: bool
    alone: float | None = None


@dataclass(frozen=True, slots=True)
class CornerOut:
    """How far a corner is out of square: its angle (degrees), and that over its rake (`over`,
    ticks).

    `out` is how far the rake's other end stands off the square line through this corner (ticks): +
    where the corner is wider than 90 degrees, - where it is narrower. Square to the eave at A and
    B, to the ridge at C and D.
    """

    corner: Literal["A", "B", "C", "D"]
    angle: float
    out: float
    over: float

    @property
    def within(self) -> bool:
        """Whether it is out by no more than 0.005 of its rake (`SQUARE_IN`)."""
        return abs(self.out) * SQUARE_IN <= self.over


@dataclass(frozen=True)
class Surveyed:
    """A plane's true corners: A low end of the eave, (0, 0); B its high end, (x, 0); C the high end
    of the ridge; D its low end. (x, y) in whole ticks, rounded once.

    `how`: from "triangles" (four sides and a diagonal, exact), "fitted" (both diagonals, least
    squares) or "offsets" (a line through each rake's). `drawn`: eave, ridge and both rakes as the
    case's drawing has them.
    """

    plane: str
    units: Units
    how: How
    corners: tuple[tuple[int, int], tuple[int, int], tuple[int, int], tuple[int, int]]
    readings: tuple[Reading, ...]
    drawn: tuple[tuple[str, int], ...]

    def length(self, name: str) -> float:
        """The length of a side or diagonal (`ENDS`) between the corners (ticks)."""
        (x0, y0), (x1, y1) = (self.corners["ABCD".index(corner)] for corner in ENDS[name])
        return hypot(x1 - x0, y1 - y0)

    @cached_property
    def outs(self) -> tuple[CornerOut, CornerOut, CornerOut, CornerOut]:
        """How far each corner is out of square, A to D."""
        a, b, c, d = self.corners
        return (_out("A", a, b, d), _out("B", b, a, c), _out("C", c, d, b), _out("D", d, c, a))

    @property
    def low_lean(self) -> int:
        """How far the low rake leans: x of its ridge corner minus x of its eave corner."""
        return self.corners[3][0] - self.corners[0][0]

    @property
    def high_lean(self) -> int:
        """How far the high rake leans."""
        return self.corners[2][0] - self.corners[1][0]

    @property
    def ridge_rise(self) -> int:
        """How much higher above the eave line the ridge stands at its high end than at its low."""
        return self.corners[2][1] - self.corners[3][1]

    @property
    def ridge_longer(self) -> float:
        """Ridge minus eave (ticks)."""
        return self.length("ridge") - self.length("eave")

    @property
    def rakes_parallel(self) -> bool:
        """Whether both rakes lean the same way by as much, as far as a tape can tell."""
        return abs(self.low_lean - self.high_lean) <= PARALLEL[self.units]

    @property
    def ridge_parallel(self) -> bool:
        """Whether the ridge runs parallel to the eave, as far as a tape can tell."""
        return abs(self.ridge_rise) <= PARALLEL[self.units]

    @property
    def least_x(self) -> int:
        """x of the leftmost corner."""
        return min(x for x, _ in self.corners)

    @property
    def most_x(self) -> int:
        """x of the rightmost corner."""
        return max(x for x, _ in self.corners)

    @property
    def against_drawing(self) -> tuple[tuple[str, int, float], ...]:
        """Each side: its name, its length as drawn, and how much longer it was found (ticks)."""
        return tuple((name, size, self.length(name) - size) for name, size in self.drawn)

    @property
    def worst(self) -> Reading | None:
        """The reading that fits worst, the first of them in the survey's order; None where nothing
        was taped twice over."""
        left = [(round(abs(one.residual), 3), one) for one in self.readings]
        most = max((size for size, _ in left), default=0)
        return next((one for size, one in left if size == most), None) if most else None


def _out(
    corner: Literal["A", "B", "C", "D"],
    at: tuple[int, int],
    along: tuple[int, int],
    up: tuple[int, int],
) -> CornerOut:
    """The corner at `at` between the eave or ridge that goes to `along` and the rake to `up`."""
    ax, ay = along[0] - at[0], along[1] - at[1]
    ux, uy = up[0] - at[0], up[1] - at[1]
    side, rake = hypot(ax, ay), hypot(ux, uy)
    towards = ax * ux + ay * uy  # exact: whole ticks
    angle = degrees(acos(max(-1.0, min(1.0, towards / (side * rake)))))
    out = -towards / side if towards else 0.0
    return CornerOut(corner, angle, out, rake)
