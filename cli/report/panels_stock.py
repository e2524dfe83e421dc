"""The stock that the panels of a list take: what to buy or run, and what to cut from it."""

from __future__ import annotations

from cli.report.grid import Column, table
from cli.report.lines import Line, Span, clean, heading, wrap
from cli.report.panels_words import PanelWords
from cli.report.words import joined, plural
from solver.panels.parts import PanelList
from solver.stock.metals import density_source
from solver.stock.parts import Blank, StockPlan

_BLANKS = (
    Column("blank", "right"), Column("no.", "right"), Column("length", "right"), Column("from it"),
)
_SHEETS = (
    Column("stock", "right"), Column("no.", "right"), Column("cut into blanks", least=20),
)
_NAMES = 3
_LISTED = 60


def stock_lines(found: PanelList, plan: StockPlan) -> list[Line]:
    """What is bought, how sure that is, and how it is cut."""
    words, case = PanelWords(found.case), found.case
    coil = not found.sheet.stock
    lines = [heading("STOCK")]
    what = "coil" if coil else plural(plan.sheets, "stock sheet")
    wide = words.width(plan.sheet_width)
    area = (f"{plan.area_ft2:,.1f} sq ft, {plan.weight_lb:,.0f} lb" if case.units == "in" else
            f"{plan.area_m2:,.2f} m², {plan.weight_kg:,.0f} kg")
    lines += wrap(f"{what[:1].upper()}{what[1:]} {wide} wide, {words.long(plan.length)} in all: "
                  f"{area} of bare {found.sheet.metal} ({density_source(found.sheet.metal)}), "
                  f"waste {plan.waste:.1f} %.", first="  ")
    if plan.proven:
        sure = "No plan of the ways looked at takes less."
        if not plan.fewest:
            sure += " That as few sheets as these would do is not proven."
    else:
        sure = f"Not proven least: no plan takes less than {words.long(plan.bound)}."
    lines += wrap(sure, first="  ")
    if plan.wider:
        lines += wrap(f"WIDER THAN THE SHEET, counted as a sheet each: {_names(plan.wider)}.",
                      first="  ", style="bad")
    if plan.longer:
        lines += wrap(f"LONGER THAN ANY STOCK LENGTH, not in the plan: {_names(plan.longer)}. Give "
                      "max_length, or longer stock.", first="  ", style="bad")
    shared = [blank for blank in plan.blanks if len(blank.parts) > 1]
    if coil and not shared:
        return [*lines, *wrap("Every piece is a blank of its own.", first="  ")]
    chosen = shared if coil else list(plan.blanks)
    if coil:
        lines += wrap("Every piece is a blank of its own but these:", first="  ")
    lines += _blanks(words, plan, chosen)
    if not coil:
        lines += _sheets(words, plan)
    return lines


def _blanks(words: PanelWords, plan: StockPlan, chosen: list[Blank]) -> list[Line]:
    rows = []
    for blank in chosen[:_LISTED]:
        marks = joined([clean(mark) for mark in blank.marks])
        how = f"{marks}, {blank.how}" if len(blank.parts) > 1 else marks
        rows.append([Span(str(plan.blanks.index(blank) + 1)), Span(str(blank.count)),
                     Span(words.long(blank.length)), Span(how)])
    lines = table((*_BLANKS[:3], Column("from it", least=20, cut="middle")), rows, lead="  ")
    return [*lines, *_more(len(chosen), "blanks")]


def _sheets(words: PanelWords, plan: StockPlan) -> list[Line]:
    rows = [
        [Span(words.long(one.length)), Span(str(one.count)),
         Span(", ".join(str(number + 1) for number in one.blanks))]
        for one in plan.stock[:_LISTED]
    ]
    return [*table(_SHEETS, rows, lead="  "), *_more(len(plan.stock), "ways to cut a sheet")]


def _more(count: int, what: str) -> list[Line]:
    if count <= _LISTED:
        return []
    return wrap(f"and {count - _LISTED:,} more {what}: --json has them all", first="  ")


def _names(marks: tuple[str, ...]) -> str:
    shown = [clean(mark) for mark in marks[:_NAMES]]
    if len(marks) > _NAMES:
        shown.append(f"{len(marks) - _NAMES:,} more")
    return joined(shown)
