"""What a field sheet is made of. Ticks throughout; distances grow from where laying starts.

A *run* is what is laid one way from a start: a plane laid from an end has one, a plane laid both
ways from a line has two. The *datum* is where the crew hooks the tape: the start itself or, where
the eave does not reach it, the corner of the eave nearest to it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from solver.case import Case, Penetration, Plane
from solver.case_parts import Field
from solver.result import Finding, Judged, JudgedPenetration, JudgedPlane

if TYPE_CHECKING:
    from solver.field.movement import Movements

RowKind = Literal["start", "seam", "end"]


@dataclass(frozen=True, slots=True)
class Ahead:
    """A penetration between two rows of a run.

    `past` is from the reading of the row before it (`low`, a seam's number; None: the start) to its
    centre. `high` is the number of the seam behind it, None for the far end. `on`: its centre is on
    seam `low`. `cut` are the numbers of the seams between the two, which a curb cuts.
    """

    pen: Penetration
    stands: JudgedPenetration
    low: int | None
    high: int | None
    past: int
    on: bool
    cut: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: the start, a seam, or the far end.

    `number` is the seam's, as reports count it; None for an end of the plane. `centre` is how far
    its centre stands from the start, `at` what the tape reads at its mark. `back` is the distance
    from the mark of the control line before it (`control`, the number of its seam; None: from the
    datum), and for a control line that from the one before. `line` counts the control lines from 1,
    0 is none. `top`: what the tape reads at the ridge, hooked at the rake there, on a plane that is
    laid out out of square; None elsewhere, where that is `at`. `measure`: measure back here.
    `closing`: the closing stretch begins here. `here` are the penetrations between this row and the
    next, `next` the nearest penetration still ahead. `lay` says what differs of the panel that
    follows, `notes` what to mind before it goes on.
    """

    kind: RowKind
    number: int | None
    centre: int
    at: int
    back: int
    control: int | None
    line: int = 0
    measure: bool = False
    closing: bool = False
    top: int | None = None
    here: tuple[Ahead, ...] = ()
    next: Ahead | None = None
    lay: tuple[PanelWidth, ...] = ()
    notes: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class PanelWidth:
    """Panels `first` to `last` (numbers) that follow a row and are laid to `width`.

    "end": the first or the last of the plane; "odd": one of odd width; "full": full panels from
    here on, whose width differs from those before. `top` is the width at the ridge on a plane that
    is laid out out of square; None elsewhere.
    """

    first: int
    last: int
    width: int
    kind: Literal["end", "odd", "full"]
    top: int | None = None


@dataclass(frozen=True, slots=True)
class NoLine:
    """No control line near `target` (from the datum): the flashings that are in the way, or that
    no seam starts at the eave there (`eave` False)."""

    target: int
    about: tuple[str, ...]
    eave: bool


@dataclass(frozen=True, slots=True)
class Closing:
    """The last stretch of a run, from seam `seam` (None: the start) to the far end.

    `remains` is from its mark to the far end. `panels` are still to be laid, `full` of them are
    full panels, each of which may be laid `least` to `most` wide; `last` is the width of the last
    one as laid out, which stays legal from `last_least` to `last_most`. The run still closes where
    the tape reads up to `ahead` more, or up to `behind` less, than listed at that seam. `play`: the
    full panels' play is counted in. `about` are the penetrations in the stretch.
    """

    seam: int | None
    remains: int
    panels: int
    full: int
    least: int
    most: int
    last: int
    last_least: int
    last_most: int
    ahead: int
    behind: int
    play: bool
    about: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Run:
    """One way of laying a plane: + (`way` 1) is towards larger x.

    `start` is the x where it starts, `far` the distance to the far end, `datum` the distance from
    the start to where the tape is hooked, `gaps` stretches (from the datum) that have no eave.
    """

    way: Literal[1, -1]
    start: int
    far: int
    datum: int
    gaps: tuple[tuple[int, int], ...]
    rows: tuple[Row, ...]
    no_line: tuple[NoLine, ...] = ()
    closing: Closing | None = None


@dataclass(frozen=True, slots=True)
class Triangle:
    """A 3-4-5 triangle: its right angle on the eave at x `corner`, `n` units of 3, 4 and 5.

    `seam` is the number of the seam at whose mark the right angle is, None at the start; `at` what
    the tape of that run reads there. `along` and `up` are its sides, `across` the third. `way` is
    to which side `along` runs.
    """

    n: int
    unit: int
    corner: int
    seam: int | None
    at: int
    way: Literal[1, -1]
    along: int
    up: int

    @property
    def across(self) -> int:
        """The longest side."""
        return 5 * self.n * self.unit


@dataclass(frozen=True, slots=True)
class Diagonal:
    """The plain diagonal of a rectangle `wide` by `long`.

    `panel` is the panel it belongs to, None for the stretch up to the first control line (`seam`).
    `square` is the exact square of the diagonal, `length` the diagonal to the nearest `fine`. For
    every pair in `off`: a diagonal read so much too long means that the top is so much to the side.
    """

    wide: int
    long: int
    panel: int | None
    seam: int | None
    square: int
    length: int
    fine: int
    off: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class PlaneField:
    """The sheet of one plane."""

    plane: Plane
    judged: JudgedPlane
    triangle: Triangle | None
    diagonals: tuple[Diagonal, ...]
    runs: tuple[Run, ...]

    @property
    def notes(self) -> tuple[Finding, ...]:
        """All order-of-work notes, run by run."""
        return tuple(note for run in self.runs for row in run.rows for note in row.notes)


@dataclass(frozen=True, slots=True)
class FieldSheets:
    """The sheets of layout `rank` of a case, one a plane."""

    case: Case
    rank: int
    judged: Judged
    limits: Field
    planes: tuple[PlaneField, ...]
    movement: Movements | None = field(default=None)
