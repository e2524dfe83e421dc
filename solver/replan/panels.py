"""The panels still to lay, one by one, and the first that calls for a decision. Ticks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from solver.case import Case, State
from solver.replan.answer import Changed, RestPanel, Run
from solver.replan.front import run_seams
from solver.replan.least_bad import LeastBad
from solver.replan.row import Row
from solver.replan.row import plan_way as plan_way_of
from solver.replan.truth import Truth
from solver.replan.ways import Way
from solver.result import Judged

_WORDS: Final[dict[str, str]] = {
    "on-seam": "on a seam", "crosses": "to cross a seam", "spans": "to span a seam",
}
_NOW: Final[dict[str, str]] = {
    "on-seam": "is on a seam", "crosses": "crosses a seam", "spans": "spans a seam",
}


def run_of(
    case: Case, plan: Judged, row: Row, way: Way, now: Truth, changed: Sequence[Changed], *,
    legal: bool, closes: bool, proven: bool, bad: LeastBad | None,
) -> Run:
    """A run with all that is told of it."""
    front = row.front
    seams = run_seams(row.plane, plan.planes[front.plane].seams, front.sign)
    panels = _panels(case, row, way)
    number, why = _decision(row, panels, changed)
    own = plan_way_of(plan.layout, front, seams)
    on = {row.plane.id, *(pen.id for pen in case.penetrations if pen.plane == row.plane.id)}
    breaks = tuple(b.says for b in now.breaks if set(b.about) & on)
    return Run(
        row.plane, front, legal and not breaks, closes, own.widths == way.widths, proven, panels,
        front.room - seams[-1], number, why, bad, breaks,
    )


def _panels(case: Case, row: Row, way: Way) -> tuple[RestPanel, ...]:
    front, found = row.front, []
    odd = {number for number, _ in way.odds}
    eave, ridge, start = front.eave, front.ridge, front.tilt.start
    for place, width in enumerate(way.widths, 1):
        top = width + front.tilt.wider(front.seam + place - 1, 1)
        eave, ridge = eave + width, ridge + top
        plain = width == case.panel.cover
        found.append(RestPanel(
            front.sign * (front.seam + place),
            "odd" if place in odd else "full" if plain else "module",
            (width, top), (eave, ridge - start),
            None if way.planned else (place - 1) // case.rules.remeasure + 1,
        ))
    found.append(RestPanel(
        front.sign * (front.seam + len(way.widths) + 1), "last",
        (front.room - eave, front.room_top - ridge), (front.room, front.room_top - start), None,
    ))
    return tuple(found)


def _decision(
    row: Row, panels: Sequence[RestPanel], changed: Sequence[Changed]
) -> tuple[int, str]:
    """The first panel that is no plain full one, or whose penetration changed its state."""
    numbers = {panel.number for panel in panels}
    turned = {one.panel: one for one in reversed(changed)
              if not one.laid and one.panel in numbers and one.id in _on(row)}
    for panel in panels:
        if panel.number in turned:
            one = turned[panel.number]
            return panel.number, f"{one.id}, planned {_word(one.was)}, now {_now(one.now)}"
        if panel.kind != "full":
            return panel.number, {
                "odd": "an odd panel", "module": "another module", "last": "the last panel",
            }[panel.kind]
    raise AssertionError("a run ends with a last panel")


def _on(row: Row) -> set[str]:
    return {pen.id for pen in row.case.penetrations if pen.plane == row.plane.id}


def _word(state: State) -> str:
    return _WORDS.get(state, state)


def _now(state: State) -> str:
    return _NOW.get(state, f"is {state}")
