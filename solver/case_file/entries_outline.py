"""The shape of [[plane]]: its outline, its holes, its keep-outs; and [[centre]]."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import Field, PlainValidator, WithJsonSchema

from solver.case import Lay
from solver.case_file.defaults import said
from solver.case_file.entries_field import SurveyEntry
from solver.case_file.entries_limits import Entry
from solver.case_file.entry_texts import Id, Text
from solver.case_file.entry_values import Flag, Length, MaybeGap, MaybeLength, Size, one_of
from solver.case_file.pitch import read_pitch
from solver.case_parts import EDGE_KINDS, EdgeKind, Pitch

MOST_POINTS: Final = 500


MaybeEdge = Annotated[
    EdgeKind | None,
    PlainValidator(one_of(*EDGE_KINDS)),
    WithJsonSchema({"enum": list(EDGE_KINDS)}),
]
MaybePitch = Annotated[Pitch | None, PlainValidator(read_pitch), WithJsonSchema({"type": "string"})]


class PointEntry(Entry):
    """A corner of an outline, and the edge that begins there."""

    x: Length = Field(description="From the plane's left end along the eave, a length.")
    y: Length = Field(description="From the eave line up the slope, a length.")
    edge: MaybeEdge = Field(
        default=None,
        description='What the edge from here to the next corner is: "eave", "ridge", "rake", '
        '"hip", "valley" or "wall". Default: as it lies; around a hole "wall".',
    )


class HoleEntry(Entry):
    """A part of a plane that is not roofed."""

    what: Text = Field(default="hole", description='What stands there. Default "hole".')
    outline: tuple[PointEntry, ...] = Field(
        min_length=3, max_length=MOST_POINTS, description="Its corners in turn, either way round."
    )


class KeepoutEntry(Entry):
    """Where no moved pipe may stand: a strip of the eave, or a rectangle."""

    x_from: Length = Field(
        alias="from", description="Where it begins, from the plane's left end, a length."
    )
    x_to: Length = Field(
        alias="to", description="Where it ends, from the plane's left end, a length."
    )
    y_from: MaybeLength = Field(
        default=None,
        description="Where it begins up the slope, a length. Default: the whole slope.",
    )
    y_to: MaybeLength = Field(
        default=None, description="Where it ends up the slope, a length; goes with y_from."
    )
    what: Text = Field(default="keep-out", description='What stands there. Default "keep-out".')


class PlaneEntry(Entry):
    """One roof plane, seen from outside, looking up the slope.

    `width` and `length` are 0 where the file leaves them to an outline.
    """

    id: Id = Field(description="The plane's id, unique among planes.")
    width: Size = Field(
        default_factory=int,
        description="Width along the eave, a length. Needed without an outline.",
    )
    length: Size = Field(
        default_factory=int,
        description="Length up the slope, measured on the slope, a length. Needed without an "
        "outline.",
    )
    outline: tuple[PointEntry, ...] = Field(
        default=(),
        max_length=MOST_POINTS,
        description="Its corners in turn, either way round, instead of width and length. Default: "
        "a rectangle with an eave, a ridge and two rakes.",
    )
    hole: tuple[HoleEntry, ...] = Field(
        default=(), description="Parts that are not roofed. Default: none."
    )
    pitch: MaybePitch = Field(
        default=None,
        description='How steep it is, rise and run such as "4:12" or degrees such as "22.5 deg". '
        "Default: not said.",
    )
    in_plan: Flag = Field(
        default=False,
        description="Lengths up the slope (every y, length, a curb's along) are given in plan; "
        "needs pitch. Default false.",
    )
    lay: Lay = Field(
        default="left-to-right",
        description='Laying direction, "left-to-right" (default), "right-to-left", or "from": '
        "both ways from a line.",
    )
    start: MaybeLength = Field(
        default=None,
        alias="from",
        description="Where the line stands that it is laid from both ways, from the plane's left "
        'end, a length; goes with lay = "from". Default: none.',
    )
    low_end: Text = Field(
        default="left end", description='Name of the end at x = 0. Default "left end".'
    )
    high_end: Text = Field(
        default="right end", description='Name of the end at x = width. Default "right end".'
    )
    keepout: tuple[KeepoutEntry, ...] = Field(
        default=(), description="Where no moved pipe may stand. Default: nowhere."
    )
    survey: SurveyEntry | None = Field(
        default=None,
        description="What was taped of it, on the slope, where it should be a rectangle. "
        "Default: nothing.",
    )


class CentreEntry(Entry):
    """A place where the pattern should sit: a pan's middle or a rib on a point."""

    plane: Id = Field(description="The id of the plane it is on.")
    at: Length = Field(description="Where it is, from the plane's left end, a length.")
    on: Literal["pan", "rib"] = Field(
        description='What should stand there: the middle of a "pan", or a "rib".'
    )
    tol: MaybeGap = Field(
        default=None,
        description=f"How far off it may stand, a length. Default {said('centre_tol')}.",
    )
    must: Flag = Field(
        default=False, description="A layout that misses it is not allowed. Default false."
    )
    what: Text = Field(default="centre", description='What is there. Default "centre".')
