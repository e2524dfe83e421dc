"""Small documents to break, and what their reports must say."""

import pytest

from solver.case_file.load import case_from_document
from solver.errors import CaseError


def minimal(**tables):
    return {
        "title": "t",
        "units": "in",
        "panel": {"cover": 18},
        "plane": [{"id": "S", "width": 240, "length": 200}],
        **tables,
    }


def pipe(**keys):
    return {"id": "V1", "plane": "S", "kind": "pipe", "x": 100, "y": 100, "outside": 4, **keys}


def curb(**keys):
    return {"id": "C1", "plane": "S", "kind": "curb", "x": 90, "y": 9, "across": 8, "along": 8,
            **keys}  # fmt: skip


def problems(document):
    with pytest.raises(CaseError) as caught:
        case_from_document(document, file="roof.toml")
    assert all(problem.file == "roof.toml" for problem in caught.value.problems)
    assert len(str(caught.value).splitlines()) == len(caught.value.problems)
    return caught.value.problems


def the_problem(document):
    found = problems(document)
    assert len(found) == 1, [problem.sentence() for problem in found]
    return found[0]


def told(problem, where, key, got, *mends):
    assert (problem.where, problem.key, problem.got) == (where, key, got)
    for mend in mends:
        assert mend in problem.want
    assert problem.want in problem.sentence()
