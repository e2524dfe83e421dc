"""What if: each question is the case changed in one thing, solved again, against the case now.

`saves` is always total now minus total then, in cents; None where either has no layout.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, Literal

from solver.case import CURB_STATES, PIPE_STATES, Case, Freeze, Join, Penetration
from solver.clock import Clock
from solver.findings.of_case import case_findings
from solver.freeing.held import profiles_of
from solver.ranks.ranking import ranked_list
from solver.result import PROVEN, Finding, Judged
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units

Kind = Literal["removed", "joined", "min-end", "no-link", "wish", "no-crossing"]
SMALLER: Final[dict[Units, int]] = {"in": TICKS_PER_INCH, "mm": 25 * TICKS_PER_MM}
"""By how much `min_end` is supposed to be smaller (ticks)."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One question and its answer.

    `about` are the ids concerned. `judged` is the best layout then, None where no layout obeys the
    rules; `price` (cents) is what the change itself costs, and `total` has it in. `value` is the
    new limit in ticks, for a changed limit. `findings` are what the change brings with it.
    """

    kind: Kind
    about: tuple[str, ...]
    judged: Judged | None
    price: int
    saves: int | None
    value: int | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def total(self) -> int | None:
        """Cents of the best layout then, the price of the change included."""
        return None if self.judged is None else self.judged.cost.total + self.price


@dataclass(frozen=True, slots=True)
class AllClear:
    """The cheapest layout in which everything is clear, None where there is none.

    Then `alone` are the ids that even by themselves could not be clear, and `rest` the cheapest
    layout with all others clear; None where those exclude each other, or where `alone` is empty.
    """

    judged: Judged | None
    alone: tuple[str, ...] = ()
    rest: Judged | None = None


def best_layout(case: Case, clock: Clock) -> Judged | None:
    """The first entry of the list; None where no layout obeys the rules.

    Raises:
        TimeoutError: the clock ran out before it was found and proven.
    """
    if clock.over():
        raise TimeoutError
    profiles = profiles_of(case)
    if profiles is None:
        return None
    listing = ranked_list(case, profiles, clock, 1)
    if not listing.layouts:
        if not listing.complete:
            raise TimeoutError
        return None
    if listing.layouts[0].proof != PROVEN:
        raise TimeoutError
    return listing.layouts[0].judged


def without(case: Case, ids: Collection[str], *more: Penetration) -> Case:
    """The case without some penetrations, and with some more at the end."""
    kept = tuple(pen for pen in case.penetrations if pen.id not in ids)
    agreed = tuple((name, move) for name, move in case.freeze.moves if name not in ids)
    return replace(
        case, penetrations=(*kept, *more), freeze=Freeze(case.freeze.firsts, agreed), covers=(),
        joins=(),
    )


def removals(
    case: Case, now: Judged | None, clock: Clock, only: Collection[str] = ()
) -> Iterator[Outcome]:
    """What each penetration costs by being there; of `only` those ids, if any are given."""
    for pen in case.penetrations:
        if not only or pen.id in only:
            clock.say(f"without {pen.id}")
            yield _outcome("removed", (pen.id,), without(case, {pen.id}), now, clock)


def joins(case: Case, now: Judged | None, clock: Clock) -> Iterator[Outcome]:
    """What each group that could become one would save, its price included."""
    for join in case.joins:
        clock.say(f"{join.id} joined")
        joined = join_case(case, join)
        outcome = _outcome("joined", (join.id,), joined, now, clock, join_cents(case, join))
        before = set(case_findings(case))
        name = join.keeps if join.keeps is not None else curb_id(case, join)
        new = [f for f in case_findings(joined) if name in f.about and f not in before]
        yield replace(outcome, findings=tuple(new))


def join_cents(case: Case, join: Join) -> int:
    """What joining costs: the plumber's hours and the material, whole cents, halves up."""
    amount = (join.hours * case.rates.plumber_hour + join.material) * Decimal(100)
    return int(amount.to_integral_value(rounding=ROUND_HALF_UP))


def curb_id(case: Case, join: Join) -> str:
    """The id of the curb that stands for a group: the join's own, if nothing else has it."""
    name = join.id
    while any(pen.id == name for pen in case.penetrations):
        name += "+"
    return name


def join_case(case: Case, join: Join) -> Case:
    """The case with a group replaced by the one that stays, or by its curb."""
    if join.curb is None:
        return without(case, set(join.penetrations) - {join.keeps})
    x, y, across, along = join.curb
    plane = next(pen.plane for pen in case.penetrations if pen.id in join.penetrations)
    curb = Penetration(
        id=curb_id(case, join), plane=plane, kind="curb", x=x, y=y, outside=0, base=0,
        across=across, along=along, status="fixed", written_status="fixed", hold=None,
        reach_low=0, reach_high=0, min_offset=0, forbid=case.rules.forbid,
        x_tol=case.rules.x_tol,
    )
    return without(case, join.penetrations, curb)


def all_clear(case: Case, clock: Clock) -> AllClear:
    """The cheapest layout in which everything is clear, or what alone prevents it.

    Raises:
        TimeoutError: the clock ran out first.
    """
    clock.say("everything clear")
    judged = best_layout(_cleared(case), clock)
    if judged is not None:
        return AllClear(judged)
    alone = []
    for pen in case.penetrations:
        clock.say(f"whether {pen.id} can be clear at all")
        others = {other.id for other in case.penetrations} - {pen.id}
        if best_layout(_cleared(without(case, others)), clock) is None:
            alone.append(pen.id)
    rest = None
    if alone and len(alone) < len(case.penetrations):
        rest = best_layout(_cleared(case, set(alone)), clock)
    return AllClear(None, tuple(alone), rest)


def _cleared(case: Case, but: Collection[str] = ()) -> Case:
    """The case with every state but clear forbidden, for all but some."""

    def barred(pen: Penetration) -> Penetration:
        states = PIPE_STATES if pen.kind == "pipe" else CURB_STATES
        return replace(pen, forbid=tuple(state for state in states if state != "clear"))

    return replace(
        case, covers=(),
        penetrations=tuple(p if p.id in but else barred(p) for p in case.penetrations),
    )


def rule_changes(case: Case, now: Judged | None, clock: Clock) -> Iterator[Outcome]:
    """A smaller `min_end`, each link given up or only wished for, crossing seams forbidden."""
    least = max(case.rules.min_end - SMALLER[case.units], 0)
    if least < case.rules.min_end:
        clock.say("narrower ends")
        eased = replace(case, rules=replace(case.rules, min_end=least), covers=())
        yield _outcome("min-end", (), eased, now, clock, value=least)
    for place, link in enumerate(case.links):
        clock.say(f"without the link of {' and '.join(link.planes)}")
        if link.must:
            wish = (*case.links[:place], replace(link, must=False), *case.links[place + 1 :])
            yield _outcome("wish", link.planes, replace(case, links=wish, covers=()), now, clock)
        left = (*case.links[:place], *case.links[place + 1 :])
        yield _outcome("no-link", link.planes, replace(case, links=left, covers=()), now, clock)
    may = [p for p in case.penetrations if p.kind == "pipe" and "crosses" not in p.forbid]
    if may:
        clock.say("no pipe may cross a seam")
        barred = tuple(
            replace(pen, forbid=(*pen.forbid, "crosses")) if pen in may else pen
            for pen in case.penetrations
        )
        yield _outcome("no-crossing", (), replace(case, penetrations=barred, covers=()), now, clock)


def _outcome(
    kind: Kind, about: tuple[str, ...], changed: Case, now: Judged | None, clock: Clock,
    price: int = 0, value: int | None = None,
) -> Outcome:
    judged = best_layout(changed, clock)
    saves = None
    if now is not None and judged is not None:
        saves = now.cost.total - judged.cost.total - price
    return Outcome(kind, about, judged, price, saves, value)
