"""The page on paper, on a phone, with hostile texts and with very many pipes."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from browser.big_roofs import HOSTILE, TITLE, crowd, hostile
from browser.reading import READ, checked_as, compare, solved, text_of
from cli.page.page import page_text
from solver.api import case_from_document, solve
from solver.result import Result

DEMOS = ("clinic", "cottage", "hillhouse", "laundry", "metric", "reroof", "workshop")


def paper(page: Any, file: Path, size: str) -> list[str]:
    """The text of every page printed on that paper."""
    if not shutil.which("pdftotext"):
        pytest.skip("pdftotext is not on this machine (Debian's poppler-utils)")
    page.pdf(path=str(file), format=size)
    run = subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, check=True)
    return run.stdout.decode().split("\f")[:-1]


@pytest.mark.parametrize("size", ["Letter", "A4"])
@pytest.mark.parametrize("name", DEMOS)
def test_every_plane_prints_on_one_sheet(
    opened: Any, tmp_path: Path, name: str, size: str
) -> None:
    result = solved(name)
    page = opened(text_of(name))
    pages = paper(page, tmp_path / "page.pdf", size)
    # One sheet in front, one a plane, then the lists.
    for number, plane in enumerate(result.case.planes, 1):
        text = pages[number]
        assert text.lstrip().startswith(f"Plane {plane.id}\n")
        assert "Start map" in text or len(result.case.planes) > 1
        for i in result.case.on(plane.id):
            assert re.search(rf"\b{re.escape(result.case.penetrations[i].id)}\b", text)
    after = pages[len(result.case.planes) + 1]
    assert after.lstrip().startswith("Findings")
    # A field sheet is handed to the crew of its plane: each begins a page.
    tops = [text.lstrip().partition("FIELD SHEET, PLANE ") for text in pages]
    begun = [after.split("\n")[0] for before, sheet, after in tops
             if sheet and len(before.splitlines()) <= 2]
    assert begun == [plane.id for plane in result.case.planes]
    words = "".join(pages)
    for section in ("Layouts compared", "Stub-up list", "Take-off", "Field sheet",
                    "Before you build from this"):
        assert section in words
    assert "Back to the list" not in words and "Drag the line" not in words
    # On the screen all is as it was.
    assert page.evaluate("document.body.className") == "ready"
    moves = {
        pen.id: move for pen, move in
        zip(result.case.penetrations, result.layouts[0].judged.layout.moves, strict=True) if move
    }
    firsts = dict(zip([p.id for p in result.case.planes], result.layouts[0].judged.layout.firsts,
                      strict=True))
    compare(page, result, checked_as(result, firsts, moves))


@pytest.mark.parametrize("wide", [690, 725])
def test_nothing_is_cut_at_the_edge_of_the_paper(opened: Any, wide: int) -> None:
    """As wide as A4 and letter are between their margins, laid out for paper on a screen."""
    for name in DEMOS:
        page = opened(text_of(name), wide=wide)
        page.emulate_media(media="print")
        page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
        assert page.evaluate("document.documentElement.scrollWidth") <= wide
        cut = page.evaluate("""() => [...document.querySelectorAll("main *")].filter((el) =>
            el.getBoundingClientRect().right > innerWidth + 1
            && getComputedStyle(el).position !== "absolute").map(
            (el) => el.outerHTML.slice(0, 80))""")
        assert not cut
        assert page.locator(".lane-field svg").count() >= page.locator(".map-row.lane").count()
        page.evaluate("window.dispatchEvent(new Event('afterprint'))")


@pytest.mark.parametrize("name", DEMOS)
def test_a_phone_is_wide_enough(opened: Any, name: str) -> None:
    page = opened(text_of(name), wide=360, high=740)
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.evaluate("document.querySelectorAll('details').forEach((el) => { el.open = true; })")
    page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    scrolls = page.locator(".map").first.evaluate("el => el.scrollWidth > el.clientWidth")
    assert scrolls or page.locator(".needle").count() == 0


def hostile_result() -> Result:
    return solve(case_from_document(hostile()))


def test_hostile_texts_are_shown_as_they_are(opened: Any) -> None:
    result = hostile_result()
    assert result.layouts
    page = opened(page_text(result))
    page.locator("#plane-0 .needle").press("Home")
    page.get_by_role("button", name="Take all moves back").click()
    for more in page.locator("details summary").all():
        more.click()
    assert page.evaluate("window.ran") is None
    assert page.locator("script").count() == 2
    assert page.locator("main img, main b[onclick], main script").count() == 0
    assert page.locator("h1").text_content() == TITLE
    seen = page.evaluate(READ)
    assert [seen["pens"][str(n)]["id"] for n in range(len(HOSTILE))] == list(HOSTILE)
    assert page.locator("#plane-0 h2").text_content() == f"Plane {HOSTILE[0]}"
    assert page.locator("#plane-0 [data-live=first-at]").text_content() == HOSTILE[2]
    assert page.locator("#plane-0 [data-live=last-at]").text_content() == HOSTILE[6]
    assert page.title() == TITLE
    body = page.locator("body").text_content()
    for text in HOSTILE:
        assert text in body


def test_the_large_demo_is_small_and_answers_at_once(opened: Any) -> None:
    assert len(text_of("workshop").encode()) < 2_000_000
    page = opened(text_of("workshop"))
    page.locator("#plane-0 .needle").press("ArrowRight")
    assert page.locator("#against").inner_text().startswith("layout 1: changed by hand")


def test_five_hundred_pipes(opened: Any) -> None:
    """How long it takes is only told; drawing waits until a lane comes into sight."""
    result = solve(case_from_document(crowd(500)))
    text = page_text(result)
    assert len(text.encode()) < 4_000_000
    page = opened(text)
    took = page.evaluate("""() => {
      const needle = document.querySelector("#plane-0 .needle");
      const before = performance.now();
      for (let n = 0; n < 10; n++) {
        needle.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowRight", bubbles: true}));
      }
      document.body.offsetHeight;
      return [(performance.now() - before) / 10, performance.timing.domContentLoadedEventEnd
        - performance.timing.navigationStart];
    }""")
    print(f"a step takes {took[0]:.0f} ms, the page stands after {took[1]:.0f} ms, "
          f"{len(text.encode()):,} bytes")
    assert page.locator(".map-row.lane svg:not(.icon)").count() < 300
    layout = result.layouts[0].judged.layout
    firsts = dict(zip("SN", layout.firsts, strict=True))
    from solver.tabling.starts import legal_firsts

    at = int(page.locator("#plane-0 .needle").get_attribute("aria-valuenow"))
    firsts["S"] = int(legal_firsts(result.case, result.case.planes[0])[at])
    pens = zip(result.case.penetrations, layout.moves, strict=True)
    moves = {pen.id: move for pen, move in pens if move}
    compare(page, result, checked_as(result, firsts, moves))
    page.evaluate("document.querySelectorAll('.map-row.lane')[200].scrollIntoView()")
    page.wait_for_function(
        "document.querySelectorAll('.map-row.lane')[200].querySelector('.lane-field svg')")


def test_a_case_without_a_layout_still_has_a_page(opened: Any) -> None:
    document = crowd(4)
    document["rules"] = {"forbid": ["tight", "crosses", "on-seam"]}
    document["penetration"] = [
        {"id": "A", "plane": "S", "kind": "pipe", "x": 2, "y": 50, "outside": 4},
    ]
    result = solve(case_from_document(document))
    assert not result.layouts
    page = opened(page_text(result))
    assert "No layout satisfies the rules" in page.locator("header.top").inner_text()
    assert page.locator("#breaks").get_attribute("data-codes") == "forbidden"
