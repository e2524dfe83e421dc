"""What a case calls agreed: legal first widths and possible moves only, for every cover.

1/16 in = 1016 ticks, 1 mm = 640 ticks.
"""

from fractions import Fraction

import pytest
from bad_documents import curb, minimal, pipe, problems, the_problem, told
from hypothesis import example, given, settings
from hypothesis import strategies as st

from solver.case_file.load import case_from_document, load_case
from solver.errors import CaseError
from solver.tabling.starts import legal_firsts

FITTINGS = {"3": {"bend_45": 2.25}}  # hub to hub 3 3/16 in, with 8 in of headroom 3 1/2 at most


def frozen(first=None, move=None, **tables):
    freeze = {"first": first or {}, "move": move or {}}
    return minimal(freeze=freeze, **tables)


def planned(**keys):
    return pipe(**{"status": "planned", "reach": 10, **keys})


def stubbed(**keys):
    return pipe(**{"status": "stubbed", "reach": 10, "reach_low": 8, **keys})


# The plane is 240 in, the cover 18 in, so min_end 6 in. What each of these leaves of 18:
# 6 a full panel; 6 1/16 17 15/16; 11 1/2 12 1/2; 17 15/16 6 1/16; 18 (13 covers and) 6.
@pytest.mark.parametrize("sixteenths", [96, 97, 184, 287, 288])
def test_legal_first_widths(sixteenths):
    case = case_from_document(frozen({"S": sixteenths / 16}))
    assert case.freeze.firsts == (("S", sixteenths * 1016),)


@pytest.mark.parametrize(
    ("first", "got", "mends"),
    [
        ("5 15/16", '"5 15/16"', ['below the min_end of 6"', 'a last panel of 1/16"',
                                  'the nearest legal first width is 6"']),
        ("18 1/16", '"18 1/16"', ['more than the cover of 18"', 'width is 18"']),
        ("11 1/32", '"11 1/32"', ['no whole number of marks of 1/16"', 'width is 11 1/16"']),
        (0, "0", ["more than 0"]),
        (-9, "-9", ["more than 0"]),
        (None, "null", ["write a number"]),
        ("wide", '"wide"', ["write a number"]),
    ],
)  # fmt: skip
def test_first_widths_that_are_not_legal(first, got, mends):
    told(the_problem(frozen({"S": first})), "freeze", "first.S", got, *mends)


def test_a_last_panel_too_narrow():
    plane = [{"id": "S", "width": 245, "length": 200}]  # 245 - 10 = 235: 13 covers and 1
    told(the_problem(frozen({"S": 10}, plane=plane)), "freeze", "first.S", "10",
         'it leaves a last panel of 1", below the min_end of 6"', 'first width is 11"')  # fmt: skip


@pytest.mark.parametrize(("width", "first"), [(17, 17), (18, 18), ("4 1/3", "4 1/3")])
def test_a_plane_of_one_panel(width, first):
    plane = [{"id": "S", "width": width, "length": 200}]
    assert case_from_document(frozen({"S": first}, plane=plane)).freeze.firsts
    problem = the_problem(frozen({"S": 4}, plane=plane))
    told(problem, "freeze", "first.S", "4", "the plane is one panel of", "write that width")


def test_no_first_width_at_all():
    plane = [{"id": "S", "width": 19, "length": 200}]
    told(the_problem(frozen({"S": 9}, plane=plane, rules={"min_end": 10})), "freeze", "first.S",
         "9", "below the min_end", "no first width at all")  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(
    st.integers(1, 900), st.integers(32, 200), st.integers(1, 40), st.integers(0, 32),
    st.integers(1, 220),
)  # fmt: skip
@example(180, 90, 7, 10, 90)  # the cover is no whole mark and legal all the same
@example(100, 100, 7, 10, 100)
def test_exactly_the_legal_first_widths_can_be_agreed(width, cover, mark, least, first):
    """All in millimetres, against the solver's own list of them, made by other arithmetic."""
    document = {
        "title": "t", "units": "mm", "mark": mark, "panel": {"cover": cover, "seam_half": 1},
        "rules": {"min_end": least}, "plane": [{"id": "S", "width": width, "length": 100}],
    }  # fmt: skip
    if mark > cover:
        return
    case = case_from_document(document)
    legal = set(legal_firsts(case, case.planes[0]).tolist())
    try:
        case_from_document(document | {"freeze": {"first": {"S": first}}})
    except CaseError as error:
        (problem,) = error.problems
        assert first * 640 not in legal
        if "the nearest legal first width is " in problem.want:
            said = problem.want.rsplit(" is ", 1)[1].removesuffix(" mm")
            offered = round(Fraction(said) * 640)
            assert offered in legal
            assert abs(offered - first * 640) == min(abs(width - first * 640) for width in legal)
        else:
            assert not legal or "one panel" in problem.want
    else:
        assert first * 640 in legal


@pytest.mark.parametrize(
    ("pen", "move"),
    [
        (planned(), 10), (planned(), "-10"), (planned(), "1/2"), (planned(), 0),
        (stubbed(), 3), (stubbed(), -8), (stubbed(), "9 1/2"),
        (pipe(), 0), (curb(id="V1"), 0), (planned(hold="duct"), 0),
        (stubbed(nominal=3, headroom=8), "3 1/2"), (stubbed(nominal=3), -8),
        (stubbed(nominal=4), "3 1/2"),
    ],
)  # fmt: skip
def test_moves_that_can_be_agreed(pen, move):
    document = frozen(move={"V1": move}, penetration=[pen], fittings=FITTINGS)
    assert case_from_document(document).freeze.moves[0][0] == "V1"


@pytest.mark.parametrize(
    ("pen", "move", "got", "mends"),
    [
        (pipe(), "1/2", '"1/2"', ["it is fixed; write 0"]),
        (planned(hold="duct"), 1, "1", ["held where it is (duct); write 0"]),
        (curb(id="V1"), -1, "-1", ["a curb does not move; write 0"]),
        (planned(), "1/4", '"1/4"', ['no whole number of steps of 1/2"', 'move is 1/2"']),
        (planned(), "10 1/2", '"10 1/2"', ['beyond its reach of 10" towards larger x',
                                           'the nearest possible move is 10"']),
        (planned(reach_low=0), "-1/2", '"-1/2"', ['beyond its reach of 0" towards smaller x',
                                                  'move is 1/2"']),
        (planned(reach=0), 2, "2", ["it can only stay, write 0"]),
        (stubbed(), -9, "-9", ['beyond its reach of 8" towards smaller x', 'move is -8"']),
        (stubbed(), "-2 1/2", '"-2 1/2"', ['below its min_offset of 3"', 'move is -3"']),
        (stubbed(), 1000, "1000", ["beyond its reach"]),
        (stubbed(nominal=3, min_offset=1), 3, "3",
         ['two equal fittings of size 3 make offsets of 3 3/16" to 10" only', 'move is 3 1/2"']),
        (stubbed(nominal=3, headroom=8), 4, "4", ['3 3/16" to 3 1/2" only', 'move is 3 1/2"']),
        (stubbed(nominal=3, headroom=2), 4, "4",
         ["size 3 make no offset within its reach and headroom", "it can only stay, write 0"]),
        (planned(), "far", '"far"', ["write a number"]),
        (planned(), True, "true", ["write a number"]),
    ],
)  # fmt: skip
def test_moves_that_are_not_possible(pen, move, got, mends):
    document = frozen(move={"V1": move}, penetration=[pen], fittings=FITTINGS)
    told(the_problem(document), "freeze", "move.V1", got, *mends)


def test_in_a_reroof_nothing_moves():
    document = frozen(move={"V1": 2}, penetration=[stubbed()], setting="reroof")
    told(the_problem(document), "freeze", "move.V1", "2", "in a re-roof nothing moves; write 0")


def test_all_that_is_wrong_with_a_move_in_one_sentence():
    document = frozen(move={"V1": "-1/4"}, penetration=[stubbed(reach_low=0)])
    told(the_problem(document), "freeze", "move.V1", '"-1/4"', "steps", "reach of 0", "min_offset")


@pytest.mark.parametrize(
    ("keys", "key", "got", "mend"),
    [
        ({"first": {"T": 9}}, "first.T", "9", 'no plane "T"; known are S'),
        ({"move": {"V9": 9}}, "move.V9", "9", 'no penetration "V9"; known are V1'),
        ({"first": 9}, "first", "9", "write a table such as { S = 11.5 }"),
        ({"move": None}, "move", "null", "write a table such as { V1 = -2.5, V2 = 0 }"),
        ({"moves": {"V1": 2}}, "moves", "a table", 'the nearest known one is "move"'),
    ],
)
def test_what_is_no_agreement(keys, key, got, mend):
    told(the_problem(minimal(penetration=[planned()], freeze=keys)), "freeze", key, got, mend)


def test_a_table_and_texts_are_wanted():
    told(the_problem(minimal(freeze=[])), "", "freeze", "[]", "[freeze]")
    found = problems(minimal(freeze={"first": {5: 9}}, penetration=[]))
    assert [problem.want for problem in found] == ["a key is a text"]
    no_pens = the_problem(minimal(freeze={"move": {"V1": 2}}))
    told(no_pens, "freeze", "move.V1", "2", "the case has none at all")


def test_one_bad_agreement_hides_no_other():
    document = frozen(
        first={"S": "wide", "N": 2, "T": 9}, move={"V1": "far", "V2": 99, "V3": 1},
        plane=[{"id": name, "width": 240, "length": 200} for name in ("S", "N")],
        penetration=[planned(), planned(id="V2", x=150)],
    )  # fmt: skip
    found = {problem.key: problem.want for problem in problems(document)}
    assert list(found) == ["first.S", "first.N", "first.T", "move.V1", "move.V2", "move.V3"]


def test_everything_wrong_with_a_case_at_once():
    document = minimal(
        rules={"remeasure": 0, "cover_tol": -1},
        gridline=[{"plane": "T", "id": "1", "x": 9}, {"plane": "S", "id": "2", "x": 900}],
        fittings={"3": {}, "4": {"bend_45": -1}},
        join=[{"id": "J", "penetrations": ["V1", "V9"], "keeps": "V7", "hours": 1}],
        penetration=[pipe(nominal=0), pipe(id="V2", status="planned")],
        freeze={"first": {"S": 20}, "move": {"V2": "1/4"}},
    )
    wanted = {
        ("rules", "remeasure"), ("rules", "cover_tol"), ("gridline 1 of plane T", "plane"),
        ("gridline 2 of plane S", "x"), ("fittings 3", ""), ("fittings 4", "bend_45"),
        ("join J", "penetrations"), ("join J", "keeps"), ("penetration V1", "nominal"),
        ("freeze", "move.V2"), ("freeze", "first.S"),
    }  # fmt: skip
    assert {(problem.where, problem.key) for problem in problems(document)} == wanted
    del document["rules"]
    wanted = {each for each in wanted if each[0] != "rules"}
    assert {(problem.where, problem.key) for problem in problems(document)} == wanted


def test_agreements_with_a_fault_elsewhere_are_still_checked():
    """A pipe whose own fittings cannot be read is not blamed for what they would make."""
    document = frozen(move={"V1": 3}, penetration=[stubbed(nominal=3)],
                      fittings={"3": {"bend_45": 0}})  # fmt: skip
    assert [problem.where for problem in problems(document)] == ["fittings 3"]


def test_a_mark_too_fine_is_told_once_and_soon():
    document = frozen(first={"S": "300 m"}, mark="0.002 mm", panel={"cover": "900 m"})
    assert [problem.key for problem in problems(document)] == ["mark"]


@pytest.mark.parametrize(
    ("text", "where", "key"),
    [
        ('"freeze": {"move": {"V1": 2, "V1": 0}}', "freeze", "move.V1"),
        ('"fittings": {"3": {"bend_45": 2}, "3": {"bend_60": 3}}', "fittings", "3"),
        ('"fittings": {"3": {"bend_45": 2, "bend_45": 3}}', "fittings", "3.bend_45"),
    ],
)
def test_json_that_says_it_twice(tmp_path, text, where, key):
    path = tmp_path / "case.json"
    path.write_text('{"title": "t", "units": "in", "panel": {"cover": 18}, "plane": [{"id": "S", '
                    '"width": 240, "length": 200}], "penetration": [{"id": "V1", "plane": "S", '
                    '"kind": "pipe", "x": 90, "y": 9, "outside": 4, "status": "planned"}], '
                    + text + "}")  # fmt: skip
    with pytest.raises(CaseError) as caught:
        load_case(path)
    assert [(problem.where, problem.key) for problem in caught.value.problems] == [(where, key)]
    assert "written twice" in caught.value.problems[0].want
