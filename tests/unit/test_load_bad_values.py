"""Bad input: missing and unknown keys, wrong types, values that no roof has."""

from decimal import Decimal

import pytest
from bad_documents import curb, minimal, pipe, problems, the_problem, told


@pytest.mark.parametrize("key", ["title", "units", "panel", "plane"])
def test_what_is_required_of_a_case(key):
    document = minimal()
    del document[key]
    want_key = "cover" if key == "panel" else key
    found = [problem for problem in problems(document) if problem.key == want_key]
    assert len(found) == 1
    assert found[0].got == ""


@pytest.mark.parametrize("planes", [[], ()])
def test_no_plane_at_all(planes):
    told(the_problem(minimal(plane=planes)), "", "plane", "", "at least one roof plane")


@pytest.mark.parametrize("key", ["id", "plane", "kind", "x", "y", "outside"])
def test_what_is_required_of_a_pipe(key):
    document = pipe()
    del document[key]
    where = "the 1st penetration" if key == "id" else "penetration V1"
    told(the_problem(minimal(penetration=[document])), where, key, "", "required and not given")


@pytest.mark.parametrize("key", ["across", "along"])
def test_what_is_required_of_a_curb(key):
    document = curb()
    del document[key]
    told(the_problem(minimal(penetration=[document])), "penetration C1", key, "", "required")


def test_unknown_keys_name_the_nearest_known_one():
    document = minimal(
        titel="x",
        panel={"cover": 18, "seam_halve": 1},
        rules={"min_ends": 6},
        moves={"steps": 1},
        rates={"on_seem": {"hours": 1}, "tight": {"hour": 1}},
        plane=[{"id": "S", "width": 240, "length": 200, "lays": "x", "keepout": [
            {"from": 1, "to": 2, "wat": "beam"}]}],
        link=[],
        penetration=[pipe(outsid=4, reech=1), curb(accross=1)],
    )  # fmt: skip
    expected = {
        ("", "titel"): "title", ("panel", "seam_halve"): "seam_half",
        ("rules", "min_ends"): "min_end", ("moves", "steps"): "step",
        ("rates", "on_seem"): "on_seam", ("rates", "tight.hour"): "hours",
        ("plane S", "lays"): "lay", ("the 1st keep-out of plane S", "wat"): "what",
        ("penetration V1", "outsid"): "outside", ("penetration V1", "reech"): "reach",
        ("penetration C1", "accross"): "across",
    }  # fmt: skip
    found = {(p.where, p.key): p.want for p in problems(document)}
    assert set(found) == set(expected)
    for key, nearest in expected.items():
        assert f'nearest known one is "{nearest}"' in found[key]


def test_an_unknown_key_near_to_none_lists_the_known():
    problem = the_problem(minimal(panel={"cover": 18, "zzz": 1}))
    told(problem, "panel", "zzz", "1", "known are cover, seam_half")


@pytest.mark.parametrize("key", ["outside", "base", "turned"])
def test_a_pipes_keys_on_a_curb(key):
    value = True if key == "turned" else 9
    problem = the_problem(minimal(penetration=[curb(**{key: value})]))
    told(problem, "penetration C1", key, "true" if key == "turned" else "9", "across and along")


@pytest.mark.parametrize("key", ["across", "along"])
def test_a_curbs_keys_on_a_pipe(key):
    told(the_problem(minimal(penetration=[pipe(**{key: 9})])), "penetration V1", key, "9",
         "a pipe has no such key")  # fmt: skip


@pytest.mark.parametrize(
    ("tables", "where", "key", "got", "mend"),
    [
        ({"title": 5}, "", "title", "5", "text in quotes"),
        ({"title": ""}, "", "title", '""', "not empty"),
        ({"title": "a\nb"}, "", "title", '"a\\nb"', "line breaks"),
        ({"title": "a\ud800"}, "", "title", '"a\\ud800"', "control characters"),
        ({"title": "x" * 300}, "", "title", '"' + "x" * 59 + '…"', "at most 200"),
        ({"units": "cm"}, "", "units", '"cm"', '"in" or "mm"'),
        ({"units": None}, "", "units", "null", '"in" or "mm"'),
        ({"setting": "old"}, "", "setting", '"old"', '"new" or "reroof"'),
        ({"mark": True}, "", "mark", "true", "write a number"),
        ({"mark": []}, "", "mark", "[]", "write a number"),
        ({"mark": None}, "", "mark", "null", "write a number"),
        ({"penetrations_csv": 1}, "", "penetrations_csv", "1", "text in quotes"),
        ({"panel": 5}, "", "panel", "5", "[panel]"),
        ({"rules": []}, "", "rules", "[]", "[rules]"),
        ({"plane": {"id": "S"}}, "", "plane", "a table", "double brackets"),
        ({"link": "S"}, "", "link", '"S"', "[[link]]"),
        ({"penetration": 1}, "", "penetration", "1", "[[penetration]]"),
        ({"rules": {"forbid": "tight"}}, "rules", "forbid", '"tight"', "list"),
        ({"rules": {"forbid": ["leaky"]}}, "rules", "forbid", '["leaky"]',
         '"tight", "crosses", "on-seam", "crowded", "spans"'),
        ({"rules": {"forbid": ["clear"]}}, "rules", "forbid", '["clear"]', '"tight"'),
        ({"rules": {"forbid": [["tight"]]}}, "rules", "forbid", "a list", '"tight"'),
        ({"rules": {"odd_panels": 1.0}}, "rules", "odd_panels", "1.0", "whole number"),
        ({"rules": {"odd_panels": True}}, "rules", "odd_panels", "true", "whole number"),
        ({"rules": {"odd_panels": -1}}, "rules", "odd_panels", "-1", "0 or more"),
        ({"rates": {"tight": 5}}, "rates", "tight", "5", "{ hours = 4, material = 110 }"),
        ({"rates": {"tight": None}}, "rates", "tight", "null", "{ hours = 4, material = 110 }"),
        ({"rates": {"crew_hour": "95"}}, "rates", "crew_hour", '"95"', "without quotes"),
        ({"rates": {"crew_hour": True}}, "rates", "crew_hour", "true", "without quotes"),
    ],
)  # fmt: skip
def test_wrong_types_in_plain_words(tables, where, key, got, mend):
    problem = the_problem(minimal(**tables))
    told(problem, where, key, got, mend)
    assert "Input should" not in problem.sentence()


@pytest.mark.parametrize(
    ("key", "value", "got", "mend"),
    [
        ("id", 5, "5", "text in quotes"),
        ("id", "", '""', "not empty"),
        ("id", "  ", '"  "', "not empty"),
        ("id", " V1", '" V1"', "without spaces"),
        ("id", "a\x1b[31m", '"a\\x1b[31m"', "control characters"),
        ("id", "x" * 81, '"' + "x" * 59 + '…"', "at most 80"),
        ("kind", "vent", '"vent"', '"pipe" or "curb"'),
        ("kind", 1, "1", '"pipe" or "curb"'),
        ("kind", ["pipe"], '["pipe"]', '"pipe" or "curb"'),
        ("status", "Planned", '"Planned"', '"planned"'),
        ("turned", "yes", '"yes"', "true or false"),
        ("turned", 1, "1", "true or false"),
        ("hold", "", '""', "not empty"),
        ("reach", -1, "-1", "0 or more"),
        ("base", 0, "0", "more than 0"),
        ("outside", 0, "0", "more than 0"),
        ("outside", Decimal("-3.5"), "-3.5", "more than 0"),
        ("forbid", ["none"], '["none"]', "can be forbidden"),
        ("x", "11 1/0", '"11 1/0"', "0 below the line"),
        ("x", "1e999", '"1e999"', "write a number"),
        ("x", Decimal("1e999"), "1E+999", "1 km"),
        ("x", float("nan"), "nan", "finite"),
        ("x", float("inf"), "inf", "finite"),
        ("x", Decimal("-Infinity"), "-infinity", "finite"),
        pytest.param("x", 10**6000, "a huge whole number", "1 km", id="huge"),
        ("x", "1001 m", '"1001 m"', "1 km"),
        ("x", "ten feet", '"ten feet"', "28' 11 1/2"),
        ("x", True, "true", "write a number"),
    ],
)
def test_wrong_values_of_a_pipe(key, value, got, mend):
    problem = the_problem(minimal(penetration=[pipe(**{key: value})]))
    readable = key != "id" or (isinstance(value, str) and value.strip())
    assert problem.where.startswith("penetration " if readable else "the 1st penetration")
    told(problem, problem.where, key, got, mend)
    assert problem.sentence().isprintable()


@pytest.mark.parametrize("value", [0, -3, "-1/2", "0 mm"])
@pytest.mark.parametrize(
    ("table", "key"),
    [("", "mark"), ("panel", "cover"), ("moves", "step"), ("rules", "odd_min"),
     ("rules", "play_mark")],
)
def test_sizes_are_more_than_0(table, key, value):
    document = minimal()
    (document.setdefault(table, {}) if table else document)[key] = value
    (problem,) = [problem for problem in problems(document) if problem.key == key]
    assert problem.where == table
    assert problem.got in (str(value), f'"{value}"')
    assert "more than 0" in problem.want


@pytest.mark.parametrize("key", ["width", "length"])
@pytest.mark.parametrize("value", [0, -3])
def test_planes_have_a_size(key, value):
    plane = {"id": "S", "width": 240, "length": 200, key: value}
    told(the_problem(minimal(plane=[plane])), "plane S", key, str(value), "more than 0")


@pytest.mark.parametrize("key", ["across", "along"])
def test_curbs_have_a_size(key):
    told(the_problem(minimal(penetration=[curb(**{key: 0})])), "penetration C1", key, "0",
         "more than 0")  # fmt: skip


@pytest.mark.parametrize(
    ("table", "key"),
    [("rules", key) for key in ("min_end", "work_gap", "hole_gap", "seamer_gap", "end_lap",
                                "curb_side", "edge_gap", "spacing", "flange", "enough",
                                "uneven_free", "meet_tol", "play")]
    + [("moves", "reach"), ("moves", "min_offset"), ("panel", "seam_half"),
       ("panel", "seam_back"), ("panel", "seam_fwd")],
)  # fmt: skip
def test_gaps_are_not_negative(table, key):
    document = minimal()
    document.setdefault(table, {})[key] = -1
    told(the_problem(document), table, key, "-1", "0 or more")


@pytest.mark.parametrize(
    ("value", "got", "mend"),
    [
        (-1, "-1", "cannot be negative"),
        (Decimal("-0.01"), "-0.01", "cannot be negative"),
        (float("nan"), "nan", "finite"),
        (Decimal("Infinity"), "infinity", "finite"),
        (Decimal("sNaN"), "snan", "finite"),
        (2 * 10**9, "2000000000", "1,000,000,000"),
        (Decimal("1e999"), "1E+999", "1,000,000,000"),
        (-(10**5000), "a huge whole number", "cannot be negative"),
        (Decimal("0." + "3" * 31), "0." + "3" * 31, "30 digits"),
    ],
    ids=lambda value: "" if isinstance(value, int) else None,
)
def test_rates_are_usable_numbers(value, got, mend):
    told(the_problem(minimal(rates={"plumber_hour": value})), "rates", "plumber_hour", got, mend)
    rates = {"seam_cut": {"material": value}}
    told(the_problem(minimal(rates=rates)), "rates", "seam_cut.material", got, mend)
