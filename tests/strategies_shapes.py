"""Small outlines and holes for strategies_outline, on a lattice: hips, valleys, steps, needles.

Points are in units of the lattice, counter-clockwise; kinds as the slopes say them, now and then
another one. What crosses or touches itself is never given out.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations
from math import atan2

from oracle_outline_pieces import Ring, area2, inside, touching, turn
from solver.case_parts import EDGE_KINDS, EdgeKind, Outline
from strategies import Chooser

Plan = list[tuple[Fraction, Fraction]]
SHAPES = (
    "box", "hips", "hips", "hip one end", "triangle", "valleys", "step", "step", "tower", "tower",
    "bay", "valley notch", "valley notch", "bite", "bite", "spike", "leaning", "any", "any",
    "needle", "arrow", "arms", "arms",
)  # fmt: skip


def plan(s: Chooser, name: str, w: int, h: int, cover: int) -> Plan:
    """A named shape of about that size; `cover` is where seams like to be."""

    def across(low: int = 1, high: int | None = None) -> int:
        """Somewhere along the eave, often a whole number of covers from an end."""
        high = w - 1 if high is None else high
        if s.chance(40):
            spots = [*range(cover, w, cover), *range(w - cover, 0, -cover)]
            spots = [x for x in spots if low <= x <= high]
            if spots:
                return s.pick(spots)
        return s.whole(low, max(low, high))

    def up(low: int = 1, high: int | None = None) -> int:
        high = h - 1 if high is None else high
        return s.whole(low, max(low, high))

    a, b = sorted((across(), across()))
    b = b if a < b else min(w, a + 1)
    g = up()
    c = up(1, max(1, h - 3))
    d = up(c + 1, max(c + 1, h - 2))
    e = up(d + 1, max(d + 1, h - 1))
    near = s.pick((1, 2, cover, cover // 2, w // 3))
    far = s.pick((near, near, 1, cover, w // 4))
    corners = {
        "box": [(0, 0), (w, 0), (w, h), (0, h)],
        "hips": [(0, 0), (w, 0), (w - far, h), (near, h)],
        "hip one end": [(0, 0), (w, 0), (w - far, h), (0, h)],
        "triangle": [(0, 0), (w, 0), (s.pick((0, a, w // 2, w)), h)],
        "valleys": [(near, 0), (w - far, 0), (w, h), (0, h)],
        "step": [(0, 0), (a, 0), (a, g), (w, g), (w, h), (0, h)],
        "tower": [(0, 0), (w, 0), (w, g), (b, g), (b, h), (a, h), (a, g), (0, g)],
        "bay": [(0, 0), (a, 0), (a, g), (b, g), (b, 0), (w, 0), (w, h), (0, h)],
        "valley notch": [(0, 0), (a, 0), (s.whole(a, b), g), (b, 0), (w, 0), (w, h), (0, h)],
        "bite": [(0, 0), (w, 0), (w, h), (0, h), (0, e), (a, d), (0, c)],
        "spike": [(0, 0), (w, 0), (w, g), (min(w, a + 1), g), (a, h), (a, g), (0, g)],
        "leaning": [(0, 0), (w - near, 0), (w, h), (near, h)],
        "needle": [(0, 0), (w, 0), (s.pick((0, w, a)), s.pick((1, 1, 2, h)))],
        "arms": [(0, 0), (b, 0), (b, c), (a, c), (a, d), (w, d), (w, h), (0, h)],
        "arrow": [(0, 0), (w, g), (0, h), (a, s.whole(1, h - 1))],
    }  # fmt: skip
    if name == "any":
        spots = [(s.whole(0, w), s.whole(0, h)) for _ in range(s.whole(4, 8))]
        spots += [(0, s.whole(0, h)), (w, s.whole(0, h)), (s.whole(0, w), 0), (s.whole(0, w), h)]
        spots = list(dict.fromkeys(spots))
        mx, my = Fraction(w, 2) + Fraction(1, 7), Fraction(h, 2) + Fraction(1, 11)
        spots.sort(key=lambda p: atan2(p[1] - my, p[0] - mx))
        corners[name] = spots
    return [(Fraction(x), Fraction(y)) for x, y in corners[name]]


def flipped(s: Chooser, points: Plan) -> Plan:
    """Turned round left and right or upside down, or not."""
    w, h = max(x for x, _ in points), max(y for _, y in points)
    if s.chance(50):
        points = [(w - x, y) for x, y in points[::-1]]
    if s.chance(25):
        points = [(x, h - y) for x, y in points[::-1]]
    return points


def kind(a: tuple[int, int], b: tuple[int, int]) -> EdgeKind:
    """What an edge is by default, the roof on its left."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    if dy == 0:
        return "eave" if dx > 0 else "ridge"
    if dx == 0:
        return "rake"
    return "valley" if dx > 0 else "hip"


def simple(ring: Sequence[tuple[int, int]]) -> bool:
    """Whether a ring goes round counter-clockwise and never crosses or touches itself."""
    n = len(ring)
    if n < 3 or len(set(ring)) < n or area2(ring) <= 0:
        return False
    edges = [(ring[i], ring[(i + 1) % n]) for i in range(n)]
    for (i, one), (j, two) in combinations(enumerate(edges), 2):
        if j in (i + 1, i + n - 1):
            at = one[1] if j == i + 1 else one[0]
            p, q = (one[0], two[1]) if j == i + 1 else (one[1], two[0])
            back = (p[0] - at[0]) * (q[0] - at[0]) + (p[1] - at[1]) * (q[1] - at[1]) > 0
            if turn(at, p, q) == 0 and back:
                return False
        elif touching(*one, *two):
            return False
    return True


def outline(
    s: Chooser, points: Sequence[tuple[int, int]], usual: EdgeKind | None
) -> Outline | None:  # fmt: skip
    """A ring with the kinds of its edges; None where it crosses, touches itself or has no area."""
    if not simple(points):
        return None
    ahead = [*points[1:], *points[:1]]
    kinds = [usual or kind(a, b) for a, b in zip(points, ahead, strict=True)]
    if s.chance(25):
        kinds = [s.pick(EDGE_KINDS) if s.chance(40) else k for k in kinds]
    keep = [
        i
        for i, point in enumerate(points)
        if turn(points[i - 1], point, ahead[i]) or kinds[i - 1] != kinds[i]
    ]
    return Outline(tuple(points[i] for i in keep), tuple(kinds[i] for i in keep))


def hole_plan(s: Chooser, x: int, y: int, w: int, h: int) -> Plan:
    """A dormer, an atrium or a smoke shaft with its low corner there."""
    corners = s.pick(
        (
            [(0, 0), (w, 0), (w, h), (0, h)],
            [(0, 0), (w, 0), (w, h), (0, h)],
            [(0, 0), (w, 0), (w, max(1, h // 2)), (Fraction(w, 2), h), (0, max(1, h // 2))],
            [(0, 0), (w, 0), (Fraction(w, 2), h)],
            [(Fraction(w, 2), 0), (w, Fraction(h, 2)), (Fraction(w, 2), h), (0, Fraction(h, 2))],
        )
    )
    return [(x + Fraction(a), y + Fraction(b)) for a, b in corners]


def within(hole: Ring, outer: Ring, others: Sequence[Ring]) -> bool:
    """Whether a hole lies within an outline and keeps off its edges and other holes."""
    for ring in (outer, *others):
        for a, b in zip(hole, [*hole[1:], *hole[:1]], strict=True):
            for c, d in zip(ring, [*ring[1:], *ring[:1]], strict=True):
                if touching(a, b, c, d):
                    return False
    apart = all(inside(o, *hole[0]) < 0 and inside(hole, *o[0]) < 0 for o in others)
    return apart and inside(outer, *hole[0]) > 0
