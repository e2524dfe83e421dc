"""Loading what the crew goes by: [field], [movement], [plane.survey], and keys of penetrations.

Figures are hand conversions: 1 in = 16256 ticks, 1 mm = 640 ticks; a difference of 9 F degrees is
5 K.
"""

import random
from decimal import Decimal
from fractions import Fraction

import pytest
from bad_documents import curb, minimal, pipe, problems, the_problem, told

from solver.case_file.load import case_from_document, load_case
from solver.case_parts import Field, Movement, Offset, Survey
from solver.errors import CaseError

INCH, MM, FOOT = 16256, 640, 12 * 16256
SIDES = {"eave": 240, "ridge": "20 ft", "low_rake": 200, "high_rake": 200, "up": "312 1/2"}
OFFSETS = [{"y": 0, "low": 100, "high": 140}, {"y": 190, "low": 101, "high": 139.5}]


def metric(**tables):
    return {"title": "t", "units": "mm", "panel": {"cover": 400},
            "plane": [{"id": "S", "width": 9000, "length": 5000}], **tables}  # fmt: skip


def surveyed(survey, rules=None, **keys):
    plane = {"id": "S", "width": 240, "length": 200, "survey": survey, **keys}
    return minimal(plane=[plane], rules=rules or {})


def movement(**keys):
    return case_from_document(minimal(movement=keys)).movement


# [field]


def test_the_sheet_has_defaults():
    # Common practice, no source; copied by hand from what the project set out to do.
    assert case_from_document(minimal()).field == Field(
        tape_mark=INCH // 2, control=10 * FOOT, closing=12 * FOOT, hook=12 * INCH
    )
    assert case_from_document(metric()).field == Field(
        tape_mark=12 * MM, control=3000 * MM, closing=3600 * MM, hook=300 * MM
    )


def test_the_sheet_is_read():
    keys = {"tape_mark": "5/8", "control": "8 ft", "closing": 120, "hook": 0}
    field = case_from_document(minimal(field=keys)).field
    assert field == Field(INCH * 5 // 8, 8 * FOOT, 10 * FOOT, 0)


def test_a_tape_hooks_the_leg_laid_before_the_seam():
    panel = {"cover": 18, "seam_half": 1, "seam_back": "3/4"}
    assert case_from_document(minimal(panel=panel)).field.tape_mark == INCH * 3 // 4


def test_no_control_line_is_nearer_than_a_cover_by_default():
    case = case_from_document(minimal(panel={"cover": [18, "12 ft"]}))
    assert [one.field.control for one in case.covers] == [10 * FOOT, 12 * FOOT]


@pytest.mark.parametrize(
    ("keys", "key", "got", "mend"),
    [
        ({"tape_mark": -1}, "tape_mark", "-1", "cannot be negative"),
        ({"tape_mark": 18}, "tape_mark", "18", 'below the cover of 18"'),
        ({"control": "17 63/64"}, "control", '"17 63/64"', 'at least the cover of 18"'),
        ({"control": 0}, "control", "0", "more than 0"),
        ({"closing": 0}, "closing", "0", "more than 0"),
        ({"hook": "tall"}, "hook", '"tall"', "write a number"),
        ({"hook": None}, "hook", "null", "write a number"),
        ({"hooks": 3}, "hooks", "3", 'nearest known one is "hook"'),
    ],
)
def test_sheets_that_cannot_be(keys, key, got, mend):
    told(the_problem(minimal(field=keys)), "field", key, got, mend)


def test_limits_of_the_sheet_are_allowed():
    assert case_from_document(minimal(field={"control": 18, "tape_mark": "17 63/64"}))


# [movement]


def test_without_a_table_nothing_moves():
    assert case_from_document(minimal()).movement is None


@pytest.mark.parametrize(
    ("keys", "warmer", "colder", "fixed"),
    [
        ({"warmer": 60, "colder": 35}, "60", "35", "top"),
        ({"warmer": "60 K", "colder": 0}, "60", "0", "top"),
        ({"warmer": 60.5, "colder": "35.25 c"}, "60.5", "35.25", "top"),
        ({"range": 95}, "47.5", "47.5", "top"),
        ({"range": "180 F"}, "50", "50", "top"),
        ({"range": "200 F"}, "55.555556", "55.555556", "top"),
        ({"warmer": "9 F", "colder": "200 °F"}, "5", "111.111111", "top"),
        ({"warmer": "100 degrees F", "colder": "1F"}, "55.555556", "0.555556", "top"),
        ({"surface": "insulated dark"}, "47.5", "47.5", "top"),
        ({"surface": "uninsulated light", "fixed": "middle"}, "30", "30", "middle"),
        ({"range": 300, "fixed": "bottom"}, "150", "150", "bottom"),
        ({"range": 2, "fixed": 200}, "1", "1", 200 * INCH),
        ({"range": 2, "fixed": 0}, "1", "1", 0),
    ],
)
def test_movement_is_read(keys, warmer, colder, fixed):
    assert movement(**keys) == Movement(Decimal(warmer), Decimal(colder), fixed, given=True)


def test_fahrenheit_degrees_are_exact_to_a_millionth():
    for tenths in range(0, 5400, 7):
        read = movement(warmer=f"{tenths / 10} F", colder=1).warmer
        assert abs(Fraction(read) - Fraction(tenths, 10) * 5 / 9) <= Fraction(1, 2 * 10**6)
        assert -read.as_tuple().exponent <= 6


@pytest.mark.parametrize(
    ("keys", "key", "got", "mend"),
    [
        ({}, "", "", "give warmer and colder or range"),
        ({"fixed": "top"}, "", "", "it says no temperatures"),
        ({"warmer": 60}, "warmer", "60", "give colder as well"),
        ({"colder": 60}, "colder", "60", "give warmer as well"),
        ({"range": 60, "colder": 3}, "range", "60", "either range or warmer and colder (colder"),
        ({"range": 60, "surface": "insulated dark"}, "surface", '"insulated dark"',
         "either surface or numbers (range here)"),
        ({"surface": "black"}, "surface", '"black"', 'write "insulated light", "insulated dark"'),
        ({"surface": None}, "surface", "null", 'write "insulated light"'),
        ({"range": 0}, "range", "0", "write by how much it does"),
        ({"warmer": "0 F", "colder": 0}, "warmer", '"0 F"', "write by how much it does"),
        ({"range": -1}, "range", "-1", "cannot be negative"),
        ({"range": "-40 F"}, "range", '"-40 F"', "write a difference in kelvin"),
        ({"range": "40 R"}, "range", '"40 R"', "write a difference in kelvin"),
        ({"range": True}, "range", "true", "write a difference in kelvin"),
        ({"range": 300.1}, "range", "300.1", "at most 300 kelvin"),
        ({"range": "541 F"}, "range", '"541 F"', "at most 300 kelvin"),
        ({"range": float("nan")}, "range", "nan", "finite"),
        ({"range": 9, "fixed": "side"}, "fixed", '"side"', 'write "top", "bottom" or "middle"'),
        ({"range": 9, "fixed": -1}, "fixed", "-1", "cannot be negative"),
        ({"range": 9, "fixed": "200 1/64"}, "fixed", '"200 1/64"',
         'beyond the slope of plane S, 200"'),
        ({"range": 9, "warm": 3}, "warm", "3", 'nearest known one is "warmer"'),
    ],
)  # fmt: skip
def test_movement_that_cannot_be(keys, key, got, mend):
    told(the_problem(minimal(movement=keys)), "movement", key, got, mend)


def test_a_bad_number_is_not_told_as_a_missing_one():
    told(the_problem(minimal(movement={"warmer": "hot", "colder": 3})), "movement", "warmer",
         '"hot"', "write a difference")  # fmt: skip


def test_planes_that_a_fixed_height_is_beyond_are_named():
    planes = [{"id": f"P{n}", "width": 240, "length": 100 + n} for n in range(9)]
    found = the_problem(minimal(plane=planes, movement={"range": 9, "fixed": 107}))
    assert 'plane P0, 100", plane P1, 101"' in found.want and "2 more" in found.want
    assert "P7" not in found.want


# [[penetration]]


def test_what_a_pipe_and_a_curb_stand_like_is_read():
    keys = {"height": "2 ft", "before": True, "allows": "1/2"}
    case = case_from_document(minimal(penetration=[pipe(**keys), curb(before=False, allows=0)]))
    assert [(p.height, p.before, p.allows) for p in case.penetrations] == [
        (2 * FOOT, True, INCH // 2), (None, False, 0),
    ]  # fmt: skip
    bare = case_from_document(minimal(penetration=[pipe()])).penetrations[0]
    assert (bare.height, bare.before, bare.allows) == (None, None, None)


@pytest.mark.parametrize(
    ("key", "value", "got", "mend"),
    [
        ("height", -1, "-1", "cannot be negative"),
        ("height", "tall", '"tall"', "write a number"),
        ("before", "yes", '"yes"', "true or false"),
        ("before", None, "null", "true or false"),
        ("allows", -1, "-1", "cannot be negative"),
        ("allows", None, "null", "write a number"),
    ],
)
def test_pipes_that_cannot_stand_so(key, value, got, mend):
    found = the_problem(minimal(penetration=[pipe(**{key: value})]))
    told(found, "penetration V1", key, got, mend)


def test_a_spreadsheet_has_the_same_columns(tmp_path):
    (tmp_path / "p.csv").write_text(
        "id,plane,kind,x,y,outside,height,before,allows\nV1,S,pipe,100,100,4,24,yes,1/2\n"
        "V2,S,pipe,50,100,4,,,\n"
    )
    (tmp_path / "case.toml").write_text(
        'title = "t"\nunits = "in"\npenetrations_csv = "p.csv"\n[panel]\ncover = 18\n'
        '[[plane]]\nid = "S"\nwidth = 240\nlength = 200\n[plane.survey]\nbase = "10 ft"\n'
        'offsets = [{ y = 0, low = 1, high = 2 }, { y = "1 ft", low = 1, high = 2 }]\n'
    )
    case = load_case(tmp_path / "case.toml")
    one, two = case.penetrations
    assert (one.height, one.before, one.allows) == (24 * INCH, True, INCH // 2)
    assert (two.height, two.before, two.allows) == (None, None, None)
    assert case.planes[0].survey.offsets[1].y == FOOT


# [plane.survey]


def survey(document):
    return case_from_document(document).planes[0].survey


def test_a_plane_without_survey_has_none():
    assert survey(minimal()) is None


def test_sides_and_diagonals_are_read():
    assert survey(surveyed(SIDES)) == Survey(
        eave=240 * INCH, ridge=240 * INCH, low_rake=200 * INCH, high_rake=200 * INCH,
        up=INCH * 625 // 2,
    )  # fmt: skip
    rest = {key: value for key, value in SIDES.items() if key != "up"}
    both = survey(surveyed({**SIDES, "down": 312, "run": "square"}))
    assert (both.up, both.down, both.run) == (INCH * 625 // 2, 312 * INCH, "square")
    assert survey(surveyed({**rest, "down": 312})).up is None


def test_offsets_are_read():
    found = survey(surveyed({"base": 0, "offsets": [*OFFSETS, {"y": 200, "high": 139}]}))
    assert found == Survey(
        base=0,
        offsets=(
            Offset(0, 100 * INCH, 140 * INCH),
            Offset(190 * INCH, 101 * INCH, 139 * INCH + INCH // 2),
            Offset(200 * INCH, None, 139 * INCH),
        ),
    )


def test_seams_may_be_fanned_within_play():
    assert survey(surveyed({**SIDES, "run": "fan"}, {"play": "1/16"})).run == "fan"


def test_lengths_of_a_survey_are_on_the_slope():
    """12:12 in plan: 200 in come to 282.84 on the slope, so an offset at 280 is on it."""
    rows = [{**OFFSETS[0]}, {**OFFSETS[1], "y": 280}]
    found = survey(surveyed({"base": 1, "offsets": rows}, in_plan=True, pitch="12:12"))
    assert found.offsets[1].y == 280 * INCH
    rows[1]["y"] = 283
    problem = the_problem(surveyed({"base": 1, "offsets": rows}, in_plan=True, pitch="12:12"))
    assert "on the slope, 282.8" in problem.want


@pytest.mark.parametrize(
    ("keys", "key", "got", "mend"),
    [
        ({}, "", "", "give eave, ridge, low_rake, high_rake and a diagonal (up or down) as well"),
        ({key: SIDES[key] for key in ("eave", "ridge", "low_rake", "high_rake")}, "", "",
         "give a diagonal (up or down) as well"),
        ({key: SIDES[key] for key in ("eave", "ridge", "low_rake", "up")}, "", "",
         "give high_rake as well"),
        ({**SIDES, "eave": -240}, "eave", "-240", "more than 0"),
        ({**SIDES, "up": 0}, "up", "0", "more than 0"),
        ({**SIDES, "up": "long"}, "up", '"long"', "write a number"),
        ({**SIDES, "left": 3}, "left", "3", "no such key"),
        ({**SIDES, "run": "level"}, "run", '"level"', 'write "square", "fan" or "as-drawn"'),
        ({**SIDES, "run": "fan"}, "run", '"fan"', "there is none; give play in [rules]"),
        ({**SIDES, "base": 3}, "base", "3", "give offsets from it as well"),
        ({"base": 3}, "base", "3", "give offsets from it as well"),
        ({"offsets": OFFSETS}, "base", "", "give base as well"),
        ({"base": 241, "offsets": OFFSETS}, "base", "241", 'from 0 to its width, 240"'),
        ({"base": -1, "offsets": OFFSETS}, "base", "-1", "cannot be negative"),
        ({"base": 1, "offsets": [OFFSETS[0], {"y": 9, "low": 1}]}, "offsets", "a list",
         "two or more give high"),
        ({"base": 1, "offsets": [OFFSETS[0], {"y": 9, "high": 1}]}, "offsets", "a list",
         "two or more give low"),
        ({"base": 1, "offsets": [*OFFSETS, {"y": 3, "low": -1}]}, "low", "-1",
         "cannot be negative"),
        ({"base": 1, "offsets": 3}, "offsets", "3", "write a list of readings"),
    ],
)  # fmt: skip
def test_surveys_that_cannot_be(keys, key, got, mend):
    found = the_problem(surveyed(keys))
    where = "plane S, survey"
    if key == "low":
        where = "the 3rd offset of plane S, survey"
    told(found, where, key, got, mend)


@pytest.mark.parametrize(
    ("row", "key", "got", "mend"),
    [
        ({"y": -1, "low": 3}, "y", "-1", 'y goes from 0 to its length, 200"'),
        ({"y": "200 1/64", "low": 3}, "y", '"200 1/64"', "it is off plane S"),
        ({"y": 3}, "low", "", "give low, high or both"),
        ({"low": 3}, "y", "", "required and not given"),
        ({"y": 3, "low": 3, "x": 3}, "x", "3", "no such key"),
        (7, "", "7", "write a reading such as"),
    ],
)
def test_offsets_that_cannot_be(row, key, got, mend):
    found = the_problem(surveyed({"base": 1, "offsets": [*OFFSETS, row]}))
    told(found, "the 3rd offset of plane S, survey", key, got, mend)


def test_offsets_at_one_height_make_no_rake():
    rows = [OFFSETS[0], OFFSETS[0]]
    found = problems(surveyed({"base": 1, "offsets": rows}))
    assert [("same y" in one.want, one.key) for one in found] == [(True, "offsets")] * 2


def test_too_many_offsets_are_not_read():
    rows = [{"y": n / 2, "low": 1, "high": 1} for n in range(201)]
    assert survey(surveyed({"base": 1, "offsets": rows[:200]}))
    assert "at most 200" in the_problem(surveyed({"base": 1, "offsets": rows})).want


def test_a_plane_with_an_outline_has_no_survey():
    points = [{"x": 0, "y": 0}, {"x": 240, "y": 0}, {"x": 240, "y": 200}, {"x": 0, "y": 200}]
    plane = {"id": "S", "outline": points, "survey": SIDES}
    told(the_problem(minimal(plane=[plane])), "plane S, survey", "", "", "leave out the survey")


def test_something_else_than_a_table_is_no_survey():
    told(the_problem(surveyed([SIDES])), "plane S", "survey", "a list", "[plane.survey]")
    told(the_problem(surveyed(None)), "plane S", "survey", "null", "[plane.survey]")


def test_all_problems_are_told_at_once_in_the_order_of_the_file():
    document = surveyed({**SIDES, "eave": -1, "run": "fan", "offsets": [{"y": 300, "low": 1}]})
    document |= {"field": {"hook": -1}, "movement": {"warmer": "x"}}
    document["penetration"] = [pipe(allows=-1)]
    found = [(one.where, one.key) for one in problems(document)]
    assert found == [
        ("plane S, survey", "base"), ("plane S, survey", "eave"), ("plane S, survey", "run"),
        ("plane S, survey", "offsets"), ("plane S, survey", "offsets"),
        ("the 1st offset of plane S, survey", "y"),
        ("field", "hook"),
        ("movement", "warmer"), ("movement", "warmer"),
        ("penetration V1", "allows"),
    ]  # fmt: skip


WHOLE = {
    "title": "t", "units": "in", "panel": {"cover": 18}, "rules": {"play": "1/16"},
    "field": {"tape_mark": "1/2", "control": "10 ft", "closing": "12 ft", "hook": 12},
    "movement": {"warmer": 60, "colder": "35 F", "fixed": "top"},
    "plane": [
        {"id": "S", "width": 240, "length": 200, "survey": {**SIDES, "run": "fan"}},
        {"id": "N", "width": 240, "length": 200, "survey": {"base": 100, "offsets": OFFSETS}},
    ],
    "penetration": [pipe(height=24, before=True, allows="1/2"), curb(allows=1)],
}  # fmt: skip
ODD = [None, True, -1, 0, 10**400, 1e308, float("nan"), float("-inf"), "", "x", "-3 ft", "1/0",
       [], [[]], {}, {"": {}}, "\x00\u202e", "9" * 400, "60 F", [1, "a"], {"y": 1},
       Decimal("NaN"), Decimal("1e-999999"), "top", "1 km", 1.5, [{"y": 1}, 3]]  # fmt: skip


def _places(value, path=()):
    yield path
    items = value.items() if isinstance(value, dict) else (
        enumerate(value) if isinstance(value, list) else ()
    )
    for key, inner in items:
        yield from _places(inner, (*path, key))


def _put(value, path, new):
    if not path:
        return new
    copy = dict(value) if isinstance(value, dict) else list(value)
    copy[path[0]] = _put(copy[path[0]], path[1:], new)
    return copy


def test_odd_documents_are_told_and_never_raise_anything_else():
    assert case_from_document(WHOLE).planes[1].survey.base == 100 * INCH
    draw = random.Random(6)
    places = [path for path in _places(WHOLE) if path and path[0] not in ("title", "units")]
    refused = 0
    for _ in range(400):
        document = WHOLE
        for _ in range(draw.randint(1, 3)):
            path = draw.choice(places)
            try:
                document = _put(document, path, draw.choice(ODD))
            except (KeyError, IndexError, TypeError):
                continue  # an earlier change took the place away
        try:
            case_from_document(document)
        except CaseError as error:
            refused += 1
            assert all(problem.want for problem in error.problems)
    assert refused > 200
