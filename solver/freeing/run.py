"""All answers to "what would free it" for one case, in the order in which they are told."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from solver.case import Case
from solver.clock import Clock
from solver.errors import ChoiceError
from solver.findings.no_start import plain_start_findings
from solver.freeing.paying import Freeing, free_moves
from solver.freeing.whatif import (
    AllClear,
    Outcome,
    all_clear,
    best_layout,
    joins,
    removals,
    rule_changes,
)
from solver.ranks.covers import one_cover
from solver.result import Finding, Judged


@dataclass
class Freed:
    """What is known so far. `now` is the best layout, moves allowed; None where there is none.

    `solved` says that `now` is known, `complete` that everything asked is. `clear` is None where it
    was not reached. `no_start` are the findings where a plane has no legal first width.
    """

    case: Case
    fixed: bool
    only: tuple[str, ...]
    now: Judged | None = None
    solved: bool = False
    moves: Freeing | None = None
    clear: AllClear | None = None
    rules: list[Outcome] = field(default_factory=list)
    joined: list[Outcome] = field(default_factory=list)
    removed: list[Outcome] = field(default_factory=list)
    no_start: list[Finding] = field(default_factory=list)
    complete: bool = False
    stopped: str = ""
    seconds: float = 0.0


def free(
    case: Case, clock: Clock | None = None, *, fixed: bool = False, only: Collection[str] = ()
) -> Freed:
    """Freeing moves, everything clear, rules, joins and removals.

    `fixed`: moves of what cannot move as well. `only`: moves and removals of these ids alone. When
    the clock stops it, what is known so far is returned.

    Raises:
        ChoiceError: an id that the case does not have.
        DisagreementError: a freeing move does not hold when solved again.
    """
    known = {pen.id for pen in case.penetrations}
    wrong = [name for name in only if name not in known]
    if wrong:
        raise ChoiceError(
            f"{case.file}: there is no penetration {', '.join(repr(name) for name in wrong)}; it "
            f"has {', '.join(sorted(known)) or 'none'}"
        )
    clock = clock or Clock()
    case = one_cover(case, clock)
    freed = Freed(case, fixed, tuple(only), no_start=list(plain_start_findings(case)))
    try:
        for _ in _steps(freed, clock):
            if clock.over():
                raise TimeoutError
        freed.complete = True
    except TimeoutError:
        pass
    freed.stopped = "" if freed.complete else clock.stopped()
    freed.seconds = clock.seconds()
    return freed



def _steps(freed: Freed, clock: Clock) -> Iterator[None]:
    case = freed.case
    clock.say("the best layout now")
    freed.now = best_layout(case, clock)
    freed.solved = True
    yield
    freed.moves = free_moves(case, clock, fixed=freed.fixed, only=freed.only)
    if not freed.moves.complete:
        raise TimeoutError
    freed.clear = all_clear(case, clock)
    for answers, into in (
        (rule_changes(case, freed.now, clock), freed.rules),
        (joins(case, freed.now, clock), freed.joined),
        (removals(case, freed.now, clock, freed.only), freed.removed),
    ):
        for outcome in answers:
            into.append(outcome)
            if len(into) % 8 == 0:
                yield
