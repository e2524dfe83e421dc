"""Planes laid out out of square that no start serves: why, and what would mend it."""

from __future__ import annotations

from typing import Final

from solver.case import Case, Plane
from solver.findings.of_case import show
from solver.findings.seam_order import ends_from_line, from_line
from solver.result import Finding
from solver.tabling.starts import whole_marks
from solver.units import format_length

_FINE: Final = {"in": 254, "mm": 64}
"""1/64 in and 0.1 mm: play is finer than the crew's mark."""
Ends = tuple[int, int, int, int]


def lean_finding(case: Case, plane: Plane) -> Finding:
    """`no-start` of a plane that leans: its rakes, the widths its ends have to keep, what helps."""
    assert plane.lean is not None
    says = _fan(case, plane) if plane.lean.fan else _square(case, plane)
    return Finding("no-start", "error", (plane.id,), f"Plane {plane.id}, {says}")


def _fan(case: Case, plane: Plane) -> str:
    lean, cover = plane.lean, case.panel.cover
    assert lean is not None
    spread = lean.high - lean.low
    wide = show(case, plane.width, feet=True)
    ends = [ends for ends in _all_ends(case, plane) if min(ends[:2]) >= case.rules.min_end]
    if not ends:
        return (
            f"{wide} wide at the eave, has no first width that leaves both end panels between "
            f"{show(case, case.rules.min_end)} and {show(case, cover)}{_largest(case, plane)}"
        )
    full = max((plane.width - low - high) // cover for low, high, _, _ in ends)
    fine = _FINE[case.units]
    more = "wider" if spread > 0 else "narrower"
    share = (
        f"at most {full} full panels have to share that, {_up(case, abs(spread), full, fine)} "
        f"each, and there is a play of {format_length(2 * case.rules.play, case.units, fine)}"
        if full else "there is no full panel to share that"
    )
    return (
        f"{wide} wide at the eave, is {show(case, abs(spread))} {more} at its top: {share}. "
        f"Write a larger play if the panel has it{' and more full panels' if not full else ''}, or "
        'run = "square" in its survey.'
    )


def _up(case: Case, size: int, count: int, fine: int) -> str:
    """A share of a size, rounded up to what play is told to."""
    return format_length(2 * (-(-size // (count * fine)) * fine), case.units, fine)


def _square(case: Case, plane: Plane) -> str:
    rules, cover = case.rules, case.panel.cover
    lean = plane.lean
    assert lean is not None
    told = (
        f"{show(case, plane.width, feet=True)} wide at the eave and "
        f"{show(case, plane.width + lean.high - lean.low, feet=True)} at its top"
    )
    limits = f"between {show(case, rules.min_end)} and {show(case, cover)} at both"
    if from_line(case, plane):
        low, high, low_top, high_top = _all_ends(case, plane)[0]
        return (
            f"{told}, laid both ways from a line at {show(case, plane.start or 0, feet=True)}, "
            f"ends in a panel that tapers from {show(case, low)} to {show(case, low_top)} at the "
            f"{plane.low_end} and one from {show(case, high)} to {show(case, high_top)} at the "
            f"{plane.high_end}: they must be {limits}. Put the line elsewhere, or write another "
            "min_end."
        )
    more = ["odd panels"] * bool(rules.odd_panels) + ["play"] * bool(rules.play)
    what = f"no layout, {' and '.join(more)} counted in," if more else "no first width"
    return (
        f"{told}, has {what} that leaves both end panels, which taper, {limits}"
        f"{_largest(case, plane)}"
    )


def _largest(case: Case, plane: Plane) -> str:
    """The largest min_end for which full panels alone would do."""
    fits = [min(ends) for ends in _all_ends(case, plane) if max(ends) <= case.panel.cover]
    best = max(fits, default=0) // case.mark * case.mark
    if best > 0:
        return f". The largest min_end that works is {show(case, best)}."
    assert plane.lean is not None
    other = "" if plane.lean.fan else ' or "fan"'
    return f'. No min_end works: write run = "as-drawn"{other} in its survey, or another cover.'


def _all_ends(case: Case, plane: Plane) -> list[Ends]:
    """Low and high end at the eave and at the top, for every start of full panels."""
    lean, cover = plane.lean, case.panel.cover
    assert lean is not None
    if from_line(case, plane):
        pairs = [ends_from_line(case, plane)]
    else:
        firsts = [int(first) for first in whole_marks(case, 0)]
        pairs = [(first, (plane.width - first - 1) % cover + 1) for first in firsts]
        if plane.lay == "right-to-left":
            pairs = [(last, first) for first, last in pairs]
    low, high = (0, 0) if lean.fan else (lean.low, lean.high)
    return [(one, two, one - low, two + high) for one, two in pairs]
