"""From the panel list to the stock plan: every length as a cut with its width, legs and bevels."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING, Literal

from solver.clock import Clock
from solver.panels.parts import Across, Mark, PanelList, PanelPiece, sheet_width
from solver.stock.parts import Cut, Keeps, StockPlan

if TYPE_CHECKING:
    from solver.panels.parts import Cut as EndCut


def stock_of(found: PanelList, seconds: float, clock: Clock | None = None) -> StockPlan:
    """What stock the panels of a list take, within about so many seconds and what `clock` leaves.
    """
    from solver.stock.plan import plan_stock

    case = replace(found.case, sheet=found.sheet)
    return plan_stock(case, cuts_of(found), seconds, clock)


def cuts_of(found: PanelList) -> tuple[Cut, ...]:
    """Every piece of a list as the stock plan takes it.

    Of a panel in several lengths each is a cut: the list's mark, a stroke and its number from the
    eave up.
    """
    cuts: list[Cut] = []
    for plane in found.planes:
        for mark in plane.marks:
            cuts += _own(found, mark)
        cuts += (_laid_across(found, across) for across in plane.across)
    return tuple(cuts)


def _own(found: PanelList, mark: Mark) -> list[Cut]:
    piece, last = mark.piece, len(mark.piece.lengths) - 1
    made = []
    for place in range(last + 1):
        # of alike pieces, which may differ by less than a mark, the longest
        length = ceil(max(one.lengths[place] for one in mark.pieces))
        made.append(Cut(
            mark=mark.name if not last else f"{mark.name}/{place + 1}",
            length=length,
            width=found.case.panel.cover if piece.made == "spread" else piece.finished,
            keeps=keeps(piece),
            count=len(mark.pieces),
            foot=_rise(piece.lower, -1) if place == 0 else 0,
            head=_rise(piece.upper, 1) if place == last else 0,
            turned=(piece.left == "male" and piece.right != "male") or piece.right == "female",
            flat=piece.rip if piece.made in ("re-formed", "two male") else None,
        ))
    return made


def keeps(piece: PanelPiece) -> Keeps:
    """Which legs of a sheet a piece keeps."""
    legs: list[Literal["male", "female"]] = [
        leg for leg in (piece.left, piece.right) if leg == "male" or leg == "female"
    ]
    return "both" if len(legs) == 2 else legs[0] if legs else "none"


def _rise(cuts: tuple[EndCut, ...], sign: int) -> Fraction | None:
    """How much higher the right corner of an end is than the left; None if it is no single cut."""
    if len(cuts) != 1:
        return None
    return sign * (cuts[0].left[1] - cuts[0].right[1])


def _laid_across(found: PanelList, across: Across) -> Cut:
    """Panels laid across: full width, square; the uppermost is ripped from a full one."""
    assert across.width == sheet_width(found.case, found.sheet)
    return Cut(across.name, across.length, found.case.panel.cover, "both", across.count)
