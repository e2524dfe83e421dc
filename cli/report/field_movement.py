"""Heat on the field sheet: how far the panels move, and the gap every hole needs."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from cli.report.field_words import PINS
from cli.report.grid import Column, table
from cli.report.lines import Line, Span, heading, wrap
from cli.report.words import Lengths, id_of
from solver.case import Case, Plane
from solver.field.movement import Movements, PenetrationMovement, PlaneMovement
from solver.field.parts import FieldSheets
from solver.panels.list import rounded
from solver.units import Units

_COLUMNS = (
    Column("at", least=8, cut="middle"), Column("from the\nfixed point", "right"),
    Column("moves\nup", "right"), Column("moves\ndown", "right"), Column("gap\nabove", "right"),
    Column("gap\nbelow", "right"), Column("flashing\nallows"),
)

def movement_lines(found: FieldSheets, plane: Plane) -> list[Line]:
    """The block of one plane; nothing where the case says nothing of heat."""
    if found.movement is None:
        return []
    own = next(one for one in found.movement.planes if one.id == plane.id)
    return list(_block(found.case, found.movement, own))


def movement_words(case: Case, movement: Movements, own: PlaneMovement) -> list[str]:
    """What is said of a whole plane."""
    run, up = own.longest, Lengths(case).up2
    place = Lengths(case).place
    length = place(rounded(run.length, case.mark))
    fixed = place(rounded(run.fixed, case.mark))
    warmer, colder = (_kelvin(k, case.units) for k in (movement.warmer, movement.colder))
    return [
        f"{movement.metal.capitalize()}, {warmer} warmer to {colder} colder than when it is laid. "
        f"Longest panel {length}, fixed {fixed} up the slope.",
        f"Clips must let the lower end travel {up(2 * own.lower.total)} in all, the upper end "
        f"{up(2 * own.upper.total)}. Set them for the temperature of the day.",
    ]


def movement_row(case: Case, one: PenetrationMovement) -> list[str]:
    """The cells of one penetration."""
    lengths = Lengths(case)
    up = lengths.up2
    return [
        id_of(one.id), lengths.place(rounded(Fraction(one.free), case.mark)),
        up(2 * one.travel.up), up(2 * one.travel.down), up(2 * one.gap_above),
        up(2 * one.gap_below),
        "ask" if one.allows is None else
        (lengths.fine(one.allows) if one.allows % case.mark else lengths.near(one.allows))
        + ("" if one.suffices else " TOO LITTLE"),
    ]


def _block(case: Case, movement: Movements, own: PlaneMovement) -> Iterator[Line]:
    yield heading("HEAT")
    for says in movement_words(case, movement, own):
        yield from wrap(says, first="  ", rest="    ")
    yield from wrap(PINS, first="  ", rest="    ", style="warn")
    if own.penetrations:
        cell = Lengths(case).cell
        rows = [
            [Span(cell(text), "bad" if one.suffices is False and place == 6 else "")
             for place, text in enumerate(movement_row(case, one))]
            for one in own.penetrations
        ]
        yield from table(_COLUMNS, rows, lead="  ")


def _kelvin(amount: Decimal, units: Units) -> str:
    """A temperature difference to a tenth of a kelvin; in inches in degrees Fahrenheit as well."""
    kelvin = f"{round(amount, 1).normalize():f} K"
    return kelvin if units == "mm" else f"{kelvin} ({round(amount * 9 / 5):d} F)"
