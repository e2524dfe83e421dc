"""Lays the program's answer beside that of oracle_outline and says where they differ."""

from __future__ import annotations

import random
from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from typing import Any

import oracle_outline
from oracle_outline_case import ends_at, parts, read, shape_of
from solver.api import Engine, Result, solve
from solver.case import Case
from solver.checker.judge import judge
from solver.errors import ChoiceError
from solver.layout import Layout, Odd
from solver.result import Judged, Ranked
from solver.shape import edges as outline_edges
from solver.shape import outline

EVERYTHING = 10_000
CODES = {
    "must": "must-link", "forbid": "forbidden", "agreed-first": "frozen", "agreed-move": "frozen",
    "must-centre": "must-centre", "must-land": "must-land",
}  # fmt: skip
ABOUT_PIECES = ("piece-narrow", "piece-short", "end-rule")
SAME_NAME = (*ABOUT_PIECES, "must-centre", "must-land")


def differences_outline(
    case: Case,
    *,
    engine: Engine = "tables",
    top: int = EVERYTHING,
    faults: frozenset[str] = frozenset(),
    ours: Result | None = None,
) -> list[str]:
    """Every difference from the oracle; `faults` are planted in the oracle."""
    theirs = oracle_outline.solve(case, None if top == EVERYTHING else top, faults)
    if ours is None:
        ours = solve(case, top=top, engine=engine)
    found: list[str] = []
    if theirs["no_start"]:
        told = [f.about[0] for f in ours.findings if f.code == "no-start"]
        _same(found, "planes without a start", told, theirs["no_start"])
        _same(found, "layouts without a start", len(ours.layouts), 0)
        return found
    _same(found, "length of the list", len(ours.layouts), len(theirs["layouts"]))
    _same(found, "proven", ours.proven, True)
    for entry, wanted in zip(ours.layouts, theirs["layouts"], strict=False):
        _entry(found, entry, wanted)
    _baselines(found, ours, theirs)
    if not theirs["layouts"]:
        codes = {f.code for f in ours.findings if f.severity == "error"}
        if not codes & {*CODES.values(), "no-start"}:
            found.append(f"no layout, but the reason is missing: {codes}")
    return found


def check_differences_outline(case: Case, seed: int) -> list[str]:
    """Differences over one layout made up at random, legal or not: price, breaches."""
    source = random.Random(seed)
    firsts, odds = [], []
    for number, plane in enumerate(case.planes):
        cover = case.panel.cover
        first = source.choice([cover, *range(case.mark, cover, case.mark)])
        firsts.append(first if plane.width > cover else plane.width)
        if case.rules.odd_panels and plane.width > 4 * cover and source.random() < 0.5:
            width = source.choice(case.rules.odd_widths)
            odds.append(Odd(number, source.choice((2, 3)), width))
    moves = [
        source.choice((-1, 0, 0, 1)) * case.step if pen.status != "fixed" else 0
        for pen in case.penetrations
    ]
    by_plane: dict[int, dict[int, int]] = {}
    for odd in odds:
        by_plane.setdefault(odd.plane, {})[odd.panel] = odd.width
    wanted = oracle_outline.check(case, firsts, moves, by_plane)
    layout = Layout(tuple(wanted["firsts"]), tuple(moves), tuple(odds), ())
    try:
        judged = judge(case, layout)
    except ChoiceError as error:  # what cannot be judged at all is refused
        return [] if wanted["breaks"] else [f"refused a legal layout: {error}"]
    found: list[str] = []
    _same(found, "legal", not judged.breaks, not wanted["breaks"])
    about = {(rule, ids[0]) for rule, ids in wanted["breaks"] if rule in SAME_NAME}
    told = {(b.code, b.about[0]) for b in judged.breaks if b.code in SAME_NAME}
    centres = {pair for pair in about | told if pair[0] == "must-centre"}
    _same(found, "breaches", sorted(told - centres), sorted(about - centres))
    missed = [{rule for rule, _ in pairs} & {"must-centre"} for pairs in (told, about)]
    _same(found, "must centres missed", *missed)
    _judged(found, "the layout", judged, wanted)
    return [f"{text} ({layout}; {wanted['breaks']}; {judged.breaks})" for text in found]


def strip_differences(case: Case, seed: int) -> list[str]:
    """Differences over strips anywhere: what is wrong with their pieces, their length; the ends of
    the roof at some places."""
    source, roof, found = random.Random(seed), read(case), list[str]()
    for number, plane in enumerate(case.planes):
        if plane.outline is None:
            continue
        shape = shape_of(plane.outline, plane.holes)
        corners = [x // 2 + off for ring in shape.rings for x, _ in ring for off in (0, 1, -1)]
        spots = [0, plane.width, *corners, *(source.randint(0, plane.width) for _ in range(6))]
        some = {x for x in source.sample(spots, min(9, len(spots))) if 0 <= x <= plane.width}
        for low, high in pairwise(sorted(some)):
            pieces = parts(roof, number, 2 * low, 2 * high)
            rules = {
                "piece-narrow": any(p.width < roof.min_piece for p in pieces),
                "piece-short": any(p.length < roof.min_length for p in pieces),
                "end-rule": any(
                    p.width < roof.base.min_end
                    and any(e.upright and e.kind in ("rake", "wall") for e in p.beside)
                    for p in pieces
                ),
            }
            told = outline.strip_faults(case, plane, low, high)
            wanted = sorted(rule for rule, broken in rules.items() if broken)
            _same(found, f"{plane.id} {low}..{high}", sorted(set(told)), wanted)
            reach = max((p.y_high for p in pieces), default=Fraction(0)) - min(
                (p.y_low for p in pieces), default=Fraction(0)
            )
            long = outline.strip_length(plane, low, high)
            _same(found, f"{plane.id} length {low}..{high}", long, -(-reach // 2))
        ys = [y // 2 + off for ring in shape.rings for _, y in ring for off in (0, 1, -1)]
        for y in [*ys, *(source.randint(0, plane.length) for _ in range(4))]:
            x = source.choice((source.randint(0, plane.width), source.choice(corners)))
            ends = ends_at(shape, 2 * x, 2 * y)
            halved = None if ends is None else (ends[0] // 2, ends[1] // 2)
            _same(found, f"{plane.id} ends at {x}, {y}", outline_edges.ends_at(plane, x, y), halved)
            on = shape.holds(2 * x, 2 * y)
            _same(found, f"{plane.id} holds {x}, {y}", outline_edges.holds(plane, x, y), on)
    return found


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
        ("stock cost", judged.cost.stock, cost["stock"]),
        ("counts", judged.counts, tuple(wanted["counts"].values())),
        ("order", judged.order, wanted["order"]),
        ("firsts", list(judged.layout.firsts), wanted["firsts"]),
        ("lasts", [plane.last for plane in judged.planes], wanted["lasts"]),
        ("moves", list(judged.layout.moves), wanted["moves"]),
        ("x moved", [pen.moved for pen in pens], wanted["moves"]),
        ("seams", [list(plane.seams) for plane in judged.planes], wanted["seams"]),
        ("states", [pen.state for pen in pens], wanted["states"]),
        ("room", [_ticks(pen.room2) for pen in pens], wanted["room"]),
        ("needed", [_ticks(pen.needed2) for pen in pens], wanted["needed"]),
        ("margin", [_ticks(pen.margin2) for pen in pens], wanted["margin"]),
        ("worst room", [_ticks(pen.worst_room2) for pen in pens], wanted["worst_room"]),
        ("worst margin", [_ticks(pen.worst_margin2) for pen in pens], wanted["worst_margin"]),
        ("seams cut", [pen.seams_cut for pen in pens], wanted["seams_cut"]),
        ("landed", [pen.landed for pen in pens], wanted["landed"]),
        ("links", [link.meet for link in judged.links], wanted["links"]),
        ("strays", [link.strays2 for link in judged.links], wanted["strays2"]),
        ("hit centres", [one.hit for one in judged.centres],
         [one["hit"] for one in wanted["centres"]]),
    ):  # fmt: skip
        _same(found, f"{name} {what}", got, want)
    for one, told in zip(judged.centres, wanted["centres"], strict=False):
        if one.off2 not in (told["off2"] or [None]):  # of two equally near either will do
            _same(found, f"{name} centre {one.what} at {one.at}", one.off2, told["off2"])


def _baselines(found: list[str], ours: Result, theirs: Mapping[str, Any]) -> None:
    usual, drawn, blind = theirs["usual"], theirs["as_drawn"], theirs["blind"]
    _same(found, "usual exists", ours.usual is not None, usual is not None)
    if ours.usual is not None and usual is not None:
        _judged(found, "usual", ours.usual, usual)
        missed = {CODES[rule] for rule, _ in usual["breaks"]}
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
