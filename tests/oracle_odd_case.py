"""A case with odd panels, play or planes laid from a line, read for oracle_odd.

All else is read by `oracle.read`. Lengths are half ticks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import oracle
from oracle_faults import NO_FAULTS
from oracle_odd_faults import ODD_FAULTS

PLAY_MARK = {"in": "1/64", "mm": "0.5"}


@dataclass(frozen=True)
class OddCase:
    base: oracle.Case  # all but the following
    odd_panels: int  # at most so many on a plane
    odd_widths: tuple[int, ...]  # every width an odd panel may have, increasing
    play: int
    play_mark: int
    lines: tuple[int | None, ...]  # per plane: where a plane laid both ways starts
    faults: frozenset[str]

    def plane(self, number: int) -> oracle.Plane:
        return self.base.planes[number]

    def seamless(self, number: int) -> bool:
        """Whether a plane is a single panel."""
        return self.plane(number).width <= self.base.cover

    @cached_property
    def changes(self) -> tuple[int, ...]:
        """Every change of module that play allows, none included."""
        most = self.play // self.play_mark
        sizes = [k * self.play_mark for k in range(-most, most + 1)]
        if "play-strict" in self.faults:
            sizes = [c for c in sizes if abs(c) < self.play or c == 0]
        if "play-wider-only" in self.faults:
            sizes = [c for c in sizes if c >= 0]
        return tuple(sizes)


def _odd_widths(
    base: oracle.Case, rules: Mapping[str, Any], units: str, faults: frozenset[str]
) -> list[int]:
    """Whole marks from odd_min to a mark below the cover; or exactly those given."""
    mark = base.lengths["mark"]
    odd_min = oracle.half_ticks(rules["odd_min"], units) if "odd_min" in rules else None

    def wide_enough(width: int) -> bool:
        if "odd-needs-min-end" in faults and width < base.min_end:
            return False
        least = base.cover / 2 if odd_min is None else odd_min
        return width > least or (width == least and "odd-min-strict" not in faults)

    if "odd_widths" in rules:
        given = sorted({oracle.half_ticks(width, units) for width in rules["odd_widths"]})
        bounded = faults & {"odd-min-bounds-list", "odd-needs-min-end"}
        return [width for width in given if not bounded or wide_enough(width)]
    most = base.cover - mark * (2 if "odd-widest-left-out" in faults else 1)
    return [k * mark for k in range(1, most // mark + 1) if wide_enough(k * mark)]


def read(document: Mapping[str, Any], faults: frozenset[str] = NO_FAULTS) -> OddCase:
    """A case document as exact integers; `faults` are planted."""
    unknown = faults - ODD_FAULTS.keys()
    if unknown:
        raise ValueError(f"unknown faults: {sorted(unknown)}")
    rules, units = document.get("rules", {}), document["units"]
    base = oracle.read({**document, "rules": {**rules, "odd_panels": 0}})

    def size(value: Any) -> int:
        return oracle.half_ticks(value, units)

    odd_panels = int(rules.get("odd_panels", 0))
    if "odd-one-too-few" in faults:
        odd_panels = max(0, odd_panels - 1)
    return OddCase(
        base=base,
        odd_panels=odd_panels,
        odd_widths=tuple(_odd_widths(base, rules, units, faults)),
        play=size(rules.get("play", 0)),
        play_mark=size(rules.get("play_mark", PLAY_MARK[units])),
        lines=tuple(
            size(plane["from"]) if plane.get("lay") == "from" else None
            for plane in document["plane"]
        ),
        faults=faults,
    )
