"""Lays the program's answer to a case beside the oracle's and says where they differ."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import oracle
import oracle_covers
from solver.api import Engine, Result, case_from_document, solve
from solver.result import COUNT_NAMES, Judged, Ranked

EVERYTHING = 10_000
UNKNOWN = ("off_centre", "unlanded", "stock")
"""Counts that the oracle of plain planes has not: they are for planes with more to them."""


def differences(
    document: Mapping[str, Any],
    *,
    engine: Engine = "tables",
    top: int = EVERYTHING,
    faults: frozenset[str] = frozenset(),
) -> list[str]:
    """Every difference from the oracle; `faults` are planted in the oracle."""
    theirs = oracle.solve(document, top=None if top == EVERYTHING else top, faults=faults)
    ours = solve(case_from_document(dict(document)), top=top, engine=engine)
    found: list[str] = []
    if theirs["no_start"]:
        told = [f.about[0] for f in ours.findings if f.code == "no-start"]
        _same(found, "planes without a start", told, [plane for plane, _ in theirs["no_start"]])
        _same(found, "layouts without a start", len(ours.layouts), 0)
        return found
    _same(found, "length of the list", len(ours.layouts), len(theirs["layouts"]))
    for entry, wanted in zip(ours.layouts, theirs["layouts"], strict=False):
        _entry(found, entry, wanted)
    _baselines(found, ours, theirs)
    if not theirs["layouts"]:
        codes = {f.code for f in ours.findings if f.severity == "error"}
        if not codes & {"forbidden", "must-link", "frozen"}:
            found.append(f"no layout, but the reason is missing: {codes}")
    return found


def cover_differences(
    document: Mapping[str, Any], *, faults: frozenset[str] = frozenset()
) -> list[str]:
    """The same for the list over several covers."""
    theirs = oracle_covers.solve_covers(document, faults=faults)
    case = case_from_document(dict(document))
    ours = solve(case, top=EVERYTHING)
    found: list[str] = []
    _same(found, "length of the list", len(ours.across), len(theirs["layouts"]))
    for across, wanted in zip(ours.across, theirs["layouts"], strict=False):
        _same(found, f"cover of layout {across.entry.rank}", across.cover, wanted["cover"])
        _judged(found, f"layout {across.entry.rank}", across.entry.judged, wanted)
        _same(found, f"layout {across.entry.rank} bound", across.entry.bound, wanted["total"])
    skipped = {f.about[0] for f in ours.findings if f.code == "no-start"}
    _same(found, "covers without a start", bool(skipped), bool(theirs["skipped"]))
    return found


def _entry(found: list[str], entry: Ranked, wanted: Mapping[str, Any]) -> None:
    name = f"layout {entry.rank}"
    _judged(found, name, entry.judged, wanted)
    windows = [tuple(window) for window in wanted["windows"]]
    _same(found, f"{name} windows", list(entry.windows), windows)
    _same(found, f"{name} proof", entry.proof, "proven")
    _same(found, f"{name} bound", entry.bound, wanted["total"])


def _judged(found: list[str], name: str, judged: Judged, wanted: Mapping[str, Any]) -> None:
    pens = judged.penetrations
    for what, got, want in (
        ("total", judged.cost.total, wanted["total"]),
        ("flashing", judged.cost.flashing, wanted["cost"]["flashing"]),
        ("moves cost", judged.cost.moves, wanted["cost"]["moves"]),
        ("look", judged.cost.look, wanted["cost"]["look"]),
        ("counts", told_counts(judged), tuple(wanted["counts"].values())),
        ("firsts", list(judged.layout.firsts), wanted["firsts"]),
        ("lasts", [plane.last for plane in judged.planes], wanted["lasts"]),
        ("moves", list(judged.layout.moves), wanted["moves"]),
        ("states", [pen.state for pen in pens], wanted["states"]),
        ("room", [_ticks(pen.room2) for pen in pens], wanted["room"]),
        ("needed", [_ticks(pen.needed2) for pen in pens], wanted["needed"]),
        ("margin", [_ticks(pen.margin2) for pen in pens], wanted["margin"]),
        ("worst room", [_ticks(pen.worst_room2) for pen in pens], wanted["worst_room"]),
        ("worst margin", [_ticks(pen.worst_margin2) for pen in pens], wanted["worst_margin"]),
        ("seams cut", [pen.seams_cut for pen in pens], wanted["seams_cut"]),
        ("links", [link.meet for link in judged.links], wanted["links"]),
    ):
        _same(found, f"{name} {what}", got, want)


def _baselines(found: list[str], ours: Result, theirs: Mapping[str, Any]) -> None:
    assert ours.usual is not None and ours.blind is not None
    _judged(found, "usual", ours.usual, theirs["usual"])
    codes = {"must": "must-link", "forbid": "forbidden", "agreed": "frozen"}
    missed = {code for told, code in codes.items() if theirs["usual"]["breaks"][told]}
    _same(found, "usual breaks", {breach.code for breach in ours.usual.breaks}, missed)
    drawn = theirs["as_drawn"]
    _same(found, "as drawn exists", ours.as_drawn is not None, drawn is not None)
    if ours.as_drawn is not None and drawn is not None:
        _judged(found, "as drawn", ours.as_drawn, drawn)
    blind = (ours.blind.mean, ours.blind.worst, ours.blind.starts)
    want = theirs["blind"]
    _same(found, "blind start", blind, (want["mean"], want["worst"], want["starts"]))


def told_counts(judged: Judged) -> tuple[int, ...]:
    """The counts that the oracle has too; the others are 0 in its cases."""
    told = zip(COUNT_NAMES, judged.counts, strict=True)
    known = [(name, count) for name, count in told if name not in UNKNOWN or count]
    return tuple(count for _, count in known)


def told_order(judged: Judged) -> tuple[int, ...]:
    """The tie order without the counts that the oracle has not; they come right after the cost."""
    after = 1 + len(COUNT_NAMES)
    return (judged.order[0], *told_counts(judged), *judged.order[after:])


def _ticks(halves: int | None) -> Fraction | None:
    return None if halves is None else Fraction(halves, 2)


def _same(found: list[str], what: str, got: object, want: object) -> None:
    if got != want:
        found.append(f"{what}: we say {got}, the oracle {want}")
