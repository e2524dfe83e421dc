"""Planes that no start serves: plain panels, then odd ones and play, and where a line would do."""

from __future__ import annotations

from solver.case import Case, Plane
from solver.findings.no_lean_start import lean_finding
from solver.findings.no_piece_start import piece_finding
from solver.findings.of_case import show
from solver.findings.seam_order import ends_from_line, from_line, may_bend
from solver.result import Finding
from solver.tabling.choices import plain_columns
from solver.tabling.starts import largest_min_end, legal_firsts, whole_marks
from solver.units import format_length

_FINE = {"in": 254, "mm": 64}
"""1/64 in and 0.1 mm: play is finer than the crew's mark."""


def plain_ends(case: Case, plane: Plane) -> bool:
    """Whether panels of the plain cover leave both ends of a plane legal, for some start."""
    if plane.outline is not None or plane.lean is not None:
        return bool(plain_columns(case, plane))
    if from_line(case, plane):
        return min(ends_from_line(case, plane)) >= case.rules.min_end
    return bool(len(legal_firsts(case, plane)))


def no_start_findings(case: Case) -> list[Finding]:
    """One error for every plane that no start serves, and what would mend it.

    Where odd panels or play are allowed it is the search that says whether there is a layout.
    """
    return [] if may_bend(case) else plain_start_findings(case)


def plain_start_findings(case: Case) -> list[Finding]:
    """The same for whoever looks at plain panels only, whatever else the case allows."""
    return [
        piece_finding(case, plane) if plane.outline is not None
        else lean_finding(case, plane) if plane.lean is not None
        else _line_finding(case, plane) if from_line(case, plane) else _plain_finding(case, plane)
        for plane in case.planes
        if not plain_ends(case, plane)
    ]


def no_bent_start_findings(case: Case) -> list[Finding]:
    """One error for every plane whose ends not even odd panels and play make legal."""
    if not may_bend(case):
        return no_start_findings(case)
    return [
        bent_finding(case, plane) for plane in case.planes
        if not plain_ends(case, plane) and not _bent_ends(case, plane)
    ]


def bent_finding(case: Case, plane: Plane) -> Finding:
    """That a plane has no layout with legal ends, odd panels and play counted in."""
    if plane.outline is not None:
        return piece_finding(case, plane)
    if plane.lean is not None:
        return lean_finding(case, plane)
    if from_line(case, plane):
        start = f" laid both ways from a line at {show(case, plane.start or 0, feet=True)},"
        best = min(ends_from_line(case, plane)) // case.mark * case.mark
        mend = f"{_other_lines(case, plane)}Or write a smaller min_end: "
    else:
        start, best, mend = "", largest_min_end(case, plane), ""
    mend += (
        f"with full panels alone the largest that works is {show(case, best)}." if best
        else "with full panels alone no whole mark works."
    )
    return Finding(
        "no-start", "error", (plane.id,),
        f"Plane {plane.id}, {show(case, plane.width, feet=True)} wide,{start} has no layout that "
        f"leaves both end panels between {show(case, case.rules.min_end)} and "
        f"{show(case, case.panel.cover)}, not even with {_allowed(case)}. {mend[0].upper()}"
        f"{mend[1:]}",
    )


def _plain_finding(case: Case, plane: Plane) -> Finding:
    best = largest_min_end(case, plane)
    mend = (
        f"The largest min_end that works is {show(case, best)}."
        if best
        else "No min_end of a whole mark works: the mark is too coarse for this width."
    )
    return Finding(
        "no-start", "error", (plane.id,),
        f"Plane {plane.id}, {show(case, plane.width, feet=True)} wide, has no first width that "
        f"leaves both end panels between {show(case, case.rules.min_end)} and "
        f"{show(case, case.panel.cover)}. {mend}",
    )


def _line_finding(case: Case, plane: Plane) -> Finding:
    low, high = ends_from_line(case, plane)
    lines = _other_lines(case, plane) or "No line on a whole mark would do. "
    best = min(low, high) // case.mark * case.mark
    smaller = f", or a min_end of at most {show(case, best)}" if best else ""
    return Finding(
        "no-start", "error", (plane.id,),
        f"Plane {plane.id}, laid both ways from a line at "
        f"{show(case, plane.start or 0, feet=True)}, ends in a panel of {show(case, low)} at the "
        f"{plane.low_end} and one of {show(case, high)} at the {plane.high_end}: both must be "
        f"between {show(case, case.rules.min_end)} and {show(case, case.panel.cover)}. {lines}"
        f"Odd panels or play may mend it as well{smaller}.",
    )


def _other_lines(case: Case, plane: Plane) -> str:
    """Where the line would have to stand; empty where nowhere."""
    found = [show(case, at, feet=True) for at in nearest_lines(case, plane)]
    if not found:
        return ""
    return f"With the line at {' or '.join(found)} both would be. "


def nearest_lines(case: Case, plane: Plane) -> list[int]:
    """The nearest whole marks (ticks) on either side of a plane's line that plain panels suit.

    Both end widths repeat every cover, so no more than a cover either way is looked at.
    """
    assert plane.start is not None
    mark, cover = case.mark, case.panel.cover
    found = []
    for way in (-1, 1):
        near = plane.start // mark * mark
        if way > 0 or near == plane.start:
            near += way * mark
        for at in range(near, plane.start + way * (cover + mark), way * mark):
            low, high = (at - 1) % cover + 1, (plane.width - at - 1) % cover + 1
            if 0 < at < plane.width and min(low, high) >= case.rules.min_end:
                found.append(at)
                break
    return found


def _allowed(case: Case) -> str:
    """ "up to 2 odd panels of 9" to 17 15/16" and a play of 1/8" a panel"."""
    rules, parts = case.rules, []
    if rules.odd_panels:
        if rules.odd_widths:
            wide = " or ".join(show(case, width) for width in rules.odd_widths)
        else:
            wide = f"{show(case, rules.odd_min)} to {show(case, case.panel.cover - case.mark)}"
        many = "one odd panel" if rules.odd_panels == 1 else f"up to {rules.odd_panels} odd panels"
        parts.append(f"{many} of {wide}")
    if rules.play:
        play = format_length(2 * rules.play, case.units, min(case.mark, _FINE[case.units]))
        parts.append(f"a play of {play} a panel")
    return " and ".join(parts)


def _bent_ends(case: Case, plane: Plane) -> bool:
    """Whether odd panels and play could make both ends legal, as far as the sum of widths says;
    of a plane with an outline nothing is said, so yes.

    Play is taken as if each full panel could have its own share of it in ticks, so this never says
    no where there is a layout.
    """
    rules, cover = case.rules, case.panel.cover
    if plane.outline is not None:
        return True
    if plane.lean is not None and plane.lean.fan:  # laid in plain panels only
        return plain_ends(case, plane)
    if plane.lean is not None and not _tapers_fit(case, plane):
        return False
    if not from_line(case, plane):
        least = int(whole_marks(case, rules.min_end)[0]) + rules.min_end
        return _fewest_odd(case, plane.width, least, 2 * cover) is not None
    assert plane.start is not None
    fewest = [
        _fewest_odd(case, run, rules.min_end, cover)
        for run in (plane.start, plane.width - plane.start)
    ]
    return all(n is not None for n in fewest) and sum(n or 0 for n in fewest) <= rules.odd_panels


def _tapers_fit(case: Case, plane: Plane) -> bool:
    """Whether both rakes lean so little that an end panel can be legal at eave and top."""
    lean = plane.lean
    assert lean is not None
    return max(abs(lean.low), abs(lean.high)) <= case.panel.cover - case.rules.min_end


def _fewest_odd(case: Case, length: int, least: int, most: int) -> int | None:
    """The fewest odd panels that, with full ones, leave `least … most` of `length` (ticks)."""
    rules, cover = case.rules, case.panel.cover
    sums = {0}
    for count in range(rules.odd_panels + 1):
        for full in range(length // (cover - rules.play) + 1):
            below = length - full * (cover + rules.play) - most
            above = length - full * (cover - rules.play) - least
            if rules.odd_widths or not count:
                if any(below <= total <= above for total in sums):
                    return count
            else:
                mark = case.mark
                low = -(-max(below, count * rules.odd_min) // mark) * mark
                if low <= min(above, count * (cover - mark) // mark * mark):
                    return count
        sums = {total + width for total in sums for width in rules.odd_widths}
        if count * min(rules.odd_widths or (max(rules.odd_min, 1),)) > length:
            break
    return None
