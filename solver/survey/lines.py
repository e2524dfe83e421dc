"""Laying panels on a plane that is out of square: seams square to the eave, or fanned.

Exact fractions of ticks; x along the eave from its low end, y square to it. A width is measured
along the eave's direction. What comes out of a fan is rounded once, half away from zero, and only
where a tick is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, sqrt

from solver.survey.surveyed import Surveyed
from solver.units import round_half_away

Corner = tuple[int, int]


def rake_x(low: Corner, high: Corner, y: int | Fraction) -> Fraction:
    """x of the rake from its eave corner `low` to its ridge corner `high`, at height y."""
    return low[0] + Fraction((high[0] - low[0]) * (y - low[1])) / (high[1] - low[1])


def low_rake_x(plane: Surveyed, y: int | Fraction) -> Fraction:
    """x of the low rake at height y."""
    a, _, _, d = plane.corners
    return rake_x(a, d, y)


def high_rake_x(plane: Surveyed, y: int | Fraction) -> Fraction:
    """x of the high rake at height y."""
    _, b, c, _ = plane.corners
    return rake_x(b, c, y)


def width_at(plane: Surveyed, y: int | Fraction) -> Fraction:
    """From rake to rake at height y."""
    return high_rake_x(plane, y) - low_rake_x(plane, y)


@dataclass(frozen=True, slots=True)
class EndWidths:
    """The widths of an end panel, at the eave and at the ridge (each at its own rake's corner)."""

    eave: Fraction
    ridge: Fraction

    def fits(self, min_end: int, cover: int) -> bool:
        """Whether both lie within [min_end, cover]; then no seam crosses the rake."""
        return all(min_end <= width <= cover for width in (self.eave, self.ridge))


@dataclass(frozen=True, slots=True)
class SquareRun:
    """Seams square to the eave (x, increasing, ticks), and the two end panels in order of x."""

    seams: tuple[int, ...]
    low_end: EndWidths
    high_end: EndWidths

    def fits(self, min_end: int, cover: int) -> bool:
        """Whether both end panels are legal at eave and ridge."""
        return self.low_end.fits(min_end, cover) and self.high_end.fits(min_end, cover)


def square_ends(plane: Surveyed, lowest: int, highest: int) -> tuple[EndWidths, EndWidths]:
    """The end panels where the first and the last seam in x stand at these places (ticks)."""
    a, b, c, d = plane.corners
    return (
        EndWidths(Fraction(lowest - a[0]), Fraction(lowest - d[0])),
        EndWidths(Fraction(b[0] - highest), Fraction(c[0] - highest)),
    )


def square_run(plane: Surveyed, cover: int, first: int, *, from_high: bool = False) -> SquareRun:
    """Panels laid square from one rake: `first` is the first one's width at the eave (ticks).

    As many full panels follow as leave a last one no wider than the cover at the eave: where any
    number of them makes both of its widths legal, it is this one.
    """
    eave = plane.corners[1][0]
    steps = range(_full(eave - first, cover) + 1)
    if from_high:
        seams = tuple(eave - first - k * cover for k in reversed(steps))
    else:
        seams = tuple(first + k * cover for k in steps)
    return SquareRun(seams, *square_ends(plane, seams[0], seams[-1]))


@dataclass(frozen=True, slots=True)
class FanRun:
    """Seams that turn little by little from one rake to the other.

    Seam k (0 is the first laid) stands, at height y, `first` + k m(y) from the rake it is laid
    from, with m(y) = cover + (width_at(y) - width_at(0)) / full: so the first panel is `first` wide
    and the last `last` wide at every height, and each full panel is `cover` at the eave and takes
    its share of what the plane grows. Every seam is straight. Without full panels the last one
    takes it all, and is `last` wide at the eave only.
    """

    plane: Surveyed
    cover: int
    first: int
    full: int
    from_high: bool

    @property
    def last(self) -> int:
        """Width of the last panel at the eave (ticks)."""
        return self.plane.corners[1][0] - self.first - self.full * self.cover

    @property
    def top(self) -> int:
        """The highest point of the ridge (ticks)."""
        return max(self.plane.corners[2][1], self.plane.corners[3][1])

    def grows(self, y: int | Fraction) -> Fraction:
        """How much wider the plane is at height y than at the eave."""
        return width_at(self.plane, y) - width_at(self.plane, 0)

    def module(self, y: int | Fraction) -> Fraction:
        """Width of each full panel at height y; the cover where there is none."""
        return self.cover + (self.grows(y) / self.full if self.full else Fraction(0))

    @property
    def change(self) -> Fraction:
        """How much wider (-: narrower) each full panel is at the top of the ridge."""
        return self.module(self.top) - self.cover

    def seam_at(self, k: int, y: int | Fraction) -> Fraction:
        """x of seam k at height y."""
        out = self.first + k * self.module(y)
        if self.from_high:
            return high_rake_x(self.plane, y) - out
        return low_rake_x(self.plane, y) + out

    def seam_ticks(self, k: int, y: int | Fraction) -> int:
        """The same in whole ticks, rounded once, half away from zero."""
        return round_half_away(self.seam_at(k, y))

    def seams_at(self, y: int | Fraction) -> tuple[int, ...]:
        """All seams at height y in increasing x (ticks)."""
        seams = tuple(self.seam_ticks(k, y) for k in range(self.full + 1))
        return seams[::-1] if self.from_high else seams

    @property
    def last_end(self) -> EndWidths:
        """The last panel at the eave and at the ridge's highest point."""
        grown = Fraction(0) if self.full else self.grows(self.top)
        return EndWidths(Fraction(self.last), self.last + grown)

    def fits(self, min_end: int, play: int) -> bool:
        """Whether both ends lie within [min_end, cover] and no full panel changes by more than
        `play` (ticks)."""
        first = EndWidths(Fraction(self.first), Fraction(self.first))
        ends = first.fits(min_end, self.cover) and self.last_end.fits(min_end, self.cover)
        return ends and abs(self.change) <= play

    @property
    def slant(self) -> float:
        """What the full panels take more along the eave than their covers, all together, because
        they lean (ticks): full * cover * (sqrt(1 + lean^2) - 1) for the rake that leans most. The
        rule of `m` leaves it out: a lean of 1 in 200 takes 1/80000 of the run."""
        leans = (self.plane.low_lean / self.plane.corners[3][1],
                 self.plane.high_lean / self.plane.corners[2][1])
        lean = max(map(abs, leans))
        return self.full * self.cover * (sqrt(1 + lean * lean) - 1)


def fan_run(plane: Surveyed, cover: int, first: int, *, from_high: bool = False) -> FanRun:
    """Panels fanned from one rake: `first` is the first one's width, eave to ridge (ticks).

    As many full panels as leave a last one no wider than the cover at the eave.
    """
    return FanRun(plane, cover, first, _full(plane.corners[1][0] - first, cover), from_high)


def _full(room: int, cover: int) -> int:
    """How many full panels leave a last one that is wider than nothing and no wider than the cover;
    0 where not even a last one has room."""
    return max(0, ceil(Fraction(room, cover)) - 1)
