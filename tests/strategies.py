"""Small random cases that use every feature of the case file except odd panels.

One builder makes a case out of a source of choices. `random_case(seed)` feeds it from a seeded
generator (the same case on every machine); `cases()` is the same builder as a hypothesis strategy,
so that a failing case shrinks.

Everything stands on a coarse lattice, the unit `u` = 1/2 in or 10 mm, and neighbours stand where a
gap is just met or would be after a few steps, so that equality (room exactly as needed, spacing
exactly met, a keep-out just touched) and ties are common. About one case in five carries rules that
are hard to meet. `random_case_stage2` and `cases_stage2` add what strategies_stage2 knows to them.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any, Protocol, TypeVar

T = TypeVar("T")
Size = int | float | Fraction  # in u


class Chooser(Protocol):
    """Where the builder's choices come from."""

    def pick(self, options: Sequence[T]) -> T: ...

    def whole(self, low: int, high: int) -> int: ...

    def chance(self, percent: int) -> bool: ...


class Seeded:
    """Choices out of `random.Random(seed)`."""

    def __init__(self, seed: int) -> None:
        self._random = random.Random(seed)

    def pick(self, options: Sequence[T]) -> T:
        return options[self._random.randrange(len(options))]

    def whole(self, low: int, high: int) -> int:
        return self._random.randint(low, high)

    def chance(self, percent: int) -> bool:
        return self._random.randrange(100) < percent


# Differences (dx, dy) whose length is whole: the distances at which spacing is exactly met.
TRIANGLES = (
    (3, 4), (4, 3), (6, 8), (8, 6), (5, 12), (12, 5), (8, 15), (9, 12), (12, 9), (12, 16),
    (0, 6), (0, 9), (6, 0), (8, 0), (10, 0), (2, 2), (0, 0),
)  # fmt: skip
PIPE_STATES = ("tight", "crosses", "on-seam")
CURB_STATES = ("crowded", "spans")
RATE_NAMES = (
    "tight", "crosses", "on_seam", "seam_cut", "crowded", "move_planned", "move_stubbed",
    "uneven", "misaligned",
)  # fmt: skip


class _Builder:
    """Builds one case document; every length is thought in u and written at the end."""

    panel_counts: Sequence[int] = (0, 1, 2, 2, 2, 3, 3, 3, 4, 4)
    statuses: Sequence[str] = ("planned",) * 4 + ("stubbed",) * 4 + ("fixed", "")
    pen_counts: Sequence[int] = (1, 2, 3, 4, 5, 6, 7, 8, 9)

    def __init__(self, source: Chooser) -> None:
        self.s = source
        self.inches = source.chance(60)
        self.units = "in" if self.inches else "mm"
        self.hard = source.chance(20)
        far = Fraction(24 if self.inches else 30)
        self.widths: list[Fraction] = []
        self.heights: list[int] = []
        self.beams: list[list[tuple[Fraction, Fraction, Fraction, Fraction]]] = []  # x, y from-to
        self.gaps = {"spacing": far, "edge_gap": far}  # what is used, the default till given

    # -------------------------------------------------------------- writing lengths

    def length(self, u: Size, jitter: bool = False) -> int | float | str:
        """A length of `u` half inches (or 10 mm) as a number or a string of its own."""
        value = Fraction(u) / 2 if self.inches else Fraction(u) * 10
        if jitter and self.s.chance(3):  # half a tick beyond: rounds away from zero
            in_mm = value * Fraction("25.4") if self.inches else value
            return decimal_text(in_mm + Fraction("0.00078125")) + " mm"
        if value < 0 or self.s.chance(60):
            return int(value) if value.denominator == 1 else float(value)
        forms = self._inch_forms(value) if self.inches else self._mm_forms(value)
        return self.s.pick(forms)

    @staticmethod
    def _inch_forms(value: Fraction) -> list[str]:
        whole, part = divmod(value, 1)
        mixed = f"{whole} {part}" if part and whole else str(part or whole)
        dashed = mixed.replace(" ", "-")
        forms = [mixed, mixed + " in", dashed + " in", mixed + '"', decimal_text(value) + " in"]
        forms += [decimal_text(value * Fraction("25.4")) + " mm"]
        feet, inches = divmod(value, 12)
        if feet:
            whole, part = divmod(inches, 1)
            rest = f"{whole} {part}" if part and whole else str(part or whole)
            forms += [f"{feet}' {rest}\"", f"{feet}'-{rest}\""]
        if (value / 12 * 64).denominator == 1:
            forms.append(decimal_text(value / 12) + " ft")
        if inches == 0 and feet:
            forms.append(f"{feet}'")
        return forms

    @staticmethod
    def _mm_forms(value: Fraction) -> list[str]:
        text = decimal_text(value)
        forms = [text, text + " mm", decimal_text(value / 1000) + " m"]
        if (value / Fraction("25.4") * 16).denominator == 1:
            forms.append(decimal_text(value / Fraction("25.4")) + " in")
        return forms

    def size(self, *options: Size) -> Size:
        """One of some lengths in u."""
        return self.s.pick(options)

    def maybe(self, target: dict[str, Any], name: str, options: Sequence[Size], share: int) -> None:
        """Give `name` one of `options` in `share` percent of the cases, else leave the default."""
        if self.s.chance(share):
            self.gaps[name] = Fraction(self.s.pick(options))
            target[name] = self.length(self.gaps[name])

    # -------------------------------------------------------------- the parts of a case

    def build(self) -> dict[str, Any]:
        s = self.s
        document: dict[str, Any] = {"title": "random case", "units": self.units}
        if s.chance(6):
            document["setting"] = "reroof"
        elif s.chance(20):
            document["setting"] = "new"
        self.plane_count = s.pick((1, 1, 1, 2, 2, 2, 2, 3))
        self.cover = self.size(16, 20, 24, 24, 30, 30, 36, 25, 33, Fraction(73, 2))
        self._grid(document)
        self._panel(document)
        self._rules(document)
        self._moves(document)
        self._rates(document)
        planes = [self._plane(n) for n in range(self.plane_count)]
        document["plane"] = planes
        links = self._links()
        if links:
            document["link"] = links
        pens = self._penetrations()
        if pens:
            document["penetration"] = pens
        return document

    def _grid(self, document: dict[str, Any]) -> None:
        """Ends and marks, few enough first widths for the number of planes."""
        s, cover = self.s, Fraction(self.cover)
        self.min_end: Fraction | None = None
        if s.chance(60):
            few: tuple[Size, ...] = (4, 5, 6, 8, Fraction(17, 2), cover / 2, cover / 2, 0, 0)
            self.min_end = Fraction(self.size(*few, cover) if s.chance(15) else self.size(*few))
        least = self.min_end
        if least is None:
            least = min(max(cover / 3, Fraction(20 if self.inches else 25, 2)), cover)
        most = {1: 28, 2: 20, 3: 12}[self.plane_count]
        marks: list[Size] = [m for m in (1, 2, 3, 4, 5, 6) if (cover - least) / m <= most]
        fine: list[Size] = [
            m for m in (Fraction(1, 2), Fraction(1, 4)) if (cover - least) / m <= 2 * most
        ]
        self.mark = self.size(*(marks if s.chance(50) else marks[:3]))
        if fine and s.chance(8):
            self.mark = self.size(*fine)
        if self.plane_count == 1 and s.chance(2):
            self.mark = Fraction(1, 8 if self.inches else 10)  # the default, a fine one
        else:
            document["mark"] = self.length(self.mark)

    def _panel(self, document: dict[str, Any]) -> None:
        s = self.s
        panel: dict[str, Any] = {"cover": self.length(self.cover, jitter=True)}
        sides: tuple[Size, ...] = (0, Fraction(1, 2), 1, 1, 2, 3)
        if s.chance(40):
            panel["seam_half"] = self.length(s.pick(sides))
        else:
            panel["seam_back"] = self.length(s.pick(sides))
            panel["seam_fwd"] = self.length(s.pick(sides))
        document["panel"] = panel

    def _rules(self, document: dict[str, Any]) -> None:
        rules: dict[str, Any] = {}
        if self.min_end is not None:
            rules["min_end"] = self.length(self.min_end)
        self.maybe(rules, "work_gap", (0, Fraction(1, 2), 1, 1, 2), 60)
        self.maybe(rules, "hole_gap", (0, Fraction(1, 2), 1, 2), 60)
        self.maybe(rules, "seamer_gap", (0, 2, 3, 5), 40)
        self.maybe(rules, "end_lap", (0, 0, 1, 2, 4), 80)
        self.maybe(rules, "curb_side", (0, 1, 3, 4, 8), 75)
        self.maybe(rules, "edge_gap", (0, 2, 4, 6, 8), 90)
        self.maybe(rules, "spacing", (0, 1, 2, 4, 6, 8), 90)
        self.maybe(rules, "flange", (1, 2, 3, 4), 60)
        self.maybe(rules, "enough", (0, 0, 1, 2, 4), 65)
        self.maybe(rules, "uneven_free", (0, 2, 3, 6), 60)
        self.maybe(rules, "meet_tol", (0, 0, Fraction(1, 2), 1, 2), 75)
        if self.s.chance(50 if self.hard else 5):
            states = PIPE_STATES + CURB_STATES
            rules["forbid"] = self._some(("on-seam", "on-seam", "crosses", *states))
        elif self.s.chance(10):
            rules["forbid"] = []
        if self.s.chance(10):
            rules["odd_panels"] = 0
        if rules or self.s.chance(50):
            document["rules"] = rules

    def _some(self, states: Sequence[str]) -> list[str]:
        """One or two states, each once, in the order drawn."""
        return list(dict.fromkeys(self.s.pick(states) for _ in range(self.s.whole(1, 2))))

    def _moves(self, document: dict[str, Any]) -> None:
        s = self.s
        self.step = s.pick((1, 2, 2, 3, 3, 4, 4, 8))
        self.default_reach: Fraction = Fraction(24 if self.inches else 30)
        self.default_offset: Fraction = Fraction(6) if self.inches else Fraction(15, 2)
        moves: dict[str, Any] = {}
        if self.step != 1 or s.chance(50):
            moves["step"] = self.length(self.step)
        if s.chance(50):
            self.default_offset = Fraction(s.pick((1, 2, 3, 4)))
            moves["min_offset"] = self.length(self.default_offset)
        if self.step < 8 or s.chance(30):  # the default of 12 in would give too many moves
            self.default_reach = Fraction(s.pick((0, 1, 2, 3, 3)) * self.step)
            if self.default_reach and self.default_reach < self.default_offset:
                self.default_reach = self.default_offset
            moves["reach"] = self.length(self.default_reach)
        if moves:
            document["moves"] = moves

    def _rates(self, document: dict[str, Any]) -> None:
        s = self.s
        style = s.pick(
            ("default", "cheap", "cheap", "cheap", "part", "part", "equal", "coarse", "cents")
        )
        if style == "default":
            return
        rates: dict[str, Any] = {}
        if s.chance(60):
            rates["crew_hour"] = s.pick((95, 0, 80, 87.5, 33.33, 60.01, 100))
        if s.chance(60):
            rates["plumber_hour"] = s.pick((120, 0, 100, 99.99, 75.5, 66.67))
        for name in RATE_NAMES:
            if style == "cheap":  # moves that are worth making
                if name.startswith("move_"):
                    rates[name] = {"hours": 0, "material": s.pick((0, 5, 10))}
            elif style == "equal":
                rates[name] = {"hours": 0, "material": s.pick((10, 10, 10, 0))}
            elif style == "coarse":
                rates[name] = {"hours": 0, "material": 50 * s.whole(0, 3)}
            elif s.chance(60):
                most_hours = 3 if name.startswith("move_") else 7
                hours = {"hours": s.pick((0, 0.25, 0.35, 0.5, 1, 2, 1.125)[:most_hours])}
                material = {"material": s.pick((0, 10, 35, 12.345, 7.005, 0.5, 100))}
                both = {**hours, **material}
                rates[name] = s.pick((hours, material, both)) if style == "part" else both
        document["rates"] = rates

    def _rest(self, cover: Fraction) -> Fraction:
        """What a plane has beyond whole covers."""
        s = self.s
        return s.pick((Fraction(0), Fraction(s.whole(0, int(cover) - 1)), Fraction(s.whole(1, 8))))

    def _plane(self, number: int) -> dict[str, Any]:
        s, cover = self.s, Fraction(self.cover)
        panels = s.pick(self.panel_counts)
        rest = self._rest(cover)
        if s.chance(15):
            rest += s.pick((Fraction(1, 2), Fraction(1, 8), Fraction(3, 4)))
        if panels == 0 and rest < 2:
            panels = 1
        width = panels * cover + rest
        height = s.pick((30, 60, 90))
        plane: dict[str, Any] = {
            "id": "PQR"[number],
            "width": self.length(width, jitter=True),
            "length": self.length(height),
        }
        lay = s.pick(("left-to-right", "right-to-left", ""))
        if lay:
            plane["lay"] = lay
        if s.chance(15):
            plane["low_end"], plane["high_end"] = "west gable", "east gable"
        keepouts = []
        self.widths.append(width)
        self.heights.append(height)
        self.beams.append([])
        for _ in range(s.pick((0, 1, 1, 2))):
            start = s.whole(0, max(0, int(width) - 1))
            end = min(Fraction(start + s.pick((1, 2, 4, 7))), width)
            self.beams[number].append((Fraction(start), end, Fraction(0), Fraction(0)))
            keepout = {"from": self.length(start), "to": self.length(end), "what": "beam"}
            if s.chance(50):
                low = s.whole(0, height - 2)
                high = min(height, low + s.pick((2, 6, 12, 30)))
                keepout["y_from"] = self.length(low)
                keepout["y_to"] = self.length(high)
                self.beams[number][-1] = (Fraction(start), end, Fraction(low), Fraction(high))
            keepouts.append(keepout)
        if keepouts:
            plane["keepout"] = keepouts
        return plane

    def _links(self) -> list[dict[str, Any]]:
        s = self.s
        if self.plane_count == 1 or s.chance(20):
            return []
        pairs = [(0, 1)] if self.plane_count == 2 else [(0, 1), (1, 2), (2, 0)]
        if self.plane_count == 3 and s.chance(60):
            pairs = pairs[:2]
        links = []
        for one, two in pairs:
            if s.chance(30):
                one, two = two, one
            link: dict[str, Any] = {
                "planes": ["PQR"[one], "PQR"[two]],
                "how": s.pick(("mirror", "same")),
            }
            if s.chance(60 if self.hard else 15):
                link["must"] = True
            elif s.chance(20):
                link["must"] = False
            if s.chance(40):
                link["offset"] = self.length(s.whole(-6, 12))
            if s.chance(25):
                link["stagger"] = s.chance(85)
            links.append(link)
        return links

    # -------------------------------------------------------------- penetrations

    def _penetrations(self) -> list[dict[str, Any]]:
        s = self.s
        self.stood: list[tuple[int, Fraction, Fraction, Fraction]] = []
        self.movable = [0] * self.plane_count
        self.on_plane = [0] * self.plane_count
        pens = []
        for number in range(s.pick(self.pen_counts)):
            plane = s.whole(0, self.plane_count - 1)
            if self.on_plane[plane] >= 6:
                continue
            self.on_plane[plane] += 1
            make = self._curb if s.chance(22) else self._pipe
            pens.append(make(number, plane))
        return pens

    def _spot(self, plane: int, outside: Size = 0) -> tuple[Fraction, Fraction]:
        """Somewhere on the plane, by preference near an end, a keep-out or a neighbour.

        Often a whole number of steps away from where a gap is exactly met.
        """
        s, width, height = self.s, Fraction(self.widths[plane]), self.heights[plane]
        x, y, radius = Fraction(s.whole(0, int(width))), Fraction(s.whole(0, height)), Fraction(0)
        radius += Fraction(outside) / 2
        steps = self.step * s.whole(-1, 3)
        towards = s.pick((-1, 1))
        near = [stood for stood in self.stood if stood[0] == plane]
        where = s.whole(0, 99)
        if near and where < 20:  # a neighbour just kept clear of, or after a few steps
            _, x, y, other = s.pick(near)
            apart = self.gaps["spacing"] + radius + other
            if apart % 5 == 0 and s.chance(50):
                x, y = x + towards * (apart * 3 / 5 - steps), y + apart * 4 / 5
            else:
                x += towards * (apart - steps)
        elif near and where < 40:
            _, x, y, _ = s.pick(near)
            dx, dy = s.pick(TRIANGLES)
            x += towards * (dx + s.pick((0, 0, steps, 3)))
            y += s.pick((-1, 1)) * dy
        elif where < 48:  # the edge gap just kept, or after a few steps
            x = self.gaps["edge_gap"] + radius - steps
            x = width - x if towards < 0 else x
        elif where < 52:
            x = Fraction(s.pick((0, 2, 3, 4, 5, 6, 8, 10)))
            x = width - x if towards < 0 else x
        elif self.beams[plane] and where < 75:
            start, end, low, high = s.pick(self.beams[plane])
            x = start - radius + steps if towards < 0 else end + radius - steps
            if high:
                y = s.pick((low - radius, high + radius, low + s.whole(0, 4), low - s.whole(0, 4)))
        elif where < 79:
            x += s.pick((Fraction(1, 2), Fraction(1, 4)))
        if not 0 <= x <= width:
            x = Fraction(s.whole(0, int(width)))
        y = min(max(y, Fraction(0)), Fraction(height))
        self.stood.append((plane, x, y, radius))
        return x, y

    def _own_forbid(self, pen: dict[str, Any], states: Sequence[str]) -> None:
        if self.s.chance(20 if self.hard else 5):
            pen["forbid"] = self._some(states)
        elif self.s.chance(12):
            pen["forbid"] = []

    def _pipe(self, number: int, plane: int) -> dict[str, Any]:
        s = self.s
        outside = s.pick((1, 2, 2, 2, 3, 4, 4, 6))
        x, y = self._spot(plane, outside)
        pen: dict[str, Any] = {
            "id": f"V{number}",
            "plane": "PQR"[plane],
            "kind": "pipe",
            "x": self.length(x, jitter=x < self.widths[plane]),
            "y": self.length(y),
            "outside": self.length(outside),
        }
        if s.chance(75):
            pen["base"] = self.length(outside + s.pick((0, 1, 2, 2, 4, 4, 6, 8)))
        if s.chance(12):
            pen["turned"] = True
        self._own_forbid(pen, PIPE_STATES)
        status = s.pick(self.statuses)
        if self.movable[plane] >= 4 and status in ("planned", "stubbed"):
            status = "fixed"
        if status:
            pen["status"] = status
        if status in ("planned", "stubbed"):
            self.movable[plane] += 1
            if s.chance(5):
                pen["hold"] = "stands over a wall plate"
            self._reach(pen, status == "stubbed")
        return pen

    def _reach(self, pen: dict[str, Any], stubbed: bool) -> None:
        """Reach and least offset; what a stubbed pipe reaches is not below its least offset."""
        s = self.s
        least = Fraction(0)
        if stubbed:
            least = self.default_offset
            if s.chance(50):
                least = Fraction(s.pick((0, 1, 2, 3, 4)))
                pen["min_offset"] = self.length(least)

        def some_reach() -> Fraction:
            most = s.pick((3, 4, 5) if self.step < 3 else (3,)) * self.step
            size = Fraction(s.pick((0, self.step, 2 * self.step, most, most, most)))
            if s.chance(20):
                size += Fraction(self.step, 2)
            if s.chance(20):
                size = least  # just the least offset
            return size if size == 0 else max(size, least)

        default_fits = self.default_reach == 0 or self.default_reach >= least
        if not default_fits or s.chance(75):
            pen["reach"] = self.length(some_reach())
        if s.chance(25):
            pen["reach_low"] = self.length(some_reach())
        if s.chance(25):
            pen["reach_high"] = self.length(some_reach())

    def _curb(self, number: int, plane: int) -> dict[str, Any]:
        s, width = self.s, self.widths[plane]
        cover = int(self.cover)
        x, y = self._spot(plane)
        widest = max(1, int(width))
        across = min(s.pick((4, 8, 12, cover - 2, cover, 2 * cover, 5 * cover // 2)), widest)
        half = Fraction(across, 2)
        x = min(max(x, half), width - half)  # it stands on the plane
        pen: dict[str, Any] = {
            "id": f"C{number}",
            "plane": "PQR"[plane],
            "kind": "curb",
            "x": self.length(x),
            "y": self.length(y),
            "across": self.length(across),
            "along": self.length(s.pick((4, 6, 10, 20))),
        }
        if s.chance(30):
            pen["status"] = "fixed"
        self._own_forbid(pen, CURB_STATES)
        return pen


def decimal_text(value: Fraction) -> str:
    """The exact decimal text of a fraction that has one."""
    sign, value = ("-", -value) if value < 0 else ("", value)
    digits = 0
    while (value * 10**digits).denominator != 1:
        digits += 1
        if digits > 20:
            raise ValueError(f"{value} has no short decimal text")
    text = str(int(value * 10**digits)).rjust(digits + 1, "0")
    return sign + (f"{text[:-digits]}.{text[-digits:]}" if digits else text)


def random_case(seed: int) -> dict[str, Any]:
    """The small random case of this seed; the same on every machine."""
    return _Builder(Seeded(seed)).build()


def random_case_stage2(seed: int) -> dict[str, Any]:
    """`random_case(seed)` with fittings, agreed choices, tolerances or several covers added."""
    return _with_more(random_case(seed), Seeded(1_000_003 * (seed + 1)))


def _with_more(document: dict[str, Any], source: Chooser) -> dict[str, Any]:
    from strategies_stage2 import Stage2  # it builds on this module

    return Stage2(document, source).build()


def cases() -> Any:
    """The same cases as a hypothesis strategy (of dicts)."""
    return _drawn(lambda source: _Builder(source).build())


def cases_stage2() -> Any:
    """The cases of `random_case_stage2` as a hypothesis strategy (of dicts)."""
    return _drawn(lambda source: _with_more(_Builder(source).build(), source))


def _drawn(make: Callable[[Chooser], dict[str, Any]]) -> Any:
    from hypothesis import strategies as st

    class Drawn:
        def __init__(self, draw: Any) -> None:
            self._draw = draw

        def pick(self, options: Sequence[T]) -> T:
            return options[self.whole(0, len(options) - 1)]

        def whole(self, low: int, high: int) -> int:
            return int(self._draw(st.integers(low, high)))

        def chance(self, percent: int) -> bool:
            return self.whole(0, 99) >= 100 - percent  # shrinks towards "no"

    @st.composite
    def build(draw: Any) -> dict[str, Any]:
        return make(Drawn(draw))

    return build()
