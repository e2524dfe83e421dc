"""The same case with its surveyed planes laid out another way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final, Literal

from solver.case import Case, Plane
from solver.survey.leaning import between_rakes, leaning

Run = Literal["as-drawn", "square", "fan"]
RUNS: Final[tuple[Run, ...]] = ("as-drawn", "square", "fan")


def surveyed(case: Case) -> tuple[Plane, ...]:
    """The planes that were surveyed, in case order."""
    return tuple(plane for plane in case.planes if plane.survey is not None)


def with_run(case: Case, run: Run) -> Case:
    """The case with every surveyed plane laid out that way, as if its file said so.

    Nothing is asked of play, lines or links: see `hindrances`.

    Raises:
        SurveyError: a survey is none to lay a roof on.
    """
    planes = {plane.id: _laid(case, plane, run) for plane in case.planes}
    pens = tuple(
        pen if planes[pen.plane].survey is None
        else between_rakes(planes[pen.plane], replace(pen, ends=None))
        for pen in case.penetrations
    )
    return replace(
        case,
        planes=tuple(planes.values()),
        penetrations=pens,
        covers=tuple(with_run(cover, run) for cover in case.covers),
    )


def _laid(case: Case, plane: Plane, run: Run) -> Plane:
    if plane.survey is None:
        return plane
    width = plane.width if plane.lean is None else plane.lean.drawn
    drawn = replace(plane, width=width, lean=None, survey=replace(plane.survey, run=run))
    return leaning(drawn, case.units)


def hindrances(case: Case, run: Run) -> Iterator[tuple[str, str]]:
    """Why the surveyed planes of a case (as of `with_run`) cannot be laid out so, whatever the
    layout: (plane id, sentence without its end)."""
    for plane in surveyed(case):
        if run == "fan":
            yield from ((plane.id, says) for says in _no_fan(case, plane))
    if run != "as-drawn":
        yield from _off_roof(case)


def _no_fan(case: Case, plane: Plane) -> Iterator[str]:
    if not case.rules.play:
        yield "there is no play in [rules], and seams are fanned within the play of a panel"
    if plane.lay == "from":
        yield "it is laid both ways from a line, and fanned seams are laid from one end"
    linked = [
        link.planes[link.planes[0] == plane.id] for link in case.links if plane.id in link.planes
    ]
    if linked:
        yield f"it is linked to plane {', '.join(linked)}, whose seams fanned ones cannot meet"


def _off_roof(case: Case) -> Iterator[tuple[str, str]]:
    """Penetrations that stand, as entered, where the roof as surveyed is not."""
    for plane in surveyed(case):
        off = [
            pen.id for pen in case.penetrations
            if pen.plane == plane.id and pen.ends is not None
            and not pen.ends[0] <= pen.x <= pen.ends[1]
        ]
        if off:
            yield plane.id, f"as entered {', '.join(off)} would stand off it: tape the place again"
        if plane.start is not None and not 0 < plane.start < plane.width:
            yield plane.id, "the line it is laid from would stand off it"
