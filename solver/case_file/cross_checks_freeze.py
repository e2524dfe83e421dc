"""What [freeze] says is agreed must be something that the rules of the case allow at all.

First widths are held against the end rule in `solver.case_file.cross_checks_firsts`, moves here
against the limits of the pipe itself. Whether agreed things get in each other's way, or in a
keep-out's, only solving shows.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass
from functools import partial

from solver.case import Fitting
from solver.case_file import cross_checks_firsts, resolve
from solver.case_file.cross_checks import MOST_MOVES
from solver.case_file.cross_checks_sheets import no_penetration, penetration_ids
from solver.case_file.entries import CurbEntry, PipeEntry
from solver.case_file.fittings import makeable
from solver.case_file.load_report import Report, length_said, listed, printable, shown
from solver.case_file.readings import AnyPenetration, Readings
from solver.units import Units


def check(readings: Readings, units: Units | None, report: Report) -> None:
    """Note every agreed first width and move that cannot be."""
    cross_checks_firsts.check(readings, units, report)
    _check_moves(readings, units, report)


@dataclass(frozen=True, slots=True)
class _MoveRule:
    """What makes a move of one penetration possible, whatever else stands on the roof (ticks)."""

    stays: str  # why it cannot move at all, or ""
    nominal: str
    reach_low: int
    reach_high: int
    step: int
    min_offset: int
    makeable: tuple[tuple[int, int], ...] | None
    units: Units

    def faults(self, move: int) -> Iterator[str]:
        """What is wrong with a move (signed ticks); nothing where it is possible."""
        if move == 0:
            return
        if self.stays:
            yield self.stays
            return
        if move % self.step:
            yield f"it is no whole number of steps of {self._say(self.step)}"
        reach, towards = (
            (self.reach_high, "larger") if move > 0 else (self.reach_low, "smaller")
        )
        if abs(move) > reach:
            yield f"it is beyond its reach of {self._say(reach)} towards {towards} x"
        if abs(move) < self.min_offset:
            yield f"it is below its min_offset of {self._say(self.min_offset)}"
        spans = self.makeable
        if spans is not None and not any(low <= abs(move) <= high for low, high in spans):
            size = f"two equal fittings of size {printable(self.nominal)}"
            can = [
                f"{length_said(low, self.units, 'up')} to {length_said(high, self.units, 'down')}"
                for low, high in spans
            ]
            yield (
                f"{size} make offsets of {listed(can)} only" if can
                else f"{size} make no offset within its reach and headroom"
            )

    def want(self, move: int) -> str:
        """The problem of a move that is not possible, with the nearest one that is."""
        faults = listed(self.faults(move))
        if self.stays:
            return f"{faults}; write 0"
        least, most = -(self.reach_low // self.step), self.reach_high // self.step
        if most - least > MOST_MOVES:
            return faults  # the step is told already
        steps = (count * self.step for count in range(least, most + 1))
        best = min(
            (step for step in steps if step and not any(self.faults(step))),
            key=lambda step: (abs(step - move), step),
            default=None,
        )
        if best is None:
            return f"{faults}; it can only stay, write 0"
        return f"{faults}; the nearest possible move is {self._say(best)}"

    def _say(self, ticks: int) -> str:
        return length_said(ticks, self.units)


def _check_moves(readings: Readings, units: Units | None, report: Report) -> None:
    frozen = readings.freeze
    moves = frozen.entry.move if frozen.entry else {}
    known = penetration_ids(readings) if moves else {}
    rules = _move_rules(readings, moves, units) if moves and units else {}
    for name, move in moves.items():
        got = shown(frozen.element.table["move"][name])
        if name not in known:
            if readings.complete:
                want = partial(no_penetration, name, known)
                report.add(frozen.element, f"move.{name}", want, got)
        elif (rule := rules.get(name)) and any(rule.faults(move)):
            report.add(frozen.element, f"move.{name}", partial(rule.want, move), got)


def _move_rules(
    readings: Readings, names: Container[str], units: Units
) -> dict[str, _MoveRule]:
    """The limits of each of these that could be read, if the case says them well enough."""
    head, moves_entry = readings.head.entry, readings.moves.entry
    if not (head and moves_entry):
        return {}
    moves = resolve.moves(moves_entry, units)
    unread = {nominal for nominal, read in readings.fittings.items() if read.entry is None}
    fittings = resolve.fittings(
        {nominal: read.entry for nominal, read in readings.fittings.items() if read.entry}
    )
    return {
        read.entry.id: _move_rule(read.entry, head.setting, moves, fittings, units)
        for read in readings.penetrations
        if read.entry
        and read.entry.id in names
        and not (isinstance(read.entry, PipeEntry) and read.entry.nominal in unread)
    }


def _move_rule(
    entry: AnyPenetration,
    setting: resolve.Setting,
    moves: resolve.Moves,
    fittings: tuple[Fitting, ...],
    units: Units,
) -> _MoveRule:
    low, high = resolve.reaches(entry, moves, setting)
    stubbed = resolve.status(entry, setting) == "stubbed"
    nominal = entry.nominal if isinstance(entry, PipeEntry) else None
    headroom = entry.headroom if isinstance(entry, PipeEntry) else None
    return _MoveRule(
        stays=_why_it_stays(entry, setting),
        nominal=nominal or "",
        reach_low=low,
        reach_high=high,
        step=moves.step,
        min_offset=resolve.min_offset(entry, moves, setting),
        makeable=makeable(fittings, nominal, headroom, max(low, high)) if stubbed else None,
        units=units,
    )


def _why_it_stays(entry: AnyPenetration, setting: resolve.Setting) -> str:
    if resolve.status(entry, setting) != "fixed":
        return ""
    if isinstance(entry, CurbEntry):
        return "a curb does not move"
    if setting == "reroof":
        return "in a re-roof nothing moves"
    if entry.hold is not None:
        return f"it is held where it is ({printable(entry.hold)})"
    return "it is fixed"
