"""The stub-up list of a layout: where the plumber sets every pipe, and how it gets there.

Positions are centres at the roof surface along the eave (ticks), so neither the pitch nor the floor
a pipe comes through changes them. What no fittings can make is known to the optimizer; meeting such
a move here is a fault of the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from solver.case import Case, Penetration, Plane
from solver.case_file.fittings import FittingPair, best_pair, pairs_for
from solver.errors import DisagreementError
from solver.findings.seam_order import at_height, seam_numbers
from solver.result import Judged, JudgedPenetration, JudgedPlane
from solver.stubs.landmarks import Landmark, Taping, end_of, grid_lines, start_of, taping_at, way_of
from solver.stubs.stretch import Limit, Neighbours, Stretch, stretch_of
from solver.stubs.vent_notes import VentNote, own_notes
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

_FINEST: Final = {"in": TICKS_PER_INCH // 64, "mm": TICKS_PER_MM // 10}


@dataclass(frozen=True, slots=True)
class Bay:
    """The pan that holds a centre, by the seams beside it, counted from where laying starts.

    `low` and `high` are seams (ticks) or None at an end of the plane, `low_no` and `high_no` their
    numbers, `on` the number of the seam a pipe's centre stands on.
    """

    low: int | None
    high: int | None
    low_no: int | None
    high_no: int | None
    on: int | None = None


@dataclass(frozen=True, slots=True)
class StubRow:
    """One line of the list.

    `stands` is where the layout puts it. `taped` is what the tape shows for that (ticks, whole
    multiples of `tape_mark` from the datum), inside the stretch wherever a mark falls into it.
    `stretch` is a Limit where the pipe stands as drawn against a rule of moves, None where it is
    not clear or is only listed for reference. `towards` is where a move goes.
    """

    pen: Penetration
    stands: JudgedPenetration
    taping: Taping
    taped: int
    tape_mark: int
    bay: Bay
    stretch: Stretch | Limit | None
    towards: Landmark | None
    pairs: tuple[FittingPair, ...]
    pair: FittingPair | None
    vent: tuple[VentNote, ...]
    frozen: bool

    @property
    def listed(self) -> bool:
        """Whether the plumber has something to set: a stubbed or planned pipe."""
        return settable(self.pen)


@dataclass(frozen=True, slots=True)
class PlaneSheet:
    """The list of one plane, in increasing x of where things finally stand."""

    plane: Plane
    judged: JudgedPlane
    lines: tuple[Landmark, ...]
    low_end: Landmark
    high_end: Landmark
    start: Landmark
    rows: tuple[StubRow, ...]


@dataclass(frozen=True, slots=True)
class StubList:
    """The whole list: layout `rank` of a case."""

    case: Case
    rank: int
    judged: Judged
    sheets: tuple[PlaneSheet, ...]


def settable(pen: Penetration) -> bool:
    """Whether a penetration belongs on the list: a pipe that is not through the roof or held."""
    return pen.kind == "pipe" and pen.status != "fixed"


def stub_list(case: Case, judged: Judged, rank: int, *, everything: bool = False) -> StubList:
    """The stub-up list of a judged layout; `everything` adds fixed pipes and curbs.

    Raises:
        DisagreementError: the layout moves a pipe by what no fittings of its size can make.
    """
    frozen = {name for name, _ in case.freeze.moves}
    sheets = []
    for plane, ends in zip(case.planes, judged.planes, strict=True):
        lines = grid_lines(case, plane)
        others = Neighbours(case, plane, judged)
        members = sorted(case.on(plane.id), key=lambda i: (judged.penetrations[i].x, i))
        rows = []
        for index in members:
            pen, stands = case.penetrations[index], judged.penetrations[index]
            if not settable(pen) and not everything:
                continue
            stretch = None
            if settable(pen):
                stretch = stretch_of(case, plane, judged.layout, index, stands, others)
            rows.append(_row(case, plane, ends, lines, pen, stands, stretch, pen.id in frozen))
        sheets.append(PlaneSheet(
            plane, ends, lines, end_of(plane, high=False), end_of(plane, high=True),
            start_of(plane), tuple(rows),
        ))
    return StubList(case, rank, judged, tuple(sheets))


def _row(
    case: Case, plane: Plane, ends: JudgedPlane, lines: tuple[Landmark, ...], pen: Penetration,
    stands: JudgedPenetration, stretch: Stretch | Limit | None, frozen: bool,
) -> StubRow:
    taping = taping_at(plane, lines, stands.x)
    mark = case.mark
    taped = _on_tape(taping.datum.x, stands.x, mark, stretch)
    if isinstance(stretch, Stretch) and not stretch.low.x <= taped <= stretch.high.x:
        mark = min(mark, _FINEST[case.units])
        taped = _on_tape(taping.datum.x, stands.x, mark, stretch)
    pairs: tuple[FittingPair, ...] = ()
    pair = None
    if stands.moved and pen.status == "stubbed":
        pairs = pairs_for(case.fittings, pen.nominal, pen.headroom, stands.moved)
        pair = best_pair(pairs)
        _insist_it_can_be_made(pen, stands.moved, pairs, pair)
    towards = way_of(plane, lines, pen.x, stands.x) if stands.moved else None
    return StubRow(
        pen, stands, taping, taped, mark, _bay(plane, at_height(plane, ends, pen.y), stands),
        stretch, towards, pairs, pair,
        own_notes(pen, stands.moved, pair), frozen,
    )


def _on_tape(datum: int, x: int, mark: int, stretch: Stretch | Limit | None) -> int:
    """The mark of a tape held at `datum` that is nearest to `x` and, if one is, in the stretch."""
    below = (x - datum) // mark * mark + datum
    marks = sorted((below, below + mark), key=lambda at: (abs(at - x), at))
    if isinstance(stretch, Stretch):
        marks.sort(key=lambda at: not stretch.low.x <= at <= stretch.high.x)
    return marks[0]


def _bay(plane: Plane, ends: JudgedPlane, stands: JudgedPenetration) -> Bay:
    of = dict(zip(ends.seams, seam_numbers(plane, ends.seams), strict=True))
    low, high = stands.seam_low, stands.seam_high
    return Bay(
        low, high,
        None if low is None else of[low], None if high is None else of[high],
        of.get(stands.x) if stands.state == "on-seam" else None,
    )


def _insist_it_can_be_made(
    pen: Penetration, moved: int, pairs: tuple[FittingPair, ...], pair: FittingPair | None
) -> None:
    """The optimizer knows what fittings can make; here it is only looked up."""
    size = abs(moved)
    known = any(made.least is not None for made in pairs)
    within = pen.makeable is None or any(low <= size <= high for low, high in pen.makeable)
    if not within or (known and pair is None):
        raise DisagreementError(
            f"The layout moves {pen.id} by {size} ticks, which the optimizer takes to be possible "
            f"({pen.makeable}), but no two equal fittings of its size make that offset: "
            + "; ".join(f"{p.angle}°: least {p.least}, fits {p.fits}" for p in pairs)
        )
