"""Which penetrations to measure again first: what knowing one position exactly would be worth.

For each penetration that may be off by `x_tol`, its true position is taken to be anywhere within
that, evenly; all other positions stay as in the case. Not knowing it, one builds the first layout
of the list and pays for whatever that turns out to be. Knowing it, one would choose first widths
and moves anew for that position, or keep the first layout where that is no dearer. The difference
of the two expected costs is the worth of measuring again: the expected value of perfect information
of decision analysis. It is never negative.

Both sides are priced by the case's own rules (in a robust case by the worst room, with this one
position certain) at `POSITIONS` places evenly over the range, exactly: only penetrations that can
come into each other's way are solved again together; for the rest of the plane and the other planes
the best for every first width is already known. Where odd panels or play are allowed, or a plane is
laid both ways, the whole case is solved again for each place where the first layout costs more than
the best there is without this penetration: nowhere else can another choice be cheaper.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from solver.case import Case, Penetration, Plane
from solver.clock import Clock
from solver.findings.seam_order import may_bend
from solver.freeing.marginals import NEVER, rest_costs
from solver.ranks.assemble import make_roof
from solver.result import Judged
from solver.risk.remeasure_again import Again
from solver.tabling.measured import POSITIONS, Gain, Gains, true_positions, worth
from solver.tabling.moves import Options
from solver.tabling.phase import Grids
from solver.tabling.profile import Profile, build_profile
from solver.tabling.starts import Ticks
from solver.tabling.tables import COST, pen_table

__all__ = ["POSITIONS", "Gain", "Gains", "remeasure_first", "true_positions"]


def remeasure_first(case: Case, first: Judged, clock: Clock) -> Gains:
    """Rank the penetrations by what measuring them again is worth against layout `first`."""
    uncertain = [i for i, pen in enumerate(case.penetrations) if pen.x_tol]
    if not uncertain:
        return Gains((), 0, 0)
    found: list[tuple[int, int, Gain]] = []
    looked = 0
    try:
        roof = Again(case, clock) if by_solving(case) else _Known(case, clock)
        if not roof.possible:
            return Gains((), 0, len(uncertain), possible=False)
        for i in uncertain:
            clock.say(f"measuring {case.penetrations[i].id} again")
            exact, gain = roof.gain(i, first)
            if exact > 0:
                found.append((-exact, i, gain))
            looked += 1
    except TimeoutError:
        pass
    return Gains(tuple(gain for _, _, gain in sorted(found)), looked, len(uncertain))


def by_solving(case: Case) -> bool:
    """Whether a plane's seams may leave the plain grid, so that first widths do not say it all."""
    return may_bend(case) or any(plane.start is not None for plane in case.planes)


class _Known:
    """What is best for every first width, in parts that do not come into each other's way.

    Where pipes of a part do come into each other's way, its cost is a lower bound until it is
    settled, which is done only for first widths that could still be the best.
    """

    def __init__(self, case: Case, clock: Clock) -> None:
        self.case, self.clock = case, clock
        self.index = {plane.id: p for p, plane in enumerate(case.planes)}
        self.groups = [_groups(case, plane) for plane in case.planes]
        self.bare = [build_profile(_only(case, ()), plane) for plane in case.planes]
        self.parts = [
            [build_profile(_only(case, group), plane) for group in groups]
            for plane, groups in zip(case.planes, self.groups, strict=True)
        ]
        self.links = make_roof(case, self.bare).links
        own = [self._plane_cost(p, None) for p in range(len(case.planes))]
        self.rest = self._rest(own)
        self.possible = all(rest is not None for rest in self.rest)

    def _rest(self, own: list[Ticks]) -> list[Ticks | None]:
        return rest_costs(own, self.links, self.case.rates.cents("misaligned"))

    def _plane_cost(self, p: int, without: int | None) -> Ticks:
        """Cents of a plane by first width, one of its groups left out."""
        bare = self.bare[p]
        total = np.where(bare.allowed, bare.levels[COST], NEVER)
        for g, part in enumerate(self.parts[p]):
            if g != without:
                total = total + _own_cost(part, bare)
        result: Ticks = np.minimum(total, NEVER)
        return result

    def _alone(self, p: int, pen: Penetration) -> Ticks:
        """Cents of one penetration by first width as if nothing else stood on its plane."""
        case = replace(self.case, penetrations=(pen,), links=(), joins=(), covers=())
        return _own_cost(build_profile(case, self.case.planes[p]), self.bare[p])

    def gain(self, i: int, first: Judged) -> tuple[int, Gain]:
        """The worth of knowing position `i`: exactly (cents times positions), and rounded.

        Raises:
            TimeoutError: the clock ran out.
        """
        case, pen = self.case, self.case.penetrations[i]
        p = self.index[pen.plane]
        plane, moved = case.planes[p], first.penetrations[i].moved
        grid = Grids(case, plane, np.array([first.planes[p].first], dtype=np.int64))
        as_planned = first.cost.total - _stays(grid, i, pen, pen.x + moved)
        known = [replace(pen, x=x, x_tol=0) for x in true_positions(pen)]
        keep = [as_planned + _stays(grid, i, one, one.x + moved) for one in known]
        return worth(pen, keep, self._best(p, i, known, keep))

    def _best(self, p: int, i: int, known: list[Penetration], keep: list[int]) -> list[int]:
        """The least total for each place where penetration `i` may be known to stand.

        `keep` is what it costs to change nothing, and so a limit. Lower bounds come first, the
        cheapest to work out before the others: most places need no more.
        """
        g = next(n for n, group in enumerate(self.groups[p]) if i in group)
        rest = self.rest[p]
        assert rest is not None
        others = np.minimum(rest + self._plane_cost(p, g), NEVER)
        free = others + sum(
            (self._alone(p, self.case.penetrations[j]) for j in self.groups[p][g] if j != i),
            np.zeros(len(others), dtype=np.int64),
        )
        best, open_ = list(keep), []
        for k, one in enumerate(known):
            if self.clock.over():
                raise TimeoutError
            if int((free + self._alone(p, one)).min()) >= keep[k]:
                continue
            profile = build_profile(self._group_with(p, g, i, one), self.case.planes[p])
            if int((others + _own_cost(profile, self.bare[p])).min()) < keep[k]:
                open_.append((k, profile))
        if open_:
            others = self._firm(p, g, max(keep[k] for k, _ in open_))
        for k, profile in open_:
            best[k] = min(keep[k], self._least(p, others, profile, keep[k]))
        return best

    def _group_with(self, p: int, g: int, i: int, known: Penetration) -> Case:
        pens = list(self.case.penetrations)
        pens[i] = known
        return _only(replace(self.case, penetrations=tuple(pens)), self.groups[p][g])

    def _least(self, p: int, others: Ticks, part: Profile, limit: int) -> int:
        """The least total, or some lower bound of it that is not below `limit`."""
        while True:
            total = np.minimum(others + _own_cost(part, self.bare[p]), NEVER)
            f = int(total.argmin())
            if int(total[f]) >= limit or part.settled[f]:
                return int(total[f])
            part.settle(f, self.clock)

    def _firm(self, p: int, g: int, limit: int) -> Ticks:
        """What all but group `g` costs by first width of plane `p`, exact wherever below `limit`.

        A total with group `g` left out is a lower bound wherever that group may stand: what reaches
        the limit without it cannot count.
        """
        while True:
            own = [self._plane_cost(q, g if q == p else None) for q in range(len(self.parts))]
            rest = self._rest(own)
            again = False
            for q, parts in enumerate(self.parts):
                beside = rest[q]
                assert beside is not None
                low = beside + own[q] < limit
                for h, part in enumerate(parts):
                    if (q, h) == (p, g):
                        continue
                    for f in np.flatnonzero(low & part.allowed & ~part.settled):
                        part.settle(int(f), self.clock)
                        again = True
            if not again:
                self.rest[p] = rest[p]
                others = rest[p]
                assert others is not None
                result: Ticks = np.minimum(others + own[p], NEVER)
                return result


def _only(case: Case, group: tuple[int, ...]) -> Case:
    """The case with these penetrations alone, planes unlinked."""
    pens = tuple(case.penetrations[i] for i in group)
    return replace(case, penetrations=pens, links=(), joins=(), covers=())


def _own_cost(profile: Profile, bare: Profile) -> Ticks:
    """Cents by first width of the penetrations alone: what the ends cost is taken off."""
    cost = profile.levels[COST] - bare.levels[COST]
    result: Ticks = np.where(profile.allowed | ~bare.allowed, cost, NEVER)
    return result


def _stays(grid: Grids, i: int, pen: Penetration, x: int) -> int:
    """Cents for the state of one penetration at `x`, whatever is forbidden (one first width)."""
    pens = list(grid.case.penetrations)
    pens[i] = replace(pen, x=x)
    there = replace(grid, case=replace(grid.case, penetrations=tuple(pens)))
    table = pen_table(there, Options(i, np.zeros(1, dtype=np.int64)))
    return int(table.stay[COST, 0])


def _groups(case: Case, plane: Plane) -> list[tuple[int, ...]]:
    """The penetrations of a plane in groups, no move or error of one ever in another's way.

    Along the eave each sweeps its body, its reach and its tolerance; groups are further apart than
    the spacing. A slack of two ticks covers rounding.
    """
    def reaches(i: int) -> tuple[int, int]:
        pen = case.penetrations[i]
        half = (pen.outside + pen.across + 1) // 2 + pen.x_tol
        return pen.x - pen.reach_low - half, pen.x + pen.reach_high + half

    groups: list[tuple[int, ...]] = []
    end = 0
    for i in sorted(case.on(plane.id), key=lambda i: (reaches(i), i)):
        low, high = reaches(i)
        if groups and low <= end + case.rules.spacing + 2:
            groups[-1] = (*groups[-1], i)
            end = max(end, high)
        else:
            groups.append((i,))
            end = high
    return [tuple(sorted(group)) for group in groups]
