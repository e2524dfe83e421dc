"""Contradictions in [sheet] and [prices], and in the rules of pieces."""

from __future__ import annotations

from decimal import ROUND_HALF_UP

from solver.case_file import resolve, resolve_sheet
from solver.case_file.cross_checks import MOST_CENTS, covers_said
from solver.case_file.entries_sheet import SheetEntry
from solver.case_file.load_report import Report, length_said, listed
from solver.case_file.readings import Readings
from solver.stock.metals import gauges_of
from solver.units import Units


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note every sheet, price and least piece that cannot be."""
    sheet = readings.sheet.entry
    if sheet:
        _check_metal(readings, sheet, units, report)
    if units is None:
        return
    if sheet:
        _check_lengths(readings, sheet, units, report)
    _check_prices(readings, units, report)
    panel, rules = readings.panel.entry, readings.rules.entry
    if panel and rules:
        least = rules.min_piece or 0
        if below := [cover for cover in panel.cover if cover < least]:
            want = f"it cannot be more than the {covers_said(below, units)}"
            report.add(readings.rules.element, "min_piece", want)


def _check_metal(
    readings: Readings, sheet: SheetEntry, units: Units | None, report: Report
) -> None:
    element = readings.sheet.element
    if sheet.gauge is not None and "thickness" in element.table:
        report.add(element, "gauge", "give either gauge or thickness, not both")
    elif (
        sheet.gauge is not None
        and not readings.sheet.misread("metal")
        and resolve_sheet.thickness(sheet, units or "mm") is None
    ):
        known = gauges_of(sheet.metal)
        want = f"{sheet.metal} goes by its thickness; write thickness instead"
        if known:
            want = (
                f"no such gauge of {sheet.metal} is known here; write one of "
                f"{listed(map(str, known))}, or thickness instead"
            )
        report.add(element, "gauge", want)


def _check_lengths(
    readings: Readings, sheet: SheetEntry, units: Units, report: Report
) -> None:
    """A sheet no longer than its lap gets nowhere."""
    element = readings.sheet.element
    if readings.sheet.misread("lap"):
        return
    lap = resolve_sheet.lap(sheet, units)
    more = f"more than the lap of {length_said(lap, units)}"
    if short := [length for length in sheet.stock if length <= lap]:
        said = listed(length_said(length, units) for length in short)
        is_no = "are" if len(short) > 1 else "is"
        report.add(element, "stock", f"{said} {is_no} not {more}; every sheet must be longer")
    if sheet.max_length is not None and sheet.max_length <= lap:
        report.add(element, "max_length", f"it is not {more}; a panel must be longer")


def _check_prices(readings: Readings, units: Units, report: Report) -> None:
    """Hours times the price of an hour must stay what sums of many can hold, as for the rates."""
    if readings.prices.entry is None or readings.rates.entry is None:
        return
    hour = resolve.rates(readings.rates.entry).crew_hour
    for name, price in resolve_sheet.prices(readings.prices.entry, units):
        cents = ((price.hours * hour + price.material) * 100).to_integral_value(ROUND_HALF_UP)
        if cents > MOST_CENTS:
            want = (
                "its hours at the price of an hour, and its material, come to more than "
                "10,000,000 for one of it; check both"
            )
            report.add(readings.prices.element, name, want, "")
