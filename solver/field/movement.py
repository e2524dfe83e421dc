"""How far the panels of a layout move with heat, at every penetration and at their ends.

Each figure is an exact fraction, rounded up to a tick at the end. Lapped panels move each length by
itself, about its own fixed point. A panel that a curb cuts counts as if it ran through: its seams
tie what is left of it to the panels beside. What is turned up or hooked at a panel's ends does not
count as length: it covers no roof. Nothing of this replaces the panel maker's details.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from solver.case import Case, Kind, Penetration, Plane
from solver.case_parts import Metal, Movement, Sheet
from solver.field.heat import (
    LEAST_GAP,
    Fixed,
    Travel,
    coefficient,
    coefficient_source,
    fixed_point,
    travel_at,
    up_to_step,
)
from solver.panels.legs import panel_numbers
from solver.panels.list import panel_list, sheet_of
from solver.panels.parts import PanelPiece
from solver.result import Judged, JudgedPenetration, JudgedPlane
from solver.shape.pieces import pieces_of


@dataclass(frozen=True, slots=True)
class PanelRun:
    """Panels that cover the slope from `low` to `high` in one length, fixed at `fixed` (ticks).

    `panels` are numbered from where laying starts (see `solver.layout`). `lower` and `upper` say
    how far their two ends, and the clips there, travel.
    """

    panels: tuple[int, ...]
    low: Fraction
    high: Fraction
    fixed: Fraction
    lower: Travel
    upper: Travel

    @property
    def length(self) -> Fraction:
        """Up the slope, from end to end."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class PenetrationMovement:
    """How a panel moves at a penetration (ticks).

    `at` is where: a pipe's centre, the wall of a curb that is farther from the fixed point; `fixed`
    where the panel is fixed, `free` how far that is. `gap_above` and `gap_below` are what its hole
    needs between the body and the metal, upslope and downslope of it. `suffices` says whether
    `allows` is enough; None where the case does not say what the flashing allows.
    """

    id: str
    kind: Kind
    at: Fraction
    fixed: Fraction
    free: Fraction
    travel: Travel
    gap_above: int
    gap_below: int
    allows: int | None
    suffices: bool | None

    @property
    def gap(self) -> int:
        """The larger of both gaps, for a round hole."""
        return max(self.gap_above, self.gap_below)


@dataclass(frozen=True, slots=True)
class PlaneMovement:
    """One plane: its panels from the longest to the shortest, its penetrations in case order."""

    id: str
    runs: tuple[PanelRun, ...]
    penetrations: tuple[PenetrationMovement, ...]

    @property
    def longest(self) -> PanelRun:
        """The panels that are longest."""
        return self.runs[0]

    @property
    def lower(self) -> Travel:
        """The most that any panel's lower end travels."""
        return max((run.lower for run in self.runs), key=lambda travel: travel.total)

    @property
    def upper(self) -> Travel:
        """The most that any panel's upper end travels."""
        return max((run.upper for run in self.runs), key=lambda travel: travel.total)


@dataclass(frozen=True, slots=True)
class Movements:
    """All planes of a roof; `alpha` is the metal's coefficient (per kelvin), from `source`."""

    metal: Metal
    alpha: Fraction
    source: str
    warmer: Decimal
    colder: Decimal
    fixed: Fixed
    planes: tuple[PlaneMovement, ...]

    def at(self, penetration: str) -> PenetrationMovement:
        """What is known of one penetration, by its id."""
        return next(
            one for plane in self.planes for one in plane.penetrations if one.id == penetration
        )


@dataclass(frozen=True, slots=True)
class _Strip:
    """One length of one panel: where it lies along the eave and up the slope."""

    panel: int
    x_low: int
    x_high: int
    low: Fraction
    high: Fraction


def movements(case: Case, judged: Judged) -> Movements | None:
    """How the panels of a layout move; None where the case has no [movement]."""
    if case.movement is None:
        return None
    sheet = sheet_of(case)
    alpha = coefficient(sheet.metal)
    listed = panel_list(case, judged, 1) if sheet.max_length is not None else None
    planes = []
    for number, (plane, laid) in enumerate(zip(case.planes, judged.planes, strict=True)):
        pieces = [] if listed is None else [
            piece for mark in listed.planes[number].marks for piece in mark.pieces
        ]
        strips = _strips(case, plane, laid, pieces, sheet)
        here = [
            _penetration(case, alpha, case.movement, pen, stands, strips)
            for pen, stands in zip(case.penetrations, judged.penetrations, strict=True)
            if pen.plane == plane.id
        ]
        runs = _runs(alpha, case.movement, strips)
        planes.append(PlaneMovement(plane.id, runs, tuple(here)))
    return Movements(
        sheet.metal, alpha, coefficient_source(sheet.metal), case.movement.warmer,
        case.movement.colder, case.movement.fixed, tuple(planes),
    )  # fmt: skip


def _strips(
    case: Case, plane: Plane, laid: JudgedPlane, cut: Sequence[PanelPiece], sheet: Sheet
) -> list[_Strip]:
    """Every length of every panel; `cut` are the plane's pieces where some may be lapped."""
    numbers = panel_numbers(case, plane, laid.seams)
    if plane.outline is None and not plane.holes and not any(piece.laps for piece in cut):
        at = (0, *laid.seams, plane.width)
        whole = Fraction(0), Fraction(plane.length)
        return [
            _Strip(number, low, high, *whole)
            for number, (low, high) in zip(numbers, pairwise(at), strict=True)
        ]
    lapped: dict[int, list[PanelPiece]] = {}
    for piece in cut:
        if piece.laps:
            lapped.setdefault(piece.panel, []).append(piece)
    found = []
    for whole_piece in pieces_of(plane, laid.seams):
        number = numbers[whole_piece.panel - 1]
        low, high = whole_piece.y_low, whole_piece.y_high
        own = [
            one for one in lapped.get(number, ())
            if one.low < whole_piece.high and one.high > whole_piece.low
            and low <= one.y_low and one.y_high <= high
        ]
        found += [
            _Strip(number, whole_piece.low, whole_piece.high, *span)
            for span in _spans(low, high, own, sheet.lap)
        ]
    return found


def _spans(
    low: Fraction, high: Fraction, lapped: Sequence[PanelPiece], lap: int
) -> list[tuple[Fraction, Fraction]]:
    """From where to where the lengths of a panel reach up the slope.

    Where its lapped parts stand side by side their laps differ: then it counts as one length, which
    moves no less.
    """
    rows = sorted(lapped, key=lambda one: (one.y_low, one.y_high))
    if any(one.y_high > then.y_low for one, then in pairwise(rows)):
        return [(low, high)]
    starts = [lap_at.y for one in rows for lap_at in one.laps if low < lap_at.y < high]
    return list(
        zip([low, *starts], [*(min(at + lap, high) for at in starts), high], strict=True)
    )


def _runs(alpha: Fraction, movement: Movement, strips: Iterable[_Strip]) -> tuple[PanelRun, ...]:
    """Lengths that lie at the same height together: the longest first, then from the eave up."""
    groups: dict[tuple[Fraction, Fraction], list[int]] = {}
    for strip in strips:
        groups.setdefault((strip.low, strip.high), []).append(strip.panel)
    found = []
    for low, high in sorted(groups, key=lambda span: (span[0] - span[1], span[0])):
        fixed = fixed_point(movement.fixed, low, high)
        lower, upper = (travel_at(alpha, movement, end, fixed) for end in (low, high))
        panels = tuple(dict.fromkeys(groups[low, high]))
        found.append(PanelRun(panels, low, high, fixed, lower, upper))
    return tuple(found)


def _penetration(
    case: Case, alpha: Fraction, movement: Movement, pen: Penetration,
    stands: JudgedPenetration, strips: Sequence[_Strip],
) -> PenetrationMovement:  # fmt: skip
    """At one penetration, of all panels that its flashing touches that which moves most."""
    half2 = max(pen.base, pen.outside, pen.across)
    low2, high2 = 2 * stands.x - half2, 2 * stands.x + half2
    half_y = Fraction(pen.along, 2)
    bottom, top = pen.y - half_y, pen.y + half_y
    # On the roof something touches both along the eave and up the slope: (0, 0).
    beside = [max(2 * one.x_low - high2, low2 - 2 * one.x_high, 0) for one in strips]
    least = min(beside)
    near = [one for one, gap in zip(strips, beside, strict=True) if gap == least]
    beyond = [max(one.low - top, bottom - one.high, Fraction(0)) for one in near]
    least_y = min(beyond)
    found = []
    for strip, gap in zip(near, beyond, strict=True):
        if gap == least_y:
            fixed = fixed_point(movement.fixed, strip.low, strip.high)
            for wall in (bottom, top):
                at = min(max(wall, strip.low), strip.high)
                found.append((abs(at - fixed), at, fixed))
    free, at, fixed = max(found)
    travel = travel_at(alpha, movement, at, fixed)
    return PenetrationMovement(
        id=pen.id, kind=pen.kind, at=at, fixed=fixed, free=free, travel=travel,
        gap_above=up_to_step(max(travel.down, LEAST_GAP), case.units),
        gap_below=up_to_step(max(travel.up, LEAST_GAP), case.units),
        allows=pen.allows,
        suffices=None if pen.allows is None else pen.allows >= travel.most,
    )  # fmt: skip
