"""One layout in full: for every plane its ends, seams and start, its penetrations, its strip."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.grid import Column, table
from cli.report.lines import BLANK, Line, Span, heading, line, wrap
from cli.report.obstacle import obstacle_words
from cli.report.strip import Placed, Strip, legend_lines
from cli.report.words import (
    MARKS,
    STATE_STYLE,
    STATE_WORDS,
    Lengths,
    SeamNumbers,
    end_name,
    id_of,
    joined,
    lay_words,
    move_words,
    plural,
    size_words,
)
from solver.case import Case, Plane
from solver.result import Judged, JudgedPlane

Window = tuple[int, int]


def detail_lines(
    case: Case, judged: Judged, windows: tuple[Window, ...] | None = None
) -> list[Line]:
    """Every plane of a layout. `windows` are the start windows in plane order, where known."""
    lines: list[Line] = []
    scales: set[str] = set()
    placed: dict[str, list[Placed]] = {plane.id: [] for plane in case.planes}
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        placed[pen.plane].append((pen, stands))
    for place, (plane, ends) in enumerate(zip(case.planes, judged.planes, strict=True)):
        here = sorted(placed[plane.id], key=lambda pair: pair[1].x)
        window = windows[place] if windows is not None else None
        strip = Strip(case, plane, ends, here)
        scales.add(strip.scale.says())
        lines += [*_plane_head(case, judged, plane, ends, window), BLANK]
        lines += _penetrations(case, plane, ends, here)
        sides = (f"Seen from outside, looking up the slope: {end_name(plane, high=False)} on the "
                 f"left, {end_name(plane, high=True)} on the right.")
        lines += [BLANK, *wrap(sides, first="  "), *strip.lines()]
    return [*lines, *legend_lines(scales)]


def _plane_head(
    case: Case, judged: Judged, plane: Plane, ends: JudgedPlane, window: Window | None
) -> Iterator[Line]:
    lengths = Lengths(case)
    low, high = end_name(plane, high=False), end_name(plane, high=True)
    start, finish = (low, high) if plane.lay == "left-to-right" else (high, low)
    yield heading(f"PLANE {id_of(plane.id)}: {lengths.place(plane.width)} along the eave, "
                  f"{plural(ends.panels, 'panel')}, {plural(len(ends.seams), 'seam')}")
    yield from wrap(f"{lay_words(plane).capitalize()}; seams are numbered from there.", first="  ")
    if not ends.seams:
        yield from wrap(f"One panel of {lengths.near(ends.first)}, no seam.", first="  ")
    else:
        yield from wrap(
            f"First panel {lengths.near(ends.first)} at the {start}; last panel "
            f"{lengths.near(ends.last)} at the {finish}.", first="  ", style="head",
        )
    if window is not None and ends.seams:
        yield from wrap(_window_words(lengths, ends, window), first="  ")
    yield from _links(case, judged, plane)


def _window_words(lengths: Lengths, ends: JudgedPlane, window: Window) -> str:
    low, high = window
    if low == high:
        return (
            f"The start has no play: one mark off {lengths.near(ends.first)} and a penetration "
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
        if link.stagger:
            does = "stand half a cover off" if found.meet else "do NOT stand half a cover off"
        else:
            does = "meet" if found.meet else "do NOT meet"
        yield from wrap(f"Its seams {does} those of plane {other} {where}.", first="  ",
                        style="" if found.meet else "warn")
    if others:
        slopes = "the other slope" if len(others) == 1 else "the other slopes"
        yield from wrap(f"If its start is off, {slopes} ({joined(others)}) must follow.",
                        first="  ")


def _penetrations(
    case: Case, plane: Plane, ends: JudgedPlane, here: list[Placed]
) -> list[Line]:
    if not here:
        return [line("  No penetrations on this plane.")]
    lengths = Lengths(case)
    numbers = SeamNumbers(plane, ends)
    low = end_name(plane, high=False)
    unit = f"{lengths.unit}\n" if lengths.unit else ""
    columns = [
        Column(" "), Column("id", least=12, cut="middle"), Column("what", least=10),
        Column(f"{unit}at", "right"), Column("state"), Column(f"{unit}room", "right"),
        Column(f"{unit}needed", "right"), Column(f"{unit}margin", "right"),
        Column("between\nseams"),
    ]
    rows: list[list[Span]] = []
    below: list[list[Line]] = []
    for pen, stands in here:
        style = STATE_STYLE[stands.state]
        cells = [lengths.cell(lengths.near2(v)) if v is not None else "-"
                 for v in (stands.room2, stands.needed2)]
        margin = "no seam" if stands.margin2 is None else lengths.cell(
            lengths.down2(stands.margin2))
        mark = "#" if pen.kind == "curb" and stands.state == "clear" else MARKS[stands.state]
        rows.append([
            Span(mark, style), Span(id_of(pen.id)), Span(size_words(pen, lengths)),
            Span(lengths.cell(lengths.place(stands.x))), Span(STATE_WORDS[stands.state], style),
            *(Span(cell) for cell in cells), Span(margin, "warn" if margin[0] == "-" else ""),
            Span(numbers.beside(stands)),
        ])
        notes: list[Line] = []
        if stands.moved:
            notes += wrap(
                f"MOVE {move_words(plane, stands, lengths)} ({pen.status}): drawn at "
                f"{lengths.place(pen.x)}, set to {lengths.place(stands.x)}.",
                first="     ", rest="       ", style="moved",
            )
        if says := obstacle_words(case, plane, ends, pen, stands):
            notes += wrap(says, first="     ", rest="       ")
        below.append(notes)
    return [
        *wrap(f"Centres measured along the eave from the {low}:", first="  "),
        *table(columns, rows, below, lead=" "),
    ]
