"""Comparing two result files: what changed for whom, and every file that is none."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import typer
from rich.cells import cell_len

from cli.compare_command import compare_command
from cli.failures import OptionError
from cli.report.compare_part import compare_page
from cli.report.lines import plain
from solver.api import case_from_document, check, solve
from solver.comparing.changes import compare_results
from solver.comparing.document import comparison_document
from solver.comparing.result_file import read_result
from solver.document import check_document, dump, result_document
from solver.errors import CaseError
from solver.units import TICKS_PER_INCH
from tests.unit.cli_runs import HOSTILE_IDS

Json = dict[str, Any]
INCH = TICKS_PER_INCH

CASE: Json = {
    "title": "A shed", "units": "in", "panel": {"cover": 18},
    "plane": [{"id": "S", "width": 240, "length": 150, "low_end": "west gable",
               "high_end": "east gable"}],
    "penetration": [
        {"id": "V1", "plane": "S", "kind": "pipe", "x": 96, "y": 60, "outside": 3.5,
         "status": "planned"},
        {"id": "V2", "plane": "S", "kind": "pipe", "x": 186, "y": 60, "outside": 2.375},
        {"id": "V3", "plane": "S", "kind": "pipe", "x": 141, "y": 60, "outside": 3.5,
         "status": "planned"},
    ],
}


def result(change: Callable[[Json], None] | None = None) -> Json:
    document = copy.deepcopy(CASE)
    if change is not None:
        change(document)
    loaded = case_from_document(document, file="roof.json")
    return result_document(solve(loaded, top=2))


BASE = result()


def edited(change: Callable[[Json], None]) -> Json:
    document = copy.deepcopy(BASE)
    change(document)
    return document


def write(folder: Path, document: object, name: str) -> str:
    path = folder / name
    text = document if isinstance(document, str) else dump(document)  # type: ignore[arg-type]
    path.write_text(text, encoding="utf-8")
    return str(path)


def compared(folder: Path, old: Json, new: Json, ranks: tuple[int, int] = (1, 1)) -> Any:
    files = write(folder, old, "old.json"), write(folder, new, "new.json")
    return compare_results(read_result(files[0]), read_result(files[1]), files, ranks)


def page(found: Any) -> str:
    lines = [plain(line) for line in compare_page(found, ("old.json", "new.json"))]
    assert max(map(cell_len, lines)) <= 80
    return " ".join(" ".join(lines).split())


def test_the_same_file_twice_says_nothing_changed(tmp_path: Path) -> None:
    base = edited(lambda d: d.update(case_sha256="12" * 32))
    found = compared(tmp_path, base, base)
    assert found.nothing and found.same_case and "NOTHING CHANGED" in page(found)
    later = edited(lambda d: d.update(seconds=9.0, versions={"offseam": "9"}))
    assert compared(tmp_path, BASE, later).nothing


def pen(document: Json, name: str) -> Json:
    return next(p for p in document["layouts"][0]["penetrations"] if p["id"] == name)


def shift(document: Json, name: str, moved: float) -> None:
    entry = pen(document, name)
    entry["x"] += moved - entry["moved"]
    entry["moved"] = moved


@pytest.mark.parametrize(
    ("old", "new", "kind", "words"),
    [
        (0, 2.5, "newly-moved", "is MOVED now and was not"),
        (2.5, 0, "no-longer-moved", "is NO LONGER moved"),
        (2.5, -3, "moves-differently", "MOVES DIFFERENTLY"),
    ],
)
def test_the_plumber_hears_of_every_move(
    tmp_path: Path, old: float, new: float, kind: str, words: str
) -> None:
    one, other = (edited(lambda d, m=m: shift(d, "V1", m)) for m in (old, new))  # type: ignore[misc]
    found = compared(tmp_path, one, other)
    (change,) = found.plumber
    assert (change.id, change.kinds) == ("V1", (kind,))
    assert (change.old.moved, change.new.moved) == (old * INCH, new * INCH)
    assert change.old.drawn == change.new.drawn == 96 * INCH
    assert words in page(found)
    side = {True: "towards the east gable", False: "towards the west gable"}
    assert new == 0 or side[new > 0] in page(found)


def test_a_move_goes_towards_a_named_end_but_never_to_the_left(tmp_path: Path) -> None:
    for name, said in (("east gable", "east gable"), ("right-hand gable", "end of larger x")):
        def change(document: Json, name: str = name) -> None:
            shift(document, "V1", 2.5)
            document["layouts"][0]["planes"][0].update(low_end="west gable", high_end=name)

        assert f"moved 2 1/2\" towards the {said}" in page(compared(tmp_path, BASE, edited(change)))


def test_added_removed_and_redrawn_pipes(tmp_path: Path) -> None:
    def change(document: Json) -> None:
        pens = document["penetration"]
        pens[1]["x"] = 190
        pens[2]["id"] = "V9"

    found = compared(tmp_path, BASE, result(change))
    kinds = {one.id: one.kinds[0] for one in found.plumber}
    assert kinds["V9"] == "added" and kinds["V3"] == "removed" and kinds["V2"] == "redrawn"
    text = page(found)
    assert "V9 is ADDED on plane S" in text and "V3 is GONE" in text
    assert "V2, plane S, is DRAWN 4\" further on (15' 6\" before, 15' 10\" now)" in text


def test_a_redrawn_pipe_that_ends_where_it_was_set_says_so(tmp_path: Path) -> None:
    def change(document: Json) -> None:
        entry = pen(document, "V1")
        entry["x"], entry["moved"] = 98, 0

    old = edited(lambda d: shift(d, "V1", 2))
    text = page(compared(tmp_path, old, edited(change)))
    assert "is DRAWN 2\" further on" in text and "It stays where it was set" in text


@pytest.mark.parametrize(("first", "shown", "shift_in"), [
    (13, 'every seam 1" over, towards larger x', 1), (9, "smaller x", -3), (3, "larger x", 9),
    (17, "larger x", 5), (1, 'every seam 7" over, towards larger x', 7),
])
def test_the_crew_hears_of_the_short_way_of_a_shift(
    tmp_path: Path, first: int, shown: str, shift_in: int
) -> None:
    """First widths 12 → 13, 17 are +1, +5; → 1 is -11, which a grid of 18 in shows as +7.

    12 → 3 is half a cover, as far either way: towards larger x.
    """
    def laid(width: int) -> Json:
        def change(document: Json) -> None:
            seams = list(range(width, 240, 18))
            plane = document["layouts"][0]["planes"][0]
            plane.update(first=width, last=240 - seams[-1], panels=len(seams) + 1, seams=seams)
        return edited(change)

    found = compared(tmp_path, laid(12), laid(first))
    (change,) = found.crew
    assert change.shift == shift_in * INCH and shown in page(found)
    assert change.old.first == 12 * INCH and change.new.first == first * INCH


def test_windows_planes_and_uneven_seams(tmp_path: Path) -> None:
    window = edited(lambda d: d["layouts"][0]["planes"][0].update(window=[5, 6]))
    found = compared(tmp_path, BASE, window)
    assert found.crew[0].same_seams and "the start may be 5\" to 6\"" in page(found)
    odd = edited(lambda d: d["layouts"][0]["planes"][0].update(seams=[10, 20, 100]))
    found = compared(tmp_path, BASE, odd)
    assert found.crew[0].shift is None and "not all by the same shift" in page(found)

    def rename(document: Json) -> None:
        document["layouts"][0]["planes"][0]["id"] = "T"
        for entry in document["layouts"][0]["penetrations"]:
            entry["plane"] = "T"

    found = compared(tmp_path, BASE, edited(rename))
    assert [(c.id, c.old is None, c.new is None) for c in found.crew] == [
        ("T", True, False), ("S", False, True)]
    assert {one.kinds[0] for one in found.plumber} == {"other-plane"}


ODD = {"panel": 4, "width": 12.5, "low": 50, "high": 62.5}
WIDE = {"stretch": 2, "panels": [6, 9], "full": 4, "module": 18.015625, "change": 0.015625}
PLAIN = {"stretch": 1, "panels": [2, 5], "full": 4, "module": 18, "change": 0}


def test_the_crew_hears_of_odd_panels_and_modules(tmp_path: Path) -> None:
    bent = edited(first_plane(odd=[ODD], stretches=[PLAIN, WIDE]))
    (change,) = compared(tmp_path, BASE, bent).crew
    assert change.new.odds == ((4, INCH * 25 // 2, 50 * INCH, INCH * 125 // 2),)
    assert change.new.modules == ((2, 6, 9, INCH // 64),) and change.old.modules == ()
    text = page(compared(tmp_path, BASE, bent))
    assert ("NEW: panel 4 is odd, 12 1/2\" wide, from 4' 2\" to 5' 2 1/2\"; "
            "NEW: full panels 6 to 9 are each laid 1/64\" wider") in text
    back = page(compared(tmp_path, bent, BASE))
    assert "no longer: panel 4 is odd" in back and "no longer: full panels 6 to 9" in back
    assert compared(tmp_path, bent, bent).nothing
    narrow = {**WIDE, "module": 17.96875, "change": -0.03125}
    other = page(compared(tmp_path, bent, edited(first_plane(odd=[ODD], stretches=[narrow]))))
    assert 'NEW: full panels 6 to 9 are each laid 1/32" narrower; no longer: full panels 6' in other
    assert "odd, 12 1/2" not in other


def test_many_changed_stretches_are_counted(tmp_path: Path) -> None:
    every = [{**WIDE, "stretch": n, "panels": [4 * n - 2, 4 * n + 1]} for n in range(1, 41)]
    text = page(compared(tmp_path, BASE, edited(first_plane(stretches=every))))
    assert "and 28 more of these" in text and "full panels 46 to 49" in text
    assert "full panels 50 to" not in text


def test_the_crew_hears_of_a_line(tmp_path: Path) -> None:
    lined = edited(first_plane(**{"from": 100, "lay": "from", "window": [12, 12]}))
    (change,) = compared(tmp_path, BASE, lined).crew
    assert (change.old.line, change.new.line) == (None, 100 * INCH)
    assert ("laid both ways from a line at 8' 4\"; before, laid from one end") in page(
        compared(tmp_path, BASE, lined))
    assert "the start may be" not in page(compared(tmp_path, BASE, lined))
    moved = edited(first_plane(**{"from": 102, "first": 4}))
    says = page(compared(tmp_path, lined, moved))
    assert ("laid both ways from a line at 8' 6\"; before, laid both ways from a line at "
            "8' 4\"") in says
    assert 'low end panel 4"' in says


def test_seams_of_bent_planes_shift_where_all_of_them_do(tmp_path: Path) -> None:
    """14, 32, 44, 62 and the same 3 in on: not one grid, and yet one shift."""
    one = edited(first_plane(seams=[14, 32, 44, 62], odd=[ODD]))
    other = edited(first_plane(seams=[17, 35, 47, 65], odd=[ODD]))
    assert compared(tmp_path, one, other).crew[0].shift == 3 * INCH
    apart = edited(first_plane(seams=[17, 35, 48, 65], odd=[ODD]))
    assert compared(tmp_path, one, apart).crew[0].shift is None
    fewer = edited(first_plane(seams=[17, 35, 47], odd=[ODD]))
    assert compared(tmp_path, one, fewer).crew[0].shift is None


def older(document: Json) -> None:
    """A file as it was before there were odd panels, play and lines."""
    del document["rates"]["used"]["play"]
    for layout in document["layouts"]:
        del layout["cost"]["play"]
        for plane in layout["planes"]:
            del plane["lay"], plane["from"]
            plane["odd"] = []
        for link in layout["links"]:
            del link["strays"]


def test_older_files_are_read_and_nothing_is_made_of_what_they_lack(tmp_path: Path) -> None:
    assert compared(tmp_path, edited(older), BASE).nothing
    assert compared(tmp_path, BASE, edited(older)).nothing
    dear = edited(lambda d: d["layouts"][0]["cost"].update(play=23.75))
    (figure,) = compared(tmp_path, edited(older), dear).costs
    assert (figure.name, figure.old, figure.new) == ("play", 0, 2375)
    assert "changes of module: 23.75, before 0.00" in page(compared(tmp_path, edited(older), dear))


def test_what_bends_a_plane_stands_in_the_comparisons_file(tmp_path: Path) -> None:
    bent = edited(first_plane(odd=[ODD], stretches=[PLAIN, WIDE], **{"from": 100}))
    found = compared(tmp_path, BASE, bent)
    (crew,) = comparison_document(found, ("old.json", "new.json"))["crew"]
    assert crew["old"]["odd"] == [] and crew["old"]["from"] is None
    assert crew["new"]["odd"] == [ODD] and crew["new"]["from"] == 100
    assert crew["new"]["modules"] == [{"stretch": 2, "panels": [6, 9], "change": 0.015625}]


def test_a_checked_bent_layout_is_written_and_read_back(tmp_path: Path) -> None:
    """First 14, panel 3 is 12 in, stretch 2 (panels 6 to 9) 1/64 wider: by hand from 14, 32, 44."""
    document = copy.deepcopy(CASE) | {"rules": {"odd_panels": 1, "play": "1/16"}}
    document["plane"] += [{"id": "M", "width": 100, "length": 150, "lay": "from", "from": 50}]
    document["link"] = [{"planes": ["S", "M"], "how": "same"}]
    loaded = case_from_document(document, file="roof.json")
    checked = check(loaded, {"S": 14 * INCH}, {}, {"S": {3: 12 * INCH}}, {"S": {2: INCH // 64}})
    written = check_document(checked, {})
    (layout,) = written["layouts"]
    plane, other = layout["planes"]
    assert plane["odd"] == [{"panel": 3, "width": 12, "low": 32, "high": 44}]
    assert plane["stretches"][:2] == [
        {"stretch": 1, "panels": [2, 5], "full": 3, "module": 18, "change": 0}, WIDE,
    ]
    assert plane["seams"][:6] == [14, 32, 44, 62, 80, 98.015625]
    assert (plane["lay"], plane["from"]) == ("left-to-right", None)
    assert (other["lay"], other["from"], other["first"], other["last"]) == ("from", 50, 14, 14)
    assert layout["cost"]["play"] == loaded.rates.cents("play") / 100
    assert layout["links"][0]["meet"] is True and layout["links"][0]["strays"] >= 6
    assert {"odd-panels", "play", "link-strays"} <= {f["code"] for f in written["findings"]}
    read = read_result(write(tmp_path, written, "checked.json")).layouts[0]
    assert read.planes[0].odd[0].high == 44 and read.planes[1].line == 50
    assert read.links[0].strays == layout["links"][0]["strays"]
    assert read.planes[0].stretches[1].change == 0.015625


def test_stretches_are_written_only_where_the_case_allows_play() -> None:
    plane = BASE["layouts"][0]["planes"][0]
    assert "stretches" not in plane and plane["odd"] == []
    assert BASE["layouts"][0]["cost"]["play"] == 0


def test_the_estimator_hears_of_money_counts_and_rates(tmp_path: Path) -> None:
    def change(document: Json) -> None:
        document["layouts"][0]["cost"].update(total=123.45, flashing=100.1, moves=23.35)
        document["layouts"][0]["counts"]["crosses"] += 2
        document["rates"]["used"]["crew_hour"] += 3
        document["rates"]["used"]["tight"]["each"] += 1.5
        document["rates"]["used"]["on_seam"]["material"] = 77
        document["rates"]["default"].remove("crew_hour")

    found = compared(tmp_path, BASE, edited(change))
    total = next(one for one in found.costs if one.name == "total")
    assert total.new == 12345 and total.old == round(BASE["layouts"][0]["cost"]["total"] * 100)
    assert [(c.name, c.new - c.old) for c in found.counts] == [("crosses", 2)]
    assert {one.name for one in found.rates} == {"crew_hour", "tight", "on_seam"}
    text = page(found)
    assert "total: 123.45, before" in text and "rate crew_hour: 98.00, before 95.00" in text
    assert "by the hour alone, each of these costs otherwise: tight." in text
    assert "rate on_seam: 5 h and 77.00" in text


def test_the_detailer_hears_of_states_links_risk_and_findings(tmp_path: Path) -> None:
    def change(document: Json) -> None:
        pen(document, "V1")["state"] = "tight"
        pen(document, "V2")["at_risk"] = True
        pen(document, "V3")["seams_cut"] = 2
        document["layouts"][0]["links"] = [{"planes": ["S", "N"], "meet": False}]
        document["findings"].append(
            {"code": "near-pair", "severity": "warning", "about": ["V1"], "says": "Too near."})
        document["findings"].pop(0)

    found = compared(tmp_path, BASE, edited(change))
    assert {one.id for one in found.states} == {"V1", "V2", "V3"}
    assert [f.says for f in found.findings_new] == ["Too near."] and len(found.findings_gone) == 1
    text = page(found)
    assert "V1: tight, before" in text and "V2: AT RISK now" in text and "cuts 2 seams" in text
    assert "NEW warning [near-pair] Too near." in text and "do NOT meet" in text


def test_findings_are_counted_and_not_just_looked_up(tmp_path: Path) -> None:
    twice = edited(lambda d: d["findings"].append(d["findings"][0]))
    assert len(compared(tmp_path, BASE, twice).findings_new) == 1
    assert len(compared(tmp_path, twice, BASE).findings_gone) == 1


def test_layouts_are_chosen_and_missing_ones_named(tmp_path: Path) -> None:
    count = len(BASE["layouts"])
    with pytest.raises(CaseError, match=rf"new\.json: it has no layout {count + 1}"):
        compared(tmp_path, BASE, BASE, (1, count + 1))
    none = edited(lambda d: d.update(layouts=[], findings=[
        {"code": "no-start", "severity": "error", "about": [], "says": "Plane S is too narrow."}]))
    with pytest.raises(CaseError, match=r"new\.json: it has no layout to compare .*too narrow"):
        compared(tmp_path, BASE, none)


def test_other_units_are_refused(tmp_path: Path) -> None:
    with pytest.raises(CaseError, match=r"new\.json: it is in mm, .*old\.json in in"):
        compared(tmp_path, BASE, edited(lambda d: d.update(units="mm")))


def drop(key: str) -> Callable[[Json], None]:
    return lambda document: document.pop(key)


def first_layout(**values: object) -> Callable[[Json], None]:
    return lambda document: document["layouts"][0].update(values)


def first_plane(**values: object) -> Callable[[Json], None]:
    return lambda document: document["layouts"][0]["planes"][0].update(values)


BAD: list[tuple[object, str]] = [
    ("", "empty"), ("{", "not JSON"), ("[]", "no format"), ("7", "no format"),
    ("null", "no format"),
    ('{"format": "offseam-stubs-1"}', "offseam-stubs-1"), ('{"format": 3}', '"3"'),
    ('{"format": ["offseam-result-1"]}', "format"), ("[" * 200000, "nested too deeply"),
    ('{"format": NaN}', "NaN"), ('{"a": ' + "9" * 6000 + "}", "6000 digits"),
    ('{"format": "offseam-result-1"}', "missing"), ("\x00", "no UTF-8 text"),
    (edited(drop("rates")), "rates: it is missing"), (edited(drop("units")), "units"),
    (edited(lambda d: d.update(units="ft")), "units"),
    (edited(lambda d: d.update(layouts={})), "layouts"),
    (edited(first_layout(penetrations=None)), "layouts, entry 1, penetrations"),
    (edited(first_layout(counts={})), "lacks the counts on-seam"),
    (edited(first_layout(counts={"moved": -1})), "counts, moved"),
    (edited(first_layout(counts={"moved": True})), "counts, moved"),
    (edited(first_plane(first="11 1/2")), "entry 1, first"),
    (edited(first_plane(first=1e300)), "layout 1 has a length"),
    (edited(first_plane(seams=[1, [2]])), "seams, entry 2"),
    (edited(first_plane(window=[1, 2, 3])), "a window is two lengths"),
    (edited(first_plane(id="T")), "does not have"),
    (edited(lambda d: d["layouts"][0]["planes"].append(d["layouts"][0]["planes"][0])), "twice"),
    (edited(lambda d: pen(d, "V2").update(id="V1")), '"V1" twice'),
    (edited(lambda d: d["rates"].update(used={})), "the rates used lack tight"),
    (edited(lambda d: d["rates"]["used"].update(play=3)), "the rates used lack play"),
    (edited(first_plane(odd=[12.5])), "odd, entry 1"),
    (edited(first_plane(odd=[{"panel": 3, "width": 12, "low": 1e300, "high": 1}])), "a length"),
    (edited(first_plane(odd=[{"panel": 3.5, "width": 12, "low": 1, "high": 1}])), "panel"),
    (edited(first_plane(stretches=[{"stretch": 1, "panels": [2], "full": 4, "module": 18,
                                    "change": 0}])), "runs from one panel to another"),
    (edited(first_plane(**{"from": 1e300})), "layout 1 has a length"),
    (edited(lambda d: d["layouts"][0].update(links=[
        {"planes": ["S", "T"], "meet": True, "strays": 1e300}])), "layout 1 has a length"),
    (edited(lambda d: d["layouts"][0]["cost"].update(total=1e30)), "total"),
    (edited(lambda d: d.update(cover=-18)), "cover"),
    ('"total": 1e999, "x": '.join(dump(BASE).rsplit('"total": ', 1)), "total"),
]


@pytest.mark.parametrize(("bad", "says"), BAD, ids=[f"{i} {says}" for i, (_, says) in
                                                    enumerate(BAD)])
def test_what_is_no_result_file_is_refused_by_name(tmp_path: Path, bad: object, says: str) -> None:
    path = write(tmp_path, bad, "bad.json")
    with pytest.raises(CaseError) as caught:
        read_result(path)
    text = str(caught.value)
    assert all(line.startswith(path) for line in text.split("\n")) and says in text
    assert len(text) < 4000


def test_files_that_cannot_be_read_are_refused(tmp_path: Path) -> None:
    for path in (str(tmp_path), str(tmp_path / "none.json"), "\0"):
        with pytest.raises(CaseError):
            read_result(path)
    raw = tmp_path / "raw.json"
    raw.write_bytes(b'{"format": "\xff"}')
    with pytest.raises(CaseError, match="UTF-8"):
        read_result(str(raw))


def run(*args: str, **options: Any) -> int:
    given: dict[str, Any] = {"old_layout": 1, "new_layout": 1, "json": None, **options}
    try:
        compare_command(*args, **given)
    except typer.Exit as done:
        return done.exit_code
    raise AssertionError("no exit")


def test_hostile_names_stay_data(
    tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    def change(document: Json) -> None:
        document["title"] = "\x1b[31m[red]屋根[/]" + "x" * 300
        entries = document["layouts"][0]["penetrations"]
        for name in (*HOSTILE_IDS, "\x1b[2J", "a\nb", "\ud800", "=1"):
            entries.append({**entries[0], "id": name})
        entries[0]["state"] = "\x1b[1m" + "y" * 500
        document["findings"].append(
            {"code": "\n", "severity": "\x1b", "about": ["\n"], "says": "\x1b]0;z\x07" + "w" * 500})

    old = write(tmp_path, BASE, "old.json")
    new = tmp_path / "new.json"
    new.write_text(json.dumps(edited(change)), encoding="utf-8")
    target = tmp_path / "changes.json"
    assert run(old, str(new), json=str(target)) == 0
    out = capsysbinary.readouterr().out.decode()
    assert "\x1b" not in out and "\x07" not in out
    assert max(map(cell_len, out.split("\n"))) <= 80
    document = json.loads(target.read_text(encoding="utf-8"))
    assert document["format"] == "offseam-compare-1" and not document["nothing_changed"]
    assert "=cmd()" in {one["id"] for one in document["plumber"]}


def test_the_command_refuses_to_write_over_what_it_reads(tmp_path: Path) -> None:
    old, new = write(tmp_path, BASE, "old.json"), write(tmp_path, BASE, "new.json")
    for options in ({"json": old}, {"json": new}, {"old_layout": 0}, {"new_layout": -1}):
        with pytest.raises(OptionError):
            run(old, new, **options)
    assert run(old, new) == 0


def test_the_result_of_a_check_can_be_compared_too(tmp_path: Path) -> None:
    from solver.api import check, versions
    from solver.document import check_document

    loaded = case_from_document(copy.deepcopy(CASE), file="roof.json")
    checked = check(loaded, {}, {"V1": 2 * INCH})
    document = check_document(checked, versions())
    found = compared(tmp_path, BASE, document)
    assert found.totals[1] == (checked.judged.cost.total if checked.judged else None)
