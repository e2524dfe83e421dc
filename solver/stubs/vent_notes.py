"""What plumbing codes touch at a vent through the roof: flags to take up, no check of a code.

Each note says how its source is known: `read`, `second-hand` (quoted by another source that was
read) or `memory`. The local code and the licensed plumber decide.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from solver.case import Penetration
from solver.case_file.fittings import FittingPair
from solver.units import TICKS_PER_INCH

Known = Literal["read", "second-hand", "memory"]
DEFER: Final = "check with the local code and the licensed plumber"
LEAST_COLD_VENT: Final = 335 * TICKS_PER_INCH // 100
"""Outside diameter (ticks) of the smallest 3 in pipe, hubless iron: 3.35 in (CISPI 301, memory)."""
_NOMINAL: Final = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)|(\d+(?:\.\d+)?)", re.ASCII)


@dataclass(frozen=True, slots=True)
class VentNote:
    """One thing to check: `code` is stable, `says` a sentence, `source` with how it is known."""

    code: str
    short: str
    says: str
    source: str
    known: tuple[Known, ...]

    def sentence(self) -> str:
        """The note as it is printed: what, after whom and how known, who decides."""
        return f"{self.says} ({self.source}): {DEFER}."


ALL_VENTS: Final = (
    VentNote(
        "vent-height", "height above the roof",
        "A vent ends at least 6 in above the roof or above the expected snow, and 7 ft above a "
        "roof in use",
        "IRC P3103.1, second-hand", ("second-hand",),
    ),
    VentNote(
        "vent-upright", "distance from upright surfaces",
        "A vent stands at least 1 ft from any upright surface",
        "UPC 906.1, second-hand", ("second-hand",),
    ),
    VentNote(
        "vent-openings", "distance from openings",
        "A vent ends at least 10 ft from openings into the building, or 3 ft above them",
        "UPC 906.2, second-hand", ("second-hand",),
    ),
)
"""What every vent through a roof is held to; the case does not say enough to look it up."""

_VERTICAL = VentNote(
    "vent-vertical", "offset counts as vertical",
    "The offset's run stands 45° or more from the horizontal, so it counts as vertical",
    "IPC 202, memory; NYC 905.2, read", ("memory", "read"),
)
_FLAT = VentNote(
    "vent-graded", "offset must be graded",
    "The offset's run lies flatter than 45° from the horizontal, so it must be graded to drain",
    "IPC 202, memory; NYC 905.2, read", ("memory", "read"),
)
_EITHER = VentNote(
    "vent-angle", "offset flatter than 45° must be graded",
    "An offset whose run stands 45° or more from the horizontal counts as vertical; a flatter one "
    "must be graded to drain",
    "IPC 202, memory; NYC 905.2, read", ("memory", "read"),
)
_COLD = VentNote(
    "vent-cold", "smaller than 3 in",
    "This vent is smaller than 3 in: where winters fall below 0 °F a vent through the roof is at "
    "least 3 in, and its boot larger with it",
    "IRC, second-hand", ("second-hand",),
)


def is_vent(pen: Penetration) -> bool:
    """Whether the case says that a pipe is a vent (`use` holds the word)."""
    return pen.kind == "pipe" and re.search(r"\bvents?\b", (pen.use or "").casefold()) is not None


def own_notes(pen: Penetration, moved: int, pair: FittingPair | None) -> tuple[VentNote, ...]:
    """The notes that hang on this vent itself: its size, and how its offset is made."""
    if not is_vent(pen):
        return ()
    notes = []
    if pen.status == "stubbed" and moved:
        notes.append(_EITHER if pair is None else _VERTICAL if pair.counts_as_vertical else _FLAT)
    if _below_three_inches(pen):
        notes.append(_COLD)
    return tuple(notes)


def _below_three_inches(pen: Penetration) -> bool:
    """By the nominal size if that reads as inches, else by the outside diameter.

    A nominal size of 20 or more is one in millimetres (DN 50, 75, 80).
    """
    match = _NOMINAL.fullmatch((pen.nominal or "").strip().removesuffix('"').strip())
    if match is None or (match[3] is not None and int(match[3]) == 0):
        return pen.outside < LEAST_COLD_VENT
    if match[4] is not None:
        size = Fraction(match[4])
    else:
        size = int(match[1] or 0) + Fraction(int(match[2]), int(match[3]))
    return size < 3 if size < 20 else pen.outside < LEAST_COLD_VENT
