"""The panel list on paper: a table for each plane, then the stock and what to mind."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.closing import closing_lines
from cli.report.findings_part import findings_lines
from cli.report.grid import Column, table
from cli.report.lines import BLANK, WIDTH, Line, Span, clean, heading, line, shorten, wrap
from cli.report.panels_stock import stock_lines
from cli.report.panels_words import LEG_WORDS, PanelWords
from cli.report.words import Lengths, lay_words, plural
from solver.case import Case
from solver.panels.document import TO_VERIFY
from solver.panels.parts import PanelList, PlanePanels, sheet_width
from solver.result import Finding
from solver.stock.parts import StockPlan

_COLUMNS = (
    Column("mark", least=6, cut="middle"), Column("no.", "right"), Column("finished", "right"),
    Column("in the\nflat", "right"), Column("left"), Column("right"),
    Column("cut\nlength", "right"), Column("lower\nend", least=5), Column("upper\nend", least=5),
)
_MARGIN = "    "
_ABOUT_PANELS = ("split-pan", "unlanded", "cannot-meet")


def panels_page(
    found: PanelList, stock: StockPlan | None, findings: tuple[Finding, ...], proven: bool
) -> list[Line]:
    """The whole list, to print and hand over."""
    lines = [*_title(found, proven), BLANK, *_reading(found)]
    for plane in found.planes:
        lines += [BLANK, *_plane(found.case, plane)]
    lines += [BLANK, *_totals(found)]
    if stock is not None:
        lines += [BLANK, *stock_lines(found, stock)]
    if own := [finding for finding in findings if finding.code in _ABOUT_PANELS]:
        lines += [BLANK, *findings_lines(own, found.case.units)]
    return [*lines, BLANK, *closing_lines(found.case)]


def _title(found: PanelList, proven: bool) -> list[Line]:
    case = found.case
    title = clean(case.title).strip() or "(no title)"
    said = [
        f"Revision {clean(case.revision)}" if case.revision else "No revision given",
        f"dated {clean(case.date)}" if case.date else "no date given",
        f"layout {found.rank} of the ranked list" + ("" if proven else " (not proven best)"),
        f"panels cover {Lengths(case).near(case.panel.cover)}",
    ]
    return [
        heading("PANEL LIST"), (Span(shorten(title, WIDTH), "head"),),
        *wrap("; ".join(said) + "."), *wrap(TO_VERIFY, style="warn"),
    ]


def _reading(found: PanelList) -> list[Line]:
    words, sheet, case = PanelWords(found.case), found.sheet, found.case
    near = words.width
    notes = [
        "Left and right are those of someone OUTSIDE who looks up the slope. Each pan's female leg "
        "hooks over the male leg already laid. Turn up: a cut edge, turned up under the trim. "
        "Point: the piece comes to a point there.",
        "Finished: the width it covers. In the flat: that, its legs and a turn-up of "
        f"{near(sheet.turn_up)} at every other side. A full pan takes "
        f"{near(sheet_width(case, sheet))}: male leg {near(sheet.male)}, female "
        f"{near(sheet.female)}.",
        "Cut length: from end to end along the slope, with these allowances: eave "
        f"{near(sheet.eave_hook)}, ridge {near(sheet.ridge_up)}, hip {near(sheet.hip_up)}, valley "
        f"{near(sheet.valley_hook)}, wall and curb {near(sheet.wall_up)}. A slanting end is "
        "measured to its long side; what it rises is said for the cover of a full pan.",
        "Panels are counted from where laying starts.",
    ]
    if not sheet.given:
        notes.append("Legs and allowances are usual figures, not the panel maker's: give the case "
                     "a table [sheet] before anything is cut.")
    if sheet.max_length is not None:
        notes.append(f"No length is over {words.long(sheet.max_length)}; laps of "
                     f"{near(sheet.lap)}, where they begin is measured up from the lower cut end.")
    lines = [heading("HOW TO READ IT")]
    for note in notes:
        lines += wrap(note, first="  - ", rest="    ")
    return lines


def _plane(case: Case, plane: PlanePanels) -> Iterator[Line]:
    words = PanelWords(case)
    head = (f"PLANE {clean(plane.plane.id)}: {words.long(plane.plane.width)} along the eave, "
            f"{lay_words(words.lengths, plane.plane)}")
    yield from wrap(head, rest="  ", style="head")
    yield from wrap(
        f"{plural(plane.judged.panels, 'panel')}, {words.pieces(plane.pieces)} to cut; roof "
        f"{words.area(plane.roof)}, panels in the flat {words.area(plane.metal)}.", first="  ")
    rows, below = [], []
    for mark in plane.marks:
        piece = mark.piece
        cells = (
            clean(mark.name), str(len(mark.pieces)), words.width(piece.finished),
            words.width(piece.rip), LEG_WORDS[piece.left], LEG_WORDS[piece.right],
            words.long(piece.length), words.ends(piece.lower), words.ends(piece.upper),
        )
        rows.append([Span(cell) for cell in cells])
        below.append(_notes(words.notes(mark)))
    for one in plane.across:
        cells = (
            clean(one.name), str(one.count), words.width(case.panel.cover), words.width(one.width),
            LEG_WORDS[one.left], LEG_WORDS[one.right], words.long(one.length), "seam", "seam",
        )
        rows.append([Span(cell) for cell in cells])
        below.append(_notes([words.across(one)]))
    if rows:
        yield BLANK
        yield from table(_COLUMNS, rows, below, lead="  ")
    else:
        yield line("  Nothing to cut on this plane.")


def _notes(notes: list[str]) -> list[Line]:
    return wrap("; ".join(notes), first=_MARGIN, rest=_MARGIN + "  ", style="quiet")


def _totals(found: PanelList) -> list[Line]:
    words = PanelWords(found.case)
    return [heading("ALL PLANES"), *wrap(
        f"{words.pieces(found.pieces)} to cut. Roof without holes and curbs "
        f"{words.area(found.roof)}; panels in the flat, laps and allowances with them, "
        f"{words.area(found.metal)}.", first="  ")]
