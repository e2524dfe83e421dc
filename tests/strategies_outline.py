"""Small random roofs with outlines, holes, centres, curbs as built and stock, for oracle_outline.

Cases as the program holds them, in ticks, on a lattice of 1 in or 20 mm; a rule, a centre, a wall
or a pipe is often put just where it binds. What binds the oracle says; never the program.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor, prod
from typing import Any

import oracle
from oracle_odd_laying import Laying, place
from oracle_outline_best import places
from oracle_outline_case import ends_at, legal_layings, loose, read, shape_of
from oracle_outline_pieces import Ring
from solver.case import Case, Freeze, Keepout, Penetration, Plane
from solver.case_parts import Centre, Hole, Outline
from strategies import Chooser, Seeded, _drawn
from strategies_outline_rules import RuleBuilder
from strategies_shapes import SHAPES, flipped, hole_plan, outline, plan, within

MOST_LAYINGS, MOST_MOVES = 2500, 9


class Builder(RuleBuilder):
    """Builds one case; lengths are thought in units of the lattice and kept in ticks."""

    def build(self) -> Case:
        s, u = self.s, self.u
        planes = tuple(self._plane(n) for n in range(self.count))
        case = Case(
            file="roof.toml", sha256="0" * 64, title="random roof",
            units="in" if self.inches else "mm", setting="new", mark=self.mark * u,
            step=s.pick((1, 2, 2, 3)) * u, panel=self._panel(), rules=self._rules(),
            rates=self._rates(), planes=planes, links=self._links(planes), penetrations=(),
            sheet=self._sheet(),
        )  # fmt: skip
        case = self._binding(case)
        pens = tuple(
            self._pen(case, n, s.pick(planes)) for n in range(s.pick((0, 1, 2, 2, 3, 3, 4)))
        )
        case = replace(case, penetrations=pens)
        centres = s.pick((0, 0, 1, 1, 2, 3))
        case = replace(case, centres=tuple(self._centre(case) for _ in range(centres)))
        return self._frozen(few_enough(case))

    # -------------------------------------------------------------- planes

    def _plane(self, number: int) -> Plane:
        s, u, cover = self.s, self.u, self.cover
        most = (3, 3, 4, 5, 6, 7, 8) if self.count == 1 else (1, 2, 2, 3, 3, 4)
        w = s.pick(most) * cover + s.pick((0, 0, *range(cover)))
        if s.chance(4):
            w = s.whole(2, cover)  # a single panel
        h = s.pick((6, 9, 12, 20, 30))
        lay: Any = s.pick(("left-to-right", "left-to-right", "right-to-left"))
        start = None
        own = None if s.chance(15) else self._outline(w, h)
        holes: tuple[Hole, ...] = ()
        width, length = w * u, h * u
        if own is not None:
            width, length = (max(p[axis] for p in own.points) for axis in (0, 1))
            holes = self._holes(own, width // u, length // u)
        if s.chance(8) and width > 2 * u:
            lay, start = "from", s.whole(1, width // u - 1) * u
        return Plane("PQR"[number], width, length, lay, "low end", "high end",
                     self._keepouts(width), start, own, holes)  # fmt: skip

    def _keepouts(self, width: int) -> tuple[Keepout, ...]:
        s, u = self.s, self.u
        if s.chance(75):
            return ()
        low = s.whole(0, width // u - 1)
        box = (2 * u, 6 * u) if s.chance(50) else (None, None)
        return (Keepout(low * u, min(width, (low + 2) * u), *box, "beam"),)

    def _ring(self, points: Any, bend: bool) -> Ring:
        """Lattice to ticks, perhaps some points a few ticks off."""
        s, u = self.s, self.u
        ring = [(floor(x * u), floor(y * u)) for x, y in points]
        if bend:
            ring = [
                (x + s.whole(-5, 5), y + s.whole(-5, 5)) if s.chance(50) else (x, y)
                for x, y in ring
            ]
        return tuple(ring)

    def _outline(self, w: int, h: int) -> Outline:
        s = self.s
        for name in (s.pick(SHAPES), s.pick(SHAPES), "box"):
            ring = self._ring(flipped(s, plan(s, name, w, h, self.cover)), s.chance(20))
            x0, y0 = (min(p[axis] for p in ring) for axis in (0, 1))
            own = outline(s, [(x - x0, y - y0) for x, y in ring], None)
            if own is not None:
                return own
        raise AssertionError("a box always will do")

    def _holes(self, own: Outline, w: int, h: int) -> tuple[Hole, ...]:
        s = self.s
        found: list[Hole] = []
        for _ in range(s.pick((0, 0, 1, 1, 2)) * 3):
            if len(found) == 2 or w < 3 or h < 3:
                break
            wide = min(w - 1, s.pick((1, 2, self.cover, self.cover + 2, 2 * self.cover)))
            high = min(h - 1, s.pick((1, 2, 4, h // 2)))
            x, y = s.whole(0, w - wide), s.whole(1, max(1, h - high))
            ring = self._ring(hole_plan(s, x, y, wide, high), s.chance(15))
            one = outline(s, ring, "wall")
            if one and within(one.points, own.points, [o.outline.points for o in found]):
                found.append(Hole(f"dormer {len(found) + 1}", one))
        return tuple(found)

    # -------------------------------------------------------------- where it binds

    def _some_laying(self, case: Case, plane: int) -> tuple[Any, Laying]:
        """A case as the oracle reads it and some way to lay a plane, perhaps not a legal one."""
        roof = read(case)
        firsts = [2 * case.panel.cover] + [2 * case.mark * n for n in range(1, 9)]
        firsts = [f for f in firsts if f <= min(2 * case.panel.cover, 2 * case.planes[plane].width)]
        return roof, Laying(self.s.pick(firsts) if firsts else 2 * case.planes[plane].width)

    def _binding(self, case: Case) -> Case:
        """Sets the rules on pieces so that some laying just obeys them, or just not."""
        s = self.s
        if s.chance(12):
            return self._one_binding(case)
        least: dict[str, list[int]] = {"min_piece": [], "min_length": [], "min_end": []}
        for plane, given in enumerate(case.planes):
            if given.outline is None:
                continue
            roof, laying = self._some_laying(case, plane)
            for _, low, high in place(loose(roof, plane), plane, laying).panels:
                for piece in roof.shapes[plane].parts(low, high):
                    least["min_piece"].append(floor(piece.width / 2))
                    least["min_length"].append(floor(piece.length / 2))
                    if any(e.upright and e.kind in ("rake", "wall") for e in piece.beside):
                        least["min_end"].append(floor(piece.width / 2))
        rules = case.rules
        for name, sizes in least.items():
            size = min(sizes, default=0)
            if size and (size < getattr(rules, name) or s.chance(35)):
                size = size if s.chance(90) else max(1, self.near(size))
                size = size if name == "min_length" else min(size, case.panel.cover)
                rules = replace(rules, **{name: size})
        return replace(case, rules=rules)

    def _one_binding(self, case: Case) -> Case:
        """Sets a rule on pieces to what some piece measures."""
        s = self.s
        shaped = [n for n, plane in enumerate(case.planes) if plane.outline is not None]
        for _ in range(s.pick((0, 1, 2, 2))):
            if not shaped:
                break
            plane = s.pick(shaped)
            roof, laying = self._some_laying(case, plane)
            panels = place(loose(roof, plane), plane, laying).panels
            _, low, high = s.pick([panels[0], panels[-1], s.pick(panels)])
            pieces = roof.shapes[plane].parts(low, high)
            name = s.pick(("min_piece", "min_piece", "min_length", "min_end", "min_end"))
            piece = s.pick(pieces)
            size = (piece.length if name == "min_length" else piece.width) / 2
            least = max(1, self.near(s.pick((floor(size), ceil(size)))))
            if name == "min_length" or least <= case.panel.cover:
                case = replace(case, rules=replace(case.rules, **{name: least}))
        return case

    def _spot(self, case: Case, plane: Plane) -> tuple[int, int, tuple[int, int] | None]:
        """A place on a plane, and where that ends beside it."""
        s, u = self.s, self.u
        y = s.whole(0, plane.length // u) * u
        if s.chance(15):
            y = s.whole(0, plane.length)
        if plane.outline is None:
            return s.whole(0, plane.width // u) * u, y, None
        shape = shape_of(plane.outline, plane.holes)
        low, high = s.pick([t for t in shape.stretches(2 * y) if ceil(t[0] / 2) <= t[1] / 2]
                           or [(0, 0)])  # fmt: skip
        x_low, x_high = ceil(low / 2), floor(high / 2)
        x = min(max(s.whole(x_low // u, x_high // u) * u, x_low), x_high)
        if s.chance(40):  # beside an end
            size = s.whole(0, 10) * u // 2
            x = x_low + size if s.chance(50) else x_high - size
            x = min(max(x, x_low), x_high)
        ends = ends_at(shape, 2 * x, 2 * y)
        if ends is None:  # no whole tick is on the roof there
            x, y = plane.outline.points[0]
            ends = ends_at(shape, 2 * x, 2 * y)
        assert ends is not None
        return x, y, (ends[0] // 2, ends[1] // 2)

    def _pen(self, case: Case, number: int, plane: Plane) -> Penetration:
        s, u = self.s, self.u
        x, y, ends = self._spot(case, plane)
        forbid = s.pick((case.rules.forbid,) * 6 + ((), ("on-seam", "crosses"), ("crowded",)))
        if s.chance(50):
            status: Any = s.pick(("fixed", "fixed", "planned", "planned", "stubbed"))
            reach = 0 if status == "fixed" else s.pick((1, 1, 2)) * case.step
            outside = s.pick((1, 2, 2, 3)) * u
            least = s.pick((0, u, reach)) if status == "stubbed" else 0
            if reach and ends and s.chance(40):  # the edge gap just kept after a step
                away = self.near(outside // 2 + case.rules.edge_gap + case.step)
                towards = ends[0] + away if s.chance(50) else ends[1] - away
                x = towards if ends[0] <= towards <= ends[1] else x
            return Penetration(
                f"V{number}", plane.id, "pipe", x, y, outside, outside + s.pick((0, 1, 2, 4)) * u,
                0, 0, status, status, None, reach, reach, min(least, reach), forbid,
                x_tol=s.pick((0, 0, u // 4)) if case.rules.robust else 0, ends=ends,
            )  # fmt: skip
        across = s.pick((2, 4, self.cover, self.cover, self.cover - 2, 2 * self.cover)) * u
        detail: Any = s.pick(("flange", "ribbed", "ribbed", "ribbed", "close", "close"))
        if detail == "ribbed" and s.chance(70):
            x, y, ends = self._landing(case, plane, x, y, ends, across)
        return Penetration(
            f"C{number}", plane.id, "curb", x, y, 0, 0, across, s.pick((2, 4)) * u, "fixed",
            "fixed", None, 0, 0, 0, forbid, detail=detail,
            must_land=detail == "ribbed" and s.chance(12), ends=ends,
        )  # fmt: skip

    def _landing(
        self, case: Case, plane: Plane, x: int, y: int, ends: Any, across: int
    ) -> tuple[int, int, Any]:
        """A curb with a wall where a seam lands, or about."""
        s = self.s
        index = case.planes.index(plane)
        roof, laying = self._some_laying(case, index)
        seams = place(loose(roof, index), index, laying).seams
        low, high = (0, plane.width) if ends is None else ends
        off = s.pick((-1, 0, 1)) * case.rules.land_tol
        spots = [
            self.near(seam.at // 2 + way * across // 2 + off) for seam in seams for way in (-1, 1)
        ]
        spots = [spot for spot in spots if low <= spot <= high]
        return (s.pick(spots) if spots else x), y, ends

    def _centre(self, case: Case) -> Centre:
        s, u = self.s, self.u
        index = s.whole(0, len(case.planes) - 1)
        plane = case.planes[index]
        at = s.whole(0, plane.width // u) * u
        tol = s.pick((0, u // 2, u, 2 * u))
        on: Any = s.pick(("pan", "rib"))
        roof, laying = self._some_laying(case, index)
        _, low, high = s.pick(place(loose(roof, index), index, laying).panels)
        if s.chance(70):
            middle = (high if on == "rib" else (low + high) // 2) // 2
            at = self.near(middle + s.pick((-1, 1)) * tol)
        return Centre(plane.id, min(max(at, 0), plane.width), on, tol, s.chance(10), "hip peak")

    def _frozen(self, case: Case) -> Case:
        """Now and then a first width is agreed."""
        s = self.s
        plane = s.whole(0, len(case.planes) - 1)
        if case.planes[plane].start is None and s.chance(4):
            legal = legal_layings(read(case), plane, plain=True)
            if legal:
                first = oracle.ticks(s.pick(legal).first)
                return replace(case, freeze=Freeze(firsts=((case.planes[plane].id, first),)))
        return case


def few_enough(case: Case) -> Case:
    """Takes from a case what makes it too large: odd panels, play, marks, movable pipes."""
    while True:
        roof = read(case)
        ways = prod(len(legal_layings(roof, p)) for p in range(len(case.planes)))
        if ways <= MOST_LAYINGS:
            break
        if case.rules.odd_panels or case.rules.play:
            case = replace(case, rules=replace(case.rules, odd_panels=0, odd_widths=(), play=0))
        else:
            case = replace(case, mark=2 * case.mark)
    pens = list(case.penetrations)
    for plane in range(len(case.planes)):
        moves = 1
        for i in roof.base.on(plane):
            own = len(places(roof, i, True))
            if moves * own > MOST_MOVES:
                pens[i] = replace(pens[i], status="fixed", written_status="fixed", reach_low=0,
                                  reach_high=0)  # fmt: skip
            else:
                moves *= own
    return replace(case, penetrations=tuple(pens))


def random_roof(seed: int) -> Case:
    """The small random roof of this seed; the same on every machine."""
    return Builder(Seeded(104_729 * seed + 11)).build()


def roofs() -> Any:
    """The same as a hypothesis strategy (of cases)."""

    def make(source: Chooser) -> Any:
        return Builder(source).build()

    return _drawn(make)
