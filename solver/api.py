"""What a script needs: load a case, solve it, check a layout.

    from solver.api import load_case, solve
    result = solve(load_case("case.toml"))

Lengths in results are ticks (1/640 mm), money is cents; `solver.document` turns a result into the
numbers of the case's units.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from importlib import metadata
from typing import Final, Literal

from solver import __version__
from solver.baseline import blind_start, usual_layout
from solver.case import Case, Freeze
from solver.checker import judge
from solver.checking import Checked, check
from solver.clock import Clock
from solver.covers import rank_covers
from solver.creep import risk_findings
from solver.document import result_document
from solver.errors import CaseError, DisagreementError
from solver.findings import case_findings
from solver.layout import Layout
from solver.load import case_from_document, load_case
from solver.profile import Profile, build_profile
from solver.ranking import Listing, drawn_layout, ranked_list
from solver.result import Ranked, Result
from solver.verdicts import no_layout_findings, no_start_findings, result_findings

__all__ = [
    "Case", "CaseError", "Checked", "Layout", "Result", "case_from_document", "check",
    "load_case", "result_document", "solve",
]

Engine = Literal["tables", "direct", "both"]
ENGINES: Final = ("tables", "direct", "both")


def versions() -> dict[str, str]:
    """Versions of the program and of what it solves with, without importing either."""
    found = {"offseam": __version__}
    for name in ("ortools", "numpy"):
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
    if case.covers:
        across = rank_covers(case.covers, clock, top)
        best = across[0].cover if across else case.panel.cover
        own = next(one for one in case.covers if one.panel.cover == best)
        result = solve(own, top=top, clock=clock, engine=engine, presolve=presolve,
                       on_found=on_found)
        lost = tuple(
            finding for one in case.covers if one is not own for finding in no_start_findings(one)
        )
        as_notes = tuple(replace(finding, severity="warning") for finding in lost)
        return replace(result, across=across, findings=(*result.findings, *as_notes))
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
    findings += risk_findings(case, entries)
    unfrozen = None
    if (case.freeze.firsts or case.freeze.moves) and entries:
        everything = replace(case, freeze=Freeze())
        loose = ranked_list(everything, _profiles(everything, clock), clock, 1)
        unfrozen = loose.layouts[0].judged.cost.total if loose.layouts else None
    proven = all(entry.proof == "proven" for entry in entries) and bool(entries or listing.complete)
    return replace(
        blank,
        layouts=entries,
        usual=usual,
        as_drawn=drawn,
        blind=blind_start(profiles),
        findings=tuple(findings),
        proven=proven,
        complete=listing.complete,
        unfrozen=unfrozen,
        stopped=clock.stopped(),
        seconds=clock.seconds(),
    )


def _profiles(case: Case, clock: Clock) -> list[Profile]:
    profiles = []
    for plane in case.planes:
        clock.say(f"plane {plane.id}: every first width")
        profiles.append(build_profile(case, plane, clock))
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
