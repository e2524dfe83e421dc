"""What only shows when the entries of a case are held against each other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from functools import partial
from typing import Final

from solver import resolve
from solver.case import Panel
from solver.entries import HeadEntry, KeepoutEntry, PipeEntry, PlaneEntry
from solver.load_report import Element, Report, nearest, shown
from solver.readings import AnyPenetration, Read, Readings
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units, format_length

MOST_PANELS: Final = 100_000
MOST_FIRST_WIDTHS: Final = 20_000
MOST_MOVES: Final = 20_000
_PLACES_NAMED: Final = 5


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note every contradiction between entries that could be read."""
    _check_ids(readings, report)
    _check_links(readings, report)
    if units is None:
        return  # lengths mean nothing yet
    head, panel_entry = readings.head.entry, readings.panel.entry
    panel = resolve.panel(panel_entry, units) if panel_entry else None
    if panel:
        _check_panel(readings, panel, units, report)
    if readings.rules.entry and readings.rules.entry.odd_panels > 0:
        want = "odd panels are not available yet; 0 is the only value"
        report.add(readings.rules.element, "odd_panels", want)
    for keepout in readings.keepouts:
        _check_keepout(keepout, report)
    planes = {read.entry.id: read.entry for read in readings.planes if read.entry}
    moves = resolve.moves(readings.moves.entry, units) if readings.moves.entry else None
    for read in readings.penetrations:
        if read.entry is None:
            continue
        plane = planes.get(read.entry.plane)
        if plane:
            _check_on_plane(read.element, read.entry, plane, units, report)
        _check_base(read.element, read.entry, units, report)
        if head and moves:
            _check_reach(read.element, read.entry, head, moves, units, report)
            if plane:
                _check_moves(read.element, read.entry, plane, head, moves, report)


def _check_ids(readings: Readings, report: Report) -> None:
    _check_unique([read.element for read in readings.planes], report)
    _check_unique([read.element for read in readings.penetrations], report)
    top = readings.head.element
    if not readings.planes and top.table.get("plane", []) in ([], ()):
        report.add(top, "plane", "a case needs at least one roof plane; add a [[plane]]", "")
        return
    known = _plane_ids(readings)
    for read in readings.penetrations:
        plane = read.element.table.get("plane")
        if known and isinstance(plane, str) and plane not in known:
            report.add(read.element, "plane", partial(_no_such_plane, plane, known))


def _no_such_plane(plane: str, known: Iterable[str]) -> str:
    return f"there is no such plane; {nearest(plane, known)}"


def _check_unique(elements: list[Element], report: Report) -> None:
    by_id: dict[str, list[Element]] = defaultdict(list)
    for element in elements:
        if element.label:
            by_id[str(element.table["id"])].append(element)
    for same in by_id.values():
        if len(same) > 1:
            places = [element.place for element in same[:_PLACES_NAMED]]
            more = len(same) - len(places)
            named = ", ".join(places[:-1]) + f" and {places[-1]}" if not more else (
                ", ".join(places) + f" and {more:,} more"
            )
            want = f"{named} have this id; give each its own"
            report.add(same[1], "id", want)


def _plane_ids(readings: Readings) -> dict[str, None]:
    # Also of planes that could not be read: their own problems are told already.
    ids = (read.element.table.get("id") for read in readings.planes)
    return dict.fromkeys(plane for plane in ids if isinstance(plane, str))


def _check_links(readings: Readings, report: Report) -> None:
    known = _plane_ids(readings)
    for read in readings.links:
        if read.entry is None:
            continue
        first, second = read.entry.planes
        if first == second:
            report.add(read.element, "planes", "a link joins two different planes; name both")
        for plane in dict.fromkeys((first, second)):
            if known and plane not in known:
                report.add(read.element, "planes", partial(_no_plane_named, plane, known))


def _no_plane_named(plane: str, known: Iterable[str]) -> str:
    return f"there is no plane {shown(plane)}; {nearest(plane, known)}"


def _check_panel(readings: Readings, panel: Panel, units: Units, report: Report) -> None:
    element, cover = readings.panel.element, _say(panel.cover, units)
    if panel.seam_back + panel.seam_fwd >= panel.cover:
        keys = [key for key in ("seam_back", "seam_fwd", "seam_half") if key in element.table]
        want = f"the seam's two sides take the whole cover of {cover}; no flat of the pan is left"
        report.add(element, keys[0] if keys else "cover", want)
    head = readings.head.entry
    if head:
        mark = resolve.mark(head, units)
        top = readings.head.element
        if mark > panel.cover:
            report.add(top, "mark", f"it cannot be coarser than the cover of {cover}")
        elif panel.cover // mark > MOST_FIRST_WIDTHS:
            want = f"the mark is too fine for a cover of {cover}; a crew marks to 1/16 in or 1 mm"
            report.add(top, "mark", want)
    rules = readings.rules.entry
    if rules and rules.min_end is not None and rules.min_end > panel.cover:
        want = f"it cannot be more than the cover of {cover}"
        report.add(readings.rules.element, "min_end", want)
    for read in readings.planes:
        if read.entry and read.entry.width > MOST_PANELS * panel.cover:
            want = f"at a cover of {cover} that is more than {MOST_PANELS:,} panels; check both"
            report.add(read.element, "width", want)


def _check_keepout(read: Read[KeepoutEntry], report: Report) -> None:
    keepout, element = read.entry, read.element
    if keepout is None:
        return
    if keepout.x_from > keepout.x_to:
        report.add(element, "from", "it cannot be beyond to; write the smaller one in from")
    if (keepout.y_from is None) != (keepout.y_to is None):
        given, other = ("y_from", "y_to") if keepout.y_to is None else ("y_to", "y_from")
        report.add(element, given, f"give {other} as well, or leave both out")
    elif keepout.y_from is not None and keepout.y_to is not None and keepout.y_from > keepout.y_to:
        report.add(element, "y_from", "it cannot be beyond y_to; write the smaller one in y_from")


def _check_on_plane(
    element: Element, entry: AnyPenetration, plane: PlaneEntry, units: Units, report: Report
) -> None:
    for key, value, most, name in (
        ("x", entry.x, plane.width, "width"),
        ("y", entry.y, plane.length, "length"),
    ):
        if not 0 <= value <= most:
            limit = f"{key} goes from 0 to its {name}, {_say(most, units)}"
            report.add(element, key, f"it is off plane {plane.id}; {limit}")


def _check_base(element: Element, entry: AnyPenetration, units: Units, report: Report) -> None:
    if isinstance(entry, PipeEntry) and entry.base is not None and entry.base < entry.outside:
        want = f"it cannot be below the outside diameter of {_say(entry.outside, units)}"
        report.add(element, "base", want)


def _check_reach(
    element: Element,
    entry: AnyPenetration,
    head: HeadEntry,
    moves: resolve.Moves,
    units: Units,
    report: Report,
) -> None:
    if resolve.status(entry, head.setting) != "stubbed":
        return
    low, high = resolve.reaches(entry, moves, head.setting)
    least = moves.min_offset if entry.min_offset is None else entry.min_offset
    if not 0 < max(low, high) < least:
        return
    sides = [key for key in ("reach_low", "reach_high") if key in element.table]
    key = sides[0] if len(sides) == 2 or (sides and "reach" not in element.table) else "reach"
    want = (
        f"this reach is below its min_offset of {_say(least, units)}, so it could not move at all; "
        "give at least that, or 0 where it stays"
    )
    got = None if key in element.table else _say(max(low, high), units) + " by default"
    report.add(element, key, want, got)


def _check_moves(
    element: Element,
    entry: AnyPenetration,
    plane: PlaneEntry,
    head: HeadEntry,
    moves: resolve.Moves,
    report: Report,
) -> None:
    low, high = resolve.reaches(entry, moves, head.setting)
    span = min(low, max(entry.x, 0)) + min(high, max(plane.width - entry.x, 0))
    if span // moves.step > MOST_MOVES:
        want = f"its moves are more than {MOST_MOVES:,} steps; give a coarser step or less reach"
        report.add(element, "reach", want)


def _say(ticks: int, units: Units) -> str:
    finest = TICKS_PER_INCH // 64 if units == "in" else TICKS_PER_MM // 10
    return format_length(2 * ticks, units, finest)
