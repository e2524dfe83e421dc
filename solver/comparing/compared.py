"""What a comparison of two results holds: lengths in ticks (+ towards larger x), money in cents."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.comparing.result_file import FileFinding
from solver.units import Units

PipeChange = Literal[
    "added", "removed", "other-plane", "redrawn", "newly-moved", "no-longer-moved",
    "moves-differently",
]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a penetration stands in one result: plane, as drawn, its move, where it is set."""

    plane: str
    drawn: int
    moved: int
    x: int


@dataclass(frozen=True, slots=True)
class PlumberChange:
    """One penetration to be told of: every way in which it changed, `old` or `new` None if absent.

    `towards` and `towards_old` name the end a move goes to, where the results name it.
    """

    id: str
    kinds: tuple[PipeChange, ...]
    old: Spot | None
    new: Spot | None
    towards_old: str
    towards: str


@dataclass(frozen=True, slots=True)
class Laid:
    """How a plane is laid: end widths (ticks), how many panels, and how far off it may start.

    `line`: where it is laid both ways from, None where it is not. `odds`: (number, width, low,
    high) of its panels of odd width. `modules`: (stretch, first panel, last panel, change) wherever
    full panels are laid wider (+) or narrower than the cover.
    """

    first: int
    last: int
    panels: int
    window: tuple[int, int] | None
    line: int | None = None
    odds: tuple[tuple[int, int, int, int], ...] = ()
    modules: tuple[tuple[int, int, int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class CrewChange:
    """One plane that is laid differently; `old` or `new` None where the plane is not in a result.

    `shift`: by how much every seam moved, the short way
    within one cover; None where the seams did not all move alike.
    """

    id: str
    old: Laid | None
    new: Laid | None
    shift: int | None
    same_seams: bool


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that differs: money in cents, or a count."""

    name: str
    old: int
    new: int


@dataclass(frozen=True, slots=True)
class RateChange:
    """A rate that differs: (hours, material, each) or one hourly rate; guess or given."""

    name: str
    old: tuple[float, ...]
    new: tuple[float, ...]
    old_default: bool
    new_default: bool


@dataclass(frozen=True, slots=True)
class StateChange:
    """A penetration in another state, a curb that cuts another number of seams, or a new risk."""

    id: str
    old: str
    new: str
    cut_old: int
    cut_new: int
    risk_old: bool
    risk_new: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two layouts of two results, side by side."""

    units: Units
    titles: tuple[str, str]
    revisions: tuple[str, str]
    covers: tuple[int | None, int | None]
    same_case: bool
    ranks: tuple[int, int]
    proofs: tuple[str, str]
    plumber: tuple[PlumberChange, ...]
    crew: tuple[CrewChange, ...]
    costs: tuple[Figure, ...]
    counts: tuple[Figure, ...]
    rates: tuple[RateChange, ...]
    totals: tuple[int, int]
    states: tuple[StateChange, ...]
    links: tuple[tuple[tuple[str, ...], bool | None, bool | None], ...]
    findings_new: tuple[FileFinding, ...]
    findings_gone: tuple[FileFinding, ...]

    @property
    def nothing(self) -> bool:
        """Whether nobody has anything to be told."""
        return not (
            self.plumber or self.crew or self.costs or self.counts or self.rates or self.states
            or self.links or self.findings_new or self.findings_gone
            or any(pair[0] != pair[1] for pair in (self.titles, self.covers, self.proofs))
        )
