"""What is wrong with a polygon, and with polygons inside each other, each by its points' numbers.

Coordinates are whole ticks of a few kilometres at most: exact as floats, and shapely decides
whether two segments meet in higher precision than that.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final

from solver.case_file.load_report import listed
from solver.case_file.resolve_outline import Corner, area2, bend, edges
from solver.case_parts import EdgeKind

_NAMED: Final = 3
Polygon = Sequence[Corner]
Edges = tuple[int, int]


def faults(corners: Polygon) -> Iterator[str]:
    """What keeps corners from being a simple polygon; nothing where they are one."""
    seen: dict[tuple[int, int], int] = {}
    repeated = []
    for corner in corners:
        first = seen.setdefault(corner.place, corner.number)
        if first != corner.number:
            repeated.append(f"point {corner.number} {corner.said} repeats point {first}")
    if repeated:
        yield f"{_some(repeated)}; give each corner once"
        return
    if all(bend(*three) == 0 for three in zip(corners, corners[1:], corners[2:], strict=False)):
        yield "all its points are on one line, so that it has no area"
        return
    said = [f"it turns back on itself at point {at.number} {at.said}" for at in _spikes(corners)]
    said += [
        f"its edge {_edge(corners, one)} crosses or touches its edge {_edge(corners, two)}"
        for one, two in _own_meetings(corners)
    ]
    if said:
        yield f"{_some(said)}; edges only meet at the corner they share"
    elif area2(corners) == 0:
        yield "it has no area"


def hole_faults(
    holes: Sequence[Polygon], outline: Polygon, *, written: bool
) -> Iterator[tuple[int, str]]:
    """Which hole (number in the list) is not within an outline, and how.

    `written` says that the outline has points to name.
    """
    met = _meetings([outline, *holes])
    for number, hole in enumerate(holes):
        if pairs := met.get((0, number + 1)):
            said = [
                f"its edge {_edge(hole, two)} crosses or touches the plane's "
                + (f"edge {_edge(outline, one)}" if written else _kind(outline[one].kind))
                for one, two in sorted(pairs, key=lambda pair: pair[::-1])
            ]
            yield number, f"{_some(said)}; a hole lies within its plane"
        elif not _within(hole, outline):
            yield number, "it is not within the outline of the plane"


def overlaps(holes: Sequence[Polygon], names: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Which hole (number in the list) is in the way of an earlier one, and how.

    A hole that only touches another is in its way: between them there would be no roof to stand on.
    """
    met = _meetings(holes) if len(holes) > 1 else {}
    boxes = [_box(hole) for hole in holes]
    for later, hole in enumerate(holes):
        for earlier in range(later):
            other, name = holes[earlier], names[earlier]
            if pairs := met.get((earlier, later)):
                one, two = pairs[0]
                edge = f"edge {_edge(other, one)} of {name}"
                yield later, f"its edge {_edge(hole, two)} crosses or touches {edge}"
            elif _boxed(boxes[later], boxes[earlier]) and _within(hole, other):
                yield later, f"it lies within {name}"
            elif _boxed(boxes[earlier], boxes[later]) and _within(other, hole):
                yield later, f"it goes around {name}"


def _box(corners: Polygon) -> tuple[int, int, int, int]:
    across, along = [c.x for c in corners], [c.y for c in corners]
    return min(across), min(along), max(across), max(along)


def _boxed(inner: tuple[int, int, int, int], outer: tuple[int, int, int, int]) -> bool:
    """Whether one extent lies within another, as it must where one polygon lies in another."""
    low = inner[0] >= outer[0] and inner[1] >= outer[1]
    return low and inner[2] <= outer[2] and inner[3] <= outer[3]


def _spikes(corners: Polygon) -> Iterator[Corner]:
    """The corners at which an edge runs back over the one before it."""
    for (before, here), (_, after) in zip(
        edges(corners), [*edges(corners)[1:], *edges(corners)[:1]], strict=True
    ):
        back = (here.x - before.x) * (after.x - here.x) + (here.y - before.y) * (after.y - here.y)
        if bend(before, here, after) == 0 and back < 0:
            yield here


def _own_meetings(corners: Polygon) -> list[Edges]:
    """Edges of one polygon that meet though they are not neighbours."""
    count = len(corners)
    pairs = _meetings([corners]).get((0, 0), [])
    return [(one, two) for one, two in pairs if two - one not in (1, count - 1)]


def _meetings(polygons: Sequence[Polygon]) -> dict[tuple[int, int], list[Edges]]:
    """Which edges of which polygons meet, in increasing order of both."""
    import shapely

    at = [(ring, edge) for ring, corners in enumerate(polygons) for edge in range(len(corners))]
    lines = shapely.linestrings(
        [[one.place, two.place] for corners in polygons for one, two in edges(corners)]
    )
    found: dict[tuple[int, int], list[Edges]] = defaultdict(list)
    first, second = shapely.STRtree(lines).query(lines, predicate="intersects")
    for one, two in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        if one < two:
            (ring, edge), (other, far) = at[one], at[two]
            found[ring, other].append((edge, far))
    return found


def _within(one: Polygon, other: Polygon) -> bool:
    """Whether a polygon lies in another whose edges it does not meet."""
    import shapely

    around = shapely.Polygon([corner.place for corner in other])
    return bool(shapely.intersects_xy(around, one[0].x, one[0].y))


def _edge(corners: Polygon, at: int) -> str:
    one, two = corners[at], corners[(at + 1) % len(corners)]
    places = f" from {one.said} to {two.said}" if one.said else ""
    return f"{one.number}\u2013{two.number}{places}"


def _kind(kind: EdgeKind | None) -> str:
    return kind or "edge"


def _some(said: Sequence[str]) -> str:
    more = len(said) - _NAMED
    return listed([*said[:_NAMED], *[f"{more:,} more such places"] * (more > 0)])
