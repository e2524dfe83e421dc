"""Findings on layouts whose seams leave the plain grid: odd panels, changed modules, links."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from solver.case import Case
from solver.checking import Checked
from solver.findings.of_roof_answer import roof_verdicts
from solver.result import Finding, Judged, JudgedPlane
from solver.units import format_length

Named = Sequence[tuple[str, Judged]]


def shift_findings(case: Case, named: Named) -> list[Finding]:
    """What to know of the layouts, each under its name ("Layout 1")."""
    found = [finding for name, judged in named for finding in _strays(case, name, judged)]
    return [*found, *_odd(named), *_play(case, named)]


def checked_findings(checked: Checked) -> tuple[Finding, ...]:
    """All findings on a layout that someone chose."""
    if checked.judged is None:
        return checked.findings
    named = [("This layout", checked.judged)]
    return (
        *checked.findings,
        *shift_findings(checked.case, named),
        *roof_verdicts(checked.case, named),
    )


def _strays(case: Case, name: str, judged: Judged) -> Iterator[Finding]:
    laid = {plane.id: plane for plane in judged.planes}
    for link, found in zip(case.links, judged.links, strict=True):
        if not found.meet or found.strays2 <= 2 * case.rules.meet_tol:
            continue
        one, other = found.planes
        cause = _cause(case.panel.cover, laid[one], laid[other])
        off = format_length(found.strays2, case.units, case.mark)
        does = "stand half a cover off each other" if link.stagger else "meet"
        yield Finding(
            "link-strays", "warning", found.planes,
            f"{name}: the seams of {one} and {other} {does} where the laying starts, but not over "
            f"the whole length: {cause} what lies behind, and they come to miss by up to {off}.",
        )


def _cause(cover: int, *planes: JudgedPlane) -> str:
    causes = []
    if any(plane.odd for plane in planes):
        causes.append("odd panels")
    if any(stretch.module != cover for plane in planes for stretch in plane.stretches):
        causes.append("changed modules")
    return f"{' and '.join(causes)} shift" if causes else "something shifts"


def _where(named: Named, has: Callable[[JudgedPlane], bool]) -> tuple[str, ...]:
    """The planes for which it holds in some layout, in their order."""
    return tuple(dict.fromkeys(p.id for _, judged in named for p in judged.planes if has(p)))


def _odd(named: Named) -> Iterator[Finding]:
    on = _where(named, lambda plane: bool(plane.odd))
    if on:
        yield Finding(
            "odd-panels", "note", on,
            "An odd panel is a full one ripped and its edge formed again, or one specially formed; "
            "clips and ribs do not line up across it with those of the full panels. Ask the panel "
            "maker before counting on it, and where it may not be (common practice, no source).",
        )


def _play(case: Case, named: Named) -> Iterator[Finding]:
    cover = case.panel.cover
    on = _where(named, lambda plane: any(s.module != cover for s in plane.stretches))
    if on:
        yield Finding(
            "play", "note", on,
            "How far a panel may be spread or squeezed is the panel maker's to say: do not exceed "
            "it, or seams will not lock or clips bind. 1/32 to 1/8 in (1 to 3 mm) a panel is "
            "common practice, no source.",
        )
