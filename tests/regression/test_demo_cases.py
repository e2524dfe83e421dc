"""The demo cases still give the answers they gave.

These are regression values: the program's own output, kept so that a change is noticed. They are
no evidence that the answers are right. After a change that is meant, rewrite them from the root of
the project with

    PYTHONPATH=.:tests python tests/regression/test_demo_cases.py

and read the difference before it is committed.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

import demo_cases
from solver.api import load_case, result_document, solve

TOP = 3  # listed layouts that are kept


def _layout(layout: dict[str, Any]) -> dict[str, Any]:
    """What is kept of a layout; of odd panels only where there are any."""
    odd = {
        plane["id"]: [[one["panel"], one["width"]] for one in plane["odd"]]
        for plane in layout["planes"] if plane["odd"]
    }
    return {
        "total": layout["cost"]["total"],
        "counts": layout["counts"],
        "firsts": {plane["id"]: plane["first"] for plane in layout["planes"]},
        "moves": {pen["id"]: pen["moved"] for pen in layout["penetrations"] if pen["moved"]},
        "windows": {p["id"]: p["window"] for p in layout["planes"] if "window" in p},
        **({"odd": odd} if odd else {}),
    }


def summary(name: str) -> dict[str, Any]:
    """What is kept of a case's answer; lengths in its units, money in currency units."""
    case = load_case(demo_cases.case_path(name))
    found = result_document(solve(case, top=TOP))
    return {
        "proof": found["proof"],
        "layouts": [_layout(layout) for layout in found["layouts"]],
        "usual": _layout(found["usual"]),
        "as_drawn": _layout(found["as_drawn"]),
        "blind": found["blind"],
        "findings": [[finding["code"], *finding["about"]] for finding in found["findings"]],
    }


@pytest.mark.parametrize("name", demo_cases.names())
def test_answer_is_as_kept(name: str) -> None:
    kept = demo_cases.FOLDER / name / "expected.json"
    assert summary(name) == json.loads(kept.read_text(encoding="utf-8"))


def test_there_are_seven_demo_cases() -> None:
    known = {"clinic", "cottage", "hillhouse", "laundry", "metric", "reroof", "workshop"}
    assert known <= set(demo_cases.names())


def rewrite() -> None:
    """Keep today's answers of all demo cases."""
    for name in demo_cases.names():
        text = json.dumps(summary(name), indent=2, ensure_ascii=False) + "\n"
        (demo_cases.FOLDER / name / "expected.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    rewrite()
