"""From what a case file says to what counts: every default filled in, every length in ticks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import isqrt
from typing import Final, Literal

from solver.case import (
    RATE_NAMES,
    Fitting,
    Freeze,
    Gridline,
    Join,
    Keepout,
    Link,
    Panel,
    Penetration,
    Plane,
    Rate,
    Rates,
    Rules,
    Status,
)
from solver.case_file.defaults import CREW_HOUR, LENGTHS, PLUMBER_HOUR, RATES
from solver.case_file.entries import CurbEntry, HeadEntry, LinkEntry, PipeEntry
from solver.case_file.entries_limits import MovesEntry, PanelEntry, RulesEntry
from solver.case_file.entries_outline import CentreEntry, PlaneEntry
from solver.case_file.entries_rates import RateEntry, RatesEntry
from solver.case_file.entries_sheets import FittingsEntry, FreezeEntry, GridlineEntry, JoinEntry
from solver.case_file.fittings import makeable
from solver.case_file.resolve_field import survey
from solver.case_file.resolve_outline import Shape
from solver.case_parts import EDGE_KINDS, Centre
from solver.shape.edges import ends_at
from solver.units import Units, round_half_away

Setting = Literal["new", "reroof"]
_BENDS: Final[tuple[tuple[Literal["22.5", "45", "60"], str], ...]] = (
    ("22.5", "bend_22"),
    ("45", "bend_45"),
    ("60", "bend_60"),
)


@dataclass(frozen=True, slots=True)
class Moves:
    """What [moves] says, in ticks."""

    step: int
    reach: int
    min_offset: int


def mark(entry: HeadEntry, units: Units) -> int:
    """The finest mark the crew works to."""
    return _or(entry.mark, LENGTHS[units]["mark"])


def panel(entry: PanelEntry, cover: int, units: Units) -> Panel:
    """The panel profile at one of its covers (ticks); each side of a seam overrides `seam_half`."""
    half = _or(entry.seam_half, LENGTHS[units]["seam_half"])
    return Panel(cover, _or(entry.seam_back, half), _or(entry.seam_fwd, half))


def rules(entry: RulesEntry, cover: int, units: Units) -> Rules:
    """The limits; `min_end` and `odd_min` follow the cover (ticks) where they are not given."""
    lengths = LENGTHS[units]
    third = round_half_away(Fraction(cover, 3))
    return Rules(
        min_end=_or(entry.min_end, min(max(third, lengths["least_min_end"]), cover)),
        work_gap=_or(entry.work_gap, lengths["work_gap"]),
        hole_gap=_or(entry.hole_gap, lengths["hole_gap"]),
        seamer_gap=_or(entry.seamer_gap, lengths["seamer_gap"]),
        end_lap=_or(entry.end_lap, lengths["end_lap"]),
        curb_side=_or(entry.curb_side, lengths["curb_side"]),
        edge_gap=_or(entry.edge_gap, lengths["edge_gap"]),
        spacing=_or(entry.spacing, lengths["spacing"]),
        flange=_or(entry.flange, lengths["flange"]),
        enough=_or(entry.enough, lengths["enough"]),
        uneven_free=_or(entry.uneven_free, lengths["uneven_free"]),
        meet_tol=_or(entry.meet_tol, lengths["meet_tol"]),
        forbid=entry.forbid,
        odd_panels=entry.odd_panels,
        odd_min=_or(entry.odd_min, round_half_away(Fraction(cover, 2))),
        cover_tol=_or(entry.cover_tol, lengths["cover_tol"]),
        remeasure=entry.remeasure,
        width_tol=_or(entry.width_tol, lengths["width_tol"]),
        robust=entry.robust,
        x_tol=x_tol(entry, units),
        odd_widths=entry.odd_widths,
        play=_or(entry.play, lengths["play"]),
        play_mark=_or(entry.play_mark, lengths["play_mark"]),
        min_piece=_or(entry.min_piece, lengths["min_piece"]),
        min_length=_or(entry.min_length, lengths["min_length"]),
        land_tol=_or(entry.land_tol, lengths["land_tol"]),
        dead_zone=_or(entry.dead_zone, lengths["dead_zone"]),
        split_below=_or(entry.split_below, lengths["split_below"]),
        setbacks=tuple(
            (kind, distance)
            for kind in EDGE_KINDS
            if (distance := getattr(entry.setback, kind)) is not None
        ),
    )


def x_tol(entry: RulesEntry, units: Units) -> int:
    """How far the place of a penetration that says nothing itself may be off (ticks)."""
    return _or(entry.x_tol, LENGTHS[units]["x_tol"])


def moves(entry: MovesEntry, units: Units) -> Moves:
    """How far pipes may be moved."""
    lengths = LENGTHS[units]
    return Moves(
        _or(entry.step, lengths["step"]),
        _or(entry.reach, lengths["reach"]),
        _or(entry.min_offset, lengths["min_offset"]),
    )


def rates(entry: RatesEntry) -> Rates:
    """The rates, and which of them are, wholly or in part, guesses of ours."""
    each: dict[str, Rate] = {}
    default = [
        name for name in ("crew_hour", "plumber_hour") if getattr(entry, name) is None
    ]
    for name in RATE_NAMES:
        own: RateEntry = getattr(entry, name)
        hours, material = RATES[name]
        each[name] = Rate(
            hours if own.hours is None else own.hours,
            material if own.material is None else own.material,
            given=own.hours is not None or own.material is not None,
        )
        if (own.hours is None or own.material is None) and name != "area":
            default.append(name)
    return Rates(
        CREW_HOUR if entry.crew_hour is None else entry.crew_hour,
        PLUMBER_HOUR if entry.plumber_hour is None else entry.plumber_hour,
        each,
        tuple(default),
    )


def plane(entry: PlaneEntry, shape: Shape) -> Plane:
    """One plane with its keep-outs; the entry's lengths are on the slope already."""
    keepouts = tuple(
        Keepout(keepout.x_from, keepout.x_to, keepout.y_from, keepout.y_to, keepout.what)
        for keepout in entry.keepout
    )
    return Plane(
        entry.id, entry.width, entry.length, entry.lay, entry.low_end, entry.high_end, keepouts,
        entry.start, shape.outline, shape.holes, entry.pitch, entry.in_plan,
        None if entry.survey is None else survey(entry.survey),
    )  # fmt: skip


def link(entry: LinkEntry, offset: int) -> Link:
    """One link; `offset` (ticks) is that given, or what follows from the edge they share."""
    along = entry.along or ""
    return Link(entry.planes, entry.how, offset, entry.stagger, entry.must, along)


def centre(entry: CentreEntry, units: Units) -> Centre:
    """One place where the pattern should sit."""
    tol = _or(entry.tol, LENGTHS[units]["centre_tol"])
    return Centre(entry.plane, entry.at, entry.on, tol, entry.must, entry.what)


def status(entry: PipeEntry | CurbEntry, setting: Setting) -> Status:
    """The status as it counts: fixed in a re-roof, where it is held, and for every curb."""
    if setting == "reroof" or entry.hold is not None or isinstance(entry, CurbEntry):
        return "fixed"
    return entry.status


def reaches(entry: PipeEntry | CurbEntry, moves: Moves, setting: Setting) -> tuple[int, int]:
    """Reach towards the low and the high end (ticks): its own side, else reach, else [moves]."""
    if status(entry, setting) == "fixed":
        return 0, 0
    either = _or(entry.reach, moves.reach)
    return _or(entry.reach_low, either), _or(entry.reach_high, either)


def min_offset(entry: PipeEntry | CurbEntry, moves: Moves, setting: Setting) -> int:
    """Least move (ticks): its own, else that of [moves]; 0 for whatever is not stubbed."""
    if status(entry, setting) != "stubbed":
        return 0
    return _or(entry.min_offset, moves.min_offset)


def gridline(entry: GridlineEntry) -> Gridline:
    """One grid line."""
    return Gridline(entry.id, entry.plane, entry.x)


def fittings(entries: Mapping[str, FittingsEntry]) -> tuple[Fitting, ...]:
    """Every elbow given: sizes in the order of the file, angles from small to large."""
    return tuple(
        Fitting(nominal, angle, centre_to_end)
        for nominal, entry in entries.items()
        for angle, key in _BENDS
        if (centre_to_end := getattr(entry, key)) is not None
    )


def join(entry: JoinEntry) -> Join:
    """One join; the part of its price that is not given is 0."""
    curb = entry.curb
    return Join(
        entry.id,
        entry.penetrations,
        entry.keeps,
        None if curb is None else (curb.x, curb.y, curb.across, curb.along),
        Decimal(0) if entry.hours is None else entry.hours,
        Decimal(0) if entry.material is None else entry.material,
    )


def freeze(entry: FreezeEntry) -> Freeze:
    """What is agreed, in the order of the file."""
    return Freeze(tuple(entry.first.items()), tuple(entry.move.items()))


def penetration(
    entry: PipeEntry | CurbEntry,
    rules: Rules,
    moves: Moves,
    setting: Setting,
    x_tol: int,
    fittings: tuple[Fitting, ...],
    plane: Plane,
) -> Penetration:
    """One penetration on `plane`; `makeable` is None for whatever is not stubbed.

    `x_tol` (ticks) is that of a penetration that gives none.
    """
    counts = status(entry, setting)
    reach_low, reach_high = reaches(entry, moves, setting)
    pipe, curb = (entry, None) if isinstance(entry, PipeEntry) else (None, entry)
    nominal, headroom = (pipe.nominal, pipe.headroom) if pipe else (None, None)
    most = max(reach_low, reach_high)
    return Penetration(
        id=entry.id,
        plane=entry.plane,
        kind=entry.kind,
        x=entry.x,
        y=entry.y,
        outside=pipe.outside if pipe else 0,
        base=base(pipe, rules.flange) if pipe else 0,
        across=curb.across if curb else 0,
        along=curb.along if curb else 0,
        status=counts,
        written_status=entry.status,
        hold=entry.hold,
        reach_low=reach_low,
        reach_high=reach_high,
        min_offset=min_offset(entry, moves, setting),
        forbid=rules.forbid if entry.forbid is None else entry.forbid,
        x_tol=_or(entry.x_tol, x_tol),
        nominal=nominal,
        use=pipe.use if pipe else None,
        headroom=headroom,
        makeable=makeable(fittings, nominal, headroom, most) if counts == "stubbed" else None,
        detail=curb.detail if curb else "flange",
        must_land=curb.must_land if curb else False,
        ends=ends_at(plane, entry.x, entry.y) if plane.outline else None,
        height=entry.height,
        before=entry.before,
        allows=entry.allows,
    )


def base(pipe: PipeEntry, flange: int) -> int:
    """The width of a pipe's flashing along the eave (ticks).

    A square base turned 45 degrees is as wide as its diagonal, side times the square root of 2,
    rounded up to a tick so that it is never taken narrower than it is.
    """
    side = _or(pipe.base, pipe.outside + 2 * flange)
    return isqrt(2 * side * side - 1) + 1 if pipe.turned else side


def _or(given: int | None, default: int) -> int:
    return default if given is None else given
