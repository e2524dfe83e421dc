"""Loading a good case: every key, every default, TOML and JSON alike.

Figures in inches and millimetres are hand conversions: 1 in = 16256 ticks, 1 mm = 640 ticks.
"""

import hashlib
import json
import subprocess
import sys
import tomllib
from decimal import Decimal
from fractions import Fraction
from math import isqrt

import pytest

from solver.case import RATE_NAMES, Case, Keepout, Link, Panel
from solver.case_file.defaults import LENGTHS
from solver.case_file.entries import CaseEntry
from solver.case_file.load import case_from_document, load_case

INCH, MM = 16256, 640

FULL = """
title = "Clinic, north wing"
units = "in"
setting = "new"
mark = "1/16"

[panel]
cover = 18
seam_half = "1/2"

[rules]
min_end = 6
work_gap = "1/2"
odd_min = 9
forbid = ["on-seam"]
odd_panels = 0

[moves]
step = "1/2"
reach = 12
min_offset = 3

[rates]
crew_hour = 95.50
on_seam = { hours = 4, material = 110 }
crosses = { hours = 3 }

[[plane]]
id = "S"
width = "212 ft"
length = "46 ft"
low_end = "west gable"
high_end = "east gable"

[[plane.keepout]]
from = "30 ft"
to = "30' 2\\""
what = "beam"

[[plane.keepout]]
from = -5
to = 8
y_from = -1
y_to = 20

[[plane]]
id = "N"
width = "212 ft"
length = "46 ft"
lay = "right-to-left"

[[link]]
planes = ["S", "N"]
how = "mirror"
offset = "-1/4"
must = true

[[penetration]]
id = "V1"
plane = "S"
kind = "pipe"
x = "31' 4 1/2\\""
y = "12 ft"
outside = 3.5
base = 8.5
status = "planned"
reach = 10

[[penetration]]
id = "C1"
plane = "N"
kind = "curb"
x = 640
y = 200
across = 38
along = 50
forbid = []
"""


def minimal(units="in", **tables):
    return {
        "title": "t",
        "units": units,
        "panel": {"cover": 18 if units == "in" else 450},
        "plane": [{"id": "S", "width": 2000, "length": 1000}],
        **tables,
    }


def pipe(**keys):
    return {"id": "V1", "plane": "S", "kind": "pipe", "x": 100, "y": 100, "outside": 4, **keys}


def only_pipe(units="in", **keys):
    tables = {key: keys.pop(key) for key in ("moves", "rules", "setting") if key in keys}
    return case_from_document(
        minimal(units, penetration=[pipe(**keys)], **tables)
    ).penetrations[0]


def test_every_key(tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(FULL, encoding="utf-8")
    case = load_case(path)
    assert isinstance(case, Case)
    assert (case.title, case.units, case.setting) == ("Clinic, north wing", "in", "new")
    assert (case.mark, case.step) == (INCH // 16, INCH // 2)
    assert case.panel == Panel(18 * INCH, INCH // 2, INCH // 2)
    assert case.rules.forbid == ("on-seam",)
    assert case.rules.min_end == 6 * INCH
    south, north = case.planes
    assert (south.width, south.length) == (212 * 12 * INCH, 46 * 12 * INCH)
    assert (south.lay, south.low_end, south.high_end) == (
        "left-to-right", "west gable", "east gable",
    )  # fmt: skip
    assert south.keepouts == (
        Keepout(360 * INCH, 362 * INCH, None, None, "beam"),
        Keepout(-5 * INCH, 8 * INCH, -INCH, 20 * INCH, "keep-out"),
    )
    assert (north.lay, north.low_end, north.high_end, north.keepouts) == (
        "right-to-left", "left end", "right end", (),
    )  # fmt: skip
    assert case.links == (Link(("S", "N"), "mirror", -INCH // 4, False, True),)
    vent, curb = case.penetrations
    assert (vent.x, vent.y) == (753 * INCH // 2, 144 * INCH)  # 31' 4 1/2" = 376.5"
    assert (vent.outside, vent.base) == (7 * INCH // 2, 17 * INCH // 2)
    assert (vent.status, vent.written_status) == ("planned", "planned")
    assert (vent.reach_low, vent.reach_high, vent.min_offset) == (10 * INCH, 10 * INCH, 0)
    assert vent.forbid == ("on-seam",)
    assert (curb.across, curb.along, curb.outside, curb.base) == (38 * INCH, 50 * INCH, 0, 0)
    assert (curb.status, curb.reach_low, curb.reach_high, curb.forbid) == ("fixed", 0, 0, ())
    assert case.file == str(path)
    assert case.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_rates_given_in_part_take_the_rest_from_the_defaults():
    rates = case_from_document(
        minimal(rates={"crew_hour": Decimal("95.50"), "on_seam": {"hours": 4, "material": 110},
                       "crosses": {"hours": 3}, "tight": {}})
    ).rates  # fmt: skip
    assert (rates.crew_hour, rates.plumber_hour) == (Decimal("95.50"), Decimal(120))
    assert tuple(rates.each) == RATE_NAMES
    assert (rates.each["on_seam"].hours, rates.each["on_seam"].material) == (4, 110)
    assert (rates.each["crosses"].hours, rates.each["crosses"].material) == (3, 35)
    assert rates.each["crosses"].given
    assert not rates.each["tight"].given
    assert "crosses" in rates.default  # half of it is still a guess
    assert {"crew_hour", "on_seam"}.isdisjoint(rates.default)
    assert {"plumber_hour", "tight", "misaligned"} <= set(rates.default)


def test_default_rates():
    # Guesses of the rules, copied by hand: hours, material.
    expected = {
        "tight": ("0.5", 0), "crosses": (2, 35), "on_seam": (5, 150), "seam_cut": ("1.5", 40),
        "crowded": (2, 60), "move_planned": ("0.5", 0), "move_stubbed": ("1.5", 45),
        "odd_panel": ("1.5", 60), "play": ("0.25", 0),
        "uneven": ("0.25", 0), "misaligned": (1, 0),
        "off_centre": ("0.5", 0), "unlanded": (2, 60), "area": (0, 0),
    }  # fmt: skip
    rates = case_from_document(minimal()).rates
    assert {name: (rate.hours, rate.material) for name, rate in rates.each.items()} == {
        name: (Decimal(hours), Decimal(material)) for name, (hours, material) in expected.items()
    }
    assert set(rates.default) == {*RATE_NAMES, "crew_hour", "plumber_hour"} - {"area"}
    assert (rates.crew_hour, rates.plumber_hour) == (95, 120)


@pytest.mark.parametrize(
    ("units", "unit", "expected"),
    [
        ("in", INCH, {"min_end": 6, "work_gap": 0.5, "hole_gap": 0.375, "seamer_gap": 0,
                      "end_lap": 4, "curb_side": 6, "edge_gap": 12, "spacing": 12, "flange": 2.5,
                      "enough": 1.5, "uneven_free": 2, "meet_tol": 0.25, "odd_min": 9,
                      "play": 0, "play_mark": Fraction(1, 64)}),
        ("mm", MM, {"min_end": 150, "work_gap": 12, "hole_gap": 10, "seamer_gap": 0,
                    "end_lap": 100, "curb_side": 150, "edge_gap": 300, "spacing": 300,
                    "flange": 65, "enough": 40, "uneven_free": 50, "meet_tol": 6,
                    "odd_min": 225, "play": 0, "play_mark": Fraction(1, 2)}),
    ],
)  # fmt: skip
def test_default_lengths(units, unit, expected):
    case = case_from_document(minimal(units))
    assert {name: getattr(case.rules, name) for name in expected} == {
        name: value * unit for name, value in expected.items()
    }
    assert (case.rules.forbid, case.rules.odd_panels, case.rules.odd_widths) == ((), 0, ())
    assert case.planes[0].start is None
    assert case.mark == (INCH // 16 if units == "in" else MM)
    assert case.step == (INCH // 2 if units == "in" else 10 * MM)
    half = INCH // 2 if units == "in" else 12 * MM
    assert (case.panel.seam_back, case.panel.seam_fwd) == (half, half)
    assert case.setting == "new"
    assert (case.links, case.penetrations) == ((), ())


@pytest.mark.parametrize(
    ("units", "cover", "min_end"),
    [
        ("in", "18", 6 * INCH),
        ("in", "12", 5 * INCH),  # a third is 4, at least 5
        ("in", "4", 4 * INCH),  # at most the cover
        ("in", "16", 86699),  # 16 * 16256 / 3 = 86698.67
        ("mm", "300", 125 * MM),
        ("mm", "500", 106667),  # 500 * 640 / 3 = 106666.67
        ("mm", "100", 100 * MM),
    ],
)
def test_min_end_follows_the_cover(units, cover, min_end):
    assert case_from_document(minimal(units, panel={"cover": cover})).rules.min_end == min_end


@pytest.mark.parametrize(
    ("sides", "back", "fwd"),
    [
        ({"seam_half": 1}, 1, 1),
        ({"seam_half": 1, "seam_back": 2}, 2, 1),
        ({"seam_half": 1, "seam_fwd": 0}, 1, 0),
        ({"seam_back": 2, "seam_fwd": 3}, 2, 3),
    ],
)
def test_each_side_of_a_seam(sides, back, fwd):
    panel = case_from_document(minimal(panel={"cover": 18, **sides})).panel
    assert (panel.seam_back, panel.seam_fwd) == (back * INCH, fwd * INCH)


def test_base_is_outside_and_two_flanges():
    assert only_pipe().base == 9 * INCH  # 4 + 2 * 2 1/2
    assert only_pipe(rules={"flange": 3}).base == 10 * INCH
    assert only_pipe("mm", outside=110).base == 240 * MM  # 110 + 2 * 65
    assert only_pipe(base=4).base == 4 * INCH  # as wide as the pipe is still a base


def test_a_turned_base_is_never_taken_narrower_than_its_diagonal():
    side = 17 * INCH // 2
    base = only_pipe(base=8.5, turned=True).base
    assert base**2 >= 2 * side**2 > (base - 1) ** 2  # Pythagoras: diagonal squared is twice
    assert base == isqrt(2 * side**2) + 1
    assert only_pipe(turned=True).base ** 2 >= 2 * (9 * INCH) ** 2


def test_reach_towards_each_end():
    planned = only_pipe(status="planned")
    assert (planned.reach_low, planned.reach_high) == (12 * INCH, 12 * INCH)
    own = only_pipe(status="planned", reach=10, reach_low=2)
    assert (own.reach_low, own.reach_high) == (2 * INCH, 10 * INCH)
    moves = {"reach": 7, "min_offset": 2}
    stubbed = only_pipe(status="stubbed", reach_high=0, moves=moves)
    assert (stubbed.reach_low, stubbed.reach_high, stubbed.min_offset) == (7 * INCH, 0, 2 * INCH)
    assert only_pipe(status="stubbed", min_offset=5).min_offset == 5 * INCH
    assert only_pipe(status="stubbed").min_offset == 3 * INCH
    assert only_pipe("mm", status="stubbed", outside=50).min_offset == 75 * MM
    assert only_pipe("mm", status="planned", outside=50).reach_low == 300 * MM


@pytest.mark.parametrize("keys", [{}, {"status": "planned", "hold": "duct"}, {"hold": "steel"}])
def test_fixed_pipes_do_not_move(keys):
    still = only_pipe(**keys, reach=10)
    assert (still.status, still.reach_low, still.reach_high) == ("fixed", 0, 0)
    assert still.written_status == keys.get("status", "fixed")


def test_in_a_reroof_everything_is_fixed():
    stubbed = only_pipe(status="stubbed", reach=1, min_offset=9, setting="reroof")
    assert (stubbed.status, stubbed.written_status) == ("fixed", "stubbed")
    assert (stubbed.reach_low, stubbed.reach_high, stubbed.min_offset) == (0, 0, 0)


@pytest.mark.parametrize("keys", [{"reach": 0}, {"reach_low": 0, "reach_high": 0}, {"reach": 3},
                                  {"reach_low": 1, "reach_high": 3}])  # fmt: skip
def test_a_stubbed_pipe_may_have_no_reach_or_just_enough(keys):
    assert only_pipe(status="stubbed", **keys).status == "stubbed"


def test_a_curb_tolerates_the_keys_of_moves():
    curb = {"id": "C", "plane": "S", "kind": "curb", "x": 0, "y": 1000, "across": 30, "along": 30,
            "status": "planned", "reach": 5, "reach_low": 5, "reach_high": 5, "min_offset": 9,
            "hold": "steel"}  # fmt: skip
    got = case_from_document(minimal(penetration=[curb])).penetrations[0]
    assert (got.status, got.written_status, got.reach_low) == ("fixed", "planned", 0)


@pytest.mark.parametrize(("x", "y"), [(0, 0), (2000, 1000)])
def test_the_edges_are_on_the_plane(x, y):
    assert only_pipe(x=x, y=y).x == x * INCH


def test_lengths_and_money_are_exact(tmp_path):
    path = tmp_path / "c.toml"
    path.write_text(FULL.replace("95.50", "0.1").replace("x = 640", "x = 640.1"))
    case = load_case(path)
    assert case.rates.crew_hour == Decimal("0.1")
    assert case.penetrations[1].x == 10405466  # 640.1 * 16256 = 10405465.6
    # As floats of a parsed document, the same.
    assert case_from_document(minimal(rates={"crew_hour": 0.1})).rates.crew_hour == Decimal("0.1")


@pytest.mark.parametrize("name", ["case.json", "case.txt", "case.JSON"])
def test_json_of_the_same_shape(tmp_path, name):
    path, toml = tmp_path / name, tmp_path / "case.toml"
    toml.write_text(FULL)
    path.write_text("\n" + json.dumps(tomllib.loads(FULL)))
    from_json, from_toml = load_case(path), load_case(toml)
    for part in ("panel", "rules", "rates", "planes", "links", "penetrations", "mark", "step"):
        assert getattr(from_json, part) == getattr(from_toml, part)


def test_a_byte_order_mark_is_fine(tmp_path):
    path = tmp_path / "case.toml"
    path.write_bytes(b"\xef\xbb\xbf" + FULL.replace("\n", "\r\n").encode())
    assert load_case(path).title == "Clinic, north wing"


def test_a_document_keeps_what_it_is_told():
    case = case_from_document(minimal(), file="form", sha256="abc")
    assert (case.file, case.sha256) == ("form", "abc")


def test_ids_may_be_written_in_any_script():
    assert only_pipe(id="Lüftung 1 \u2013 \u5317").id == "Lüftung 1 \u2013 \u5317"


def test_the_schema_describes_every_key():
    schema = CaseEntry.model_json_schema()
    models = [schema, *schema["$defs"].values()]
    fields = [(name, field) for model in models for name, field in model["properties"].items()]
    assert len(fields) > 70
    for name, field in fields:
        inner = schema["$defs"].get(field.get("$ref", "").split("/")[-1], {})
        assert field.get("description") or inner.get("description"), name
        assert field.get("default", ...) is not None, name
    assert {"from", "to"} <= set(schema["$defs"]["KeepoutEntry"]["properties"])
    assert all(model["additionalProperties"] is False for model in models)


def test_every_default_is_a_whole_number_of_ticks():
    assert set(LENGTHS["in"]) == set(LENGTHS["mm"])
    assert all(isinstance(ticks, int) for table in LENGTHS.values() for ticks in table.values())


def test_loading_needs_neither_solver_nor_arrays():
    code = (
        "import sys, solver.case_file.load; "
        "sys.exit(any(name in sys.modules for name in ('numpy', 'ortools', 'pandas', 'rich')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
