"""The rest of a run as a plane of its own: a case that the whole solver and the checker know.

Its first panel is the last one laid, agreed and frozen with the cover as its width, so that it ends
at the last seam laid; the play's stretches begin there. Ticks.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate, pairwise

from solver.case import Case, Freeze, Penetration
from solver.case_parts import Centre
from solver.checker.breach_words import words_of
from solver.checker.breaches_pieces import of_pieces
from solver.checker.judge import judge
from solver.checker.laying import Laid, LaidPanel
from solver.checker.outlines import pieces_of
from solver.layout import Change, Layout, Odd
from solver.replan.row import Row
from solver.replan.ways import Way

_OF_PANELS = ("end-rule", "odd-panels", "odd-end", "odd-width", "beyond-play", "play-mark",
              "no-full-panel", "frozen")


def rest_case(row: Row, slots: int) -> tuple[Case, tuple[int, ...]]:
    """The rest of a run (at its eave reading) as a case, and which penetrations are in it.

    `slots`: how many odd panels the plane may still have. For planes without an outline.
    """
    case, front, cover = row.case, row.front, row.case.panel.cover
    back = front.eave - cover
    turned = row.plane.lay == "right-to-left" or front.sign < 0

    def place(x: int) -> int:
        return front.room - row.distance(x) if turned else row.distance(x) - back

    width = front.room - back
    inside = [i for i in case.on(row.plane.id)
              if 0 <= place(case.penetrations[i].x) <= width]
    keepouts = []
    for keepout in row.plane.keepouts:
        low, high = place(keepout.x_from), place(keepout.x_to)
        if high >= 0 and low <= width:
            keepouts.append(replace(keepout, x_from=low, x_to=high))
    lean = row.plane.lean
    if lean is not None:  # the first panel stands for what is laid: only the far rake matters
        lean = None if lean.fan else (
            replace(lean, high=0) if turned else replace(lean, low=0)
        )
    plane = replace(
        row.plane, width=width, lay="right-to-left" if turned else "left-to-right", start=None,
        keepouts=tuple(keepouts), survey=None, lean=lean,
    )
    pens: list[Penetration] = []
    for i in inside:
        pen = case.penetrations[i]
        pens.append(replace(pen, x=place(pen.x), ends=None))
    centres: tuple[Centre, ...] = tuple(
        replace(centre, at=place(centre.at)) for centre in case.centres
        if centre.plane == row.plane.id and 0 <= place(centre.at) <= width
    )
    names = {pen.id for pen in pens}
    moves = tuple((name, move) for name, move in case.freeze.moves if name in names)
    rest = replace(
        case, planes=(plane,), links=(), apart=(), gridlines=(), joins=(), covers=(),
        penetrations=tuple(pens), centres=centres,
        rules=replace(case.rules, odd_panels=slots),
        freeze=Freeze(((plane.id, cover),), moves),
    )
    return rest, tuple(inside)


def way_from(layout: Layout, rest: Case) -> Way:
    """The way that a layout of `rest_case` lays its panels behind the first."""
    judged = judge(rest, layout)
    seams = judged.planes[0].seams
    if rest.planes[0].lay == "right-to-left":
        seams = tuple(rest.planes[0].width - seam for seam in reversed(seams))
    widths = tuple(b - a for a, b in pairwise(seams))
    odds = tuple((odd.panel - 1, odd.width) for odd in layout.odds)
    return Way(odds, tuple((c.stretch, c.ticks) for c in layout.changes if c.ticks), widths)


def broken_panels(row: Row, way: Way, slots: int) -> list[str]:
    """The rules that the panels of a way break, by the checker, as sentences; widths of a way that
    goes on with the plan's stretches are not looked at, the plan's own check did."""
    if row.plane.outline is not None:
        return _broken_pieces(row, way)
    if way.planned:
        return []
    rest, inside = rest_case(row, slots)
    layout = Layout(
        (rest.panel.cover,), (0,) * len(inside),
        tuple(Odd(0, number + 1, width) for number, width in way.odds),
        tuple(Change(0, stretch, ticks) for stretch, ticks in way.changes),
    )
    about = rest.planes[0].id
    return [breach.says for breach in judge(rest, layout).breaks
            if breach.code in _OF_PANELS and breach.about == (about,)]


def _broken_pieces(row: Row, way: Way) -> list[str]:
    """The rules that the pieces of the panels still to lay break on a plane with an outline."""
    front = row.front
    start = {"left-to-right": 0, "right-to-left": row.plane.width}.get(
        row.plane.lay, row.plane.start or 0
    )
    turn = -1 if row.plane.lay == "right-to-left" or front.sign < 0 else 1
    edges = [*accumulate(way.widths, initial=front.eave), front.room]
    panels = []
    for place, pair in enumerate(pairwise(edges), 1):
        low, high = sorted(start + turn * edge for edge in pair)
        panels.append(LaidPanel(front.sign * (front.seam + place), 0, low, high, full=True))
    panels.sort(key=lambda panel: panel.low)
    pieces = pieces_of(row.plane, [(panel.low, panel.high) for panel in panels])
    laid = Laid(tuple(panels), None)
    return [says for _, says in of_pieces(row.case, words_of(row.case), row.plane, laid, pieces)]
