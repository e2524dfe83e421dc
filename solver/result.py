"""What leaves the solver: judged layouts, the ranked list, findings. Ticks and cents throughout.

A name ending in `2` counts half ticks. `solver.document` turns a `Result` into the result file.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from solver.case import Case, State
from solver.layout import Layout

Severity = Literal["error", "warning", "note"]
PROVEN: Final = "proven"
NOT_PROVEN: Final = "not proven"

COUNT_NAMES: Final = (
    "on-seam", "seams_cut", "crosses", "tight", "crowded", "moved", "links_missed", "off_centre",
    "unlanded", "odd_panels", "uneven", "stock",
)
"""The counts two candidates are compared by, in the order of the list rule."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the reader must know. `code` is stable, `about` are ids, `says` is a sentence."""

    code: str
    severity: Severity
    about: tuple[str, ...]
    says: str


@dataclass(frozen=True, slots=True)
class Cost:
    """Extra cost in cents over the same roof with every penetration clear."""

    flashing: int
    moves: int
    odd_panels: int
    look: int
    play: int = 0
    stock: int = 0

    @property
    def total(self) -> int:
        """The sum of the parts, in cents."""
        return self.flashing + self.moves + self.odd_panels + self.look + self.play + self.stock


@dataclass(frozen=True, slots=True)
class JudgedPenetration:
    """Where one penetration finally stands and what that means.

    `x`, `moved`, `seam_low`, `seam_high` in ticks; `room2`, `needed2`, `margin2`, `clear_from2`,
    `clear_to2` in half ticks. Curb: `seam_low` and `seam_high` are the nearest seams it does not
    cut, `room2` is the least flank to them, `needed2` the curb side; room and margin are None where
    there is no such seam. The clear stretch is for pipes only. `worst_room2` and `worst_margin2`
    are what is left after the worst shift of the seams and of the measured position. `landed` is
    for ribbed curbs only: whether a seam stands at the wall at the low and at the high end.
    """

    id: str
    plane: str
    x: int
    moved: int
    state: State
    room2: int | None
    needed2: int | None
    margin2: int | None
    seams_cut: int
    seam_low: int | None
    seam_high: int | None
    clear_from2: int | None
    clear_to2: int | None
    worst_room2: int | None = None
    worst_margin2: int | None = None
    landed: tuple[bool, bool] | None = None

    @property
    def at_risk(self) -> bool:
        """Clear as laid out, but not after the worst shift of seams and position."""
        return self.state == "clear" and self.worst_margin2 is not None and self.worst_margin2 < 0


@dataclass(frozen=True, slots=True)
class JudgedOdd:
    """A panel of odd width: its number, width, and where it lies, from low to high x (ticks)."""

    panel: int
    width: int
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class JudgedStretch:
    """The full panels between two control lines: stretch number, panel numbers, module (ticks).

    `first_panel` and `last_panel` are the panels of the stretch nearest to and farthest from where
    the laying starts. `full` is how many of them are full panels, which have the module as width.
    """

    stretch: int
    first_panel: int
    last_panel: int
    full: int
    module: int


@dataclass(frozen=True, slots=True)
class JudgedPlane:
    """First and last width and the seams of one plane, in increasing x (ticks).

    `stretches` are listed where the case allows play. `top` are the first and the last width at the
    top of a plane that is laid out out of square; seams are those at the eave.
    """

    id: str
    first: int
    last: int
    panels: int
    seams: tuple[int, ...]
    odd: tuple[JudgedOdd, ...] = ()
    stretches: tuple[JudgedStretch, ...] = ()
    top: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class JudgedLink:
    """Whether the seams of two linked planes meet (or stagger, where asked).

    `meet` goes by the grids the two planes start with. Odd panels and changed modules shift what
    lies behind them: `strays2` is the farthest (half ticks) that any seam of either plane misses,
    over the whole length, and more than the tolerance only where they do.
    """

    planes: tuple[str, str]
    meet: bool
    must: bool
    strays2: int = 0


@dataclass(frozen=True, slots=True)
class JudgedCentre:
    """Whether a pan's middle or a rib stands where one was asked for, and how far off (half ticks)
    the nearest one is, signed: + where it stands at larger x; None where there is no rib at all.
    """

    plane: str
    what: str
    on: str
    at: int
    hit: bool
    off2: int | None
    must: bool = False


@dataclass(frozen=True, slots=True)
class Breach:
    """One rule that a layout breaks: `code` as in the findings, ids, a sentence."""

    code: str
    about: tuple[str, ...]
    says: str


@dataclass(frozen=True, slots=True)
class Judged:
    """A layout and everything that follows from it, as the checker sees it.

    `counts` are in the order of COUNT_NAMES. `order` is the whole tie order, smaller is better:
    total cents, the counts, stretches of changed module, shortfall (half ticks), distance
    moved (ticks), minus the narrowest end (ticks; 0 where no plane has a seam), minus the width of
    all odd panels, minus the least distance (half ticks; 0 where there is no odd panel) from an odd
    panel's centre line to a penetration's centre or an end of its plane, the sum (half ticks) of
    the distances of odd panels' centre lines from where the laying starts, the sum of the sizes of
    the changes of module, then for every plane its first width, its odd panels and its changes, and
    last the signed moves.
    """

    layout: Layout
    cost: Cost
    counts: tuple[int, ...]
    order: tuple[int, ...]
    planes: tuple[JudgedPlane, ...]
    links: tuple[JudgedLink, ...]
    penetrations: tuple[JudgedPenetration, ...]
    breaks: tuple[Breach, ...]
    centres: tuple[JudgedCentre, ...] = ()


@dataclass(frozen=True, slots=True)
class Against:
    """What a listed layout gains and gives up against the first; `money` in cents, + is dearer."""

    gains: dict[str, int]
    gives: dict[str, int]
    money: int
    says: str


@dataclass(frozen=True, slots=True)
class Ranked:
    """One entry of the list.

    `bound` is the proven least total (cents) of any candidate allowed here. `windows` has a
    (from, to) of first widths in ticks for every plane, in plane order.
    """

    rank: int
    judged: Judged
    bound: int
    windows: tuple[tuple[int, int], ...]
    against_first: Against

    @property
    def proof(self) -> str:
        """`proven` exactly when the bound equals the cost."""
        return PROVEN if self.bound == self.judged.cost.total else NOT_PROVEN


@dataclass(frozen=True, slots=True)
class CoverRanked:
    """An entry of the list over several covers, and its cover (ticks)."""

    cover: int
    entry: Ranked


@dataclass(frozen=True, slots=True)
class Blind:
    """Each plane started on its own anywhere legal, nothing moved: mean and worst in cents."""

    mean: int
    worst: int
    starts: dict[str, int]


@dataclass(frozen=True, slots=True)
class Result:
    """The answer to a case. `layouts` is empty where no layout satisfies the rules or time ran out.

    `complete` is False where the list may go on but time ran out; `stopped` says why it ended early
    ("time", "interrupt") or is empty. `across` is the list over all covers where the case compares
    several; `case` and all else are then of the first entry's cover. `unfrozen` is what the best
    layout would cost (cents) if nothing were agreed yet, None where nothing is. `usual` is None
    where a plane has no legal start, `as_drawn` where nothing as drawn obeys the rules.
    """

    case: Case
    engine: str
    layouts: tuple[Ranked, ...]
    usual: Judged | None
    as_drawn: Judged | None
    blind: Blind | None
    findings: tuple[Finding, ...]
    proven: bool
    complete: bool
    stopped: str = ""
    seconds: float = 0.0
    versions: dict[str, str] = field(default_factory=dict)
    across: tuple[CoverRanked, ...] = ()
    unfrozen: int | None = None
