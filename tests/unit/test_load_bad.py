"""Bad input: broken files, and reports that tell everything at once, in order, without end."""

import tomllib

import pytest
from bad_documents import minimal, pipe, problems, the_problem, told
from hypothesis import given
from hypothesis import strategies as st

from solver.case import Case
from solver.case_file.load import case_from_document, load_case
from solver.errors import CaseError, OffseamError

HEAD = 'title = "t"\nunits = "in"\n'


def file_problem(path):
    with pytest.raises(CaseError) as caught:
        load_case(path)
    (problem,) = caught.value.problems
    assert problem.file == str(path)
    return problem.sentence()


def test_a_missing_file(tmp_path):
    assert "no such file" in file_problem(tmp_path / "none.toml")


def test_a_folder(tmp_path):
    assert "folder" in file_problem(tmp_path)


def test_an_unreadable_file(tmp_path, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", refuse)  # the superuser may read everything
    assert "no permission" in file_problem(tmp_path / "c.toml")


@pytest.mark.parametrize("name", ["x" * 5000, "a\u0000b", "loop"])
def test_a_path_that_is_none(tmp_path, name):
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    with pytest.raises(CaseError) as caught:
        load_case(tmp_path / name)
    assert "cannot be read" in str(caught.value)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize("data", [b"", b"\n \n", b"\xef\xbb\xbf"])
def test_an_empty_file(tmp_path, data):
    path = tmp_path / "c.toml"
    path.write_bytes(data)
    assert "empty" in file_problem(path)


@pytest.mark.parametrize(
    ("data", "mend"),
    [
        (b'title = "a"\nunits = "\xff"', "line 2 is not UTF-8 text; save the file as UTF-8"),
        ((HEAD).encode("utf-16"), "save the file as UTF-8"),
        (HEAD.encode("utf-16-le"), "save the file as UTF-8"),
        (b"PK\x03\x04\x00\x00\xff\xfe", "save the file as UTF-8"),
    ],
)
def test_not_utf_8(tmp_path, data, mend):
    path = tmp_path / "c.toml"
    path.write_bytes(data)
    assert mend in file_problem(path)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("title = ", "not TOML"),
        ("hello", "not TOML"),
        ('title = "a"\ntitle = "b"\n', "line 2"),
        ("x = " + "9" * 5000, "too many digits"),
        ("x = " + "[" * 100_000, "nested too deeply"),
        ("{", "not JSON"),
        ('{"a": }', "line 1, column 7"),
        ("[" * 100_000, "TOML"),
        ('{"a": ' + "[" * 200_000, "nested too deeply"),
    ],
    ids=lambda text: str(len(text)),
)
def test_not_toml_not_json(tmp_path, text, told):
    path = tmp_path / "c.toml"
    path.write_text(text)
    assert told in file_problem(path)


def test_json_that_is_no_object(tmp_path):
    path = tmp_path / "c.json"
    path.write_text("[1, 2]")
    assert "object of keys" in file_problem(path)


def test_a_file_too_large_to_be_a_case(tmp_path):
    path = tmp_path / "c.toml"
    with path.open("wb") as stream:
        stream.truncate(40 * 1024 * 1024)
    assert "32 MB" in file_problem(path)


def test_json_keys_written_twice(tmp_path):
    path = tmp_path / "c.json"
    path.write_text(
        '{"title": "t", "units": "in", "panel": {"cover": 18}, "title": "u",'
        ' "rates": {"tight": {"hours": 1, "hours": 2}},'
        ' "plane": [{"id": "S", "width": 9, "width": 8, "length": 9}]}'
    )
    with pytest.raises(CaseError) as caught:
        load_case(path)
    spoken = [(problem.where, problem.key) for problem in caught.value.problems]
    assert spoken == [("", "title"), ("rates", "tight.hours"), ("plane S", "width")]
    assert all("written twice" in problem.want for problem in caught.value.problems)


def test_json_numbers_beyond_all_bounds(tmp_path):
    path = tmp_path / "c.json"
    plane = '{"id": "S", "width": %s, "length": %s}'
    head = '{"title": "t", "units": "in", "panel": {"cover": %s}, "plane": [' + plane + "]}"
    path.write_text(head % ("NaN", "Infinity", "9" * 5000))
    with pytest.raises(CaseError) as caught:
        load_case(path)
    cover, width, length = caught.value.problems
    assert (cover.where, cover.key, cover.got) == ("panel", "cover", "nan")
    assert (width.where, width.key, width.got) == ("plane S", "width", "infinity")
    assert (length.where, length.key) == ("plane S", "length")
    path.write_text(head % ("1e99999999999999999999", "-1e999", "1e-99999999999999999999"))
    with pytest.raises(CaseError) as caught:
        load_case(path)
    assert len(caught.value.problems) == 3


def test_one_problem_hides_no_other_and_all_come_in_file_order():
    document = tomllib.loads(
        """
        units = "in"
        mark = 20
        [panel]
        cover = 18
        [[penetration]]
        id = "A"
        plane = "S"
        kind = "pipe"
        x = "11 1/0"
        y = 5
        outside = 4
        [[penetration]]
        id = "B"
        plane = "T"
        kind = "pipe"
        x = 5
        y = 900
        outside = 4
        base = 1
        [[penetration]]
        plane = "T"
        kind = "vent"
        x = "?"
        y = 900
        [[penetration]]
        id = "A"
        plane = "N"
        kind = "curb"
        x = 5
        y = 900
        across = 4
        along = 4
        [[plane]]
        id = "S"
        width = 240
        length = 200
        [[plane]]
        id = "N"
        width = "wide"
        length = 200
        [[link]]
        planes = ["S", "Q"]
        how = "mirror"
        """
    )
    spoken = [(problem.where, problem.key) for problem in problems(document)]
    assert spoken == [
        ("", "title"),
        ("", "mark"),
        ("penetration A", "x"),
        ("penetration B", "plane"),
        ("penetration B", "base"),
        ("the 3rd penetration", "id"),
        ("the 3rd penetration", "plane"),
        ("the 3rd penetration", "kind"),
        ("the 3rd penetration", "x"),
        ("penetration A", "id"),
        ("plane N", "width"),
        ("link S\u2013Q", "planes"),
    ]


def test_without_units_lengths_are_still_read_but_not_compared():
    document = minimal(units="cm", penetration=[pipe(x=241), pipe(id="V2", y="?"), pipe(id="V2")])
    spoken = [(problem.where, problem.key) for problem in problems(document)]
    assert spoken == [("", "units"), ("penetration V2", "y"), ("penetration V2", "id")]


def test_things_that_are_no_tables():
    found = problems(minimal(penetration=[pipe(), 5, "x"]))
    assert [problem.where for problem in found] == ["the 2nd penetration", "the 3rd penetration"]
    assert all("[[penetration]]" in problem.want for problem in found)


@pytest.mark.parametrize("document", [None, [], "x", 3])
def test_a_document_is_a_table(document):
    with pytest.raises(CaseError, match="table of keys"):
        case_from_document(document)


def test_a_report_is_never_endless():
    many = [pipe(id=f"V{n}", x=-1) for n in range(5000)]
    found = problems(minimal(penetration=many))
    assert len(found) == 201
    assert found[0].where == "penetration V0"
    assert found[-1].want.startswith("and 4,800 more problems")
    assert problems(minimal(penetration=many[:201]))[-1].want.startswith("and 1 more problem;")


def test_of_a_hundred_thousand_unknown_keys_the_first_are_told():
    document = minimal(panel={"cover": 18, **{f"k{n}": n for n in range(100_000)}})
    assert problems(document)[-1].want.startswith("and 99,800 more")


def test_the_deepest_tables_are_not_followed():
    deep: object = "x"
    for _ in range(50_000):
        deep = [deep]
    told(the_problem(minimal(title=deep)), "", "title", "a list", "text in quotes")


def test_case_errors_are_value_errors_and_ours():
    assert issubclass(CaseError, ValueError)
    assert issubclass(CaseError, OffseamError)


junk = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.decimals() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=5,
)
PLACES = [
    (top, key)
    for top, keys in {
        "": ("title", "units", "setting", "mark", "penetrations_csv", "panel", "rules", "moves",
             "rates", "plane", "link", "penetration"),
        "panel": ("cover", "seam_half"), 
        "rules": ("min_end", "forbid", "odd_panels", "odd_min", "odd_widths", "play", "play_mark"),
        "moves": ("step", "reach"), "rates": ("crew_hour", "tight"),
        "plane": ("id", "width", "lay", "from", "keepout"), "link": ("planes", "how", "offset"),
        "penetration": ("id", "plane", "kind", "x", "outside", "turned", "forbid", "reach"),
    }.items()
    for key in keys
]  # fmt: skip


@given(st.lists(st.tuples(st.sampled_from(PLACES), junk), min_size=1, max_size=4))
def test_whatever_is_written_it_is_told_and_never_crashes(writings):
    document = minimal(
        rules={}, moves={}, rates={}, penetration=[pipe()], freeze={"first": {"S": 9}},
        link=[{"planes": ["S", "N"], "how": "same"}],
    )  # fmt: skip
    for (top, key), value in writings:
        table = document[top] if top else document
        table = table[0] if isinstance(table, list) and table else table
        if isinstance(table, dict):
            table[key] = value
    try:
        assert isinstance(case_from_document(document), Case)
    except CaseError as error:
        assert error.problems
        assert all(problem.sentence().isprintable() for problem in error.problems)


def test_a_rate_that_comes_to_more_than_any_roof_is_told():
    """Hours times an hour's price: sums of many must stay exact in 64 bits."""
    rates = {"crew_hour": 10**9, "tight": {"hours": 10**9, "material": 0}}
    told = {problem.key for problem in problems(minimal(rates=rates))}
    assert "tight" in told
    most = {"crew_hour": 1, "tight": {"hours": 10_000_000, "material": 0}}
    assert case_from_document(minimal(rates=most)).rates.cents("tight") == 1_000_000_000
    over = {"crew_hour": 1, "tight": {"hours": 10_000_000, "material": 1}}
    (problem,) = problems(minimal(rates=over))
    assert (problem.where, problem.key) == ("rates", "tight")
