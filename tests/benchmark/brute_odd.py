"""Every way to lay the planes of a roof of fixed pipes, tried one by one: the least cost.

Panels are laid one after the other; of what is common to two ways the price is taken once, but no
way is left out. Planes are then combined by their first widths: that is all that links ask for.
States and prices are `oracle`'s.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from typing import Any

import oracle
from oracle_odd_case import OddCase, read
from oracle_odd_laying import Seam
from oracle_odd_price import stand


def optimum_cents(document: Mapping[str, Any]) -> int | None:
    """The least total of any layout in cents; None where none is allowed.

    Raises:
        ValueError: the case has more than pipes that cannot move, odd panels and links.
    """
    case = read(document)
    base = case.base
    plain = all(pen.pipe and pen.status == "fixed" and not pen.forbid for pen in base.pens)
    if not plain or case.play or base.robust or base.agreed_firsts or any(
        line is not None for line in case.lines
    ):
        raise ValueError("brute force knows fixed pipes, odd panels and links only")
    planes = [_Plane(case, number).by_first() for number in range(len(base.planes))]
    best: int | None = None
    for firsts in product(*planes):
        cents = sum(found[first] for found, first in zip(planes, firsts, strict=True))
        for link in base.links:
            if not _meet(case, link, firsts):
                if link.must:
                    break
                cents += base.cents["misaligned"]
        else:
            best = cents if best is None else min(best, cents)
    return best


def _meet(case: OddCase, link: oracle.Link, firsts: tuple[int, ...]) -> bool:
    seams = []
    for number in (link.one, link.two):
        plane = case.plane(number)
        if case.seamless(number):
            return True
        first = firsts[number]
        seams.append(first if plane.rightward else plane.width - first)
    return oracle.grids_met(case.base, link, *seams)


class _Plane:
    """One plane, laid panel by panel; distances are from the end where laying starts."""

    def __init__(self, case: OddCase, number: int) -> None:
        self.case, self.number, self.plane = case, number, case.plane(number)
        self.pens = [case.base.pens[i] for i in case.base.on(number)]
        self.known: dict[tuple[int, int], int] = {}

    def by_first(self) -> dict[int, int]:
        """The least cents for each first width that can be laid on to a legal end."""
        if self.case.seamless(self.number):
            return {self.plane.width: self._panel(0, self.plane.width)}
        base = self.case.base
        found = {}
        for first in oracle.whole_marks(base):
            if first >= base.min_end:
                least = self._onward(first, first, self.case.odd_panels)
                if least is not None:
                    found[first] = least + self._panel(0, first)
        return found

    def _onward(self, first: int, at: int, odd: int) -> int | None:
        base = self.case.base
        left = self.plane.width - at
        least: int | None = None
        if base.min_end <= left <= base.cover:
            uneven = oracle.uneven_by(base, first, left) * base.cents["uneven"]
            least = self._panel(at, self.plane.width) + uneven
        widths = [(base.cover, 0)] if left > base.cover else []
        if odd:
            widths += [(w, base.cents["odd_panel"]) for w in self.case.odd_widths if w < left]
        for width, cents in widths:
            more = self._onward(first, at + width, odd - (width != base.cover))
            if more is not None:
                whole = more + cents + self._panel(at, at + width)
                least = whole if least is None else min(least, whole)
        return least

    def _panel(self, near: int, far: int) -> int:
        """Cents of the pipes in one panel."""
        key = (near, far)
        if key not in self.known:
            base, plane = self.case.base, self.plane
            edges = [near, far] if plane.rightward else [plane.width - near, plane.width - far]
            low, high = sorted(edges)
            sides = (base.back, base.fwd) if plane.rightward else (base.fwd, base.back)
            seams = [Seam(x, *sides, 0, 0) for x in (low, high) if 0 < x < plane.width]
            self.known[key] = sum(
                oracle.pen_cost(base, pen, stand(self.case, pen, seams, pen.x))
                for pen in self.pens
                if near <= (pen.x if plane.rightward else plane.width - pen.x) < far
                or pen.x == far == plane.width
            )
        return self.known[key]
