"""Lengths of a roof's edges, true on the slope: what two planes share is one edge, not two.

That two planes share a ridge, a hip or a valley is what a link of the case says: one `along` such
an edge (also where the seams cannot meet there), or a mirror link of two rectangles, which is that
of a ridge. Edges are the same one where they are equally long, but for rounding and drawing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

from solver.case import Case
from solver.case_parts import EDGE_KINDS, EdgeKind
from solver.shape.edges import Edge, edges_of
from solver.shape.shared import as_long, sides_of_one


@dataclass(frozen=True, slots=True)
class Run:
    """How much edge of one kind there is (ticks): `once` with what is shared counted once, `sides`
    with it counted once from each side."""

    once: float
    sides: float


def edge_runs(case: Case) -> dict[EdgeKind, Run]:
    """The edges of all planes and their holes, by kind."""
    every = {plane.id: edges_of(plane) for plane in case.planes}
    shared = list(_shared(case, every))
    runs = {}
    for kind in EDGE_KINDS:
        sides = fsum(edge.length for edges in every.values() for edge in edges if edge.kind == kind)
        twice = fsum(edge.length for edge in shared if edge.kind == kind)
        runs[kind] = Run(sides - twice, sides)
    return runs


def _shared(case: Case, every: dict[str, tuple[Edge, ...]]) -> Iterator[Edge]:
    """Every edge that two planes share, as the first of them has it."""
    taken: set[tuple[str, int]] = set()
    for (first, second), along in _said(case):
        for i, j in sides_of_one(every[first], every[second], along):
            if (first, i) in taken or (second, j) in taken:
                continue
            if as_long(every[first][i], every[second][j]):
                taken |= {(first, i), (second, j)}
                yield every[first][i]
                break


def _said(case: Case) -> Iterator[tuple[tuple[str, str], str]]:
    """Pairs of planes, and along what kind of edge they meet."""
    plain = {plane.id for plane in case.planes if plane.outline is None}
    for link in case.links:
        if link.along:
            yield link.planes, link.along
        elif link.how == "mirror" and not link.offset and plain.issuperset(link.planes):
            yield link.planes, "ridge"
    for apart in case.apart:
        yield apart.planes, apart.along

