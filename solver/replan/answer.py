"""What a replan leaves: planes under way with the panels still to lay, and what changed. Ticks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.case import Case, Plane, State
from solver.replan.front import Front
from solver.replan.least_bad import LeastBad
from solver.result import Finding, Judged, JudgedLink


@dataclass(frozen=True)
class RestPanel:
    """A panel still to lay: its number as the plan counts, its widths, and how far its far edge (a
    seam's centre, or the end of the run) is from where laying starts, at the eave and, as a tape
    hooked up there reads it, at the ridge.

    `stretch` is counted from the front; None for the last panel and for the plan's own rest.
    """

    number: int
    kind: Literal["full", "module", "odd", "last"]
    width: tuple[int, int]
    far: tuple[int, int]
    stretch: int | None


@dataclass(frozen=True)
class Changed:
    """A penetration that stands otherwise than planned; `panel` is where its centre now lies."""

    id: str
    was: State
    now: State
    room2: int | None
    needed2: int | None
    panel: int
    laid: bool


@dataclass(frozen=True)
class NewMove:
    """A pipe that is to move otherwise than planned, signed, towards larger x."""

    id: str
    was: int
    now: int


@dataclass(frozen=True)
class Run:
    """One run of a plane from its front on.

    `legal`: the rest obeys every rule. `as_planned`: it is the plan's own rest. `decision` is the
    number of the first panel that calls for a decision and `why` says which. `planned_last` is the
    last panel's width in the plan. `proven`: nothing better can be laid from here.
    """

    plane: Plane
    front: Front
    legal: bool
    closes: bool
    as_planned: bool
    proven: bool
    panels: tuple[RestPanel, ...]
    planned_last: int
    decision: int
    why: str
    least_bad: LeastBad | None
    breaks: tuple[str, ...]


@dataclass(frozen=True)
class LinkNow:
    """A link of a plane under way: as planned, and as it comes out now."""

    was: JudgedLink
    now: JudgedLink


@dataclass(frozen=True)
class Replan:
    """The whole answer. `rank` is that of the layout being built (None where first widths were
    given); `now` is the roof as it stands with its rest, `plan` as it was planned. `better`: where
    all stands as planned, so that the plan is kept, whether another rest would be better.
    """

    case: Case
    stood: Case
    date: str
    rank: int | None
    plan: Judged
    now: Judged
    runs: tuple[Run, ...]
    changed: tuple[Changed, ...]
    moves: tuple[NewMove, ...]
    links: tuple[LinkNow, ...]
    findings: tuple[Finding, ...]
    better: bool

    @property
    def legal(self) -> bool:
        """Whether every run closes and every rule is kept."""
        return all(run.legal for run in self.runs)

    @property
    def proven(self) -> bool:
        """Whether nothing better can be laid from where the crew stands, run by run."""
        return all(run.proven for run in self.runs)
