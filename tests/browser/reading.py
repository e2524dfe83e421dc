"""Reads every figure off an open page, and says what the checker has for the same layout."""

from __future__ import annotations

from functools import cache
from typing import Any

from cli.page.page import page_text
from cli.report.words import Lengths, money
from demo_cases import case_path
from solver.api import check, load_case, solve
from solver.checking import Checked
from solver.findings.of_roof_answer import binding_seam
from solver.result import COUNT_NAMES, Judged, Result
from solver.risk.creep import has_tolerances

WORDS = {
    "clear": "clear", "tight": "tight", "crosses": "crosses a seam", "on-seam": "on a seam",
    "crowded": "crowded", "spans": "spans",
}
READ = """() => {
  const text = (el) => el ? el.textContent : null;
  const one = {cost: {}, count: {}, planes: [], pens: {}};
  for (const el of document.querySelectorAll("[id^=cost-]")) one.cost[el.id.slice(5)] = text(el);
  for (const el of document.querySelectorAll("[id^=count-]")) one.count[el.id.slice(6)] = text(el);
  one.codes = document.querySelector("#breaks").dataset.codes;
  document.querySelectorAll("section.plane").forEach((el) => {
    const live = (key) => text(el.querySelector(`[data-live="${key}"]`));
    const needle = el.querySelector(".needle");
    one.planes.push({
      first: live("first"), last: live("last"), panels: live("panels"), window: live("window"),
      links: live("links"), at: needle ? Number(needle.getAttribute("aria-valuenow")) : 0,
      says: needle ? needle.getAttribute("aria-valuetext") : "",
      flag: text(el.querySelector(".flag")),
      lanes: [...el.querySelectorAll(".map-row.lane")].map(
        (lane) => [text(lane.querySelector("bdi")), text(lane.querySelector(".lane-says"))]),
    });
  });
  for (const row of document.querySelectorAll(".pens tr[data-pen]")) {
    const cell = (key) => text(row.querySelector("td." + key));
    const box = row.querySelector("input");
    one.pens[row.dataset.pen] = {id: text(row.querySelector("th")), at: cell("at"),
      state: cell("state"), margin: cell("margin"), worst: cell("worst"), cut: cell("cut"),
      moved: box ? box.checked : null};
  }
  return one;
}"""


@cache
def solved(name: str) -> Result:
    """A demo case, solved."""
    return solve(load_case(case_path(name)))


@cache
def text_of(name: str) -> str:
    """The page of a demo case."""
    return page_text(solved(name))


def checked_as(
    result: Result, firsts: dict[str, int], moves: dict[str, int], entry: int = 0
) -> Checked:
    """What the checker has for the layout with these widths and moves (ticks), and the odd panels
    and changes of module of an entry of the list."""
    case = result.case
    layout = result.layouts[entry].judged.layout
    free = {plane.id for plane in case.planes if plane.lay != "from"}
    firsts = {name: width for name, width in firsts.items() if name in free}
    changes: dict[str, dict[int, int]] = {}
    for one in layout.changes:
        changes.setdefault(case.planes[one.plane].id, {})[one.stretch] = one.ticks
    odds: dict[str, dict[int, int]] = {}
    for odd in layout.odds:
        odds.setdefault(case.planes[odd.plane].id, {})[odd.panel] = odd.width
    return check(case, firsts, moves, odds, changes)


def compare(page: Any, result: Result, checked: Checked) -> dict[str, Any]:
    """Hold every figure shown against the checker's; returns what was read."""
    case, judged, lengths = result.case, checked.judged, Lengths(result.case)
    assert judged is not None
    seen: dict[str, Any] = page.evaluate(READ)
    cost = judged.cost
    assert seen["cost"] == {
        "total": money(cost.total), "flashing": money(cost.flashing), "moves": money(cost.moves),
        "odd_panels": money(cost.odd_panels), "look": money(cost.look), "play": money(cost.play),
        "stock": money(cost.stock),
    }
    assert seen["count"] == {
        name: str(count) for name, count in zip(COUNT_NAMES, judged.counts, strict=True)
    }
    assert seen["codes"].split() == sorted(reason.code for reason in checked.reasons)
    for number, (shown, ends) in enumerate(zip(seen["planes"], judged.planes, strict=True)):
        assert shown["first"] == lengths.near(ends.first)
        assert shown["flag"] in (None, lengths.near(ends.first))
        assert shown["last"] == lengths.near(ends.last)
        assert shown["panels"].startswith(f"{ends.panels} panel")
        assert f"{len(ends.seams)} seam" in shown["panels"]
        low, high = checked.windows[number] if checked.windows is not None else (0, 0)
        assert shown["window"] == (
            "" if not ends.seams or case.planes[number].lay == "from" else
            "The start must be exact." if low == high else
            f"The start may be off: {lengths.near(low)} to {lengths.near(high)} leaves every state "
            "as it is."
        )
        for link, found in zip(case.links, judged.links, strict=True):
            ids = [one for one in link.planes if one != ends.id]
            if len(ids) == 1:
                does = next(part for part in shown["links"].split(".") if ids[0] in
                            part.rpartition("those of ")[2].split(", "))
                assert ("do NOT" in does) is not found.meet
        if shown["says"]:
            assert f"extra cost {money(cost.total)}" in shown["says"]
    _compare_pens(result, judged, seen)
    return seen


def _compare_pens(result: Result, judged: Judged, seen: dict[str, Any]) -> None:
    case, lengths = result.case, Lengths(result.case)
    lanes = {name: says for plane in seen["planes"] for name, says in plane["lanes"]}
    planes = {plane.id: plane for plane in case.planes}
    ends = {plane.id: plane for plane in judged.planes}
    for i, (pen, stands) in enumerate(zip(case.penetrations, judged.penetrations, strict=True)):
        shown = seen["pens"][str(i)]
        word = WORDS[stands.state]
        if stands.state == "on-seam" and binding_seam(
            case, planes[pen.plane], ends[pen.plane], pen, stands
        ) is None:
            word = "meets the end"
        margin = "no seam" if stands.margin2 is None else lengths.down2(stands.margin2)
        assert shown["id"] == pen.id
        assert shown["at"] == lengths.place(stands.x)
        assert shown["state"] == word + (" (at risk)" if stands.at_risk else "")
        assert shown["margin"] == margin
        if has_tolerances(case):
            worst = stands.worst_margin2
            assert shown["worst"] == ("no seam" if worst is None else lengths.down2(worst))
        if pen.kind == "curb":
            walls = stands.landed.count(False) if stands.landed else 0
            assert shown["cut"].split(";")[0] == str(stands.seams_cut)
            assert (f"{walls} wall" in shown["cut"]) is bool(walls)
        if pen.id in lanes:
            assert lanes[pen.id] == f"{word}, {margin}"
