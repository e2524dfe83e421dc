"""The case as the solver sees it: every length in ticks, every default filled in, frozen.

`solver.case_file.load` makes these from a file. Nothing here knows how a file is written. A `…2` in
a name anywhere in the solver says that the number counts half ticks, so that halves of widths stay
whole.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, Literal

from solver.case_parts import (
    NOTHING_AGREED,
    Apart,
    Centre,
    Detail,
    Field,
    Hole,
    Lean,
    Movement,
    Outline,
    Pitch,
    Price,
    Sheet,
    Survey,
)
from solver.case_parts import Fitting as Fitting
from solver.case_parts import Freeze as Freeze
from solver.case_parts import Gridline as Gridline
from solver.case_parts import Join as Join
from solver.units import Units

Lay = Literal["left-to-right", "right-to-left", "from"]
Kind = Literal["pipe", "curb"]
Status = Literal["fixed", "stubbed", "planned"]
State = Literal["clear", "tight", "crosses", "on-seam", "crowded", "spans"]

PIPE_STATES: Final = ("clear", "tight", "crosses", "on-seam")
CURB_STATES: Final = ("clear", "crowded", "spans")
FORBIDDABLE: Final = ("tight", "crosses", "on-seam", "crowded", "spans")

RATE_NAMES: Final = (
    "tight", "crosses", "on_seam", "seam_cut", "crowded",
    "move_planned", "move_stubbed", "odd_panel", "play", "uneven", "misaligned", "off_centre",
    "unlanded", "area",
)
PLUMBER_RATES: Final = ("move_planned", "move_stubbed")


@dataclass(frozen=True, slots=True)
class Panel:
    """The panel profile. `cover`: coverage width, seam centre to seam centre (ticks).

    `seam_back` is what a seam takes of the flat on the side laid before it, `seam_fwd` on the side
    laid after it (ticks).
    """

    cover: int
    seam_back: int
    seam_fwd: int


@dataclass(frozen=True, slots=True)
class Rules:
    """The limits of a case, all in ticks except `forbid` (states) and the counts.

    `cover_tol`: how far each panel's real cover may be off; `remeasure`: panels between returns to
    a control line (a count); `width_tol`: how far the plane's width may be off. `robust`: states
    are judged by the room that is left after the worst shift. `odd_widths`: the only widths an odd
    panel may have; empty where every whole mark from `odd_min` to a mark less than the cover will
    do. `play`: how much wider or narrower the full panels of a stretch may be laid, in whole
    `play_mark`s. On a plane with an outline no piece of a panel is narrower than `min_piece` at its
    widest, nor shorter than `min_length`. `land_tol`: how far a seam may be off the wall of a
    ribbed curb. Only findings use `dead_zone` (no pipe that close above a curb), `split_below`
    (how far a splice reaches below a pipe) and `setbacks` (kind of edge, distance).
    """

    min_end: int
    work_gap: int
    hole_gap: int
    seamer_gap: int
    end_lap: int
    curb_side: int
    edge_gap: int
    spacing: int
    flange: int
    enough: int
    uneven_free: int
    meet_tol: int
    forbid: tuple[str, ...]
    odd_panels: int
    odd_min: int
    cover_tol: int = 0
    remeasure: int = 4
    width_tol: int = 0
    robust: bool = False
    x_tol: int = 0
    odd_widths: tuple[int, ...] = ()
    play: int = 0
    play_mark: int = 0
    min_piece: int = 0
    min_length: int = 0
    land_tol: int = 0
    dead_zone: int = 0
    split_below: int = 0
    setbacks: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Rate:
    """Person-hours and material of one occurrence. `given`: the case states at least one part."""

    hours: Decimal
    material: Decimal
    given: bool


@dataclass(frozen=True, slots=True)
class Rates:
    """What the estimator charges. `default` names every entry that is still our guess."""

    crew_hour: Decimal
    plumber_hour: Decimal
    each: dict[str, Rate]
    default: tuple[str, ...]

    def cents(self, name: str) -> int:
        """One occurrence of `name` in whole cents, halves up; the moves are the plumber's hours."""
        rate = self.each[name]
        hour = self.plumber_hour if name in PLUMBER_RATES else self.crew_hour
        amount = (rate.hours * hour + rate.material) * 100
        return int(amount.to_integral_value(rounding=ROUND_HALF_UP))


@dataclass(frozen=True, slots=True)
class Keepout:
    """Where no moved pipe may stand: a strip of the eave; with `y_from` and `y_to` a rectangle."""

    x_from: int
    x_to: int
    y_from: int | None
    y_to: int | None
    what: str


@dataclass(frozen=True, slots=True)
class Plane:
    """One roof plane: `width` along the eave, `length` up the slope (ticks).

    `start` is where the line stands that a plane laid both ways is laid from (ticks from its low
    end); None for a plane laid from one end to the other. `outline` is None for a plain rectangle;
    else `width` and `length` are its extent, and its least x and y are 0. `in_plan`: the case gives
    y in plan (here everything is on the slope). `lean` is given where it is laid out as surveyed;
    `width` is then that of the surveyed eave.
    """

    id: str
    width: int
    length: int
    lay: Lay
    low_end: str
    high_end: str
    keepouts: tuple[Keepout, ...]
    start: int | None = None
    outline: Outline | None = None
    holes: tuple[Hole, ...] = ()
    pitch: Pitch | None = None
    in_plan: bool = False
    survey: Survey | None = None
    lean: Lean | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """Two planes whose seams should meet (or stand half a cover apart, if `stagger`).

    `along`: the kind of edge they share, where `offset` follows from their outlines; else empty.
    """

    planes: tuple[str, str]
    how: Literal["mirror", "same"]
    offset: int
    stagger: bool
    must: bool
    along: str = ""


@dataclass(frozen=True, slots=True)
class Penetration:
    """A pipe or a curb; `x`, `y` its centre (ticks).

    Pipe: `outside` is the body's diameter, `base` the flashing's width as it counts (a turned
    square base is already taken across its corners); `across` and `along` are 0. Curb: the other
    way round. `status` is as it counts: `fixed` in a re-roof and where the case holds the pipe.
    `reach_low` and `reach_high` are 0 for whatever cannot move. `x_tol` is how far its measured
    position may be off (ticks), `nominal` its nominal size as `Fitting.nominal` names it, `use`
    what it serves ("vent", "drain", …), `headroom` the height free for an offset below the deck.
    `makeable` are the offsets (from, to; ticks) that two equal fittings can make of a stubbed pipe;
    None where the case gives no fittings of its size: then any offset from `min_offset` will do.
    `detail` is how a curb is built and `must_land` whether a ribbed one must have a seam at both
    walls. `ends` are where the roof ends beside it, at its own y (ticks, towards the inside where
    that is no whole tick); None on a plain rectangle, which ends at 0 and at its width. `height`
    is how far it stands out of the roof, `before` whether it stands there before the panels go on,
    `allows` how far its flashing lets the panel move either way; None where the case does not say.
    """

    id: str
    plane: str
    kind: Kind
    x: int
    y: int
    outside: int
    base: int
    across: int
    along: int
    status: Status
    written_status: Status
    hold: str | None
    reach_low: int
    reach_high: int
    min_offset: int
    forbid: tuple[str, ...]
    x_tol: int = 0
    nominal: str | None = None
    use: str | None = None
    headroom: int | None = None
    makeable: tuple[tuple[int, int], ...] | None = None
    detail: Detail = "flange"
    must_land: bool = False
    ends: tuple[int, int] | None = None
    height: int | None = None
    before: bool | None = None
    allows: int | None = None


@dataclass(frozen=True, slots=True)
class Case:
    """Everything a case says. `step` is what a moved pipe moves by; `file` is only for messages.

    `covers` holds the whole case once for each cover to be compared, in the order of the file;
    empty where there is only one. `revision` and `date` are shown on sheets. `sources` are the
    files it was read from, which nothing may overwrite. `reach` is that of a pipe that gives none.
    `prices` are those of the take-off, by name.
    """

    file: str
    sha256: str
    title: str
    units: Units
    setting: Literal["new", "reroof"]
    mark: int
    step: int
    panel: Panel
    rules: Rules
    rates: Rates
    planes: tuple[Plane, ...]
    links: tuple[Link, ...]
    penetrations: tuple[Penetration, ...]
    gridlines: tuple[Gridline, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    joins: tuple[Join, ...] = ()
    freeze: Freeze = NOTHING_AGREED
    covers: tuple[Case, ...] = ()
    revision: str = ""
    date: str = ""
    sources: tuple[str, ...] = ()
    reach: int = 0
    centres: tuple[Centre, ...] = ()
    apart: tuple[Apart, ...] = ()
    sheet: Sheet | None = None
    prices: tuple[tuple[str, Price], ...] = ()
    field: Field | None = None
    movement: Movement | None = None

    def on(self, plane_id: str) -> tuple[int, ...]:
        """Indices of the penetrations of one plane, in the order of the case."""
        return tuple(i for i, pen in enumerate(self.penetrations) if pen.plane == plane_id)


def alone(case: Case, planes: tuple[str, ...]) -> Case:
    """The case with these planes only, and nothing on them but where the pattern should sit."""
    return replace(
        case,
        planes=tuple(plane for plane in case.planes if plane.id in planes),
        centres=tuple(centre for centre in case.centres if centre.plane in planes),
        penetrations=(), links=(), apart=(), gridlines=(), fittings=(), joins=(), covers=(),
        freeze=Freeze(),
    )


def needed2(pen: Penetration, rules: Rules) -> int:
    """Room a pipe needs to be clear, in half ticks: the larger of base + gap and body + seamer."""
    return max(pen.base + 2 * rules.work_gap, pen.outside + 2 * rules.seamer_gap)


def ends_of(plane: Plane, pen: Penetration) -> tuple[int, int]:
    """Where the roof ends beside a penetration of the plane, at its height of the slope (ticks)."""
    return (0, plane.width) if pen.ends is None else pen.ends
