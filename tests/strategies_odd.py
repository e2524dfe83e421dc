"""Small random cases with odd panels, play and planes laid from a line, for oracle_odd.

Built as in strategies, on its lattice, but with fixed penetrations mostly and coarse marks; then
cut down until the ways to lay each plane, and their combinations, are few enough for brute force.
How many there are the oracle says; only it, never the program.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import islice
from math import prod
from typing import Any

import oracle
from oracle_odd_case import OddCase, read
from oracle_odd_laying import layings
from strategies import Chooser, Seeded, Size, _Builder, _drawn

# Most ways to lay a plane, and most combinations over planes: mostly, and once in a while.
FEW, MANY = (200, 2400), (3000, 60_000)
MOST_MOVES = 12  # combinations of moves on a plane


class _OddBuilder(_Builder):
    """As its base, with the rules of odd panels and play; lengths in u (1/2 in or 10 mm)."""

    panel_counts = (0, 2, 2, 3, 3, 4, 4, 5, 6, 7)
    statuses = ("fixed",) * 6 + ("planned",) * 3 + ("stubbed",) * 3
    pen_counts = (0, 1, 2, 3, 3, 4, 4, 5, 6)

    def build(self) -> dict[str, Any]:
        s = self.s
        document: dict[str, Any] = {"title": "random case", "units": self.units}
        if s.chance(6):
            document["setting"] = "reroof"
        self.plane_count = s.pick((1, 1, 1, 2, 2, 2, 3))
        self.cover = self.size(16, 20, 24, 24, 30, 36, 48, 25, 33, Fraction(73, 2), 41)
        self._grid(document)
        self._panel(document)
        self._rules(document)
        rules = document.setdefault("rules", {})
        self._odd(rules)
        self._play(rules)
        if s.chance(25):
            self._tolerances(rules)
        self._moves(document)
        self._rates(document)
        document["plane"] = [self._laid(n) for n in range(self.plane_count)]
        if links := self._links():
            document["link"] = links
        if pens := self._penetrations():
            document["penetration"] = pens
        if s.chance(12):
            self._all_clear(document)
        few_enough(document, MANY if s.chance(3) else FEW)
        if s.chance(12):
            self._freeze(document)
        return document

    # -------------------------------------------------------------- the parts of a case

    def _grid(self, document: dict[str, Any]) -> None:
        """Marks, and ends of at least so much that few first widths are legal."""
        s, cover = self.s, Fraction(self.cover)
        self.mark = Fraction(s.pick((1, 2, 2, 2, 3, 4, 4)))
        if s.chance(10):
            self.mark = Fraction(1, 8 if self.inches else 10)
        document["mark"] = self.length(self.mark)
        firsts = s.whole(2, 10) if self.plane_count == 1 else s.whole(1, 6)
        few = cover - firsts * self.mark
        self.min_end = max(Fraction(4), few if s.chance(75) else cover / 2)
        if few < 4 and s.chance(40):
            self.min_end = Fraction(s.pick((4, 5, 6, 8)))
        if s.chance(12):  # an end of a mark or less: windows run on over another panel
            self.min_end = self.mark * s.pick((1, 1, 2))
        self.min_end = min(self.min_end, cover)

    def _odd(self, rules: dict[str, Any]) -> None:
        s, cover, mark = self.s, Fraction(self.cover), self.mark
        count = s.pick((0, 1, 1, 1, 2, 2, 2, 3))
        if count or s.chance(20):
            rules["odd_panels"] = count
        widest = Fraction((cover - mark) // mark * mark or cover / 2)
        if count and s.chance(25):  # no site machine: widths to be had
            sizes: list[Size] = [
                s.pick((cover / 2, widest, cover - 1, Fraction(s.whole(2, int(cover) - 1)),
                        Fraction(13, 2), Fraction(s.whole(3, 7))))
                for _ in range(s.pick((1, 1, 2, 2, 3)))
            ]  # fmt: skip
            kept = sorted({Fraction(size) for size in sizes if 0 < size < cover})
            rules["odd_widths"] = [self.length(size) for size in kept]
        if s.chance(75):
            least = Fraction(widest - s.whole(0, 4) * mark)
            if s.chance(15):
                least = Fraction(s.pick((3, 4, 5, 6)))  # an odd panel narrower than an end
            if s.chance(15):
                least -= Fraction(s.pick((1, 4)), 8)
            rules["odd_min"] = self.length(min(max(least, Fraction(2)), widest))

    def _play(self, rules: dict[str, Any]) -> None:
        """At most two marks of play either way, never as much as an end."""
        s = self.s
        marks = s.pick((0, 0, 1, 1, 1, 2))
        least = self.min_end or Fraction(1)
        fine = Fraction(1, 32) if self.inches else Fraction(1, 20)  # the default
        mark = s.pick((fine, fine, *(Fraction(n, 4) for n in (1, 2, 4, 4, 6))))
        if marks and mark * (marks + 1) < least:
            rules["play"] = self.length(mark * marks + (mark / 2 if s.chance(15) else 0))
            if mark != fine or s.chance(50):
                rules["play_mark"] = self.length(mark)
            if s.chance(4):  # less than a mark: nothing can be altered
                rules["play"] = self.length(mark / 2)
        elif s.chance(15):
            rules["play"] = 0
        if s.chance(75 if marks else 25):
            rules["remeasure"] = s.pick((1, 2, 2, 3, 3, 4))

    def _tolerances(self, rules: dict[str, Any]) -> None:
        s, eighth = self.s, Fraction(1, 8)
        if s.chance(80):
            rules["cover_tol"] = self.length(eighth * s.pick((1, 2, 4, 8)))
        if s.chance(60):
            rules["width_tol"] = self.length(eighth * s.pick((2, 4, 8, 16)))
        if s.chance(50):
            rules["x_tol"] = self.length(eighth * s.pick((2, 4, 8)))
        rules["robust"] = s.chance(85)

    def _moves(self, document: dict[str, Any]) -> None:
        s = self.s
        self.step = s.pick((2, 3, 4, 4, 8))
        self.default_offset = Fraction(s.pick((1, 2, 3, 4)))
        self.default_reach = max(Fraction(self.step), self.default_offset)
        document["moves"] = {
            "step": self.length(self.step),
            "min_offset": self.length(self.default_offset),
            "reach": self.length(self.default_reach),
        }

    def _reach(self, pen: dict[str, Any], stubbed: bool) -> None:
        s = self.s
        if s.chance(60):
            reach = Fraction(s.pick((1, 1, 1, 2)) * self.step)
            pen["reach"] = self.length(max(reach, self.default_offset) if stubbed else reach)
        if s.chance(25):
            pen[s.pick(("reach_low", "reach_high"))] = 0

    def _rates(self, document: dict[str, Any]) -> None:
        s = self.s
        super()._rates(document)
        rates = document.setdefault("rates", {})
        if s.chance(15):  # the cheaper the worse
            worse = {"tight": 90, "crosses": 40, "on_seam": s.pick((0, 10)), "crowded": 70}
            rates |= {name: {"hours": 0, "material": cost} for name, cost in worse.items()}
        for name, dear in (("odd_panel", 400), ("play", 150)):
            if s.chance(75):
                rates[name] = {"hours": 0, "material": s.pick((0, 0, 5, 10, 40, dear))}
            elif s.chance(40):
                rates[name] = {"hours": s.pick((0.25, 0.333, 1))}
        if s.chance(30):
            rates["uneven"] = {"hours": 0, "material": s.pick((0, 0, 1))}
        if not rates:
            del document["rates"]

    def _rest(self, cover: Fraction) -> Fraction:
        """Mostly what two ends leave that the end rule allows."""
        s = self.s
        self.end: Fraction = cover
        if s.chance(20):
            return super()._rest(cover)
        least: Fraction = self.min_end or cover
        most = int((cover - least) / self.mark)
        self.end = Fraction(cover - s.whole(0, most) * self.mark)
        other = cover - s.whole(0, most) * self.mark
        return Fraction((self.end + other) % cover)

    def _laid(self, number: int) -> dict[str, Any]:
        """A plane, one in four laid from a line."""
        s = self.s
        plane = self._plane(number)
        width, cover = self.widths[number], Fraction(self.cover)
        if s.chance(25) and width >= 4:
            low = s.whole(0, int(width / cover)) * cover + s.pick(
                (self.end, self.end, cover, cover / 2, Fraction(s.whole(1, int(cover))))
            )
            line = low if low < width else Fraction(s.whole(1, int(width) - 1))
            plane |= {"lay": "from", "from": self.length(line)}
        return plane

    def _all_clear(self, document: dict[str, Any]) -> None:
        """No pipe may be anything but clear, more is no better, and many may move: ties."""
        s = self.s
        document["rules"] |= {"enough": 0, "forbid": ["tight", "crosses", "on-seam"]}
        document["setting"] = "new"
        for pen in document.get("penetration", []):
            pen.pop("forbid", None)
            if pen["kind"] == "pipe" and s.chance(60):
                pen |= {"status": "planned", "reach": self.length(self.step * s.pick((1, 1, 2)))}
                for name in ("hold", "reach_low", "reach_high", "min_offset"):
                    pen.pop(name, None)

    def _freeze(self, document: dict[str, Any]) -> None:
        """A plain legal first width or a move that each rule on its own allows."""
        s, case = self.s, read(document)
        number = s.whole(0, self.plane_count - 1)
        firsts = oracle.legal_firsts(case.base, case.plane(number))
        freeze: dict[str, Any] = {}
        if firsts and case.lines[number] is None and s.chance(65):
            freeze["first"] = {case.plane(number).id: self._exact(s.pick(firsts))}
        pipes = [pen for pen in case.base.pens if pen.pipe]
        if pipes and not (freeze and s.chance(70)):
            pen = s.pick(pipes)
            moves = [
                m for m in oracle.move_options(case.base, pen)
                if not m or not oracle.place_faults(case.base, pen, pen.x + m)
            ]  # fmt: skip
            freeze["move"] = {pen.id: self._exact(s.pick(moves))}
        if freeze:
            document["freeze"] = freeze

    def _exact(self, length: int) -> str:
        """Half ticks to the tick."""
        return f"{'-' if length < 0 else ''}{abs(length) / oracle.MM:.8f} mm"


# ---------------------------------------------------------------------------- few enough


def ways(case: OddCase, most: int) -> list[int]:
    """How many ways there are to lay each plane, counted up to one more than `most`."""
    return [
        sum(1 for _ in islice(layings(case, plane), most + 1))
        for plane in range(len(case.base.planes))
    ]


def few_enough(document: dict[str, Any], limits: tuple[int, int]) -> None:
    """Takes from a case what makes it too large: changes, odd panels, marks, movable pipes."""
    rules = document["rules"]
    per_plane, in_all = limits
    units = document["units"]
    while True:
        case = read(document)
        if "odd_widths" not in rules and len(case.odd_widths) ** case.odd_panels > 40:
            least = case.odd_widths[-4 if case.odd_panels < 3 else -2]
            rules["odd_min"] = f"{least / oracle.MM:.8f} mm"
            if len(case.odd_widths) > 4:
                continue
        counts = ways(case, per_plane)
        if max(counts) <= per_plane and prod(counts) <= in_all:
            break
        odd, playing = rules.get("odd_panels", 0), oracle.half_ticks(rules.get("play", 0), units)
        if odd > 1:
            rules["odd_panels"] -= 1
        elif playing and rules.get("remeasure", 4) < 4:
            rules["remeasure"] = 4
        elif odd and len(rules.get("odd_widths", ())) > 1:
            rules["odd_widths"].pop()
        elif playing and (not odd or prod(counts) % 2):  # which goes is left to chance
            rules["play"] = 0
        elif odd and playing:
            rules["odd_panels"] = 0
        else:
            mark = 2 * oracle.half_ticks(document["mark"], units)
            document["mark"] = f"{mark / oracle.MM:.8f} mm"
            rules["odd_panels"] = 0
    base = read(document).base
    pens = document.get("penetration", [])
    for plane in range(len(base.planes)):
        moves = 1
        for i in base.on(plane):
            moves *= len(oracle.move_options(base, base.pens[i]))
            if moves > MOST_MOVES and pens[i]["kind"] == "pipe":
                moves //= len(oracle.move_options(base, base.pens[i]))
                pens[i]["status"] = "fixed"


def random_case_odd(seed: int) -> dict[str, Any]:
    """The small random case of this seed; the same on every machine."""
    return _OddBuilder(Seeded(7_919 * seed + 3)).build()


def cases_odd() -> Any:
    """The same cases as a hypothesis strategy (of dicts)."""

    def make(source: Chooser) -> dict[str, Any]:
        return _OddBuilder(source).build()

    return _drawn(make)
