"""The same shifts drawn at random: how likely each penetration stays clear, and what it may cost.

What is assumed: every panel's cover is off by anything between -`cover_tol` and +`cover_tol`, every
plane's width within ± `width_tol`, every penetration's position within ± its `x_tol`, each evenly
spread over its range and each on its own. Where nothing but a limit is known, even spread is what
the guide to measurement uncertainty takes (JCGM 100:2008, 4.3.7: variance a²/3; from memory).
Panel errors add up since the last control line, which is exact, as in `solver.risk.creep`. An odd
panel and one of changed module err as any other.

All layouts are held against the same draws, so that their differences are not chance. Plain state
rules are applied to each draw; `robust` is a way to plan, not how a roof comes out. Lengths are
ticks, in floating point here: a probability does not hang on the last tick. Money is cents.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from solver.case import CURB_STATES, PIPE_STATES, Case, Penetration, Plane, State, ends_of
from solver.clock import Clock
from solver.findings.seam_order import at_height, panels_from_first, sides
from solver.result import Judged, JudgedPlane
from solver.risk.chance_states import Floats, curb_draws, pipe_draws

SAMPLES: Final = 4000
SEED: Final = 1
MOST_SAMPLES: Final = 1_000_000
_ROOM: Final = 1_500_000
"""So many numbers are held at a time for the panels of all planes: about 12 MB an array."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Extra cost over all draws (cents). `mean` is rounded halves up; the others occurred.

    `p10` is the least cost that at least a tenth of the draws do not exceed; so on.
    """

    mean: int
    p10: int
    p50: int
    p90: int


@dataclass(frozen=True, slots=True)
class PenetrationChance:
    """In how many draws a penetration came out in each state, and in that without any error."""

    id: str
    planned: State
    draws: dict[str, int]

    @property
    def stays(self) -> int:
        """Draws in which it came out as planned."""
        return self.draws[self.planned]


@dataclass(frozen=True, slots=True)
class LayoutChance:
    """A layout over all draws. `all_clear`: draws in which all that are clear stay clear."""

    samples: int
    spread: Spread
    all_clear: int
    penetrations: tuple[PenetrationChance, ...]


def layout_chances(
    case: Case, layouts: Sequence[Judged], samples: int, seed: int, clock: Clock | None = None
) -> list[LayoutChance]:
    """Hold layouts against the same `samples` random draws, reproducible by `seed`.

    Memory is bounded: draws are made in parts, and the parts do not change the result. Where the
    clock runs out the draws made so far count (`LayoutChance.samples`), none at least: then the
    list is empty.
    """
    draws = _Draws(case, layouts, seed)
    tallies = [_Tally(case, judged) for judged in layouts]
    widest = sum(draws.panels) + len(case.penetrations) + len(case.planes)
    part = max(1, _ROOM // max(widest, 1))
    done = 0
    while done < samples and not (clock and clock.over()):
        if clock is not None:
            clock.say(f"{done:,} of {samples:,} draws")
        rows = min(part, samples - done)
        draws.make(rows)
        for tally in tallies:
            tally.add(draws)
        done += rows
    return [tally.result() for tally in tallies] if done else []


class _Draws:
    """One part of the draws: unit errors for panels, widths and positions, each from its own
    stream, so that how they are cut into parts makes no difference."""

    def __init__(self, case: Case, layouts: Sequence[Judged], seed: int) -> None:
        self.case = case
        # Seams on from the first laid one: in the only direction, or towards the high and low end.
        self.runs = [
            [max((run[p] for run in runs), default=0) for p in range(len(case.planes))]
            for runs in zip(*(_run_lengths(case, judged) for judged in layouts), strict=True)
        ] or [[0] * len(case.planes)] * 2
        self.panels = [sum(both) for both in zip(*self.runs, strict=True)]
        streams = np.random.SeedSequence(seed).spawn(len(case.planes) + 2)
        self._streams = [np.random.Generator(np.random.PCG64(one)) for one in streams]
        self.creep: list[Floats] = []
        self.width = np.zeros((0, 0))
        self.position = np.zeros((0, 0))

    def make(self, rows: int) -> None:
        """Draw `rows` times."""
        rules = self.case.rules
        of_width, of_position, *of_panels = self._streams
        self.width = _even(of_width, rows, len(self.case.planes)) * rules.width_tol
        tolerances = np.array([pen.x_tol for pen in self.case.penetrations], dtype=np.float64)
        self.position = _even(of_position, rows, len(tolerances)) * tolerances
        self.creep = []
        for stream, up, down in zip(of_panels, *self.runs, strict=True):
            if not rules.cover_tol:
                self.creep.append(np.zeros((rows, up + down + 1)))
                continue
            errors = _even(stream, rows, up + down) * rules.cover_tol
            one, other = (crept(part, rules.remeasure) for part in (errors[:, :up], errors[:, up:]))
            # Column k is the seam k panels on, column -k the seam as far on in the other direction.
            self.creep.append(np.concatenate([one, other[:, :0:-1]], axis=1))


def _even(stream: np.random.Generator, rows: int, columns: int) -> Floats:
    """Even spread over [-1, 1)."""
    return 2 * stream.random((rows, columns)) - 1


def crept(errors: Floats, remeasure: int) -> Floats:
    """Shift of every seam of one run, in laying order, from the errors of the panels behind it.

    `errors` is (draws, panels between seams); the result has one column more, the first seam, which
    stands on its line. The sum starts anew after every `remeasure` panels.
    """
    rows, count = errors.shape
    each = max(1, min(remeasure, count))
    filled = -(-count // each) * each
    padded = np.zeros((rows, filled))
    padded[:, :count] = errors
    sums = padded.reshape(rows, -1, each).cumsum(axis=2).reshape(rows, filled)
    return np.concatenate([np.zeros((rows, 1)), sums[:, :count]], axis=1)


class _Tally:
    """What one layout came to over the draws so far."""

    def __init__(self, case: Case, judged: Judged) -> None:
        self.case, self.judged = case, judged
        index = {plane.id: i for i, plane in enumerate(case.planes)}
        self.on = [index[pen.plane] for pen in case.penetrations]
        known: dict[tuple[int, tuple[int, ...]], _Seams] = {}
        self.seams = []  # of every penetration, at its own height
        for pen, p in zip(case.penetrations, self.on, strict=True):
            laid = at_height(case.planes[p], judged.planes[p], pen.y)
            if (p, laid.seams) not in known:
                known[p, laid.seams] = _Seams(case, case.planes[p], laid)
            self.seams.append(known[p, laid.seams])
        self.counts = [np.zeros(4, dtype=np.int64) for _ in case.penetrations]
        self.planned = [
            int(self._states(i, np.zeros(1), np.zeros(1), None)[0][0])
            for i in range(len(case.penetrations))
        ]
        self.costs: list[NDArray[np.int64]] = []
        self.all_clear = 0
        # What does not hang on where the seams come out: moves, odd panels, play, look.
        self.fixed = judged.cost.total - judged.cost.flashing

    def add(self, draws: _Draws) -> None:
        rows = len(draws.width)
        total = np.full(rows, self.fixed, dtype=np.int64)
        good = np.ones(rows, dtype=bool)
        for i, p in enumerate(self.on):
            states, cents = self._states(
                i, draws.position[:, i], draws.width[:, p], draws.creep[p]
            )
            total += cents
            self.counts[i] += np.bincount(states, minlength=4)
            if self.planned[i] == 0:
                good &= states == 0
        self.costs.append(total)
        self.all_clear += int(good.sum())

    def result(self) -> LayoutChance:
        costs = np.sort(np.concatenate(self.costs))
        samples = len(costs)
        total = int(costs.sum())
        spread = Spread(
            mean=(2 * total + samples) // (2 * samples),
            p10=int(costs[-(-10 * samples // 100) - 1]),
            p50=int(costs[-(-50 * samples // 100) - 1]),
            p90=int(costs[-(-90 * samples // 100) - 1]),
        )
        chances = []
        for pen, counts, planned in zip(
            self.case.penetrations, self.counts, self.planned, strict=True
        ):
            names: tuple[State, ...] = PIPE_STATES if pen.kind == "pipe" else CURB_STATES
            draws: dict[str, int] = {name: int(n) for name, n in zip(names, counts, strict=False)}
            chances.append(PenetrationChance(pen.id, names[planned], draws))
        return LayoutChance(samples, spread, self.all_clear, tuple(chances))

    def _states(
        self, i: int, own: Floats, width: Floats, creep: Floats | None
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """State codes and cents of one penetration for every draw."""
        case, pen, p = self.case, self.case.penetrations[i], self.on[i]
        plane = case.planes[p]
        x = self.judged.penetrations[i].x
        near = self.seams[i].near(pen, x)
        apart = self.seams[i].apart(near, x, own, width, creep)
        low, high = self.seams[i].low[near], self.seams[i].high[near]
        # `apart` is seam minus centre: the side facing the centre is the low one where positive.
        side = np.where(apart > 0, low, np.where(apart < 0, high, np.maximum(low, high)))
        if pen.kind == "curb":
            return curb_draws(case, pen, apart, side)
        low_end, high_end = ends_of(plane, pen)
        room = np.minimum(x + own - low_end, high_end + width - x - own) - case.rules.end_lap
        if apart.shape[1]:
            room = np.minimum(room, (np.abs(apart) - side).min(axis=1))
        return pipe_draws(case, pen, room)


class _Seams:
    """The seams of one plane of a layout: where they stand, their sides, whom they creep with."""

    def __init__(self, case: Case, plane: Plane, laid: JudgedPlane) -> None:
        self.case, self.plane, self.laid = case, plane, laid
        self.at = np.array(laid.seams, dtype=np.float64)
        both = np.array([sides(case, plane, seam) for seam in laid.seams], dtype=np.int64)
        self.low, self.high = both.reshape(-1, 2).T
        # Panels on from the first seam laid; from a line, below nothing towards the low end.
        self.column = np.array(panels_from_first(plane, laid.seams), dtype=np.int64)
        self.away = np.full(len(laid.seams), -1.0 if plane.lay == "right-to-left" else 1.0)
        if plane.start is not None:
            self.away = np.sign(self.at - plane.start)
            self.column = np.where(self.away < 0, -self.column, self.column)
        self.goes_with_width = plane.lay == "right-to-left"
        widths = [laid.first, laid.last, *(b - a for a, b in pairwise(laid.seams))]
        self.widest = max(widths) if laid.seams else 0

    def near(self, pen: Penetration, x: int) -> NDArray[np.intp]:
        """Which seams could matter to a penetration at `x`.

        No panel is wider than the widest, so the nearest seam stands within that, and the nearest
        one that a curb does not cut as far from its flank; the rest allows for every shift.
        """
        rules = self.case.rules
        most = rules.cover_tol * min(rules.remeasure, len(self.at)) + rules.width_tol + pen.x_tol
        side = max(self.case.panel.seam_back, self.case.panel.seam_fwd)
        reach = pen.across / 2 + side + self.widest + 4 * most
        return np.flatnonzero(np.abs(self.at - x) <= reach)

    def apart(
        self, near: NDArray[np.intp], x: int, own: Floats, width: Floats, creep: Floats | None
    ) -> Floats:
        """Signed distances (draws, seams) from the centre to these seams."""
        shift = np.zeros((len(own), len(near)))
        if creep is not None:
            # An overlong panel carries its seam away from where the laying starts.
            shift += creep[:, self.column[near]] * self.away[near]
        if self.goes_with_width:
            shift += width[:, None]
        result: Floats = self.at[near] + shift - (x + own)[:, None]
        return result


def _run_lengths(case: Case, judged: Judged) -> tuple[list[int], list[int]]:
    """By plane, seams on from the first laid one; then those of the run to the low end."""
    ahead, back = [], []
    for plane, laid in zip(case.planes, judged.planes, strict=True):
        count = max(len(laid.seams) - 1, 0)
        low = 0 if plane.start is None else sum(seam < plane.start for seam in laid.seams)
        ahead.append(count - low)
        back.append(low)
    return ahead, back
