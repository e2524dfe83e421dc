"""The shape of a case file's tables of limits: [panel], [rules], [moves]."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from solver.case_file.defaults import REMEASURE, said
from solver.case_file.entry_values import (
    Count,
    Covers,
    Flag,
    MaybeGap,
    MaybeSize,
    Panels,
    States,
    Widths,
)


def _without_null_defaults(schema: dict[str, Any]) -> None:
    # A key with nothing to say is left out of the file, never written as null.
    for field in schema.get("properties", {}).values():
        if field.get("default", ...) is None:
            del field["default"]


class Entry(BaseModel):
    """A table of the case file: frozen, unknown keys refused, no value coerced."""

    # Built at first use: a start that reads no case does not pay for it.
    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        defer_build=True,
        json_schema_extra=_without_null_defaults,
    )


class PanelEntry(Entry):
    """The panel profile."""

    cover: Covers = Field(
        description="Coverage width of a full panel, seam centre to seam centre, a length; or a "
        "list of up to 12 of them, to compare."
    )
    seam_half: MaybeGap = Field(
        default=None,
        description="What a seam takes of the flat on either side, a length. "
        f"Default {said('seam_half')}.",
    )
    seam_back: MaybeGap = Field(
        default=None,
        description="The same on the side laid before the seam, a length. Default: seam_half.",
    )
    seam_fwd: MaybeGap = Field(
        default=None,
        description="The same on the side laid after the seam, a length. Default: seam_half.",
    )


class SetbackEntry(Entry):
    """How far penetrations should stay from edges of each kind; a shortfall is only told."""

    eave: MaybeGap = Field(default=None, description="From an eave, a length. Default: none.")
    ridge: MaybeGap = Field(default=None, description="From a ridge, a length. Default: none.")
    rake: MaybeGap = Field(default=None, description="From a rake, a length. Default: none.")
    hip: MaybeGap = Field(default=None, description="From a hip, a length. Default: none.")
    valley: MaybeGap = Field(default=None, description="From a valley, a length. Default: none.")
    wall: MaybeGap = Field(default=None, description="From a wall, a length. Default: none.")


class RulesEntry(Entry):
    """The limits that a layout keeps."""

    min_end: MaybeGap = Field(
        default=None,
        description="Least width of the first and the last panel, a length. Default: a third of "
        f"the cover, at least {said('least_min_end')}, at most the cover.",
    )
    work_gap: MaybeGap = Field(
        default=None,
        description="Clear flat between a flashing's base and a seam, a length. "
        f"Default {said('work_gap')}.",
    )
    hole_gap: MaybeGap = Field(
        default=None,
        description="Clear flat between a pipe's body and a seam below which the pan is spliced, "
        f"a length. Default {said('hole_gap')}.",
    )
    seamer_gap: MaybeGap = Field(
        default=None,
        description="Clear width the seaming machine needs beside a pipe's body, a length. "
        f"Default {said('seamer_gap')}.",
    )
    end_lap: MaybeGap = Field(
        default=None,
        description="What turn-up, closure and trim take at an end of the plane, a length. "
        f"Default {said('end_lap')}.",
    )
    curb_side: MaybeGap = Field(
        default=None,
        description="Flat between a curb and the next seam it does not cut, a length. "
        f"Default {said('curb_side')}.",
    )
    edge_gap: MaybeGap = Field(
        default=None,
        description="Least distance of a moved pipe's body from an end of the plane, a length. "
        f"Default {said('edge_gap')}.",
    )
    spacing: MaybeGap = Field(
        default=None,
        description="Clear distance of a moved pipe from every other penetration, body to body, "
        f"a length. Default {said('spacing')}.",
    )
    flange: MaybeGap = Field(
        default=None,
        description="What a flashing's base adds to a pipe on each side where the pipe gives no "
        f"base, a length. Default {said('flange')}.",
    )
    enough: MaybeGap = Field(
        default=None,
        description=f"A margin beyond which more is no better, a length. Default {said('enough')}.",
    )
    uneven_free: MaybeGap = Field(
        default=None,
        description="Difference of first and last width that costs nothing, a length. "
        f"Default {said('uneven_free')}.",
    )
    meet_tol: MaybeGap = Field(
        default=None,
        description="How far linked seams may miss each other and still meet, a length. "
        f"Default {said('meet_tol')}.",
    )
    forbid: States = Field(
        default=(), description="States that no penetration may be in. Default: none."
    )
    odd_panels: Count = Field(
        default=0,
        description="How many panels of other width one plane may have, a count. Default 0.",
    )
    odd_min: MaybeSize = Field(
        default=None,
        description="Least width of a panel of other width, a length, at most the cover. "
        "Default: half the cover.",
    )
    odd_widths: Widths = Field(
        default=(),
        description="The only widths a panel of other width may have, where none can be rolled on "
        "site: a list of lengths below the cover; odd_min then does not count. Default: any whole "
        "mark from odd_min to a mark below the cover.",
    )
    play: MaybeGap = Field(
        default=None,
        description="How much wider or narrower than the cover the full panels between two "
        "control lines may be laid, a length below half the cover. "
        f"Default {said('play')}.",
    )
    play_mark: MaybeSize = Field(
        default=None,
        description="Panels are spread or squeezed by whole numbers of this, a length. "
        f"Default {said('play_mark')}.",
    )
    cover_tol: MaybeGap = Field(
        default=None,
        description="How far each panel's real cover may be off, a length. "
        f"Default {said('cover_tol')}.",
    )
    remeasure: Panels = Field(
        default=REMEASURE,
        description="Panels laid between returns to a control line, a count of 1 or more. "
        f"Default {REMEASURE}.",
    )
    width_tol: MaybeGap = Field(
        default=None,
        description="How far a plane's width may be off, a length. "
        f"Default {said('width_tol')}.",
    )
    x_tol: MaybeGap = Field(
        default=None,
        description="How far the measured place along the eave of a penetration that says "
        f"nothing itself may be off, a length. Default {said('x_tol')}.",
    )
    robust: Flag = Field(
        default=False,
        description="States are judged by the room left after the worst shift. Default false.",
    )
    min_piece: MaybeGap = Field(
        default=None,
        description="Least width, at its widest, of any piece of a panel on a plane with an "
        f"outline, a length. Default {said('min_piece')}.",
    )
    min_length: MaybeGap = Field(
        default=None,
        description="Least length of any piece of a panel on a plane with an outline, a length. "
        f"Default {said('min_length')}.",
    )
    land_tol: MaybeGap = Field(
        default=None,
        description="How far a seam may be off the wall of a ribbed curb and still land on it, a "
        f"length. Default {said('land_tol')}.",
    )
    dead_zone: MaybeGap = Field(
        default=None,
        description="How far above a curb no pipe should stand, a length; a pipe there is only "
        f"told. Default {said('dead_zone')}.",
    )
    split_below: MaybeGap = Field(
        default=None,
        description="How far the splice of a split pan reaches below its pipe, a length. "
        f"Default {said('split_below')}.",
    )
    setback: SetbackEntry = Field(
        default_factory=SetbackEntry,
        description="How far penetrations should stay from edges of each kind; a shortfall is "
        "only told. Default: not looked at.",
    )


class MovesEntry(Entry):
    """How far pipes may be moved along the eave."""

    step: MaybeSize = Field(
        default=None,
        description=f"A move is a whole number of steps, a length. Default {said('step')}."
    )
    reach: MaybeGap = Field(
        default=None,
        description="Reach of every pipe that gives none, a length. "
        f"Default {said('reach')}.",
    )
    min_offset: MaybeGap = Field(
        default=None,
        description="Least move of every stubbed pipe that gives none, a length. "
        f"Default {said('min_offset')}.",
    )
