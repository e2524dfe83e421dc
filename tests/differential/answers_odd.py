"""Lays the program's answer beside that of oracle_odd and says where they differ."""

from __future__ import annotations

import random
from collections.abc import Mapping
from fractions import Fraction
from itertools import islice
from typing import Any

import oracle_odd
from differential.answers import told_counts, told_order
from oracle_odd_case import OddCase, read
from oracle_odd_laying import layings
from solver.api import Engine, Result, case_from_document, solve
from solver.checker.judge import judge
from solver.errors import ChoiceError
from solver.layout import Change, Layout, Odd
from solver.result import Judged, JudgedPlane, Ranked

EVERYTHING = 10_000


def differences_odd(
    document: Mapping[str, Any],
    *,
    engine: Engine = "tables",
    top: int = EVERYTHING,
    faults: frozenset[str] = frozenset(),
) -> list[str]:
    """Every difference from the oracle; `faults` are planted in the oracle."""
    theirs = oracle_odd.solve(document, top=None if top == EVERYTHING else top, faults=faults)
    ours = solve(case_from_document(dict(document)), top=top, engine=engine)
    found: list[str] = []
    if theirs["no_start"]:
        told = [f.about[0] for f in ours.findings if f.code == "no-start"]
        _same(found, "planes without a start", told, [plane for plane, _ in theirs["no_start"]])
        _same(found, "layouts without a start", len(ours.layouts), 0)
        return found
    _same(found, "length of the list", len(ours.layouts), len(theirs["layouts"]))
    _same(found, "proven", ours.proven, True)
    for entry, wanted in zip(ours.layouts, theirs["layouts"], strict=False):
        _entry(found, entry, wanted)
    _baselines(found, ours, theirs)
    if not theirs["layouts"]:
        codes = {f.code for f in ours.findings if f.severity == "error"}
        if not codes & {"forbidden", "must-link", "frozen", "no-start"}:
            found.append(f"no layout, but the reason is missing: {codes}")
    return found


def check_differences(document: Mapping[str, Any], seed: int) -> list[str]:
    """Differences over one layout made up at random, legal or not: price, and whether legal."""
    case = read(document)
    source = random.Random(seed)
    firsts, odds, changes = {}, {}, {}
    for number, plane in enumerate(case.base.planes):
        ways = list(islice(layings(case, number), 40))
        if not ways:
            return []
        way = source.choice(ways)
        firsts[plane.id] = way.first // 2
        odds[plane.id] = {panel: width // 2 for panel, width in way.odds}
        changes[plane.id] = {stretch: change // 2 for stretch, change in way.changes}
        _disturb(source, case, odds[plane.id], changes[plane.id])
    moves = {pen.id: 0 for pen in case.base.pens}
    wanted = oracle_odd.check(document, firsts, moves, odds, changes)
    layout = Layout(
        firsts=tuple(wanted["firsts"]),  # what follows, for planes laid from a line
        moves=tuple(moves.values()),
        odds=tuple(
            Odd(number, panel, width)
            for number, here in enumerate(odds.values())
            for panel, width in sorted(here.items())
        ),
        changes=tuple(
            Change(number, stretch, change)
            for number, here in enumerate(changes.values())
            for stretch, change in sorted(here.items())
        ),
    )
    try:
        judged = judge(case_from_document(dict(document)), layout)
    except ChoiceError as error:  # what cannot be laid at all is refused
        return [] if wanted["breaks"] else [f"refused a legal layout: {error}"]
    found: list[str] = []
    _same(found, "legal", not judged.breaks, not wanted["breaks"])
    if not wanted["breaks"]:
        _judged(found, "the layout", judged, wanted)
    return [f"{text} ({layout}; {wanted['breaks']}; {judged.breaks})" for text in found]


def _disturb(
    source: random.Random, case: OddCase, odds: dict[int, int], changes: dict[int, int]
) -> None:
    """Makes something of a plane's odd panels and changes wrong, perhaps."""
    mark = case.base.lengths["mark"] // 2
    what = source.randrange(8)
    if what == 0 and odds:
        panel = source.choice(sorted(odds))
        odds[panel] = max(1, odds[panel] + source.choice((-mark, mark, 1)))
    elif what == 1 and odds:
        panel = source.choice(sorted(odds))
        odds[panel + source.choice((-1, 1, 2)) or 1] = odds.pop(panel)
    elif what == 2 and case.odd_widths:
        odds[source.randrange(1, 6)] = source.choice(case.odd_widths) // 2
    elif what == 3 and changes:
        stretch = source.choice(sorted(changes))
        changes[stretch] += source.choice((1, -1, case.play_mark // 2)) or 1
        if not changes[stretch]:
            del changes[stretch]
    elif what == 4 and case.play:
        changes[source.randrange(1, 4)] = source.choice([c for c in case.changes if c] or [2]) // 2


def _entry(found: list[str], entry: Ranked, wanted: Mapping[str, Any]) -> None:
    name = f"layout {entry.rank}"
    _judged(found, name, entry.judged, wanted)
    windows = [tuple(window) for window in wanted["windows"]]
    _same(found, f"{name} windows", list(entry.windows), windows)
    _same(found, f"{name} proof", entry.proof, "proven")
    _same(found, f"{name} bound", entry.bound, wanted["total"])


def _judged(found: list[str], name: str, judged: Judged, wanted: Mapping[str, Any]) -> None:
    pens, cost = judged.penetrations, wanted["cost"]
    for what, got, want in (
        ("total", judged.cost.total, wanted["total"]),
        ("flashing", judged.cost.flashing, cost["flashing"]),
        ("moves cost", judged.cost.moves, cost["moves"]),
        ("odd panels cost", judged.cost.odd_panels, cost["odd_panels"]),
        ("look", judged.cost.look, cost["look"]),
        ("play cost", judged.cost.play, cost["play"]),
        ("counts", told_counts(judged), tuple(wanted["counts"].values())),
        ("order", told_order(judged), wanted["order"]),
        ("firsts", list(judged.layout.firsts), wanted["firsts"]),
        ("moves", list(judged.layout.moves), wanted["moves"]),
        ("x moved", [pen.moved for pen in pens], wanted["moves"]),
        ("states", [pen.state for pen in pens], wanted["states"]),
        ("room", [_ticks(pen.room2) for pen in pens], wanted["room"]),
        ("needed", [_ticks(pen.needed2) for pen in pens], wanted["needed"]),
        ("margin", [_ticks(pen.margin2) for pen in pens], wanted["margin"]),
        ("worst room", [_ticks(pen.worst_room2) for pen in pens], wanted["worst_room"]),
        ("worst margin", [_ticks(pen.worst_margin2) for pen in pens], wanted["worst_margin"]),
        ("seams cut", [pen.seams_cut for pen in pens], wanted["seams_cut"]),
        ("links", [link.meet for link in judged.links], wanted["links"]),
        ("strays", [link.strays2 for link in judged.links], wanted["strays2"]),
    ):
        _same(found, f"{name} {what}", got, want)
    for pen, beside in zip(pens, wanted["seams_beside"], strict=True):
        if beside[0] is None or beside[0] != beside[1]:  # not a pipe upon a seam
            seams = (pen.seam_low, pen.seam_high)
            _same(found, f"{name} seams beside {pen.id}", seams, beside)
    for plane, told in zip(judged.planes, wanted["planes"], strict=True):
        _plane(found, f"{name} plane {plane.id}", plane, told)
    odds = [
        (odd.plane, odd.panel, odd.width) for odd in judged.layout.odds
    ]  # fmt: skip
    told_odds = [
        (number, panel, width)
        for number, plane in enumerate(wanted["planes"])
        for panel, width, _, _ in plane["odd"]
    ]
    _same(found, f"{name} odd panels decided", odds, told_odds)


def _plane(
    found: list[str], name: str, plane: JudgedPlane, wanted: Mapping[str, Any]
) -> None:  # fmt: skip
    """Stretches without a full panel are not looked at: they may be listed or not."""
    odd = sorted((odd.panel, odd.width, odd.low, odd.high) for odd in plane.odd)
    stretches = {
        one.stretch: (one.full, one.module) for one in plane.stretches if one.full
    }  # fmt: skip
    for what, got, want in (
        ("first", plane.first, wanted["first"]),
        ("last", plane.last, wanted["last"]),
        ("panels", plane.panels, wanted["panels"]),
        ("seams", list(plane.seams), wanted["seams"]),
        ("odd", odd, wanted["odd"]),
        ("stretches", stretches, {s: (len(on), size) for s, on, size in wanted["stretches"]}),
    ):
        _same(found, f"{name} {what}", got, want)
    panels = {one.stretch: (one.first_panel, one.last_panel) for one in plane.stretches}
    for stretch, full, _ in wanted["stretches"]:
        first, last = panels.get(stretch, (0, 0))
        if not all(min(first, last) <= number <= max(first, last) for number in full):
            found.append(f"{name} stretch {stretch}: we say {first} to {last}, the oracle {full}")


def _baselines(found: list[str], ours: Result, theirs: Mapping[str, Any]) -> None:
    usual, drawn, blind = theirs["usual"], theirs["as_drawn"], theirs["blind"]
    _same(found, "usual exists", ours.usual is not None, usual is not None)
    if ours.usual is not None and usual is not None:
        _judged(found, "usual", ours.usual, usual)
        codes = {"must": "must-link", "forbid": "forbidden", "agreed": "frozen"}
        missed = {code for told, code in codes.items() if usual["breaks"][told]}
        _same(found, "usual breaks", {breach.code for breach in ours.usual.breaks}, missed)
    _same(found, "as drawn exists", ours.as_drawn is not None, drawn is not None)
    if ours.as_drawn is not None and drawn is not None:
        _judged(found, "as drawn", ours.as_drawn, drawn)
    _same(found, "blind exists", ours.blind is not None, blind is not None)
    if ours.blind is not None and blind is not None:
        told = (ours.blind.mean, ours.blind.worst, ours.blind.starts)
        _same(found, "blind start", told, (blind["mean"], blind["worst"], blind["starts"]))


def _ticks(halves: int | None) -> Fraction | None:
    return None if halves is None else Fraction(halves, 2)


def _same(found: list[str], what: str, got: object, want: object) -> None:
    if got != want:
        found.append(f"{what}: we say {got}, the oracle {want}")
