"""Two planes that share a ridge, a hip or a valley: how the seams of one go on in the other.

Seams run straight up each plane. At a ridge they meet where they stand at the same place of it. At
a hip or a valley the same place of the edge is, on either plane, as far from the shared corner as
the edge has run by then: where it runs equally far along both eaves, a seam meets one that stands
as far from the corner; where it does not, the two grids drift apart from panel to panel (plane
geometry: the edge's run on one plane is a fixed share of that on the other).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from solver.case import Plane
from solver.case_file.load_report import length_said, listed, ordinal, printable
from solver.shape.edges import Edge, edges_of
from solver.shape.shared import as_long
from solver.units import Units

_FEW: Final = 12


@dataclass(frozen=True, slots=True)
class Joint:
    """How the seams of two planes go on: `offset` (ticks) of a mirror link, or what is in the way.

    `apart` says why seams cannot meet, `wrong` why the case says too little or nothing; one of the
    two is empty, and both where there is an offset.
    """

    offset: int | None
    apart: str = ""
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class _Side:
    """One plane's part of the edge: its run along the eave and where the shared corner is
    (ticks)."""

    run: int
    corner: int
    at_right: bool
    edge: Edge


def joint(along: str, first: Plane, second: Plane, units: Units, meet_tol: int) -> Joint:
    """How seams go on from the first plane to the second across an edge of the kind `along`.

    An edge that runs along the two eaves alike to within `meet_tol` (ticks) lets seams that meet at
    one of its ends meet at the other as well as a link asks for.
    """
    sides = []
    for plane in (first, second):
        every = edges_of(plane)
        sides.append(_ridges(every, last=plane is second) if along == "ridge" else _slants(
            along, every))  # fmt: skip
        if not sides[-1]:
            kinds = listed(dict.fromkeys(edge.kind for edge in every))
            level = any(edge.kind == along for edge in every)
            slanting = " that slants" if level else ""
            lacks = f"plane {printable(plane.id)} has no {along}{slanting}; its edges are {kinds}"
            return Joint(None, wrong=lacks)
    pairs = [
        (one, two)
        for one in sides[0]
        for two in sides[1]
        if along == "ridge" or one.at_right != two.at_right
    ]
    if not pairs:
        end = "right" if sides[0][0].at_right else "left"
        return Joint(
            None,
            wrong=f"both planes have their {along} at the {end} end only; the right one of a plane "
            "meets the left one of the other",
        )
    # What two planes share is equally long on both, but for the rounding of its ends.
    pairs = [(one, two) for one, two in pairs if as_long(one.edge, two.edge)] or pairs
    alike = [(one, two) for one, two in pairs if abs(one.run - two.run) <= meet_tol]
    least = min((abs(one.run - two.run) for one, two in alike), default=0)
    pairs = [(one, two) for one, two in alike if abs(one.run - two.run) == least] or pairs
    pairs = [(one, two) for one, two in pairs if one.at_right] or pairs
    if len(pairs) > 1:
        return Joint(
            None,
            wrong=f"{len(pairs)} pairs of their edges would fit, so that it does not say which; "
            "leave it out and give offset",
        )
    one, two = pairs[0]
    if along == "ridge" or abs(one.run - two.run) <= meet_tol:
        return Joint(one.corner + two.corner - first.width)
    here, there = (length_said(side.run, units) for side in (one, two))
    names = [printable(plane.id) for plane in (first, second)]
    ratio = Fraction(one.run, two.run)
    counts = (ratio.numerator, ratio.denominator)
    best = "so that they drift apart from seam to seam"
    if max(counts) <= _FEW:
        nth = [
            f"every {ordinal(count)} seam of {name}" if count > 1 else f"a seam of {name}"
            for count, name in zip(counts, names, strict=True)
        ]
        best = f"so that at best {nth[0]} meets {nth[1]}"
    return Joint(
        None,
        f"their {along} runs {here} along the eave of {names[0]} and {there} along that of "
        f"{names[1]}; seams one cover apart on both stand at different places of it, {best}",
    )


def _ridges(edges: Sequence[Edge], *, last: bool) -> list[_Side]:
    """Every ridge: what its low x is on one plane its high x is on the other."""
    return [
        _Side(abs(edge.end[0] - edge.start[0]), (max if last else min)(edge.start[0], edge.end[0]),
              at_right=False, edge=edge)
        for edge in edges
        if edge.kind == "ridge" and edge.start[0] != edge.end[0]
    ]  # fmt: skip


def _slants(along: str, edges: Sequence[Edge]) -> list[_Side]:
    """Every hip or valley; the shared corner is the lower one."""
    found = []
    for edge in edges:
        (x_1, y_1), (x_2, y_2) = edge.start, edge.end
        if edge.kind == along and x_1 != x_2 and y_1 != y_2:
            rises = y_2 > y_1  # with the roof on its left, so it is at the right end
            found.append(_Side(abs(x_2 - x_1), x_1 if rises else x_2, rises, edge))
    return found
