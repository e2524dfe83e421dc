"""Penetrations from a spreadsheet, as spreadsheets really export them, and as people break them."""

import hashlib

import pytest

from solver.case_file.load import case_from_document, load_case
from solver.errors import CaseError

INCH, MM = 16256, 640
CASE = """
title = "t"
units = "{units}"
penetrations_csv = {name}
[panel]
cover = 450
seam_half = 12
[[plane]]
id = "S"
width = 20000
length = 9000
[[penetration]]
id = "V0"
plane = "S"
kind = "pipe"
x = 50
y = 50
outside = 5
"""
HEADER = "id,plane,kind,x,y,outside"


def load(folder, rows, units="in", name="'stubs.csv'"):
    (folder / "case.toml").write_text(CASE.format(units=units, name=name))
    data = rows if isinstance(rows, bytes) else rows.encode()
    (folder / "stubs.csv").write_bytes(data)
    return load_case(folder / "case.toml")


def problems(folder, rows, **keys):
    with pytest.raises(CaseError) as caught:
        load(folder, rows, **keys)
    found = caught.value.problems
    assert all(problem.file == str(folder / "case.toml") for problem in found)
    return found


def the_problem(folder, rows, **keys):
    found = problems(folder, rows, **keys)
    assert len(found) == 1, [problem.sentence() for problem in found]
    return found[0]


def test_a_real_spreadsheet_export(tmp_path):
    rows = (
        "\ufeffStatus ; ID;Plane;KIND;x;y;Outside;base;turned;Reach_Low;forbid;across;along\r\n"
        ";;;;;;;;;;;;\r\n"
        'planned;V1;S;pipe;"31\' 4 1/2""";12 ft;3,5;"8-1/2""";yes;0;on-seam crosses;;\r\n'
        "\r\n"
        ";C1;S;curb;640;200;;;;;;38;50,25\r\n"
        "stubbed;V2;S;pipe;100;7;3.5;;No;;tight|on-seam;;;\r\n"
        ";;;\r\n"
    )
    case = load(tmp_path, rows)
    assert [penetration.id for penetration in case.penetrations] == ["V0", "V1", "C1", "V2"]
    _, vent, curb, stub = case.penetrations
    assert (vent.x, vent.y) == (753 * INCH // 2, 144 * INCH)
    assert (vent.outside, vent.status) == (7 * INCH // 2, "planned")
    assert vent.base**2 >= 2 * (17 * INCH // 2) ** 2 > (vent.base - 1) ** 2  # turned
    assert (vent.reach_low, vent.reach_high) == (0, 12 * INCH)
    assert vent.forbid == ("on-seam", "crosses")
    assert (curb.kind, curb.status, curb.across, curb.along) == (
        "curb", "fixed", 38 * INCH, 201 * INCH // 4,
    )  # fmt: skip
    assert (stub.base, stub.forbid) == (17 * INCH // 2, ("tight", "on-seam"))  # 3 1/2 + 2 * 2 1/2


@pytest.mark.parametrize("delimiter", [";", ",", "\t"])
@pytest.mark.parametrize("quoted", [False, True])
def test_the_delimiter_is_found(tmp_path, delimiter, quoted):
    header = HEADER.split(",")
    row = ["V1", "S", "pipe", "5", "6", "4"]
    if quoted:
        header, row = [[f'"{cell}"' for cell in cells] for cells in (header, row)]
    text = delimiter.join(header) + "\n" + delimiter.join(row)
    assert load(tmp_path, text).penetrations[1].y == 6 * INCH


def test_other_characters_in_the_header_do_not_mislead(tmp_path):
    found = problems(tmp_path, '"a;b;c;d;e;f;g",' + HEADER + "\nx,V1,S,pipe,5,6,4\n")
    assert [problem.key for problem in found] == ["column a;b;c;d;e;f;g"]


def test_numbers_are_in_the_units_of_the_case(tmp_path):
    case = load(tmp_path, f"{HEADER}\nV1,S,pipe,1500,2000.5,110\n", units="mm")
    assert (case.penetrations[1].x, case.penetrations[1].y) == (1500 * MM, 4001 * MM // 2)


def test_feet_and_inches_need_no_quotes_where_nothing_asks_for_them(tmp_path):
    assert load(tmp_path, f"{HEADER}\nV1,S,pipe,31' 4 1/2\",12',3 1/2\"\n").penetrations[1].x == (
        753 * INCH // 2
    )


def test_the_hash_is_of_both_files(tmp_path):
    case = load(tmp_path, HEADER)
    both = (tmp_path / "case.toml").read_bytes() + (tmp_path / "stubs.csv").read_bytes()
    assert case.sha256 == hashlib.sha256(both).hexdigest()
    assert len(case.penetrations) == 1


def test_a_file_in_a_folder_below(tmp_path):
    (tmp_path / "lists").mkdir()
    (tmp_path / "lists" / "a.csv").write_text(f"{HEADER}\nV1,S,pipe,1,2,3")
    case = load(tmp_path, HEADER, name="'lists/a.csv'")
    assert len(case.penetrations) == 2


@pytest.mark.parametrize(
    ("cell", "mm"), [("3,5", 3.5), ("3,25", 3.25), ("0,1234", 0.1234), ("3.125", 3.125)]
)
def test_a_decimal_comma(tmp_path, cell, mm):
    rows = f"id;plane;kind;x;y;outside\nV1;S;pipe;{cell};2;3"
    assert load(tmp_path, rows, units="mm").penetrations[1].x == round(mm * MM)


def test_a_decimal_comma_with_a_unit(tmp_path):
    rows = "id;plane;kind;x;y;outside\nV1;S;pipe;3,5 m;2;3"
    assert load(tmp_path, rows, units="mm").penetrations[1].x == 3500 * MM


@pytest.mark.parametrize("cell", ["3,500", "1,234,567", "0,125", "3,500 mm"])
def test_three_digits_after_a_comma_are_ambiguous(tmp_path, cell):
    problem = the_problem(tmp_path, f"id;plane;kind;x;y;outside\nV1;S;pipe;{cell};2;3")
    assert (problem.where, problem.key) == ("penetration V1 (stubs.csv row 2)", "x")
    assert problem.got == f'"{cell}"'
    assert "thousands or thousandths" in problem.want


def test_no_decimal_comma_among_commas(tmp_path):
    problem = the_problem(tmp_path, f'{HEADER}\nV1,S,pipe,"3,5",2,3')
    assert (problem.key, problem.got) == ("x", '"3,5"')


@pytest.mark.parametrize(
    ("column", "near"), [("outsde", "outside"), ("notes", ""), ("Reach low", "reach_low")]
)
def test_an_unknown_column(tmp_path, column, near):
    problem = the_problem(tmp_path, f"{HEADER},{column}\nV1,S,pipe,1,2,3,\n")
    assert (problem.where, problem.key) == ("stubs.csv", f"column {column}")
    assert "no such column" in problem.want
    assert (f'"{near}"' if near else "") in problem.want


@pytest.mark.parametrize("column", ["id", "plane", "kind", "x", "y", "outside"])
def test_a_missing_column_is_told_once(tmp_path, column):
    names = [name for name in HEADER.split(",") if name != column]
    cells = {"id": "W", "plane": "S", "kind": "pipe", "x": "1", "y": "2", "outside": "3"}
    row = ",".join(cells[name] + ("%d" if name == "id" else "") for name in names)
    rows = [row % n if "%" in row else row for n in range(50)]
    problem = the_problem(tmp_path, "\n".join([",".join(names), *rows]))
    assert (problem.where, problem.key) == ("stubs.csv", f"column {column}")
    assert "add it to the header row" in problem.want


def test_curbs_alone_need_no_column_of_pipes(tmp_path):
    case = load(tmp_path, "id,plane,kind,x,y,across,along\nC1,S,curb,100,100,30,30")
    assert case.penetrations[1].across == 30 * INCH


def test_an_empty_cell_that_is_required(tmp_path):
    found = problems(tmp_path, f"{HEADER}\n,S,pipe,1,2,3\nV2,S,pipe,1,2,\n")
    assert [(problem.where, problem.key, problem.got) for problem in found] == [
        ("stubs.csv row 2", "id", ""),
        ("penetration V2 (stubs.csv row 3)", "outside", ""),
    ]


@pytest.mark.parametrize("row", ["V1,S,pipe", "V1,S,pipe,1,2,3,4", "V1"])
def test_a_ragged_row_is_told_by_the_number_the_spreadsheet_shows(tmp_path, row):
    rows = f'{HEADER}\n\n"V9",S,pipe,"1",2,3\n,,,,,\n{row}\nV2,S,pipe,1,2,3\n'
    problem = the_problem(tmp_path, rows)
    assert problem.where == "penetration V1 (stubs.csv row 5)"
    assert "the header names 6 columns" in problem.want


def test_a_column_without_a_name(tmp_path):
    problem = the_problem(tmp_path, "id,plane,,kind,x,y,outside\nV1,S,9,pipe,1,2,3")
    assert "column 3 has no name" in problem.want


def test_empty_columns_on_the_right_are_nothing(tmp_path):
    assert load(tmp_path, f"{HEADER},,\nV1,S,pipe,1,2,3,,\n").penetrations[1].id == "V1"


def test_a_column_twice(tmp_path):
    problem = the_problem(tmp_path, f"{HEADER},X\nV1,S,pipe,1,2,3,4\n")
    assert (problem.key, problem.where) == ("column X", "stubs.csv")
    assert "twice" in problem.want


@pytest.mark.parametrize("text", ["", "\n\n", ",,,\n"])
def test_no_rows(tmp_path, text):
    problem = the_problem(tmp_path, text)
    assert problem.where == "stubs.csv"
    assert "first row names the columns" in problem.want


@pytest.mark.parametrize(
    "row", ['V1,S,pipe,"1,2,3', 'V1,S,pipe,"31\' 4"x,2,3', 'V1,S,pipe,"' + "z" * 200_000]
)
def test_quotes_that_are_not_closed(tmp_path, row):
    problem = the_problem(tmp_path, f"{HEADER}\nV8,S,pipe,1,2,3\n{row}\nV9,S,pipe,1,2,3")
    assert problem.where == "stubs.csv row 3"
    assert "double each quote" in problem.want


@pytest.mark.parametrize(
    "data",
    [
        f"{HEADER}\nV1,S,pipe,1,2,3".encode("utf-16"),
        f"{HEADER}\nV1,S,pipe,1,2,3".encode("utf-16-le"),
        f"{HEADER}\nL\u00fcfter,S,pipe,1,2,3".encode("cp1252"),
    ],
)
def test_other_encodings(tmp_path, data):
    problem = the_problem(tmp_path, data)
    assert (problem.key, problem.got) == ("penetrations_csv", '"stubs.csv"')
    assert 'save it as "CSV UTF-8"' in problem.want


@pytest.mark.parametrize(
    ("name", "mend"),
    [
        ("none.csv", "no such file"),
        (".", "folder"),
        ("../other.csv", "leaves the folder"),
        ("..\\other.csv", "leaves the folder"),
        ("a/../../other.csv", "leaves the folder"),
        ("link.csv", "leaves the folder"),
        ("/etc/hostname", "absolute path"),
        ("C:\\stubs.csv", "absolute path"),
        ("\\\\host\\stubs.csv", "absolute path"),
    ],
)
def test_paths_stay_in_the_folder_of_the_case(tmp_path, name, mend):
    folder = tmp_path / "roof"
    folder.mkdir()
    (tmp_path / "other.csv").write_text(HEADER)
    (folder / "link.csv").symlink_to(tmp_path / "other.csv")
    problem = the_problem(folder, HEADER, name=f"'{name}'")
    assert (problem.key, problem.where) == ("penetrations_csv", "")
    assert mend in problem.want


def test_a_document_in_no_folder_has_no_csv():
    document = {"title": "t", "units": "in", "penetrations_csv": "a.csv", "panel": {"cover": 18},
                "plane": [{"id": "S", "width": 99, "length": 99}]}  # fmt: skip
    with pytest.raises(CaseError, match="in no folder"):
        case_from_document(document)


def test_a_document_may_say_its_folder(tmp_path):
    load(tmp_path, f"{HEADER}\nV1,S,pipe,1,2,3")
    plane = {"id": "S", "width": 99, "length": 99}
    document = {"title": "t", "units": "in", "penetrations_csv": "stubs.csv",
                "panel": {"cover": 18}, "plane": [plane]}  # fmt: skip
    assert len(case_from_document(document, beside=tmp_path).penetrations) == 1


def test_ids_are_unique_over_both_files(tmp_path):
    found = problems(tmp_path, f"{HEADER}\nV0,S,pipe,1,2,3\nV1,S,pipe,1,2,3\nV1,S,pipe,1,2,3")
    assert [(problem.where, problem.key) for problem in found] == [
        ("penetration V0 (stubs.csv row 2)", "id"),
        ("penetration V1 (stubs.csv row 4)", "id"),
    ]
    assert "the 1st penetration and stubs.csv row 2" in found[0].want
    assert "stubs.csv row 3 and stubs.csv row 4" in found[1].want


@pytest.mark.parametrize(
    ("row", "key", "mend"),
    [
        ("V1,S,pipe,1,2,3,maybe,,", "turned", "true, false, yes or no"),
        ("V1,S,pipe,1,2,3,,leaky,", "forbid", "can be forbidden"),
        ("V1,S,Vent,1,2,3,,,", "kind", '"pipe" or "curb"'),
        ("V1,T,pipe,1,2,3,,,", "plane", "known are S"),
        ("V1,S,pipe,21000,2,3,,,", "x", "off plane S"),
        ("V1,S,pipe,11 1/0,2,3,,,", "x", "below the line"),
        ("V1,S,pipe,1e9,2,3,,,", "x", "write a number"),
        ("V1,S,pipe,1,2,3,,,soon", "status", '"planned"'),
    ],
)
def test_bad_cells(tmp_path, row, key, mend):
    problem = the_problem(tmp_path, f"{HEADER},turned,forbid,status\n{row}\n")
    assert (problem.where, problem.key) == ("penetration V1 (stubs.csv row 2)", key)
    assert mend in problem.want


def test_problems_of_the_csv_come_after_those_of_the_case(tmp_path):
    rows = f"{HEADER},zz\nV1,S,pipe,?,2,3,\n"
    (tmp_path / "case.toml").write_text(
        CASE.format(units="in", name="'stubs.csv'").replace("x = 50", "x = -50")
    )
    (tmp_path / "stubs.csv").write_text(rows)
    with pytest.raises(CaseError) as caught:
        load_case(tmp_path / "case.toml")
    assert [problem.where for problem in caught.value.problems] == [
        "penetration V0",
        "stubs.csv",
        "penetration V1 (stubs.csv row 2)",
    ]


def rows_50_000(outside):
    rows = [
        f"""V{n + 1};S;pipe;"{n // 12 % 100}' {n % 12} 1/2\""";{n % 9000};{outside};planned"""
        for n in range(50_000)
    ]
    return "\n".join(["id;plane;kind;x;y;outside;status", *rows])


def test_50_000_rows_load(tmp_path):
    # How long it takes is the benchmark's to say.
    case = load(tmp_path, rows_50_000("3,5"))
    assert len(case.penetrations) == 50_001
    assert case.penetrations[-1].id == "V50000"


def test_50_000_bad_rows_are_not_50_000_sentences(tmp_path):
    found = problems(tmp_path, rows_50_000("x"))
    assert len(found) == 201
    assert found[0].where == "penetration V1 (stubs.csv row 2)"
    assert found[-1].want.startswith("and 49,800 more problems")
