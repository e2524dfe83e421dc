"""What only shows when the entries of a case are held against each other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import partial
from typing import Final

from solver.case import RATE_NAMES, Panel
from solver.case_file import resolve
from solver.case_file.entries import HeadEntry, PipeEntry
from solver.case_file.entries_outline import KeepoutEntry, PlaneEntry
from solver.case_file.entry_values import MOST_PANELS
from solver.case_file.load_report import (
    Element,
    Report,
    length_said,
    listed,
    nearest,
    printable,
    shown,
)
from solver.case_file.read_tables import Read
from solver.case_file.readings import AnyPenetration, Readings
from solver.units import Units

MOST_FIRST_WIDTHS: Final = 20_000
MOST_MOVES: Final = 20_000
MOST_CENTS: Final = 1_000_000_000
"""The most that one occurrence may cost: sums of many stay far within 64 bits."""
_PLACES_NAMED: Final = 5


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note every contradiction between entries that could be read."""
    _check_ids(readings, report)
    _check_links(readings, report)
    if units is None:
        for read in readings.penetrations:
            _check_bare_base(read.element, report)
        return  # other lengths mean nothing yet
    head, panel_entry = readings.head.entry, readings.panel.entry
    if panel_entry:
        panels = [resolve.panel(panel_entry, cover, units) for cover in panel_entry.cover]
        _check_panels(readings, panels, units, report)
    _check_rates(readings, report)
    for keepout in readings.keepouts:
        _check_keepout(keepout, report)
    planes = {read.entry.id: read.entry for read in readings.planes if read.entry}
    moves = resolve.moves(readings.moves.entry, units) if readings.moves.entry else None
    for read in readings.penetrations:
        if read.entry is None:
            continue
        plane = planes.get(read.entry.plane)
        if plane:
            check_on_plane(read.element, read.entry.x, read.entry.y, plane, units, report)
        _check_base(read.element, read.entry, units, report)
        if head and moves:
            _check_reach(read.element, read.entry, head, moves, units, report)
            if plane:
                _check_moves(read.element, read.entry, plane, head, moves, report)


def _check_ids(readings: Readings, report: Report) -> None:
    check_unique([read.element for read in readings.planes], report)
    check_unique([read.element for read in readings.penetrations], report)
    top = readings.head.element
    if not readings.planes and top.table.get("plane", []) in ([], ()):
        report.add(top, "plane", "a case needs at least one roof plane; add a [[plane]]", "")
        return
    known = plane_ids(readings)
    for read in readings.penetrations:
        check_plane_known(read.element, known, report)


def check_plane_known(element: Element, known: Mapping[str, None], report: Report) -> None:
    """Note that a thing stands on a plane that the case does not have."""
    plane = element.table.get("plane")
    if known and isinstance(plane, str) and plane not in known:
        report.add(element, "plane", partial(_no_such_plane, plane, known))


def _no_such_plane(plane: str, known: Iterable[str]) -> str:
    return f"there is no such plane; {nearest(plane, known)}"


def check_unique(elements: Iterable[Element], report: Report) -> None:
    """Note every id that more than one of these things have."""
    by_id: dict[str, list[Element]] = defaultdict(list)
    for element in elements:
        if element.label:
            by_id[str(element.table["id"])].append(element)
    for same in by_id.values():
        if len(same) > 1:
            places = [element.place for element in same[:_PLACES_NAMED]]
            more = len(same) - len(places)
            named = listed(places + [f"{more:,} more"] * (more > 0))
            want = f"{named} have this id; give each its own"
            report.add(same[1], "id", want)


def plane_ids(readings: Readings) -> dict[str, None]:
    """Every plane's id, also of planes that could not be read: their problems are told already."""
    ids = (read.element.table.get("id") for read in readings.planes)
    return dict.fromkeys(plane for plane in ids if isinstance(plane, str))


def _check_links(readings: Readings, report: Report) -> None:
    known = plane_ids(readings)
    for read in readings.links:
        pair = read.entry.planes if read.entry else read.element.table.get("planes")
        if not isinstance(pair, list | tuple) or len(pair) != 2 or not all(
            isinstance(name, str) for name in pair
        ):
            continue
        first, second = pair
        if first == second:
            report.add(read.element, "planes", "a link joins two different planes; name both")
        for plane in dict.fromkeys((first, second)):
            if known and plane not in known:
                report.add(read.element, "planes", partial(_no_plane_named, plane, known))


def _no_plane_named(plane: str, known: Iterable[str]) -> str:
    return f"there is no plane {shown(plane)}; {nearest(plane, known)}"


def _check_panels(
    readings: Readings, panels: list[Panel], units: Units, report: Report
) -> None:
    """Check what depends on the cover, for each one; a problem names all covers that have it."""
    element = readings.panel.element
    blind = [panel.cover for panel in panels if panel.seam_back + panel.seam_fwd >= panel.cover]
    if blind:
        keys = [key for key in ("seam_back", "seam_fwd", "seam_half") if key in element.table]
        said = covers_said(blind, units)
        want = f"the seam's two sides take the whole {said}; no flat of the pan is left"
        report.add(element, keys[0] if keys else "cover", want)
    covers = [panel.cover for panel in panels]
    head = readings.head.entry
    if head:
        mark = resolve.mark(head, units)
        top = readings.head.element
        if below := [cover for cover in covers if cover < mark]:
            report.add(top, "mark", f"it cannot be coarser than the {covers_said(below, units)}")
        if many := [cover for cover in covers if cover // mark > MOST_FIRST_WIDTHS]:
            said = ("a " if len(many) == 1 else "") + covers_said(many, units)
            want = f"the mark is too fine for {said}; a crew marks to 1/16 in or 1 mm"
            report.add(top, "mark", want)
    rules = readings.rules.entry
    least = rules.min_end if rules and rules.min_end is not None else 0
    if below := [cover for cover in covers if cover < least]:
        want = f"it cannot be more than the {covers_said(below, units)}"
        report.add(readings.rules.element, "min_end", want)
    for read in readings.planes:
        width = read.entry.width if read.entry else 0
        if below := [cover for cover in covers if width > MOST_PANELS * cover]:
            said = ("a " if len(below) == 1 else "") + covers_said(below, units)
            want = f"at {said} that is more than {MOST_PANELS:,} panels; check both"
            report.add(read.element, "width", want)


def covers_said(covers: Iterable[int], units: Units) -> str:
    """Covers (ticks) in a sentence: cover of 18", or covers of 16" and 18"."""
    covers = list(covers)
    many = "s" if len(covers) > 1 else ""
    return f"cover{many} of {listed(length_said(cover, units) for cover in covers)}"


def _check_rates(readings: Readings, report: Report) -> None:
    """Hours times the price of an hour may come to more than any roof: sums must stay exact."""
    if readings.rates.entry is None:
        return
    rates = resolve.rates(readings.rates.entry)
    for name in RATE_NAMES:
        if rates.cents(name) > MOST_CENTS:
            want = (
                "its hours at the price of an hour, and its material, come to more than "
                "10,000,000 for one occurrence; check both"
            )
            report.add(readings.rates.element, name, want, "")


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


def check_on_plane(
    element: Element,
    x: int,
    y: int | None,
    plane: PlaneEntry,
    units: Units,
    report: Report,
    inner: str = "",
    x_key: str = "x",
) -> None:
    """Note that a point (ticks; `y` may not matter) is off its plane.

    `inner` is the table inside the element, if any, in which its x and y are written; `x_key` what
    its x is called.
    """
    for key, value, most, name in (
        (x_key, x, plane.width, "width"),
        ("y", y, plane.length, "length"),
    ):
        if value is not None and not 0 <= value <= most:
            limit = f"{key} goes from 0 to its {name}, {length_said(most, units)}"
            if key == "y" and plane.in_plan:
                here = length_said(value, units)
                limit = f"on the slope this is {here}, and its length there {limit.split(', ')[-1]}"
            want = f"it is off plane {printable(plane.id)}; {limit}"
            if inner:
                report.add(element, f"{inner}.{key}", want, shown(element.table[inner][key]))
            else:
                report.add(element, key, want)


def _check_bare_base(element: Element, report: Report) -> None:
    """Without units two bare numbers can still be held against each other."""
    base, outside = element.table.get("base"), element.table.get("outside")
    numbers = (int, float, Decimal)
    if isinstance(base, numbers) and isinstance(outside, numbers) and 0 < base < outside:
        report.add(element, "base", f"it cannot be below the outside diameter of {outside}")


def _check_base(element: Element, entry: AnyPenetration, units: Units, report: Report) -> None:
    if isinstance(entry, PipeEntry) and entry.base is not None and entry.base < entry.outside:
        want = f"it cannot be below the outside diameter of {length_said(entry.outside, units)}"
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
    least = resolve.min_offset(entry, moves, head.setting)
    if not 0 < max(low, high) < least:
        return
    sides = [key for key in ("reach_low", "reach_high") if key in element.table]
    key = sides[0] if len(sides) == 2 or (sides and "reach" not in element.table) else "reach"
    want = (
        f"this reach is below its min_offset of {length_said(least, units)}, so it could not move "
        "at all; give at least that, or 0 where it stays"
    )
    got = None if key in element.table else length_said(max(low, high), units) + " by default"
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
