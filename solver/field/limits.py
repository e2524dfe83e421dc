"""What the crew works to: the case's own, or usual figures where it gives none."""

from __future__ import annotations

from solver.case import Case
from solver.case_parts import Field
from solver.units import TICKS_PER_INCH, TICKS_PER_MM


def field_of(case: Case) -> Field:
    """The limits of a case's sheets (ticks).

    Without any: the tape is hooked to the near leg face of a seam, a control line stands every
    10 ft (3 m) and the last 12 ft (3.6 m) are laid to the far end (common practice, no source); a
    pipe may stand 12 in (300 mm) out before a pan cannot be hooked over it (a guess).
    """
    if case.field is not None:
        return case.field
    if case.units == "in":
        foot = 12 * TICKS_PER_INCH
        return Field(case.panel.seam_back, 10 * foot, 12 * foot, foot)
    return Field(case.panel.seam_back, 3000 * TICKS_PER_MM, 3600 * TICKS_PER_MM,
                 300 * TICKS_PER_MM)


def tape_fineness(case: Case) -> int:
    """How finely a tape is read (ticks): the crew's mark, at least 1/16 in or 1 mm."""
    return min(case.mark, TICKS_PER_INCH // 16 if case.units == "in" else TICKS_PER_MM)
