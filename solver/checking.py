"""Pricing a layout that someone else chose, the same way as one of ours."""

from __future__ import annotations

from dataclasses import dataclass

from solver.baseline import blind_start, usual_layout
from solver.case import Case
from solver.checker import judge
from solver.clock import Clock
from solver.covers import one_cover
from solver.errors import ChoiceError
from solver.findings import case_findings, show
from solver.layout import Layout
from solver.profile import build_profile
from solver.ranking import drawn_layout
from solver.result import Blind, Breach, Finding, Judged
from solver.starts import legal_firsts, usual_first
from solver.verdicts import no_start_findings
from solver.windows import start_windows


@dataclass(frozen=True)
class Checked:
    """A layout someone else chose: judged where it can be, and every rule it breaks.

    `usual`, `as_drawn` and `blind` are for comparison, None where a plane has no legal start.
    `windows` is None unless every first width is a legal one.
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


def check(case: Case, firsts: dict[str, int], moves: dict[str, int]) -> Checked:
    """Price a layout: planes not named take their usual first width, pipes not named stay.

    `firsts` and `moves` are ticks by id. What cannot be priced at all is a reason by itself; the
    other choices are still looked at, so that every reason is told at once.

    Raises:
        ChoiceError: an id the case does not have.
    """
    clock = Clock()
    case = one_cover(case, clock)
    _refuse_unknown(case, firsts, moves)
    findings = tuple(case_findings(case))
    starts = {plane.id: legal_firsts(case, plane) for plane in case.planes}
    no_start = no_start_findings(case)
    if no_start:
        reasons = tuple(Breach(found.code, found.about, found.says) for found in no_start)
        if any(finding.about[0] not in firsts for finding in no_start):
            return Checked(case, None, reasons, findings, seconds=clock.seconds())
    senseless = _senseless(case, firsts, moves)
    wrong = {breach.about[0] for breach in senseless}
    chosen = tuple(
        firsts[plane.id]
        if plane.id in firsts and plane.id not in wrong
        else usual_first(case, plane, starts[plane.id])
        if len(starts[plane.id])
        else case.panel.cover
        for plane in case.planes
    )
    layout = Layout(
        chosen,
        tuple(0 if pen.id in wrong else moves.get(pen.id, 0) for pen in case.penetrations),
    )
    judged = judge(case, layout)
    others = tuple(breach for breach in judged.breaks if not wrong.intersection(breach.about))
    if no_start:
        return Checked(case, None if senseless else judged, (*senseless, *others), findings,
                       seconds=clock.seconds())
    profiles = [build_profile(case, plane) for plane in case.planes]
    legal = all(
        first in starts[plane.id] for plane, first in zip(case.planes, chosen, strict=True)
    )
    return Checked(
        case,
        None if senseless else judged,
        (*senseless, *others),
        findings,
        judge(case, usual_layout(case, profiles)),
        drawn_layout(case, profiles, clock),
        blind_start(profiles),
        start_windows(case, profiles, layout) if legal and not senseless else None,
        clock.seconds(),
    )


def _refuse_unknown(case: Case, firsts: dict[str, int], moves: dict[str, int]) -> None:
    planes = [plane.id for plane in case.planes]
    pens = [pen.id for pen in case.penetrations]
    for kind, named, known in (("plane", firsts, planes), ("penetration", moves, pens)):
        for name in named:
            if name not in known:
                some = ", ".join(known[:12]) + (" …" if len(known) > 12 else "")
                raise ChoiceError(
                    f'{case.file}: there is no {kind} "{name}"; it has {some or "none"}'
                )


def _senseless(
    case: Case, firsts: dict[str, int], moves: dict[str, int]
) -> tuple[Breach, ...]:
    """Choices that leave nothing to price: no seam where one must be, a pipe off its plane."""
    found = []
    widths = {plane.id: plane.width for plane in case.planes}
    for name, first in firsts.items():
        if widths[name] > case.panel.cover and not 0 < first < widths[name]:
            found.append(Breach(
                "not-priced", (name,),
                f"A first width of {show(case, first)} puts no seam on plane {name}: it lies "
                f"between {show(case, case.rules.min_end)} and {show(case, case.panel.cover)}.",
            ))
    by_id = {pen.id: pen for pen in case.penetrations}
    for name, move in moves.items():
        pen = by_id[name]
        if move and not 0 <= pen.x + move <= widths[pen.plane]:
            found.append(Breach(
                "not-priced", (name,),
                f"A move of {show(case, move)} takes {name} off plane {pen.plane}, which runs from "
                f"0 to {show(case, widths[pen.plane], feet=True)}.",
            ))
    return tuple(found)
