"""The SVG drawing, read again by an XML parser and measured."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest
from builders import inches, make_case, make_plane
from drawing_cases import ALL, HOSTILE, crowded, hip, metric, odd, small

from cli.drawing.labels import Occupied, Wanted, place_all, thing_box
from cli.drawing.marks import Polygon, SignAt, Text, fit, text_width, wrapped
from cli.drawing.pages import pages_of
from cli.drawing.svg import plane_svg, plane_svgs
from cli.look import ACCENT, INK, PENS, QUIET, SIGNS, STATE_COLOUR
from cli.report.lines import clean
from solver.case import Case
from solver.checker.judge import judge
from solver.drawing.scene import scenes
from solver.layout import Layout
from solver.result import Judged

NS = "{http://www.w3.org/2000/svg}"


def read(case: Case, judged: Judged) -> list[ElementTree.Element]:
    return [ElementTree.fromstring(text) for text in plane_svgs(case, judged, 0)]


def of_class(root: ElementTree.Element, tag: str, name: str) -> list[ElementTree.Element]:
    return [one for one in root.iter(NS + tag) if one.get("class") == name]


def texts(root: ElementTree.Element) -> list[str]:
    return [one.text or "" for one in root.iter(NS + "text")]


def test_a_user_unit_is_an_inch_of_the_roof_and_seams_stand_exactly() -> None:
    (root,) = read(*small())
    seams = of_class(root, "line", "seams")
    assert sorted({float(one.get("x1", "")) for one in seams}) == [14, 32, 50, 68, 86]
    assert all(one.get("x1") == one.get("x2") for one in seams)
    bodies = of_class(root, "circle", "penetrations")
    assert {(one.get("data-id"), one.get("cx"), one.get("cy"), one.get("r")) for one in bodies} == {
        ("V1", "53", "-100", "2"), ("V2", "20", "-40", "2")}
    assert {one.get("r") for one in of_class(root, "circle", "flashings")} == {"4"}


def test_millimetres_laid_from_the_right() -> None:
    (root,) = read(*metric())
    xs = {float(one.get("x1", "")) for one in of_class(root, "line", "seams")}
    assert sorted(xs) == [200 + 500 * n for n in range(8)]
    assert "4000" in texts(root) and "300" in texts(root)
    assert [one.get("cx") for one in of_class(root, "circle", "moved-from")] == ["1000"]
    assert [one.get("cx") for one in of_class(root, "circle", "penetrations")] == ["950"]


@pytest.mark.parametrize("name", ALL)
def test_paper_times_scale_is_the_view_box(name: str) -> None:
    for root in read(*ALL[name]()):
        per = 25.4 if root.get("data-units") == "in" else 1
        wide, high = (float(v) for v in root.get("viewBox", "").split()[2:])
        scale = int(root.get("data-scale", ""))
        assert wide * per / scale == pytest.approx(float(root.get("width", "")[:-2]))
        assert high * per / scale == pytest.approx(float(root.get("height", "")[:-2]))


@pytest.mark.parametrize("name", ALL)
def test_no_text_is_smaller_than_can_be_read_and_none_begins_off_the_paper(name: str) -> None:
    """1.5 mm is a little over four points: the least that a common sheet of notes uses (practice,
    no source)."""
    for root in read(*ALL[name]()):
        left, top, wide, high = (float(v) for v in root.get("viewBox", "").split())
        mm = wide / float(root.get("width", "")[:-2])
        for one in root.iter(NS + "text"):
            height = float(one.get("font-size", "")) / mm
            assert height >= 1.4 or one.text in ("", "…"), one.text
            assert left <= float(one.get("x", "")) <= left + wide, one.text
            assert top <= float(one.get("y", "")) <= top + high, one.text


@pytest.mark.parametrize("name", ALL)
def test_tags_do_not_cover_each_other_nor_any_penetration(name: str) -> None:
    case, judged = ALL[name]()
    (scene,) = scenes(case, judged, 1)
    for page in pages_of(case, scene, layouts=1, proven=True):
        boxes = [
            (mark.points[0], mark.points[2]) for mark in page.over
            if isinstance(mark, Polygon) and mark.id == "label"
        ]
        for ((a, b), (c, d)), ((e, f), (g, h)) in combinations(boxes, 2):
            assert c <= e or g <= a or d <= f or h <= b
        for (a, b), (c, d) in boxes:
            for one in scene.penetrations:
                half = one.pen.base / 2 or one.pen.across / 2
                up = one.pen.base / 2 or one.pen.along / 2
                x, y = one.stands.x, one.pen.y
                assert c <= x - half or x + half <= a or d <= y - up or y + up <= b


@pytest.mark.parametrize("name", ALL)
def test_every_penetration_has_its_row_and_its_tag_on_some_sheet(name: str) -> None:
    case, judged = ALL[name]()
    roots = read(case, judged)
    (scene,) = scenes(case, judged, 1)
    pages = pages_of(case, scene, layouts=1, proven=True)
    tags = [m.text for page in pages for m in page.over if isinstance(m, Text) and m.bold]
    for pen in case.penetrations:
        if name != "hostile":
            assert tags.count(pen.id) == 2, pen.id
    assert all("POSITIONS TO BE VERIFIED" in " ".join(texts(root)) for root in roots)


def test_a_schedule_says_what_the_issue_asks_for() -> None:
    (root,) = read(*small())
    found = texts(root)
    for said in ("B - 7\"", "4' 5\"", "8' 4\"", "-2\"", "10\"", "drawn only", "not given", "C",
                 "MOVE 3\" towards grid line B", "stays: fixed", "curb 20\" x 30\"",
                 "A + 10\"", "2031-05-01", "feet and inches"):
        assert said in found, said
    assert "towards the S left end" in found or "towards the starting end" in found


def test_a_crowded_roof_takes_several_sheets_with_match_lines() -> None:
    roots = read(*crowded())
    assert len(roots) > 2
    assert "match line: continues on sheet 2" in texts(roots[0])
    last = sum(1 for root in roots if of_class(root, "polygon", "outline"))
    assert f"match line: continues on sheet {last - 1}" in texts(roots[last - 1])


def test_a_long_plane_is_dimensioned_on_each_sheet_within_its_stretch() -> None:
    for root in read(*crowded(20)):
        for one in root.iter(NS + "g"):
            if one.get("class") == "running":
                assert 0 <= float(one.get("data-x", "")) <= 2544


def test_a_moved_pipe_is_drawn_old_and_new_with_an_arrow() -> None:
    (root,) = read(*small())
    (old,) = of_class(root, "circle", "moved-from")
    assert old.get("cx") == "50" and old.get("stroke-dasharray")
    (arrow,) = of_class(root, "line", "moved-from")
    assert (arrow.get("x1"), arrow.get("x2")) == ("50", "53")


def test_every_state_has_a_sign_of_its_own_and_contrast_on_white() -> None:
    """3 : 1 for what is drawn, 4.5 : 1 for text: WCAG 2.1, 1.4.11 and 1.4.3."""
    shapes = [(kind, sign.ring, sign.filled, sign.strokes) for (kind, _), sign in SIGNS.items()]
    assert len(shapes) == len({str(one) for one in shapes})
    for colour in STATE_COLOUR.values():
        assert contrast(colour) >= 3
    for colour in (INK, QUIET, ACCENT):
        assert contrast(colour) >= 4.5
    assert {pen.colour for pen in PENS.values()} >= {INK, QUIET, ACCENT}


def contrast(colour: str) -> float:
    """Contrast with white by the formula of WCAG 2.1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 1.05 / (0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2] + 0.05)


def test_hostile_names_are_data() -> None:
    text = plane_svg(*ALL["hostile"](), 0)
    root = ElementTree.fromstring(text)
    tags = {one.tag.removeprefix(NS) for one in root.iter()}
    assert tags <= {"svg", "style", "title", "desc", "rect", "clipPath", "g", "line", "polygon",
                    "circle", "text", "polyline"}
    assert not [name for one in root.iter() for name in one.attrib if name.startswith("on")]
    assert "\u202e" not in text and "\x07" not in text
    title = root.find(NS + "title")
    assert title is not None and title.text is not None and clean(HOSTILE) in title.text
    assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)", text)


@pytest.mark.parametrize("name", ALL)
def test_the_same_drawing_twice_is_the_same_text(name: str) -> None:
    assert plane_svgs(*ALL[name](), 0) == plane_svgs(*ALL[name](), 0)


def test_odd_panels_are_tinted_and_dimensioned() -> None:
    (root,) = read(*odd())
    (panel,) = of_class(root, "polygon", "odd-panels")
    assert "32,0" in (panel.get("points") or "").split()
    assert 'odd 10"' in texts(root)


def test_edges_of_a_hip_are_named() -> None:
    (root,) = read(*hip())
    assert {"hip", "ridge", "eave"} <= set(texts(root))


def test_a_plane_without_penetrations_or_seams() -> None:
    case = make_case(planes=(make_plane(width=inches(15)),))
    (root,) = read(case, judge(case, Layout((inches(15),), ())))
    assert "No penetrations on this plane." in texts(root)


def test_texts_are_cut_in_the_middle_and_folded_at_blanks() -> None:
    cut = fit("a-very-long-name-007", 10, 1)
    assert cut.endswith("7") and "…" in cut and text_width(cut, 1) <= 10
    assert fit("short", 10, 1) == "short" and fit("anything", 0, 1) == "…"
    assert all(text_width(line, 1) <= 8 for line in wrapped("one two three four five", 8, 1))
    assert " ".join(wrapped("one two three four five", 8, 1)) == "one two three four five"


def test_a_thing_far_from_others_has_its_tag_beside_it() -> None:
    taken = Occupied(10)
    wanted = [Wanted((x, 50), (2, 2), 12, 3) for x in (50, 54)]
    for one in wanted:
        taken.add(thing_box(one))
    first, other = place_all(wanted, taken, (0, 0, 100, 100), 0.5)
    assert first.leader is None
    assert first.box[2] <= 48 or first.box[1] >= 52 or first.box[3] <= 48
    assert first.box != other.box


def test_the_sign_of_a_state_is_the_side_of_a_tag_next_to_its_thing() -> None:
    case, judged = crowded()
    (scene,) = scenes(case, judged, 1)
    stands = {one.pen.id: one.stands.x for one in scene.penetrations}
    sides = set()
    for page in pages_of(case, scene, layouts=1, proven=True):
        for box, sign, text in zip(page.over, page.over[1:], page.over[2:], strict=False):
            if not (isinstance(box, Polygon) and isinstance(sign, SignAt)
                    and isinstance(text, Text) and text.text in stands):
                continue
            left, right = box.points[0][0], box.points[2][0]
            turned = right < stands[text.text]
            sides.add(turned)
            assert left < min(sign.at[0], text.at[0]) and max(sign.at[0], text.at[0]) < right
            assert (text.at[0] < sign.at[0]) is turned
            assert text.anchor == ("end" if turned else "start")
    assert sides == {True, False}
