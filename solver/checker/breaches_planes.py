"""Which rules the panels of a plane break: end widths, odd panels, changes of module.

Part of the independent checker, and shared with nothing else. A name ending in `2` counts half
ticks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solver.case import Case, Plane
from solver.checker.breach_words import Words, fine_words, numbers, odd_limits
from solver.checker.laying import Laid
from solver.result import JudgedPlane

Broken = tuple[str, str]
"""Code and sentence."""


def of_plane(
    case: Case, words: Words, plane: Plane, judged: JudgedPlane, first: int
) -> Iterator[Broken]:
    """What the panels at the ends break.

    On a plane with an outline they are at least a mark wide: all else is asked of their pieces.
    """
    cover = case.panel.cover
    least = case.rules.min_end if plane.outline is None else case.mark
    if plane.width <= cover:
        if first != plane.width:
            own, given = 2 * plane.width, 2 * first
            wider = first > plane.width
            yield "one-panel", (
                f"Plane {plane.id} is a single panel without seams: its first width is its own, "
                f"{words.down(own) if wider else words.up(own)}, and not "
                f"{words.up(given) if wider else words.down(given)}."
            )
        return
    both_ways = plane.lay == "from"
    if not both_ways and first % case.mark and first != cover:
        yield "whole-mark", (
            f"The first width of plane {plane.id} falls between two marks, at about "
            f"{words.near(first)}: it must be a whole number of {words.near(case.mark)}, or a "
            f"full panel of {words.near(cover)}."
        )
    for name, end, width in (
        ("first", plane.low_end, judged.first), ("last", plane.high_end, judged.last)
    ):
        which = f"width at the {end}" if both_ways else f"{name} width"
        if width < least:
            yield "end-rule", (
                f"The {which} of plane {plane.id} is {words.down(2 * width)}: it must be at "
                f"least {words.up(2 * least)}."
            )
        elif width > cover:
            yield "end-rule", (
                f"The {which} of plane {plane.id} is {words.up(2 * width)}: it must be at "
                f"most a full panel, {words.down(2 * cover)}."
            )


def of_odds(
    case: Case, words: Words, plane: Plane, laid: Laid, odds: Sequence[tuple[int, int]]
) -> Iterator[Broken]:
    """What odd panels break, given as panel numbers and widths (ticks)."""
    most = case.rules.odd_panels
    if len(odds) > most:
        has = f"{len(odds)} odd panels" if len(odds) > 1 else "an odd panel"
        allowed = f"at most {most} on a plane" if most else "none"
        yield "odd-panels", f"Plane {plane.id} has {has}: the case allows {allowed}."
    between = [panel.number for panel in laid.panels[1:-1]]
    for panel, width in odds:
        head = f"Panel {panel} of plane {plane.id}"
        if panel in laid.ends:
            real = next(p.high - p.low for p in laid.panels if p.number == panel)
            has = f"here it is one of {numbers(between)}" if between else "here there is none"
            yield "odd-end", (
                f"{head} is an end panel, {words.near(real)} wide: an odd panel has a seam of the "
                f"plane on either side, {has}."
            )
        elif says := _of_odd_width(case, words, width):
            yield "odd-width", f"{head} {says}."


def _of_odd_width(case: Case, words: Words, width: int) -> str:
    rules, widest = case.rules, case.panel.cover - case.mark
    if rules.odd_widths:
        if width in rules.odd_widths:
            return ""
        return f"is about {words.near(width)} wide: an odd panel is exactly {odd_limits(case)} wide"
    if width < rules.odd_min:
        shown = f"is {words.down(2 * width)} wide"
    elif width > widest:
        shown = f"is {words.up(2 * width)} wide"
    elif width % case.mark:
        shown = f"falls between two marks, at about {words.near(width)}"
    else:
        return ""
    return (
        f"{shown}: an odd panel is a whole number of {words.near(case.mark)} wide, "
        f"{odd_limits(case)}"
    )


def of_changes(
    case: Case, plane: Plane, laid: Laid, changes: Sequence[tuple[int, int]]
) -> Iterator[Broken]:
    """What changes of module break, given as stretches and ticks; written finer than the mark."""
    rules = case.rules
    fine = fine_words(case)
    for stretch, ticks in changes:
        head = f"The module of stretch {stretch} of plane {plane.id} is changed by"
        if abs(ticks) > rules.play:
            shown = fine.up(2 * ticks) if ticks > 0 else f"-{fine.up(-2 * ticks)}"
            asked = (
                f"the play is at most {fine.down(2 * rules.play)} either way"
                if rules.play
                else "the case allows no play"
            )
            yield "beyond-play", f"{head} {'+' if ticks > 0 else ''}{shown}: {asked}."
        if rules.play and rules.play_mark and ticks % rules.play_mark:
            yield "play-mark", (
                f"{head} about {fine.signed(ticks)}: a change is a whole number of "
                f"{fine.near(rules.play_mark)}."
            )
        if not laid.full_in(stretch):
            yield "no-full-panel", (
                f"{head} {fine.signed(ticks)}, but it has no full panel to lay wider or narrower: "
                "its module must stay the cover."
            )
