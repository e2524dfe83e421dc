"""The shape of an as-built file: what the crew measured, table by table.

Lengths are read as in a case; nothing is coerced from another type.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field, PlainValidator, ValidationInfo

from solver.case_file.entries_limits import Entry
from solver.case_file.entry_texts import Id
from solver.case_file.entry_values import (
    MOST_PANELS,
    Length,
    MaybeLength,
    MaybeSize,
    one_of,
    read_size,
)

Pairs = tuple[tuple[int, int], ...]
MaybeStatus = Literal["fixed", "stubbed", "planned"] | None


def read_seam(value: object) -> int:
    """The number of a seam, counted from the start; below 0 towards the low end from a line."""
    whole = isinstance(value, int) and not isinstance(value, bool)
    if not whole or value == 0 or abs(value) > MOST_PANELS:  # type: ignore[arg-type]
        raise ValueError(
            "write the number of the last seam laid, counted from where laying starts: 1 is the "
            "far edge of the first panel"
        )
    assert isinstance(value, int)
    return value


def read_layout(value: object) -> int:
    """The number of a listed layout, from 1."""
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise ValueError("write the number of a listed layout; 1 is the best")
    return value


def read_odds(value: object, info: ValidationInfo) -> Pairs:
    """Panel numbers and widths (ticks) of the odd panels laid so far, in increasing numbers."""
    if not isinstance(value, Mapping):
        raise ValueError('write a table of panel numbers and widths, such as { 7 = "12 1/2" }')
    found = []
    for key, width in value.items():
        text = str(key)
        if not (text.isascii() and text.removeprefix("-").isdigit() and len(text) < 8):
            raise ValueError(f'"{text[:20]}" is no number of a panel; write such as '
                             '{ 7 = "12 1/2" }')
        try:
            found.append((int(text), read_size(width, info)))
        except ValueError as error:
            raise ValueError(f"panel {text}: {error}") from None
    return tuple(sorted(found))


def read_firsts(value: object, info: ValidationInfo) -> tuple[tuple[str, int], ...]:
    """First widths (ticks) by plane id."""
    if not isinstance(value, Mapping):
        raise ValueError('write a table of plane ids and first widths, such as { S = "11 1/2" }')
    found = []
    for key, width in value.items():
        try:
            found.append((str(key), read_size(width, info)))
        except ValueError as error:
            raise ValueError(f"plane {str(key)[:80]}: {error}") from None
    return tuple(found)


class HeadEntry(Entry):
    """What stands above the tables."""

    title: Annotated[str, Field(max_length=200)] = Field(default="", description="A title.")
    date: object = Field(default="", description="The day it was measured.")
    layout: Annotated[int | None, PlainValidator(read_layout)] = Field(
        default=None, description="Which listed layout is being built. Default: 1."
    )
    first: Annotated[tuple[tuple[str, int], ...], PlainValidator(read_firsts)] = Field(
        default=(), description="First widths by plane id, where another layout is built."
    )


class PlaneEntry(Entry):
    """How far a plane is laid: one run of it on a plane laid both ways."""

    id: Id = Field(description="The id of the plane.")
    seam: Annotated[int, PlainValidator(read_seam)] = Field(
        description="The number of the last seam laid, counted from where laying starts."
    )
    eave: MaybeSize = Field(
        default=None,
        description="Distance at the eave from where laying starts to that seam's centre.",
    )
    tape: MaybeSize = Field(
        default=None,
        description="The field sheet's reading to the tape mark, instead of eave; ridge then too.",
    )
    ridge: MaybeSize = Field(
        default=None,
        description="The same at the ridge, from the rake there. Default: as the eave asks.",
    )
    odd: Annotated[Pairs | None, PlainValidator(read_odds)] = Field(
        default=None, description="Odd panels laid so far. Default: as planned."
    )


class SeenEntry(Entry):
    """Where a penetration really is."""

    id: Id = Field(description="The id of the penetration.")
    x: Length = Field(description="Its true centre from the plane's low end along the eave.")
    y: MaybeLength = Field(default=None, description="Its true centre up the slope.")
    status: Annotated[
        MaybeStatus, PlainValidator(one_of("fixed", "stubbed", "planned"))
    ] = Field(default=None, description="Whether it can still move. Default: fixed, it stands.")
