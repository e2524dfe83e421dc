"""Which rules the pieces of panels break on a plane with an outline.

Part of the independent checker, and shared with nothing else. A name ending in `2` counts half
ticks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import floor

from solver.case import Case, Plane
from solver.checker.breach_words import Words
from solver.checker.breaches_planes import Broken
from solver.checker.laying import Laid, LaidPanel
from solver.checker.outlines import Piece, Upright

Pieces = Sequence[Sequence[Piece]]
"""The pieces of every panel of a plane, in increasing x; none on a plain rectangle."""


def of_pieces(
    case: Case, words: Words, plane: Plane, laid: Laid, pieces: Pieces
) -> Iterator[Broken]:
    """What pieces break, panel by panel from left to right.

    Of the pieces of one panel that break one rule the worst is told. A plane that is a single panel
    cannot be laid otherwise: nothing is asked of it.
    """
    if plane.width <= case.panel.cover:
        return
    for panel, own in zip(laid.panels, pieces, strict=True):
        yield from _of_panel(case, words, plane, panel, own)


def _of_panel(
    case: Case, words: Words, plane: Plane, panel: LaidPanel, pieces: Sequence[Piece]
) -> Iterator[Broken]:
    rules = case.rules
    head = f"Panel {panel.number} of plane {plane.id} has a piece"
    if narrows := [piece for piece in pieces if _width(piece) < rules.min_piece]:
        narrow = min(narrows, key=_width)
        yield "piece-narrow", (
            f"{head} {words.down(2 * _width(narrow))} wide, from {words.place(narrow.low)} to "
            f"{words.place(narrow.high)}: it must be at least {words.up(2 * rules.min_piece)} wide."
        )
    if shorts := [piece for piece in pieces if piece.top - piece.bottom < rules.min_length]:
        short = min(shorts, key=lambda piece: piece.top - piece.bottom)
        yield "piece-short", (
            f"{head} {words.down(floor(2 * (short.top - short.bottom)))} long, from "
            f"{words.place(short.low)} to {words.place(short.high)} along the eave: it must be at "
            f"least {words.up(2 * rules.min_length)} long."
        )
    least = min(rules.min_end, case.panel.cover)  # a full panel is always enough
    if ends := [piece for piece in pieces if piece.beside and _width(piece) < least]:
        worst = min(ends, key=_width)
        yield "end-rule", (
            f"{head} {words.down(2 * _width(worst))} wide beside "
            f"{_edge(words, worst.beside[0])}: it must be at least {words.up(2 * least)} wide "
            "there."
        )


def _width(piece: Piece) -> int:
    return piece.high - piece.low


def _edge(words: Words, edge: Upright) -> str:
    owner = f" of the {edge.hole}" if edge.hole else ""
    return f"the {edge.kind}{owner} at {words.place(edge.x)}"
