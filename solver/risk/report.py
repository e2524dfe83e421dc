"""How sure an answer is: worst case, chance, and what to measure again, for every listed layout."""

from __future__ import annotations

from dataclasses import dataclass

from solver.api import solve
from solver.case import Case
from solver.clock import Clock
from solver.ranks.covers import one_cover
from solver.result import Finding, Judged, Result
from solver.risk.chance import LayoutChance, layout_chances
from solver.risk.creep import Creep, has_tolerances, layout_creep, risk_findings
from solver.risk.remeasure_first import Gains, remeasure_first


@dataclass(frozen=True, slots=True)
class LayoutRisk:
    """One layout: `rank` in the list, None for the usual one. `chance` is None if not drawn."""

    rank: int | None
    judged: Judged
    creep: tuple[Creep, ...]
    chance: LayoutChance | None

    @property
    def at_risk(self) -> tuple[Creep, ...]:
        """What is clear but at risk."""
        return tuple(creep for creep in self.creep if creep.stands.at_risk)


@dataclass(frozen=True, slots=True)
class Risk:
    """Everything `assess` found. `gains` is None where it was not come to, or without a layout.

    `asked` draws were wanted; fewer were made where time ended the work.
    """

    case: Case
    result: Result
    asked: int
    seed: int
    layouts: tuple[LayoutRisk, ...]
    gains: Gains | None
    findings: tuple[Finding, ...]


def assess(case: Case, *, samples: int, seed: int, top: int, clock: Clock | None = None) -> Risk:
    """Solve a case and say how sure each listed layout and the usual one are.

    A case that compares covers is taken with the one whose best layout is cheapest. One without
    tolerances is not solved.

    Raises:
        DisagreementError: the optimizer and the checker disagree.
    """
    clock = clock or Clock()
    case = one_cover(case, clock)
    if not has_tolerances(case):
        blank = Result(case, "", (), None, None, None, (), False, True)
        return Risk(case, blank, samples, seed, (), None, ())
    result = solve(case, top=top, clock=clock)
    named: list[tuple[int | None, Judged]] = [(e.rank, e.judged) for e in result.layouts]
    if result.usual is not None:
        named.append((None, result.usual))
    chances: list[LayoutChance] = []
    if named:
        chances = layout_chances(case, [judged for _, judged in named], samples, seed, clock)
    layouts = tuple(
        LayoutRisk(rank, judged, layout_creep(case, judged), chances[k] if chances else None)
        for k, (rank, judged) in enumerate(named)
    )
    gains = None
    if result.layouts and result.layouts[0].proof == "proven" and not clock.over():
        gains = remeasure_first(case, result.layouts[0].judged, clock)
    told = [finding for finding in result.findings if finding.code != "at-risk"]
    told += risk_findings(case, result.layouts)
    return Risk(case, result, samples, seed, layouts, gains, tuple(told))
