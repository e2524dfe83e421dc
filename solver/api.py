"""What a script needs: load a case, solve it, check a layout.

    from solver.api import load_case, solve
    result = solve(load_case("case.toml"))

Lengths in results are ticks (1/640 mm), money is cents; `solver.document` turns a result into the
numbers of the case's units.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib import metadata
from typing import Final, Literal

from solver import __version__
from solver.case import Case, Freeze
from solver.case_file.load import case_from_document, load_case
from solver.checker.judge import judge
from solver.checking import Checked, check
from solver.clock import Clock
from solver.document import result_document
from solver.errors import CaseError, ChoiceError, DisagreementError
from solver.findings.of_answer import no_layout_findings, no_start_findings, result_findings
from solver.findings.of_case import case_findings
from solver.findings.of_pattern import not_looked_findings
from solver.layout import Layout
from solver.odd.search import TooHardError
from solver.ranks.baseline import blind_start, usual_layout
from solver.ranks.covers import rank_covers
from solver.ranks.ranking import Listing, make_entry, ranked_list
from solver.result import PROVEN, Judged, Ranked, Result
from solver.risk.creep import risk_findings
from solver.tabling.drawn import drawn, drawn_directly
from solver.tabling.moves import can_move
from solver.tabling.pattern import too_bent
from solver.tabling.planes import NO_BOUND, full_profiles, plain_profiles
from solver.tabling.profile import Profile
from solver.tabling.tables import DIST

__all__ = [
    "Case", "CaseError", "Checked", "Layout", "Result", "case_from_document", "check",
    "load_case", "result_document", "solve",
]

DRAWN_SHARE: Final = 0.25
"""How much of the time left the best layout as drawn may take, before the list is begun."""
PIECES_AFTER: Final = 10
LEAST_PER_PIECE: Final = 0.00003
"""What follows a search (tables put together, layouts judged, windows, the report) takes about so
many times as long as judging one layout; that takes at least so many seconds for every plane and
penetration."""

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
        ChoiceError: the engine asked for does not know what the case allows.
    """
    clock = clock or Clock()
    if engine != "tables" and too_bent(case):
        raise ChoiceError(
            f"{case.file}: the {engine} engine does not know fanned seams, nor odd panels, play or "
            "a line to lay from beside outlines, centres, curbs with ribs or a price for sheets: "
            "leave out --engine"
        )
    if case.covers:
        with clock.unwatched():
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
    plain = plain_profiles(case, clock)
    begun = clock.seconds()
    usual = None if plain is None else judge(case, usual_layout(case, plain))
    spent = LEAST_PER_PIECE * (len(case.penetrations) + len(case.planes))
    clock.keep_back(PIECES_AFTER * max(clock.seconds() - begun, spent))
    blind = None if plain is None else blind_start(plain)
    if usual is not None and not usual.breaks:
        clock.found(usual.cost.total)
    answer = _ranked(case, plain, clock, top, engine, presolve, on_found)
    listing = answer.listing
    if not listing.complete:
        tables = [answer.profiles] if answer.profiles else []
        tables += [plain] if plain is not None and plain is not answer.profiles else []
        listing = _no_worse_than_known(case, listing, tables, [usual, answer.as_drawn], clock)
    as_drawn = answer.as_drawn
    if not answer.drawn and not can_move(case) and listing.layouts:
        as_drawn = listing.layouts[0].judged
    complete = listing.complete and answer.drawn
    entries = listing.layouts
    if not entries and listing.complete:
        findings += no_layout_findings(case, answer.profiles or plain or [])
    if too_bent(case) and not listing.complete:
        findings += not_looked_findings(case, answer.profiles)
    findings += result_findings(case, entries)
    findings += risk_findings(case, entries)
    unfrozen = None
    if (case.freeze.firsts or case.freeze.moves) and entries and not clock.over():
        everything = replace(case, freeze=Freeze())
        with clock.unwatched():
            loose = _ranked(everything, None, clock, 1, "tables", presolve, None).listing.layouts
        unfrozen = loose[0].judged.cost.total if loose and loose[0].proof == PROVEN else None
    proven = all(entry.proof == PROVEN for entry in entries) and bool(entries or listing.complete)
    return replace(
        blank,
        layouts=entries,
        usual=usual,
        as_drawn=as_drawn,
        blind=blind,
        findings=tuple(findings),
        proven=proven,
        complete=complete,
        unfrozen=unfrozen,
        stopped=clock.stopped(),
        seconds=clock.seconds(),
    )


@dataclass(frozen=True)
class _Answer:
    """The list and the best as drawn; `drawn` is False where time left that unproven."""

    profiles: list[Profile]
    listing: Listing
    as_drawn: Judged | None
    drawn: bool


def _ranked(
    case: Case,
    plain: list[Profile] | None,
    clock: Clock,
    top: int,
    engine: Engine,
    presolve: bool,
    on_found: Callable[[Ranked], None] | None,
) -> _Answer:
    """The list by tables, or by the direct model where they do not do; and the best as drawn.

    Where nothing can move that is the first of the list. Otherwise it comes first, in a part of the
    time, so that the list has something to be held against; and again if that was not enough.
    """
    profiles: list[Profile] | None = None
    with contextlib.suppress(TooHardError):
        try:
            profiles = full_profiles(case, clock, plain)
        except TimeoutError:  # a plane that has no plain start to fall back on
            return _Answer([], Listing((), False), None, False)

    def found_drawn(full: list[Profile] | None) -> tuple[Judged | None, bool]:
        clock.say("the best as drawn")
        with clock.unwatched():
            if full is None and profiles is None:
                judged = drawn_directly(case, plain, clock, presolve=presolve)
            else:
                judged = drawn(case, plain, clock, full)
        if judged is not None and not judged.breaks:
            clock.found(judged.cost.total)
        return judged, not clock.over()

    as_drawn, sure = None, False
    if can_move(case):
        with clock.share(DRAWN_SHARE):
            as_drawn, sure = found_drawn(profiles)
    clock.new_list()
    clock.say("the list")
    listing = None
    if profiles is not None:
        with contextlib.suppress(TooHardError):
            listing = _listing(case, profiles, clock, top, engine, presolve, on_found)
    if listing is None:
        from solver.model.direct import direct_list  # loads ortools

        listing = direct_list(case, clock, top, presolve, on_found)
    first = listing.layouts[0] if listing.layouts else None
    if not can_move(case):
        as_drawn = None if first is None else first.judged
        sure = listing.complete if first is None else first.proof == PROVEN
    elif not sure and not clock.over():
        as_drawn, sure = found_drawn(None)
    return _Answer(profiles or [], listing, as_drawn, sure)


def _no_worse_than_known(
    case: Case,
    listing: Listing,
    tables: list[list[Profile]],
    known: list[Judged | None],
    clock: Clock,
) -> Listing:
    """What to list where time ended the work: no first layout that comes behind one that is known
    anyway, as usual, as drawn, or by tables that were not done with. The tables are used up."""
    entries = listing.layouts
    if entries and entries[0].proof == PROVEN:
        tables = []  # they hold nothing cheaper, and ties alone are not worth the work
    bound = max(entries[0].bound if entries else 0, clock.first_bound or 0)
    legal = [judged for judged in known if judged is not None and not judged.breaks]
    for profiles in tables:
        loose = []
        for profile in profiles:
            profile.give_up()
            loose.append(replace(profile, loose=NO_BOUND))
        if all(profile.settled.all() for profile in loose):
            with clock.unwatched():
                legal += [entry.judged for entry in ranked_list(case, loose, clock, 1).layouts]
    best = min(legal, key=lambda judged: judged.order, default=None)
    if best is None or (entries and entries[0].judged.order <= best.order):
        return Listing((*(replace(e, bound=bound) for e in entries[:1]), *entries[1:]), False)
    return Listing((make_entry(case, best, bound, []),), False)


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

    direct = direct_list(case, clock, top, presolve, on_found)
    if engine == "both":
        tables = ranked_list(case, profiles, clock, top)
        if tables.complete and direct.complete:
            _insist_same(tables, direct)
    return direct


def _insist_same(tables: Listing, direct: Listing) -> None:
    # Tables break the ties behind the distance moved plane by plane where there are very many.
    known = slice(0, DIST + 1) if tables.wide else slice(None)
    one = [entry.judged.order[known] for entry in tables.layouts]
    other = [entry.judged.order[known] for entry in direct.layouts]
    if one != other:
        raise DisagreementError(
            "The two engines list different layouts.\n"
            f"  tables: {one}\n  direct: {other}"
        )
