"""What must not change, or must change in a known way, when a case is turned, shifted or added to.

No expected numbers here: two answers of the program are held against each other.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest

from solver.api import Result, case_from_document, solve
from solver.case import Case
from strategies import random_case

SEEDS = range(200_000, 200_250)
Document = dict[str, Any]


def answer(document: Document) -> tuple[Case, Result]:
    case = case_from_document(document)
    return case, solve(case, top=10_000)


def costs(result: Result) -> list[tuple[int, tuple[int, ...]]]:
    return [(entry.judged.cost.total, entry.judged.counts) for entry in result.layouts]


def exact(document: Document) -> Document:
    """The same case with every length of planes and penetrations written in whole ticks."""
    case = case_from_document(document)
    per = {"in": 16256, "mm": 640}[case.units]
    turned = copy.deepcopy(document)
    for entry, plane in zip(turned["plane"], case.planes, strict=True):
        entry["width"] = plane.width / per
        for keepout, read in zip(entry.get("keepout", []), plane.keepouts, strict=True):
            keepout["from"], keepout["to"] = read.x_from / per, read.x_to / per
    for entry, pen in zip(turned.get("penetration", []), case.penetrations, strict=True):
        entry["x"] = pen.x / per
    return turned


@pytest.mark.parametrize("seed", SEEDS)
def test_mirrored_roof_costs_the_same(seed: int) -> None:
    """Turn every plane round: x from the other end, laid from the other end, reaches swapped.

    Costs and counts of the list stay. (Layouts may differ in the last tie level, which prefers
    moves towards smaller x.)
    """
    document = exact(random_case(seed))
    case = case_from_document(document)
    per = {"in": 16256, "mm": 640}[case.units]
    mirror = copy.deepcopy(document)
    widths = {plane.id: plane.width for plane in case.planes}
    for entry, plane in zip(mirror["plane"], case.planes, strict=True):
        entry["lay"] = "right-to-left" if plane.lay == "left-to-right" else "left-to-right"
        for keepout, read in zip(entry.get("keepout", []), plane.keepouts, strict=True):
            keepout["from"] = (plane.width - read.x_to) / per
            keepout["to"] = (plane.width - read.x_from) / per
    for entry, pen in zip(mirror.get("penetration", []), case.penetrations, strict=True):
        entry["x"] = (widths[pen.plane] - pen.x) / per
        low, high = entry.pop("reach_low", None), entry.pop("reach_high", None)
        if high is not None:
            entry["reach_low"] = high
        if low is not None:
            entry["reach_high"] = low
    for entry, link in zip(mirror.get("link", []), case.links, strict=True):
        one, other = (widths[name] for name in link.planes)
        # mirror: x meets w1 + o - x, so w1 - x meets w2 - (w1 + o - x): the offset turns its sign
        # and takes in how the widths differ; same: x meets x + o.
        entry["offset"] = (other - one - link.offset) / per
    here, there = answer(document)[1], answer(mirror)[1]
    assert costs(here) == costs(there)
    assert here.blind == there.blind
    # The usual layout takes the wider of two equally near first widths, whichever end it is at.
    assert (here.usual is None) == (there.usual is None)


def shifted(document: Document, covers: int) -> Document:
    """Every plane wider by whole covers at the end it is laid from, all that is on it kept."""
    case = case_from_document(document)
    per = {"in": 16256, "mm": 640}[case.units]
    more = covers * case.panel.cover
    by = {p.id: more if p.lay == "left-to-right" else 0 for p in case.planes}
    moved = copy.deepcopy(document)
    for entry, plane in zip(moved["plane"], case.planes, strict=True):
        entry["width"] = (plane.width + more) / per
        for keepout, read in zip(entry.get("keepout", []), plane.keepouts, strict=True):
            keepout["from"] = (read.x_from + by[plane.id]) / per
            keepout["to"] = (read.x_to + by[plane.id]) / per
    for entry, pen in zip(moved.get("penetration", []), case.penetrations, strict=True):
        entry["x"] = (pen.x + by[pen.plane]) / per
    return moved


@pytest.mark.parametrize("seed", SEEDS)
def test_whole_covers_more_before_everything_change_nothing(seed: int) -> None:
    """Far enough from the starting end, three more whole panels there change nothing at all."""
    document = exact(random_case(seed))
    here, there = (answer(shifted(document, covers))[1] for covers in (6, 9))
    assert costs(here) == costs(there)
    assert [e.judged.layout for e in here.layouts] == [e.judged.layout for e in there.layouts]
    assert [e.windows for e in here.layouts] == [e.windows for e in there.layouts]
    assert here.blind == there.blind


@pytest.mark.parametrize("seed", SEEDS)
def test_a_thin_fixed_pipe_in_the_middle_of_a_pan_costs_nothing(seed: int) -> None:
    """Add a hair-thin fixed pipe in mid-pan of the best layout, far up the slope from the others.

    The best cost stays: the pipe is clear there, and it can only make other layouts dearer.
    """
    plain = exact(random_case(seed))
    plain.setdefault("rules", {}).update(
        {"work_gap": 0, "seamer_gap": 0, "end_lap": 0, "enough": 0}
    )
    case, before = answer(plain)
    if not before.layouts:
        pytest.skip("no layout to add a pipe to")
    plane, judged = case.planes[0], before.layouts[0].judged.planes[0]
    edges = [0, *judged.seams, plane.width]
    per = {"in": 16256, "mm": 640}[case.units]
    place = max(range(len(edges) - 1), key=lambda k: edges[k + 1] - edges[k])
    added = copy.deepcopy(plain)
    for entry in added["plane"]:
        if entry["id"] == plane.id:
            entry["length"] = 30_000_000 / per
    added.setdefault("penetration", []).append({
        "id": "added", "plane": plane.id, "kind": "pipe",
        "x": (edges[place] + edges[place + 1]) // 2 / per, "y": 29_000_000 / per,
        "outside": 2 / per, "base": 4 / per,
    })
    after = answer(added)[1]
    assert after.layouts
    assert after.layouts[0].judged.cost == before.layouts[0].judged.cost
    assert after.layouts[0].judged.layout.firsts == before.layouts[0].judged.layout.firsts
