"""The rest of a plane by brute force, from the contract alone, sharing no code with the program.

Every way to lay the panels behind the last seam laid is tried panel by panel, with every set of
moves of the pipes ahead of it. One plane, a rectangle, pipes and flanged curbs; lengths are whole
ticks (1/640 mm), money is cents. A `…2` counts half ticks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product

INCH = 16256
Key = tuple[int, ...]


@dataclass(frozen=True)
class Pen:
    """A pipe (`outside`, `base`) or a curb (`across`, `along`); `move` is the plan's."""

    id: str
    x: int
    y: int
    outside: int = 0
    base: int = 0
    across: int = 0
    along: int = 0
    status: str = "fixed"
    reach: int = 0
    min_offset: int = 0
    forbid: tuple[str, ...] = ()
    move: int = 0
    seen: bool = False


@dataclass(frozen=True)
class Roof:
    """One plane, its rules, the plan on it and what was measured.

    `lay`: "left-to-right", "right-to-left" or "from" a line at `line`. `seams` are the plan's in
    increasing x, `plan_odds` and `plan_changes` its odd panels and altered stretches by number.
    `seam` is the last one laid, below 0 towards the low end from a line; `eave` and `ridge` its
    distance from where laying starts.
    """

    width: int
    length: int
    lay: str
    line: int
    cover: int
    back: int
    fwd: int
    min_end: int
    end_lap: int
    work_gap: int
    hole_gap: int
    seamer_gap: int
    curb_side: int
    edge_gap: int
    spacing: int
    enough: int
    uneven_free: int
    step: int
    odd_panels: int
    odd_widths: tuple[int, ...]
    modules: tuple[int, ...]
    remeasure: int
    cents: dict[str, int]
    pens: tuple[Pen, ...]
    seams: tuple[int, ...]
    plan_odds: dict[int, int]
    plan_changes: dict[int, int]
    seam: int
    eave: int
    ridge: int


@dataclass
class Rest:
    """Widths of the panels of a rest but the last, odd ones by place, altered stretches in all."""

    widths: list[int] = field(default_factory=list)
    odd: int = 0
    altered: int = 0


def best(roof: Roof) -> Key | None:
    """The best key of any legal way to lay the rest; None where there is none.

    Total, the counts of the contract in its order, stretches altered, shortfall, distance moved.
    """
    keys = [key for rest in _rests(roof) for key in _priced(roof, rest)]
    return min(keys, default=None)


# ------------------------------------------------------------------ where things stand


def _sign(roof: Roof) -> int:
    return -1 if roof.seam < 0 else 1


def _origin(roof: Roof) -> int:
    return {"left-to-right": 0, "right-to-left": roof.width, "from": roof.line}[roof.lay]


def _away(roof: Roof, x: int) -> int:
    """How far along the run under way `x` is; negative on the other run from a line."""
    if roof.lay == "right-to-left":
        return roof.width - x
    return (x - _origin(roof)) * (_sign(roof) if roof.lay == "from" else 1)


def _run(roof: Roof, *, other: bool = False) -> list[int]:
    """The planned seams of a run as distances from where it starts."""
    found = [_away(roof, seam) * (-1 if other else 1) for seam in roof.seams]
    return sorted(away for away in found if away > 0)


def _room(roof: Roof) -> int:
    if roof.lay != "from":
        return roof.width
    return roof.line if roof.seam < 0 else roof.width - roof.line


def _half_away(value: Fraction) -> int:
    size = int(abs(value) + Fraction(1, 2))
    return size if value >= 0 else -size


def _measured(roof: Roof, y: int) -> int:
    return roof.eave + _half_away(Fraction((roof.ridge - roof.eave) * y, roof.length))


def _seams_at(roof: Roof, rest: Rest, y: int) -> list[tuple[int, int]]:
    """Every seam at a height: x, and which way laying went there (+1 to larger x, 0 the line)."""
    count, planned, at = abs(roof.seam), _run(roof), _measured(roof, y)
    run = []
    for number in range(1, count + 1):
        share = Fraction((at - planned[count - 1]) * number, count)
        run.append(planned[number - 1] + _half_away(share))
    for width in rest.widths:
        run.append(run[-1] + width)
    if roof.lay == "left-to-right":
        return [(d, 1) for d in run]
    if roof.lay == "right-to-left":
        return [(roof.width - d, -1) for d in run]
    way = _sign(roof)
    others = [(roof.line - way * d, -way) for d in _run(roof, other=True)]
    return [*others, (roof.line, 0), *((roof.line + way * d, way) for d in run)]


# ------------------------------------------------------------------ ways to lay the rest


def _rests(roof: Roof) -> Iterator[Rest]:
    """Every rest whose last panel is legal at the eave and at the ridge; and the plan's own."""
    sign, count = _sign(roof), abs(roof.seam)
    gone = sum(1 for n in roof.plan_odds if not (n * sign > 0 and abs(n) > count))
    laid = _altered_laid(roof)
    lefts = (_room(roof) - roof.eave, _room(roof) - roof.ridge)

    def closes(widths: list[int]) -> bool:
        return all(roof.min_end <= left - sum(widths) <= roof.cover for left in lefts)

    def lay(widths: list[int], odd: int, altered: int, module: int | None) -> Iterator[Rest]:
        if len(widths) % roof.remeasure == 0:
            module = None
        if closes(widths):
            yield Rest(list(widths), odd, laid + altered)
        least = min(left - sum(widths) for left in lefts)
        if gone + odd < roof.odd_panels:
            for wide in roof.odd_widths:
                if wide < least:
                    yield from lay([*widths, wide], odd + 1, altered, module)
        if all(left - sum(widths) <= roof.cover for left in lefts):
            return
        for change in roof.modules if module is None else (module,):
            if roof.cover + change < least:
                new = 1 if module is None and change else 0
                yield from lay([*widths, roof.cover + change], odd, altered + new, change)

    yield from lay([], 0, 0, None)
    run = _run(roof)
    own = [b - a for a, b in zip(run[count - 1 :], run[count:], strict=False)]
    odd = sum(1 for n in roof.plan_odds if n * sign > 0 and abs(n) > count)
    if closes(own):
        yield Rest(own, odd, len(roof.plan_changes))


def _altered_laid(roof: Roof) -> int:
    """Altered stretches of which a full panel is laid, and those of the other run."""
    sign, count = _sign(roof), abs(roof.seam)
    laid = set()
    for number in range(1, count + 1):
        if roof.lay == "from":
            stretch = sign * ((number - 1) // roof.remeasure + 1)
        else:
            stretch = (number - 2) // roof.remeasure + 1 if number > 1 else 0
        if sign * number not in roof.plan_odds and stretch in roof.plan_changes:
            laid.add(stretch)
    return len(laid) + sum(1 for stretch in roof.plan_changes if stretch * sign < 0)


# ------------------------------------------------------------------ what a rest is worth


def _priced(roof: Roof, rest: Rest) -> Iterator[Key]:
    """The key of a rest with every legal set of moves."""
    behind, options, done = [], [], []
    for pen in roof.pens:
        there = pen.x if pen.seen else pen.x + pen.move
        away = _away(roof, there)
        passed = 0 <= away <= _measured(roof, pen.y)
        stays = passed or away < 0
        behind.append(passed)
        if stays and pen.outside and not pen.seen and pen.move:
            done.append(pen)
        at = there if stays and pen.outside else pen.x
        moves = [0]
        if not stays and pen.outside and pen.status != "fixed":
            most = pen.reach // roof.step
            moves += [n * roof.step for n in range(-most, most + 1)
                      if n and (pen.status == "planned" or abs(n) * roof.step >= pen.min_offset)]
        options.append([(at, move) for move in moves])
    for chosen in product(*options):
        key = _one(roof, rest, behind, chosen, done)
        if key is not None:
            yield key


def _one(
    roof: Roof, rest: Rest, behind: list[bool], chosen: tuple[tuple[int, int], ...],
    done: list[Pen],
) -> Key | None:
    for i, (at, move) in enumerate(chosen):
        if move and not _may_stand(roof, i, at + move, chosen):
            return None
    states: list[str] = []
    cuts = short2 = 0
    for pen, hidden, (at, move) in zip(roof.pens, behind, chosen, strict=True):
        seams = _seams_at(roof, rest, pen.y)
        if pen.outside:
            state, lack2 = _pipe(roof, pen, at + move, seams)
        else:
            state, cut, lack2 = _curb(roof, pen, at, seams)
            cuts += cut
        if (move and state != "clear") or (state in pen.forbid and not hidden):
            return None
        states.append(state)
        short2 += lack2
    moved = [pen for pen, (_, move) in zip(roof.pens, chosen, strict=True) if move]
    at_eave = sorted(x for x, _ in _seams_at(roof, rest, 0))
    over = abs(at_eave[0] - (roof.width - at_eave[-1])) - roof.uneven_free
    uneven = max(0, over) // INCH
    sign, count = _sign(roof), abs(roof.seam)
    odd = rest.odd + sum(1 for n in roof.plan_odds if not (n * sign > 0 and abs(n) > count))
    c = roof.cents
    total = (
        states.count("on-seam") * c["on_seam"] + cuts * c["seam_cut"]
        + states.count("crosses") * c["crosses"] + states.count("tight") * c["tight"]
        + states.count("crowded") * c["crowded"] + odd * c["odd_panel"] + uneven * c["uneven"]
        + rest.altered * c["play"]
        + sum(c[f"move_{pen.status}"] for pen in [*moved, *done])
    )
    gone = sum(abs(move) for _, move in chosen) + sum(abs(pen.move) for pen in done)
    return (
        total, states.count("on-seam"), cuts, states.count("crosses"), states.count("tight"),
        states.count("crowded"), len(moved) + len(done), 0, 0, 0, odd, uneven, 0, rest.altered,
        short2, gone,
    )


def _pipe(roof: Roof, pen: Pen, x: int, seams: list[tuple[int, int]]) -> tuple[str, int]:
    rooms = [x - roof.end_lap, roof.width - x - roof.end_lap]
    for seam, way in seams:
        if way == 0 or seam == x:
            side = max(roof.back, roof.fwd)
        else:  # laid before the pipe where laying went from the seam towards it
            side = roof.fwd if (x - seam) * way > 0 else roof.back
        rooms.append(abs(x - seam) - side)
    room2 = 2 * min(rooms)
    needed2 = max(pen.base + 2 * roof.work_gap, pen.outside + 2 * roof.seamer_gap)
    if room2 >= needed2:
        return "clear", max(0, 2 * roof.enough - (room2 - needed2))
    if room2 >= pen.base:
        return "tight", 0
    return ("crosses" if room2 >= pen.outside + 2 * roof.hole_gap else "on-seam"), 0


def _curb(roof: Roof, pen: Pen, x: int, seams: list[tuple[int, int]]) -> tuple[str, int, int]:
    cut, flanks2 = 0, []
    for seam, way in seams:
        if way == 0 or seam == x:
            side = max(roof.back, roof.fwd)
        else:
            side = roof.fwd if (x - seam) * way > 0 else roof.back
        if 2 * abs(seam - x) < pen.across + 2 * side:
            cut += 1
        else:
            flanks2.append(2 * abs(seam - x) - pen.across)
    if flanks2 and min(flanks2) < 2 * roof.curb_side:
        return "crowded", cut, 0
    lack2 = max(0, 2 * roof.enough - (min(flanks2) - 2 * roof.curb_side)) if flanks2 else 0
    return ("spans" if cut else "clear"), cut, lack2


def _may_stand(roof: Roof, i: int, x: int, chosen: tuple[tuple[int, int], ...]) -> bool:
    """Whether a moved pipe keeps off the ends of the plane and off everything else on it."""
    pen = roof.pens[i]
    if min(x, roof.width - x) * 2 < pen.outside + 2 * roof.edge_gap:
        return False
    for j, other in enumerate(roof.pens):
        if j == i:
            continue
        at, move = chosen[j]
        now4 = _apart4(pen, x, other, at + move)
        drawn4 = _apart4(pen, chosen[i][0], other, at)
        asked4 = (pen.outside + other.outside + 2 * roof.spacing) ** 2
        if now4 < min(asked4, drawn4):
            return False
    return True


def _apart4(one: Pen, x: int, other: Pen, other_x: int) -> int:
    across = one.across + other.across
    along = one.along + other.along
    dx2 = max(0, 2 * abs(x - other_x) - across)
    dy2 = max(0, 2 * abs(one.y - other.y) - along)
    return dx2 * dx2 + dy2 * dy2
