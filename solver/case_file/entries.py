"""The shape of a case file, table by table: what may be written, in which unit, with which default.

Each table and each element of a list has its own model, so that `solver.case_file.load` can read
them one by one and report the problems of all. Lengths are ticks once read, None where the file
says nothing.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import Field, PlainValidator, WithJsonSchema

from solver.case import Status
from solver.case_file.defaults import said
from solver.case_file.entries_field import FieldEntry, MovementEntry
from solver.case_file.entries_limits import Entry, MovesEntry, PanelEntry, RulesEntry
from solver.case_file.entries_outline import CentreEntry, PlaneEntry
from solver.case_file.entries_rates import RatesEntry
from solver.case_file.entries_sheet import PricesEntry, SheetEntry
from solver.case_file.entries_sheets import FittingsEntry, FreezeEntry, GridlineEntry, JoinEntry
from solver.case_file.entry_texts import Date, Id, MaybeNominal, MaybeText, Revision, Text
from solver.case_file.entry_values import (
    Flag,
    Length,
    MaybeFlag,
    MaybeGap,
    MaybeSize,
    MaybeStates,
    Pair,
    Size,
    one_of,
)
from solver.case_parts import Detail
from solver.units import Units

ALONG: Final = ("ridge", "hip", "valley")


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


Along = Literal["ridge", "hip", "valley"]
MaybeAlong = Annotated[
    Along | None,
    PlainValidator(one_of(*ALONG)),
    WithJsonSchema({"enum": list(ALONG)}),
]


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
    along: MaybeAlong = Field(
        default=None,
        description='The edge the two planes share, "ridge", "hip" or "valley"; the offset then '
        "follows from their outlines. Of two pairs of hips (valleys) that run equally far, it is "
        "the right one of the first plane and the left one of the second. Default: none said.",
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
    height: MaybeGap = Field(
        default=None, description="How far it stands out of the roof, a length. Default: not said."
    )
    before: MaybeFlag = Field(
        default=None,
        description="It stands there before the panels go on. Default: not said.",
    )
    allows: MaybeGap = Field(
        default=None,
        description="How far its flashing lets the panel move either way, a length. "
        "Default: not said.",
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
    detail: Detail = Field(
        default="flange",
        description='How it is built in: "flange" (default), "ribbed" (it carries ribs of its '
        'own, on which seams land) or "close" (a seam as near as it goes).',
    )
    must_land: Flag = Field(
        default=False,
        description="A layout without a seam on both walls is not allowed; for a ribbed curb "
        "only. Default false.",
    )


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
    centre: tuple[CentreEntry, ...] = Field(
        default=(), description="Where the pattern should sit. Default: nowhere in particular."
    )
    sheet: SheetEntry = Field(
        default_factory=SheetEntry, description="What panels are made of and how they are cut."
    )
    prices: PricesEntry = Field(
        default_factory=PricesEntry, description="Prices of the take-off; defaults are guesses."
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
    field: FieldEntry = Field(
        default_factory=FieldEntry, description="What the crew's sheet goes by."
    )
    movement: MovementEntry = Field(
        default_factory=MovementEntry,
        description="How much warmer and colder the metal gets, and where panels are fixed. "
        "Default: not looked at.",
    )
