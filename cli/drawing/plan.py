"""The roof of one plane: outline, seams, penetrations, their tags."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import atan2, degrees, hypot

from cli.drawing.labels import Box, Occupied, Placed, Wanted, place_all, thing_box
from cli.drawing.marks import (
    Anchor,
    Circle,
    Dim,
    Line,
    Mark,
    Marks,
    Polygon,
    SignAt,
    Text,
    fit,
    text_width,
)
from cli.drawing.scale import Setting, crowded
from cli.drawing.schedule import Words
from cli.drawing.strings import Strings
from cli.report.lines import clean
from solver.drawing.parts import Scene, Standing

_TAG, _SMALL, _SIGN = 2.2, 1.7, 1.05
_LONGEST = 26.0
"""Height of tags and of what stands below them, radius of signs, longest tag (mm on paper)."""


class Plan:
    """The drawing of one stretch of a plane."""

    def __init__(
        self, words: Words, scene: Scene, setting: Setting, stretch: tuple[int, int]
    ) -> None:
        self._words, self._scene, self._k = words, scene, setting.ticks
        self._from, self._to = stretch
        self._short = crowded(scene, setting)
        self._strings = Strings(words, scene, setting, stretch)
        self._occupied = Occupied(setting.ticks(8))
        self._top = max(y for _, y in scene.outline)

    def marks(self) -> Marks:
        """All of it: what a match line cuts off, and what stands over it."""
        found = Marks()
        strings: list[Mark] = []
        here = [one for one in self._scene.penetrations if self._shown(one)]
        self._take_things(here)
        found.roof += self._ground()
        for mark in (*self._strings.above(), *self._strings.below()):
            cut = isinstance(mark, Dim) and (mark.low < self._from or mark.high > self._to)
            (found.roof if cut else strings).append(mark)
        for one in here:
            found.roof += self._thing(one)
        own = [one for one in here if self._from <= one.stands.x < self._to
               or one.stands.x == self._to == self._scene.plane.width]
        found.roof += self._edge_names()
        found.over += strings
        found.over += self._tags(own)
        found.over += self._ends()
        return found

    def _shown(self, one: Standing) -> bool:
        pen = one.pen
        half = max(pen.base, pen.outside, pen.across)
        xs = (one.stands.x, pen.x)
        return max(xs) + half >= self._from and min(xs) - half <= self._to

    def _ground(self) -> Iterator[Mark]:
        scene, k = self._scene, self._k
        for keepout in scene.keepouts:
            low, high = (
                (0, scene.plane.length) if keepout.y_from is None or keepout.y_to is None
                else (keepout.y_from, keepout.y_to)
            )
            a, b = keepout.x_from, keepout.x_to
            yield Polygon("KEEP-OUT", "keepout", ((a, low), (b, low), (b, high), (a, high)),
                          hatch=True)
            share = 0.5 if keepout.y_from is None else 0.9
            text = fit(clean(keepout.what) or "keep-out", (high - low) * share, k(_SMALL))
            at = ((a + b) / 2 + k(0.6), low + k(1.2))
            yield Text("KEEP-OUT", at, text, k(_SMALL), turn=90, role="leader")
            self._take_upright(at, text)
        for odd in scene.odd:
            for shape in odd.shapes:
                yield Polygon("ODD-PANELS", "odd", shape, tint=True)
        for name, points in scene.holes:
            yield Polygon("OUTLINE", "hole", points, white=True)
            low, high = min(x for x, _ in points), max(x for x, _ in points)
            middle = ((low + high) / 2, (min(y for _, y in points) + max(y for _, y in points)) / 2)
            text = fit(clean(name), high - low, k(_TAG))
            yield Text("OUTLINE", middle, text, k(_TAG), "middle")
            self._take(middle, text, k(_TAG))
        for seam in scene.seams:
            for part in seam.parts:
                yield Line("SEAMS", "seam", (seam.x, part[0]), (seam.x, part[1]),
                           id=str(seam.number))
        for line in scene.control:
            for part in line.parts:
                yield Line("CONTROL-LINES", "control", (line.x, part[0]), (line.x, part[1]),
                           id=str(line.number))
            if line.parts and self._from <= line.x <= self._to:
                low = line.parts[0][0]
                text = f"control {line.number}"
                at = (line.x - k(0.6), low + k(1.2))
                yield Text("CONTROL-LINES", at, text, k(1.5), turn=90, role="arrow")
                self._take_upright(at, text)
        for asked, _ in scene.centres:
            at = (asked.at, self._top)
            yield Line("TEXT", "centre", (at[0], 0), (at[0], float(self._top)))
        yield Polygon("OUTLINE", "outline", scene.outline)

    def _thing(self, one: Standing) -> Iterator[Mark]:
        pen, x, y, k = one.pen, one.stands.x, one.pen.y, self._k
        if pen.kind == "curb":
            low, high = (x - pen.across / 2, y - pen.along / 2), (
                x + pen.across / 2, y + pen.along / 2)
            yield Polygon("PENETRATIONS", "body", (
                low, (high[0], low[1]), high, (low[0], high[1])), white=True, id=pen.id)
            yield Line("PENETRATIONS", "base", low, high)
            yield Line("PENETRATIONS", "base", (low[0], high[1]), (high[0], low[1]))
            return
        yield Circle("FLASHINGS", "base", (x, y), pen.base / 2, white=True, id=pen.id)
        yield Circle("PENETRATIONS", "body", (x, y), pen.outside / 2, id=pen.id)
        if one.moved:
            yield Circle("MOVED-FROM", "moved-from", (pen.x, y), pen.outside / 2, id=pen.id)
            head = min(k(1.5), abs(x - pen.x) * 0.6)
            yield Line("MOVED-FROM", "arrow", (pen.x, y), (x, y), arrow=head, id=pen.id)

    def _take_things(self, here: Sequence[Standing]) -> None:
        for one in here:
            self._occupied.add(thing_box(self._wanted(one)))
            if one.moved:
                half = one.pen.outside / 2
                self._occupied.add((one.pen.x - half, one.pen.y - half,
                                    one.pen.x + half, one.pen.y + half))

    def _tags(self, own: Sequence[Standing]) -> Iterator[Mark]:
        k = self._k
        within = (
            self._from - (0 if self._from else k(12)), 0.0,
            self._to + (k(12) if self._to == self._scene.plane.width else 0), float(self._top),
        )
        wanted = [self._wanted(one) for one in own]
        placed = place_all(wanted, self._occupied, within, k(0.5))
        for _, place in zip(own, placed, strict=True):
            if place.leader is not None:
                yield Line("TEXT", "leader", *place.leader)
        for one, place in zip(own, placed, strict=True):
            yield from self._tag(one, place)

    def _wanted(self, one: Standing) -> Wanted:
        pen, k = one.pen, self._k
        reach = (pen.base / 2, pen.base / 2) if pen.kind == "pipe" else (
            pen.across / 2, pen.along / 2)
        below = self._below(one)
        wide = k(2 * _SIGN + 1.3) + max(
            text_width(self._name(one), k(_TAG), bold=True),
            text_width(below, k(_SMALL)) + (k(3.4) if one.moved else 0) if below else 0,
        )
        high = k(5.2 if below else 3.0)
        return Wanted((one.stands.x, pen.y), reach, wide, high)

    def _name(self, one: Standing) -> str:
        return fit(clean(one.pen.id), self._k(_LONGEST), self._k(_TAG), bold=True)

    def _below(self, one: Standing) -> str:
        """What stands below a tag: a move, or a state that is not clear. Nothing where many tags
        stand close: sign, arrow and schedule say it."""
        if self._short:
            return ""
        if one.moved:
            return self._words.near(abs(one.stands.moved))
        state = self._words.state(self._scene, one)
        return "" if state == "clear" else "at risk" if one.stands.at_risk else state

    def _tag(self, one: Standing, place: Placed) -> Iterator[Mark]:
        """The sign of the state, on the side of the thing; the tag; below it what is to be said."""
        k, (left, bottom, right, top) = self._k, place.box
        turned = right < one.stands.x  # else the sign would stand pans away from what it is about
        side, way = (right, -1) if turned else (left, 1)
        anchor: Anchor = "end" if turned else "start"
        yield Polygon("TEXT", "text", _corners(place.box), white=True, id="label")
        line = top - k(1.5)
        at = (side + way * k(_SIGN + 0.3), line)
        yield SignAt(one.pen.kind, one.stands.state, at, k(_SIGN))
        x = side + way * k(2 * _SIGN + 0.9)
        yield Text("TEXT", (x, line - k(0.8)), self._name(one), k(_TAG), anchor, bold=True)
        below = self._below(one)
        if not below:
            return
        y = bottom + k(0.55)
        if one.moved:
            x -= (k(3.4) + text_width(below, k(_SMALL))) if turned else 0
            a, b = (x, x + k(2.8)) if one.stands.moved > 0 else (x + k(2.8), x)
            yield Line("TEXT", "arrow", (a, y + k(0.6)), (b, y + k(0.6)), arrow=k(1.3))
            yield Text("TEXT", (x + k(3.4), y), below, k(_SMALL), role="arrow")
        else:
            yield Text("TEXT", (x, y), below, k(_SMALL), anchor)

    def _edge_names(self) -> Iterator[Mark]:
        """The kind of every edge of an outline, along it and inside the roof."""
        scene, k = self._scene, self._k
        points = scene.outline
        for place, kind in enumerate(scene.kinds):
            (x_1, y_1), (x_2, y_2) = points[place], points[(place + 1) % len(points)]
            size = hypot(x_2 - x_1, y_2 - y_1)
            wide = text_width(kind, k(_SMALL))
            inwards = (-(y_2 - y_1) / size, (x_2 - x_1) / size)
            turn = degrees(atan2(y_2 - y_1, x_2 - x_1))
            off, turn = (k(1.5), turn) if -90 < turn <= 90 else (
                k(1.5 + _SMALL * 0.75), turn - 180 if turn > 0 else turn + 180)
            if size < 2 * wide:
                continue
            for share in (0.5, 0.35, 0.65, 0.2, 0.8):
                at = (x_1 + (x_2 - x_1) * share + inwards[0] * off,
                      y_1 + (y_2 - y_1) * share + inwards[1] * off)
                reach = (wide / 2, k(1.4)) if abs(turn) < 45 else (k(1.5), wide / 2)
                box = (at[0] - reach[0], at[1] - reach[1], at[0] + reach[0], at[1] + reach[1])
                if self._from <= at[0] <= self._to and self._occupied.free(box):
                    self._occupied.add(box)
                    yield Text("OUTLINE", at, kind, k(_SMALL), "middle", round(turn),
                               role="leader")
                    break

    def _ends(self) -> Iterator[Mark]:
        """The names of both ends beside the roof, and from where it is laid."""
        scene, k, width = self._scene, self._k, self._scene.plane.width
        begin = scene.start
        if begin.kind == "line" and self._from <= begin.x <= self._to:
            for way in (-1, 1):
                yield Line("TEXT", "body", (begin.x, k(-5.2)), (begin.x + way * k(6), k(-5.2)),
                           arrow=k(1.6))
            yield Text("TEXT", (begin.x + k(7), k(-5.8)), "laying starts, both ways", k(_SMALL))
        for end, x, way in ((scene.low_end, 0, -1), (scene.high_end, width, 1)):
            if not self._from <= x <= self._to:
                continue
            at = (x + way * k(6.3) + (k(2.2) if way > 0 else 0), self._top / 2)
            length = max(float(self._top), k(30))
            text = fit(clean(end.name), length, k(2.4), bold=True)
            yield Text("TEXT", at, text, k(2.4), "middle", 90, bold=True)
            if begin.kind == "end" and begin.x == x:
                yield Line("TEXT", "body", (x + way * k(10), k(-3)), (x + way * k(2.5), k(-3)),
                           arrow=k(2))
                yield Text("TEXT", (x + way * k(2.5), k(-6.2)), "laying starts", k(_SMALL),
                           "end" if way < 0 else "start")

    def _take(self, at: tuple[float, float], text: str, height: float) -> None:
        half = text_width(text, height) / 2
        self._occupied.add((at[0] - half, at[1] - height * 0.3, at[0] + half, at[1] + height))

    def _take_upright(self, at: tuple[float, float], text: str) -> None:
        k = self._k
        self._occupied.add((at[0] - k(1.6), at[1], at[0] + k(0.4),
                            at[1] + text_width(text, k(_SMALL))))


def _corners(box: Box) -> tuple[tuple[float, float], ...]:
    return ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
