"""Dimensions along the eave: running figures, the chain and the whole above the roof, grid lines
and seam numbers below it.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cli.drawing.marks import Circle, Dim, Line, Mark, Running, Text, fit, text_width
from cli.drawing.scale import BUBBLE, Setting, bubble_rows
from cli.drawing.schedule import Words
from cli.report.lines import clean
from solver.drawing.parts import Dimension, Scene

FIGURE = 2.0
SMALL = 1.75
_RUNNING_AT, _CHAIN_AT, _OVERALL_AT = 3.5, 21.5, 30.5
_NUMBERS_AT, _SEAM_AT, _GRID_AT, _BUBBLE_AT = -3.4, -7.6, -13.0, -20.2
"""Heights above the roof and below its eave (mm on paper)."""


class Strings:
    """The strings of one plane at one setting."""

    def __init__(
        self, words: Words, scene: Scene, setting: Setting, stretch: tuple[int, int]
    ) -> None:
        self._words, self._scene, self._k = words, scene, setting.ticks
        self._from, self._to = stretch
        self._scale = setting.scale
        self._reached: dict[float, float] = {}
        self._top = float(max(y for _, y in scene.outline))

    def above(self) -> Iterator[Mark]:
        """Running figures at every seam and both ends, the chain of panels, the whole."""
        yield from self._running()
        for one in self._visible():
            if one.kind in ("end", "panels", "odd"):
                yield self._dim(one, self._top + self._k(_CHAIN_AT), self._chain_text(one))
            elif one.kind == "overall":
                text = self._words.place(one.length)
                yield self._dim(one, self._top + self._k(_OVERALL_AT), text)

    def below(self) -> Iterator[Mark]:
        """Seam numbers, grid lines with their bubbles, and what is measured from them."""
        yield from self._grid()
        yield from self._numbers()
        ends = [-1e18, -1e18]
        for one in self._visible():
            if one.kind == "grid":
                yield self._dim(one, self._k(_GRID_AT), self._words.place(one.length))
            elif one.kind == "seam":
                text = self._words.place(one.length)
                wide = text_width(text, self._k(SMALL)) + self._k(1)
                row = next((row for row in (0, 1) if ends[row] <= one.low), None)
                if row is None:
                    continue  # grid lines nearer to each other than a figure is wide
                ends[row] = one.high + wide
                y = self._k(_SEAM_AT - 2.4 * row)
                at = (one.high + self._k(0.7), y - self._k(SMALL / 3))
                yield Dim(one.low, one.high, y, (0, 0), text, at, "start", self._k(SMALL))

    def _visible(self) -> Iterator[Dimension]:
        for one in self._scene.dimensions:
            if one.low < self._to and one.high > self._from:
                yield one

    def _top_of(self, x: int) -> float:
        """The highest point of the roof at the seam or end at `x`."""
        found = [part[1] for seam in self._scene.seams if seam.x == x for part in seam.parts]
        found += [y for at, y in self._scene.outline if at == x]
        return float(max(found, default=0))

    def _running(self) -> Iterator[Mark]:
        scene, k = self._scene, self._k
        begin = scene.start.x
        places = [0, *(seam.x for seam in scene.seams), scene.plane.width]
        height, step = k(FIGURE), k(2.35)
        apart = sorted(high - low for low, high in pairwise(places))
        near = apart[len(apart) // 2]
        every = 1 if near >= step else int(-(-step // max(near, 1)))
        shown = [
            x for place, x in enumerate(places)
            if place in (0, len(places) - 1) or (place - 1) % every == 0
        ]
        shown = [x for x in shown if self._from <= x <= self._to]
        at = _apart([float(x) for x in shown], step)
        y = self._top + k(_RUNNING_AT)
        for x, text_x in zip(shown, at, strict=True):
            text = self._words.place(abs(x - begin)) if x != begin else "0"
            yield Running(x, begin, text_x, y, self._top_of(x), text, height)

    def _chain_text(self, one: Dimension) -> str:
        words = self._words
        if one.kind == "panels" and one.count > 1:
            each = words.near(one.length // one.count)
            return f"{one.count} x {each} = {words.place(one.length)}"
        return f"odd {words.near(one.length)}" if one.kind == "odd" else words.near(one.length)

    def _dim(self, one: Dimension, y: float, text: str) -> Dim:
        k, height = self._k, self._k(FIGURE)
        figures = self._top + k(_CHAIN_AT - 2.6)
        foot = (figures, figures) if y > 0 else (0.0, 0.0)
        low, high = max(one.low, self._from), min(one.high, self._to)
        wide, middle = text_width(text, height), (low + high) / 2
        if wide + k(3) <= high - low:
            return Dim(one.low, one.high, y, foot, text, (middle, y + k(0.7)), "middle", height)
        if high - low < one.length:
            text = ""
        if one.low == 0:
            at = (one.low - k(1.6), y - height / 3)
            return Dim(one.low, one.high, y, foot, text, at, "end", height)
        if one.high == self._scene.plane.width:
            at = (one.high + k(1.6), y - height / 3)
            return Dim(one.low, one.high, y, foot, text, at, "start", height)
        for up in (2.9, 5.1) if y > 0 else (-2.6, 0.7):
            row = y + k(up)
            if self._reached.get(row, low - wide) <= middle - wide / 2:
                break
        else:  # panels nearer to each other than figures are wide; the running figures tell
            return Dim(one.low, one.high, y, foot, "", (middle, y), "middle", height)
        self._reached[row] = middle + wide / 2 + k(0.8)
        return Dim(one.low, one.high, y, foot, text, (middle, row), "middle", height)

    def _numbers(self) -> Iterator[Mark]:
        height, reached = self._k(SMALL), -1e18
        for seam in self._scene.seams:
            if not self._from <= seam.x <= self._to:
                continue
            text = str(seam.number)
            wide = text_width(text, height)
            if seam.x - wide / 2 < reached:
                continue
            reached = seam.x + wide / 2 + self._k(0.7)
            yield Text("SEAMS", (seam.x, self._k(_NUMBERS_AT)), text, height, "middle",
                       role="leader")

    def _grid(self) -> Iterator[Mark]:
        k = self._k
        rows = bubble_rows(self._scene, self._scale)
        for line, row in zip(self._scene.gridlines, rows, strict=True):
            x, radius = line.x, k(BUBBLE)
            if not self._from <= x <= self._to:
                continue
            centre = k(_BUBBLE_AT - (2 * BUBBLE + 0.4) * row)
            yield Line("GRID", "grid", (x, centre + radius), (x, self._top + k(1.2)), id=line.name)
            yield Circle("GRID", "dimension", (x, centre), radius, white=True)
            name = clean(line.name)
            height = max(min(1, 1.8 * radius / text_width(name or "-", k(2.4), bold=True)), 0.6)
            text = fit(name, 1.8 * radius, k(2.4) * height, bold=True)
            yield Text("GRID", (x, centre - k(0.85) * height), text, k(2.4) * height, "middle",
                       bold=True)


def _apart(at: list[float], step: float) -> list[float]:
    """Places moved apart to at least `step`, each as near to its own as its neighbours let it."""
    groups: list[tuple[float, int, float]] = []  # sum of (own place - its rank * step), count
    for place, x in enumerate(at):
        total, count = x - place * step, 1
        while groups and groups[-1][0] / groups[-1][1] > total / count:
            before, many, _ = groups.pop()
            total, count = total + before, count + many
        groups.append((total, count, 0.0))
    found: list[float] = []
    for total, count, _ in groups:
        for _ in range(count):
            found.append(total / count + len(found) * step)
    return found
