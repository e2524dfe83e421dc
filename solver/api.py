"""What a script needs: load a case, solve it, check a layout.

    from solver.api import load_case, solve
    result = solve(load_case("case.toml"))

Lengths in results are ticks (1/640 mm), money is cents; `solver.document` turns a result into the
numbers of the case's units.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib import metadata
from typing import Final, Literal

from solver.baseline import blind_start, usual_layout
from solver.case import Case
from solver.checker import judge
from solver.clock import Clock
from solver.document import result_document
from solver.errors import CaseError, ChoiceError, DisagreementError
from solver.findings import case_findings
from solver.layout import Layout
from solver.load import case_from_document, load_case
from solver.profile import Profile, build_profile
from solver.ranking import Listing, drawn_layout, ranked_list
from solver.result import Breach, Finding, Judged, Ranked, Result
from solver.starts import legal_firsts, usual_first
from solver.verdicts import no_layout_findings, no_start_findings, result_findings

__all__ = [
    "Case", "CaseError", "Checked", "Layout", "Result", "case_from_document", "check",
    "load_case", "result_document", "solve",
]

Engine = Literal["tables", "direct", "both"]
ENGINES: Final = ("tables", "direct", "both")


def versions() -> dict[str, str]:
    """Versions of the program and of what it solves with, without importing either."""
    found = {}
    for name in ("offseam", "ortools", "numpy"):
        try:
            found[name] = metadata.version(name)
        except metadata.PackageNotFoundError:
            found[name] = "unknown"
    return found


def solve(
    case: Case,
    *,
    top: int = 3,
    clock: Clock | None = None,
    engine: Engine = "tables",
    presolve: bool = True,
    on_found: Callable[[Ranked], None] | None = None,
) -> Result:
    """Rank the layouts of a case.

    `engine`: "tables" (profiles, combined exactly), "direct" (one CP-SAT model of the whole
    problem) or "both" (solve twice and insist on the same list). `presolve=False` switches CP-SAT's
    presolve off in the direct model.

    Raises:
        DisagreementError: an engine and the checker, or two engines, disagree.
    """
    clock = clock or Clock()
    findings = case_findings(case)
    blank = Result(
        case, engine, (), None, None, None, (), False, True, versions=versions()
    )
    no_start = no_start_findings(case)
    if no_start:
        found = (*findings, *no_start)
        return replace(blank, findings=found, proven=True, seconds=clock.seconds())
    profiles = _profiles(case, clock)
    usual = judge(case, usual_layout(case, profiles))
    drawn = drawn_layout(case, profiles, clock)
    listing = _listing(case, profiles, clock, top, engine, presolve, on_found)
    entries = listing.layouts
    if not entries and listing.complete:
        findings += no_layout_findings(case, profiles)
    findings += result_findings(case, entries)
    proven = all(entry.proof == "proven" for entry in entries) and listing.complete
    return replace(
        blank,
        layouts=entries,
        usual=usual,
        as_drawn=drawn,
        blind=blind_start(profiles),
        findings=tuple(findings),
        proven=proven,
        complete=listing.complete,
        stopped=clock.stopped(),
        seconds=clock.seconds(),
    )


def _profiles(case: Case, clock: Clock) -> list[Profile]:
    profiles = []
    for plane in case.planes:
        clock.say(f"plane {plane.id}: every first width")
        profiles.append(build_profile(case, plane))
    return profiles


def _listing(
    case: Case,
    profiles: list[Profile],
    clock: Clock,
    top: int,
    engine: Engine,
    presolve: bool,
    on_found: Callable[[Ranked], None] | None,
) -> Listing:
    if engine == "tables":
        return ranked_list(case, profiles, clock, top, on_found)
    from solver.model.direct import direct_list  # loads ortools

    direct = direct_list(case, profiles, clock, top, presolve, on_found)
    if engine == "both":
        tables = ranked_list(case, profiles, clock, top)
        if tables.complete and direct.complete:
            _insist_same(tables, direct)
    return direct


def _insist_same(tables: Listing, direct: Listing) -> None:
    one = [entry.judged.order for entry in tables.layouts]
    other = [entry.judged.order for entry in direct.layouts]
    if one != other:
        raise DisagreementError(
            "The two engines list different layouts.\n"
            f"  tables: {one}\n  direct: {other}"
        )


@dataclass(frozen=True)
class Checked:
    """A layout someone else chose: judged where it can be, and every rule it breaks."""

    case: Case
    judged: Judged | None
    reasons: tuple[Breach, ...]
    findings: tuple[Finding, ...]

    @property
    def legal(self) -> bool:
        """Whether the layout could be judged and breaks no rule."""
        return self.judged is not None and not self.reasons


def check(case: Case, firsts: dict[str, int], moves: dict[str, int]) -> Checked:
    """Price a layout: planes not named take their usual first width, pipes not named stay.

    `firsts` and `moves` are ticks by id.

    Raises:
        ChoiceError: an id the case does not have.
    """
    planes = {plane.id for plane in case.planes}
    pens = {pen.id for pen in case.penetrations}
    for kind, named, known in (("plane", firsts, planes), ("penetration", moves, pens)):
        for name in named:
            if name not in known:
                raise ChoiceError(f'{case.file}: there is no {kind} "{name}"; '
                                  f"it has {', '.join(sorted(known)) or 'none'}")
    findings = tuple(case_findings(case))
    chosen = []
    for plane in case.planes:
        if plane.id in firsts:
            chosen.append(firsts[plane.id])
            continue
        legal = legal_firsts(case, plane)
        if not len(legal):
            reasons = tuple(
                Breach(f.code, f.about, f.says) for f in no_start_findings(case)
            )
            return Checked(case, None, reasons, findings)
        chosen.append(usual_first(case, plane, legal))
    layout = Layout(tuple(chosen), tuple(moves.get(pen.id, 0) for pen in case.penetrations))
    try:
        judged = judge(case, layout)
    except ChoiceError as error:
        return Checked(case, None, (Breach("not-priced", (), str(error)),), findings)
    return Checked(case, judged, judged.breaks, findings)
