"""How far seams may have crept by the time they reach a penetration, and what margin that leaves.

Panels are laid from one end, or both ways from a line, and each one's real cover may be off by
`cover_tol`. The errors add up until the crew is back on a control line, every `remeasure` panels
(chalk lines about every 10 ft, checked every three or four panels: common practice, no source). The
worst case is a sum of limits: it needs no distribution. The worst room itself is the checker's;
here is what it comes from. Ticks; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from solver.case import Case, Penetration, Plane
from solver.findings.seam_order import at_height, panels_from_first, width_shift
from solver.result import Finding, Judged, JudgedPenetration, Ranked
from solver.units import format_length

_FINE: Final = {"in": 254, "mm": 64}
"""1/64 in and 0.1 mm: tolerances are finer than the crew's mark."""


@dataclass(frozen=True, slots=True)
class Creep:
    """One penetration of a layout after the worst shift.

    `panels_low` and `panels_high` count the panels laid since the last control up to the seams
    beside it, `shift_low` and `shift_high` are the worst shifts of those seams (ticks). Where an
    end of the plane stands there instead, the count is None and the shift is the end's. For a curb
    the seams are the nearest that it does not cut.
    """

    stands: JudgedPenetration
    panels_low: int | None
    panels_high: int | None
    shift_low: int
    shift_high: int
    x_tol: int

    @property
    def lost2(self) -> int:
        """What the worst case takes of the margin (half ticks)."""
        if self.stands.margin2 is None or self.stands.worst_margin2 is None:
            return 0
        return self.stands.margin2 - self.stands.worst_margin2

    @property
    def may_crowd(self) -> bool:
        """A curb that spans with room beside it, but not after the worst shift."""
        worst2 = self.stands.worst_margin2
        return self.stands.state == "spans" and worst2 is not None and worst2 < 0


def panels_since_control(seam: int, remeasure: int) -> int:
    """Panels gone on since the last control up to the seam `seam` panels on from the first laid.

    The first seam stands on the line the first panel is set to; after every `remeasure` panels the
    next one starts from a control line again.
    """
    return 0 if seam == 0 else (seam - 1) % remeasure + 1


def has_tolerances(case: Case) -> bool:
    """Whether the case says that anything may be off."""
    rules = case.rules
    return bool(rules.cover_tol or rules.width_tol or any(pen.x_tol for pen in case.penetrations))


def layout_creep(case: Case, judged: Judged) -> tuple[Creep, ...]:
    """Every penetration of a layout after the worst shift, in case order."""
    planes = {plane.id: plane for plane in case.planes}
    laid = {plane.id: plane for plane in judged.planes}

    def gone(pen: Penetration) -> dict[int, int]:
        plane = planes[pen.plane]
        seams = at_height(plane, laid[pen.plane], pen.y).seams
        return dict(zip(seams, panels_from_first(plane, seams), strict=True))

    return tuple(
        _creep(case, planes[pen.plane], gone(pen), pen, stands)
        for pen, stands in zip(case.penetrations, judged.penetrations, strict=True)
    )


def _creep(
    case: Case, plane: Plane, gone: dict[int, int], pen: Penetration, stands: JudgedPenetration
) -> Creep:
    """`gone`: for every seam how many panels it stands from the first one laid."""
    rules = case.rules
    with_width = width_shift(case, plane)

    def beside(seam: int | None, end_shift: int) -> tuple[int | None, int]:
        if seam is None:
            return None, end_shift
        panels = panels_since_control(gone[seam], rules.remeasure)
        return panels, panels * rules.cover_tol + with_width

    panels_low, shift_low = beside(stands.seam_low, 0)
    panels_high, shift_high = beside(stands.seam_high, rules.width_tol)
    return Creep(stands, panels_low, panels_high, shift_low, shift_high, pen.x_tol)


def risk_findings(case: Case, ranked: Sequence[Ranked]) -> list[Finding]:
    """A warning `at-risk` for each penetration of a listed layout that is clear but at risk."""
    if not has_tolerances(case):
        return []
    found = []
    for entry in ranked:
        for creep in layout_creep(case, entry.judged):
            if creep.stands.at_risk:
                name = creep.stands.id
                says = f"Layout {entry.rank}: {name} is {risk_words(case, creep)}."
                found.append(Finding("at-risk", "warning", (name,), says))
    return found


def risk_words(case: Case, creep: Creep) -> str:
    """ "clear, but at risk: 1/4\" of margin against 3/8\" of shift"."""
    margin = fine_length(case, creep.stands.margin2 or 0)
    creeping2 = creep.lost2 - 2 * creep.x_tol
    parts = []
    if creeping2 > 0:
        parts.append(f"{fine_length(case, creeping2, 'up')} of shift")
    if creep.x_tol:
        own = fine_length(case, 2 * creep.x_tol, "up")
        parts.append(f"{own} that its own position may be off")
    return f"clear, but at risk: {margin} of margin against {' and '.join(parts)}"


def fine_length(case: Case, halves: int, how: Literal["down", "up"] = "down") -> str:
    """Half ticks as a length finer than the crew's mark (to 1/64 in or 0.1 mm), never flattered.

    A margin is rounded "down", a shift, which is never negative, "up".
    """
    mark = min(case.mark, _FINE[case.units])
    if how == "down":
        return format_length(halves, case.units, mark, how="down")
    return format_length(-halves, case.units, mark, how="down").removeprefix("-")
