"""What changed between two results, and for whom: plumber, crew, estimator, detailer.

Things are matched by id. Lengths in ticks (+ is towards larger x), money in cents.
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import Final

from solver.comparing.compared import (
    Comparison,
    CrewChange,
    Figure,
    Laid,
    PipeChange,
    PlumberChange,
    RateChange,
    Spot,
    StateChange,
)
from solver.comparing.result_file import (
    LATER_RATES,
    FileFinding,
    FileLayout,
    FilePenetration,
    FilePlane,
    ResultFile,
    cents,
    ticks,
)
from solver.document import ONLY_IF_GIVEN
from solver.errors import CaseError, Problem
from solver.result import COUNT_NAMES
from solver.stubs.landmarks import says_a_side
from solver.units import Units

COST_PARTS: Final = ("total", "flashing", "moves", "odd_panels", "play", "look", "stock")


def compare_results(
    old: ResultFile, new: ResultFile, files: tuple[str, str], ranks: tuple[int, int] = (1, 1)
) -> Comparison:
    """Hold layout `ranks[0]` of the old result against layout `ranks[1]` of the new one.

    Raises:
        CaseError: the results are in different units, or one has no such layout.
    """
    if old.units != new.units:
        raise CaseError([Problem(
            files[1], "", "", "", f"it is in {new.units}, {files[0]} in {old.units}: their lengths "
            "cannot be held against each other; solve one of them again in the units of the other",
        )])
    one, other = (
        _layout(result, file, rank)
        for result, file, rank in zip((old, new), files, ranks, strict=True)
    )
    units = old.units
    gone, fresh = _findings(old.findings, new.findings)
    return Comparison(
        units=units,
        titles=(old.title, new.title),
        revisions=(old.revision, new.revision),
        covers=(_cover(old), _cover(new)),
        same_case=bool(old.case_sha256) and old.case_sha256 == new.case_sha256,
        ranks=ranks,
        proofs=(one.proof or "", other.proof or ""),
        plumber=tuple(_plumber(one, other, units)),
        crew=tuple(_crew(one, other, units)),
        costs=tuple(_figures(
            {part: cents(getattr(one.cost, part)) for part in COST_PARTS},
            {part: cents(getattr(other.cost, part)) for part in COST_PARTS},
        )),
        counts=tuple(_figures(
            {name: one.counts.get(name, 0) for name in COUNT_NAMES},
            {name: other.counts.get(name, 0) for name in COUNT_NAMES},
        )),
        rates=tuple(_rates(old, new)),
        totals=(cents(one.cost.total), cents(other.cost.total)),
        states=tuple(_states(one, other)),
        links=tuple(_links(one, other)),
        findings_new=fresh,
        findings_gone=gone,
    )


def _layout(result: ResultFile, file: str, rank: int) -> FileLayout:
    if not result.layouts:
        why = next((f.says for f in result.findings if f.severity == "error"), "")
        said = f" ({why[:300]})" if why else ""
        raise CaseError([Problem(file, "", "", "", f"it has no layout to compare{said}; "
                                 "solve a case that has one")])
    if not 1 <= rank <= len(result.layouts):
        count = len(result.layouts)
        has = "only 1 layout" if count == 1 else f"layouts 1 to {count}"
        raise CaseError([Problem(file, "", "", "", f"it has no layout {rank}: it has {has}")])
    return result.layouts[rank - 1]


def _cover(result: ResultFile) -> int | None:
    return None if result.cover is None else ticks(result.cover, result.units)


def _union(one: list[str], other: list[str]) -> list[str]:
    """Ids of either list, in the order of the new one, those gone after it."""
    known = set(other)
    return [*other, *(name for name in one if name not in known)]


def _plumber(one: FileLayout, other: FileLayout, units: Units) -> list[PlumberChange]:
    olds = {pen.id: pen for pen in one.penetrations}
    news = {pen.id: pen for pen in other.penetrations}
    ends = [{plane.id: plane for plane in layout.planes} for layout in (one, other)]
    found = []
    for name in _union(list(olds), list(news)):
        old = _spot(olds.get(name), units)
        new = _spot(news.get(name), units)
        if kinds := _kinds(old, new):
            found.append(PlumberChange(
                name, kinds, old, new, _towards(ends[0], old), _towards(ends[1], new)
            ))
    return found


def _spot(pen: FilePenetration | None, units: Units) -> Spot | None:
    if pen is None:
        return None
    x, moved = ticks(pen.x, units), ticks(pen.moved, units)
    return Spot(pen.plane, x - moved, moved, x)


def _kinds(old: Spot | None, new: Spot | None) -> tuple[PipeChange, ...]:
    if old is None:
        return ("added",)
    if new is None:
        return ("removed",)
    kinds: list[PipeChange] = []
    if old.plane != new.plane:
        kinds.append("other-plane")
    elif old.drawn != new.drawn:
        kinds.append("redrawn")
    if old.moved != new.moved:
        if not old.moved:
            kinds.append("newly-moved")
        else:
            kinds.append("moves-differently" if new.moved else "no-longer-moved")
    return tuple(kinds)


def _towards(planes: dict[str, FilePlane], spot: Spot | None) -> str:
    """The end a move goes to: by its name if the file has it, else by its side of x."""
    if spot is None or not spot.moved:
        return ""
    plane = planes[spot.plane]
    name = plane.high_end if spot.moved > 0 else plane.low_end
    if name and not says_a_side(name):
        return name
    return "end of larger x" if spot.moved > 0 else "end of smaller x"


def _crew(one: FileLayout, other: FileLayout, units: Units) -> list[CrewChange]:
    olds = {plane.id: plane for plane in one.planes}
    news = {plane.id: plane for plane in other.planes}
    found = []
    for name in _union(list(olds), list(news)):
        old, new = olds.get(name), news.get(name)
        before, after = _laid(old, units), _laid(new, units)
        seams = [[ticks(s, units) for s in plane.seams] if plane else [] for plane in (old, new)]
        same = seams[0] == seams[1]
        if before != after or not same:
            found.append(CrewChange(name, before, after, _shift(*seams), same))
    return found


def _laid(plane: FilePlane | None, units: Units) -> Laid | None:
    if plane is None:
        return None
    window = None
    if plane.window is not None:
        window = (ticks(plane.window[0], units), ticks(plane.window[1], units))
    return Laid(
        ticks(plane.first, units), ticks(plane.last, units), plane.panels, window,
        None if plane.line is None else ticks(plane.line, units),
        tuple(
            (odd.panel, ticks(odd.width, units), ticks(odd.low, units), ticks(odd.high, units))
            for odd in plane.odd
        ),
        tuple(
            (one.stretch, one.panels[0], one.panels[1], ticks(one.change, units))
            for one in plane.stretches if ticks(one.change, units)
        ),
    )


def _shift(old: list[int], new: list[int]) -> int | None:
    """By how much an even grid of seams moved, the short way; None where it is not one grid.

    Seams that are no even grid have a shift where all of them, as many as before, have the same.
    """
    if not old or not new:
        return None
    apart = {b - a for a, b in zip(old, new, strict=False)}
    gaps = {b - a for seams in (old, new) for a, b in pairwise(seams)}
    if not gaps:
        return new[0] - old[0]
    if len(gaps) > 1:
        return apart.pop() if len(apart) == 1 and len(old) == len(new) else None
    cover = gaps.pop()
    if cover <= 0:
        return None
    shift = (new[0] - old[0]) % cover
    return shift - cover if 2 * shift > cover else shift


def _figures(old: dict[str, int], new: dict[str, int]) -> list[Figure]:
    return [Figure(name, old[name], new[name]) for name in old if old[name] != new[name]]


def _rates(old: ResultFile, new: ResultFile) -> list[RateChange]:
    found = []
    for name in _union(list(old.rates.used), list(new.rates.used)):
        later = name in LATER_RATES - ONLY_IF_GIVEN
        if later and any(name not in one.rates.used for one in (old, new)):
            continue  # one of the two was written when there was no such rate
        values = [_rate(result.rates.used.get(name)) for result in (old, new)]
        guess = [name in result.rates.default for result in (old, new)]
        if values[0] != values[1] or guess[0] != guess[1]:
            found.append(RateChange(name, values[0], values[1], guess[0], guess[1]))
    return found


def _rate(value: float | dict[str, float] | None) -> tuple[float, ...]:
    if value is None:
        return ()
    if isinstance(value, dict):
        return tuple(value.get(part, 0.0) for part in ("hours", "material", "each"))
    return (value,)


def _states(one: FileLayout, other: FileLayout) -> list[StateChange]:
    olds = {pen.id: pen for pen in one.penetrations}
    found = []
    for new in other.penetrations:
        old = olds.get(new.id)
        if old is None:
            continue
        before, after = ((p.state, p.seams_cut, p.at_risk) for p in (old, new))
        if before != after:
            found.append(StateChange(
                new.id, old.state, new.state, old.seams_cut, new.seams_cut, old.at_risk, new.at_risk
            ))
    return found


def _links(
    one: FileLayout, other: FileLayout
) -> list[tuple[tuple[str, ...], bool | None, bool | None]]:
    olds = {tuple(link.planes): link.meet for link in one.links}
    news = {tuple(link.planes): link.meet for link in other.links}
    pairs = [*news, *(pair for pair in olds if pair not in news)]
    return [
        (pair, olds.get(pair), news.get(pair)) for pair in pairs if olds.get(pair) != news.get(pair)
    ]


def _findings(
    old: list[FileFinding], new: list[FileFinding]
) -> tuple[tuple[FileFinding, ...], tuple[FileFinding, ...]]:
    """Findings gone and new; one whose sentence changed is both, since its figures count.

    What says of a penetration that it is at risk is told once: it stands in both files for several
    layouts, with figures that always change.
    """
    def key(finding: FileFinding) -> tuple[str, tuple[str, ...], str]:
        says = "" if finding.code == "at-risk" else finding.says
        return finding.code, tuple(finding.about), says

    old, new = _once(old), _once(new)

    had, has = Counter(map(key, old)), Counter(map(key, new))
    gone, fresh = had - has, has - had

    def of(findings: list[FileFinding], left: Counter[tuple[str, tuple[str, ...], str]]
           ) -> tuple[FileFinding, ...]:
        kept = []
        for finding in findings:
            if left[key(finding)] > 0:
                left[key(finding)] -= 1
                kept.append(finding)
        return tuple(kept)

    return of(old, gone), of(new, fresh)


def _once(findings: list[FileFinding]) -> list[FileFinding]:
    seen: set[tuple[str, ...]] = set()
    kept = []
    for finding in findings:
        if finding.code == "at-risk":
            if tuple(finding.about) in seen:
                continue
            seen.add(tuple(finding.about))
        kept.append(finding)
    return kept
