"""The direct model on odd panels, play and lines: each rule inside, on the boundary, outside.

Then the whole answer against every layout of small random cases, laid and priced elsewhere.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import inches, make_case, make_curb, make_link, make_pipe, make_plane
from direct_brute import all_layouts, at_most, random_small, ranked

from solver.case import Case, Freeze
from solver.checker.judge import judge
from solver.clock import Clock
from solver.layout import Change, Odd
from solver.model.alternatives import better_ones
from solver.model.bounds import plane_floors
from solver.model.decisions import Choice
from solver.model.direct import Answer, best_layout, direct_list, next_candidate
from solver.result import Ranked

FOURTEEN = inches(14)
"""First width of a plane of 100 in: plain seams at 14, 32, 50, 68, 86, last width 14."""


def solve(
    case: Case, *odds: tuple[int, int | str], first: int = FOURTEEN, changes: dict[int, str] | None
    = None,
) -> Answer | None:
    """The best layout with these odd panels and changes on plane 0, held against the checker."""
    answer = best_layout(case, Clock(), choice=Choice(
        tuple(first for _ in case.planes),
        tuple(Odd(0, number, inches(width)) for number, width in odds),
        tuple(Change(0, stretch, inches(by)) for stretch, by in (changes or {}).items()),
    ))
    if answer is not None:
        judged = judge(case, answer.layout)
        assert judged.order == answer.order
        assert not judged.breaks
    return answer


def pipe_state(case: Case, *odds: tuple[int, int | str], first: int = FOURTEEN) -> str:
    """The state that the model gives the only penetration of a case."""
    answer = solve(case, *odds, first=first)
    assert answer is not None
    names = ("on-seam", "spans", "crosses", "tight", "crowded")
    hit = [name for name, count in zip(names, answer.order[1:6], strict=True) if count]
    return hit[0] if hit else "clear"


# ---------------------------------------------------------------------------- odd panels


@pytest.mark.parametrize(("width", "works"), [
    (9, True), ("8 15/16", False), ("17 15/16", True), (18, False), ("12 1/32", False),
])
def test_odd_width_is_a_whole_mark_from_least_to_a_mark_below_the_cover(
    width: int | str, works: bool
) -> None:
    # 18, 18 and 9 in, then three full panels, leave 11 in; 17 15/16 for 9 leaves 2 1/16
    plane = make_plane(width=inches(110))
    case = make_case(planes=(plane,), odd_panels=1, odd_min=inches(9), min_end=inches(2))
    assert (solve(case, (3, width), first=inches(18)) is not None) == works


@pytest.mark.parametrize(("width", "works"), [(12, True), (13, False), (10, True), (9, False)])
def test_given_widths_are_the_only_ones(width: int, works: bool) -> None:
    case = make_case(planes=(make_plane(width=inches(110)),), odd_panels=1, odd_min=inches(11),
                     odd_widths=(inches(10), inches(12)), min_end=inches(2))
    assert (solve(case, (2, width)) is not None) == works


@pytest.mark.parametrize(("number", "works"), [
    (1, False), (2, True), (6, True), (7, False), (8, False), (-2, False),
])
def test_an_odd_panel_is_neither_first_nor_last(number: int, works: bool) -> None:
    # 14 in, four full panels and one of 9 in leave 5 in, wherever that one lies
    case = make_case(odd_panels=1, odd_widths=(inches(9), inches(14)), min_end=inches(5))
    assert (solve(case, (number, 9)) is not None) == works


def test_no_more_odd_panels_than_the_case_allows() -> None:
    case = make_case(odd_panels=2, odd_widths=(inches(12),), min_end=inches(2))
    assert solve(case, (2, 12), (3, 12), first=inches(18)) is not None  # neighbours may both be
    one = replace(case, rules=replace(case.rules, odd_panels=1))
    assert solve(one, (2, 12), (3, 12), first=inches(18)) is None


@pytest.mark.parametrize(("width", "works"), [
    (10, True), ("9 15/16", False), (16, True), ("16 1/16", False),
])
def test_the_last_width_behind_an_odd_panel_obeys_the_end_rule(
    width: str | int, works: bool
) -> None:
    # 18 in, the odd panel and three full ones leave 28 in less its width: 12 to 18 in are right
    case = make_case(odd_panels=1, odd_min=inches(9), min_end=inches(12))
    assert (solve(case, (2, width), first=inches(18)) is not None) == works


def test_a_pipe_sees_the_seams_that_stand_beside_it() -> None:
    # odd panel 3 from 32 to 44 in; the pipe needs 4.5 in and half a seam: 5 in to either side
    for x, state in (("37", "clear"), ("36 15/16", "tight"), ("39", "clear"), ("39 1/16", "tight")):
        case = make_case(make_pipe(inches(x)), odd_panels=1, min_end=inches(2))
        assert pipe_state(case, (3, 12)) == state
    # behind it the grid is shifted by 6 in: seams at 44 and 62 in
    for x, state in (("49", "clear"), ("48 15/16", "tight"), ("44", "on-seam")):
        case = make_case(make_pipe(inches(x)), odd_panels=1, min_end=inches(2))
        assert pipe_state(case, (3, 12)) == state


def test_a_pipe_laid_from_the_right_sees_them_mirrored() -> None:
    plane = make_plane(lay="right-to-left")
    for x, state in (("63", "clear"), ("63 1/16", "tight"), ("61", "clear"), ("60 15/16", "tight")):
        case = make_case(make_pipe(inches(x)), planes=(plane,), odd_panels=1, min_end=inches(2))
        assert pipe_state(case, (3, 12)) == state


def test_a_curb_cuts_and_is_flanked_by_shifted_seams() -> None:
    # seams at 14, 32, 44, 62, 80, 98 in; a curb of 10 in cuts within 5.5 in of its centre
    for x, state in (("53", "crowded"), ("49 1/2", "crowded"), ("49 3/8", "spans")):
        case = make_case(
            make_curb(inches(x), across=inches(10)), odd_panels=1, min_end=inches(2),
            curb_side=inches("4 1/2" if state == "crowded" else 0),
        )
        assert pipe_state(case, (3, 12)) == state


def test_creep_counts_odd_panels_like_any_other() -> None:
    # seam 3, at 44 in, has crept by 2 panels; the pipe has 1/2 in to spare beside it
    case = make_case(make_pipe(inches("49 1/2")), odd_panels=1, min_end=inches(2))
    for creep, state in (("1/4", "clear"), ("17/64", "tight")):
        crept = replace(case, rules=replace(case.rules, robust=True, cover_tol=inches(creep)))
        assert pipe_state(crept, (3, 12)) == state


def test_an_agreed_first_width_and_a_forbidden_state_bind() -> None:
    case = make_case(make_pipe(inches(50), forbid=("on-seam", "crosses", "tight")), odd_panels=1,
                     odd_widths=(inches(12),), min_end=inches(2))
    assert solve(case) is None  # a plain grid has a seam at 50 in
    assert solve(case, (3, 12)) is not None
    agreed = replace(case, freeze=Freeze((("S", inches(15)),)))
    assert solve(agreed, (3, 12)) is None


def test_links_are_judged_by_the_grids_the_planes_start_with() -> None:
    planes = (make_plane("S"), make_plane("N", lay="right-to-left"))
    case = make_case(planes=planes, links=(make_link(must=True),), odd_panels=1,
                     odd_widths=(inches(12),), min_end=inches(2))
    assert solve(case, (3, 12)) is not None  # seams meet at the start, the odd panel shifts no more


# ---------------------------------------------------------------------------- play


@pytest.mark.parametrize(("change", "works"), [
    ("1/8", True), ("-1/8", True), ("9/64", False), ("1/128", False), ("0", True),
])
def test_a_change_is_whole_play_marks_within_the_play(change: str, works: bool) -> None:
    case = make_case(play=inches("1/8"), remeasure=2)
    assert (solve(case, changes={1: change} if change != "0" else {}) is not None) == works


def test_only_a_stretch_with_a_full_panel_has_a_change() -> None:
    case = make_case(play=inches("1/8"), remeasure=2)
    # panels 2-3, 4-5 and 6, the last: stretch 3 has no full panel
    assert solve(case, changes={2: "1/8"}) is not None
    assert solve(case, changes={3: "1/8"}) is None
    odd = make_case(play=inches("1/8"), remeasure=1, odd_panels=1, odd_widths=(inches(12),),
                    min_end=inches(1))
    assert solve(odd, (3, 12), changes={1: "1/8"}) is not None
    assert solve(odd, (3, 12), changes={2: "1/8"}) is None  # panel 3 is odd


def test_a_change_shifts_what_lies_behind_each_full_panel() -> None:
    # panels 2 and 3 of 18 1/8 in: seams at 14, 32 1/8, 50 1/4, 68 1/4
    for x, clear in (("55 1/4", True), ("55 15/64", False), ("63 1/4", True), ("63 17/64", False)):
        case = make_case(make_pipe(inches(x)), play=inches("1/8"), remeasure=2)
        answer = solve(case, changes={1: "1/8"})
        assert answer is not None and (answer.order[4] == 0) == clear
        assert answer.order[0] - 5000 * (not clear) - 2500 == 0
        assert answer.order[13] == 1


def test_what_is_left_within_a_cover_is_the_last_panel_though_a_narrower_one_would_fit() -> None:
    # 14, then three panels of 17 1/2 in leave 17 3/4: the last, and not 17 1/2 and a sliver
    plane = make_plane(width=inches("84 1/4"))
    case = make_case(planes=(plane,), play=inches("1/2"), min_end=inches("1/4"))
    answer = solve(case, changes={1: "-1/2"})
    assert answer is not None
    assert judge(case, answer.layout).planes[0].last == inches("17 3/4")


# ---------------------------------------------------------------------------- laid from a line


@pytest.mark.parametrize(("start", "width", "works"), [
    (6, 102, True), ("5 15/16", 102, False), (96, 102, True), ("96 1/16", 102, False),
    (42, 102, True), (18, 108, True), ("18 1/16", 108, False),
])
def test_both_ends_of_a_plane_laid_from_a_line_obey_the_end_rule(
    start: int | str, width: int, works: bool
) -> None:
    case = make_case(planes=(make_plane(width=inches(width), start=inches(start)),))
    assert (best_layout(case, Clock()) is not None) == works


@pytest.mark.parametrize(("number", "works"), [
    (1, True), (-1, True), (2, True), (-2, True), (3, True), (4, False), (-3, False), (0, False),
])
def test_any_panel_of_a_run_but_its_last_may_be_odd(number: int, works: bool) -> None:
    # 44 in on the low side (2 full, 8 left), 56 in on the high side (3 full, 2 left, with an odd
    # panel of 12 in 8 left)
    case = make_case(planes=(make_plane(start=inches(44)),), odd_panels=2,
                     odd_widths=(inches(12),), min_end=inches(2))
    assert (solve(case, (number, 12)) is not None) == works


def test_sides_face_away_from_the_line_and_its_own_seam_takes_the_larger() -> None:
    # seams at 14, 32, 50 (the line), 68, 86; backs of 1 in face the line, fronts of 2 in the ends
    plane = make_plane(start=inches(50))
    for x, state in (
        ("56 1/2", "clear"), ("56 7/16", "tight"),  # 4 1/2 + 2 from the line
        ("62 1/2", "clear"), ("62 9/16", "tight"),  # 4 1/2 + 1 before the seam at 68
        ("74 1/2", "clear"), ("74 7/16", "tight"),  # 4 1/2 + 2 behind it
        ("43 1/2", "clear"), ("43 9/16", "tight"), ("37 1/2", "clear"), ("37 7/16", "tight"),
    ):
        case = make_case(make_pipe(inches(x)), planes=(plane,), seam_back=inches(1),
                         seam_fwd=inches(2))
        assert pipe_state(case) == state


def test_creep_is_counted_from_the_line() -> None:
    plane = make_plane(start=inches(50))
    for x, state in (("73 1/4", "clear"), ("73 3/16", "tight"), ("55", "clear"),
                     ("91 1/2", "clear"), ("91 7/16", "tight")):
        case = make_case(make_pipe(inches(x)), planes=(plane,))
        crept = replace(case, rules=replace(case.rules, robust=True, cover_tol=inches("1/4")))
        assert pipe_state(crept) == state


# ---------------------------------------------------------------------------- against brute force


def small_cases(begin: int, wanted: int, most: int) -> list[Case]:
    """The first cases from a seed on that have at most so many layouts to try."""
    found: list[Case] = []
    while len(found) < wanted:
        case = random_small(begin)
        if at_most(case, most):
            found.append(case)
        begin += 1
    return found


def test_best_layouts_are_those_of_brute_force() -> None:
    found = 0
    for case in small_cases(0, 120, 300):
        best = min(all_layouts(case), key=lambda judged: judged.order, default=None)
        answer = best_layout(case, Clock())
        assert (answer is None) == (best is None)
        if answer is not None and best is not None:
            found += 1
            assert answer.proven and answer.bound == best.cost.total
            assert (answer.order, answer.layout) == (best.order, best.layout)
    assert found > 100


def test_lists_are_those_of_brute_force() -> None:
    entries = 0
    for case in small_cases(5000, 20, 200):
        counts: list[tuple[int, ...]] = []
        for wanted in ranked(case, 3):
            answer = next_candidate(case, Clock(), counts)
            assert answer is not None and answer.order == wanted.order
            counts.append(wanted.counts)
            entries += 1
        if len(counts) < 3:
            assert next_candidate(case, Clock(), counts) is None
    assert entries > 35


def test_bounds_known_to_hold_change_nothing() -> None:
    for case in small_cases(9000, 12, 150):
        every = list(all_layouts(case))
        best = min(every, key=lambda judged: judged.order, default=None)
        if best is None or len(case.planes) > 1:
            continue
        least: dict[int, int] = {}
        for judged in every:  # no link here: the total is the plane's
            first = judged.planes[0].first
            least[first] = min(least.get(first, judged.cost.total), judged.cost.total)
        answer = best_layout(case, Clock(), at_least=best.cost.total,
                             plane_bounds={0: list(least.items())})
        assert answer is not None and answer.order == best.order


def test_floors_are_what_the_planes_cost_alone_and_change_nothing() -> None:
    several = 0
    for case in (random_small(seed) for seed in range(7000, 7060)):
        if len(case.planes) < 2 or not at_most(case, 400):
            continue
        several += 1
        floors = plane_floors(case, Clock())
        assert floors.keys() <= {0, 1}
        if 0 in floors:
            alone = replace(case, planes=case.planes[:1], links=(), penetrations=tuple(
                pen for pen in case.penetrations if pen.plane == case.planes[0].id))
            assert floors[0] == min(judged.cost.total for judged in all_layouts(alone))
        plain, floored = best_layout(case, Clock()), best_layout(case, Clock(), floors=floors)
        assert (plain and plain.order) == (floored and floored.order)
    assert several > 3


def test_a_list_goes_on_behind_the_entries_it_is_given() -> None:
    case = make_case(make_pipe(inches(50)), make_pipe(inches(62), "V2"), odd_panels=1,
                     odd_widths=(inches(9), inches(12)))
    whole = direct_list(case, Clock(), 3).layouts
    listed: list[Ranked] = list(whole[:1])
    more = direct_list(case, Clock(), 3, listed=listed)
    assert len(whole) == 3 and list(more.layouts) == listed
    assert [entry.judged.order for entry in listed] == [entry.judged.order for entry in whole]


def test_other_moves_that_are_better_are_held_against_single_pipes_and_all() -> None:
    assert better_ones((0, 5, -5), (0, 5, -5)) == []
    assert better_ones((0, 5, -5), (0, 5, 0)) == [((2, 0),)]
    assert better_ones((0, 5, -5), (1, 5, 0)) == [((0, 1),), ((2, 0),), ((0, 1), (2, 0))]


def test_lists_with_moves_are_those_of_brute_force() -> None:
    """A smaller count bought by an idle move must not be listed, for none of many choices."""
    entries = 0
    for case in small_cases(6000, 60, 300):
        if all(pen.status == "fixed" for pen in case.penetrations):
            continue
        counts: list[tuple[int, ...]] = []
        for wanted in ranked(case, 4):
            answer = next_candidate(case, Clock(), counts)
            assert answer is not None and answer.order == wanted.order
            counts.append(wanted.counts)
            entries += 1
    assert entries > 20


def test_an_excluded_choice_is_not_taken_again() -> None:
    case = make_case(make_pipe(inches(50)), odd_panels=1, odd_widths=(inches(9), inches(12)))
    seen: list[Choice] = []
    for _ in range(3):
        answer = best_layout(case, Clock(), excluded=seen)
        assert answer is not None and Choice.of(answer.layout) not in seen
        seen.append(Choice.of(answer.layout))


def test_no_time_no_layout() -> None:
    assert best_layout(make_case(odd_panels=1), Clock(0.0)) is None


def test_a_curb_ahead_of_the_first_seam_counts_the_creep_of_those_behind_it() -> None:
    """Seams by number on a plain grid: those a wide curb asks for may not be there."""
    plane = make_plane(width=inches(90), lay="right-to-left")
    case = make_case(make_curb(inches(78), across=inches(24)), planes=(plane,))
    case = replace(case, rules=replace(
        case.rules, robust=True, cover_tol=inches("1/8"), width_tol=inches("1/8")))
    answer = solve(case, first=inches(18))
    assert answer is not None and answer.order[2] == 1 and answer.order[5] == 0
