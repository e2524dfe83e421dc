"""A second opinion on small cases: the rules again, by naive enumeration.

It shares no code with the program.

`solve` tries every legal first width of every plane and every allowed combination of moves, prices
each, and lists what the rules list. `check` prices one given layout and says each rule it breaks.
It is meant to be obviously right, not fast.

Inside, every length is an integer count of *half ticks* (1/1280 mm), so that half a width is exact;
lengths go out in ticks (1/640 mm). Money is whole cents.

`faults` plants deliberate wrong readings (see oracle_faults), so that a test can show that
comparing two sets of answers would notice each of them. Without faults none of those branches is
taken.

A case with several covers has a list across them in `oracle_covers.solve_covers`; here the first of
its covers counts. What two equal fittings can make is in `oracle_fittings`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import combinations, product
from math import floor, isqrt
from typing import Any

from oracle_faults import FAULTS, LEVELS, NO_FAULTS, PLANE_LEVELS, STAGE2_FAULTS
from oracle_fittings import can_make

IN, MM = 16256 * 2, 640 * 2  # half ticks per inch and per millimetre
UNIT = {"in": IN, "mm": MM, "ft": 12 * IN, "m": 1000 * MM, '"': IN, "'": 12 * IN}
PIPE_STATES = ("clear", "tight", "crosses", "on-seam")

# Lengths that a case may leave out: (in inches, in millimetres).
DEFAULTS: dict[str, tuple[str, str]] = {
    "mark": ("1/16", "1"), "seam_half": ("1/2", "12"), "work_gap": ("1/2", "12"),
    "hole_gap": ("3/8", "10"), "seamer_gap": ("0", "0"), "end_lap": ("4", "100"),
    "curb_side": ("6", "150"), "edge_gap": ("12", "300"), "spacing": ("12", "300"),
    "flange": ("2 1/2", "65"), "enough": ("1 1/2", "40"), "uneven_free": ("2", "50"),
    "meet_tol": ("1/4", "6"), "step": ("1/2", "10"), "reach": ("12", "300"),
    "min_offset": ("3", "75"), "least_end": ("5", "125"), "uneven_unit": ("1", "25"),
}  # fmt: skip
DEFAULT_RATES: dict[str, tuple[str, str]] = {  # hours, material
    "tight": ("0.5", "0"), "crosses": ("2", "35"), "on_seam": ("5", "150"),
    "seam_cut": ("1.5", "40"), "crowded": ("2", "60"), "move_planned": ("0.5", "0"),
    "move_stubbed": ("1.5", "45"), "odd_panel": ("1.5", "60"), "uneven": ("0.25", "0"),
    "misaligned": ("1", "0"), "play": ("0.25", "0"),
}  # fmt: skip
DEFAULT_HOURS = {"crew_hour": "95", "plumber_hour": "120"}


# ---------------------------------------------------------------------------- reading a case


def exact(value: Any) -> Fraction:
    """The number that was written: a float stands for its shortest decimal text."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal | str):
        raise ValueError(f"not a number: {value!r}")
    return Fraction(Decimal(repr(value) if isinstance(value, float) else str(value)))


_NUM = r"\d+(?:\.\d+)?(?:[ -]\d+/\d+)?|\.\d+|\d+/\d+"
_LENGTH = re.compile(
    rf"(?P<sign>[+-]?)\s*(?:(?P<feet>{_NUM})\s*(?:'|ft)\s*-?\s*)?(?:(?P<rest>{_NUM})\s*(?P<unit>\"|in|mm|m)?)?"
)


def _mixed(text: str) -> Fraction:
    """ "11 1/2", "11-1/2", "1/2" or "11.5" as a fraction."""
    return sum((Fraction(part) for part in re.split(r"[ -]", text)), Fraction(0))


def half_ticks(value: Any, units: str) -> int:
    """Any length of a case, rounded once to the nearest tick (halves away from zero)."""
    if isinstance(value, str):
        found = _LENGTH.fullmatch(value.strip())
        if not found or (found["feet"] is None and found["rest"] is None):
            raise ValueError(f"not a length: {value!r}")
        size = Fraction(0)
        if found["feet"] is not None:
            size += _mixed(found["feet"]) * UNIT["ft"]
        if found["rest"] is not None:
            named = found["unit"] or ("in" if found["feet"] is not None else units)
            size += _mixed(found["rest"]) * UNIT[named]
        size = -size if found["sign"] == "-" else size
    else:
        size = exact(value) * UNIT[units]
    ticks = floor(abs(size) / 2 + Fraction(1, 2))
    return 2 * ticks if size >= 0 else -2 * ticks


@dataclass(frozen=True)
class Keepout:
    lo: int
    hi: int
    y_lo: int | None
    y_hi: int | None


@dataclass(frozen=True)
class Plane:
    id: str
    width: int
    rightward: bool  # laid left to right
    keepouts: tuple[Keepout, ...]


@dataclass(frozen=True)
class Pen:
    id: str
    plane: int
    pipe: bool
    x: int
    y: int
    outside: int  # pipe
    base: int  # pipe: width of the flashing across the slope
    across: int  # curb
    along: int  # curb
    status: str
    reach_low: int
    reach_high: int
    min_offset: int
    forbid: frozenset[str]
    x_tol: int
    bends: Mapping[str, int] | None  # centre-to-end by angle; None: anything can be made
    headroom: int | None


@dataclass(frozen=True)
class Link:
    one: int
    two: int
    mirror: bool
    offset: int
    stagger: bool
    must: bool


@dataclass(frozen=True)
class Case:
    cover: int
    back: int
    fwd: int
    min_end: int
    lengths: Mapping[str, int]  # mark, gaps, step …
    cents: Mapping[str, int]  # per unit of each rate
    planes: tuple[Plane, ...]
    pens: tuple[Pen, ...]
    links: tuple[Link, ...]
    cover_tol: int  # each panel's cover may be off by this
    remeasure: int  # panels between returns to a chalk line
    width_tol: int
    robust: bool
    agreed_firsts: Mapping[int, int]  # by plane
    agreed_moves: Mapping[int, int]  # by penetration
    faults: frozenset[str]

    def on(self, plane: int) -> list[int]:
        """The penetrations of a plane, by index, in file order."""
        return [i for i, pen in enumerate(self.pens) if pen.plane == plane]


def _cents(doc: Mapping[str, Any], faults: frozenset[str]) -> dict[str, int]:
    """Whole cents of each rate; a rate given in part takes the rest from the table."""
    hour = {name: exact(doc.get(name, text)) for name, text in DEFAULT_HOURS.items()}
    cents = {}
    for name, (hours, material) in DEFAULT_RATES.items():
        given = doc.get(name, {})
        pay = hour["plumber_hour" if name.startswith("move_") else "crew_hour"]
        cost = exact(given.get("hours", hours)) * pay + exact(given.get("material", material))
        if "halves-down" in faults:
            cents[name] = -floor(-(cost * 100 - Fraction(1, 2)))
        else:
            cents[name] = floor(cost * 100 + Fraction(1, 2))
    return cents


def _pen(
    doc: Mapping[str, Any], document: Mapping[str, Any], planes: Sequence[Plane],
    lengths: Mapping[str, int], size: Callable[[Any], int], faults: frozenset[str],
) -> Pen:  # fmt: skip
    pipe = doc["kind"] == "pipe"
    outside = size(doc["outside"]) if pipe else 0
    base = size(doc["base"]) if "base" in doc else outside + 2 * lengths["flange"]
    if doc.get("turned", False) and "turned-ignored" not in faults:
        ticks = base // 2
        root = isqrt(2 * ticks * ticks)
        base = 2 * (root if root * root == 2 * ticks * ticks else root + 1)
    status = doc.get("status", "fixed") if pipe else "fixed"
    if document.get("setting", "new") == "reroof" and "reroof-ignored" not in faults:
        status = "fixed"
    if doc.get("hold") and "hold-ignored" not in faults:
        status = "fixed"
    reach = size(doc["reach"]) if "reach" in doc else lengths["reach"]
    low = size(doc["reach_low"]) if "reach_low" in doc else reach
    high = size(doc["reach_high"]) if "reach_high" in doc else reach
    if "reach-sides-swapped" in faults:
        low, high = high, low
    general = document.get("rules", {}).get("forbid", [])
    forbid = frozenset(doc.get("forbid", general))
    if "forbid-adds" in faults:
        forbid |= frozenset(general)
    if "forbid-ignored" in faults:
        forbid = frozenset()
    rules = document.get("rules", {})
    x_tol = size(doc["x_tol"]) if "x_tol" in doc else size(rules.get("x_tol", 0))
    if "x_tol" in doc and "x-tol-adds" in faults:
        x_tol += size(rules.get("x_tol", 0))
    if "x-tol-ignored" in faults or (not pipe and "x-tol-for-pipes" in faults):
        x_tol = 0
    bends = None
    if "nominal" in doc and str(doc["nominal"]) in document.get("fittings", {}):
        given = document["fittings"][str(doc["nominal"])]
        bends = {name: size(length) for name, length in given.items()}
    headroom = size(doc["headroom"]) if "headroom" in doc else None
    return Pen(
        id=doc["id"],
        plane=[p.id for p in planes].index(doc["plane"]),
        pipe=pipe,
        x=size(doc["x"]),
        y=size(doc["y"]),
        outside=outside,
        base=base if pipe else 0,
        across=0 if pipe else size(doc["across"]),
        along=0 if pipe else size(doc["along"]),
        status=status,
        reach_low=low,
        reach_high=high,
        min_offset=size(doc["min_offset"]) if "min_offset" in doc else lengths["min_offset"],
        forbid=forbid,
        x_tol=x_tol,
        bends=None if "fittings-ignored" in faults else bends,
        headroom=None if "headroom-ignored" in faults else headroom,
    )


def read(document: Mapping[str, Any], faults: frozenset[str] = NO_FAULTS) -> Case:
    """A case document (the shape of the case file) as exact integers; `faults` are planted."""
    unknown = faults - FAULTS.keys() - STAGE2_FAULTS.keys()
    if unknown:
        raise ValueError(f"unknown faults: {sorted(unknown)}")
    units = document["units"]
    panel, rules = document["panel"], document.get("rules", {})
    if isinstance(panel["cover"], Sequence) and not isinstance(panel["cover"], str):
        panel = {**panel, "cover": panel["cover"][0]}

    def size(value: Any) -> int:
        return half_ticks(value, units)

    if rules.get("odd_panels", 0):
        raise ValueError("odd panels are for oracle_odd")
    given = {**document.get("moves", {}), **rules, **panel}
    if "mark" in document:
        given["mark"] = document["mark"]
    lengths = {
        name: size(given.get(name, texts[units == "mm"])) for name, texts in DEFAULTS.items()
    }
    cover = size(panel["cover"])
    # a third of the cover in whole ticks (a third is never half a tick off)
    third = 2 * floor(Fraction(cover, 6) + Fraction(1, 2))
    min_end = min(max(third, lengths["least_end"]), cover)
    if "min_end" in rules:
        min_end = size(rules["min_end"])
    if "end-lap-ignored" in faults:
        lengths["end_lap"] = 0
    if "edge-gap-ignored" in faults:
        lengths["edge_gap"] = -(10**12)
    if "curb-side-ignored" in faults:
        lengths["curb_side"] = 0
    if "work-gap-only" in faults:
        lengths["seamer_gap"] = 0
    if "uneven-free-ignored" in faults:
        lengths["uneven_free"] = 0
    back = size(panel["seam_back"]) if "seam_back" in panel else lengths["seam_half"]
    fwd = size(panel["seam_fwd"]) if "seam_fwd" in panel else lengths["seam_half"]
    if "sides-swapped" in faults:
        back, fwd = fwd, back
    planes = tuple(
        Plane(
            id=doc["id"],
            width=size(doc["width"]),
            rightward="lay-ignored" in faults or doc.get("lay", "left-to-right") == "left-to-right",
            keepouts=tuple(
                Keepout(
                    size(k["from"]),
                    size(k["to"]),
                    size(k["y_from"]) if "y_from" in k and "y_to" in k else None,
                    size(k["y_to"]) if "y_from" in k and "y_to" in k else None,
                )
                for k in doc.get("keepout", [])
            ),
        )
        for doc in document["plane"]
    )
    ids = [plane.id for plane in planes]
    pens = tuple(
        _pen(doc, document, planes, lengths, size, faults)
        for doc in document.get("penetration", [])
    )
    freeze = {} if "freeze-ignored" in faults else document.get("freeze", {})
    firsts = {} if "freeze-first-ignored" in faults else freeze.get("first", {})
    moves = {} if "freeze-move-ignored" in faults else freeze.get("move", {})
    return Case(
        cover=cover,
        back=back,
        fwd=fwd,
        min_end=min_end,
        lengths=lengths,
        cents=_cents(document.get("rates", {}), faults),
        planes=planes,
        pens=pens,
        links=tuple(
            Link(
                one=ids.index(doc["planes"][0]),
                two=ids.index(doc["planes"][1]),
                mirror=doc["how"] == "mirror" and "mirror-as-same" not in faults,
                offset=0 if "link-offset-ignored" in faults else size(doc.get("offset", 0)),
                stagger=bool(doc.get("stagger", False)) and "stagger-ignored" not in faults,
                must=bool(doc.get("must", False)) and "must-ignored" not in faults,
            )
            for doc in document.get("link", [])
        ),
        cover_tol=size(rules.get("cover_tol", 0)),
        remeasure=int(rules.get("remeasure", 4)),
        width_tol=size(rules.get("width_tol", 0)),
        robust="robust-always" in faults
        or (bool(rules.get("robust", False)) and "robust-ignored" not in faults),
        agreed_firsts={ids.index(plane): size(first) for plane, first in firsts.items()},
        agreed_moves={
            [pen.id for pen in pens].index(pen_id): size(move) for pen_id, move in moves.items()
        },
        faults=faults,
    )


# ---------------------------------------------------------------------------- the panel grid


def seams(case: Case, plane: Plane, first: int) -> list[int]:
    """Where seams stand, in the order they are laid, as x."""
    found = []
    if plane.width > case.cover:
        at = first
        while at < plane.width:
            found.append(at if plane.rightward else plane.width - at)
            at += case.cover
    return found


def seam_shift(case: Case, plane: Plane, number: int) -> int:
    """How far a seam may stand from its place; 0 is the first from the starting end."""
    faults, every = case.faults, case.remeasure
    panels = 0 if number == 0 else (number - 1) % every + 1
    if "creep-never-reset" in faults:
        panels = number
    elif "first-seam-creeps" in faults:
        panels = number % every + 1
    elif "reset-late" in faults:
        panels = 0 if number == 0 else (number - 1) % (every + 1) + 1
    elif "reset-to-nothing" in faults:
        panels = number % every
    shift = panels * case.cover_tol
    from_high_end = not plane.rightward
    if "width-tol-wrong-end" in faults:
        from_high_end = plane.rightward
    if "width-tol-all-seams" in faults:
        from_high_end = True
    if from_high_end and "width-tol-ends-only" not in faults:
        shift += case.width_tol
    return shift


def end_shifts(case: Case, plane: Plane, seam_count: int) -> tuple[int, int]:
    """How far the low and the high end of a plane may be from their places."""
    if "width-tol-wrong-end" in case.faults:
        return case.width_tol, 0
    high = 0 if "high-end-still" in case.faults else case.width_tol
    if "ends-creep" in case.faults:
        far = seam_shift(case, plane, seam_count)
        return (0, max(high, far)) if plane.rightward else (far, high)
    return 0, high


def last_width(case: Case, plane: Plane, first: int) -> int:
    """What the far end gets."""
    if plane.width <= case.cover:
        return plane.width
    at = first
    while at + case.cover < plane.width:
        at += case.cover
    return plane.width - at


def whole_marks(case: Case) -> list[int]:
    """Every first width that the marks allow, whatever the end rule says, in increasing order."""
    mark = case.lengths["mark"]
    widths = {k * mark for k in range(1, case.cover // mark + 1)}
    if "cover-needs-mark" not in case.faults:
        widths.add(case.cover)
    return sorted(widths)


def legal_firsts(case: Case, plane: Plane) -> list[int]:
    """Every legal first width of a plane, in increasing order."""
    if plane.width <= case.cover:
        return [plane.width]

    def long_enough(width: int) -> bool:
        if "min-end-strict" in case.faults:
            return width > case.min_end
        return case.min_end <= width <= case.cover

    return [
        first
        for first in whole_marks(case)
        if long_enough(first) and long_enough(last_width(case, plane, first))
    ]


def largest_min_end(case: Case, plane: Plane) -> int:
    """The largest whole-mark min_end for which the plane has a legal first width."""
    best = max(min(first, last_width(case, plane, first)) for first in whole_marks(case))
    return best - best % case.lengths["mark"]


def usual_first(case: Case, plane: Plane) -> int:
    """The legal first width nearest to both ends equal; of two equally near the wider."""
    if plane.width <= case.cover:
        return plane.width
    rest = plane.width % case.cover
    if rest == 0:
        ideal_twice = 2 * case.cover
    elif rest >= 2 * case.min_end or "usual-legal-only" in case.faults:
        ideal_twice = rest
    else:
        ideal_twice = rest + case.cover
    wider = 1 if "usual-narrower" in case.faults else -1
    return min(legal_firsts(case, plane), key=lambda f: (abs(2 * f - ideal_twice), wider * f))


def uneven_units(case: Case, plane: Plane, first: int) -> int:
    """Whole inches (25 mm) by which the ends differ beyond what is free."""
    return uneven_by(case, first, last_width(case, plane, first))


def uneven_by(case: Case, first: int, last: int) -> int:
    """The same of a first and a last width."""
    differ = abs(first - last)
    beyond = max(0, differ - case.lengths["uneven_free"])
    if "uneven-up" in case.faults:
        return -(-beyond // case.lengths["uneven_unit"])
    return beyond // case.lengths["uneven_unit"]


def link_met(case: Case, link: Link, firsts: Sequence[int]) -> bool:
    """Whether the two grids agree to within meet_tol, modulo cover."""
    one, two = case.planes[link.one], case.planes[link.two]
    seams_one, seams_two = seams(case, one, firsts[link.one]), seams(case, two, firsts[link.two])
    if not seams_one or not seams_two:
        return True
    return grids_met(case, link, seams_one[0], seams_two[0])


def grids_met(case: Case, link: Link, seam_one: int, seam_two: int) -> bool:
    """The same of any one seam of each grid."""
    one = case.planes[link.one]
    mapped = one.width + link.offset - seam_one if link.mirror else seam_one + link.offset
    apart_twice = 2 * (mapped - seam_two)
    if link.stagger:
        apart_twice -= case.cover
    apart_twice %= 2 * case.cover
    apart_twice = min(apart_twice, 2 * case.cover - apart_twice)
    if "tol-strict" in case.faults:
        return apart_twice < 2 * case.lengths["meet_tol"]
    return apart_twice <= 2 * case.lengths["meet_tol"]


# ---------------------------------------------------------------------------- one penetration


@dataclass(frozen=True)
class Stand:
    """How one penetration stands in one layout; lengths in half ticks."""

    state: str
    room: int | None
    needed: int
    margin: int | None
    cuts: int
    worst_room: int | None  # when every seam, end and centre is off by as much as it may be
    worst_margin: int | None
    ruling_margin: int | None  # what the shortfall goes by: the worst margin where robust


def facing_side(case: Case, plane: Plane, seam: int, x: int) -> int:
    """What a seam takes of the flat on the side where x lies; at the seam itself the larger."""
    if seam == x:
        return max(case.back, case.fwd)
    seam_is_lower = seam < x
    seam_laid_before = seam_is_lower if plane.rightward else not seam_is_lower
    return case.fwd if seam_laid_before else case.back


def least_rooms(case: Case, rooms: Sequence[tuple[int, int]], x_tol: int) -> tuple[int, int]:
    """The least room and the least worst room out of (room, shift) of all seams and ends."""
    if "nearest-seam-only" in case.faults:
        room, shift = min(rooms)
        return room, room - shift - x_tol
    return min(room for room, _ in rooms), min(room - shift for room, shift in rooms) - x_tol


def stand(case: Case, pen: Pen, first: int, x: int) -> Stand:
    """State, room and margin of a penetration with its centre at x."""
    plane = case.planes[pen.plane]
    grid = [
        (seam, facing_side(case, plane, seam, x), seam_shift(case, plane, j))
        for j, seam in enumerate(seams(case, plane, first))
    ]
    low_shift, high_shift = end_shifts(case, plane, len(grid))
    if "ends-as-seams" in case.faults:
        grid = [
            (0, facing_side(case, plane, 0, x), low_shift),
            *grid,
            (plane.width, facing_side(case, plane, plane.width, x), high_shift),
        ]
    return stand_among(case, pen, x, grid, low_shift, high_shift)


def stand_among(
    case: Case, pen: Pen, x: int, grid: Sequence[tuple[int, int, int]], low_shift: int,
    high_shift: int,
) -> Stand:  # fmt: skip
    """The same among given seams: where each is, what it takes towards x, how far it may shift."""
    plane = case.planes[pen.plane]
    size = case.lengths
    if pen.pipe:
        rooms = [(abs(x - at) - side, shift) for at, side, shift in grid]
        if "ends-as-seams" not in case.faults:
            rooms.append((x - size["end_lap"], low_shift))
            rooms.append((plane.width - x - size["end_lap"], high_shift))
        room, worst = least_rooms(case, rooms, pen.x_tol)
        needed = max(pen.base // 2 + size["work_gap"], pen.outside // 2 + size["seamer_gap"])
        ruling = worst if case.robust else room
        if ruling > needed or (ruling == needed and "clear-strict" not in case.faults):
            state = "clear"
        elif ruling >= pen.base // 2:
            state = "tight"
        elif ruling >= pen.outside // 2 + size["hole_gap"]:
            state = "crosses"
        else:
            state = "on-seam"
        return Stand(
            state, room, needed, room - needed, 0, worst, worst - needed, ruling - needed
        )  # fmt: skip
    cuts, flanks = 0, []
    for seam, side, shift in grid:
        reach = pen.across // 2 + side
        away = abs(seam - x)
        if "cut-by-worst" in case.faults and case.robust:
            away -= shift + pen.x_tol
        if away < reach or (away == reach and "cut-at-touch" in case.faults):
            cuts += 1
        else:
            flanks.append((abs(seam - x) - pen.across // 2, shift))
    side = size["curb_side"]
    if not flanks:
        return Stand("spans" if cuts else "clear", None, side, None, cuts, None, None, None)
    flank, worst = least_rooms(case, flanks, pen.x_tol)
    ruling = worst if case.robust and "worst-curb-ignored" not in case.faults else flank
    if ruling < side or (ruling == side and "crowd-at-touch" in case.faults):
        state = "crowded"
    else:
        state = "spans" if cuts else "clear"
    return Stand(state, flank, side, flank - side, cuts, worst, worst - side, ruling - side)


def pen_cost(case: Case, pen: Pen, how: Stand) -> int:
    """Cents of flashing for a penetration as it stands (its move apart)."""
    if pen.pipe:
        return 0 if how.state == "clear" else case.cents[how.state.replace("-", "_")]
    crowded = how.state == "crowded"
    if crowded and "crowded-or-cut" in case.faults:
        return case.cents["crowded"]
    return how.cuts * case.cents["seam_cut"] + (case.cents["crowded"] if crowded else 0)


def shortfall(case: Case, how: Stand) -> int:
    """How far a clear pipe, or a clear or spanning curb, stays below `enough`."""
    if how.state not in ("clear", "spans") and "enough-for-all" not in case.faults:
        return 0
    margin = how.margin if "robust-state-only" in case.faults else how.ruling_margin
    if margin is None:
        return 0
    return max(0, case.lengths["enough"] - margin)


def clear_enough(case: Case, how: Stand) -> bool:
    """Whether a moved pipe may end like this."""
    if "robust-cost-only" in case.faults and how.margin is not None and how.margin >= 0:
        return True
    return how.state == "clear" or "move-need-not-clear" in case.faults


# ---------------------------------------------------------------------------- moves


def move_options(case: Case, pen: Pen) -> list[int]:
    """Signed moves by status, step, reach and least offset; 0 is always one."""
    if not pen.pipe or pen.status == "fixed":
        return [0]
    step = case.lengths["step"]
    most = max(pen.reach_low, pen.reach_high) // step
    return [k * step for k in range(-most, most + 1) if not move_faults(case, pen, k * step)]


def move_faults(case: Case, pen: Pen, move: int) -> list[str]:
    """Which of the rules on the size of a move this one breaks."""
    if move == 0:
        return []
    if not pen.pipe or pen.status == "fixed":
        return ["fixed"]
    broken = []
    if move % case.lengths["step"]:
        broken.append("step")
    reach = pen.reach_low if move < 0 else pen.reach_high
    if abs(move) > reach or (abs(move) == reach and "reach-strict" in case.faults):
        broken.append("reach")
    if (
        pen.status == "stubbed"
        and abs(move) < pen.min_offset
        and "stubbed-min-ignored" not in case.faults
        and not (pen.bends is not None and "fittings-instead" in case.faults)
    ):
        broken.append("min-offset")
    bound = pen.status == "stubbed" or "fittings-for-planned" in case.faults
    if bound and pen.bends is not None:
        makes = can_make(abs(move), pen.bends, pen.headroom, case.faults)
        if not (all if "fittings-all-angles" in case.faults else any)(makes):
            broken.append("fittings")
    return broken


def keeps_agreed_move(case: Case, index: int, move: int) -> bool:
    """Whether a move is the agreed one, where one was agreed."""
    if "freeze-as-least" in case.faults and case.agreed_moves.get(index, 0):
        return move != 0
    return move == case.agreed_moves.get(index, move)


def first_choices(case: Case, plane_index: int, agreed: bool = True) -> list[int]:
    """The legal first widths of a plane, only the agreed one of them where there is one."""
    legal = legal_firsts(case, case.planes[plane_index])
    kept = case.agreed_firsts.get(plane_index) if agreed else None
    return legal if kept is None else [first for first in legal if first == kept]


def disc_off_box(
    x: int, y: int, radius: int, x_lo: int, x_hi: int, y_lo: int, y_hi: int, strict: bool = False
) -> bool:
    """Whether a disc keeps off a rectangle (touching allowed unless strict)."""
    dx = max(x_lo - x, 0, x - x_hi)
    dy = max(y_lo - y, 0, y - y_hi)
    apart, least = dx * dx + dy * dy, radius * radius
    return apart > least or (apart == least and not strict)


def place_faults(case: Case, pen: Pen, x: int) -> list[str]:
    """Which of edge gap and keep-outs a moved pipe breaks at x."""
    plane = case.planes[pen.plane]
    broken = []
    edge = pen.outside // 2 + case.lengths["edge_gap"]
    nearest = min(x, plane.width - x)
    if nearest < edge or (nearest == edge and "edge-strict" in case.faults):
        broken.append("edge-gap")
    strict = "keepout-strict" in case.faults
    for keepout in plane.keepouts if "keepouts-ignored" not in case.faults else ():
        y_lo, y_hi = keepout.y_lo, keepout.y_hi
        if y_lo is None or y_hi is None or "keepout-as-strip" in case.faults:
            y_lo = y_hi = pen.y  # a strip reaches every y
        radius = pen.outside // 2
        if not disc_off_box(x, pen.y, radius, keepout.lo, keepout.hi, y_lo, y_hi, strict):
            broken.append("keep-out")
            break
    return broken


def apart_squared(case: Case, a: Pen, ax: int, b: Pen, bx: int) -> int:
    """Squared distance: disc to disc by centres, disc to curb from the centre to the rectangle."""
    dx, dy = abs(ax - bx), abs(a.y - b.y)
    for pen in (a, b):
        dx -= pen.across // 2
        dy -= pen.along // 2
    dx, dy = max(dx, 0), max(dy, 0)
    return dx * dx if "spacing-x-only" in case.faults else dx * dx + dy * dy


def pair_ok(case: Case, a: Pen, a_move: int, b: Pen, b_move: int) -> bool:
    """Whether two penetrations of a plane keep their spacing, where a pipe of them moved."""
    if a_move == 0 and b_move == 0:
        return True
    if a_move and b_move and "moved-exempt" in case.faults:
        return True
    before = apart_squared(case, a, a.x, b, b.x)
    after = apart_squared(case, a, a.x + a_move, b, b.x + b_move)
    least = (case.lengths["spacing"] + a.outside // 2 + b.outside // 2) ** 2
    if before < least:  # too near already: may not get nearer
        return after >= before or "pair-may-near" in case.faults
    return after > least or (after == least and "spacing-strict" not in case.faults)


# ---------------------------------------------------------------------------- pricing one layout


def ticks(length: int) -> int:
    """A whole number of ticks out of half ticks."""
    assert length % 2 == 0
    return length // 2


def half(length: int | None) -> Fraction | None:
    """Ticks out of half ticks."""
    return None if length is None else Fraction(length, 2)


def price(case: Case, firsts: Sequence[int], moves: Sequence[int]) -> dict[str, Any]:
    """Everything about one layout, from scratch, legal or not."""
    stands = [
        stand(case, pen, firsts[pen.plane], pen.x + move)
        for pen, move in zip(case.pens, moves, strict=True)
    ]
    lasts = [last_width(case, p, f) for p, f in zip(case.planes, firsts, strict=True)]
    links = [link_met(case, link, firsts) for link in case.links]
    states = [how.state for how in stands]
    counts = {
        "on-seam": states.count("on-seam"),
        "seams_cut": sum(how.cuts for how in stands),
        "crosses": states.count("crosses"),
        "tight": states.count("tight"),
        "crowded": states.count("crowded"),
        "moved": sum(move != 0 for move in moves),
        "links_missed": links.count(False),
        "odd_panels": 0,
        "uneven": sum(uneven_units(case, p, f) for p, f in zip(case.planes, firsts, strict=True)),
    }
    cents = case.cents
    flashing = sum(pen_cost(case, pen, how) for pen, how in zip(case.pens, stands, strict=True))
    moving = sum(
        cents["move_" + pen.status] if pen.status != "fixed" else cents["move_planned"]
        for pen, move in zip(case.pens, moves, strict=True)
        if move
    )
    odd = counts["odd_panels"] * cents["odd_panel"]
    look = counts["uneven"] * cents["uneven"] + counts["links_missed"] * cents["misaligned"]
    total = flashing + moving + odd + look
    narrow = [
        min(first, last)
        for plane, first, last in zip(case.planes, firsts, lasts, strict=True)
        if plane.width > case.cover or "one-panel-narrow" in case.faults
    ]
    key = (
        total,
        *(counts[name] for name in counts),
        half(sum(shortfall(case, how) for how in stands)),
        ticks(sum(abs(move) for move in moves)),
        -ticks(min(narrow, default=0)),
        tuple(ticks(first) for first in firsts),
        tuple(ticks(move) for move in moves),
    )
    return {
        "total": total, "counts": counts,
        "cost": {"flashing": flashing, "moves": moving, "odd_panels": odd, "look": look},
        "firsts": [ticks(f) for f in firsts], "lasts": [ticks(w) for w in lasts],
        "moves": [ticks(m) for m in moves], "states": states,
        "room": [half(how.room) for how in stands], "needed": [half(how.needed) for how in stands],
        "margin": [half(how.margin) for how in stands], "seams_cut": [how.cuts for how in stands],
        "worst_room": [half(how.worst_room) for how in stands],
        "worst_margin": [half(how.worst_margin) for how in stands],
        "links": links, "key": key,
    }  # fmt: skip


def order(case: Case, levels: Sequence[int], *decisions: Sequence[int]) -> tuple[Any, ...]:
    """What layouts are sorted by: the levels, then first widths and moves (smaller before larger).

    As given; only planted faults leave a level out or turn the last two round.
    """
    if not case.faults:
        return (tuple(levels), *(tuple(d) for d in decisions))
    names = [LEVELS[i] for i in PLANE_LEVELS] if len(levels) == len(PLANE_LEVELS) else LEVELS
    kept = [v for n, v in zip(names, levels, strict=True) if f"without-{n}" not in case.faults]
    *firsts, moves = decisions
    if "firsts-wide-first" in case.faults:
        firsts = [[-f for f in item] for item in firsts]
    if "moves-high-first" in case.faults:
        moves = [-m for m in moves]
    return (tuple(kept), *(tuple(f) for f in firsts), tuple(moves))


def first_faults(case: Case, plane: Plane, first: int) -> list[str]:
    """Which rules a first width breaks."""
    if plane.width <= case.cover:
        return [] if first == plane.width else ["one-panel"]
    broken = []
    if first != case.cover and first % case.lengths["mark"]:
        broken.append("whole-marks")
    ends = (first, last_width(case, plane, first))
    if first <= 0 or any(not case.min_end <= end <= case.cover for end in ends):
        broken.append("end-rule")
    return broken


def layout_faults(
    case: Case, firsts: Sequence[int], moves: Sequence[int]
) -> list[tuple[str, tuple[str, ...]]]:
    """Every rule that a layout breaks, each with the ids it is about."""
    broken: list[tuple[str, tuple[str, ...]]] = []
    for plane, first in zip(case.planes, firsts, strict=True):
        broken += [(rule, (plane.id,)) for rule in first_faults(case, plane, first)]
    for number, first in case.agreed_firsts.items():
        if firsts[number] != first:
            broken.append(("agreed-first", (case.planes[number].id,)))
    for number, move in case.agreed_moves.items():
        if moves[number] != move:
            broken.append(("agreed-move", (case.pens[number].id,)))
    for pen, move in zip(case.pens, moves, strict=True):
        how = stand(case, pen, firsts[pen.plane], pen.x + move)
        if move:
            broken += [(rule, (pen.id,)) for rule in move_faults(case, pen, move)]
            broken += [(rule, (pen.id,)) for rule in place_faults(case, pen, pen.x + move)]
            if not clear_enough(case, how):
                broken.append(("not-clear", (pen.id,)))
        if how.state in pen.forbid:
            broken.append(("forbid", (pen.id,)))
    for (a, a_move), (b, b_move) in combinations(zip(case.pens, moves, strict=True), 2):
        if a.plane == b.plane and not pair_ok(case, a, a_move, b, b_move):
            broken.append(("spacing", (a.id, b.id)))
    for link in case.links:
        if link.must and not link_met(case, link, firsts):
            ids = (case.planes[link.one].id, case.planes[link.two].id)
            broken.append(("must", ids))
    return broken


def check(
    document: Mapping[str, Any],
    firsts: Sequence[int] | Mapping[str, int],
    moves: Sequence[int] | Mapping[str, int],
    faults: frozenset[str] = NO_FAULTS,
) -> dict[str, Any]:
    """Price one given layout (ticks) and say in `breaks` each rule it breaks, with the ids.

    `firsts` are in plane order and `moves` in penetration order, or both by id; a plane not named
    takes its usual first width, a penetration not named stays. Rules: whole-marks, end-rule,
    one-panel, fixed, step, reach, min-offset, fittings, edge-gap, keep-out, spacing, not-clear,
    forbid, must, agreed-first, agreed-move.
    """
    case = read(document, faults)
    if isinstance(firsts, Mapping):
        chosen = [
            2 * firsts[plane.id] if plane.id in firsts else usual_first(case, plane)
            for plane in case.planes
        ]
    else:
        chosen = [2 * first for first in firsts]
    if isinstance(moves, Mapping):
        moved = [2 * moves.get(pen.id, 0) for pen in case.pens]
    else:
        moved = [2 * move for move in moves]
    answer = price(case, chosen, moved)
    answer["breaks"] = layout_faults(case, chosen, moved)
    return answer


# ---------------------------------------------------------------------------- enumeration

Vector = tuple[int, ...]  # cents; on-seam, cut, crosses, tight, crowded, moved; shortfall, distance


@dataclass(frozen=True)
class Choice:
    """The best moves of one plane's penetrations for one first width."""

    first: int
    vector: Vector
    moves: tuple[int, ...]  # of the penetrations of the plane, in file order
    uneven: int
    narrow: int | None  # None where the plane has no seam


def _pen_vector(case: Case, pen: Pen, how: Stand, move: int) -> Vector:
    cents = pen_cost(case, pen, how) + (case.cents["move_" + pen.status] if move else 0)
    return (
        cents,
        int(how.state == "on-seam"),
        how.cuts,
        int(how.state == "crosses"),
        int(how.state == "tight"),
        int(how.state == "crowded"),
        int(move != 0),
        shortfall(case, how),
        abs(move),
    )


def plane_choices(case: Case, plane_index: int, moving: bool) -> list[Choice]:
    """The best moves for each legal first width of a plane; widths that allow nothing drop out.

    Penetrations of different planes never meet, and the order of layouts adds up over planes
    (and at its last level compares moves pipe by pipe), so the best of a plane is the plane's own.
    Agreed first widths and moves are the only ones; where nothing moves, the agreed moves are not
    made either.
    """
    plane = case.planes[plane_index]
    here = case.on(plane_index)
    pens = [case.pens[i] for i in here]
    # What does not depend on the first width: size of the move, edge gap, keep-outs.
    places = [[0] for _ in pens]
    if moving or "freeze-drawn-moved" in case.faults:
        places = [
            [
                m
                for m in (move_options(case, pen) if moving else [case.agreed_moves.get(i, 0)])
                if keeps_agreed_move(case, i, m)
                and (not m or not place_faults(case, pen, pen.x + m))
            ]
            for i, pen in zip(here, pens, strict=True)
        ]
    agreed = moving or "freeze-drawn-open" not in case.faults
    clash = {
        (i, mi, j, mj)
        for i, j in combinations(range(len(pens)), 2)
        for mi in places[i]
        for mj in places[j]
        if not pair_ok(case, pens[i], mi, pens[j], mj)
    }
    choices = []
    for first in first_choices(case, plane_index, agreed):
        options: list[list[tuple[int, Vector]]] = []
        for pen, sizes in zip(pens, places, strict=True):
            mine = []
            for move in sizes:
                how = stand(case, pen, first, pen.x + move)
                if move and not clear_enough(case, how):
                    continue
                if how.state in pen.forbid:
                    continue
                mine.append((move, _pen_vector(case, pen, how, move)))
            options.append(mine)
        best: tuple[tuple[Any, ...], Vector, tuple[int, ...]] | None = None
        for combo in product(*options):
            moves = tuple(move for move, _ in combo)
            if any(
                (i, moves[i], j, moves[j]) in clash for i, j in combinations(range(len(moves)), 2)
            ):
                continue
            vector = tuple(map(sum, zip((0,) * 9, *(v for _, v in combo), strict=True)))
            ranked = (order(case, vector, moves), vector, moves)
            if best is None or ranked < best:
                best = ranked
        if best is None:
            continue
        seamed = plane.width > case.cover or "one-panel-narrow" in case.faults
        narrow = min(first, last_width(case, plane, first)) if seamed else None
        choices.append(Choice(first, best[1], best[2], uneven_units(case, plane, first), narrow))
    return choices


def candidates(
    case: Case, moving: bool
) -> list[tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]]:
    """(levels, firsts, moves) of the best layout for each allowed set of first widths, in order."""
    choices = [plane_choices(case, p, moving) for p in range(len(case.planes))]
    slots = [case.on(p) for p in range(len(case.planes))]
    met: dict[tuple[int, int, int], bool] = {}
    for number, link in enumerate(case.links):
        for one in choices[link.one]:
            for two in choices[link.two]:
                firsts = [0] * len(case.planes)
                firsts[link.one], firsts[link.two] = one.first, two.first
                met[number, one.first, two.first] = link_met(case, link, firsts)
    found = []
    for combo in product(*choices):
        missed = 0
        allowed = True
        for number, link in enumerate(case.links):
            if not met[number, combo[link.one].first, combo[link.two].first]:
                missed += 1
                allowed = allowed and not link.must
        if not allowed:
            continue
        sums = [sum(column) for column in zip(*(c.vector for c in combo), strict=True)]
        uneven = sum(c.uneven for c in combo)
        total = sums[0] + uneven * case.cents["uneven"] + missed * case.cents["misaligned"]
        narrow = min((c.narrow for c in combo if c.narrow is not None), default=0)
        moves = [0] * len(case.pens)
        for choice, slot in zip(combo, slots, strict=True):
            for index, move in zip(slot, choice.moves, strict=True):
                moves[index] = move
        firsts_here = tuple(c.first for c in combo)
        key = (total, *sums[1:7], missed, 0, uneven, sums[7], sums[8], -narrow)
        found.append((key, firsts_here, tuple(moves)))
    found.sort(key=lambda item: order(case, *item))
    return found


def windows(case: Case, firsts: Sequence[int], moves: Sequence[int]) -> list[tuple[int, int]]:
    """For each plane the run of legal first widths in which every state stays, in ticks."""
    found = []
    for number, plane in enumerate(case.planes):
        here = case.on(number)

        def states(first: int, here: list[int] = here) -> list[str]:
            return [stand(case, case.pens[i], first, case.pens[i].x + moves[i]).state for i in here]

        legal = legal_firsts(case, plane)
        lo = hi = legal.index(firsts[number])
        if "freeze-window" in case.faults and number in case.agreed_firsts:
            legal = [firsts[number]]
            lo = hi = 0
        kept = states(legal[lo])

        def next_to(narrower: int, wider: int) -> bool:
            near = wider - narrower <= case.lengths["mark"]
            return near or "window-over-gap" in case.faults

        while lo > 0 and next_to(legal[lo - 1], legal[lo]) and states(legal[lo - 1]) == kept:
            lo -= 1
        while (
            hi + 1 < len(legal)
            and next_to(legal[hi], legal[hi + 1])
            and states(legal[hi + 1]) == kept
        ):
            hi += 1
        found.append((ticks(legal[lo]), ticks(legal[hi])))
    return found


def blind_start(case: Case) -> dict[str, Any]:
    """Each plane starts anywhere legal, nothing moved, links and forbidden states left out."""
    mean, worst, starts = Fraction(0), 0, {}
    for number, plane in enumerate(case.planes):
        pens = [case.pens[i] for i in case.on(number)]
        costs = [
            sum(pen_cost(case, pen, stand(case, pen, first, pen.x)) for pen in pens)
            + uneven_units(case, plane, first) * case.cents["uneven"]
            for first in first_choices(case, number, "freeze-blind" in case.faults)
        ]
        own = Fraction(sum(costs), len(costs))
        mean += floor(own + Fraction(1, 2)) if "blind-rounds-each" in case.faults else own
        worst += max(costs)
        starts[plane.id] = len(costs)
    return {"mean": floor(mean + Fraction(1, 2)), "worst": worst, "starts": starts}


def earns_place(counts: tuple[int, ...], listed: Sequence[tuple[int, ...]]) -> bool:
    """The rule of the list: at least one smaller count against every one already listed."""
    return all(any(a < b for a, b in zip(counts, other, strict=True)) for other in listed)


def listed_layout(
    case: Case, key: tuple[int, ...], firsts: Sequence[int], moves: Sequence[int]
) -> dict[str, Any]:
    """A candidate as it is listed: priced from scratch, with its windows."""
    layout = price(case, firsts, moves)
    if not case.faults:  # the sums of the planes are the layout priced from scratch
        assert (layout["total"], tuple(layout["counts"].values())) == (key[0], key[1:10])
        assert (layout["key"][10], layout["key"][11]) == (half(key[10]), key[11] // 2)
        assert not layout_faults(case, firsts, moves)
    layout["windows"] = windows(case, firsts, moves)
    return layout


def without_start(case: Case) -> list[tuple[str, int]]:
    """Planes without a legal first width, each with the largest whole-mark min_end (ticks)."""
    return [
        (plane.id, ticks(largest_min_end(case, plane)))
        for plane in case.planes
        if not legal_firsts(case, plane)
    ]


def baselines(case: Case) -> dict[str, Any]:
    """What stands beside the list of a case whose planes all have a legal first width."""
    drawn = candidates(case, moving=False)
    still = [0] * len(case.pens)
    usual_firsts = [usual_first(case, plane) for plane in case.planes]
    if "freeze-usual" in case.faults:
        usual_firsts = [case.agreed_firsts.get(p, f) for p, f in enumerate(usual_firsts)]
    usual = price(case, usual_firsts, still)
    usual["breaks"] = {
        "must": [n for n, link in enumerate(case.links) if link.must and not usual["links"][n]],
        "forbid": [
            pen.id
            for pen, state in zip(case.pens, usual["states"], strict=True)
            if state in pen.forbid
        ],
        "agreed": [
            ids[0]
            for rule, ids in layout_faults(case, usual_firsts, still)
            if rule in ("agreed-first", "agreed-move")
        ],
    }
    return {
        "usual": usual,
        "as_drawn": price(case, drawn[0][1], drawn[0][2]) if drawn else None,
        "blind": blind_start(case),
    }


def solve(
    document: Mapping[str, Any], top: int | None = None, faults: frozenset[str] = NO_FAULTS
) -> dict[str, Any]:
    """The whole answer for a small case: `layouts`, `usual`, `as_drawn`, `blind`, `no_start`.

    Args:
        document: a case in the shape of the case file, without a penetrations file.
        top: how many listed layouts to price; all of them where None.
        faults: planted wrong readings, names of `FAULTS`.

    Returns:
        `layouts`: dicts as of `price`, with `windows`. `usual`: the same without windows, with
        `breaks` = {"must": link numbers, "forbid": penetration ids, "agreed": ids of planes and
        penetrations with an agreed first width or move that it departs from}. `as_drawn`: a layout,
        or None where no first widths are allowed. `blind`: mean and worst in cents, starts per
        plane.
        `no_start`: (plane id, largest whole-mark min_end in ticks) for planes without a legal first
        width; where there is one, there are no layouts and usual, as_drawn and blind are None.
    """
    case = read(document, faults)
    no_start = without_start(case)
    if no_start:
        return {
            "layouts": [], "usual": None, "as_drawn": None, "blind": None, "no_start": no_start
        }  # fmt: skip
    listed: list[tuple[int, ...]] = []
    layouts: list[dict[str, Any]] = []
    for key, firsts, moves in candidates(case, moving=True):
        if top is not None and len(layouts) >= top:
            break
        if earns_place(key[1:10], listed):
            listed.append(key[1:10])
            layouts.append(listed_layout(case, key, firsts, moves))
    return {"layouts": layouts, **baselines(case), "no_start": []}


def exhaustive(document: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Every allowed layout, in order: no plane-by-plane reasoning at all. For tiny cases only."""
    case = read(document)
    found = []
    for firsts in product(*(legal_firsts(case, plane) for plane in case.planes)):
        for moves in product(*(move_options(case, pen) for pen in case.pens)):
            if not layout_faults(case, firsts, moves):
                found.append(price(case, firsts, moves))
    found.sort(key=lambda layout: layout["key"])
    return found
