"""What the checker is: alone, unwilling to judge nonsense, and able to contradict the optimizer."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import solver.checker.judge
from solver.checker.judge import compare, judge
from solver.errors import ChoiceError, DisagreementError
from solver.layout import Layout
from tests.unit.builders import codes, inches, look, make_case, make_pipe

TICK = 1


def test_it_shares_nothing_with_the_search() -> None:
    data = {"case", "case_parts", "errors", "layout", "result", "units"}
    folder = Path(solver.checker.judge.__file__).parent
    own = {path.stem for path in folder.glob("*.py")}
    assert {"judge", "counts", "order", "outlines", "laying", "stands", "breaches"} <= own
    allowed = {f"solver.{other}" for other in data} | {f"solver.checker.{other}" for other in own}
    standard = {
        "__future__", "bisect", "collections.abc", "dataclasses", "fractions", "functools",
        "itertools", "math", "typing",
    }  # fmt: skip
    for name in own:
        tree = ast.parse((folder / f"{name}.py").read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                imported = {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                imported = {node.module or ""}
            else:
                continue
            assert imported <= standard | allowed
        text = (folder / f"{name}.py").read_text(encoding="utf-8")
        assert "needed2(" not in text
        assert ".ends" not in text or name in {"laying", "breaches_planes"}  # of laid panels
        assert "ends_of" not in text


@pytest.mark.parametrize("first", [0, -TICK, inches(100), inches(100) + TICK])
def test_a_first_width_without_a_seam_is_refused(first: int) -> None:
    with pytest.raises(ChoiceError, match="plane S"):
        look(make_case(), first=first)


def test_the_widest_and_narrowest_first_width_that_can_be_judged() -> None:
    narrow = look(make_case(), first=TICK).planes[0]
    assert (narrow.seams[0], len(narrow.seams)) == (TICK, 6)
    wide = look(make_case(), first=inches(100) - TICK).planes[0]
    assert (wide.seams, wide.last) == ((inches(100) - TICK,), TICK)


def test_a_move_off_the_plane_is_refused() -> None:
    case = make_case(make_pipe(inches(41), status="planned"))
    for move in (-inches(41), inches(59)):  # onto the very edge: judged, with breaches
        assert "near-edge" in codes(look(case, move=move))
    for move in (-inches(41) - TICK, inches(59) + TICK):
        with pytest.raises(ChoiceError, match="V1"):
            look(case, move=move)


def test_a_wrong_number_of_decisions_is_refused() -> None:
    case = make_case(make_pipe(inches(41)))
    for layout in (
        Layout((), (0,)),
        Layout((inches(14),) * 2, (0,)),
        Layout((inches(14),), ()),
        Layout((inches(14),), (0, 0)),
    ):
        with pytest.raises(ChoiceError, match="the case has 1"):
            judge(case, layout)


def test_compare_is_silent_where_both_agree() -> None:
    judged = look(make_case(make_pipe(inches(33))))
    compare(judged, judged.cost.total, judged.counts, judged.order)


def test_compare_shows_both_views() -> None:
    judged = look(make_case(make_pipe(inches(33))))  # on-seam: 5 h x 100 + 150 = 650.00
    assert judged.cost.total == 65000
    with pytest.raises(DisagreementError, match=r"total +65000 +65001"):
        compare(judged, 65001, judged.counts, judged.order)
    with pytest.raises(DisagreementError, match=r"count on-seam +1 +0"):
        compare(judged, judged.cost.total, (0, *judged.counts[1:]), judged.order)
    with pytest.raises(DisagreementError, match=r"move of V1 +0 +1"):
        compare(judged, judged.cost.total, judged.counts, (*judged.order[:-1], 1))
    with pytest.raises(DisagreementError, match=r"missing"):
        compare(judged, judged.cost.total, judged.counts, judged.order[:-1])
    with pytest.raises(DisagreementError, match=r"missing +0"):
        compare(judged, judged.cost.total, judged.counts, (*judged.order, 0))
