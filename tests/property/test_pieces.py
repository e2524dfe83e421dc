"""Pieces of any simple polygon: they tile it, and the rules of pieces agree with them.

Outside reference for areas and for overlaps: shapely (GEOS), whose floats are allowed a relative
1e-9. Everything else is exact.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from math import ceil

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver.case import Case, Lay, Penetration, Plane
from solver.case_parts import EDGE_KINDS, Hole, Outline
from solver.shape.edges import edges_of, ends_at, holds
from solver.shape.outline import legal_mask, legal_panels, strip_faults, strip_length
from solver.shape.pieces import Piece, pieces_of
from solver.shape.strip_lengths import strip_lengths
from tests.unit.builders import make_case, make_curb, make_plane

usual = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
Points = list[tuple[int, int]]
SCALES = st.sampled_from([1, 1, 3, 997, 640_000])  # the largest makes planes of a kilometre


def doubled(points: Points) -> int:
    return sum(
        x_1 * y_2 - x_2 * y_1
        for (x_1, y_1), (x_2, y_2) in zip(points, points[1:] + points[:1], strict=True)
    )


def tidied(points: Points) -> Points:
    """Without points in the middle of a straight edge."""
    kept = points
    while True:
        short = [
            b
            for a, b, c in zip(kept[-1:] + kept[:-1], kept, kept[1:] + kept[:1], strict=True)
            if (b[0] - a[0]) * (c[1] - b[1]) != (b[1] - a[1]) * (c[0] - b[0])
        ]
        if short == kept:
            return kept
        kept = short


@st.composite
def stars(draw: st.DrawFn) -> tuple[Points, list[Points]]:
    """Seen whole from its middle; the hole has its points on some of the same rays, farther in."""
    spread = draw(st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), max_size=9))
    rays: list[tuple[int, int]] = []
    for x, y in [(5, 0), (0, 5), (-5, 0), (0, -5), *spread]:
        if (x, y) != (0, 0) and all(x * b != y * a or x * a + y * b < 0 for a, b in rays):
            rays.append((x, y))
    rays.sort(key=lambda ray: float(np.arctan2(ray[1], ray[0])))
    far = [draw(st.integers(2, 9)) for _ in rays]
    outer = [(x * r, y * r) for (x, y), r in zip(rays, far, strict=True)]
    near = [draw(st.integers(1, r - 1)) for r in far]
    inner = [(x * r, y * r) for (x, y), r in zip(rays, near, strict=True)]
    return outer, [inner] if draw(st.booleans()) else []


@st.composite
def skylines(draw: st.DrawFn) -> tuple[Points, list[Points]]:
    """Columns side by side, each meeting the next: rectilinear; holes within some of them."""
    outer_low: Points = []
    outer_high: Points = []
    holes = []
    x, low, high = 0, 0, 0
    for number in range(draw(st.integers(1, 6))):
        wide = draw(st.integers(1, 30))
        if number == 0:
            low, high = 0, draw(st.integers(1, 40))
        else:
            fixed = draw(st.integers(low, high - 1))
            low = fixed - draw(st.integers(0, 20))
            high = fixed + 1 + draw(st.integers(0, 20))
        outer_low += [(x, low), (x + wide, low)]
        outer_high += [(x, high), (x + wide, high)]
        if wide > 2 and high - low > 2 and draw(st.booleans()):
            x_1 = draw(st.integers(x + 1, x + wide - 2))
            x_2 = draw(st.integers(x_1 + 1, x + wide - 1))
            y_1 = draw(st.integers(low + 1, high - 2))
            y_2 = draw(st.integers(y_1 + 1, high - 1))
            holes.append([(x_1, y_1), (x_2, y_1), (x_2, y_2), (x_1, y_2)])
        x += wide
    return outer_low + outer_high[::-1], holes


@st.composite
def ribbons(draw: st.DrawFn) -> tuple[Points, list[Points]]:
    """Between two broken lines: zigzags, wedges, needles a tick thick."""
    x, low, high = 0, [(0, 0)], [(0, draw(st.integers(0, 5)))]
    for _ in range(draw(st.integers(1, 7))):
        x += draw(st.integers(1, 40))
        y = draw(st.integers(-60, 60))
        low.append((x, y))
        high.append((x, y + draw(st.integers(1, 8))))
    ring = low + high[::-1]
    return (ring[1:] if low[0] == high[0] else ring), []


@st.composite
def planes(draw: st.DrawFn, *, most: int = 640_000) -> Plane:
    """Any of them, perhaps lying on its side, stretched either way, at the origin."""
    outer, holes = draw(st.one_of(stars(), skylines(), ribbons()))
    if draw(st.booleans()):
        outer = [(y, x) for x, y in outer][::-1]
        holes = [[(y, x) for x, y in hole][::-1] for hole in holes]
    across = min(draw(SCALES), most)
    up = min(draw(SCALES), most)
    left, foot = min(x for x, _ in outer), min(y for _, y in outer)
    rings = []
    for ring in (outer, *holes):
        points = tidied([((x - left) * across, (y - foot) * up) for x, y in ring])
        kinds = tuple(draw(st.sampled_from(EDGE_KINDS)) for _ in points)
        assert doubled(points) > 0 and shapely.Polygon(points).is_valid
        rings.append(Outline(tuple(points), kinds))
    plane = make_plane(
        width=max(x for x, _ in rings[0].points), length=max(y for _, y in rings[0].points)
    )
    return replace(
        plane, outline=rings[0], holes=tuple(Hole(f"hole {n}", r) for n, r in enumerate(rings[1:]))
    )


@st.composite
def cut(draw: st.DrawFn, *, most: int = 640_000) -> tuple[Plane, tuple[int, ...]]:
    """A plane and seams, of which some stand on its corners."""
    plane = draw(planes(most=most))
    corners = sorted({e.start[0] for e in edges_of(plane)} - {0, plane.width})
    seams = draw(st.lists(st.integers(1, max(plane.width - 1, 1)), max_size=5))
    if corners:
        seams += draw(st.lists(st.sampled_from(corners), max_size=3))
    return plane, tuple(sorted(seam for seam in set(seams) if 0 < seam < plane.width))


def area_of(plane: Plane) -> Fraction:
    assert plane.outline is not None
    inside = doubled(list(plane.outline.points))
    return Fraction(inside - sum(doubled(list(h.outline.points)) for h in plane.holes), 2)


def region(plane: Plane) -> shapely.Polygon:
    assert plane.outline is not None
    return shapely.Polygon(plane.outline.points, [h.outline.points for h in plane.holes])


def drawn(piece: Piece) -> shapely.Polygon:
    rings = [[(float(x), float(y)) for x, y in ring] for ring in (piece.points, *piece.holes)]
    return shapely.Polygon(rings[0], rings[1:])


@usual
@given(cut())
def test_the_pieces_of_any_polygon_tile_it(both: tuple[Plane, tuple[int, ...]]) -> None:
    plane, seams = both
    pieces = pieces_of(plane, seams)
    assert sum(piece.area for piece in pieces) == area_of(plane)
    at = (0, *seams, plane.width)
    for piece in pieces:
        assert at[piece.panel - 1] <= piece.low < piece.high <= at[piece.panel]
        assert piece.area > 0
        assert {piece.low, piece.high} <= {x for x, _ in piece.points}
        assert min(y for _, y in piece.points) == piece.y_low
        assert max(y for _, y in piece.points) == piece.y_high
        corners = [corner for ring in (piece.points, *piece.holes) for corner in ring]
        assert all(holds(plane, x, y) for x, y in corners)
    numbers = [(piece.panel, piece.part) for piece in pieces]
    assert numbers == sorted(set(numbers))


@usual
@given(cut(most=997), st.data())
def test_every_place_is_on_one_piece(
    both: tuple[Plane, tuple[int, ...]], data: st.DataObject
) -> None:
    """Places a third of a tick off the grid stand on no seam; one on an edge of the roof may be on
    no piece's inside, one within it is on exactly one."""
    plane, seams = both
    pieces = pieces_of(plane, seams)
    for _ in range(5):
        x = data.draw(st.integers(0, plane.width - 1)) + Fraction(1, 3)
        y = data.draw(st.integers(0, plane.length)) + Fraction(data.draw(st.integers(0, 6)), 7)
        on = [piece for piece in pieces if within(piece, x, y)]
        assert len(on) == (1 if holds(plane, x, y) and not on_edge(plane, x, y) else 0)


def on_edge(plane: Plane, x: Fraction, y: Fraction) -> bool:
    return any(
        not edge.upright
        and min(edge.start[0], edge.end[0]) <= x <= max(edge.start[0], edge.end[0])
        and edge.y_at(x) == y
        for edge in edges_of(plane)
    )


def within(piece: Piece, x: Fraction, y: Fraction) -> bool:
    """Whether an odd number of the piece's sides pass below; False on a side."""
    below = 0
    for ring in (piece.points, *piece.holes):
        for (x_1, y_1), (x_2, y_2) in zip(ring, ring[1:] + ring[:1], strict=True):
            if x_1 != x_2 and min(x_1, x_2) <= x < max(x_1, x_2):
                height = y_1 + (x - x_1) * (y_2 - y_1) / (x_2 - x_1)
                if height == y:
                    return False
                below += height < y
    return below % 2 == 1


@usual
@given(cut(most=3))
def test_shapely_cuts_the_same_pieces(both: tuple[Plane, tuple[int, ...]]) -> None:
    plane, seams = both
    pieces, whole = pieces_of(plane, seams), region(plane)
    assert whole.area == pytest.approx(float(area_of(plane)), rel=1e-9)
    for number, (low, high) in enumerate(pairwise((0, *seams, plane.width)), 1):
        here = [piece for piece in pieces if piece.panel == number]
        strip = whole.intersection(shapely.box(low, -1, high, plane.length + 1))
        parts = [p for p in shapely.get_parts(strip) if p.area > 1e-9]
        areas = sorted(part.area for part in parts)
        assert areas == pytest.approx(sorted(float(piece.area) for piece in here), rel=1e-9)
    shapes = [drawn(piece) for piece in pieces]
    assert all(shape.is_valid for shape in shapes)
    for one, other in combinations(shapes, 2):
        assert one.intersection(other).area <= 1e-9 * whole.area


@usual
@given(cut(most=3), st.data())
def test_curbs_are_taken_out_and_nothing_else(
    both: tuple[Plane, tuple[int, ...]], data: st.DataObject
) -> None:
    plane, seams = both
    curbs = tuple(
        make_curb(
            data.draw(st.integers(0, plane.width)), f"C{number}",
            y=data.draw(st.integers(0, plane.length)),
            across=data.draw(st.integers(1, 60)), along=data.draw(st.integers(1, 60)),
        )
        for number in range(data.draw(st.integers(1, 3)))
    )  # fmt: skip
    pieces = pieces_of(plane, seams, curbs)
    left = region(plane)
    for pen in curbs:
        half = (pen.across / 2, pen.along / 2)
        box = shapely.box(pen.x - half[0], pen.y - half[1], pen.x + half[0], pen.y + half[1])
        left = left.difference(box)
        for piece in pieces:
            assert drawn(piece).intersection(box).area < 1e-6
    area = sum((piece.area for piece in pieces), Fraction(0))
    assert float(area) == pytest.approx(left.area, rel=1e-9, abs=1e-6)
    for piece in pieces:
        assert piece.cut_by == tuple(pen.id for pen in curbs if ends(pen, piece))


def ends(pen: Penetration, piece: Piece) -> bool:
    """Whether a level side of a piece lies on one of the curb over more than a point."""
    for ring in (piece.points, *piece.holes):
        for (x_1, y_1), (x_2, y_2) in zip(ring, ring[1:] + ring[:1], strict=True):
            on = y_1 == y_2 and abs(2 * y_1 - 2 * pen.y) == pen.along
            half = Fraction(pen.across, 2)
            low, high = max(min(x_1, x_2), pen.x - half), min(max(x_1, x_2), pen.x + half)
            # a side that runs towards low x has the roof below it, so the curb above
            towards = (x_2 < x_1) == (y_1 < pen.y)
            if on and towards and low < high:
                return True
    return False


def case_of(plane: Plane, cover: int, limits: tuple[int, int, int]) -> Case:
    case = make_case(planes=(plane,), cover=cover, min_end=min(limits[2], cover))
    return replace(case, rules=replace(case.rules, min_piece=limits[0], min_length=limits[1]))


def limits_for(plane: Plane) -> st.SearchStrategy[tuple[int, int, int]]:
    """Least piece, length and end width that bind now and then."""
    wide = st.integers(0, max(plane.width // 4, 2))
    return st.tuples(wide, st.integers(0, plane.length), wide)


def along_a_wall(plane: Plane, piece: Piece) -> bool:
    """Whether a side of a piece lies on an upright rake or wall over more than a point."""
    walls = [e for e in edges_of(plane) if e.kind in ("rake", "wall") and e.start[0] == e.end[0]]
    for ring in (piece.points, *piece.holes):
        for (x_1, y_1), (x_2, y_2) in zip(ring, ring[1:] + ring[:1], strict=True):
            for edge in walls:
                low, high = sorted((Fraction(edge.start[1]), Fraction(edge.end[1])))
                bottom, top = min(y_1, y_2), max(y_1, y_2)
                if x_1 == x_2 == edge.start[0] and max(low, bottom) < min(high, top):
                    return True
    return False


@usual
@given(cut(), st.data())
def test_the_rules_agree_with_the_pieces(
    both: tuple[Plane, tuple[int, ...]], data: st.DataObject
) -> None:
    plane, seams = both
    least, short, end = data.draw(limits_for(plane))
    case = case_of(plane, plane.width, (least, short, end))
    pieces, at = pieces_of(plane, seams), (0, *seams, plane.width)
    for number, (low, high) in enumerate(pairwise(at), 1):
        here = [piece for piece in pieces if piece.panel == number]
        expected = []
        if any(p.high - p.low < least for p in here):
            expected.append("piece-narrow")
        if any(p.y_high - p.y_low < short for p in here):
            expected.append("piece-short")
        if any(p.high - p.low < end and along_a_wall(plane, p) for p in here):
            expected.append("end-rule")
        assert strip_faults(case, plane, low, high) == tuple(expected)
        length = max(p.y_high for p in here) - min(p.y_low for p in here) if here else 0
        assert strip_length(plane, low, high) == ceil(length)
    lengths = strip_lengths(plane, np.array(at[:-1]), np.array(at[1:]))
    assert lengths.tolist() == [strip_length(plane, *pair) for pair in pairwise(at)]
    faulty = any(strip_faults(case, plane, low, high) for low, high in pairwise(at))
    assert legal_panels(case, plane, at) is not faulty


@usual
@given(planes(), st.sampled_from(("left-to-right", "right-to-left", "from")), st.data())
def test_all_first_widths_at_once_and_one_by_one(
    plane: Plane, lay: Lay, data: st.DataObject
) -> None:
    plane = replace(plane, lay=lay, start=plane.width // 2 if lay == "from" else None)
    cover = data.draw(st.integers(max(plane.width // 12, 1), plane.width + 1))
    case = case_of(plane, cover, data.draw(limits_for(plane)))
    corners = [e.start[0] for e in edges_of(plane)]
    near = [
        max(place % cover + off, 1)
        for x in corners for place in (x, plane.width - x) for off in (-1, 0, 1)
    ]  # fmt: skip
    some = data.draw(st.lists(st.integers(1, cover), max_size=20))
    firsts = sorted({*range(1, min(cover, 60) + 1), *near, *some, cover})
    mask = legal_mask(case, plane, np.array(firsts, dtype=np.int64))
    for first, fine in zip(firsts, mask.tolist(), strict=True):
        seams = list(range(first, plane.width, cover)) if plane.width > cover else []
        if lay == "right-to-left":
            seams = [plane.width - seam for seam in reversed(seams)]
        assert fine is legal_panels(case, plane, [0, *seams, plane.width]), first


@usual
@given(planes(most=3), st.data())
def test_the_ends_beside_a_point_are_where_the_roof_stops(
    plane: Plane, data: st.DataObject
) -> None:
    """Everything between them is roof; one tick farther either is not or lies behind a gap."""
    x = data.draw(st.integers(0, plane.width))
    y = data.draw(st.integers(0, plane.length))
    ends = ends_at(plane, x, y)
    assert (ends is not None) is holds(plane, x, y)
    if ends is None:
        return
    low, high = ends
    assert 0 <= low <= x <= high <= plane.width
    assert all(holds(plane, Fraction(at, 2), y) for at in range(2 * low, 2 * high + 1))
    crossings = [0] + [
        at
        for edge in edges_of(plane) if min(edge.start[1], edge.end[1]) <= y <= max(
            edge.start[1], edge.end[1])
        for at in ([edge.start[0]] if edge.start[1] == edge.end[1] else [edge.x_at(y)])
    ]  # fmt: skip
    for end, beyond in ((low, low - 1), (high, high + 1)):
        stops = sorted({Fraction(end), Fraction(beyond),
                        *(Fraction(c) for c in crossings
                          if min(end, beyond) < c < max(end, beyond))})  # fmt: skip
        middles = [(a + b) / 2 for a, b in pairwise(stops)]
        assert not all(holds(plane, place, y) for place in (*stops, *middles))
