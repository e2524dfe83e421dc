"""Pricing a layout that someone else chose, the same way as one of ours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from solver.case import Case, Plane
from solver.checker.judge import judge
from solver.checker.laying import lay, no_meaning, not_panels
from solver.clock import Clock
from solver.errors import ChoiceError
from solver.findings.no_start import no_start_findings
from solver.findings.of_case import case_findings, show
from solver.layout import Change, Layout, Odd
from solver.ranks.baseline import blind_start, usual_layout
from solver.ranks.covers import one_cover
from solver.ranks.windows import start_windows
from solver.result import Blind, Breach, Finding, Judged
from solver.tabling.drawn import drawn
from solver.tabling.planes import plain_profiles
from solver.tabling.starts import legal_firsts, usual_first, whole_marks

_ENDS: Final = ("one-panel", "whole-mark", "end-rule")
_BETWEEN: Final = (
    "odd-panels", "odd-end", "odd-width", "beyond-play", "play-mark", "no-full-panel",
)
"""Breaches by the panels of a plane: with one of them there is no window to start in."""

ByNumber = Mapping[int, int]


@dataclass(frozen=True)
class Checked:
    """A layout someone else chose: judged where it can be, and every rule it breaks.

    `usual`, `as_drawn` and `blind` are for comparison, None where a plane has no legal start with
    plain panels. `windows` is None unless all panels of every plane are legal.
    """

    case: Case
    judged: Judged | None
    reasons: tuple[Breach, ...]
    findings: tuple[Finding, ...]
    usual: Judged | None = None
    as_drawn: Judged | None = None
    blind: Blind | None = None
    windows: tuple[tuple[int, int], ...] | None = None
    seconds: float = 0.0

    @property
    def legal(self) -> bool:
        """Whether the layout could be judged and breaks no rule."""
        return self.judged is not None and not self.reasons


def check(
    case: Case,
    firsts: Mapping[str, int],
    moves: Mapping[str, int],
    odds: Mapping[str, ByNumber] | None = None,
    changes: Mapping[str, ByNumber] | None = None,
) -> Checked:
    """Price a layout: planes not named take their usual first width, pipes not named stay.

    `firsts` and `moves` are ticks by id; `odds` are widths by plane and panel number, `changes` of
    the module by plane and stretch (ticks). A plane with odd panels or another module that has no
    usual first width takes the one nearest to equal ends. What cannot be priced at all is a reason
    by itself; the other choices are still looked at, so that every reason is told at once.

    Raises:
        ChoiceError: an id the case does not have, or a first width for a plane that is laid from a
            line and has none to choose.
    """
    clock = Clock()
    case = one_cover(case, clock)
    odds, changes = odds or {}, changes or {}
    _refuse_unknown(case, firsts, moves, odds, changes)
    findings = tuple(case_findings(case))
    no_start = no_start_findings(case)
    named = {*firsts, *(plane for given in (odds, changes) for plane in given if given[plane])}
    if any(finding.about[0] not in named for finding in no_start):
        reasons = tuple(Breach(found.code, found.about, found.says) for found in no_start)
        return Checked(case, None, reasons, findings, seconds=clock.seconds())
    senseless = _senseless(case, firsts, moves, odds, changes)
    wrong = {breach.about[0] for breach in senseless}
    layout = _layout(case, firsts, moves, odds, changes, wrong)
    judged = judge(case, layout)
    others = tuple(breach for breach in judged.breaks if not wrong.intersection(breach.about))
    plain = plain_profiles(case)
    legal = not any(breach.code in (*_ENDS, *_BETWEEN) for breach in judged.breaks)
    return Checked(
        case,
        None if senseless else judged,
        (*senseless, *others),
        findings,
        None if plain is None else judge(case, usual_layout(case, plain)),
        drawn(case, plain, clock),
        None if plain is None else blind_start(plain),
        start_windows(case, layout) if legal and not senseless else None,
        clock.seconds(),
    )


def _layout(
    case: Case,
    firsts: Mapping[str, int],
    moves: Mapping[str, int],
    odds: Mapping[str, ByNumber],
    changes: Mapping[str, ByNumber],
    wrong: set[str],
) -> Layout:
    """The layout asked for, without what is `wrong` (ids) in it."""
    chosen, odd, changed = [], [], []
    for i, plane in enumerate(case.planes):
        sound = plane.id not in wrong
        widths = odds.get(plane.id, {}) if sound else {}
        modules = changes.get(plane.id, {}) if sound else {}
        first = firsts.get(plane.id) if sound else None
        if plane.lay == "from":
            low = lay(case, plane, 0, widths, modules).panels[0]
            first = low.high - low.low
        chosen.append(_usual(case, plane) if first is None else first)
        odd += [Odd(i, number, width) for number, width in widths.items()]
        changed += [Change(i, stretch, ticks) for stretch, ticks in modules.items() if ticks]
    return Layout(
        tuple(chosen),
        tuple(0 if pen.id in wrong else moves.get(pen.id, 0) for pen in case.penetrations),
        tuple(sorted(odd)),
        tuple(sorted(changed)),
    )


def _usual(case: Case, plane: Plane) -> int:
    """The usual first width; without a legal one the width nearest to what would be usual."""
    starts = legal_firsts(case, plane)
    if not len(starts):
        starts = whole_marks(case, case.rules.min_end)
    return usual_first(case, plane, starts)


def _refuse_unknown(
    case: Case,
    firsts: Mapping[str, int],
    moves: Mapping[str, int],
    odds: Mapping[str, ByNumber],
    changes: Mapping[str, ByNumber],
) -> None:
    planes = [plane.id for plane in case.planes]
    pens = [pen.id for pen in case.penetrations]
    for kind, named, known in (
        ("plane", [*firsts, *odds, *changes], planes), ("penetration", moves, pens)
    ):
        for name in named:
            if name not in known:
                some = ", ".join(known[:12]) + (" …" if len(known) > 12 else "")
                raise ChoiceError(
                    f'{case.file}: there is no {kind} "{name}"; it has {some or "none"}'
                )
    both_ways = [p for p in case.planes if p.lay == "from" and p.id in firsts]
    if both_ways:
        raise ChoiceError("\n".join(
            f"{case.file}: plane {plane.id} is laid both ways from a line at "
            f"{show(case, plane.start or 0, feet=True)}, so the widths at its ends are results: "
            f"leave out its first width of {show(case, firsts[plane.id])}"
            for plane in both_ways
        ))


def _senseless(
    case: Case,
    firsts: Mapping[str, int],
    moves: Mapping[str, int],
    odds: Mapping[str, ByNumber],
    changes: Mapping[str, ByNumber],
) -> tuple[Breach, ...]:
    """Choices that leave nothing to price: no seam where one must be, a panel or stretch that the
    plane does not have, a pipe off its plane."""
    found = []
    by_plane = {plane.id: plane for plane in case.planes}
    for name in dict.fromkeys((*firsts, *odds, *changes)):
        plane, first = by_plane[name], firsts.get(name)
        wide = plane.width > case.panel.cover
        widths = tuple(odds.get(name, {}).items())
        modules = tuple(changes.get(name, {}).items())
        if first is not None and wide and not 0 < first < plane.width:
            says = [
                f"A first width of {show(case, first)} puts no seam on plane {name}: it lies "
                f"between {show(case, case.rules.min_end)} and {show(case, case.panel.cover)}.",
                *not_panels(case, plane, widths, modules),
            ]
        else:
            usual = _usual(case, plane) if first is None else first
            says = no_meaning(case, plane, usual, widths, modules)
        found += [Breach("not-priced", (name,), sentence) for sentence in says]
    by_id = {pen.id: pen for pen in case.penetrations}
    for name, move in moves.items():
        pen = by_id[name]
        width = by_plane[pen.plane].width
        if move and not 0 <= pen.x + move <= width:
            found.append(Breach(
                "not-priced", (name,),
                f"A move of {show(case, move)} takes {name} off plane {pen.plane}, which runs from "
                f"0 to {show(case, width, feet=True)}.",
            ))
    return tuple(found)
