"""One cover or several to compare: what follows each of them, and what is wrong with which."""

from dataclasses import replace

import pytest
from bad_documents import minimal, pipe, the_problem, told

from solver.case_file.load import case_from_document

INCH = 16256


def covers(*written, **tables):
    return case_from_document(minimal(panel={"cover": list(written)}, **tables))


def alone(cover, **tables):
    return case_from_document(minimal(panel={"cover": cover}, **tables))


def test_each_cover_is_the_whole_case_with_that_cover():
    tables = {
        "penetration": [pipe(status="planned")], "rules": {"forbid": ["on-seam"], "x_tol": 1},
        "freeze": {"move": {"V1": 2}}, "gridline": [{"id": "1", "plane": "S", "x": 8}],
    }  # fmt: skip
    case = covers(16, "18 in", "20", **tables)
    assert [each.panel.cover for each in case.covers] == [16 * INCH, 18 * INCH, 20 * INCH]
    assert case.covers == tuple(alone(cover, **tables) for cover in (16, 18, 20))
    assert replace(case, covers=()) == case.covers[0]


def test_defaults_follow_each_cover():
    case = covers(24, 12, 16)  # in the order of the file
    # a third of the cover (24/3 = 8 in), at least 5 in (12/3 = 4), at most the cover; odd_min half
    assert [each.rules.min_end for each in case.covers] == [8 * INCH, 5 * INCH, 86699]
    assert [each.rules.odd_min for each in case.covers] == [12 * INCH, 6 * INCH, 8 * INCH]


@pytest.mark.parametrize("written", [18, "18", [18], ("18 in",)])
def test_a_single_cover_compares_nothing(written):
    case = case_from_document(minimal(panel={"cover": written}))
    assert (case.panel.cover, case.covers) == (18 * INCH, ())


def test_twelve_covers_are_enough():
    assert len(covers(*range(12, 24)).covers) == 12
    problem = the_problem(minimal(panel={"cover": list(range(12, 25))}))
    told(problem, "panel", "cover", "a list", "13 covers; at most 12")


@pytest.mark.parametrize(
    ("written", "got", "mends"),
    [
        ([], "[]", ["the list is empty"]),
        ([16, 18, "16"], '[16, 18, "16"]', ["covers 1 and 3 of the list are the same"]),
        ([16, "406.4 mm"], '[16, "406.4 mm"]', ["covers 1 and 2 of the list are the same"]),
        ([0, 18, -2], "[0, 18, -2]", ["cover 1 of the list: it must be more than 0",
                                      "cover 3 of the list: it must be more than 0"]),
        ([18, "wide"], '[18, "wide"]', ["cover 2 of the list: write a number"]),
        ([18, [20]], "a list", ["cover 2 of the list: write a number"]),
        ([18, True], "[18, true]", ["cover 2 of the list"]),
        ({"a": 1}, "a table", ["write a number"]),
    ],
)  # fmt: skip
def test_lists_that_cannot_be(written, got, mends):
    told(the_problem(minimal(panel={"cover": written})), "panel", "cover", got, *mends)


@pytest.mark.parametrize(
    ("tables", "where", "key", "mend"),
    [
        ({"panel": {"seam_half": 9}}, "panel", "seam_half", 'covers of 16" and 18"; no flat'),
        ({"panel": {"seam_half": 8}}, "panel", "seam_half", 'whole cover of 16"; no flat'),
        ({"mark": 19}, "", "mark", 'coarser than the covers of 16" and 18"'),
        ({"mark": "1/1200"}, "", "mark", 'too fine for covers of 18" and 20"'),
        ({"rules": {"min_end": 17}}, "rules", "min_end", 'more than the cover of 16"'),
        ({"rules": {"min_end": 21}}, "rules", "min_end", 'the covers of 16", 18" and 20"'),
    ],
)
def test_every_limit_is_held_against_every_cover(tables, where, key, mend):
    panel = {"cover": [16, 18, 20], **tables.pop("panel", {})}
    problem = the_problem(minimal(panel=panel, **tables))
    assert (problem.where, problem.key) == (where, key)
    assert mend in problem.want


def test_panels_are_counted_for_the_narrowest():
    plane = {"id": "S", "width": "900 m", "length": 200}
    panel = {"cover": ["8 mm", "10 mm"], "seam_half": "1 mm"}
    problem = the_problem(minimal(plane=[plane], panel=panel, rules={"min_end": 0}))
    told(problem, "plane S", "width", '"900 m"', 'at a cover of 0.315" that is more than 100,000')


def test_an_agreed_first_width_must_suit_every_cover():
    freeze = {"first": {"S": 12}}  # 240 - 12 = 228: 12 * 18 + 12, 14 * 16 + 4, 11 * 20 + 8
    assert alone(18, freeze=freeze).freeze.firsts == (("S", 12 * INCH),)
    assert covers(18, 20, freeze=freeze).covers[1].freeze.firsts == (("S", 12 * INCH),)
    problem = the_problem(minimal(panel={"cover": [18, 16, 20]}, freeze=freeze))
    told(problem, "freeze", "first.S", "12", 'at a cover of 16" it leaves a last panel of 4"')
