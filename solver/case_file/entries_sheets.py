"""The shape of the tables beside roof and rules: [[gridline]], [fittings], [[join]], [freeze]."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from solver.case_file.entries_limits import Entry
from solver.case_file.entry_texts import Id, Ids, MaybeId
from solver.case_file.entry_values import Length, MaybeMoney, MaybeSize, Size


class GridlineEntry(Entry):
    """A grid line of the building, from which stub-ups are taped before there is a roof edge."""

    plane: Id = Field(description="The id of the plane whose eave it crosses.")
    id: Id = Field(description="What the drawings call it, unique among those of its plane.")
    x: Length = Field(description="Where it crosses, from the plane's left end, a length.")


class FittingsEntry(Entry):
    """The elbows of one nominal size, as their maker gives them."""

    bend_22: MaybeSize = Field(
        default=None, description="Centre to end of a 22 1/2 degree elbow, a length. Default: none."
    )
    bend_45: MaybeSize = Field(
        default=None, description="Centre to end of a 45 degree elbow, a length. Default: none."
    )
    bend_60: MaybeSize = Field(
        default=None, description="Centre to end of a 60 degree elbow, a length. Default: none."
    )


class SharedCurbEntry(Entry):
    """A curb that could stand instead of several penetrations."""

    x: Length = Field(description="Centre from the plane's left end along the eave, a length.")
    y: Length = Field(description="Centre from the eave line up the slope, a length.")
    across: Size = Field(description="Width along the eave, a length.")
    along: Size = Field(description="Length up the slope, a length.")


def _written(curb: object) -> object:
    if curb is None:
        raise ValueError("leave it out, or write a table of x, y, across and along")
    return curb


class JoinEntry(Entry):
    """Penetrations that could become one, and what that costs."""

    id: Id = Field(description="The join's id, unique among joins.")
    penetrations: Ids = Field(description="The ids of two or more penetrations of one plane.")
    keeps: MaybeId = Field(
        default=None,
        description="The id of the one that stays, the others joining it below the deck. "
        "Give either this or curb.",
    )
    curb: Annotated[SharedCurbEntry | None, BeforeValidator(_written)] = Field(
        default=None,
        description="The curb that stands instead of all of them. Give either this or keeps.",
    )
    hours: MaybeMoney = Field(
        default=None, description="The plumber's hours. Default 0 where material is given."
    )
    material: MaybeMoney = Field(
        default=None, description="Material, in currency units. Default 0 where hours are given."
    )


class FreezeEntry(Entry):
    """What is already agreed and stays put."""

    first: dict[str, Size] = Field(
        default_factory=dict, description="First panel width by plane id, lengths. Default: none."
    )
    move: dict[str, Length] = Field(
        default_factory=dict,
        description="Move by penetration id, lengths, towards larger x positive, 0 for one that "
        "stays. Default: none.",
    )
