"""One layout in full: for every plane its ends, seams and start, its penetrations, its strip."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.bent_part import bent_lines
from cli.report.lines import BLANK, Line, heading, wrap
from cli.report.penetration_table import penetrations_lines
from cli.report.roof_part import centre_lines, shape_lines
from cli.report.strip import Placed, Strip, legend_lines
from cli.report.survey_part import lean_lines, survey_lines
from cli.report.words import (
    Lengths,
    end_name,
    id_of,
    joined,
    lay_words,
    number_words,
    plural,
)
from solver.case import Case, Plane
from solver.findings.seam_order import from_line
from solver.result import Judged, JudgedPlane

Window = tuple[int, int]


def detail_lines(
    case: Case, judged: Judged, windows: tuple[Window, ...] | None = None
) -> list[Line]:
    """Every plane of a layout. `windows` are the start windows in plane order, where known."""
    lines: list[Line] = []
    scales: set[str] = set()
    notes: dict[str, None] = {}
    placed: dict[str, list[Placed]] = {plane.id: [] for plane in case.planes}
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        placed[pen.plane].append((pen, stands))
    for place, (plane, ends) in enumerate(zip(case.planes, judged.planes, strict=True)):
        here = sorted(placed[plane.id], key=lambda pair: pair[1].x)
        window = windows[place] if windows is not None else None
        strip = Strip(case, plane, ends, here)
        scales.add(strip.scale.says())
        notes |= dict.fromkeys(strip.notes())
        lines += [*_plane_head(case, judged, plane, ends, window), BLANK]
        lines += penetrations_lines(case, plane, ends, here)
        sides = (f"Seen from outside, looking up the slope: {end_name(plane, high=False)} on the "
                 f"left, {end_name(plane, high=True)} on the right.")
        lines += [BLANK, *wrap(sides, first="  "), *strip.lines()]
        lines += survey_lines(case, plane)
    return [*lines, *legend_lines(scales, list(notes))]


def _plane_head(
    case: Case, judged: Judged, plane: Plane, ends: JudgedPlane, window: Window | None
) -> Iterator[Line]:
    lengths = Lengths(case)
    low, high = end_name(plane, high=False), end_name(plane, high=True)
    start, finish = (high, low) if plane.lay == "right-to-left" else (low, high)
    yield heading(f"PLANE {id_of(plane.id)}: {lengths.place(plane.width)} along the eave, "
                  f"{plural(ends.panels, 'panel')}, {plural(len(ends.seams), 'seam')}")
    yield from shape_lines(case, plane)
    agreed = " (agreed)" if dict(case.freeze.firsts).get(plane.id) == ends.first else ""
    against = "" if plane.lay != "right-to-left" else (
        f", against x, which is measured from the {low}")
    laid = lay_words(lengths, plane)
    yield from wrap(f"{laid[0].upper()}{laid[1:]}; {number_words(case, plane)}{against}.",
                    first="  ")
    if not ends.seams:
        yield from wrap(f"One panel of {lengths.near(ends.first)}, no seam.", first="  ")
    elif from_line(case, plane):
        yield from wrap(
            f"End panels: {lengths.near(ends.first)} at the {low}, {lengths.near(ends.last)} at "
            f"the {high}, as the line leaves them.", first="  ", style="head",
        )
    else:
        yield from wrap(
            f"First panel {lengths.near(ends.first)}{agreed} at the {start}; last panel "
            f"{lengths.near(ends.last)} at the {finish}.", first="  ", style="head",
        )
    yield from lean_lines(case, plane, ends)
    yield from bent_lines(case, plane, ends)
    yield from centre_lines(case, judged, plane)
    if window is not None and ends.seams and not from_line(case, plane):
        yield from wrap(_window_words(lengths, ends, window), first="  ")
    yield from _links(case, judged, plane)


def _window_words(lengths: Lengths, ends: JudgedPlane, window: Window) -> str:
    low, high = window
    if low == high:
        return (
            f"The start must be exact: one mark off {lengths.near(ends.first)} and a penetration "
            "changes its state, or the end rule is broken."
        )
    return (
        f"The start may be off: a first panel from {lengths.near(low)} to {lengths.near(high)} "
        "leaves every penetration in its state."
    )


def _links(case: Case, judged: Judged, plane: Plane) -> Iterator[Line]:
    others = []
    for link, found in zip(case.links, judged.links, strict=True):
        if plane.id not in link.planes:
            continue
        other = id_of(link.planes[0] if link.planes[1] == plane.id else link.planes[1])
        others.append(other)
        where = "across the ridge" if link.how == "mirror" else "in line"
        if link.along:
            where = f"along their {link.along}"
        if link.stagger:
            does = "stand half a cover off" if found.meet else "do NOT stand half a cover off"
        else:
            does = "meet" if found.meet else "do NOT meet"
        strays = found.meet and found.strays2 > 2 * case.rules.meet_tol
        but = "" if not strays else (
            " where the laying starts, but over the whole length they come to miss by up to "
            f"{Lengths(case).up2(found.strays2)}")
        yield from wrap(f"Its seams {does} those of plane {other} {where}{but}.", first="  ",
                        style="" if found.meet and not strays else "warn")
    if others:
        slopes = "the other slope" if len(others) == 1 else "the other slopes"
        yield from wrap(f"If its start is off, {slopes} ({joined(others)}) must follow.",
                        first="  ")
