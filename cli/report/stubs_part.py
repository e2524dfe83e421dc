"""The stub-up list on paper: a block for every pipe, in wall order, with room to sign."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.closing import closing_lines
from cli.report.findings_part import findings_lines
from cli.report.lines import BLANK, WIDTH, Line, Span, Style, clean, heading, line, shorten, wrap
from cli.report.stub_words import StubWords
from cli.report.words import Lengths, joined, plural
from solver.case import Case
from solver.result import Finding
from solver.stubs.landmarks import flips
from solver.stubs.list import PlaneSheet, StubList, StubRow
from solver.stubs.vent_notes import ALL_VENTS, VentNote, is_vent

_LABEL = 12
_ABOUT_A_PLACE = (
    "in-keepout", "near-edge", "near-pair", "overlap", "wide-base", "at-risk", "setback",
    "dead-zone",
)


def stubs_page(found: StubList, findings: tuple[Finding, ...], proven: bool) -> list[Line]:
    """The whole list, to print and hand over."""
    case = found.case
    lines = [*_title(found, proven), BLANK, *_reading(found)]
    for sheet in found.sheets:
        lines += [BLANK, *_sheet(case, sheet)]
    rows = [row for sheet in found.sheets for row in sheet.rows]
    if vents := [row for row in rows if is_vent(row.pen)]:
        lines += [BLANK, *_vents(vents)]
    listed = {row.pen.id for row in rows}
    own = [f for f in findings if f.code in _ABOUT_A_PLACE and listed & set(f.about)]
    if own:
        lines += [BLANK, *findings_lines(own, case.units)]
    return [*lines, BLANK, *closing_lines(case)]


def _title(found: StubList, proven: bool) -> list[Line]:
    case = found.case
    title = clean(case.title).strip() or "(no title)"
    lines: list[Line] = [
        heading("STUB-UP LIST"), (Span(shorten(title, WIDTH), "head"),),
    ]
    said = [
        f"Revision {clean(case.revision)}" if case.revision else "No revision given",
        f"dated {clean(case.date)}" if case.date else "no date given",
        f"layout {found.rank} of the ranked list" + ("" if proven else " (not proven best)"),
        f"panels cover {Lengths(case).near(case.panel.cover)}",
    ]
    lines += wrap("; ".join(said) + ".")
    listed = [row for sheet in found.sheets for row in sheet.rows if row.listed]
    moved = sum(1 for row in listed if row.stands.moved)
    lines += wrap(f"{plural(len(listed), 'pipe')} to set: {moved} to move, {len(listed) - moved} "
                  "to leave as drawn.")
    return lines


def _reading(found: StubList) -> list[Line]:
    notes = [
        "A position is the CENTRE of the pipe where it meets the roof surface, measured level "
        "along the eave. Carry it down plumb: the pitch of the roof does not change a distance "
        "along the eave.",
        "SET TO is a tape's reading from the grid line or end named. Acceptable: any centre in "
        "that stretch is clear of seams and keeps the other rules, as long as the other pipes "
        "stand where this list puts them.",
        "Bay: the pan between two seams. Seams are numbered from where laying starts. "
        "Check: to the seams' centre lines, once they are marked out or laid; at a leg, allow for "
        "its side.",
    ]
    if any(row.pairs for sheet in found.sheets for row in sheet.rows):
        notes.append(
            "Make it: two equal fittings. Travel is along the offset, advance up the pipe. A run "
            "at 45° or more from the horizontal is taken first, then the least height."
        )
    lines = [heading("HOW TO READ IT")]
    for note in notes:
        lines += wrap(note, first="  - ", rest="    ")
    return lines


def _sheet(case: Case, sheet: PlaneSheet) -> Iterator[Line]:
    words = StubWords(case, sheet)
    plane = sheet.plane
    low, high = clean(sheet.low_end.says()), clean(sheet.high_end.says())
    yield from wrap(f"PLANE {clean(plane.id)}: {words.tape(plane.width)} along the eave, in order "
                    f"from {low} to {high}", rest="  ", style="head")
    if not sheet.rows:
        yield line("  Nothing to set on this plane.")
        return
    if flips(plane):
        side = "right" if plane.lay == "right-to-left" else "left"
        which = "starting end is where the crew begins" if plane.start is None else (
            "low end is where x is 0")
        yield from wrap(
            f"The case does not name its ends so that inside and outside agree. The {which}: on "
            f"the {side} of someone OUTSIDE who faces the slope, on the other hand inside. Give "
            "low_end and high_end names such as a gable's.",
            first="  ", style="warn",
        )
    if sheet.lines:
        marks = joined([
            f"{clean(mark.name)} at {words.tape(mark.x)}" for mark in sheet.lines
        ])
        yield from wrap(f"Grid lines, from {low}: {marks}.", first="  ")
    else:
        yield from wrap(
            f"A GRID LINE IS NEEDED: none is given for this plane, and at stub-up there is no rake "
            f"to tape from. Until the case has one, all is measured from {low}, which has to be "
            "found and marked on the floor first.", first="  ", style="bad",
        )
    for place, row in enumerate(sheet.rows):
        yield BLANK
        yield from _block(words, place + 1, row)


def _block(words: StubWords, number: int, row: StubRow) -> Iterator[Line]:
    yield from wrap(f"{clean(row.pen.id)}: {words.size(row)}; {words.what(row)}",
                    first=f"{number:3}. ", rest="     ", style="head")
    if not row.listed:
        yield from _field("stands", words.centre(row, row.stands.x))
        yield from _field("how", words.making(row))
        return
    moved = words.move(row)
    set_to = words.centre(row, row.taped, row.tape_mark)
    yield from _field("SET TO", set_to + ("" if moved else " (as drawn)"), "head")
    if moved:
        yield from _field("MOVE", moved, "moved")
        yield from _field("as drawn", words.centre(row, row.pen.x))
    yield from _field("acceptable", words.acceptable(row))
    if row.stands.at_risk:
        yield from _field("AT RISK", "clear as listed, but not if seams and pipe are as far off as "
                          "they may be: set it closely and tape it again", "warn")
    yield from _field("bay", words.bay(row))
    yield from _field("check", words.check(row))
    if moved:
        yield from _field("make it", words.making(row))
    if said := words.vent(row):
        yield from _field("vent", f"{said}: see VENTS at the end")
    yield from _field("agreed by", "_" * 24 + "  as built " + "_" * 21)


def _field(label: str, text: str, style: Style = "") -> list[Line]:
    lead = f"     {label:<{_LABEL}}"
    return wrap(text, first=lead, rest=" " * len(lead), style=style)


def _vents(rows: list[StubRow]) -> list[Line]:
    lines = [heading("VENTS: NO PLUMBING CODE IS CHECKED HERE")]
    lines += wrap(f"Every vent ({joined([clean(row.pen.id) for row in rows])}):", first="  ")
    for note in ALL_VENTS:
        lines += wrap(note.sentence(), first="  - ", rest="    ")
    about: dict[VentNote, list[str]] = {}
    for row in rows:
        for note in row.vent:
            about.setdefault(note, []).append(clean(row.pen.id))
    for note, names in about.items():
        lines += wrap(f"{joined(names)}:", first="  ")
        lines += wrap(note.sentence(), first="  - ", rest="    ")
    return lines
