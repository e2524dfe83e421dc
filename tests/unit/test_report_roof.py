"""The report of roofs as they are: outlines, centres, curbs with ribs or built close, sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from rich.cells import cell_len

from cli.report.closing import rates_words
from cli.report.compare_part import _COUNT, _PART
from cli.report.findings_part import findings_lines
from cli.report.layout_detail import detail_lines
from cli.report.lines import Line, plain
from cli.report.obstacle import cut_seams, foul_of_end
from cli.report.pages import solve_page
from cli.report.ranked_table import HEADINGS, ranked_lines, rows_table, wanted_counts
from cli.report.words import count_phrase
from solver.case import RATE_NAMES, Case, Penetration, Plane, Rate
from solver.case_parts import Centre, Hole, Outline, Pitch
from solver.comparing.changes import COST_PARTS
from solver.findings.tradeoff import against
from solver.result import COUNT_NAMES, Against, Finding, Judged, JudgedCentre, Ranked, Result
from tests.unit.builders import (
    inches,
    look,
    make_case,
    make_curb,
    make_link,
    make_pipe,
    make_plane,
    make_sheet,
)


def flat(lines: Sequence[Line]) -> str:
    """The text as one line; nothing may be wider than the page."""
    texts = [plain(one) for one in lines]
    assert max(map(cell_len, texts)) <= 80
    return " ".join(" ".join(texts).split())


def gable(plane: Plane | None = None) -> Plane:
    return replace(plane or make_plane(), low_end="west gable", high_end="east gable")


def roof(*pens: Penetration, plane: Plane | None = None) -> Case:
    return make_case(*pens, planes=(gable(plane),))


def charged(case: Case) -> Case:
    each = {**case.rates.each, "area": Rate(Decimal(0), Decimal(3), True)}
    return replace(case, rates=replace(case.rates, each=each), sheet=make_sheet())


def counted(judged: Judged, **counts: int) -> Judged:
    """The layout with these counts (`_` for `-`), all others 0."""
    return replace(judged, counts=tuple(
        counts.get(name.replace("-", "_"), 0) for name in COUNT_NAMES
    ))


def result(case: Case, *listed: Judged, usual: Judged | None = None) -> Result:
    entries = tuple(
        Ranked(rank, judged, judged.cost.total, tuple((p.first, p.first) for p in judged.planes),
               against(listed[0], judged))
        for rank, judged in enumerate(listed, 1)
    )
    return Result(case, "tables", entries, usual, None, None, (), True, True)


NEW = ("off_centre", "unlanded", "stock")


def shown(text: str) -> list[str]:
    """Which of the new counts have a column."""
    heads = {name: HEADINGS[name].split("\n")[0] for name in NEW}
    return [name for name in NEW if heads[name] in text.split("1 ")[0]]


def test_the_table_has_the_new_counts_only_where_there_is_something_to_say() -> None:
    case = roof()
    none = counted(look(case))
    assert wanted_counts(case) == []
    assert shown(flat(ranked_lines(result(case, none)))) == []
    for name in NEW:
        some = counted(look(case), **{name: 2})
        assert shown(flat(ranked_lines(result(case, none, usual=some)))) == [name]
    asked = replace(charged(case), centres=(centre("pan"),))
    asked = replace(asked, penetrations=(ribbed(),))
    assert wanted_counts(asked) == list(NEW)
    text = flat(ranked_lines(result(asked, counted(look(asked)))))
    assert shown(text) == list(NEW)
    assert "Sheet stock: one unit for each square foot of sheets, rounded up on each plane" in text
    assert "Walls missed: walls of ribbed curbs on which no seam lands." in text


def test_stock_is_told_in_the_units_of_its_readers() -> None:
    case = replace(charged(roof()), units="mm")
    assert "one unit for each tenth of a square metre" in flat(
        ranked_lines(result(case, counted(look(case), stock=12))))


def test_a_wanted_count_that_finds_no_room_is_told_in_words() -> None:
    case = charged(roof())
    full = counted(look(case), **{name.replace("-", "_"): 123456 for name in COUNT_NAMES})
    listing = result(case, full)
    text = flat(ranked_lines(listing))
    assert "123456 units of sheet stock" in text
    assert flat(rows_table([], NEW))


def test_gains_and_gives_in_plain_words() -> None:
    case = roof()
    first = counted(look(case), off_centre=1, stock=1200)
    other = counted(look(case), unlanded=2, stock=1188)
    found = against(first, other)
    assert found == Against(
        {"off_centre": 1, "stock": 12}, {"unlanded": 2}, 0,
        "saves 1 centre missed and 12 units of sheet stock; takes on 2 walls of ribbed curbs "
        "without a seam; costs the same",
    )
    for name in COUNT_NAMES:
        assert count_phrase(name, 1) != count_phrase(name, 2)


def test_every_count_and_part_has_words_everywhere() -> None:
    assert list(HEADINGS) == list(COUNT_NAMES) and set(_COUNT) == set(COUNT_NAMES)
    assert set(_PART) == set(COST_PARTS)


def centre(on: str, at: str = "41") -> Centre:
    return Centre("S", inches(at), "pan" if on == "pan" else "rib", inches(1), False, "hip peak")


@pytest.mark.parametrize(
    ("on", "hit", "off2", "says"),
    [
        ("pan", True, 0, "A pan stands on the hip peak of plane S (3' 5\"): its middle is exactly "
                         "there."),
        ("pan", True, inches(1), "its middle is 1/2\" off, towards the east gable."),
        ("pan", False, -inches(4), "NO pan stands on the hip peak of plane S (3' 5\"): the middle "
         'of the nearest is 2" off, towards the west gable; 1" is allowed.'),
        ("rib", True, -inches(1), "A rib stands on the hip peak of plane S (3' 5\"): it is 1/2\" "
                                  "off, towards the west gable."),
        ("rib", False, inches(4), "NO rib stands on the hip peak of plane S (3' 5\"): the nearest "
                                  'is 2" off, towards the east gable; 1" is allowed.'),
        ("rib", False, None, "NO rib stands on the hip peak of plane S (3' 5\"): the plane has no "
                             "seam."),
    ],
)
def test_the_detail_says_what_stands_on_a_centre(
    on: str, hit: bool, off2: int | None, says: str
) -> None:
    case = replace(roof(), centres=(centre(on),))
    judged = replace(look(case),
                     centres=(JudgedCentre("S", "hip peak", on, inches(41), hit, off2),))
    assert says in flat(detail_lines(case, judged))


def ribbed(at: str = "42", across: str = "20") -> Penetration:
    return replace(make_curb(inches(at), across=inches(across)), detail="ribbed")


def landed(case: Case, low: bool, high: bool, *beside: str, cut: int = 0) -> Judged:
    judged = look(case)
    (stands,) = judged.penetrations
    seams = [inches(one) for one in beside]
    stands = replace(stands, landed=(low, high), seams_cut=cut, seam_low=seams[0],
                     seam_high=seams[1], state="spans" if cut else "clear")
    return replace(judged, penetrations=(stands,))


def test_walls_of_a_ribbed_curb_say_which_seam_stands_there() -> None:
    """Seams at 14, 32, 50, 68, 86 in. Walls at 32 and 52: one seam there, one 2 in off."""
    case = roof(ribbed())
    judged = landed(case, True, False, "14", "68", cut=1)
    text = flat(detail_lines(case, judged))
    assert "cuts 1 seam (3)" in text  # seam 2 lands, so it is whole
    assert "seam 2 lands on its wall towards the west gable" in text
    assert 'seam 3 does NOT land on its wall towards the east gable, 2" off' in text
    (pen,), (stands,) = case.penetrations, judged.penetrations
    assert cut_seams(case, case.planes[0], judged.planes[0], pen, stands) == [inches(50)]


@pytest.mark.parametrize(("off", "whole"), [(0, True), (inches("1/8"), True),
                                            (inches("1/8") + 1, False)])
def test_a_seam_within_the_tolerance_of_a_wall_is_whole(off: int, whole: bool) -> None:
    """A curb of 18 in from 32 to 50 in, shifted."""
    pen = replace(ribbed("41", "18"), x=inches(41) + off)
    case = roof(pen)
    judged = landed(case, whole, whole, "14", "68")
    (stands,) = judged.penetrations
    cut = cut_seams(case, case.planes[0], judged.planes[0], pen, stands)
    assert cut == ([] if whole else [inches(32), inches(50)])


def test_a_ribbed_curb_on_a_plane_of_one_panel() -> None:
    case = roof(ribbed("8", "6"), plane=make_plane(width=inches(16)))
    judged = look(case, first=inches(16))
    (stands,) = judged.penetrations
    judged = replace(judged, penetrations=(replace(stands, landed=(False, False)),))
    assert "NO seam lands on its wall towards the west gable: the plane has none" in flat(
        detail_lines(case, judged))


def test_a_close_curb_says_how_near_its_seams_are() -> None:
    """From 31 to 51 in, it cuts seams 2 (32 in) and 3 (50 in): 14 in and 68 in are beside it."""
    case = roof(replace(make_curb(inches(41)), detail="close"))
    text = flat(detail_lines(case, look(case)))
    assert 'built close: seam 1 is 17" from its wall towards the west gable' in text
    assert 'built close: seam 4 is 17" from its wall towards the east gable' in text
    assert "built close" not in flat(detail_lines(roof(make_curb(inches(41))), look(
        roof(make_curb(inches(41))))))


def hipped() -> Plane:
    """100 in along the eave, hips of 3 along for 4 up to a ridge of 40 in, with a dormer."""
    corners = tuple((inches(x), inches(y)) for x, y in ((0, 0), (100, 0), (70, 40), (30, 40)))
    box = tuple((inches(x), inches(y)) for x, y in ((45, 10), (55, 10), (55, 20), (45, 20)))
    return replace(
        make_plane(length=inches(40)), outline=Outline(corners, ("eave", "hip", "ridge", "hip")),
        holes=(Hole("dor\x1bmer", Outline(box, ("wall",) * 4)),),
        pitch=Pitch("4:12", Fraction(1, 3)),
    )


def test_the_head_of_a_plane_tells_its_edges() -> None:
    case = roof(plane=hipped())
    text = flat(detail_lines(case, look(case)))
    assert ("Pitch 4:12; edges on the slope: eave 8' 4\", hip 8' 4\", ridge 3' 4\", wall of the "
            "dor\\x1bmer 3' 4\".") in text
    bare = flat(detail_lines(roof(), look(roof())))
    assert "itch" not in bare and "edges on" not in bare


@pytest.mark.parametrize(("along", "where"), [("hip", "along their hip"), ("", "across the ridge")])
def test_seams_meet_along_the_edge_of_the_link(along: str, where: str) -> None:
    planes = (make_plane("S"), make_plane("N", lay="right-to-left"))
    case = make_case(planes=planes, links=(replace(make_link(), along=along),))
    assert f"Its seams meet those of plane N {where}." in flat(detail_lines(case, look(case)))


def test_all_rates_are_guesses_only_where_none_is_given() -> None:
    case = roof()
    names = tuple(name for name in RATE_NAMES if name != "area")
    guessed = replace(case, rates=replace(
        case.rates, default=("crew_hour", "plumber_hour", *names)))
    assert "every one of them" in rates_words(guessed)[0]
    assert "every one of them" not in rates_words(charged(guessed))[0]


def test_what_ends_beside_a_pipe_is_the_roof_at_its_own_height() -> None:
    """At 20 in up the roof is from 15 to 85 in: a pipe at 17 in meets its end, not seam 1."""
    pipe = replace(make_pipe(inches(17), y=inches(20)), ends=(inches(15), inches(85)))
    case = roof(pipe, plane=hipped())
    judged = look(case)
    (stands,) = judged.penetrations
    stands = replace(stands, state="on-seam")
    assert foul_of_end(case, case.planes[0], judged.planes[0], pipe, stands)
    assert not foul_of_end(case, case.planes[0], judged.planes[0], replace(pipe, ends=None), stands)
    text = flat(detail_lines(case, replace(judged, penetrations=(stands,))))
    assert "meets the turn-up where the roof ends beside it, towards the west gable" in text
    assert "meets end" in text


def test_sheets_and_centres_are_parts_of_the_cost() -> None:
    case = roof()
    judged = look(case)
    judged = replace(judged, cost=replace(judged.cost, stock=123400, look=500))
    text = flat(solve_page(result(case, judged), 1))
    assert "uneven ends and links missed 5.00, sheets 1,234.00" in text
    case = replace(case, centres=(centre("pan"),))
    judged = replace(judged, centres=(JudgedCentre("S", "hip peak", "pan", inches(41), True, 0),))
    text = flat(solve_page(result(case, judged), 1))
    assert "uneven ends, links and centres missed 5.00" in text


@pytest.mark.parametrize("code", ["setback", "dead-zone", "cricket", "curb-off-roof", "split-pan",
                                  "unlanded", "off-centre", "cannot-meet"])
def test_many_of_them_are_told_together(code: str) -> None:
    prefix = "Layout 1: " if code in ("split-pan", "unlanded", "off-centre") else ""
    many = [Finding(code, "warning", (f"V{n}",), f"{prefix}told apart.") for n in range(12)]
    text = flat(findings_lines(many))
    assert f"warning [{code}] {prefix.replace(': ', ', ')}12: V0, V1," in text
    assert "told apart" not in text
