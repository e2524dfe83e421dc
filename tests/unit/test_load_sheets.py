"""Loading grid lines, fittings, joins, what is agreed, tolerances, and what sheets show.

Figures are hand conversions: 1 in = 16256 ticks, 1 mm = 640 ticks.
"""

import datetime
import json
import tomllib
from decimal import Decimal
from math import radians, sin, tan

import pytest
from bad_documents import curb, minimal, pipe

from solver.case import Fitting, Freeze, Gridline, Join
from solver.case_file.load import case_from_document, load_case

INCH, MM = 16256, 640

FULL = """
title = "Clinic, north wing"
units = "in"
revision = "B"
date = "2031-04-02"
[panel]
cover = [18, "16", 20.5]
[rules]
cover_tol = "1/32"
remeasure = 3
width_tol = "1/2"
x_tol = 1
robust = true
[[plane]]
id = "S"
width = 250
length = 200
[[plane]]
id = "N"
width = 250
length = 200
[[gridline]]
plane = "S"
id = "4"
x = "10' 6\\""
[[gridline]]
plane = "N"
id = "4"
x = 0
[fittings."3"]
bend_60 = 3
bend_22 = "1 1/2"
bend_45 = "2 1/4"
[fittings."1 1/2"]
bend_45 = "1 5/8"
[[join]]
id = "J1"
penetrations = ["V1", "V2"]
keeps = "V2"
hours = 4
[[join]]
id = "J2"
penetrations = ["V3", "C1"]
curb = { x = "10 ft", y = 90, across = 30, along = 40 }
hours = 0.1
material = 310
[freeze]
first = { N = "10" }
move = { V1 = "-4", V2 = 0 }
[[penetration]]
id = "V1"
plane = "S"
kind = "pipe"
x = 50
y = 50
outside = 3.5
status = "stubbed"
nominal = "3"
use = "vent"
headroom = "2 ft"
x_tol = "1/4"
[[penetration]]
id = "V2"
plane = "S"
kind = "pipe"
x = 90
y = 50
outside = 3.5
status = "planned"
nominal = 3
[[penetration]]
id = "V3"
plane = "N"
kind = "pipe"
x = 50
y = 50
outside = 2
x_tol = 0
[[penetration]]
id = "C1"
plane = "N"
kind = "curb"
x = 120
y = 90
across = 12
along = 12
x_tol = 2
"""


@pytest.fixture(params=["toml", "json"])
def full(request, tmp_path):
    path = tmp_path / f"case.{request.param}"
    path.write_text(FULL if request.param == "toml" else json.dumps(tomllib.loads(FULL)))
    return load_case(path)


def test_what_the_sheets_show(full):
    assert (full.revision, full.date) == ("B", "2031-04-02")
    assert full.gridlines == (Gridline("4", "S", 126 * INCH), Gridline("4", "N", 0))


def test_fittings_keep_the_order_of_sizes_and_go_from_flat_to_steep(full):
    assert full.fittings == (
        Fitting("3", "22.5", 24384), Fitting("3", "45", 36576), Fitting("3", "60", 3 * INCH),
        Fitting("1 1/2", "45", 26416),
    )  # fmt: skip


def test_joins(full):
    assert full.joins == (
        Join("J1", ("V1", "V2"), "V2", None, Decimal(4), Decimal(0)),
        Join("J2", ("V3", "C1"), None, (120 * INCH, 90 * INCH, 30 * INCH, 40 * INCH),
             Decimal("0.1"), Decimal(310)),
    )  # fmt: skip


def test_what_is_agreed(full):
    assert full.freeze == Freeze((("N", 10 * INCH),), (("V1", -4 * INCH), ("V2", 0)))


def test_tolerances(full):
    rules = full.rules
    assert (rules.cover_tol, rules.remeasure, rules.width_tol, rules.robust) == (
        508, 3, INCH // 2, True,
    )  # fmt: skip
    assert [pen.x_tol for pen in full.penetrations] == [INCH // 4, INCH, 0, 2 * INCH]


def test_pipes(full):
    v1, v2, v3, c1 = full.penetrations
    assert (v1.nominal, v1.use, v1.headroom) == ("3", "vent", 24 * INCH)
    assert (v2.nominal, v2.use, v2.headroom, v2.makeable) == ("3", None, None, None)
    assert (v3.nominal, c1.nominal, c1.use, c1.headroom) == (None,) * 4


def test_nothing_said():
    case = case_from_document(minimal(penetration=[pipe(), curb()]))
    assert (case.revision, case.date, case.covers) == ("", "", ())
    assert (case.gridlines, case.fittings, case.joins, case.freeze) == ((), (), (), Freeze())
    rules = case.rules
    assert (rules.cover_tol, rules.remeasure, rules.width_tol, rules.robust) == (0, 4, 0, False)
    assert all(pen.x_tol == 0 and pen.makeable is None for pen in case.penetrations)


@pytest.mark.parametrize(
    ("written", "read"),
    [("3", "3"), (3, "3"), (3.0, "3"), (Decimal("1.50"), "1.5"), (100, "100"), ("1 1/2", "1 1/2"),
     ("DN 100", "DN 100")],
)  # fmt: skip
def test_a_bare_nominal_size_is_its_text(written, read):
    case = case_from_document(minimal(penetration=[pipe(nominal=written)]))
    assert case.penetrations[0].nominal == read


@pytest.mark.parametrize(("written", "read"), [("B", "B"), (0, "0"), (2, "2"), ("", "")])
def test_revisions(written, read):
    assert case_from_document(minimal(revision=written)).revision == read


@pytest.mark.parametrize("written", ['"2031-04-02"', "2031-04-02"])
def test_a_date_may_be_bare(tmp_path, written):
    path = tmp_path / "case.toml"
    path.write_text(FULL.replace('"2031-04-02"', written))
    assert load_case(path).date == "2031-04-02"
    assert case_from_document(minimal(date=datetime.date(2031, 4, 2))).date == "2031-04-02"


def stubbed(**keys):
    fittings = {"3": {"bend_22": 1.5, "bend_45": 2.25, "bend_60": 3}}
    keys = {"status": "stubbed", "reach": 12, "min_offset": 0, "nominal": "3", **keys}
    document = minimal(fittings=fittings, penetration=[pipe(**keys)])
    return case_from_document(document).penetrations[0]


def by_geometry(offset, headroom):
    """Whether two equal elbows fit: hub to hub at least, no higher than the headroom (inches)."""
    return any(
        offset >= 2 * c * sin(radians(angle)) - 1e-9
        and offset / tan(radians(angle)) + 2 * c <= headroom + 1e-9
        for angle, c in ((22.5, 1.5), (45, 2.25), (60, 3))
    )


@pytest.mark.parametrize("headroom", [None, 0, 3, 4, 6, 8, 10, 12, 16, 40])
def test_what_two_fittings_make_of_a_stubbed_pipe(headroom):
    spans = stubbed(**({} if headroom is None else {"headroom": headroom})).makeable
    assert spans is not None
    for sixteenths in range(1, 12 * 16 + 1):
        offset = sixteenths / 16
        inside = any(low <= sixteenths * 1016 <= high for low, high in spans)
        assert inside == by_geometry(offset, 1000 if headroom is None else headroom), offset


def test_reach_towards_one_end_alone_limits_what_is_made():
    assert stubbed(reach_low=4, reach_high=7).makeable[-1][1] == 7 * INCH
    assert stubbed(reach_low=9, reach_high=7).makeable[-1][1] == 9 * INCH


@pytest.mark.parametrize(
    "keys", [{"nominal": "4"}, {"status": "planned"}, {"hold": "duct"}, {"status": "fixed"}]
)
def test_nothing_is_known_without_fittings_or_need(keys):
    assert stubbed(**keys).makeable is None


def test_a_pipe_that_no_fitting_can_move_is_no_error():
    assert stubbed(headroom=2).makeable == ()


def test_new_columns_of_a_spreadsheet(tmp_path):
    (tmp_path / "stubs.csv").write_text(
        "id;plane;kind;x;y;outside;across;along;status;nominal;use;headroom;x_tol\n"
        "V9;S;pipe;60;70;3,5;;;stubbed;3;sink drain;20;1/4\n"
        "V10;S;pipe;150;70;3,5;;;;1 1/2;;;\n"
        "C9;S;curb;200;70;;9;9;;;;;0,5\n"
    )
    path = tmp_path / "case.toml"
    path.write_text('penetrations_csv = "stubs.csv"\n' + FULL)
    v9, v10, c9 = load_case(path).penetrations[-3:]
    assert (v9.nominal, v9.use, v9.headroom, v9.x_tol) == ("3", "sink drain", 20 * INCH, INCH // 4)
    assert v9.makeable
    assert (v10.nominal, v10.use, v10.headroom, v10.x_tol) == ("1 1/2", None, None, INCH)
    assert (c9.x_tol, c9.nominal) == (INCH // 2, None)


def test_joins_and_agreements_may_name_rows_of_the_spreadsheet(tmp_path):
    (tmp_path / "stubs.csv").write_text(
        "id,plane,kind,x,y,outside,status\nW1,S,pipe,9,9,2,planned\nW2,S,pipe,30,9,2,fixed\n"
    )
    path = tmp_path / "case.toml"
    text = 'penetrations_csv = "stubs.csv"\n' + FULL.replace('"V1", "V2"', '"W1", "W2"')
    path.write_text(text.replace('keeps = "V2"', 'keeps = "W2"').replace("V2 = 0", "W1 = 2"))
    case = load_case(path)
    assert case.joins[0].penetrations == ("W1", "W2")
    assert case.freeze.moves[1] == ("W1", 2 * INCH)
