"""A second opinion on planes laid out out of square: oracle_outline, with rakes that lean.

It shares no code with the program, only the shapes of its data. A plane's rakes stand `low` and
`high` further along at the top than at the eave. Where its seams run square to the eave, the end
panels taper, and the end rule holds for both of their widths; where they fan, every seam is turned
a little from the low rake to the high one, and what stands beside a penetration stands there at its
own height. Lengths are half ticks, as in all oracles.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from math import ceil, floor
from typing import Any

from oracle_faults import NO_FAULTS
from oracle_odd_laying import Laying, Seam, place
from oracle_outline import check_roof, solve_roof
from oracle_outline_case import Roof
from oracle_outline_case import read as read_outline
from solver import case as program

LEAN_FAULTS: dict[str, str] = {
    "top-ignored": "the end rule holds at the eave only",
    "top-min-only": "at the top an end panel may be wider than the cover",
    "top-max-only": "at the top an end panel may be as narrow as it comes out",
    "top-strict": "an end panel of exactly min_end at the top is too narrow",
    "top-low-only": "only the low end is looked at, at the top",
    "lean-turned": "rakes lean the other way",
    "single-tapers": "a plane of one panel must obey the end rule at its top",
    "ends-of-eave": "beside every penetration the roof ends where it does at the eave",
    "ends-of-top": "beside every penetration the roof ends where it does at the top",
    "ends-outwards": "where the roof ends is rounded to its outside",
    "fan-as-square": "penetrations stand among the seams as they are at the eave",
    "fan-low-rake": "every seam goes with the low rake",
    "fan-turned-round": "seams take their shares from the high rake to the low one",
    "fan-by-panels": "the ends take a share as well",
    "fan-rounds-down": "a seam stands a tick low rather than at the nearest",
    "fan-both-ways": "a single seam goes with the far rake",
    "fan-unlimited": "a fan may take more than play",
    "fan-strict": "a fan that takes all of play takes too much",
    "fan-all-panels": "the end panels give play to a fan as well",
    "fan-odd": "odd panels may stand in a fan",
    "curb-by-edge": "a curb stands among the seams as they are at its lower edge",
}
"""The wrong readings that can be planted: name -> what is wrong."""


@dataclass(frozen=True)
class Lean:
    low: int
    high: int
    fan: bool


@dataclass(frozen=True)
class LeaningRoof(Roof):
    leans: tuple[Lean | None, ...] = ()
    planted: frozenset[str] = NO_FAULTS

    def seams_beside(self, index: int, seams: Sequence[Seam]) -> Sequence[Seam]:
        """The seams of a fan turned to where they stand at a penetration's height."""
        pen = self.base.pens[index]
        lean = self.leans[pen.plane]
        if lean is None or not lean.fan or "fan-as-square" in self.planted:
            return seams
        y = pen.y - (pen.along // 2 if "curb-by-edge" in self.planted else 0)
        return [
            seam._replace(at=seam.at + self.turned(pen.plane, number, len(seams), y))
            for number, seam in enumerate(seams)
        ]

    def turned(self, plane: int, number: int, count: int, y: int) -> int:
        """How far a seam of a fan, numbered from the low end, stands off at a height; whole ticks.
        """
        lean, faults = self.leans[plane], self.planted
        assert lean is not None
        share = Fraction(number, count - 1) if count > 1 else Fraction(0)
        if count == 1 and self.base.planes[plane].rightward == ("fan-both-ways" in faults):
            share = Fraction(1)
        if "fan-low-rake" in faults:
            share = Fraction(0)
        if "fan-turned-round" in faults and count > 1:
            share = 1 - share
        if "fan-by-panels" in faults:
            share = Fraction(number + 1, count + 1)
        ticks = (lean.low + share * (lean.high - lean.low)) * y / self.lengths[plane] / 2
        if "fan-rounds-down" in faults:
            return 2 * floor(ticks)
        size = 2 * floor(abs(ticks) + Fraction(1, 2))
        return size if ticks >= 0 else -size

    def top(self, plane: int, laying: Laying) -> tuple[int, int] | None:
        """The widths of the low and of the high end panel at the top; None on an upright plane."""
        lean, placed = self.leans[plane], place(self.odd, plane, laying)
        if lean is None:
            return None
        width = self.base.planes[plane].width
        seams = [seam.at for seam in placed.seams]
        if lean.fan:
            top = self.lengths[plane]
            seams = [at + self.turned(plane, n, len(seams), top) for n, at in enumerate(seams)]
        edges = [lean.low, *seams, width + lean.high]
        return edges[1] - edges[0], edges[-1] - edges[-2]

    def lean_faults(self, plane: int, laying: Laying) -> list[str]:
        """end-rule, fan-play, fan-odd."""
        lean, base, faults = self.leans[plane], self.base, self.planted
        widths, single = self.top(plane, laying), self.odd.seamless(plane)
        if lean is None or widths is None or (single and "single-tapers" not in faults):
            return []
        broken = []
        if "top-low-only" in faults:
            widths = widths[:1]
        small = min(widths) < base.min_end and "top-max-only" not in faults
        small |= "top-strict" in faults and min(widths) == base.min_end
        wide = max(widths) > base.cover and "top-min-only" not in faults
        if (small or wide) and not lean.fan and "top-ignored" not in faults:
            broken.append("end-rule")
        if lean.fan and not single:
            panels = len(place(self.odd, plane, laying).panels)
            full = panels if "fan-all-panels" in faults else panels - 2
            most = self.odd.play * full
            taken = abs(lean.high - lean.low)
            strict = "fan-strict" in faults and taken and taken == most
            if (taken > most or strict) and "fan-unlimited" not in faults:
                broken.append("fan-play")
            if (laying.odds or laying.changes) and "fan-odd" not in faults:
                broken.append("fan-odd")
        return broken


def read(case: program.Case, faults: frozenset[str] = NO_FAULTS) -> LeaningRoof:
    """A case in half ticks; `faults` are planted."""
    if unknown := faults - LEAN_FAULTS.keys():
        raise ValueError(f"unknown faults: {sorted(unknown)}")
    roof = read_outline(case)
    way = -2 if "lean-turned" in faults else 2
    leans = tuple(
        None if plane.lean is None
        else Lean(way * plane.lean.low, way * plane.lean.high, plane.lean.fan)
        for plane in case.planes
    )  # fmt: skip
    own = {field.name: getattr(roof, field.name) for field in fields(roof)}
    pens = list(roof.pens)
    for number, pen in enumerate(roof.base.pens):
        lean, length = leans[pen.plane], roof.lengths[pen.plane]
        if lean is None or "ends-of-eave" in faults:
            continue
        up = Fraction(length if "ends-of-top" in faults else pen.y, length)
        low, high = lean.low * up / 2, (roof.base.planes[pen.plane].width + lean.high * up) / 2
        inwards = (ceil(low), floor(high))
        outwards = (floor(low), ceil(high))
        low_end, high_end = outwards if "ends-outwards" in faults else inwards
        pens[number] = replace(pens[number], low_end=2 * low_end, high_end=2 * high_end)
    return LeaningRoof(**{**own, "pens": tuple(pens)}, leans=leans, planted=faults)


def _told(roof: LeaningRoof, layout: dict[str, Any] | None) -> dict[str, Any] | None:
    """A layout with `tops`, first and last width of its planes at the top, and `beside`, the seams
    at the height of each penetration; ticks."""
    if layout is None:
        return None
    tops: list[tuple[int, int] | None] = []
    for plane, laying in enumerate(layout["layings"]):
        widths = roof.top(plane, laying)
        if widths is not None:
            backwards = roof.odd.lines[plane] is None and not roof.base.planes[plane].rightward
            widths = (widths[1] // 2, widths[0] // 2) if backwards else (
                widths[0] // 2, widths[1] // 2)
        tops.append(widths)
    beside = [
        [
            seam.at // 2
            for seam in roof.seams_beside(
                i, place(roof.odd, pen.plane, layout["layings"][pen.plane]).seams
            )
        ]
        for i, pen in enumerate(roof.base.pens)
    ]
    return layout | {"tops": tops, "beside": beside}


def solve(
    case: program.Case, top: int | None = None, faults: frozenset[str] = NO_FAULTS
) -> dict[str, Any]:
    """The whole answer, as of `oracle_outline.solve`, every layout with `tops`."""
    roof = read(case, faults)
    answer = solve_roof(roof, top)
    return answer | {
        "layouts": [_told(roof, layout) for layout in answer["layouts"]],
        "usual": _told(roof, answer["usual"]),
        "as_drawn": _told(roof, answer["as_drawn"]),
    }


def check(
    case: program.Case,
    firsts: Sequence[int],
    moves: Sequence[int],
    odds: Mapping[int, Mapping[int, int]] | None = None,
    faults: frozenset[str] = NO_FAULTS,
) -> dict[str, Any]:
    """One given layout, as of `oracle_outline.check`, with `tops`; also fan-play and fan-odd."""
    roof = read(case, faults)
    told = _told(roof, check_roof(roof, firsts, moves, odds))
    assert told is not None
    return told
