"""An agreed first width must obey the end rule, by the rule's definition, at every cover."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from solver.case_file import resolve
from solver.case_file.cross_checks import MOST_FIRST_WIDTHS, plane_ids
from solver.case_file.cross_checks_pieces import Shaped
from solver.case_file.entries_outline import PlaneEntry
from solver.case_file.load_report import Report, length_said, listed, nearest, printable, shown
from solver.case_file.readings import Readings
from solver.units import Units


@dataclass(frozen=True, slots=True)
class _EndRule:
    """What makes a first width legal on one plane at one cover (ticks).

    `bends`: the case allows odd panels or play, so that any last width may come of a first one. On
    a plane with an outline (`shaped`) there is no `min_end` here: its pieces decide.
    """

    width: int
    cover: int
    min_end: int
    mark: int
    bends: bool
    units: Units
    shaped: Shaped | None = None

    def faults(self, first: int) -> Iterator[str]:
        """What is wrong with a first width (ticks); nothing where it is legal."""
        if self.width <= self.cover:
            if first != self.width:
                yield f"the plane is one panel of {self._say(self.width)}"
            return
        if first > self.cover:
            yield f"it is more than the cover of {self._say(self.cover)}"
            return
        if first % self.mark and first != self.cover:
            yield f"it is no whole number of marks of {self._say(self.mark)}"
        if first < self.min_end:
            yield f"it is below the min_end of {self._least()}"
        if self.shaped and not self.shaped.legal([first], self.bends)[0]:
            yield (
                "some piece of a panel is then narrower than min_piece, shorter than min_length, "
                "or, along a rake or a wall, narrower than min_end"
            )
        if self.bends or self.shaped:
            return
        last = (self.width - first) % self.cover or self.cover
        if last < self.min_end:
            said = f"{self._say(last)}, below the min_end of {self._least()}"
            yield f"it leaves a last panel of {said}"

    def want(self, first: int, at_cover: bool) -> str:
        """The problem of a first width that is not legal, with the nearest one that is."""
        faults = listed(self.faults(first))
        at = f"at a cover of {self._say(self.cover)} " if at_cover else ""
        if self.width <= self.cover:
            return f"{at}{faults}; write that width"
        marks = [*range(self.mark, self.cover, self.mark), self.cover]
        if self.shaped:
            fine = self.shaped.legal(marks, self.bends)
            legal = iter([width for width, well in zip(marks, fine, strict=True) if well])
        else:
            legal = (width for width in marks if not any(self.faults(width)))
        best = min(legal, key=lambda width: (abs(width - first), -width), default=None)
        if best is None:
            rule = "the rules of pieces" if self.shaped else "the end rule"
            return f"{at}{faults}; no first width at all satisfies {rule} on this plane"
        return f"{at}{faults}; the nearest legal first width is {self._say(best)}"

    def _least(self) -> str:
        return length_said(self.min_end, self.units, "up")

    def _say(self, ticks: int) -> str:
        return length_said(ticks, self.units)


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note every agreed first width that no layout could have."""
    frozen = readings.freeze
    firsts = frozen.entry.first if frozen.entry else {}
    known = plane_ids(readings)
    planes = {read.entry.id: read.entry for read in readings.planes if read.entry}
    both_ways = [
        read.element.table.get("id")
        for read in readings.planes
        if read.element.table.get("lay") == "from"  # as written: other faults do not matter here
    ]
    for plane_id, first in firsts.items():
        got = shown(frozen.element.table["first"][plane_id])
        if known and plane_id not in known:
            no_plane = partial(_no_plane, plane_id, list(known))
            report.add(frozen.element, f"first.{plane_id}", no_plane, got)
            continue
        if plane_id in both_ways:
            results = (
                f"plane {printable(plane_id)} is laid both ways from a line, so that the widths at "
                "its ends are results; leave it out here"
            )
            report.add(frozen.element, f"first.{plane_id}", results, got)
            continue
        plane = planes.get(plane_id)
        rules = _end_rules(readings, plane, units) if plane and units else []
        for rule in rules:
            if any(rule.faults(first)):
                want = partial(rule.want, first, len(rules) > 1)
                report.add(frozen.element, f"first.{plane_id}", want, got)


def _no_plane(plane_id: str, known: list[str]) -> str:
    return f"there is no plane {shown(plane_id)}; {nearest(plane_id, known)}"


def _end_rules(readings: Readings, plane: PlaneEntry, units: Units) -> list[_EndRule]:
    """The end rule of a plane at each cover; none where the case does not say it well enough."""
    head, panel, rules = readings.head.entry, readings.panel.entry, readings.rules.entry
    if not (head and panel and rules):
        return []
    mark = resolve.mark(head, units)
    if any(cover < mark or cover // mark > MOST_FIRST_WIDTHS for cover in panel.cover):
        return []  # told already; searching so many would take for ever
    bends = any(
        getattr(rules, key) or readings.rules.misread(key) for key in ("odd_panels", "play")
    )
    shape = readings.shapes.get(plane.id)
    if shape is None:
        return []  # what is wrong with its shape is told already
    if shape.outline is None:
        return [
            _EndRule(
                plane.width, cover, resolve.rules(rules, cover, units).min_end, mark, bends, units
            )
            for cover in panel.cover
        ]
    return [
        _EndRule(
            plane.width, cover, 0, mark, bends, units,
            Shaped(resolve.plane(plane, shape), cover, resolve.rules(rules, cover, units), mark,
                   units),
        )
        for cover in panel.cover
    ]  # fmt: skip
