"""The shape of a case file, table by table: what may be written, in which unit, with which default.

Each table and each element of a list has its own model, so that `solver.load` can read them one by
one and report the problems of all. Lengths are ticks once read, None where the file says nothing.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solver.case import Lay, Status
from solver.defaults import said
from solver.entries_limits import Entry, MovesEntry, PanelEntry, RatesEntry, RulesEntry
from solver.entries_sheets import FittingsEntry, FreezeEntry, GridlineEntry, JoinEntry
from solver.entry_texts import Date, Id, MaybeNominal, MaybeText, Revision, Text
from solver.entry_values import (
    Flag,
    Length,
    MaybeGap,
    MaybeLength,
    MaybeSize,
    MaybeStates,
    Pair,
    Size,
)
from solver.units import Units


class HeadEntry(Entry):
    """The keys that stand before the first table."""

    title: Text = Field(description="What the roof is called in reports.")
    units: Units = Field(
        description='Unit of every bare number in the case: "in" (inches) or "mm" (millimetres).'
    )
    setting: Literal["new", "reroof"] = Field(
        default="new", description='"new" (default) or "reroof", where every penetration is fixed.'
    )
    mark: MaybeSize = Field(
        default=None,
        description=f"Finest mark the crew works to, a length. Default {said('mark')}.",
    )
    penetrations_csv: MaybeText = Field(
        default=None,
        description="A CSV file beside the case with more penetrations, one a row, its columns "
        "named as the keys of [[penetration]]. Default: none.",
    )
    revision: Revision = Field(
        default="", description="The revision that sheets show, a text. Default: none."
    )
    date: Date = Field(default="", description="The date that sheets show. Default: none.")


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
    """One roof plane, seen from outside, looking up the slope."""

    id: Id = Field(description="The plane's id, unique among planes.")
    width: Size = Field(description="Width along the eave, a length.")
    length: Size = Field(description="Length up the slope, measured on the slope, a length.")
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


class LinkEntry(Entry):
    """Two planes whose seams should meet."""

    planes: Pair = Field(description="The ids of the two planes.")
    how: Literal["mirror", "same"] = Field(
        description='"mirror" for the two slopes of a ridge, "same" for planes one above the other.'
    )
    offset: Length = Field(
        default=0,
        description="Shift of the second plane's seams, a length of either sign. Default 0.",
    )
    stagger: Flag = Field(
        default=False, description="Seams should stand half a cover apart instead. Default false."
    )
    must: Flag = Field(
        default=False, description="A layout that misses this link is not allowed. Default false."
    )


class PenetrationEntry(Entry):
    """What pipes and curbs have in common."""

    id: Id = Field(description="The penetration's id, unique among penetrations.")
    plane: Id = Field(description="The id of the plane it stands on.")
    kind: Literal["pipe", "curb"] = Field(description='"pipe" (round) or "curb" (rectangular).')
    x: Length = Field(description="Centre from the plane's left end along the eave, a length.")
    y: Length = Field(description="Centre from the eave line up the slope, a length.")
    status: Status = Field(
        default="fixed",
        description='"fixed" (default), "stubbed" (roughed in below the deck) or "planned" '
        "(only on drawings).",
    )
    hold: MaybeText = Field(
        default=None, description="Why it must stay where it is. Default: no reason, it may move."
    )
    reach: MaybeGap = Field(
        default=None,
        description="How far it may move either way, a length. Default: reach of [moves]."
    )
    reach_low: MaybeGap = Field(
        default=None, description="How far towards the low end, a length. Default: its reach."
    )
    reach_high: MaybeGap = Field(
        default=None, description="How far towards the high end, a length. Default: its reach."
    )
    min_offset: MaybeGap = Field(
        default=None,
        description="Least move of a stubbed pipe, a length. Default: min_offset of [moves].",
    )
    forbid: MaybeStates = Field(
        default=None,
        description="States it may not be in; counts instead of the forbid of [rules]. "
        "Default: forbid of [rules].",
    )
    x_tol: MaybeGap = Field(
        default=None,
        description="How far its measured place along the eave may be off, a length. "
        "Default: x_tol of [rules].",
    )


class PipeEntry(PenetrationEntry):
    """A round penetration."""

    kind: Literal["pipe"] = Field(description='"pipe": round.')
    outside: Size = Field(description="Outside diameter of the body, a length.")
    base: MaybeSize = Field(
        default=None,
        description="Width of the flashing's base, a length. Default: outside and the flange of "
        "[rules] on each side.",
    )
    turned: Flag = Field(
        default=False,
        description="The base is square and turned 45 degrees to the fall. Default false.",
    )
    nominal: MaybeNominal = Field(
        default=None, description="Nominal size, as [fittings] names it. Default: none."
    )
    use: MaybeText = Field(
        default=None, description='What it serves, such as "vent" or "drain". Default: none.'
    )
    headroom: MaybeGap = Field(
        default=None,
        description="Height free below the deck for an offset, a length. Default: no limit.",
    )


class CurbEntry(PenetrationEntry):
    """A rectangular upstand, sides parallel to the seams."""

    kind: Literal["curb"] = Field(description='"curb": rectangular.')
    across: Size = Field(description="Width along the eave, a length.")
    along: Size = Field(description="Length up the slope, a length.")


class CaseEntry(HeadEntry):
    """A whole case file."""

    panel: PanelEntry = Field(description="The panel profile.")
    rules: RulesEntry = Field(
        default_factory=RulesEntry, description="The limits that a layout keeps."
    )
    moves: MovesEntry = Field(
        default_factory=MovesEntry, description="How far pipes may be moved along the eave."
    )
    rates: RatesEntry = Field(
        default_factory=RatesEntry, description="The estimator's rates; defaults are guesses."
    )
    plane: tuple[PlaneEntry, ...] = Field(
        min_length=1, description="The roof planes, at least one."
    )
    link: tuple[LinkEntry, ...] = Field(
        default=(), description="Pairs of planes whose seams should meet. Default: none."
    )
    penetration: tuple[Annotated[PipeEntry | CurbEntry, Field(discriminator="kind")], ...] = Field(
        default=(), description="The penetrations. Default: none beside those of penetrations_csv."
    )
    gridline: tuple[GridlineEntry, ...] = Field(
        default=(), description="Grid lines of the building, plane by plane. Default: none."
    )
    fittings: dict[str, FittingsEntry] = Field(
        default_factory=dict, description="Elbows by nominal size of pipe. Default: none."
    )
    join: tuple[JoinEntry, ...] = Field(
        default=(), description="Penetrations that could become one. Default: none."
    )
    freeze: FreezeEntry = Field(
        default_factory=FreezeEntry, description="What is already agreed. Default: nothing."
    )
