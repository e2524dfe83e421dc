"""How long the search over odd panels is worth going on, before the direct model takes over.

The direct model does not mind how long the eave is, but penetrations that stand close together, or
that can move: there, and where several planes are linked, the search stays the better way.
"""

from __future__ import annotations

from typing import Final

from solver.case import Case
from solver.tabling.moves import can_move

FEW: Final = 12
"""So few penetrations may stand as close together as they like."""

SOME: Final = 30
"""So many are few enough where they stand far apart."""

PANELS_EACH: Final = 10
"""Far apart is a plane with so many panels for each penetration."""

LABELS_EACH: Final = 6_000
"""Labels worth growing, and growing from, for each penetration."""


def few_stand(case: Case) -> bool:
    """Whether the direct model sees through a roof quickly: one plane, little on it, all fixed."""
    count = len(case.penetrations)
    if len(case.planes) > 1 or can_move(case):
        return False
    panels = case.planes[0].width // case.panel.cover
    return count <= FEW or (count <= SOME and panels >= PANELS_EACH * count)


def worth(case: Case) -> int | None:
    """How many labels a search may grow before the direct model is the better way; None: any."""
    return LABELS_EACH * len(case.penetrations) if few_stand(case) else None
