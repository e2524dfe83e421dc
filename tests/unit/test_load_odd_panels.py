"""Keys that let the grid depart from the plain one: odd panels, play, laying both ways from a line.

1 in = 16256 ticks, 1/64 in = 254, 1 mm = 640. In inches the cover is 18 and the mark 1/16, in
millimetres 450 and 1, unless a test says otherwise.
"""

import json

import pytest
from bad_documents import curb, minimal, pipe, problems, the_problem, told

from solver.case import RATE_NAMES
from solver.case_file.entries import CaseEntry
from solver.case_file.load import case_from_document, load_case
from solver.errors import CaseError

INCH, MM, TICK = 16256, 640, "0.0015625 mm"  # the last: 1/640 mm as a text


def rules_of(*, units="in", cover=None, mark=None, **rules):
    return case_from_document(written(units=units, cover=cover, mark=mark, **rules)).rules


def written(*, units="in", cover=None, mark=None, **rules):
    panel = {"cover": cover or (18 if units == "in" else 450)}
    plane = [{"id": "S", "width": "6 m", "length": "5 m"}]
    head = {} if mark is None else {"mark": mark}
    return minimal(units=units, panel=panel, plane=plane, rules=rules, **head)


def plane_of(*, units="in", cover=18, **keys):
    plane = {"id": "S", "width": 240, "length": 200, **keys}
    return minimal(units=units, plane=[plane], panel={"cover": cover})


# --- odd_panels ---------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [0, 1, 2, 20])
def test_how_many_odd_panels(count):
    assert rules_of(odd_panels=count).odd_panels == count
    assert rules_of(units="mm", odd_panels=count).odd_panels == count


@pytest.mark.parametrize(
    ("count", "got"),
    [(21, "21"), (-1, "-1"), (2.0, "2.0"), ("2", '"2"'), (True, "true"), (None, "null"),
     ([1], "[1]"), (10**40, "a huge whole number")],
)  # fmt: skip
def test_what_is_no_number_of_odd_panels(count, got):
    told(the_problem(written(odd_panels=count)), "rules", "odd_panels", got,
         "whole number of 0 or more, at most 20")  # fmt: skip


# --- odd_min ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "ticks"),
    [
        ({"odd_min": 18}, 18 * INCH),  # at most the cover; without odd panels it has no effect
        ({"odd_min": "17 15/16", "odd_panels": 1}, 18 * INCH - 1016),  # the one whole mark left
        ({"odd_min": "1/64", "odd_panels": 1}, 254),
        ({"odd_min": "300 mm", "odd_panels": 1}, 300 * MM),
        ({"odd_min": 449, "odd_panels": 1, "units": "mm"}, 449 * MM),
        ({"odd_min": 0.1, "odd_panels": 3, "units": "mm"}, 64),
        ({"odd_min": "12 in", "odd_panels": 3, "units": "mm"}, 12 * INCH),
        ({"odd_panels": 2, "cover": "17 63/64"}, (18 * INCH - 254) // 2),
        # 0.9 of a mark below the cover: whole marks go up to 17 3/8, and 17 3/8 is one
        ({"odd_panels": 1, "odd_min": "17 3/8", "cover": 17.5, "mark": "1/8"}, 17 * INCH + 6096),
    ],
)
def test_the_least_odd_width(keys, ticks):
    assert rules_of(**keys).odd_min == ticks


def test_a_tick_above_the_cover_no_odd_panel_begins():
    cover = 18 * INCH / MM
    above = f"{cover + 1 / 640:.7f} mm"
    for odd_panels in (0, 1):  # with odd panels or without, one problem
        problem = the_problem(written(odd_min=above, odd_panels=odd_panels))
        told(problem, "rules", "odd_min", f'"{above}"', 'cannot be more than the cover of 18"')
    several = the_problem(written(odd_min=17, cover=[20, 16, 14]))
    told(several, "rules", "odd_min", "17", 'cannot be more than the covers of 16" and 14"')


@pytest.mark.parametrize(
    ("keys", "got", "mends"),
    [
        ({"odd_min": 18}, "18", ['no whole mark of 1/16"', 'write at most 17 15/16"',
                                 "or give odd_widths"]),
        ({"odd_min": f"{18 * 25.4 - 25.4 / 16 + 1 / 640:.7f} mm"},  # a tick above 17 15/16
         '"455.6140625 mm"', ['at most 17 15/16"']),
        ({"odd_min": 449.1, "units": "mm"}, "449.1", ["no whole mark of 1 mm", "at most 449 mm"]),
        ({"odd_min": 450, "units": "mm"}, "450", ["the cover of 450 mm; write at most 449 mm"]),
        # marks of 7: 18 - 7 = 11, so 7 is the widest; the least is 9 by default
        ({"mark": 7}, '9" by default', ['no whole mark of 7"', 'at most 7"']),
        ({"odd_min": 15.5, "cover": [18, 16, 20]}, None, None),  # 15 15/16 is left
        ({"odd_min": 16, "cover": [18, 16, 20]}, "16",
         ['the cover of 16"; write at most 15 15/16"']),
        ({"mark": 7, "cover": [24, 20], "odd_min": 15}, "15", ['write at most 7"']),
        ({"mark": 7, "cover": [24, 20, 18]}, '10" by default',
         ['less than the covers of 20" and 18"; write at most 7"']),
    ],
)  # fmt: skip
def test_a_whole_mark_must_be_left_for_odd_panels(keys, got, mends):
    document = written(odd_panels=1, **keys)
    if got is None:
        assert case_from_document(document).covers
    else:
        told(the_problem(document), "rules", "odd_min", got, *mends)
    assert case_from_document(written(odd_panels=0, **keys)).rules.odd_panels == 0


def test_a_mark_too_coarse_for_any_odd_panel():
    for mark in (9.5, 18):  # the whole marks below 18 - mark: none
        told(the_problem(written(odd_panels=2, mark=mark)), "rules", "odd_panels", "2",
             'left for an odd panel at the cover of 18"', "finer mark, or odd_widths")  # fmt: skip
    assert rules_of(odd_panels=2, mark=9).odd_panels == 2  # 9 in, half the cover
    assert rules_of(odd_panels=2, mark=18, odd_widths=[12]).odd_widths == (12 * INCH,)
    (problem,) = problems(written(odd_panels=2, mark=19))
    assert problem.key == "mark"  # told once


# --- odd_widths ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "ticks"),
    [
        ({"odd_widths": []}, ()),
        ({"odd_widths": [12]}, (12 * INCH,)),
        ({"odd_widths": ["15", 12, "12 1/64"]}, (12 * INCH, 12 * INCH + 254, 15 * INCH)),
        ({"odd_widths": [12, "12 in", "304.8 mm"]}, (12 * INCH,)),  # thrice the same
        ({"odd_widths": ("17 63/64",), "odd_min": 17.99}, (18 * INCH - 254,)),
        ({"odd_widths": [TICK]}, (1,)),
        ({"odd_widths": [449.9, 300, "10 in"], "units": "mm"}, (10 * INCH, 300 * MM, 287936)),
        ({"odd_widths": [15.9, 12], "cover": [18, 16]}, (12 * INCH, 258470)),
        ({"odd_widths": list(range(1, 41)), "cover": 41}, tuple(n * INCH for n in range(1, 41))),
    ],
)
@pytest.mark.parametrize("odd_panels", [0, 2])
def test_the_only_odd_widths(keys, ticks, odd_panels):
    assert rules_of(odd_panels=odd_panels, **keys).odd_widths == ticks


def test_with_odd_widths_the_least_width_does_not_count():
    rules = rules_of(odd_panels=1, odd_widths=[3], odd_min=18)
    assert (rules.odd_widths, rules.odd_min) == ((3 * INCH,), 18 * INCH)
    # An empty list says nothing, so here the least width does count.
    told(the_problem(written(odd_panels=1, odd_widths=[], odd_min=18)), "rules", "odd_min", "18")


@pytest.mark.parametrize(
    ("keys", "got", "mends"),
    [
        ({"odd_widths": [18]}, "[18]", ['18" is not below the cover of 18"', "narrower than"]),
        ({"odd_widths": [12, "18 1/64"]}, '[12, "18 1/64"]', ['18.016" is not below']),
        ({"odd_widths": [20, 12, 16], "cover": [18, 16, 24]}, "[20, 12, 16]",
         ['16" and 20" are not below the covers of 18" and 16"']),
        ({"odd_widths": [450], "units": "mm"}, "[450]", ["not below the cover of 450 mm"]),
        ({"odd_widths": [0, 12, -3]}, "[0, 12, -3]", ["width 1 of the list: it must be more than 0",
                                                     "width 3 of the list: it must be more"]),
        ({"odd_widths": ["wide"]}, '["wide"]', ["width 1 of the list: write a number"]),
        ({"odd_widths": [True]}, "[true]", ["width 1 of the list: write a number"]),
        ({"odd_widths": [[12]]}, "a list", ["width 1 of the list: write a number"]),
        ({"odd_widths": 12}, "12", ["a list of lengths in brackets"]),
        ({"odd_widths": "12, 15"}, '"12, 15"', ["a list of lengths in brackets"]),
        ({"odd_widths": {"a": 1}}, "a table", ["a list of lengths in brackets"]),
        ({"odd_widths": None}, "null", ["a list of lengths in brackets"]),
        ({"odd_widths": list(range(1, 42)), "cover": 50}, "a list", ["41 widths; at most 40"]),
    ],
)  # fmt: skip
@pytest.mark.parametrize("odd_panels", [0, 1])
def test_what_is_no_odd_width(keys, got, mends, odd_panels):
    told(the_problem(written(odd_panels=odd_panels, **keys)), "rules", "odd_widths", got, *mends)


# --- play and play_mark -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "play", "play_mark"),
    [
        ({}, 0, 254),
        ({"units": "mm"}, 0, 320),
        ({"play": "1/16"}, 1016, 254),
        ({"play": 1.5, "units": "mm"}, 960, 320),
        ({"play": "1/16 in", "play_mark": 1, "units": "mm"}, 1016, 640),
        ({"play": "8 63/64", "play_mark": "1/32"}, 9 * INCH - 254, 508),  # just below half of 18
        ({"play": 0.1, "play_mark": TICK, "units": "mm"}, 64, 1),
        ({"play": "1/128"}, 127, 254),  # less than a mark: nothing to be spread, no fault
        ({"play_mark": 3}, 0, 3 * INCH),
        ({"play": 2, "play_mark": "0.0011"}, 2 * INCH, 18),
        ({"play": "3.125 mm", "play_mark": TICK}, 2000, 1),
    ],
)
def test_play(keys, play, play_mark):
    rules = rules_of(**keys)
    assert (rules.play, rules.play_mark) == (play, play_mark)


@pytest.mark.parametrize(
    ("keys", "key", "got", "mends"),
    [
        ({"play": 9}, "play", "9", ['less than half the cover of 18"']),
        ({"play": 225, "units": "mm"}, "play", "225", ["less than half the cover of 450 mm"]),
        ({"play": "1 m"}, "play", '"1 m"', ["less than half"]),
        ({"play": 8, "cover": [18, 16, 14]}, "play", "8", ['half the covers of 16" and 14"']),
        ({"play": -1}, "play", "-1", ["0 or more"]),
        ({"play": "1/16th"}, "play", '"1/16th"', ["write a number"]),
        ({"play": True}, "play", "true", ["write a number"]),
        ({"play": None}, "play", "null", ["write a number"]),
        ({"play": [1]}, "play", "[1]", ["write a number"]),
        ({"play_mark": 0}, "play_mark", "0", ["more than 0"]),
        ({"play_mark": -1}, "play_mark", "-1", ["more than 0"]),
        ({"play_mark": False}, "play_mark", "false", ["write a number"]),
        ({"play_mark": "fine", "play": 32, "cover": 65}, "play_mark", '"fine"', ["write a number"]),
        ({"play": "3.1265625 mm", "play_mark": TICK}, "play_mark", f'"{TICK}"',
         ["too fine for a play of 0.123", "write at least"]),
        ({"play": 400, "cover": "1 m", "play_mark": 0.1, "units": "mm"}, "play_mark", "0.1",
         ["too fine for a play of 400 mm; write at least 0.2 mm"]),
        ({"play": "32 in", "cover": "65 in"}, "play_mark", '0.016" by default',
         ['too fine for a play of 32"']),
    ],
)  # fmt: skip
def test_what_is_no_play(keys, key, got, mends):
    told(the_problem(written(**keys)), "rules", key, got, *mends)


def test_half_a_cover_to_the_tick():
    # 17 63/64 in is 292354 ticks: half is 146177, which is 228.4015625 mm.
    half = {"cover": "17 63/64", "play_mark": "1/4"}
    assert rules_of(play="228.4 mm", **half).play == 146176
    assert the_problem(written(play="228.4015625 mm", **half)).key == "play"


def test_the_rate_of_play():
    rate = case_from_document(minimal(rates={"play": {"hours": 2, "material": 3}})).rates
    assert rate.cents("play") == 19300  # 2 h at 95, and 3
    assert "play" not in rate.default
    usual = case_from_document(minimal()).rates
    assert usual.cents("play") == 2375  # a quarter of an hour at 95
    assert "play" in usual.default
    names = list(usual.each)
    assert names == list(RATE_NAMES)
    assert names.index("play") == names.index("odd_panel") + 1


@pytest.mark.parametrize(
    ("rate", "key", "got", "mend"),
    [
        (1, "play", "1", "{ hours = 4, material = 110 }"),
        ({"hours": -1}, "play.hours", "-1", "0 or more"),
        ({"material": "5"}, "play.material", '"5"', "without quotes"),
        ({"hour": 1}, "play.hour", "1", 'nearest known one is "hours"'),
        ({"hours": 10**9}, "play", "", "10,000,000"),
    ],
)
def test_what_is_no_rate_of_play(rate, key, got, mend):
    told(the_problem(minimal(rates={"play": rate})), "rates", key, got, mend)


# --- lay = "from" -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "start"),
    [
        ({"from": 120}, 120 * INCH),
        ({"from": "10' 1/2\""}, 120 * INCH + INCH // 2),
        ({"from": TICK}, 1),
        ({"from": "239 63/64"}, 240 * INCH - 254),
        ({"from": "3 m"}, 3000 * MM),
        ({"from": 3000.5, "width": 6000, "units": "mm", "cover": 450}, 1920320),
        ({"from": 5, "width": 17}, 5 * INCH),  # one panel all the same, and no fault
        ({"from": 5, "width": 18}, 5 * INCH),
    ],
)
def test_a_line_to_lay_from(keys, start):
    (plane,) = case_from_document(plane_of(lay="from", **keys)).planes
    assert (plane.lay, plane.start) == ("from", start)


@pytest.mark.parametrize("lay", ["left-to-right", "right-to-left", None])
def test_without_it_there_is_no_line(lay):
    keys = {"lay": lay} if lay else {}
    assert case_from_document(plane_of(**keys)).planes[0].start is None
    told(the_problem(plane_of(**keys, **{"from": 120})), "plane S", "from", "120",
         'only goes with lay = "from"', "leave from out")  # fmt: skip


@pytest.mark.parametrize(
    ("keys", "key", "got", "mends"),
    [
        ({}, "lay", '"from"', ["give from as well"]),
        ({"from": 0}, "from", "0", ['more than 0 and less than its width, 240"']),
        ({"from": 240}, "from", "240", ['more than 0 and less than its width, 240"']),
        ({"from": "241"}, "from", '"241"', ["between the ends"]),
        ({"from": -1}, "from", "-1", ["between the ends"]),
        ({"from": 6000, "width": 6000, "units": "mm", "cover": 450}, "from", "6000",
         ["less than its width, 6000 mm"]),
        ({"from": 17, "width": 17}, "from", "17", ['less than its width, 17"']),
        ({"from": "middle"}, "from", '"middle"', ["write a number"]),
        ({"from": True}, "from", "true", ["write a number"]),
        ({"from": None}, "from", "null", ["write a number"]),
        ({"from": [120]}, "from", "[120]", ["write a number"]),
        ({"start": 120, "from": 120}, "start", "120", ["no such key"]),
        ({"lay": "From", "from": 120}, "lay", '"From"', ['"left-to-right"', '"from"']),
        ({"lay": ["from"], "from": 900}, "lay", '["from"]', ['"from"']),
    ],
)  # fmt: skip
def test_what_is_no_line(keys, key, got, mends):
    if keys.get("lay") == ["from"]:  # the line itself is off the plane too
        found = problems(plane_of(**keys))
        assert [problem.key for problem in found] == ["lay", "from"]
        told(found[0], "plane S", key, got, *mends)
        return
    told(the_problem(plane_of(**{"lay": "from", **keys})), "plane S", key, got, *mends)


def test_a_plane_that_cannot_be_read_still_needs_its_line():
    found = problems(plane_of(lay="from", width=-1))
    assert [(problem.where, problem.key) for problem in found] == [
        ("plane S", "width"), ("plane S", "lay"),
    ]  # fmt: skip
    without_units = problems(plane_of(units="cm", lay="from") | {"rules": {"odd_widths": [900]}})
    assert [problem.key for problem in without_units] == ["units", "lay"]


def test_every_plane_has_its_own_line():
    planes = [{"id": "S", "width": 240, "length": 9, "lay": "from", "from": 100},
              {"id": "N", "width": 200, "length": 9, "lay": "from", "from": 150},
              {"id": "W", "width": 200, "length": 9}]  # fmt: skip
    case = case_from_document(minimal(plane=planes))
    assert [plane.start for plane in case.planes] == [100 * INCH, 150 * INCH, None]
    for plane in planes:
        plane["from"] = 220
    assert [problem.where for problem in problems(minimal(plane=planes))] == ["plane N", "plane W"]


# --- freeze -------------------------------------------------------------------------------------

# 245 - 10 = 235 is 13 covers of 18 and 1 in, below the min_end of 6: legal only where odd panels
# or play make up for it.
BENT = [{"odd_panels": 1}, {"play": "1/16"}, {"odd_panels": 2, "odd_widths": [12], "play": 1}]


def agreed(first, *, plane=None, cover=18, units="in", **rules):
    width = 245 if units == "in" else 6223
    planes = [plane or {"id": "S", "width": width, "length": 200}]
    return minimal(units=units, plane=planes, panel={"cover": cover}, rules=rules,
                   freeze={"first": {"S": first}})  # fmt: skip


@pytest.mark.parametrize("rules", BENT)
@pytest.mark.parametrize("first", [10, 6, 18, "17 15/16", "6 1/16"])
def test_what_bends_the_grid_makes_any_first_width_possible(rules, first):
    assert case_from_document(agreed(first, **rules)).freeze.firsts


def test_without_it_the_last_width_is_still_judged():
    for rules in ({}, {"odd_widths": [12], "odd_min": 8}, {"play": 0, "odd_panels": 0}):
        told(the_problem(agreed(10, **rules)), "freeze", "first.S", "10",
             'it leaves a last panel of 1"', 'width is 11"')  # fmt: skip


@pytest.mark.parametrize("rules", BENT)
@pytest.mark.parametrize(
    ("first", "mends"),
    [
        ("5 15/16", ['below the min_end of 6"', 'nearest legal first width is 6"']),
        ("18 1/16", ['more than the cover of 18"', 'first width is 18"']),
        ("10 1/32", ['no whole number of marks of 1/16"', 'first width is 10 1/16"']),
    ],
)
def test_what_no_bend_makes_legal(rules, first, mends):
    told(the_problem(agreed(first, **rules)), "freeze", "first.S", f'"{first}"', *mends)


def test_the_end_rule_in_millimetres_and_at_several_covers():
    # 6223 - 380 = 5843: 12 covers of 450 and 443; 6223 - 300 = 5923: 13 covers and 73
    assert case_from_document(agreed(380, cover=450, units="mm")).freeze.firsts
    assert the_problem(agreed(300, cover=450, units="mm")).key == "first.S"
    assert case_from_document(agreed(300, cover=450, units="mm", odd_panels=1)).freeze.firsts
    told(the_problem(agreed(149, cover=450, units="mm", odd_panels=1)), "freeze", "first.S", "149",
         "below the min_end of 150 mm", "first width is 150 mm")  # fmt: skip
    # a cover that is no whole mark is a first width all the same
    assert case_from_document(agreed(450.3, cover=450.3, units="mm", play=1)).freeze.firsts
    told(the_problem(agreed(17, cover=[18, 16], odd_panels=1)), "freeze", "first.S", "17",
         'at a cover of 16" it is more than the cover of 16"')  # fmt: skip


def test_a_single_panel_has_its_own_width_whatever_bends():
    plane = {"id": "S", "width": 17, "length": 200}
    assert case_from_document(agreed(17, plane=plane, odd_panels=1, play=1)).freeze.firsts
    told(the_problem(agreed(12, plane=plane, odd_panels=1, play=1)), "freeze", "first.S", "12",
         'one panel of 17"')  # fmt: skip


@pytest.mark.parametrize("rules", [{}, {"odd_panels": 1}])
@pytest.mark.parametrize("first", [10, 17, 900])
def test_no_first_width_is_agreed_where_it_is_a_result(rules, first):
    plane = {"id": "S", "width": 245, "length": 200, "lay": "from", "from": 90}
    told(the_problem(agreed(first, plane=plane, **rules)), "freeze", "first.S", str(first),
         "plane S is laid both ways from a line", "results", "leave it out")  # fmt: skip
    found = problems(agreed(first, plane={**plane, "from": 900}, **rules))
    assert [problem.key for problem in found] == ["from", "first.S"]


@pytest.mark.parametrize("rules", [{"odd_panels": 21}, {"play": "some"}])
def test_a_bad_key_of_the_rules_brings_no_false_problem(rules):
    """What could not be read may well have made the agreed width legal."""
    assert [problem.where for problem in problems(agreed(10, **rules))] == ["rules"]


@pytest.mark.parametrize(
    "bad", [{"odd_widths": ["x"], "odd_min": 18}, {"odd_min": "x"}, {"odd_widths": 12}]
)
def test_nothing_is_blamed_on_a_default_that_is_none(bad):
    (key,) = [key for key in bad if key != "odd_min" or len(bad) == 1]
    assert the_problem(written(odd_panels=1, mark=7, **bad)).key == key


# --- everything at once, and every way in -------------------------------------------------------


def test_all_problems_at_once_in_file_order():
    document = minimal(
        rules={"odd_panels": 1, "odd_min": 19, "odd_widths": [18, 12], "play": 9, "play_mark": 0},
        rates={"play": {"hours": -1}},
        plane=[{"id": "S", "width": 240, "length": 200, "from": 9},
               {"id": "N", "width": 240, "length": 200, "lay": "from"},
               {"id": "W", "width": 240, "length": 200, "lay": "from", "from": 240}],
        penetration=[pipe(x=-1)],
        freeze={"first": {"S": 5, "N": 12}},
    )  # fmt: skip
    wanted = {
        ("rules", "odd_min"), ("rules", "odd_widths"), ("rules", "play"), ("rules", "play_mark"),
        ("rates", "play.hours"), ("plane S", "from"), ("plane N", "lay"), ("plane W", "from"),
        ("penetration V1", "x"), ("freeze", "first.S"), ("freeze", "first.N"),
    }  # fmt: skip
    found = [(problem.where, problem.key) for problem in problems(document)]
    assert set(found) == wanted
    assert len(found) == len(wanted)
    planes = [at for at in found if at[0].startswith("plane ")]
    assert planes == [("plane S", "from"), ("plane N", "lay"), ("plane W", "from")]


TOML = """
title = "t"
units = "in"
penetrations_csv = "stubs.csv"

[panel]
cover = [18, 16]

[rules]
odd_panels = 2
odd_min = "8 1/2"
odd_widths = ["15", 12, 12.0]
play = "1/16"
play_mark = "1/32"

[rates]
play = { hours = 0.5, material = 2 }

[[plane]]
id = "S"
width = 240
length = 200
lay = "from"
from = "9' 6\\""

[[plane]]
id = "N"
width = 240
length = 200

[freeze]
first = { N = 8 }
"""
JSON = {
    "title": "t", "units": "in", "penetrations_csv": "stubs.csv", "panel": {"cover": [18, 16]},
    "rules": {"odd_panels": 2, "odd_min": "8 1/2", "odd_widths": ["15", 12, 12.0], "play": "1/16",
              "play_mark": "1/32"},
    "rates": {"play": {"hours": 0.5, "material": 2}},
    "plane": [{"id": "S", "width": 240, "length": 200, "lay": "from", "from": "9' 6\""},
              {"id": "N", "width": 240, "length": 200}],
    "freeze": {"first": {"N": 8}},
}  # fmt: skip


@pytest.mark.parametrize(("name", "text"), [("c.toml", TOML), ("c.json", json.dumps(JSON))])
def test_toml_and_json_with_a_spreadsheet(tmp_path, name, text):
    (tmp_path / "stubs.csv").write_text("id,plane,kind,x,y,outside\nV1,S,pipe,100,90,4\n")
    (tmp_path / name).write_text(text)
    case = load_case(tmp_path / name)
    for each in case.covers:
        rules = each.rules
        assert (rules.odd_panels, rules.odd_min) == (2, 17 * INCH // 2)
        assert rules.odd_widths == (12 * INCH, 15 * INCH)
        assert (rules.play, rules.play_mark) == (1016, 508)
        assert each.rates.cents("play") == 4950  # half an hour at 95, and 2
        assert [plane.start for plane in each.planes] == [114 * INCH, None]
        assert [pen.id for pen in each.penetrations] == ["V1"]
    assert [each.panel.cover for each in case.covers] == [18 * INCH, 16 * INCH]


@pytest.mark.parametrize("column", ["from", "odd_panels", "odd_widths", "play"])
def test_they_are_no_columns_of_a_spreadsheet(tmp_path, column):
    (tmp_path / "stubs.csv").write_text(f"id,plane,kind,x,y,outside,{column}\nV1,S,pipe,9,9,4,1\n")
    with pytest.raises(CaseError) as caught:
        case_from_document(minimal(penetrations_csv="stubs.csv"), beside=tmp_path)
    (problem,) = caught.value.problems
    told(problem, "stubs.csv", f"column {column}", "", "there is no such column")


@pytest.mark.parametrize("pen", [pipe, curb])
def test_they_are_no_keys_of_a_penetration(pen):
    (problem,) = problems(minimal(penetration=[pen(**{"from": 9})]))
    assert (problem.key, problem.got) == ("from", "9")
    assert "no such key" in problem.want


@pytest.mark.parametrize("text", [
    '"rules": {"odd_widths": [12], "odd_widths": [15]}', '"rules": {"play": 0, "play": 1}',
])  # fmt: skip
def test_json_that_says_it_twice(tmp_path, text):
    path = tmp_path / "case.json"
    path.write_text('{"title": "t", "units": "in", "panel": {"cover": 18}, "plane": [{"id": "S", '
                    '"width": 240, "length": 200}], ' + text + "}")  # fmt: skip
    with pytest.raises(CaseError) as caught:
        load_case(path)
    assert ["written twice" in problem.want for problem in caught.value.problems] == [True]


def test_the_schema_tells_their_limits():
    defs = CaseEntry.model_json_schema()["$defs"]
    rules = defs["RulesEntry"]["properties"]
    assert (rules["odd_panels"]["minimum"], rules["odd_panels"]["maximum"]) == (0, 20)
    assert (rules["odd_widths"]["type"], rules["odd_widths"]["maxItems"]) == ("array", 40)
    assert rules["play"]["anyOf"][0] == {"type": "number", "minimum": 0}
    assert rules["play_mark"]["anyOf"][0] == {"type": "number", "exclusiveMinimum": 0}
    plane = defs["PlaneEntry"]["properties"]
    assert "from" in plane
    assert "start" not in plane
    assert set(plane["lay"]["enum"]) == {"left-to-right", "right-to-left", "from"}
    assert "play" in defs["RatesEntry"]["properties"]
