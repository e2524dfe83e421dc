"""Adds to a random case: fittings, agreed choices, creep and tolerances, several covers.

The values aim at equality: an offset that two elbows just make (or miss by a tick), a headroom that
is just enough, tolerances after which a worst room is exactly what is asked for. For that the
oracle is asked how things stand; only it, never the program.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

import oracle
from oracle_covers import given_covers, with_cover
from oracle_fittings import ANGLES, fits_under, hub_to_hub
from strategies import Chooser, Size, decimal_text

NOMINAL = ("1 1/2", "2", "3", "4")
TICK = 2  # in half ticks, in which the oracle counts


def largest(holds: Callable[[int], bool], most: int) -> int:
    """The largest number of half ticks up to `most`, whole ticks, that still holds; 0 if none."""
    low, high = 0, most // TICK
    while low < high:
        middle = (low + high + 1) // 2
        if holds(middle * TICK):
            low = middle
        else:
            high = middle - 1
    return low * TICK


class Stage2:
    """Works on one document in place; lengths are half ticks inside, `u` as in the base cases."""

    def __init__(self, document: dict[str, Any], source: Chooser) -> None:
        self.doc = document
        self.s = source
        self.inches = document["units"] == "in"
        self.u = oracle.IN // 2 if self.inches else 10 * oracle.MM
        self.rules: dict[str, Any] = document.get("rules", {})
        self.pens: list[dict[str, Any]] = document.get("penetration", [])

    def build(self) -> dict[str, Any]:
        s = self.s
        if s.chance(45):
            self._widen()
        if s.chance(75):
            self._tolerances()
        if s.chance(60):
            self._fittings()
        if s.chance(55 if self.rules.get("robust") else 25):
            self._just_enough()
        if s.chance(20):
            self._covers()
        if s.chance(45):
            self._freeze()
        if self.rules:
            self.doc["rules"] = self.rules
        return self.doc

    # -------------------------------------------------------------- lengths

    def text(self, length: int) -> int | float | str:
        """Whole ticks (in half ticks) as a number or a string, to the tick."""
        in_mm = Fraction(length, oracle.MM)
        in_units = Fraction(length, oracle.IN) if self.inches else in_mm
        if in_units.denominator in (1, 2, 4, 8) and self.s.chance(60):
            return int(in_units) if in_units.denominator == 1 else float(in_units)
        return decimal_text(in_mm) + " mm"

    def size(self, u: Size) -> int:
        """So many u in half ticks, whole ticks."""
        return TICK * int(Fraction(u) * self.u / TICK)

    def ticks_of(self, value: Any) -> int:
        return oracle.half_ticks(value, self.doc["units"])

    # -------------------------------------------------------------- more seams

    def _widen(self) -> None:
        """Whole panels more at either end of a plane, and all that stands on it goes along."""
        s = self.s
        case = oracle.read(self.doc)
        plane = s.pick(self.doc["plane"])
        more = s.whole(1, 5)
        below = s.pick((0, more, s.whole(0, more))) * case.cover
        plane["width"] = self.text(self.ticks_of(plane["width"]) + more * case.cover)
        for keepout in plane.get("keepout", []) if below else []:
            for name in ("from", "to"):
                keepout[name] = self.text(self.ticks_of(keepout[name]) + below)
        for pen in self.pens if below else []:
            if pen["plane"] == plane["id"]:
                pen["x"] = self.text(self.ticks_of(pen["x"]) + below)

    # -------------------------------------------------------------- creep and uncertainty

    def _tolerances(self) -> None:
        s, rules = self.s, self.rules
        eighth = Fraction(1, 8)
        only = s.pick(("all", "all", "all", "cover_tol", "width_tol", "x_tol"))
        if only in ("all", "cover_tol") and s.chance(85):
            play = eighth * s.pick((0, 1, 2, 4, 8))
            rules["cover_tol"] = self.text(self.size(play))
        if only in ("all", "width_tol") and s.chance(75):
            rules["width_tol"] = self.text(self.size(eighth * s.pick((0, 2, 4, 8, 16, 24))))
        if s.chance(70):
            rules["remeasure"] = s.pick((1, 2, 2, 3, 4))
        x_tols = (0, 2 * eighth, 4 * eighth, 8 * eighth, 16 * eighth)
        if only in ("all", "x_tol"):
            if s.chance(50):
                rules["x_tol"] = self.text(self.size(s.pick(x_tols)))
            for pen in self.pens:
                if s.chance(30):
                    pen["x_tol"] = self.text(self.size(s.pick(x_tols)))
        if s.chance(70):
            rules["robust"] = True
        elif s.chance(30):
            rules["robust"] = False

    def _just_enough(self) -> None:
        """One tolerance grows until a worst room is exactly what some state asks for."""
        s = self.s
        case = oracle.read(self._with_rules())
        spots = self._spots(case)
        if not spots:
            return
        index, first, x = s.pick(spots)
        pen = case.pens[index]

        def spare(case: oracle.Case, pen: oracle.Pen, least: int) -> int:
            worst = oracle.stand(case, pen, first, x).worst_room
            return -1 if worst is None else worst - least

        asked = [case.lengths["curb_side"]]
        if pen.pipe:
            how = oracle.stand(case, pen, first, x)
            asked = [how.needed, how.needed, how.needed + case.lengths["enough"], pen.base // 2,
                     pen.outside // 2 + case.lengths["hole_gap"]]  # fmt: skip
        least = s.pick(asked)
        left = spare(case, pen, least)
        if left < 0:
            return
        beyond = s.pick((0, 0, TICK))
        name = s.pick(("x_tol", "x_tol", "cover_tol", "cover_tol", "width_tol"))
        if name == "x_tol":
            self.pens[index]["x_tol"] = self.text(pen.x_tol + left - left % TICK + beyond)
            return
        now = {"cover_tol": case.cover_tol, "width_tol": case.width_tol}[name]
        most = now + left + TICK

        def holds(size: int) -> bool:
            changed = replace(case, cover_tol=size) if name == "cover_tol" else (
                replace(case, width_tol=size))  # fmt: skip
            return spare(changed, pen, least) >= 0

        just = largest(holds, most)
        if just < most - TICK or left == 0:  # else nothing on this spot depends on it
            self.rules[name] = self.text(just + beyond)

    def _spots(self, case: oracle.Case) -> list[tuple[int, int, int]]:
        """A few (penetration, first width, x) where one may stand."""
        found = []
        for index, pen in enumerate(case.pens):
            firsts = oracle.legal_firsts(case, case.planes[pen.plane])
            if not firsts:
                continue
            for _ in range(3):
                move = self.s.pick(oracle.move_options(case, pen)) if self.s.chance(40) else 0
                found.append((index, self.s.pick(firsts), pen.x + move))
        return found

    def _with_rules(self) -> dict[str, Any]:
        return {**self.doc, "rules": self.rules}

    # -------------------------------------------------------------- fittings

    def _fittings(self) -> None:
        s = self.s
        step = oracle.read(self._with_rules()).lengths["step"]
        for pen in self.pens:
            if pen["kind"] != "pipe":
                continue
            if pen.get("status") == "planned" and s.chance(40):
                pen["status"], pen["min_offset"] = "stubbed", 0
            if pen.get("status") == "stubbed" and s.chance(50):  # so that it can move at all
                least = s.pick((0, 0, step, 2 * step))
                pen["min_offset"], pen["reach"] = self.text(least), self.text(3 * step)
                pen.pop("reach_low", None)
                pen.pop("reach_high", None)
            if s.chance(85 if pen.get("status") == "stubbed" else 25):
                size = s.pick(NOMINAL[:3] if s.chance(80) else NOMINAL)
                pen["nominal"] = int(size) if size.isdigit() and s.chance(30) else size
        if s.chance(50):  # worth moving
            rates = self.doc.setdefault("rates", {})
            rates["move_stubbed"] = {"hours": 0, "material": s.pick((0, 5, 10))}
        case = oracle.read(self._with_rules())
        tables: dict[str, dict[str, Any]] = {}
        for size in NOMINAL:
            if s.chance(80):
                tables[size] = self._bends(case, size)
        if tables:
            self.doc["fittings"] = tables
        for pen, read in zip(self.pens, case.pens, strict=True):
            table = tables.get(str(pen.get("nominal")), {})
            if pen["kind"] == "pipe" and s.chance(55 if table else 8):
                pen["headroom"] = self.text(self._headroom(self._offsets(case, read), table))

    def _offsets(self, case: oracle.Case, pen: oracle.Pen) -> list[int]:
        """Offsets that the pipe might make, if fittings were no matter."""
        sizes = sorted({abs(move) for move in oracle.move_options(case, pen) if move})
        return sizes or [case.lengths["step"]]

    def _bends(self, case: oracle.Case, size: str) -> dict[str, Any]:
        s = self.s
        users = [
            read
            for pen, read in zip(self.pens, case.pens, strict=True)
            if str(pen.get("nominal")) == size
        ]
        bends = {}
        for angle in s.pick((ANGLES, ANGLES[:1], ANGLES[1:2], ANGLES[2:], ANGLES[1:], ANGLES[::2])):
            length = self.size(s.pick((1, 2, 3, 4, Fraction(3, 2), Fraction(9, 4))))
            if users and s.chance(75):  # the longest elbow that just makes a step, or a tick more
                d = s.pick(self._offsets(case, s.pick(users)))
                just = largest(lambda c, a=angle, d=d: hub_to_hub(a, d, c), 2 * d)  # type: ignore[misc]
                length = max(TICK, just + s.pick((0, 0, TICK)))
            bends[angle] = self.text(length)
        return bends

    def _headroom(self, offsets: Sequence[int], table: dict[str, Any]) -> int:
        s = self.s
        if not table or s.chance(15):
            return self.size(s.pick((4, 8, 12, 20)))
        angle = s.pick(sorted(table))
        c, d = self.ticks_of(table[angle]), s.pick(offsets)
        most = 4 * d + 2 * c
        enough = most - largest(lambda less: fits_under(angle, d, c, most - less), most)
        return max(TICK, enough - s.pick((0, 0, 0, TICK)))

    # -------------------------------------------------------------- several covers

    def _covers(self) -> None:
        s = self.s
        case = oracle.read(self._with_rules())
        least = self.size(10)
        if "min_end" in self.rules:
            least = max(least, case.min_end)
        first = self.doc["panel"]["cover"]
        covers = {case.cover: first}
        widest = max(plane.width for plane in case.planes)
        for _ in range(s.pick((1, 1, 2))):
            other = case.cover + self.size(s.pick((-8, -6, -4, -2, -1, 1, 2, 4, 6)))
            if other >= least and other not in covers:
                covers[other] = self.text(other)
        if widest <= self.size(90) and s.chance(20):  # one panel whatever the cover: all alike
            covers = {widest + self.size(more): "" for more in (s.whole(0, 2), s.whole(3, 6))}
            covers = {cover: self.text(cover) for cover in covers if cover >= least}
            covers = covers or {case.cover: first}
        written = list(covers.values())
        if s.chance(50):
            written.reverse()
        self.doc["panel"]["cover"] = written

    # -------------------------------------------------------------- agreed

    def _freeze(self) -> None:
        """One or two first widths or moves that each rule on its own allows."""
        s = self.s
        document = self._with_rules()
        cases = [oracle.read(with_cover(document, cover)) for cover in given_covers(document)]
        case = cases[0]
        firsts: dict[int, int] = {}
        moves: dict[int, int] = {}
        for _ in range(s.pick((1, 1, 2))):
            if case.pens and s.chance(60):
                index = s.whole(0, len(case.pens) - 1)
                if case.pens[index].pipe:
                    moves[index] = self._agreed_move(case, case.pens[index], firsts)
                continue
            number = s.whole(0, len(case.planes) - 1)
            legal = [oracle.legal_firsts(one, one.planes[number]) for one in cases]
            shared = [f for f in legal[0] if all(f in other for other in legal)]
            if shared:
                firsts[number] = s.pick(shared)
        if firsts or moves:
            self.doc["freeze"] = {
                "first": {case.planes[p].id: self.text(first) for p, first in firsts.items()},
                "move": {case.pens[i].id: self.text(move) for i, move in moves.items()},
            }
            for name in ("first", "move"):
                if not self.doc["freeze"][name] and s.chance(70):
                    del self.doc["freeze"][name]

    def _agreed_move(self, case: oracle.Case, pen: oracle.Pen, firsts: dict[int, int]) -> int:
        """A move the pipe may make, mostly one that is clear for some first width still open."""
        s = self.s
        open_firsts = oracle.legal_firsts(case, case.planes[pen.plane])
        if pen.plane in firsts:
            open_firsts = [firsts[pen.plane]]
        allowed = [
            move
            for move in oracle.move_options(case, pen)
            if move and not oracle.place_faults(case, pen, pen.x + move)
        ]
        clear = [
            move
            for move in allowed
            if any(oracle.stand(case, pen, f, pen.x + move).state == "clear" for f in open_firsts)
        ]
        if clear and s.chance(65):
            return s.pick(clear)
        return s.pick(allowed) if allowed and s.chance(8) else 0
