"""Planes laid out as they were found, out of square: part of the independent checker.

How far a rake stands off grows evenly from nothing at the eave to what the case says at the top.
Exact fractions of ticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil, floor

from solver.case import Case, Plane
from solver.checker.breach_words import Words
from solver.checker.laying import Laid


def roof_at(plane: Plane, y: int) -> tuple[int, int]:
    """Where the roof begins and ends `y` up the slope, rounded towards its inside."""
    assert plane.lean is not None
    share = Fraction(y, plane.length)
    return ceil(plane.lean.low * share), floor(plane.width + plane.lean.high * share)


def tops(plane: Plane, laid: Laid) -> tuple[int, int] | None:
    """Widths of the panels at the low and the high end at the top of a leaning plane, else None."""
    if plane.lean is None:
        return None
    if not laid.seams:
        return (plane.width + plane.lean.high - plane.lean.low,) * 2
    seams = seams_at(plane, laid.seams, plane.length)
    return seams[0] - plane.lean.low, plane.width + plane.lean.high - seams[-1]


def seams_at(plane: Plane, seams: tuple[int, ...], y: int) -> tuple[int, ...]:
    """Where the seams of a plane, given as at the eave, stand `y` up the slope; by increasing x.

    Square to the eave all stand where they do there. In a fan the two outermost keep their distance
    from the rakes, and those between share out evenly what the roof is wider or narrower up there.
    """
    if plane.lean is None or not plane.lean.fan or not seams:
        return seams
    share = Fraction(y, plane.length)
    low, high = plane.lean.low * share, plane.lean.high * share
    last = len(seams) - 1
    if not last:  # its far end tapers: it goes with the rake that the laying starts from
        own = high if plane.lay == "right-to-left" else low
        return (seams[0] + _nearest(own),)
    return tuple(
        seam + _nearest(low + (high - low) * Fraction(number, last))
        for number, seam in enumerate(seams)
    )


def _nearest(exact: Fraction) -> int:
    """The nearest whole number, halves away from zero."""
    size = floor(abs(exact) + Fraction(1, 2))
    return size if exact >= 0 else -size


def of_lean(case: Case, words: Words, plane: Plane, laid: Laid) -> Iterator[tuple[str, str]]:
    """What a leaning plane's panels break beyond what they break at the eave."""
    lean, widths = plane.lean, tops(plane, laid)
    if lean is None or widths is None or not laid.seams:
        return
    cover, least = case.panel.cover, case.rules.min_end
    if lean.fan:
        if any(not panel.full for panel in laid.panels[1:-1]):
            yield "fan-odd", f"The seams of plane {plane.id} are fanned: it has no odd panels."
        spread, full = abs(lean.high - lean.low), len(laid.panels) - 2
        if spread > case.rules.play * full:
            yield "fan-play", (
                f"Plane {plane.id} is {words.near(spread)} "
                f"{'wider' if lean.high > lean.low else 'narrower'} at the top, for {full} full "
                f"panels to share: each may take {words.near(case.rules.play)} of play."
            )
        return
    for end, width in ((plane.low_end, widths[0]), (plane.high_end, widths[1])):
        if width < least:
            yield "end-rule", (
                f"At the top the panel at the {end} of plane {plane.id} is "
                f"{words.down(2 * width)} wide: it must be at least {words.up(2 * least)}."
            )
        elif width > cover:
            yield "end-rule", (
                f"At the top the panel at the {end} of plane {plane.id} is "
                f"{words.up(2 * width)} wide: it must be at most a full panel, "
                f"{words.down(2 * cover)}."
            )
