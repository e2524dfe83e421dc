"""The page as a text: whole, alone, the same every time, and deaf to what stands in a case."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from pathlib import Path

import pytest

from cli.page.data import page_data, script_json
from cli.page.markup import name, shown, table
from cli.page.page import page_text
from demo_cases import case_path, names
from solver.api import case_from_document, load_case, solve
from solver.page.parts import page_parts
from solver.result import Result


def result_of(case: str) -> Result:
    return solve(load_case(case_path(case)))


@pytest.mark.parametrize("case", names())
def test_the_page_is_whole_and_asks_for_nothing(case: str) -> None:
    result = result_of(case)
    text = page_text(result)
    assert text == page_text(result)
    assert text.startswith("<!DOCTYPE html>") and text.endswith("</html>\n")
    assert len(text.encode()) < 2_000_000
    # Nothing names a place to fetch anything from but the page itself.
    assert not re.search(r"\b(?:src|srcset|poster|action|formaction)\s*=\s*[\"']?(?!x )", text)
    assert {ref[:1] for ref in re.findall(r'href="([^"]*)"', text)} <= {"#", "d"}
    assert not re.search(r"@import|url\((?!#)", text)
    assert "http" not in text.replace("http-equiv", "").replace("http://www.w3.org/2000/svg", "")
    assert str(Path(case_path(case)).parent) not in text
    for plane in result.case.planes:
        assert f"Plane {name(plane.id)}" in text


def test_only_the_script_that_is_named_may_run() -> None:
    text = page_text(result_of("cottage"))
    scripts = re.findall(r"<script>(.*?)</script>", text, re.DOTALL)
    assert len(scripts) == 1
    digest = base64.b64encode(hashlib.sha256(scripts[0].encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in text
    assert "default-src 'none'" in text


def test_data_cannot_end_its_script() -> None:
    hostile = "</script><!--<script>&\u2028\u2029\"'\\"
    text = script_json({hostile: [hostile]})
    assert not set("<>&\u2028\u2029") & set(text)
    assert json.loads(text) == {hostile: [hostile]}


def test_texts_are_data() -> None:
    assert name("<b>&\"'") == "<bdi>&lt;b&gt;&amp;&quot;&#x27;</bdi>"
    assert shown("a\u202eb\x07c\u2066") == "a\\u202eb\\x07c\\u2066"
    harmless = "\U0001f469\u200d\U0001f527 \u05d0 =1+1"
    assert shown(harmless) == harmless
    assert "<script>" not in table("<script>", ["<script>"], [])


def test_views_are_the_layouts_in_order() -> None:
    result = result_of("clinic")
    data = page_data(result, page_parts(result))
    assert [view["name"] for view in data["views"]] == ["1", "2", "3", "usual", "drawn"]
    assert [view["total"] for view in data["views"]][:3] == [
        entry.judged.cost.total for entry in result.layouts
    ]
    assert data["rates"]["move_stubbed"] == 22200  # 1.5 h at 118 and 45 of material


def test_a_roof_without_penetrations_has_a_page() -> None:
    case = case_from_document({
        "title": "Bare", "units": "mm", "panel": {"cover": 500, "seam_half": 12},
        "plane": [{"id": "S", "width": 400, "length": 3000},
                  {"id": "N", "width": 9000, "length": 3000}],
    })
    text = page_text(solve(case))
    assert "Nothing to set." in text and "Plane <bdi>N</bdi>" in text


def test_a_section_with_nothing_in_it_is_left_out() -> None:
    text = page_text(solve(case_from_document({
        "title": "No start", "units": "in", "panel": {"cover": 18}, "rules": {"min_end": 9.5},
        "plane": [{"id": "S", "width": 54.25, "length": 200}],
    })))
    assert "[no-start]" in text and "Layouts compared" not in text
