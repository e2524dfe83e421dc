"""Where a late pipe could stand: the clear stretches of a plane against a given layout.

A stretch is a run of centre positions (whole ticks) that are clear of every seam and end lap, keep
`edge_gap`, keep off every keep-out, and keep `spacing` from every other penetration where that
finally stands. Each position that is proposed is judged by the checker: the pipe is added to the
case far off the plane and moved in, so that every rule of moves is applied to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isqrt
from typing import Final

from solver.case import Case, Freeze, Keepout, Penetration
from solver.checker.judge import judge
from solver.errors import DisagreementError
from solver.findings.of_case import case_findings
from solver.findings.seam_order import ends_from_line, from_line
from solver.layout import Change, Layout, Odd
from solver.placing.gaps import Gap, clear_spans, flattened, keepouts_at, move_gaps, room_gaps
from solver.result import Breach, Finding, Judged, JudgedPenetration
from solver.shape.edges import ends_at
from solver.survey.leaning import rakes_at
from solver.tabling.starts import legal_firsts, usual_first


@dataclass(frozen=True, slots=True)
class Wanted:
    """A pipe to be placed on a plane. `near` is where it is wanted (ticks).

    `base` is the flashing's width as it counts. Without `y` (ticks) every rule is taken at its
    worst: spacing along the eave only, and a keep-out over the whole slope.
    """

    plane: str
    near: int
    outside: int
    base: int
    y: int | None = None
    x_tol: int = 0


@dataclass(frozen=True, slots=True)
class Spot:
    """One proposed centre: how far from where it is wanted (signed ticks), and how it stands.

    `margin2` (half ticks) is what the state goes by: after the worst shift in a robust case.
    """

    x: int
    away: int
    stands: JudgedPenetration
    margin2: int


@dataclass(frozen=True, slots=True)
class Stretch:
    """Clear centres `low … high` (ticks), the nearest spot in it and the roomiest."""

    low: int
    high: int
    nearest: Spot
    roomiest: Spot


@dataclass(frozen=True, slots=True)
class Placed:
    """The answer: `pipe` is the new one, as a penetration at the wanted place.

    `judged` is the layout it is held against, `at_wanted` how the pipe would stand as wanted.
    `broken` is what the checker has against the wanted place itself, empty where that is clear, and
    `keepouts` those it would reach into. `stretches` are the nearest ones, nearest first.
    """

    case: Case
    wanted: Wanted
    pipe: Penetration
    judged: Judged
    at_wanted: JudgedPenetration
    broken: tuple[Breach, ...]
    keepouts: tuple[Keepout, ...]
    stretches: tuple[Stretch, ...]
    findings: tuple[Finding, ...]


def place(case: Case, layout: Layout, wanted: Wanted, count: int) -> Placed:
    """The clear stretches for a pipe, the `count` nearest of them.

    Raises:
        ChoiceError: the layout cannot be judged at all.
        DisagreementError: the checker finds a proposed position not clear.
    """
    seen = case if wanted.y is not None else flattened(case)
    judged = judge(case, layout)
    at = next(i for i, plane in enumerate(case.planes) if plane.id == wanted.plane)
    pipe = _pipe(case, wanted)
    plane = seen.planes[at]
    seams = room_gaps(seen, plane, judged.planes[at], pipe)
    spans = clear_spans([*seams, *move_gaps(seen, plane, layout, pipe)], plane.width)
    wide = [s for s in spans if settings(case, *s) or s[0] <= wanted.near <= s[1]]
    wide.sort(key=lambda span: (max(span[0] - wanted.near, wanted.near - span[1], 0), span))
    trial = _Trial(seen, layout, pipe)
    stretches = tuple(_stretch(trial, wanted, span, seams) for span in wide[:count])
    at_wanted, broken = trial.stand(wanted.near)
    inside = any(low <= wanted.near <= high for low, high in spans)
    if inside == bool(broken):
        raise DisagreementError(
            f"The wanted place ({wanted.near} ticks) is {'' if inside else 'not '}clear by the "
            f"stretches, but the checker says: {_says(broken) or 'nothing is against it'}"
        )
    drawn = replace(pipe, x=wanted.near)
    added = replace(case, penetrations=(*case.penetrations, drawn), covers=())
    own = [f for f in case_findings(added) if f.about == (pipe.id,) and f.code in _OWN]
    touched = keepouts_at(plane, pipe, wanted.near)
    return Placed(
        case, wanted, pipe, judged, at_wanted, broken, touched, stretches, tuple(own)
    )


_OWN = ("wide-base", "blocked-pan")
"""Findings on the new pipe that hold wherever it goes."""


def _says(broken: tuple[Breach, ...]) -> str:
    return " ".join(breach.says for breach in broken)


_OF_PANELS: Final = (
    "one-panel", "whole-mark", "end-rule", "odd-panels", "odd-end", "odd-width", "beyond-play",
    "play-mark", "no-full-panel",
)
"""Breaches by the panels of a plane."""


@dataclass(frozen=True)
class AsLaid:
    """What is already laid, by plane: first widths, widths of odd panels by panel number, changes
    of the module by stretch (ticks)."""

    firsts: Mapping[str, int]
    odds: Mapping[str, Mapping[int, int]]
    changes: Mapping[str, Mapping[int, int]]

    @property
    def planes(self) -> set[str]:
        """The planes of which anything is told."""
        return {*self.firsts, *self.odds, *self.changes}


def against_rules(case: Case, laid: AsLaid, judged: Judged) -> str:
    """The planes laid as the rules of the case do not allow, named; "" if all are allowed."""
    of_panels = [breach for breach in judged.breaks if breach.code in _OF_PANELS]
    broken = {name for breach in of_panels for name in breach.about}
    return ", ".join(p.id for p in case.planes if p.id in laid.planes and p.id in broken)


def laid_layout(
    case: Case,
    firsts: Mapping[str, int],
    odds: Mapping[str, Mapping[int, int]] | None = None,
    changes: Mapping[str, Mapping[int, int]] | None = None,
) -> Layout:
    """Planes as already laid (see `AsLaid`), the others as usual; pipes as drawn.

    Moves that are agreed in the case are made. A plane laid both ways from a line has the ends that
    the line leaves.
    """
    chosen = []
    for plane in case.planes:
        if from_line(case, plane):
            chosen.append(ends_from_line(case, plane)[0])
            continue
        legal = legal_firsts(case, plane)
        one = min(case.panel.cover, plane.width)
        usual = usual_first(case, plane, legal) if len(legal) else one
        chosen.append(firsts.get(plane.id, usual))
    agreed = dict(case.freeze.moves)
    index = {plane.id: i for i, plane in enumerate(case.planes)}
    odd = [Odd(index[p], *one) for p, each in (odds or {}).items() for one in each.items()]
    changed = [
        Change(index[p], *one)
        for p, each in (changes or {}).items() for one in each.items() if one[1]
    ]
    return Layout(
        tuple(chosen),
        tuple(agreed.get(pen.id, 0) for pen in case.penetrations),
        tuple(sorted(odd)),
        tuple(sorted(changed)),
    )


def base_width(case: Case, outside: int, base: int | None, *, turned: bool) -> int:
    """The width of a flashing as it counts (ticks): the case's flange where `base` is not given.

    A square one turned 45 degrees is as wide as its diagonal, rounded up to a tick.
    """
    side = outside + 2 * case.rules.flange if base is None else base
    return isqrt(2 * side * side - 1) + 1 if turned else side


def new_id(case: Case) -> str:
    """The id of the pipe to be placed: NEW, or longer where the case has that already."""
    name = "NEW"
    while any(pen.id == name for pen in case.penetrations):
        name += "+"
    return name


def _pipe(case: Case, wanted: Wanted) -> Penetration:
    return Penetration(
        id=new_id(case), plane=wanted.plane, kind="pipe", x=wanted.near, y=wanted.y or 0,
        outside=wanted.outside, base=wanted.base, across=0, along=0, status="planned",
        written_status="planned", hold=None, reach_low=0, reach_high=0, min_offset=0, forbid=(),
        x_tol=wanted.x_tol, ends=_ends(case, wanted),
    )


def _ends(case: Case, wanted: Wanted) -> tuple[int, int] | None:
    plane = next(p for p in case.planes if p.id == wanted.plane)
    if plane.lean is not None:
        return rakes_at(plane, wanted.y or 0)
    return None if plane.outline is None else ends_at(plane, wanted.near, wanted.y or 0)


class _Trial:
    """Puts the pipe somewhere and asks the checker."""

    def __init__(self, case: Case, layout: Layout, pipe: Penetration) -> None:
        self.case, self.layout, self.pipe = case, layout, pipe
        self.plane = next(p for p in case.planes if p.id == pipe.plane)
        # Drawn so far off that it is never too near to anything before it is moved in.
        steps = (4 * self.plane.width + 4 * case.rules.spacing) // case.step + 4
        self.away = steps * case.step

    def stand(self, x: int) -> tuple[JudgedPenetration, tuple[Breach, ...]]:
        """How the pipe stands at `x`, and what the checker has against it there."""
        if self.plane.outline is None:
            return self._moved(self.case, x - self.away, x)
        # No pipe is drawn off an outline. It comes from the farther end of its own stretch of roof,
        # and what stands too near to it is told on a rectangle, where it comes from far off.
        ends = ends_at(self.plane, x, self.pipe.y) or (x, x)
        start = max(ends, key=lambda end: abs(end - x))
        stands, broken = self._moved(replace(self.case, step=1), start, x)
        plain = replace(self.plane, outline=None, holes=())
        planes = tuple(plain if p.id == plain.id else p for p in self.case.planes)
        _, apart = self._moved(replace(self.case, planes=planes), x - self.away, x)
        return stands, (
            *(breach for breach in broken if breach.code != "near-pair"),
            *(breach for breach in apart if breach.code == "near-pair"),
        )

    def _moved(
        self, case: Case, start: int, x: int
    ) -> tuple[JudgedPenetration, tuple[Breach, ...]]:
        """How the pipe stands once it is moved from `start` to `x` (ticks)."""
        move = x - start
        drawn = replace(self.pipe, x=start, reach_low=abs(move), reach_high=abs(move))
        added = replace(
            case, penetrations=(*case.penetrations, drawn), freeze=Freeze(), covers=()
        )
        judged = judge(added, replace(self.layout, moves=(*self.layout.moves, move)))
        broken = tuple(b for b in judged.breaks if self.pipe.id in b.about)
        return judged.penetrations[-1], broken

    def spot(self, x: int, near: int) -> Spot:
        """A proposed position, verified.

        Raises:
            DisagreementError: the checker has something against it.
        """
        stands, broken = self.stand(x)
        if broken or stands.state != "clear":
            raise DisagreementError(
                f"A pipe at {x} ticks is counted as clear, but: {_says(broken) or stands.state}"
            )
        return Spot(x, x - near, stands, margin_of(self.case, stands))


def margin_of(case: Case, stands: JudgedPenetration) -> int:
    """The margin (half ticks) a pipe's state goes by."""
    margin2 = stands.worst_margin2 if case.rules.robust else stands.margin2
    return margin2 if margin2 is not None else 0


def settings(case: Case, low: int, high: int) -> tuple[int, int, int] | None:
    """The places in `low … high` that a pipe is set to: (first, last, apart), in ticks.

    Whole steps from the low end; where the stretch has none, whole marks; None where it has none.
    """
    whole = (case.step, case.mark) if case.step % case.mark == 0 else (case.mark,)
    for apart in whole:
        first, last = -(-low // apart) * apart, high // apart * apart
        if first <= last:
            return first, last, apart
    return None


def _stretch(
    trial: _Trial, wanted: Wanted, span: tuple[int, int], seams: list[Gap]
) -> Stretch:
    low, high = span
    found = settings(trial.case, low, high)
    if low <= wanted.near <= high or found is None:
        nearest = trial.spot(wanted.near, wanted.near)
    else:
        nearest = trial.spot(found[0] if wanted.near < low else found[1], wanted.near)
    if found is None:
        return Stretch(low, high, nearest, nearest)
    # Room rises and falls as a tent between what binds on both sides: the best is at its top.
    first, last, apart = found
    top4 = max(up for _, up in seams if up <= 2 * low)
    top4 += min(down for down, _ in seams if down >= 2 * high)
    below = top4 // (4 * apart) * apart
    tops = {min(max(x, first), last) for x in (below, below + apart)}
    spots = [nearest, *(trial.spot(x, wanted.near) for x in tops if x != nearest.x)]
    best = max(spots, key=lambda spot: (spot.margin2, -abs(spot.away), -spot.x))
    return Stretch(low, high, nearest, best)
