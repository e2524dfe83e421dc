"""End laps of panels longer than can be made: as few as will do, equal lengths, clear of flashings.

A lap keeps `lap` away from the flashing of whatever stands in the panel or notches it, and out of
its slanting end cuts, where lengths up to `max_length` allow it. Exact fractions of ticks.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from solver.case import Penetration
from solver.case_parts import Sheet
from solver.panels.parts import Lap, PanelPiece
from solver.result import JudgedPenetration

Placed = tuple[Penetration, JudgedPenetration]
_ROW = 6
_NEVER = (10**9, Fraction(0), Fraction(0))


@dataclass(frozen=True, slots=True)
class _Keep:
    """A stretch in which no lap should begin: its open ends, and who asks for it."""

    low: Fraction
    high: Fraction
    about: str

    def holds(self, at: Fraction) -> bool:
        return self.low < at < self.high


def lengths_needed(length: Fraction, longest: int, lap: int) -> int:
    """How many lengths no longer than `longest` a panel of `length` takes, each joint lapped."""
    if length <= longest or longest <= lap:
        return 1
    return -(-(length - lap) // (longest - lap))


def lapped(
    piece: PanelPiece, sheet: Sheet, placed: Sequence[Placed], holes: Sequence[str] = ()
) -> PanelPiece:
    """The piece with its end laps, where it is longer than `max_length`; else as it is.

    `placed` are the penetrations of its plane, `holes` the names of the plane's holes.
    """
    if sheet.max_length is None:
        return piece
    count = lengths_needed(piece.length, sheet.max_length, sheet.lap)
    if count == 1:
        return piece
    lap = sheet.lap
    each = (piece.length + (count - 1) * lap) / count
    equal = [piece.bottom + k * (each - lap) for k in range(1, count)]
    keeps = [
        *_flashings(piece, lap, placed), *_walls(piece, lap, holes), *_bevels(piece, lap)
    ]
    starts = _settle(piece, equal, keeps, sheet.max_length, lap)
    laps = tuple(
        Lap(
            at, at - even,
            tuple(dict.fromkeys(k.about for k in keeps if k.about and k.holds(at))),
            any(not k.about and k.holds(at) for k in keeps),
        )
        for at, even in zip(starts, equal, strict=True)
    )
    lows, highs = [piece.bottom, *starts], [*(at + lap for at in starts), piece.top]
    lengths = tuple(high - low for low, high in zip(lows, highs, strict=True))
    return replace(piece, laps=laps, lengths=lengths)


def _flashings(piece: PanelPiece, lap: int, placed: Sequence[Placed]) -> list[_Keep]:
    """Where a lap would be nearer than `lap` to a boot's flashing or to a curb in this panel."""
    found = []
    for pen, stands in placed:
        across, along = (pen.across, pen.along) if pen.kind == "curb" else (pen.base, pen.base)
        if 2 * stands.x + across <= 2 * piece.low or 2 * stands.x - across >= 2 * piece.high:
            continue
        low, high = pen.y - Fraction(along, 2), pen.y + Fraction(along, 2)
        if high < piece.y_low or low > piece.y_high:
            continue
        found.append(_Keep(low - 2 * lap, high + lap, pen.id))
    return found


def _walls(piece: PanelPiece, lap: int, holes: Sequence[str]) -> list[_Keep]:
    """Where a lap would be nearer than `lap` to a hole that this panel is cut out for."""
    return [
        _Keep(notch.low - 2 * lap, notch.high + lap, notch.name)
        for notch in piece.notches if notch.name in holes
    ]


def _bevels(piece: PanelPiece, lap: int) -> list[_Keep]:
    """Where a lap would run into a slanting end cut."""
    low = max(max(cut.left[1], cut.right[1]) for cut in piece.lower)
    high = max(max(cut.left[1], cut.right[1]) for cut in piece.upper)
    keeps = []
    if low:
        keeps.append(_Keep(piece.bottom - lap, piece.bottom + low, ""))
    if high:
        keeps.append(_Keep(piece.top - high - lap, piece.top, ""))
    return keeps


def _settle(
    piece: PanelPiece, equal: Sequence[Fraction], keeps: Sequence[_Keep], longest: int, lap: int
) -> list[Fraction]:
    """Where the laps begin: fewest in a stretch to keep out of, then the least shift in all.

    Equal lengths are always possible, so something is found. Shifting stops either at the end of a
    stretch to keep out of, or where a length, or a row of them from there, is as long as can be
    (of at most `_ROW` of them); those places are all that need looking at.
    """
    if not any(keep.holds(at) for keep in keeps for at in equal):
        return list(equal)
    step, each = longest - lap, equal[0] - piece.bottom
    ends = [at for keep in keeps for at in (keep.low, keep.high)]
    roots = [piece.bottom, piece.top - lap, *ends]
    rows = range(-_ROW, _ROW + 1)
    places = sorted({*equal, *ends, *(root + k * step for root in roots for k in rows)})
    places = [at for at in places if piece.bottom < at < piece.top - lap]
    best: dict[Fraction, tuple[tuple[int, Fraction, Fraction], list[Fraction]]] = {
        piece.bottom: ((0, Fraction(0), Fraction(0)), [])
    }
    for even in equal:
        now = {}
        for at in places[bisect_left(places, even - each) : bisect_right(places, even + each)]:
            own = (sum(keep.holds(at) for keep in keeps), abs(at - even))
            found = min(
                (
                    ((cost[0] + own[0], cost[1] + own[1], max(cost[2], own[1])), row)
                    for before, (cost, row) in best.items()
                    if before + lap <= at and at + lap - before <= longest
                ),
                default=(_NEVER, []),
            )
            if found[0] != _NEVER:
                now[at] = (found[0], [*found[1], at])
        best = now
    fits = [entry for at, entry in best.items() if piece.top - at <= longest]
    return min(fits)[1]
