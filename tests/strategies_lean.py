"""Small random roofs with planes out of square, laid square or fanned, for oracle_lean.

Cases as the program holds them, in ticks, on the lattice of strategies_outline; how far a rake
leans, play, min_end and a pipe are often put just where they bind. What binds the oracle says;
never the program.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil, floor, prod
from typing import Any

from oracle_lean import LeaningRoof, read
from oracle_odd_laying import Laying, place
from oracle_outline_best import places
from oracle_outline_case import legal_layings
from solver.case import Case, Keepout, Link, Penetration, Plane
from solver.case_parts import Lean
from strategies import Chooser, Seeded, _drawn
from strategies_outline import Builder

MOST_LAYINGS, MOST_MOVES = 1200, 9


class LeaningBuilder(Builder):
    """Builds one case; lengths are thought in units of the lattice and kept in ticks."""

    def build(self) -> Case:
        s, u = self.s, self.u
        planes = tuple(self._plane(n) for n in range(self.count))
        rules, rates = self._rules(), self._rates()
        if any(p.lean and p.lean.fan for p in planes) or s.chance(15):
            rules = replace(rules, play=s.pick((1, 2, 4)) * u // 4, play_mark=u // 4)
        area = replace(rates.each["area"], given=False)
        rates = replace(rates, each={**rates.each, "area": area})
        case = Case(
            file="roof.toml", sha256="0" * 64, title="random roof",
            units="in" if self.inches else "mm", setting="new", mark=self.mark * u,
            step=s.pick((1, 2, 2, 3)) * u, panel=self._panel(), rules=rules, rates=rates,
            planes=planes, links=self._upright_links(planes), penetrations=(),
        )  # fmt: skip
        for number in range(len(planes)):
            case = self._bind_plane(case, number)
        pens = tuple(
            self._pen(case, n, s.pick(case.planes)) for n in range(s.pick((1, 1, 2, 2, 3, 4)))
        )
        case = few_enough(replace(case, penetrations=pens))
        centres = 0 if any(p.lean and p.lean.fan for p in planes) else s.pick((0, 0, 0, 1))
        return replace(case, centres=tuple(self._centre(case) for _ in range(centres)))

    # -------------------------------------------------------------- planes

    def _plane(self, number: int) -> Plane:
        s, u, cover = self.s, self.u, self.cover
        most = (2, 3, 3, 4, 5, 6, 7) if self.count == 1 else (1, 2, 3, 3, 4)
        width = (s.pick(most) * cover + s.pick((0, 0, *range(cover)))) * u
        if s.chance(5):
            width = s.whole(2, cover) * u  # a single panel
        width += s.pick((0, 0, 0, 1, -1, 127))
        length = s.pick((6, 9, 12, 20, 30)) * u
        lay: Any = s.pick(("left-to-right", "left-to-right", "right-to-left"))
        lean = None if s.chance(12) else self._lean(width)
        start = None
        if s.chance(8) and width > 2 * u and not (lean and lean.fan):
            lay, start = "from", s.whole(1, width // u - 1) * u
        return Plane("PQR"[number], width, length, lay, "low end", "high end",
                     self._lean_keepouts(width), start, lean=lean)  # fmt: skip

    def _lean_keepouts(self, width: int) -> tuple[Keepout, ...]:
        found = self._keepouts(width)
        return tuple(k for k in found if 0 <= k.x_from < k.x_to <= width)

    def _lean(self, width: int) -> Lean:
        s, u, cover = self.s, self.u, self.cover
        some = (0, u // 4, -u // 4, u // 2, -u // 2, u, -u, 2 * u, -2 * u, cover * u // 2)
        low = self.near(s.pick(some))
        if s.chance(55):
            high = low if s.chance(10) else self.near(s.pick(some))
            return Lean(low, high, False, width)
        off = s.pick((0, 1, 1, 2, 2, 3, 4, 5)) * u // 4
        return Lean(low, self.near(low + s.pick((1, -1)) * off), True, width)

    def _upright_links(self, planes: tuple[Plane, ...]) -> tuple[Link, ...]:
        if any(plane.lean is not None and plane.lean.fan for plane in planes[:2]):
            return ()
        return self._links(planes)

    def _bind_plane(self, case: Case, number: int) -> Case:
        """Perhaps makes a lean just what play or the end rule lets some laying take."""
        s, plane = self.s, case.planes[number]
        if plane.lean is None or s.chance(40):
            return case
        roof, laying = self._some_laying(case, number)
        panels = place(roof.odd, number, laying).panels
        lean = plane.lean
        if lean.fan:
            full = max(0, len(panels) - 2) * case.rules.play
            lean = replace(lean, high=lean.low + s.pick((1, -1)) * self.near(full))
        else:
            limit = s.pick((case.rules.min_end, case.rules.min_end, case.panel.cover))
            ends = [(high - low) // 2 for _, low, high in (panels[0], panels[-1])]
            if s.chance(50):
                lean = replace(lean, low=self.near(ends[0] - limit))
            else:
                lean = replace(lean, high=self.near(limit - ends[1]))
        if max(abs(lean.low), abs(lean.high)) > self.cover * self.u:
            return case
        planes = list(case.planes)
        planes[number] = replace(plane, lean=lean)
        return replace(case, planes=tuple(planes))

    # -------------------------------------------------------------- penetrations

    def _some_laying(self, case: Case, plane: int) -> tuple[Any, Laying]:
        roof = read(case)
        legal = legal_layings(roof, plane, plain=True)
        if legal and self.s.chance(80):
            return roof, self.s.pick(legal)
        return super()._some_laying(case, plane)

    def _spot(self, case: Case, plane: Plane) -> tuple[int, int, tuple[int, int] | None]:
        """A place on a plane, and where that ends beside it."""
        s, u = self.s, self.u
        y = s.pick((0, plane.length, plane.length // 2, s.whole(0, plane.length // u) * u))
        y = s.whole(0, plane.length) if s.chance(30) else y
        if plane.lean is None:
            return s.whole(0, plane.width // u) * u, y, None
        low, high = ends_of(plane, y)
        x = min(max(s.whole(0, plane.width // u) * u, low), high)
        if s.chance(30):  # beside an end
            size = s.whole(0, 10) * u // 2
            x = min(max(low + size if s.chance(50) else high - size, low), high)
        return x, y, (low, high)

    def _pen(self, case: Case, number: int, plane: Plane) -> Penetration:
        """One of strategies_outline's, often where a limit of it just holds against some seam."""
        s = self.s
        pen = super()._pen(case, number, plane)
        if s.chance(35):
            return pen
        index = case.planes.index(plane)
        roof, laying = self._some_laying(replace(case, penetrations=(pen,)), index)
        if not isinstance(roof, LeaningRoof):
            roof = read(replace(case, penetrations=(pen,)))
        seams = roof.seams_beside(0, place(roof.odd, index, laying).seams)
        low, high = pen.ends or (0, plane.width)
        rules, panel = case.rules, case.panel
        if pen.kind == "pipe":
            sizes = [pen.base // 2 + rules.work_gap, pen.base // 2, pen.outside // 2 +
                     rules.hole_gap]  # fmt: skip
        else:
            sizes = [pen.across // 2, pen.across // 2 + rules.curb_side]
        spots = [at for seam in seams for way in (1, -1) for side in (panel.seam_back,
                 panel.seam_fwd, 0) for size in sizes
                 if low <= (at := seam.at // 2 + way * (size + side)) <= high]  # fmt: skip
        if pen.kind == "pipe":
            spots += [low + rules.end_lap + sizes[0], high - rules.end_lap - sizes[0]]
        spots = [spot for spot in spots if low <= spot <= high]
        if not spots:
            return pen
        return replace(pen, x=min(max(self.near(s.pick(spots)), low), high))


def ends_of(plane: Plane, y: int) -> tuple[int, int]:
    """Where a leaning plane begins and ends at a height, to whole ticks inside (ticks)."""
    assert plane.lean is not None
    return (
        ceil(Fraction(plane.lean.low * y, plane.length)),
        plane.width + floor(Fraction(plane.lean.high * y, plane.length)),
    )


def few_enough(case: Case) -> Case:
    """Takes from a case what makes it too large: odd panels, play, marks, movable pipes."""
    fans = any(plane.lean is not None and plane.lean.fan for plane in case.planes)
    while True:
        roof = read(case)
        ways = prod(max(1, len(legal_layings(roof, p))) for p in range(len(case.planes)))
        rules = case.rules
        if ways <= MOST_LAYINGS:
            break
        if rules.odd_panels:
            case = replace(case, rules=replace(rules, odd_panels=0, odd_widths=()))
        elif rules.play and not fans:
            case = replace(case, rules=replace(rules, play=0))
        elif rules.play_mark < rules.play:
            case = replace(case, rules=replace(rules, play_mark=rules.play))
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


def random_leaning_roof(seed: int) -> Case:
    """The small random roof of this seed; the same on every machine."""
    return LeaningBuilder(Seeded(104_729 * seed + 5)).build()


def leaning_roofs() -> Any:
    """The same as a hypothesis strategy (of cases)."""

    def make(source: Chooser) -> Any:
        return LeaningBuilder(source).build()

    return _drawn(make)
