"""Small random roofs, of every kind the case file knows: all figures at many first widths."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from browser.reading import checked_as, compare
from cli.page.page import page_text
from cli.report.words import Lengths
from conftest import CasesOr
from solver.api import case_from_document, solve
from solver.case import Case
from solver.page.parts import page_parts
from solver.result import Result
from strategies import random_case_stage2
from strategies_odd import random_case_odd
from strategies_outline import random_roof

SEEDS = 14
MOST_FIRSTS = 4


def from_document(make: Callable[[int], dict[str, Any]]) -> Callable[[int], Case]:
    return lambda seed: case_from_document(make(seed))


KINDS: dict[str, Callable[[int], Case]] = {
    "tolerances": from_document(random_case_stage2), "odd": from_document(random_case_odd),
    "outlines": random_roof,
}


def listed(result: Result, entry: int) -> tuple[dict[str, int], dict[str, int]]:
    layout = result.layouts[entry].judged.layout
    planes, pens = result.case.planes, result.case.penetrations
    firsts = {plane.id: first for plane, first in zip(planes, layout.firsts, strict=True)}
    return firsts, {
        pen.id: move for pen, move in zip(pens, layout.moves, strict=True) if move
    }


def follow(page: Any, result: Result, entry: int) -> int:
    """Every plane's start at some of its first widths; then every move taken back."""
    firsts, moves = listed(result, entry)
    page.locator(f"[name=view][value='{entry}']").check(force=True)
    compare(page, result, checked_as(result, firsts, moves, entry))
    tables, layout = page_parts(result).tables, result.layouts[entry].judged.layout
    seen = 0
    for number, plane in enumerate(result.case.planes):
        widths = tables.shapes[number][tables.shape_of(layout, number)].firsts
        needle = page.locator(f"#plane-{number} .needle")
        if len(widths) < 2:
            continue
        for at in sorted({len(widths) * n // MOST_FIRSTS for n in range(MOST_FIRSTS)}):
            needle.press("Home")
            for _ in range(at // 8):
                needle.press("PageUp")
            for _ in range(at % 8):
                needle.press("ArrowRight")
            firsts[plane.id] = widths[at]
            compare(page, result, checked_as(result, firsts, moves, entry))
            seen += 1
    for box in page.locator(".pens input").all():
        row = box.locator("xpath=ancestor::tr").get_attribute("data-pen")
        moves.pop(result.case.penetrations[int(row)].id)
        box.uncheck()
        compare(page, result, checked_as(result, firsts, moves, entry))
    return seen


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_random_roofs(opened: Any, cases_or: CasesOr, kind: str) -> None:
    seen = 0
    for seed in range(5000, 5000 + cases_or(SEEDS)):
        result = solve(KINDS[kind](seed))
        if not result.layouts:
            continue
        page = opened(page_text(result))
        for entry in range(min(len(result.layouts), 2)):
            try:
                seen += follow(page, result, entry)
            except AssertionError as wrong:
                raise AssertionError(f"{kind} {seed}, layout {entry + 1}: {wrong}") from wrong
        page.close()
    assert seen > 10


@pytest.mark.parametrize("run", ["square", "fan"])
@pytest.mark.parametrize("lay", ["left-to-right", "right-to-left"])
def test_a_roof_laid_out_as_it_was_found(opened: Any, run: str, lay: str) -> None:
    """Out of square by an inch at one rake and by two at the other."""
    result = solve(case_from_document({
        "title": "Out of square", "units": "in", "panel": {"cover": 18, "seam_half": 0.5},
        "rules": {"play": 0.25},
        "plane": [{
            "id": "S", "width": "40 ft", "length": "20 ft", "lay": lay,
            "survey": {
                "run": run, "base": "10 ft",
                "offsets": [{"y": 0, "low": "10 ft", "high": "30 ft"},
                            {"y": "20 ft", "low": "10' 1\"", "high": "30' 2\""}],
            },
        }],
        "penetration": [
            {"id": f"V{n}", "plane": "S", "kind": "pipe", "x": 50 + 90 * n, "y": 40 + 45 * n,
             "outside": 3.5, "status": "planned" if n % 2 else "fixed"} for n in range(5)
        ],
    }))
    lean = result.case.planes[0].lean
    assert lean is not None and lean.fan is (run == "fan")
    page = opened(page_text(result))
    assert follow(page, result, 0) > 2
    top = result.layouts[0].judged.planes[0].top
    assert top is not None
    page.get_by_role("button", name="Back to the list").click()
    near = Lengths(result.case).near
    assert page.locator("[data-live=tops]").inner_text() == (
        f"At the top the first is {near(top[0])}, the last {near(top[1])}.")
