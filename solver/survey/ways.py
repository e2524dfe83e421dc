"""A roof that was surveyed, laid out in each of the ways there are: what each costs, and what the
one by the drawing comes to on the roof as it stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from solver.case import Case, Plane, State
from solver.checker.judge import judge
from solver.clock import Clock
from solver.errors import ChoiceError
from solver.findings.of_survey import survey_findings
from solver.layout import Layout
from solver.result import Finding, Judged, Ranked, Result
from solver.survey.corners import corners_of
from solver.survey.rerun import RUNS, Run, hindrances, surveyed, with_run
from solver.survey.surveyed import SurveyError

Solve = Callable[[Case, Clock], Result]
SHARES: Final = (1 / 3, 1 / 2, 1.0)
"""Of the time that is left, the most each way may take: what one does not use goes to the next."""


@dataclass(frozen=True, slots=True)
class EndPanels:
    """First and last panel of a surveyed plane: widths at the eave and at the top (ticks).

    `full`: between how many seams full panels lie, each of which takes `share` (ticks, + wider at
    the top) of a fan; 0 where seams run square.
    """

    plane: str
    eave: tuple[int, int]
    top: tuple[int, int]
    full: int
    share: float


@dataclass(frozen=True, slots=True)
class Change:
    """A penetration that another way leaves otherwise than the layout by the drawing does: states,
    signed moves (ticks), seams cut."""

    id: str
    was: State
    now: State
    was_moved: int
    moved: int
    was_cut: int
    cut: int


@dataclass(frozen=True, slots=True)
class Way:
    """One way to lay the surveyed planes. `why` says what keeps it from being laid out at all:
    (plane id, sentence); `result` is None then. `ends` and `changes` are of its best layout."""

    run: Run
    case: Case
    why: tuple[tuple[str, str], ...]
    result: Result | None
    ends: tuple[EndPanels, ...] = ()
    changes: tuple[Change, ...] = ()

    @property
    def best(self) -> Ranked | None:
        """The first of its list, if there is any."""
        return self.result.layouts[0] if self.result is not None and self.result.layouts else None


@dataclass(frozen=True, slots=True)
class OnRoof:
    """The best layout by the drawing, laid square from its start on the roof as surveyed.

    `case` is the roof with its planes square. `why` says, where it cannot be judged so.
    """

    case: Case
    judged: Judged | None
    ends: tuple[EndPanels, ...]
    changes: tuple[Change, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Ways:
    """All ways, in the order of `RUNS`; `impossible` are planes whose survey is none to lay on."""

    case: Case
    ways: tuple[Way, ...]
    on_roof: OnRoof | None
    impossible: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]

    @property
    def cheapest(self) -> Way | None:
        """Of the ways that lay the roof as it is the cheapest; of equals the first."""
        built = [way for way in self.ways if way.run != "as-drawn" and way.best is not None]
        return min(built, key=lambda way: way.best.judged.cost.total if way.best else 0,
                   default=None)

    @property
    def complete(self) -> bool:
        """Whether no way ran out of time before it had a layout."""
        return all(way.result is None or way.result.complete or way.best for way in self.ways)


def ways_to_lay(case: Case, clock: Clock, solve: Solve) -> Ways:
    """Solve a case with all its surveyed planes as drawn, square, and fanned.

    A limit of the clock is shared out among the three. Whatever way the case itself says, it does
    not matter here.
    """
    impossible = []
    for plane in surveyed(case):
        try:
            corners_of(plane, case.units)
        except SurveyError as error:
            impossible += [(plane.id, says) for says in error.problems]
    found: list[Way] = []
    for run, share in zip(RUNS, SHARES, strict=True):
        if run != "as-drawn" and impossible:
            why = tuple((plane, f"its survey is impossible: {says}") for plane, says in impossible)
            found.append(Way(run, case, why, None))
            continue
        laid = with_run(case, run)
        if told := tuple(hindrances(laid, run)):
            found.append(Way(run, laid, told, None))
            continue
        clock.say(f"laid {run}")
        with clock.share(share):
            result = solve(laid, clock)
        drawn = found[0].best if found else None
        found.append(_way(run, result, drawn))
    drawn = found[0].best
    on_roof = None if drawn is None or impossible else _on_roof(found[0], drawn)
    return Ways(case, tuple(found), on_roof, tuple(impossible), tuple(survey_findings(case)))


def _way(run: Run, result: Result, drawn: Ranked | None) -> Way:
    if not result.layouts:
        return Way(run, result.case, (), result)
    best = result.layouts[0].judged
    changes = () if drawn is None else _changes(drawn.judged, best)
    return Way(run, result.case, (), result, _ends(result.case, best), changes)


def _on_roof(way: Way, drawn: Ranked) -> OnRoof:
    laid = with_run(way.case, "square")
    if told := tuple(hindrances(laid, "square")):
        return OnRoof(laid, None, (), (), "; ".join(f"plane {name}: {says}" for name, says in told))
    layout = drawn.judged.layout
    firsts = tuple(
        plane.width if plane.lean is not None and plane.width <= laid.panel.cover else first
        for plane, first in zip(laid.planes, layout.firsts, strict=True)
    )
    try:
        judged = judge(laid, Layout(firsts, layout.moves, layout.odds, layout.changes))
    except ChoiceError as error:
        return OnRoof(laid, None, (), (), str(error).removeprefix(f"{laid.file}: "))
    return OnRoof(laid, judged, _ends(laid, judged), _changes(drawn.judged, judged))


def _ends(case: Case, judged: Judged) -> tuple[EndPanels, ...]:
    return tuple(
        _end_panels(plane, own.first, own.last, own.top, len(own.seams))
        for plane, own in zip(case.planes, judged.planes, strict=True)
        if plane.survey is not None
    )


def _end_panels(
    plane: Plane, first: int, last: int, top: tuple[int, int] | None, seams: int
) -> EndPanels:
    full, share = 0, 0.0
    if plane.lean is not None and plane.lean.fan and seams > 1:
        full = seams - 1
        share = (plane.lean.high - plane.lean.low) / full
    return EndPanels(plane.id, (first, last), top or (first, last), full, share)


def _changes(drawn: Judged, other: Judged) -> tuple[Change, ...]:
    pairs = zip(drawn.penetrations, other.penetrations, strict=True)
    return tuple(
        Change(one.id, one.state, two.state, one.moved, two.moved, one.seams_cut, two.seams_cut)
        for one, two in pairs
        if (one.state, one.moved, one.seams_cut) != (two.state, two.moved, two.seams_cut)
    )
