"""Laying on by hand-worked figures: ends, states at the front, leaning seams, lines, links.

Panels cover 18 in, seams take 1/2 in a side, a plane is 100 in wide and 200 in long; a pipe of 4 in
with a base of 8 in needs 4 1/2 in beside a seam to be clear, 4 to be tight.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cli.report.lines import plain
from cli.report.replan_part import replan_page
from solver.case import Case
from solver.case_parts import Field
from solver.checker.judge import judge
from solver.errors import CaseError
from solver.field.sheet import field_sheets
from solver.layout import Change, Layout, Odd
from solver.replan.answer import Replan
from solver.replan.read import as_built_of
from solver.replan.run import replan
from solver.result import Judged
from tests.unit.builders import (
    HIP,
    inches,
    make_case,
    make_curb,
    make_link,
    make_outline,
    make_outlined,
    make_pipe,
)
from tests.unit.builders import make_plane as plane_of


def planned(case: Case, first: int = 14, *, odds: tuple[Odd, ...] = (),
            changes: tuple[Change, ...] = (), moves: dict[int, int] | None = None) -> Judged:
    """The plan by first width (inches) of every plane."""
    own = tuple((moves or {}).get(i, 0) for i in range(len(case.penetrations)))
    return judge(case, Layout((inches(first),) * len(case.planes), own, odds, changes))


def on(case: Case, plan: Judged, *planes: dict[str, Any],
       seen: tuple[dict[str, Any], ...] = ()) -> Replan:
    document: dict[str, Any] = {"plane": list(planes)}
    if seen:
        document["penetration"] = list(seen)
    return replan(case, plan, 1, as_built_of(document, case))


def ins(*widths: int) -> list[float]:
    return [width / 16256 for width in widths]


def test_the_last_panel_takes_what_was_gained_or_lost() -> None:
    """Seams at 14, 32, 50, 68, 86: with seam 3 at 51 1/2 the next are 69 1/2 and 87 1/2."""
    answer = on(case := make_case(), planned(case), {"id": "S", "seam": 3, "eave": 51.5})
    run = answer.runs[0]
    assert answer.legal and run.as_planned and run.proven
    assert ins(*answer.now.planes[0].seams) == [14.5, 33, 51.5, 69.5, 87.5]
    assert [(p.number, p.kind, *ins(*p.width)) for p in run.panels] == [
        (4, "full", 18, 18), (5, "full", 18, 18), (6, "last", 12.5, 12.5)]
    assert (run.decision, run.why) == (6, "the last panel")


@pytest.mark.parametrize(("eave", "legal"), [("58", True), ("58 1/64", False)])
def test_an_end_at_the_limit_and_a_mark_beyond(eave: str, legal: bool) -> None:
    """From 58 to 100 are 42 in: two full panels and 6 in, the narrowest legal end."""
    answer = on(case := make_case(), planned(case), {"id": "S", "seam": 3, "eave": eave})
    assert answer.legal is legal
    bad = answer.runs[0].least_bad
    assert (bad is None) is legal
    if bad is not None:
        assert (bad.off, bad.narrow) == (254, True)
        # 1/64 in more for the end: off two panels, in whole 1/64; or an odd panel a mark less.
        assert (bad.mend.narrower, bad.mend.odd) == (254, inches("17 15/16"))


def test_play_closes_what_full_panels_do_not() -> None:
    """41 1/2 in are left: two panels 1/2 in narrower leave 6 1/2 in, the widest last panel."""
    case = make_case(play=inches("1/2"), play_mark=inches("1/4"))
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 58.5})
    assert answer.legal and not answer.runs[0].as_planned
    assert ins(answer.runs[0].panels[-1].width[0]) == [6.5]
    assert ins(*(p.width[0] for p in answer.runs[0].panels[:-1])) == [17.5, 17.5]
    assert (answer.runs[0].decision, answer.runs[0].why) == (4, "another module")


def test_an_odd_panel_closes_it_if_one_is_left() -> None:
    case = make_case(odd_panels=1, odd_widths=(inches(12),))
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 58.5})
    assert answer.legal and answer.now.counts[9] == 1
    assert sorted(ins(*(p.width[0] for p in answer.runs[0].panels))) == [11.5, 12, 18]
    used = on(case, planned(case), {"id": "S", "seam": 3, "eave": 52.5, "odd": {"2": 12}})
    assert used.legal and used.now.counts[9] == 1  # the one laid
    gone = on(case, planned(case), {"id": "S", "seam": 3, "eave": 45, "odd": {"2": 12}})
    bad = gone.runs[0].least_bad  # 55 in are left: nearest to legal is to end with 19 in
    assert not gone.legal and bad is not None
    assert (ins(*bad.last), bad.off, bad.narrow) == ([19, 19], inches(1), False)


def test_a_reading_to_the_tape_mark_is_the_near_face_of_the_leg() -> None:
    case = make_case(seam_back=inches("3/8"))
    plan = planned(case)
    by_tape = on(case, plan, {"id": "S", "seam": 3, "tape": "49 5/8"})
    assert by_tape.runs[0].front.eave == inches(50)
    case = replace(case, field=Field(inches("1/4"), 0, 0, 0))
    assert on(case, plan, {"id": "S", "seam": 3, "tape": 50}).runs[0].front.eave == inches("50 1/4")


def test_laid_right_to_left_all_is_counted_from_the_high_end() -> None:
    case = make_case(planes=(plane_of(lay="right-to-left"),))
    answer = on(case, planned(case), {"id": "S", "seam": 2, "eave": 31})
    assert ins(*answer.now.planes[0].seams) == [15, 33, 51, 69, 86.5]
    assert [p.number for p in answer.runs[0].panels] == [3, 4, 5, 6]


def test_a_line_laid_both_ways_has_two_fronts() -> None:
    """From 50 in: to the high end 68, 86 and 14 in are left; the same to the low end."""
    case = make_case(make_pipe(inches(9), status="planned"), planes=(plane_of(start=inches(50)),))
    plan = planned(case, 14)
    answer = on(case, plan, {"id": "S", "seam": 1, "eave": 19}, {"id": "S", "seam": -2, "eave": 35})
    assert ins(*answer.now.planes[0].seams) == [15, 32.5, 50, 69, 87]
    assert [(r.front.sign, r.panels[-1].number) for r in answer.runs] == [(1, 3), (-1, -3)]
    assert [ins(r.panels[-1].width[0]) for r in answer.runs] == [[13], [15]]


def test_leaning_seams_are_judged_at_each_height() -> None:
    """Seam 3 at 50 at the eave and 52 at the ridge: half way up it stands at 51, the next at 69."""
    case = make_case(make_pipe(inches(60), y=inches(100)), make_pipe(inches(60), "V2", y=0))
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 50, "ridge": 52})
    half, eave = answer.now.penetrations
    assert (half.seam_low, half.seam_high) == (inches(51), inches(69))
    assert (eave.seam_low, eave.seam_high) == (inches(50), inches(68))
    assert ins(*answer.runs[0].panels[-1].width) == [14, 12]
    assert [f.code for f in answer.findings] == ["leaning"]


def test_both_ends_of_a_leaning_last_panel_must_be_legal() -> None:
    case = make_case()
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 56, "ridge": "58 1/2"})
    bad = answer.runs[0].least_bad
    assert not answer.legal and bad is not None
    assert (ins(*bad.last), bad.off) == ([8, 5.5], inches("1/2"))


def test_a_pipe_laid_over_is_where_it_is_and_one_ahead_may_still_move() -> None:
    """Seam 3 is at 46 1/2, so V1, at 42, has 4 in left; V2 is 1 1/2 in from seam 4: it moves."""
    case = make_case(make_pipe(inches(41), status="planned"),
                     make_pipe(inches(63), "V2", status="planned"))
    plan = planned(case, moves={0: inches(1)})
    answer = on(case, plan, {"id": "S", "seam": 3, "eave": 46.5})
    first, second = answer.now.penetrations
    assert (first.x, first.moved) == (inches(42), 0)
    assert answer.now.counts[5] == 2 and second.state == "clear"
    assert [(move.id, move.now) for move in answer.moves] == [("V2", second.moved)]
    assert first.state == "tight" and answer.changed[0].laid


def test_a_pipe_seen_stays_where_it_was_seen() -> None:
    case = make_case(make_pipe(inches(60), status="planned"))
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 50},
                seen=({"id": "V1", "x": 64},))
    pipe = answer.now.penetrations[0]
    assert (pipe.x, pipe.moved, pipe.state) == (inches(64), 0, "crosses")
    assert (answer.changed[0].panel, answer.runs[0].decision) == (4, 4)
    still = on(case, planned(case), {"id": "S", "seam": 3, "eave": 50},
               seen=({"id": "V1", "x": 64, "status": "planned"},))
    assert still.now.penetrations[0].state == "clear" and still.now.penetrations[0].moved


def test_a_curb_astride_the_front_cuts_laid_and_new_seams() -> None:
    """From 30 to 70: seams 32 and 50, laid, and 68, to be laid, are cut; so they are 1 in on."""
    case = make_case(make_curb(inches(50), across=inches(40)))
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 51})
    assert answer.now.penetrations[0].seams_cut == 3
    seams = ins(*answer.now.planes[0].seams[1:4])  # seam 2 has two thirds of what seam 3 has
    assert [round(seam, 3) for seam in seams] == [32.667, 51, 69]


def test_forbidden_states_keep_a_rest_from_being_legal() -> None:
    case = make_case(make_pipe(inches(63), forbid=("on-seam", "crosses")))
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 46})
    assert not answer.legal and answer.runs[0].closes
    assert "V1" in answer.runs[0].breaks[0]
    # Once it is laid over nothing can mend it, and the rest is as legal as it can be.
    over = on(case, planned(case), {"id": "S", "seam": 4, "eave": 64})
    assert over.legal and [f.code for f in over.findings] == ["forbidden"]


def test_links_are_told_and_bind_nothing() -> None:
    planes = (plane_of("S"), plane_of("N", lay="right-to-left"))
    for must in (False, True):
        case = make_case(planes=planes, links=(make_link(must=must),))
        answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 51})
        assert answer.legal
        assert answer.links[0].was.meet and answer.links[0].now.strays2 == 2 * inches(1)
        assert [f.code for f in answer.findings] == ["must-link" if must else "link-strays"]


def test_pieces_of_an_outline_are_looked_at_ahead_of_the_front_only() -> None:
    """Hips of 45 degrees: a last panel of 14 in comes to a point 14 in up."""
    case = make_case(planes=(make_outlined(HIP),))
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 52})
    assert answer.legal and ins(answer.runs[0].panels[-1].width[0]) == [12]
    short = on(case, planned(case), {"id": "S", "seam": 5, "eave": 94.9})
    assert short.legal  # 5.1 in wide and long: above the least piece of 2 in and 4 in
    bad = on(case, planned(case), {"id": "S", "seam": 3, "eave": "58 1/2"})
    assert bad.legal  # 5 1/2 in


def test_a_leaning_seam_on_an_outline_is_refused() -> None:
    case = make_case(planes=(make_outlined(HIP),))
    with pytest.raises(CaseError, match="leaning seams cannot be cut to an outline here"):
        on(case, planned(case), {"id": "S", "seam": 3, "eave": 52, "ridge": 53})


@pytest.mark.parametrize(
    ("plane", "says"),
    [
        ({"id": "S", "seam": 6, "eave": 90}, "the layout has 5 seams there; write 1 to 5"),
        ({"id": "S", "seam": 2, "eave": 49}, "half a panel off is a miscount; that is nearest to "
                                             "seam 3"),
        ({"id": "S", "seam": 5, "eave": 100}, "at or beyond the end of the run"),
    ],
)
def test_what_the_plan_tells_of_a_reading(plane: dict[str, Any], says: str) -> None:
    case = make_case()
    with pytest.raises(CaseError, match=says):
        on(case, planned(case), plane)


def test_too_many_ways_are_not_called_proven() -> None:
    """Play of 4 marks on a long plane: far more ways than can be looked at one by one."""
    case = make_case(planes=(plane_of(width=inches(1400)),), play=inches("1/16"), remeasure=2)
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 50.5})
    assert answer.legal and not answer.proven


def test_the_tape_is_hooked_where_the_field_sheet_hooks_it() -> None:
    """No eave for the first 24 in: the sheet's tape starts at its corner, so that seam 3, centred
    at 50, reads 50 - 1/2 - 24; `eave` counts from where laying starts all the same."""
    plane = make_outlined(make_outline(
        ("24", "0", "eave"), ("100", "0", "rake"), ("100", "200", "ridge"), ("0", "200", "rake"),
        ("0", "60", "eave"), ("24", "60", "rake"),
    ))
    case = make_case(planes=(plane,))
    plan = planned(case)
    row = next(r for r in field_sheets(case, plan, 1).planes[0].runs[0].rows if r.number == 3)
    assert row.at == inches("25 1/2")
    for told in ({"tape": 25.5}, {"eave": 50}):
        answer = on(case, plan, {"id": "S", "seam": 3, **told})
        assert answer.runs[0].as_planned and answer.runs[0].front.eave == inches(50)
        page = " ".join("\n".join(plain(line) for line in replan_page(answer)).split())
        assert 'hooked at the corner of the eave that is 2\' 0" from where laying starts' in page
        assert "4 to 5 18\" 5' 1 1/2\" full" in page  # seam 5: 86 - 1/2 - 24


def test_where_nothing_ahead_mends_the_end_that_is_said() -> None:
    """Seam 5 at 94 1/2 leaves 5 1/2, an end takes 6, and no full panel is left to give 1/2."""
    case = make_case()
    answer = on(case, planned(case), {"id": "S", "seam": 5, "eave": 94.5})
    page = " ".join("\n".join(plain(line) for line in replan_page(answer)).split())
    assert "NOTHING CLOSES" in page and "Nothing that is still to lay mends it" in page
    assert "What would mend it" not in page


def test_where_not_every_way_is_looked_at_one_odd_panel_is() -> None:
    """33 ft 7 3/8 in under 16 in panels, nine modules a stretch: too many ways to count out. The
    curb, 30 in at 238 3/8 to 268 3/8 from the start, wants 6 in free at both sides; seam 10 at
    154 11/16 brings one to 234 11/16. An odd panel of 13 11/16 or less in front of it brings that
    to 232 3/8, which costs less than a crowded curb."""
    plane = plane_of(width=inches("403 3/8"), lay="right-to-left")
    curb = make_curb(inches(150), across=inches(30), along=inches(36))
    case = make_case(curb, planes=(plane,), cover=inches(16), min_end=inches(5), odd_panels=1,
                     play=inches("1/16"), remeasure=3)
    plan = judge(case, Layout((inches("9 11/16"),), (0,)))
    answer = on(case, plan, {"id": "S", "seam": 10, "eave": 154.6875})
    run = answer.runs[0]
    assert not run.proven and [p.kind for p in run.panels].count("odd") == 1
    assert answer.now.penetrations[0].state == "spans"


def test_a_plan_sought_under_a_time_limit_is_to_be_held_against_the_field_sheet() -> None:
    """Another limit may list another layout first, and the crew are building the one they have."""
    case = make_case()
    answer = on(case, planned(case), {"id": "S", "seam": 3, "eave": 50})
    for proven in (True, False):
        page = " ".join("\n".join(plain(line) for line in replan_page(answer, proven)).split())
        assert ("make sure that it is the one on the field sheet" in page) != proven
