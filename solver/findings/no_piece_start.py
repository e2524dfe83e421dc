"""Planes with an outline that no start serves, and which of the case's limits would mend that."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from solver.case import Case, Plane, Rules
from solver.findings.of_case import show
from solver.result import Finding
from solver.tabling.choices import plain_columns

_LIMITS: Final[dict[str, Callable[[Rules, int], Rules]]] = {
    "min_piece": lambda rules, ticks: replace(rules, min_piece=ticks),
    "min_length": lambda rules, ticks: replace(rules, min_length=ticks),
    "min_end": lambda rules, ticks: replace(rules, min_end=ticks),
}


def piece_finding(case: Case, plane: Plane) -> Finding:
    """That no start leaves every piece wide and long enough, and the largest limits that would."""
    rules = case.rules
    mends = [
        f"a {name} of {show(case, best)}"
        for name in _LIMITS
        if (best := _largest(case, plane, name)) is not None
    ]
    if mends:
        mend = f"By itself, {' or '.join(mends)} would leave one (the largest that does)."
    else:
        mend = (
            "No smaller min_piece, min_length or min_end alone would leave one: change more than "
            "one of them, or the outline."
        )
    start = ""
    if plane.lay == "from":
        start = f" laid both ways from a line at {show(case, plane.start or 0, feet=True)},"
    return Finding(
        "no-start", "error", (plane.id,),
        f"Plane {plane.id}, {show(case, plane.width, feet=True)} wide,{start} has no first width "
        f"that leaves every piece of a panel at least {show(case, rules.min_piece)} wide and "
        f"{show(case, rules.min_length)} long, and {show(case, rules.min_end)} wide at rakes and "
        f"walls. {mend}",
    )


def _largest(case: Case, plane: Plane, name: str) -> int | None:
    """The largest whole-mark value (ticks) of one limit that leaves a start; None if none does."""
    marks = int(getattr(case.rules, name)) // case.mark

    def works(number: int) -> bool:
        rules = _LIMITS[name](case.rules, number * case.mark)
        return bool(plain_columns(replace(case, rules=rules), plane))

    if not works(0):
        return None
    low, high = 0, marks + 1  # a smaller limit leaves whatever a larger one does
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if works(middle) else (low, middle)
    return low * case.mark
