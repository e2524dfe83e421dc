"""Work that ends early: whatever it lists has been checked, and every bound is a true bound.

A clock that is over after so many questions ends the work at every stage of it in turn, on any
machine alike. What is listed then is held against the whole answer of the same case.
"""

from __future__ import annotations

import random
from typing import Any

import pytest

from solver.api import case_from_document, solve
from solver.case import Case
from solver.checker.judge import judge
from solver.clock import Clock
from solver.result import PROVEN, Result
from solver.tabling import planes
from strategies_odd import random_case_odd

Document = dict[str, Any]
AFTER = (0, 1, 2, 3, 5, 8, 13, 22, 38, 80, 400)


class Counted(Clock):
    """Over after so many questions; there is always an hour left until then."""

    def __init__(self, questions: int) -> None:
        super().__init__()
        self.questions = questions

    def over(self) -> bool:
        self.questions -= 1
        if self.questions < 0:
            self.timed_out = True
        return super().over()

    def left(self) -> float | None:
        return 0.01 if self.questions <= 0 else 3600.0


def row(seed: int) -> Document:
    """A plane or two with pipes in reach of each other, odd panels and a curb: a few thousand
    choices each, some of them unsettled."""
    draw = random.Random(seed)
    document: Document = {
        "title": "t", "units": "in", "setting": draw.choice(["new", "new", "reroof"]),
        "panel": {"cover": 16}, "rules": {"odd_panels": draw.choice([1, 2])},
        "plane": [], "penetration": [],
    }
    for plane in "PQ"[: draw.choice([1, 1, 2])]:
        width = draw.randrange(220, 320)
        document["plane"].append({"id": plane, "width": width, "length": 200})
        x = 20.0
        for n in range(draw.randrange(3, 7)):
            x += draw.choice([14, 17, 25, 33.5, 40])
            if x > width - 20:
                break
            pen: Document = {"id": f"{plane}{n}", "plane": plane, "x": x, "y": 100}
            if draw.random() < 0.2:
                pen |= {"kind": "curb", "across": draw.choice([14, 24]), "along": 20}
            else:
                pen |= {"kind": "pipe", "outside": draw.choice([2.375, 4.5]), "reach": 6,
                        "status": draw.choice(["planned", "stubbed", "fixed"])}
            document["penetration"].append(pen)
    if len(document["plane"]) == 2:
        document["link"] = [{"planes": ["P", "Q"], "how": "same", "must": draw.random() < 0.3}]
    return document


def hold(case: Case, whole: Result, early: Result, what: str) -> None:
    """Hold what was known early against the whole answer."""
    assert early.usual == whole.usual, what
    for entry in early.layouts:
        judged = entry.judged
        assert judge(case, judged.layout) == judged and not judged.breaks, what
        assert entry.bound <= judged.cost.total, what
    if early.layouts:
        first, best = early.layouts[0], whole.layouts[0]
        assert first.judged.cost.total >= best.judged.cost.total, what
        assert first.bound <= best.judged.cost.total, what
        if first.proof == PROVEN:
            assert first.judged.cost.total == best.judged.cost.total, what
        for known in (early.usual, early.as_drawn):
            if known is not None and not known.breaks:
                assert first.judged.order <= known.order, what
    else:
        assert not early.complete or not whole.layouts, what
    if early.as_drawn is not None:
        assert whole.as_drawn is not None, what
        assert early.as_drawn.order >= whole.as_drawn.order, what
    if early.complete:
        assert [e.judged for e in early.layouts] == [e.judged for e in whole.layouts], what
        assert early.as_drawn == whole.as_drawn, what
    else:
        assert early.stopped == "time", what
    known = [j for j in (early.usual, early.as_drawn) if j is not None and not j.breaks]
    assert early.layouts or not known, what


def ended_early(document: Document, what: str) -> set[str]:
    """Which ends there were."""
    case = case_from_document(document)
    whole = solve(case)
    assert whole.complete
    ends = set()
    for questions in AFTER:
        early = solve(case, clock=Counted(questions))
        hold(case, whole, early, f"{what}, after {questions}")
        first = early.layouts[0] if early.layouts else None
        ends.add("complete" if early.complete else
                 "none" if first is None else first.proof)
    return ends


@pytest.mark.parametrize("columns", [None, -1], ids=["one by one", "searched"])
def test_small_cases(columns: int | None, monkeypatch: pytest.MonkeyPatch) -> None:
    if columns is not None:
        monkeypatch.setattr(planes, "MOST_COLUMNS", columns)
        monkeypatch.setattr("solver.odd.wide.worth", lambda _case: None)  # no model instead
    for seed in range(600, 612):
        ended_early(random_case_odd(seed), f"seed {seed}")


def test_rows_of_pipes_under_odd_panels() -> None:
    ends = set()
    for seed in range(4):
        ends |= ended_early(row(seed), f"seed {seed}")
    assert {"complete", "proven", "not proven"} <= ends
