"""Why not everything can be clear with nothing moved: the smallest groups that exclude each other.

With nothing moved, a penetration is clear for a set of first widths of its plane. A group is a
minimal set of penetrations that cannot all be clear with legal first widths of the planes
concerned, must links kept: drop any one and the rest can. States that a case forbids play no part:
clear never is one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from solver.case import Case
from solver.clock import Clock
from solver.conflicts.proof import MOST_JUDGED, Prover
from solver.conflicts.reliefs import Reliefs
from solver.conflicts.result import (
    Explanation,
    Group,
    LinkedSum,
    Member,
    Part,
    Run,
    Starts,
    Without,
)
from solver.conflicts.search import Linked, Listed, Search, listed, minimal_groups
from solver.conflicts.sums import pair_sum, single_sum
from solver.conflicts.world import World, parts_of, settled
from solver.findings.no_start import plain_start_findings
from solver.result import Finding
from solver.tabling.starts import usual_first
from solver.units import format_length

DEFAULT_MOST: Final = 10
DEFAULT_SIZE: Final = 6


def explain(
    case: Case, *, most: int = DEFAULT_MOST, size: int = DEFAULT_SIZE, clock: Clock | None = None
) -> Explanation:
    """Find the groups of up to `size` members and explain the first `most` of them.

    Groups come smallest first, then in the order of the case. Agreed moves count as made.

    Raises:
        DisagreementError: the checker does not confirm a group.
    """
    clock = clock or Clock()
    case = settled(case)
    reasons: list[Finding] = []
    parts: list[Part] = []
    found: list[tuple[tuple[int, ...], _Known]] = []
    budget = [MOST_JUDGED]
    for planes in parts_of(case):
        clock.say(f"plane {case.planes[planes[0]].id}: what excludes what")
        ids = {case.planes[i].id for i in planes}
        pens = tuple(p for p, pen in enumerate(case.penetrations) if pen.plane in ids)
        world = World(case, planes, pens)
        if why := _no_start(world):
            reasons += why
            parts.append(_without_start(world))
            continue
        known = _Known(world, _listed(world), Reliefs(world), Prover(case, planes, budget))
        part, groups = _search(known, size, clock)
        if part.all_clear:
            known.prover.witness(pens, part.best)
        parts.append(part)
        found += [(group, known) for group in groups]
    found.sort(key=lambda each: (len(each[0]), each[0]))
    shown: list[Group] = []
    for group, known in found[:most]:
        if clock.over():
            break
        clock.say(f"group {len(shown) + 1}: judged again")
        shown.append(_group(known, group))
    total = sum(part.found for part in parts)
    return Explanation(case, tuple(parts), tuple(shown), tuple(reasons), total, clock.over())


@dataclass(frozen=True)
class _Known:
    """One part and what it is worked on with; `every` is None where it is too large to list."""

    world: World
    every: Listed | None
    reliefs: Reliefs
    prover: Prover

    def start_without(self, rest: tuple[int, ...]) -> Starts:
        """A start that leaves `rest` all clear, and few others not."""
        if self.every is not None:
            picks = self.every.pick(rest)
        else:
            picks = self.world.solve(self.world.narrowed(rest))
        assert picks is not None  # a group is minimal
        return self.world.starts(picks)


def _no_start(world: World) -> list[Finding]:
    """Why a part has no legal start at all, whatever stands on it."""
    case = world.case
    ids = [case.planes[i].id for i in world.planes]
    found = [f for f in plain_start_findings(case) if f.about[0] in ids]
    agreed = dict(case.freeze.firsts)
    for i in world.planes:
        name = case.planes[i].id
        if not len(world.firsts[i]) and not any(f.about == (name,) for f in found):
            shown = format_length(2 * agreed[name], case.units, case.mark)
            found.append(Finding("no-start", "error", (name,),
                                 f"The agreed first width of plane {name}, {shown}, is no legal "
                                 "one: a whole mark that obeys the end rule at both ends."))
    if not found and world.possible(world.full()) is None:
        tied = tuple(dict.fromkeys(
            plane for link in case.links if link.must and set(link.planes) <= set(ids)
            for plane in link.planes))
        found.append(Finding("must-link", "error", tied,
                             f"No legal first widths let the seams of {', '.join(tied)} meet as "
                             "their must links ask, whatever stands on them. Widen meet_tol, give "
                             "a link up, or allow more at the ends."))
    return found


def _without_start(world: World) -> Part:
    ids = tuple(world.case.planes[i].id for i in world.planes)
    return Part(ids, len(world.pens), (), (), True, (), 0, 0, True, "", ())


def _listed(world: World) -> Listed | None:
    case = world.case
    usual = {i: usual_first(case, case.planes[i], world.firsts[i]) for i in world.planes}
    return listed(world, usual)


def _search(known: _Known, size: int, clock: Clock) -> tuple[Part, list[tuple[int, ...]]]:
    """One part: its best start, and its groups as indices of penetrations."""
    world, every = known.world, known.every
    case = world.case
    if every is not None:
        search = minimal_groups(every, size, clock)
        picks = every.pick(())
        assert picks is not None
    else:
        search = minimal_groups(Linked(world), size, clock)
        picks = _good_pick(world)
    missed = _missed(world, picks)
    runs: tuple[Run, ...] = ()
    if len(world.planes) == 1:
        plane = world.planes[0]
        same = sum(1 << f for f in range(len(world.firsts[plane]))
                   if len(_missed(world, {plane: f})) == len(missed))
        runs = world.runs(plane, same)
    part = Part(
        planes=tuple(case.planes[i].id for i in world.planes),
        penetrations=len(world.pens),
        best=world.starts(picks),
        not_clear=tuple(case.penetrations[p].id for p in missed),
        proven=every is not None,
        runs=runs,
        found=search.found,
        complete_to=search.complete_to,
        complete=search.complete,
        ended=search.ended,
        often=_often(case, search),
    )
    return part, search.groups


def _missed(world: World, picks: dict[int, int]) -> list[int]:
    return [p for p in world.pens if not world.clear[p] >> picks[world.plane_of[p]] & 1]


def _good_pick(world: World) -> dict[int, int]:
    """A start with few not clear, for planes too many to look at every start of."""
    masks = world.full()
    for p in sorted(world.pens, key=lambda p: (-world.clear[p].bit_count(), p)):
        plane = world.plane_of[p]
        kept = world.possible({**masks, plane: masks[plane] & world.clear[p]})
        masks = kept if kept is not None else masks
    picks = world.solve(masks)
    assert picks is not None
    return picks


def _often(case: Case, search: Search) -> tuple[tuple[str, int], ...]:
    """In how many groups each penetration is, the most often first."""
    times = search.often
    order = sorted(times, key=lambda p: (-times[p], p))
    return tuple((case.penetrations[p].id, times[p]) for p in order)


def _group(known: _Known, group: tuple[int, ...]) -> Group:
    """Explain one group, and have the checker judge every claim."""
    world, case = known.world, known.world.case
    dropped = []
    for p in group if len(group) > 1 else ():
        rest = tuple(q for q in group if q != p)
        starts = known.start_without(rest)
        known.prover.witness(rest, starts)
        dropped.append(Without(case.penetrations[p].id, starts))
    ways = known.reliefs.of(group)
    for way in ways:
        known.prover.relief(group, way)
    proof = known.prover.never(group)
    return Group(
        members=tuple(
            Member(case.penetrations[p].id, case.penetrations[p].plane,
                   world.runs(world.plane_of[p], world.clear[p]))
            for p in group
        ),
        without=tuple(dropped),
        reliefs=ways,
        pair=pair_sum(world, group),
        single=single_sum(world, group[0], proof.nearest) if len(group) == 1 else None,
        linked=_linked_sum(world, group),
        judged=proof.judged,
        whole=proof.whole,
    )


def _linked_sum(world: World, group: tuple[int, ...]) -> LinkedSum | None:
    """What the links leave of one plane; None where the group is excluded without them."""
    masks = world.narrowed(group)
    if not all(masks.values()):
        return None
    plane = world.plane_of[group[-1]]
    wanted = masks[plane]
    left = world.leaves(plane, {**masks, plane: world.full()[plane]})
    return LinkedSum(world.case.planes[plane].id, world.runs(plane, left),
                     world.runs(plane, wanted))
