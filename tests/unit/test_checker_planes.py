"""Seams, first and last widths, every limit from inside, on it and a tick outside it.

The limits are the rules of the program itself, no published standard; the numbers are worked by
hand in the comments.
"""

from __future__ import annotations

from tests.unit.builders import codes, inches, look, make_case, make_plane, mm

TICK = 1


def test_seams_are_counted_from_the_starting_end() -> None:
    # 100 in from the left: 10, 28, 46, 64, 82, and 100 - 82 = 18 left. From the right mirrored.
    from_left = look(make_case(), first=inches(10)).planes[0]
    assert from_left.seams == tuple(inches(x) for x in (10, 28, 46, 64, 82))
    assert (from_left.first, from_left.last, from_left.panels) == (inches(10), inches(18), 6)
    right = make_case(planes=(make_plane(lay="right-to-left"),))
    from_right = look(right, first=inches(10)).planes[0]
    assert from_right.seams == tuple(inches(x) for x in (18, 36, 54, 72, 90))
    assert (from_right.first, from_right.last, from_right.panels) == (inches(10), inches(18), 6)


def test_the_far_end_is_an_edge_and_no_seam() -> None:
    # 54 in = 3 x 18 in: seams at 18 and 36 only; one tick more and a third seam stands.
    even = make_case(planes=(make_plane(width=inches(54)),))
    assert look(even, first=inches(18)).planes[0].seams == (inches(18), inches(36))
    assert look(even, first=inches(18)).breaks == ()
    over = make_case(planes=(make_plane(width=inches(54) + TICK),))
    assert look(over, first=inches(18)).planes[0].seams == (inches(18), inches(36), inches(54))
    assert look(over, first=inches(18)).planes[0].last == TICK


def test_a_plane_no_wider_than_a_panel_has_no_seams() -> None:
    case = make_case(planes=(make_plane(width=inches(18)),))
    judged = look(case, first=inches(18))
    assert judged.planes[0].seams == () and judged.planes[0].panels == 1
    assert judged.breaks == ()
    for first in (inches(18) - TICK, inches(18) + TICK, 0):
        wrong = look(case, first=first)
        assert codes(wrong) == ["one-panel"]
        assert wrong.planes == judged.planes
        assert wrong.breaks[0].about == ("S",)
    narrow = make_case(planes=(make_plane(width=inches(5)),))  # below min_end, legal all the same
    assert look(narrow, first=inches(5)).breaks == ()


def test_first_width_within_the_end_rule() -> None:
    # 96 in: a first of 6 leaves 90 = 5 x 18, so a last of 18; 1/16 less adds a last of 1/16.
    case = make_case(planes=(make_plane(width=inches(96)),))
    assert look(case, first=inches(6)).breaks == ()
    assert codes(look(case, first=inches("5 15/16"))) == ["end-rule", "end-rule"]
    below = look(make_case(planes=(make_plane(width=inches(95)),)), first=inches("5 15/16"))
    assert codes(below) == ["end-rule"]  # last 95 - 5 15/16 - 72 = 17 1/16
    assert below.breaks[0].says == (
        'The first width of plane S is 5 15/16": it must be at least 6".'
    )


def test_first_width_above_a_panel_is_judged_and_named() -> None:
    judged = look(make_case(), first=inches("18 1/16"))
    assert judged.planes[0].seams[:2] == (inches("18 1/16"), inches("36 1/16"))
    assert codes(judged) == ["end-rule"]
    assert judged.breaks[0].says == (
        'The first width of plane S is 18 1/16": it must be at most a full panel, 18".'
    )


def test_last_width_within_the_end_rule_to_the_tick() -> None:
    # first 14 in, seams to 86 in: a plane of 92 in leaves exactly min_end, 6 in.
    assert look(make_case(planes=(make_plane(width=inches(92)),))).breaks == ()
    assert look(make_case(planes=(make_plane(width=inches(92) + TICK),))).breaks == ()
    short = look(make_case(planes=(make_plane(width=inches(92) - TICK),)))
    assert codes(short) == ["end-rule"]
    # One tick is less than a mark, but the sentence must not read "6 is less than 6".
    assert short.breaks[0].says == 'The last width of plane S is 5 15/16": it must be at least 6".'


def test_first_width_is_a_whole_mark_or_a_full_panel() -> None:
    assert look(make_case(), first=inches("14 1/16")).breaks == ()
    assert codes(look(make_case(), first=inches("14 1/16") + TICK)) == ["whole-mark"]
    assert codes(look(make_case(), first=inches("14 1/32"))) == ["whole-mark"]
    assert look(make_case(mark=inches("1/32")), first=inches("14 1/32")).breaks == ()
    odd_cover = inches(18) + 7  # 7 ticks: no whole mark, but a full panel always counts as one
    wide = make_case(planes=(make_plane(width=inches(44)),), cover=odd_cover)
    assert look(wide, first=odd_cover).breaks == ()
    assert codes(look(wide, first=odd_cover - TICK)) == ["whole-mark"]


def test_metric_marks_and_words() -> None:
    # 1000 mm under 300 mm: first 200 leaves 1000 - 200 - 2 x 300 = 200.
    case = make_case(
        planes=(make_plane(width=mm(1000)),), units="mm", mark=mm(1), cover=mm(300), min_end=mm(125)
    )
    assert look(case, first=mm(200)).breaks == ()
    assert codes(look(case, first=mm(200) + mm("1/2"))) == ["whole-mark"]
    short = look(case, first=mm(124))
    assert short.breaks[0].says == (
        "The first width of plane S is 124 mm: it must be at least 125 mm."
    )
