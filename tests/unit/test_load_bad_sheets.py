"""Bad input: grid lines, fittings, joins, tolerances, and the texts that sheets show."""

import datetime
from decimal import Decimal

import pytest
from bad_documents import curb, minimal, pipe, problems, the_problem, told

from solver.case_file.load import case_from_document

TWO_PLANES = [{"id": name, "width": 240, "length": 200} for name in ("S", "N")]
PIPES = [pipe(), pipe(id="V2", x=150), pipe(id="V3", plane="N"), curb(plane="N")]


def line(**keys):
    return {"plane": "S", "id": "4", "x": 60, **keys}


def join(**keys):
    return {"id": "J", "penetrations": ["V1", "V2"], "keeps": "V1", "hours": 1, **keys}


def joined(*joins):
    return minimal(plane=TWO_PLANES, penetration=PIPES, join=list(joins))


@pytest.mark.parametrize(
    ("keys", "where", "key", "got", "mend"),
    [
        ({"plane": "T"}, "gridline 4 of plane T", "plane", '"T"', "no such plane; known are S"),
        ({"x": 241}, "gridline 4 of plane S", "x", "241", 'off plane S; x goes from 0 to its'),
        ({"x": "-1/64"}, "gridline 4 of plane S", "x", '"-1/64"', "off plane S"),
        ({"id": 4}, "the 1st gridline", "id", "4", "text in quotes"),
        ({"y": 4}, "gridline 4 of plane S", "y", "4", "no such key; known are plane, id, x"),
        ({"x": None}, "gridline 4 of plane S", "x", "null", "write a number"),
    ],
)  # fmt: skip
def test_gridlines(keys, where, key, got, mend):
    told(the_problem(minimal(gridline=[line(**keys)])), where, key, got, mend)


@pytest.mark.parametrize("key", ["plane", "id", "x"])
def test_what_is_required_of_a_gridline(key):
    keys = line()
    del keys[key]
    where = {"plane": "gridline 4", "id": "the 1st gridline", "x": "gridline 4 of plane S"}[key]
    told(the_problem(minimal(gridline=[keys])), where, key, "", "required and not given")


def test_a_gridline_is_unique_on_its_plane_only():
    case = case_from_document(
        minimal(plane=TWO_PLANES, gridline=[line(), line(plane="N"), line(id="5", x=0)])
    )
    assert len(case.gridlines) == 3
    problem = the_problem(minimal(plane=TWO_PLANES, gridline=[
        line(), line(plane="N"), line(x=90)]))  # fmt: skip
    told(problem, "gridline 4 of plane S", "id", '"4"', "1st gridline and the 3rd gridline")


@pytest.mark.parametrize(
    ("fittings", "where", "key", "got", "mend"),
    [
        (5, "", "fittings", "5", '[fittings."3"]'),
        ([], "", "fittings", "[]", '[fittings."3"]'),
        ({"3": {}}, "fittings 3", "", "", "at least one of bend_22, bend_45 and bend_60"),
        ({"3": {"bend_45": 2, "bend_30": 2}}, "fittings 3", "bend_30", "2",
         'nearest known one is "bend_'),
        ({"3": {"bend_45": 0}}, "fittings 3", "bend_45", "0", "more than 0"),
        ({"3": {"bend_22": -1}}, "fittings 3", "bend_22", "-1", "more than 0"),
        ({"3": {"bend_22": None}}, "fittings 3", "bend_22", "null", "write a number"),
        ({"3": 2}, "fittings 3", "", "2", "{ bend_45 = 2.25 }"),
        ({"": {"bend_45": 2}}, "the 1st of the fittings", "", '""', "names a nominal size"),
        ({" 3": {"bend_45": 2}}, "fittings  3", "", '" 3"', "without spaces"),
        ({"1": {"5": {"bend_45": 2}}}, "fittings 1", "5", "a table", '[fittings."1.5"]'),
        ({3: {"bend_45": 2}}, "the 1st of the fittings", "", "3", "text in quotes"),
    ],
)  # fmt: skip
def test_fittings(fittings, where, key, got, mend):
    told(the_problem(minimal(fittings=fittings)), where, key, got, mend)


@pytest.mark.parametrize(
    ("keys", "key", "got", "mends"),
    [
        ({"penetrations": ["V1"]}, "penetrations", '["V1"]', ["two or more"]),
        ({"penetrations": ["V1", "V9"]}, "penetrations", '["V1", "V9"]',
         ['no penetration "V9"; known are V1, V2, V3, C1']),
        ({"penetrations": ["V1", "V2", "V1"]}, "penetrations", '["V1", "V2", "V1"]',
         ['"V1" is named more than once']),
        ({"penetrations": ["V1", "V3"]}, "penetrations", '["V1", "V3"]',
         ["they stand on planes S and N"]),
        ({"penetrations": "V1 V2"}, "penetrations", '"V1 V2"', ['["V1", "V2"]']),
        ({"penetrations": ["V1", 2]}, "penetrations", '["V1", 2]', ["text in quotes"]),
        ({"keeps": "V3"}, "keeps", '"V3"', ["none of its own penetrations (V1, V2)"]),
        ({"keeps": 1}, "keeps", "1", ["text in quotes"]),
        ({"curb": {"x": 9, "y": 9, "across": 9, "along": 9}}, "keeps", '"V1"', ["not both"]),
        ({"curb": None}, "curb", "null", ["a table of x, y, across and along"]),
        ({"curb": 3}, "curb", "3", ["write a table such as { x = 640"]),
        ({"curb": {"x": 9, "y": 9, "across": 0, "along": 9}}, "curb.across", "0", ["more than 0"]),
        ({"curb": {"x": 9, "y": 9, "across": 9}}, "curb.along", "",
         ["required and not given: length up the slope"]),
        ({"curb": {"x": 9, "y": 9, "across": 9, "along": 9, "wide": 3}}, "curb.wide", "3",
         ["no such key; known are x, y, across, along"]),
        ({"hours": -1}, "hours", "-1", ["cannot be negative"]),
        ({"material": "310"}, "material", '"310"', ["without quotes"]),
        ({"cost": 3}, "cost", "3", ["no such key"]),
    ],
)  # fmt: skip
def test_joins(keys, key, got, mends):
    told(the_problem(joined(join(**keys))), "join J", key, got, *mends)


def test_a_join_needs_its_price_and_what_stands():
    bare = {"id": "J", "penetrations": ["V1", "V2"]}
    found = problems(joined(bare))
    assert [problem.key for problem in found] == ["hours", "keeps"]
    assert "give hours, material or both" in found[0].want
    assert "give keeps" in found[1].want
    assert case_from_document(joined({**bare, "keeps": "V2", "material": 0})).joins


@pytest.mark.parametrize("key", ["id", "penetrations"])
def test_what_is_required_of_a_join(key):
    keys = join()
    del keys[key]
    where = "the 1st join" if key == "id" else "join J"
    told(the_problem(joined(keys)), where, key, "", "required")


@pytest.mark.parametrize(
    ("place", "key", "got", "mend"),
    [({"x": 241}, "curb.x", "241", 'to its width, 240"'),
     ({"y": "200 1/64"}, "curb.y", '"200 1/64"', 'to its length, 200"')],
)  # fmt: skip
def test_a_joins_curb_is_on_the_plane(place, key, got, mend):
    stands = {"x": 100, "y": 100, "across": 9, "along": 9, **place}
    keys = join(curb=stands)
    del keys["keeps"]
    told(the_problem(joined(keys)), "join J", key, got, "off plane S", mend)


def test_a_penetration_is_in_one_join():
    found = problems(joined(join(), join(id="K", penetrations=["V2", "V1"])))
    assert [(problem.where, problem.key) for problem in found] == [("join K", "penetrations")] * 2
    assert '"V2" is in join J already' in found[0].want
    assert '"V1" is in join J already' in found[1].want
    told(the_problem(joined(join(), join(penetrations=["V3", "C1"], keeps="C1"))), "join J", "id",
         '"J"', "the 1st join and the 2nd join have this id")  # fmt: skip


def test_a_spreadsheet_that_cannot_be_read_is_told_once(tmp_path):
    document = joined(join(penetrations=["V1", "W1"])) | {
        "penetrations_csv": "none.csv", "freeze": {"move": {"W1": 2}}}  # fmt: skip
    with pytest.raises(ValueError) as caught:
        case_from_document(document, beside=tmp_path)
    assert [problem.key for problem in caught.value.problems] == ["penetrations_csv"]
    (tmp_path / "none.csv").write_text("id,plane,kind,x,y,outside\nW1,S,pipe,1,2,3,4\n")
    with pytest.raises(ValueError) as caught:
        case_from_document(document, beside=tmp_path)
    assert ["7 cells" in problem.want for problem in caught.value.problems] == [True]


@pytest.mark.parametrize("key", ["nominal", "use", "headroom"])
def test_a_pipes_new_keys_on_a_curb(key):
    told(the_problem(minimal(penetration=[curb(**{key: "9"})])), "penetration C1", key, '"9"',
         "a curb has no such key")  # fmt: skip


@pytest.mark.parametrize(
    ("key", "value", "got", "mend"),
    [
        ("nominal", "", '""', "not empty"),
        ("nominal", " 3", '" 3"', "without spaces"),
        ("nominal", 0, "0", "more than 0"),
        ("nominal", -3, "-3", "more than 0"),
        ("nominal", True, "true", "text in quotes"),
        ("nominal", [3], "[3]", "text in quotes"),
        ("nominal", float("nan"), "nan", "short text"),
        ("nominal", Decimal("sNaN"), "snan", "short text"),
        ("nominal", Decimal("0." + "3" * 30), "0." + "3" * 30, "short text"),
        pytest.param("nominal", 10**5000, "a huge whole number", "short text", id="huge"),
        ("use", 3, "3", "text in quotes"),
        ("headroom", -1, "-1", "0 or more"),
        ("x_tol", -1, "-1", "0 or more"),
    ],
)
def test_wrong_values_of_a_pipe(key, value, got, mend):
    told(the_problem(minimal(penetration=[pipe(**{key: value})])), "penetration V1", key, got, mend)


@pytest.mark.parametrize(
    ("table", "key", "value", "got", "mend"),
    [
        ("rules", "cover_tol", -1, "-1", "0 or more"),
        ("rules", "width_tol", "-1/2", '"-1/2"', "0 or more"),
        ("rules", "x_tol", -1, "-1", "0 or more"),
        ("rules", "remeasure", 0, "0", "from 1 to 100,000"),
        ("rules", "remeasure", 100_001, "100001", "from 1 to 100,000"),
        ("rules", "remeasure", 2.0, "2.0", "whole number"),
        ("rules", "remeasure", True, "true", "whole number"),
        ("rules", "robust", "true", '"true"', "without quotes"),
        ("", "revision", True, "true", "text in quotes"),
        ("", "revision", "a\nb", '"a\\nb"', "line breaks"),
        ("", "date", 20310402, "20310402", "text in quotes"),
        ("", "date", datetime.datetime(2031, 4, 2, 7), "2031-04-02 07:00:00", "text in quotes"),
    ],
)
def test_wrong_values_of_the_case(table, key, value, got, mend):
    document = minimal(**({table: {key: value}} if table else {key: value}))
    told(the_problem(document), table, key, got, mend)
