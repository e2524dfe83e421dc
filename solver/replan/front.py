"""Where the crew stands on one run of a plane: seams planned, seams measured, what is left.

Everything is seen from where the laying starts (the starting end, or the line of a plane laid both
ways), in ticks. Panels and seams are counted from there: panel n ends at seam n.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from solver.case import Case, Plane
from solver.case_file.load_report import Report, length_said
from solver.case_file.read_tables import Read
from solver.checker.laying import stretch_of
from solver.field.eave import datum_of, eave_spans
from solver.findings.seam_order import seam_numbers
from solver.layout import Layout
from solver.replan.entries import PlaneEntry
from solver.replan.tilt import Tilt, tilt_of
from solver.result import JudgedPlane
from solver.units import round_half_away


@dataclass(frozen=True)
class Front:
    """One run of a plane, laid up to seam `seam` (from 1).

    `sign` is -1 for the run towards the low end of a plane laid both ways. `planned` is where the
    seams up to the front were to stand, as laid (with the odd panels laid); `eave` and `ridge` are
    where the last one was measured; `room` is from the start to the end of the run. `odds` are the
    odd panels laid, by number; `altered` counts the laid stretches of another module. `tilt` is how
    a plane out of square stands at its top; `ridge` counts from the start at the eave, like all
    else, whatever the tape is hooked to up there. `datum`: where the field sheet hooks the tape, at
    a corner of the eave where the run starts without one.
    """

    plane: int
    sign: int
    seam: int
    planned: tuple[int, ...]
    eave: int
    ridge: int
    length: int
    room: int
    odds: tuple[tuple[int, int], ...]
    altered: int
    tilt: Tilt
    datum: int

    @property
    def off_line(self) -> int:
        """How much further on the last seam stands at the ridge than it would if it stood there as
        planned for what it is at the eave."""
        return self.ridge - self.eave - self.tilt.top(self.seam)

    @property
    def leans(self) -> bool:
        """Whether the last seam leans otherwise than planned."""
        return self.off_line != 0

    @property
    def slanted(self) -> bool:
        """Whether seams stand elsewhere up the slope than at the eave."""
        return self.leans or self.tilt.full > 0

    @property
    def taped_ridge(self) -> int:
        """What the tape reads to the last seam's centre at the ridge, hooked at the rake there."""
        return self.ridge - self.tilt.start

    def skew(self, y: int) -> int:
        """The same as `off_line` at height `y`: on a straight line, to a tick."""
        return round_half_away(Fraction(self.off_line * y, self.length))

    def measured(self, y: int) -> int:
        """Where the last seam laid stands at height `y`, to a tick."""
        return self.eave + self.tilt.seam(self.seam, y) + self.skew(y)

    def laid(self, y: int) -> list[int]:
        """Where every seam laid stands at height `y`: what it is off is shared evenly."""
        off = self.eave - self.planned[-1] + self.skew(y)
        return [
            at + self.tilt.seam(k, y) + round_half_away(Fraction(off * k, self.seam))
            for k, at in enumerate(self.planned, 1)
        ]

    @property
    def room_top(self) -> int:
        """From the start at the eave to the end of the run at the top."""
        return self.room + self.tilt.end

    @property
    def left(self) -> tuple[int, int]:
        """What is left to the end of the run: the lesser and the larger of eave and ridge."""
        low, high = sorted((self.room - self.eave, self.room_top - self.ridge))
        return low, high

    def lasts(self, widths: Sequence[int]) -> tuple[int, int]:
        """Widths at eave and ridge of the last panel behind panels of these widths at the eave."""
        gone = sum(widths)
        wider = self.tilt.wider(self.seam, len(widths))
        return self.room - self.eave - gone, self.room_top - self.ridge - gone - wider


def run_seams(plane: Plane, seams: tuple[int, ...], sign: int) -> list[int]:
    """The seams of a run as distances from the start, nearest first (seam 1 is the first)."""
    start = {"left-to-right": 0, "right-to-left": plane.width}.get(plane.lay, plane.start or 0)
    numbered = zip(seam_numbers(plane, seams), seams, strict=True)
    return sorted(abs(seam - start) for number, seam in numbered if number * sign > 0)


def run_room(plane: Plane, sign: int) -> int:
    """From the start to the end of a run (ticks)."""
    if plane.lay != "from":
        return plane.width
    assert plane.start is not None
    return plane.start if sign < 0 else plane.width - plane.start


def changes_of(layout: Layout, plane: int) -> dict[int, int]:
    """Changes of module by stretch (ticks)."""
    return {one.stretch: one.ticks for one in layout.changes if one.plane == plane and one.ticks}


def front_of(
    case: Case, at: int, judged: JudgedPlane, layout: Layout, read: Read[PlaneEntry],
    tape_mark: int, report: Report,
) -> Front | None:
    """The front that an entry tells; None with a problem noted where the plan has no such seam, or
    has it where nobody can have measured it."""
    entry, plane = read.entry, case.planes[at]
    assert entry is not None
    sign: Literal[1, -1] = -1 if entry.seam < 0 else 1
    count = abs(entry.seam)
    seams = run_seams(plane, judged.seams, sign)
    if not seams:
        report.add(read.element, "seam", "that run of the plane is a single panel without a seam; "
                                         "leave it out")
        return None
    if count > len(seams):
        last = sign * len(seams)
        report.add(read.element, "seam", f"the layout has {len(seams)} seams there; write {sign} "
                                         f"to {last}" if len(seams) > 1 else
                   f"the layout has a single seam there; write {sign}")
        return None
    planned_odds = {abs(o.panel): o.width for o in layout.odds
                    if o.plane == at and o.panel * sign > 0 and abs(o.panel) <= count}
    odds = planned_odds if entry.odd is None else {abs(n): width for n, width in entry.odd}
    changes, again = changes_of(layout, at), case.rules.remeasure
    both_ways = plane.lay == "from"
    planned, gone, altered = [], 0, set()
    for panel in range(1, count + 1):
        stretch = stretch_of(plane, sign * panel, again)
        if panel in odds:
            wide = odds[panel]
        elif panel == 1 and not both_ways:
            wide = seams[0]
        else:
            wide = case.panel.cover + changes.get(stretch, 0)
            if stretch in changes:
                altered.add(stretch)
        gone += wide
        planned.append(gone)
    start = {"left-to-right": 0, "right-to-left": plane.width}.get(plane.lay, plane.start or 0)
    datum = datum_of(eave_spans(plane), start, -1 if plane.lay == "right-to-left" else sign)
    more = tape_mark + datum if entry.tape is not None else 0
    eave = (entry.tape if entry.tape is not None else entry.eave or 0) + more
    tilt, room = tilt_of(plane, sign, len(seams)), run_room(plane, sign)
    taped = 0 if entry.ridge is None else entry.ridge + more
    ridge = eave + tilt.top(count) if entry.ridge is None else taped + tilt.start
    top = tilt.top(count) - tilt.start  # how much more the tape is to read at the ridge
    eave_key = "tape" if entry.tape is not None else "eave"
    for key, value, due, end in (
        (eave_key, eave, gone, room), ("ridge", taped, gone + top, room + tilt.end - tilt.start),
    ):
        if key == "ridge" and entry.ridge is None:
            continue
        if value >= end:
            said = length_said(end, case.units)
            report.add(read.element, key, f"that is at or beyond the end of the run, {said} from "
                                          "where laying starts; measure it again")
        elif 2 * abs(value - due) >= case.panel.cover:
            near = min(range(len(seams)), key=lambda k: abs(seams[k] + due - gone - value))
            said = length_said(due, case.units)
            hint = f"; that is nearest to seam {sign * (near + 1)}" if near + 1 != count else ""
            report.add(read.element, key, f"seam {entry.seam} should stand about {said} from where "
                                          f"laying starts, and half a panel off is a miscount"
                                          f"{hint}; count and measure again")
    return Front(
        at, sign, count, tuple(planned), eave, ridge, plane.length, room,
        tuple(sorted(odds.items())), len(altered), tilt, datum,
    )
