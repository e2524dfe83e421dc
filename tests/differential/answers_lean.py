"""Lays the program's answer beside that of oracle_lean and says where they differ."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

import oracle_lean
from differential.answers_outline import (
    EVERYTHING,
    _baselines,
    _entry,
    _judged,
    _same,
)
from solver.api import Engine, Result, solve
from solver.case import Case
from solver.checker.judge import judge
from solver.errors import ChoiceError
from solver.layout import Layout, Odd
from solver.result import Judged

SAME_NAME = ("end-rule", "fan-play", "fan-odd")


def differences_lean(
    case: Case,
    *,
    engine: Engine = "tables",
    top: int = EVERYTHING,
    faults: frozenset[str] = frozenset(),
    ours: Result | None = None,
) -> list[str]:
    """Every difference from the oracle; `faults` are planted in the oracle."""
    theirs = oracle_lean.solve(case, None if top == EVERYTHING else top, faults)
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
        _lean(found, f"layout {entry.rank}", case, entry.judged, wanted)
    _baselines(found, ours, theirs)
    for name, own in (("usual", ours.usual), ("as drawn", ours.as_drawn)):
        wanted = theirs[name.replace(" ", "_")]
        if own is not None and wanted is not None:
            _lean(found, name, case, own, wanted)
    if not theirs["layouts"] and not any(f.severity == "error" for f in ours.findings):
        found.append("no layout, but the reason is missing")
    return found


def check_differences_lean(
    case: Case, seed: int, faults: frozenset[str] = frozenset()
) -> list[str]:
    """Differences over one layout made up at random, legal or not: price, breaches, tops."""
    source = random.Random(seed)
    firsts, odds = [], []
    for number, plane in enumerate(case.planes):
        cover = case.panel.cover
        first = source.choice([cover, *range(case.mark, cover, case.mark)])
        firsts.append(first if plane.width > cover else plane.width)
        if plane.width > 4 * cover and source.random() < 0.3:
            odds.append(Odd(number, source.choice((2, 3)), cover - case.mark))
    moves = [
        source.choice((-1, 0, 0, 1)) * case.step if pen.status != "fixed" else 0
        for pen in case.penetrations
    ]
    by_plane: dict[int, dict[int, int]] = {}
    for odd in odds:
        by_plane.setdefault(odd.plane, {})[odd.panel] = odd.width
    wanted = oracle_lean.check(case, firsts, moves, by_plane, faults)
    layout = Layout(tuple(wanted["firsts"]), tuple(moves), tuple(odds), ())
    try:
        judged = judge(case, layout)
    except ChoiceError as error:  # what cannot be judged at all is refused
        return [] if wanted["breaks"] else [f"refused a legal layout: {error}"]
    found: list[str] = []
    _same(found, "legal", not judged.breaks, not wanted["breaks"])
    about = {(rule, ids[0]) for rule, ids in wanted["breaks"] if rule in SAME_NAME}
    told = {(b.code, b.about[0]) for b in judged.breaks if b.code in SAME_NAME}
    _same(found, "breaches", sorted(told), sorted(about))
    if "odd-place" not in [rule for rule, _ in wanted["breaks"]]:  # not there: no price
        _judged(found, "the layout", judged, wanted)
        _lean(found, "the layout", case, judged, wanted)
    return [f"{text} ({layout}; {wanted['breaks']}; {judged.breaks})" for text in found]


def _lean(
    found: list[str], name: str, case: Case, judged: Judged, wanted: Mapping[str, Any]
) -> None:
    _same(found, f"{name} widths at the top", [p.top for p in judged.planes], wanted["tops"])
    for index, (pen, told) in enumerate(zip(judged.penetrations, wanted["beside"], strict=True)):
        # upon a seam either will do
        if case.penetrations[index].kind == "pipe" and pen.x not in told:
            beside = (
                max((at for at in told if at < pen.x), default=None),
                min((at for at in told if at > pen.x), default=None),
            )
            _same(found, f"{name} seams beside {pen.id}", (pen.seam_low, pen.seam_high), beside)
