"""Contradictions in what departs from the plain grid: odd panels, play, laying from a line."""

from __future__ import annotations

from typing import Final

from solver.case import Rules
from solver.case_file import resolve
from solver.case_file.cross_checks import covers_said
from solver.case_file.entries_outline import PlaneEntry
from solver.case_file.load_report import Report, length_said, listed
from solver.case_file.read_tables import Read
from solver.case_file.readings import Readings
from solver.units import Units

MOST_CHANGES: Final = 2_000
"""The most steps of `play_mark` that a panel may be spread by: far beyond what any sheet gives."""


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note every odd width, play and line that cannot be."""
    for read in readings.planes:
        _check_lay(read, units, report)
    panel, rules = readings.panel.entry, readings.rules.entry
    if not (units and panel and rules):
        return
    each_cover = {cover: resolve.rules(rules, cover, units) for cover in panel.cover}
    _check_odd_widths(readings, each_cover, units, report)
    _check_odd_min(readings, each_cover, units, report)
    _check_play(readings, each_cover, units, report)


def _check_lay(read: Read[PlaneEntry], units: Units | None, report: Report) -> None:
    """`lay = "from"` and `from` go together; told from what is written, also of a bad plane."""
    plane = read.entry
    table = read.element.table
    lay = table.get("lay", "left-to-right")
    if lay == "from" and "from" not in table:
        want = (
            "give from as well: where the line stands, a length between 0 and the plane's width"
        )
        report.add(read.element, "lay", want)
    elif "from" in table and lay in ("left-to-right", "right-to-left"):
        want = 'it only goes with lay = "from"; write that as well, or leave from out'
        report.add(read.element, "from", want)
    elif units and plane and plane.start is not None and not 0 < plane.start < plane.width:
        want = (
            "the line stands between the ends of the plane; write more than 0 and less than its "
            f"width, {length_said(plane.width, units)}"
        )
        report.add(read.element, "from", want)


def _check_odd_widths(
    readings: Readings, each_cover: dict[int, Rules], units: Units, report: Report
) -> None:
    narrowest = min(each_cover)
    wide = [width for width in next(iter(each_cover.values())).odd_widths if width >= narrowest]
    if wide:
        among = [cover for cover in each_cover if cover <= wide[-1]]
        are = "are" if len(wide) > 1 else "is"
        want = (
            f"{listed(length_said(width, units) for width in wide)} {are} not below the "
            f"{covers_said(among, units)}; an odd panel is narrower than a full one"
        )
        report.add(readings.rules.element, "odd_widths", want)


def _check_odd_min(
    readings: Readings, each_cover: dict[int, Rules], units: Units, report: Report
) -> None:
    """The least odd width is at most the cover, and with odd panels leaves some whole mark."""
    element = readings.rules.element
    if beyond := [cover for cover, rules in each_cover.items() if rules.odd_min > cover]:
        report.add(element, "odd_min", f"it cannot be more than the {covers_said(beyond, units)}")
    head = readings.head.entry
    odd_panels = next(iter(each_cover.values())).odd_panels
    if not head or not odd_panels or element.table.get("odd_widths"):
        return
    mark = resolve.mark(head, units)
    widest = {cover: (cover - mark) // mark * mark for cover in each_cover}
    if coarse := [cover for cover, width in widest.items() if width == 0]:
        want = (
            f"no whole mark of {length_said(mark, units)} is left for an odd panel at the "
            f"{covers_said(coarse, units)}; give a finer mark, or odd_widths, or 0 here"
        )
        report.add(element, "odd_panels", want)
    none = [
        cover for cover, width in widest.items() if 0 < width < each_cover[cover].odd_min <= cover
    ]
    if none and not readings.rules.misread("odd_min"):
        most = length_said(min(widest[cover] for cover in none), units, "down")
        want = (
            f"no whole mark of {length_said(mark, units)} lies between it and a mark less than the "
            f"{covers_said(none, units)}; write at most {most}, or give odd_widths"
        )
        default = length_said(each_cover[none[0]].odd_min, units) + " by default"
        report.add(element, "odd_min", want, None if "odd_min" in element.table else default)


def _check_play(
    readings: Readings, each_cover: dict[int, Rules], units: Units, report: Report
) -> None:
    element, rules = readings.rules.element, next(iter(each_cover.values()))
    if narrow := [cover for cover in each_cover if 2 * rules.play >= cover]:
        want = f"it must be less than half the {covers_said(narrow, units)}"
        report.add(element, "play", want)
    elif rules.play // rules.play_mark > MOST_CHANGES and not readings.rules.misread("play_mark"):
        want = (
            f"it is too fine for a play of {length_said(rules.play, units)}; write at least "
            f"{length_said(-(-rules.play // MOST_CHANGES), units, 'up')}"
        )
        default = length_said(rules.play_mark, units) + " by default"
        report.add(element, "play_mark", want, None if "play_mark" in element.table else default)
