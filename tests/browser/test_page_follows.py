"""The start is dragged, stepped and switched, and every figure is the checker's."""

from __future__ import annotations

from typing import Any

import pytest

from browser.reading import READ, checked_as, compare, solved, text_of
from solver.page.tables import page_tables
from solver.result import Result


def listed_moves(result: Result, entry: int = 0) -> dict[str, int]:
    layout = result.layouts[entry].judged.layout
    pens = zip(result.case.penetrations, layout.moves, strict=True)
    return {pen.id: move for pen, move in pens if move}


def listed_firsts(result: Result, entry: int = 0) -> dict[str, int]:
    layout = result.layouts[entry].judged.layout
    return dict(zip((plane.id for plane in result.case.planes), layout.firsts, strict=True))


def firsts_of(result: Result) -> list[tuple[int, ...]]:
    tables = page_tables(result)
    layout = result.layouts[0].judged.layout
    return [
        shapes[tables.shape_of(layout, n)].firsts for n, shapes in enumerate(tables.shapes)
    ]


def drag(page: Any, plane: int, share: float, box: dict[str, float]) -> None:
    """The mouse takes the line of a plane to a share of the map's width."""
    page.mouse.move(box["x"] + box["width"] * share, box["y"] + 6)


@pytest.mark.parametrize(("name", "each"), [("clinic", 14), ("hillhouse", 4), ("workshop", 5),
                                            ("laundry", 12), ("metric", 6)])
def test_every_figure_follows_a_dragged_start(opened: Any, name: str, each: int) -> None:
    """At least 25 first widths on the clinic and on the house, over all their planes."""
    result = solved(name)
    page = opened(text_of(name))
    firsts, widths = listed_firsts(result), firsts_of(result)
    moves = listed_moves(result)
    compare(page, result, checked_as(result, firsts, moves))
    seen_firsts = set()
    for number, plane in enumerate(result.case.planes):
        needle = page.locator(f"#plane-{number} .needle")
        needle.scroll_into_view_if_needed()
        field = page.locator(f"#plane-{number} .map-row.axis .lane-field").bounding_box()
        grip = needle.locator(".grip").bounding_box()
        page.mouse.move(grip["x"] + 12, grip["y"] + 12)
        page.mouse.down()
        for step in range(each):
            drag(page, number, ((step * 11 + 3) % each + 0.5) / each, field)
            at = int(needle.get_attribute("aria-valuenow"))
            firsts[plane.id] = widths[number][at]
            seen_firsts.add((number, at))
            compare(page, result, checked_as(result, firsts, moves))
        page.mouse.up()
        drag(page, number, 0.01, field)  # no longer held
        assert int(needle.get_attribute("aria-valuenow")) == at
    assert len(seen_firsts) >= (25 if name in ("clinic", "hillhouse") else 6)
    assert page.locator("#against").inner_text().startswith("layout 1: changed by hand")
    page.get_by_role("button", name="Back to the list").click()
    compare(page, result, checked_as(result, listed_firsts(result), moves))


def test_every_listed_layout_shows_its_own_figures(opened: Any) -> None:
    for name in ("clinic", "hillhouse", "workshop"):
        result = solved(name)
        page = opened(text_of(name))
        for entry in range(len(result.layouts)):
            page.locator(f"[name=view][value='{entry}']").check(force=True)
            checked = checked_as(
                result, listed_firsts(result, entry), listed_moves(result, entry))
            compare(page, result, checked)
            assert page.locator("#against").inner_text() == f"layout {entry + 1}: as listed"
            assert page.locator(f"#stubs [data-view='{entry + 1}']").is_visible()
            assert page.locator("#stubs [data-view]:visible").count() == 1
        assert result.usual is not None and result.as_drawn is not None
        for place, judged in enumerate((result.usual, result.as_drawn)):
            page.locator(f"[name=view][value='{len(result.layouts) + place}']").check(force=True)
            own = dict(zip(listed_firsts(result), judged.layout.firsts, strict=True))
            compare(page, result, checked_as(result, own, {}))


@pytest.mark.parametrize("name", ["clinic", "workshop"])
def test_moves_are_taken_back_and_made_again(opened: Any, name: str) -> None:
    result = solved(name)
    page = opened(text_of(name))
    firsts, moves = listed_firsts(result), listed_moves(result)
    assert moves
    for pen in list(moves):
        kept = {other: move for other, move in moves.items() if other != pen}
        box = page.locator(f".pens tr:has(bdi:text-is('{pen}')) input")
        box.uncheck()
        compare(page, result, checked_as(result, firsts, kept))
        box.check()
        compare(page, result, checked_as(result, firsts, moves))
    page.get_by_role("button", name="Take all moves back").click()
    compare(page, result, checked_as(result, firsts, {}))
    page.locator("#plane-0 .needle").press("ArrowRight")
    firsts[result.case.planes[0].id] = firsts_of(result)[0][
        int(page.locator("#plane-0 .needle").get_attribute("aria-valuenow"))]
    compare(page, result, checked_as(result, firsts, {}))
    page.get_by_role("button", name="Make all listed moves").click()
    compare(page, result, checked_as(result, firsts, moves))


def test_the_keyboard_alone_does_it(opened: Any) -> None:
    result = solved("clinic")
    page = opened(text_of("clinic"))
    plane, widths = result.case.planes[0].id, firsts_of(result)[0]
    firsts, moves = listed_firsts(result), listed_moves(result)
    at = widths.index(firsts[plane])
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.getAttribute('role')") == "slider":
            break
    needle = page.locator("#plane-0 .needle")
    assert needle.evaluate("el => el === document.activeElement")
    assert needle.get_attribute("aria-valuemax") == str(len(widths) - 1)
    for key, to in (
        ("ArrowRight", at + 1), ("ArrowUp", at + 2), ("ArrowLeft", at + 1), ("ArrowDown", at),
        ("PageUp", at + 8), ("PageDown", at), ("Home", 0), ("ArrowLeft", 0),
        ("End", len(widths) - 1), ("ArrowRight", len(widths) - 1),
    ):
        page.keyboard.press(key)
        assert needle.get_attribute("aria-valuenow") == str(to), key
        firsts[plane] = widths[to]
        compare(page, result, checked_as(result, firsts, moves))
    page.locator("[name=view]:checked").focus()
    page.keyboard.press("ArrowRight")  # the next layout of the list
    compare(page, result, checked_as(result, listed_firsts(result, 1), listed_moves(result, 1)))


def test_a_finger_drags_the_line_and_a_tap_puts_it(opened: Any) -> None:
    result = solved("clinic")
    page = opened(text_of("clinic"), wide=360, high=740, touch=True)
    firsts, moves = listed_firsts(result), listed_moves(result)
    plane, widths = result.case.planes[0].id, firsts_of(result)[0]
    needle = page.locator("#plane-0 .needle")
    needle.scroll_into_view_if_needed()
    before = needle.get_attribute("aria-valuenow")
    grip = needle.locator(".grip").bounding_box()
    finger = page.context.new_cdp_session(page)
    x, y = grip["x"] + 12, grip["y"] + 12
    finger.send("Input.dispatchTouchEvent", {
        "type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 6):
        finger.send("Input.dispatchTouchEvent", {
            "type": "touchMove", "touchPoints": [{"x": x - 9 * step, "y": y}]})
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    after = needle.get_attribute("aria-valuenow")
    assert int(after) < int(before)
    firsts[plane] = widths[int(after)]
    compare(page, result, checked_as(result, firsts, moves))
    lane = page.locator("#plane-0 .map-row.lane").first.bounding_box()
    line = needle.bounding_box()["x"] + 14
    page.touchscreen.tap(line - 60 if line > 200 else line + 60, lane["y"] + 8)
    page.wait_for_function("""was => document.querySelector("#plane-0 .needle")
        .getAttribute("aria-valuenow") !== was""", arg=after)
    firsts[plane] = widths[int(needle.get_attribute("aria-valuenow"))]
    compare(page, result, checked_as(result, firsts, moves))


def test_the_tables_say_what_the_pictures_say(opened: Any) -> None:
    result = solved("clinic")
    page = opened(text_of("clinic"))
    seams = page.locator("#plane-1 .seam-list")
    seams.locator("summary").click()
    seams.locator("tbody tr").first.wait_for()
    assert seams.locator("tbody tr").count() == len(result.layouts[0].judged.planes[1].seams)
    lanes = page.locator("#plane-1 .map-list")
    lanes.locator("summary").click()
    lanes.locator("tbody tr").first.wait_for()
    assert lanes.locator("tbody tr").count() == len(result.case.on(result.case.planes[1].id))
    for drawing in page.locator("svg.roof").all():
        named = drawing.get_attribute("aria-labelledby")
        assert "drawn to scale" in page.locator(f"#{named}").text_content()
    assert page.evaluate(READ)["planes"][0]["says"]
