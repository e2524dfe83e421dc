"""A case that is still being put together: texts as its writer gave them, not yet ticks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from solver.units import TICKS_PER, Units, format_length, parse_length

Table = Mapping[str, str]
"""Keys and texts of a [[penetration]], as they are written in a case."""


@dataclass(frozen=True, slots=True)
class PlaneDraft:
    """A plane: `width` and `length`, or an `outline` instead (corners as texts), and `holes`.

    `note` is a comment on where it came from.
    """

    id: str
    width: str = ""
    length: str = ""
    outline: tuple[tuple[str, str], ...] = ()
    holes: tuple[tuple[tuple[str, str], ...], ...] = ()
    pitch: str = ""
    in_plan: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Draft:
    """A whole case. `notes` are comments at its head; `cover_guessed`: nobody said the cover."""

    title: str
    units: Units
    cover: str
    planes: tuple[PlaneDraft, ...]
    penetrations: tuple[Table, ...] = ()
    cover_guessed: bool = False
    notes: tuple[str, ...] = ()


def plain_number(ticks: int, units: Units) -> str:
    """The shortest decimal in `units` that reads back as these ticks."""
    per = TICKS_PER[units]
    for digits in range(8):
        sign, size = ("-" if ticks < 0 else ""), abs(ticks)
        count = (2 * size * 10**digits + per) // (2 * per)
        whole, over = divmod(count, 10**digits)
        text = f"{sign}{whole}.{over:0{digits}d}" if digits else f"{sign}{whole}"
        if parse_length(text, units) == ticks:
            return text.rstrip("0").rstrip(".") if digits else text
    raise AssertionError("seven decimals are finer than any tick")


def length_text(ticks: int, units: Units) -> str:
    """A length that a tape shows as a person writes it, any other as an exact number."""
    tape = TICKS_PER["in"] // 64
    if units == "in" and ticks % tape == 0 and abs(ticks) >= 12 * TICKS_PER["in"]:
        return format_length(2 * ticks, units, tape, feet=True)
    return plain_number(ticks, units)
