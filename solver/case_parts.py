"""Parts of a case that say what a roof looks like and what it is made of: outlines, pitches, where
the pattern should sit, sheets, prices. Ticks and exact fractions, frozen, like `solver.case`.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal

EdgeKind = Literal["eave", "ridge", "rake", "hip", "valley", "wall"]
EDGE_KINDS: Final[tuple[EdgeKind, ...]] = ("eave", "ridge", "rake", "hip", "valley", "wall")
Detail = Literal["flange", "ribbed", "close"]
Metal = Literal["steel", "aluminium", "zinc", "copper", "stainless"]
METALS: Final[tuple[Metal, ...]] = ("steel", "aluminium", "zinc", "copper", "stainless")
PRICE_NAMES: Final = (
    "panel", "clip", "fastener", "boot", "splice", "curb", "cricket", "end_lap",
    "eave", "ridge", "rake", "hip", "valley", "wall", "closure",
)
"""What the take-off prices: `panel` by the square foot (square metre) of stock, the edges and
`closure` by the foot (metre), all else by the piece."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A simple polygon on the slope: `points` (x, y; ticks), counter-clockwise seen from outside.

    `kinds` names the edge that begins at the point of the same number. No point is repeated, none
    lies in the middle of a straight edge of one kind.
    """

    points: tuple[tuple[int, int], ...]
    kinds: tuple[EdgeKind, ...]


@dataclass(frozen=True, slots=True)
class Hole:
    """A part of a plane that is not roofed: a dormer, an atrium. It lies within the plane."""

    what: str
    outline: Outline


@dataclass(frozen=True, slots=True)
class Pitch:
    """How steep a plane is: `rise` for one of run, as `text` says it in the case.

    Exact for a pitch given as rise and run; for one in degrees the tangent to 40 digits.
    """

    text: str
    rise: Fraction


@dataclass(frozen=True, slots=True)
class Centre:
    """A place `at` along a plane's eave (ticks) where a pan's middle or a rib should stand.

    It does where one is within `tol` (ticks) of it. `must`: a layout that misses it is not allowed.
    """

    plane: str
    at: int
    on: Literal["pan", "rib"]
    tol: int
    must: bool
    what: str


@dataclass(frozen=True, slots=True)
class Apart:
    """Two planes whose seams should meet along a hip, valley or ridge but cannot; `says` why."""

    planes: tuple[str, str]
    along: str
    says: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """What panels are made of and how they are cut (ticks where a length).

    A pan of cover c takes a sheet of c + `male` + `female`. `turn_up`: what is turned up at a
    ripped edge. `eave_hook`, `ridge_up`, `hip_up`, `valley_hook`, `wall_up`: what a panel's end is
    longer than the roof at that kind of edge. `max_length`: the longest panel that can be made or
    handled, None for no limit; longer ones are lapped by `lap`. `stock`: the lengths sheets come
    in, increasing; empty where panels are formed from coil. `thickness` is that of the metal.
    `clip_spacing`: along a seam; `fasteners`: in each clip.
    """

    metal: Metal
    thickness: int
    gauge: int | None
    male: int
    female: int
    turn_up: int
    eave_hook: int
    ridge_up: int
    hip_up: int
    valley_hook: int
    wall_up: int
    max_length: int | None
    lap: int
    stock: tuple[int, ...]
    clip_spacing: int
    fasteners: int
    given: bool


@dataclass(frozen=True, slots=True)
class Price:
    """Hours and material of one unit of a line of the take-off; `given`: the case states any."""

    hours: Decimal
    material: Decimal
    given: bool


@dataclass(frozen=True, slots=True)
class Gridline:
    """A grid line of the building that crosses a plane's eave at `x` (ticks)."""

    id: str
    plane: str
    x: int


@dataclass(frozen=True, slots=True)
class Fitting:
    """An elbow of one nominal size: its angle in degrees and centre to end (ticks), as given."""

    nominal: str
    angle: Literal["22.5", "45", "60"]
    centre_to_end: int


@dataclass(frozen=True, slots=True)
class Join:
    """Penetrations that could become one, and what the estimator charges for that.

    `keeps` is the one that stays, or None where `curb` (x, y, across, along; ticks) stands instead
    of all of them. `hours` are the plumber's.
    """

    id: str
    penetrations: tuple[str, ...]
    keeps: str | None
    curb: tuple[int, int, int, int] | None
    hours: Decimal
    material: Decimal


@dataclass(frozen=True, slots=True)
class Freeze:
    """What is already agreed: first widths by plane and moves by penetration (ticks)."""

    firsts: tuple[tuple[str, int], ...] = ()
    moves: tuple[tuple[str, int], ...] = ()


NOTHING_AGREED: Final = Freeze()


@dataclass(frozen=True, slots=True)
class Offset:
    """A reading from a base line that runs square up the slope: at height `y` (ticks) the low rake
    is `low` to its left and the high rake `high` to its right; None where it was not taken."""

    y: int
    low: int | None
    high: int | None


@dataclass(frozen=True, slots=True)
class Survey:
    """What was taped of a plane that should be a rectangle (ticks).

    Four sides and one or both diagonals: `up` from the low end of the eave to the high end of the
    ridge, `down` from the high end of the eave to the low end of the ridge. Or `offsets` from a
    base line `base` from the low end of the eave; sides and diagonals are then None where not
    taken.
    `run`: how the panels are to be laid on what was found: "square" to the eave with tapered ends,
    "fan" (every seam turned a little, within `play`), or "as-drawn" (only reported).
    """

    eave: int | None = None
    ridge: int | None = None
    low_rake: int | None = None
    high_rake: int | None = None
    up: int | None = None
    down: int | None = None
    base: int | None = None
    offsets: tuple[Offset, ...] = ()
    run: Literal["square", "fan", "as-drawn"] = "as-drawn"


@dataclass(frozen=True, slots=True)
class Lean:
    """How a plane that was found out of square is laid out.

    At the top of the plane its low and high rake stand `low` and `high` (ticks, + towards larger x)
    from where they stand at the eave. `fan`: every seam is turned a little, so that both end panels
    keep their widths; else all seams run square to the eave, and the end panels taper. `drawn` is
    how wide the plane is on the drawing.
    """

    low: int
    high: int
    fan: bool
    drawn: int


@dataclass(frozen=True, slots=True)
class Field:
    """What the crew works to (ticks): the face of a seam's leg that a tape hooks stands `tape_mark`
    before its centre, as seen from where laying starts; a control line about every `control`; the
    last `closing` of a run is laid to the far end. A pan of which a pipe stands more than `hook`
    proud cannot be hooked over it.
    """

    tape_mark: int
    control: int
    closing: int
    hook: int


@dataclass(frozen=True, slots=True)
class Movement:
    """Heat: how much warmer or colder the metal gets than when it was laid, `warmer` and `colder`
    (kelvin), and where panels are fixed: at `fixed` up the slope (ticks from the eave), or at their
    upper end, their lower end or their middle. `given`: the case has such a table.
    """

    warmer: Decimal
    colder: Decimal
    fixed: int | Literal["top", "bottom", "middle"]
    given: bool
