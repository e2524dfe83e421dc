"""Bad input: entries that are fine alone and contradict each other."""

import pytest
from bad_documents import curb, minimal, pipe, problems, the_problem, told

from solver.case_file.load import case_from_document


@pytest.mark.parametrize(
    ("tables", "where", "key", "got", "mend"),
    [
        ({"mark": 20}, "", "mark", "20", 'the cover of 18"'),
        ({"mark": "0.01 mm"}, "", "mark", '"0.01 mm"', "too fine"),
        ({"rules": {"min_end": 19}}, "rules", "min_end", "19", 'the cover of 18"'),
        ({"panel": {"cover": 18, "seam_half": 9}}, "panel", "seam_half", "9", "no flat"),
        ({"panel": {"cover": 18, "seam_back": 17.5}}, "panel", "seam_back", "17.5", "no flat"),
        ({"panel": {"cover": 1}}, "panel", "cover", "1", "no flat"),
        ({"link": [{"planes": ["S", "S"], "how": "same"}]}, "link S\u2013S", "planes", '["S", "S"]',
         "two different planes"),
        ({"link": [{"planes": ["S", "s1"], "how": "same"}]}, "link S\u2013s1", "planes",
         '["S", "s1"]', 'no plane "s1"; the nearest known one is "S"'),
        ({"link": [{"planes": ["S"], "how": "same"}]}, "link S", "planes", '["S"]',
         "exactly two"),
        ({"link": [{"planes": ["S", "S", "S"], "how": "same"}]}, "link S\u2013S\u2013S", "planes",
         '["S", "S", "S"]', "exactly two"),
        ({"link": [{"planes": "S", "how": "same"}]}, "the 1st link", "planes", '"S"',
         "exactly two"),
        ({"penetration": [pipe(plane="T")]}, "penetration V1", "plane", '"T"',
         "no such plane; known are S"),
        ({"penetration": [pipe(plane="s")]}, "penetration V1", "plane", '"s"',
         'nearest known one is "S"'),
        ({"penetration": [pipe(x=241)]}, "penetration V1", "x", "241",
         "off plane S; x goes from 0"),
        ({"penetration": [pipe(x=-1)]}, "penetration V1", "x", "-1", 'to its width, 240"'),
        ({"penetration": [curb(y="200 1/64")]}, "penetration C1", "y", '"200 1/64"',
         'to its length, 200"'),
        ({"penetration": [pipe(base=3.5)]}, "penetration V1", "base", "3.5",
         'below the outside diameter of 4"'),
        ({"penetration": [pipe(base=3, turned=True)]}, "penetration V1", "base", "3", "below"),
        ({"penetration": [pipe(status="stubbed", reach=2)]}, "penetration V1", "reach", "2",
         'below its min_offset of 3"'),
        ({"penetration": [pipe(status="stubbed", reach_low=0, reach_high="2 1/2")]},
         "penetration V1", "reach_low", "0", "below its min_offset"),
        ({"penetration": [pipe(status="stubbed", min_offset=13)]}, "penetration V1", "reach",
         '12" by default', 'min_offset of 13"'),
        ({"penetration": [pipe(status="stubbed", reach_low=1, reach=2)]}, "penetration V1",
         "reach", "2", "below its min_offset"),
        ({"penetration": [pipe(status="planned", reach=240)], "moves": {"step": "0.1 mm"}},
         "penetration V1", "reach", "240", "20,000 steps"),
    ],
)  # fmt: skip
def test_contradictions(tables, where, key, got, mend):
    told(the_problem(minimal(**tables)), where, key, got, mend)


@pytest.mark.parametrize(
    ("keepout", "key", "mend"),
    [
        ({"from": 3, "to": 2}, "from", "beyond to"),
        ({"from": 1, "to": 2, "y_from": 3}, "y_from", "give y_to as well"),
        ({"from": 1, "to": 2, "y_to": 3}, "y_to", "give y_from as well"),
        ({"from": 1, "to": 2, "y_from": 3, "y_to": 2}, "y_from", "beyond y_to"),
        ({"from": 1}, "to", "required"),
        ({"to": 1}, "from", "required"),
        ({"from": "x", "to": 1}, "from", "write a number"),
    ],
)
def test_keepouts(keepout, key, mend):
    plane = {"id": "S", "width": 240, "length": 200, "keepout": [{**keepout, "what": "beam"}]}
    problem = the_problem(minimal(plane=[plane]))
    assert (problem.where, problem.key) == ("plane S, keep-out beam", key)
    assert mend in problem.want


def test_more_than_100_000_panels():
    plane = {"id": "S", "width": "900 m", "length": 200}
    panel = {"cover": "1/4", "seam_half": "1/16"}
    problem = the_problem(minimal(plane=[plane], panel=panel, rules={"min_end": 0}))
    told(problem, "plane S", "width", '"900 m"', "100,000 panels")
    least = {"cover": "9 mm", "seam_half": "1 mm"}
    assert case_from_document(minimal(plane=[plane], panel=least)).planes


def test_duplicate_ids_name_both_places():
    plane = {"id": "S", "width": 240, "length": 200}
    found = problems(minimal(plane=[plane, plane], penetration=[pipe(), curb(), pipe(x=3)]))
    told(found[0], "plane S", "id", '"S"', "the 1st plane and the 2nd plane have this id")
    told(found[1], "penetration V1", "id", '"V1"', "the 1st penetration and the 3rd penetration")
    assert len(found) == 2


def test_a_plane_and_a_pipe_may_share_an_id():
    assert case_from_document(minimal(penetration=[pipe(id="S")])).penetrations[0].id == "S"
