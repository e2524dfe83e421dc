"""From what a case file says to what counts: every default filled in, every length in ticks."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt
from typing import Literal

from solver.case import (
    RATE_NAMES,
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
from solver.defaults import CREW_HOUR, LENGTHS, PLUMBER_HOUR, RATES
from solver.entries import CurbEntry, HeadEntry, LinkEntry, PipeEntry, PlaneEntry
from solver.entries_limits import MovesEntry, PanelEntry, RateEntry, RatesEntry, RulesEntry
from solver.units import Units, round_half_away

Setting = Literal["new", "reroof"]


@dataclass(frozen=True, slots=True)
class Moves:
    """What [moves] says, in ticks."""

    step: int
    reach: int
    min_offset: int


def mark(entry: HeadEntry, units: Units) -> int:
    """The finest mark the crew works to."""
    return _or(entry.mark, LENGTHS[units]["mark"])


def panel(entry: PanelEntry, units: Units) -> Panel:
    """The panel profile; each side of a seam overrides `seam_half`."""
    half = _or(entry.seam_half, LENGTHS[units]["seam_half"])
    return Panel(entry.cover, _or(entry.seam_back, half), _or(entry.seam_fwd, half))


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
    )


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
        if own.hours is None or own.material is None:
            default.append(name)
    return Rates(
        CREW_HOUR if entry.crew_hour is None else entry.crew_hour,
        PLUMBER_HOUR if entry.plumber_hour is None else entry.plumber_hour,
        each,
        tuple(default),
    )


def plane(entry: PlaneEntry) -> Plane:
    """One plane with its keep-outs."""
    keepouts = tuple(
        Keepout(keepout.x_from, keepout.x_to, keepout.y_from, keepout.y_to, keepout.what)
        for keepout in entry.keepout
    )
    return Plane(
        entry.id, entry.width, entry.length, entry.lay, entry.low_end, entry.high_end, keepouts
    )


def link(entry: LinkEntry) -> Link:
    """One link."""
    return Link(entry.planes, entry.how, entry.offset, entry.stagger, entry.must)


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


def penetration(
    entry: PipeEntry | CurbEntry, rules: Rules, moves: Moves, setting: Setting
) -> Penetration:
    """One penetration; `min_offset` is 0 for whatever is not stubbed."""
    counts = status(entry, setting)
    reach_low, reach_high = reaches(entry, moves, setting)
    pipe, curb = (entry, None) if isinstance(entry, PipeEntry) else (None, entry)
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
        min_offset=_or(entry.min_offset, moves.min_offset) if counts == "stubbed" else 0,
        forbid=rules.forbid if entry.forbid is None else entry.forbid,
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
