"""How long the search over odd panels is worth going on, before the direct model takes over."""

from __future__ import annotations

from solver.case import Case

FEW = 30
"""So few penetrations on the only plane of a roof the direct model sees through quickly, however
long the eave. Then the search is not worth more than so many labels for each, and the direct model
takes over."""

EFFORT = 400, 4_000, 12
"""Labels for each penetration; and so many more for each beyond so many."""


def few_stand(case: Case) -> bool:
    """Whether the direct model sees through a roof as quickly as the search does, by itself."""
    return len(case.planes) == 1 and len(case.penetrations) <= FEW


def worth(case: Case) -> int | None:
    """How many labels a search may grow before the direct model is the better way; None: any."""
    count, (each, more, beyond) = len(case.penetrations), EFFORT
    return each * count + more * max(0, count - beyond) if few_stand(case) else None
