"""Loading what panels are made of, what the take-off charges, and the rules of real roofs.

Figures are hand conversions: 1 in = 16256 ticks, 1 mm = 640 ticks.
"""

from decimal import Decimal

import pytest
from bad_documents import minimal, problems, the_problem, told

from solver.case_file.default_prices import PRICES
from solver.case_file.load import case_from_document
from solver.case_parts import EDGE_KINDS, PRICE_NAMES, Price, Sheet
from solver.stock.metals import thickness_of
from solver.units import parse_length

INCH, MM = 16256, 640


def metric(**tables):
    return {"title": "t", "units": "mm", "panel": {"cover": 400},
            "plane": [{"id": "S", "width": 9000, "length": 5000}], **tables}  # fmt: skip


def sheet(document=minimal, **keys):
    return case_from_document(document(sheet=keys)).sheet


# Rules


def test_rules_of_pieces_curbs_and_findings_have_defaults():
    # Common practice, no source; copied by hand from what the project set out to do.
    names = ("min_piece", "min_length", "land_tol", "dead_zone", "split_below")
    for document, unit, expected in (
        (minimal, INCH, (2, 4, Decimal("0.125"), 24, 16)),
        (metric, MM, (50, 100, 3, 600, 400)),
    ):
        rules = case_from_document(document()).rules
        assert [getattr(rules, name) for name in names] == [unit * value for value in expected]
        assert rules.setbacks == ()


def test_rules_of_pieces_curbs_and_findings_are_read():
    written = {"min_piece": 3, "min_length": "5", "land_tol": 0, "dead_zone": "3 ft",
               "split_below": 12}  # fmt: skip
    rules = case_from_document(minimal(rules=written)).rules
    assert (rules.min_piece, rules.min_length) == (3 * INCH, 5 * INCH)
    assert (rules.land_tol, rules.dead_zone, rules.split_below) == (0, 36 * INCH, 12 * INCH)


def test_setbacks_are_kept_by_kind_of_edge():
    written = {"wall": 6, "valley": "1 ft", "eave": 0}
    rules = case_from_document(minimal(rules={"setback": written})).rules
    assert rules.setbacks == (("eave", 0), ("valley", 12 * INCH), ("wall", 6 * INCH))
    every = {kind: 1 for kind in reversed(EDGE_KINDS)}
    rules = case_from_document(minimal(rules={"setback": every})).rules
    assert [kind for kind, _ in rules.setbacks] == list(EDGE_KINDS)


@pytest.mark.parametrize(
    ("rules", "key", "got", "mend"),
    [
        ({"min_piece": -1}, "min_piece", "-1", "cannot be negative"),
        ({"min_piece": "18 1/64"}, "min_piece", '"18 1/64"', 'more than the cover of 18"'),
        ({"min_length": "?"}, "min_length", '"?"', "write a number"),
        ({"land_tol": None}, "land_tol", "null", "write a number"),
        ({"dead_zone": True}, "dead_zone", "true", "write a number"),
        ({"split_below": -1}, "split_below", "-1", "cannot be negative"),
        ({"setback": {"gutter": 3}}, "setback.gutter", "3",
         "no such key; known are eave, ridge, rake, hip, valley, wall"),
        ({"setback": {"valleys": 3}}, "setback.valleys", "3", 'nearest known one is "valley"'),
        ({"setback": {"wall": -3}}, "setback.wall", "-3", "cannot be negative"),
        ({"setback": {"wall": None}}, "setback.wall", "null", "write a number"),
        ({"setback": 12}, "setback", "12", "write a table such as { valley = 12, wall = 12 }"),
        ({"setback": None}, "setback", "null", "write a table such as { valley = 12"),
    ],
)  # fmt: skip
def test_rules_that_cannot_be(rules, key, got, mend):
    told(the_problem(minimal(rules=rules)), "rules", key, got, mend)


def test_the_least_piece_is_held_against_every_cover():
    document = minimal(panel={"cover": [12, 16, 20]}, rules={"min_piece": 17})
    told(the_problem(document), "rules", "min_piece", "17", 'covers of 12" and 16"')
    assert case_from_document(minimal(rules={"min_piece": 18})).rules.min_piece == 18 * INCH


# Rates


def test_sheets_are_charged_where_the_case_says_so_only():
    plain = case_from_document(minimal()).rates
    assert not plain.each["area"].given
    assert "area" not in plain.default
    written = {"area": {"material": 3.5}, "unlanded": {"hours": 1}}
    given = case_from_document(minimal(rates=written)).rates
    assert given.each["area"].given
    assert given.cents("area") == 350
    assert given.each["unlanded"].hours == 1
    assert "off_centre" in plain.default


# Sheets


def test_the_default_sheet():
    plain = Sheet(
        metal="steel", thickness=thickness_of("steel", 24), gauge=24, male=INCH * 5 // 4,
        female=INCH * 3 // 2, turn_up=INCH, eave_hook=INCH, ridge_up=INCH * 3 // 2,
        hip_up=INCH * 3 // 2, valley_hook=INCH, wall_up=2 * INCH, max_length=None, lap=6 * INCH,
        stock=(), clip_spacing=24 * INCH, fasteners=2, given=False,
    )  # fmt: skip
    assert case_from_document(minimal()).sheet == plain
    assert sheet() == Sheet(**{name: getattr(plain, name) for name in plain.__slots__
                               if name != "given"}, given=True)  # fmt: skip


def test_the_default_sheet_in_millimetres():
    found = case_from_document(metric()).sheet
    lengths = (found.male, found.female, found.turn_up, found.eave_hook, found.ridge_up,
               found.hip_up, found.valley_hook, found.wall_up, found.lap, found.clip_spacing)
    assert lengths == tuple(mm * MM for mm in (32, 38, 25, 25, 40, 40, 25, 50, 150, 600))


def test_every_key_of_a_sheet_is_read():
    keys = {"male": 1, "female": 2, "turn_up": 0, "eave_hook": 0, "ridge_up": 3, "hip_up": 4,
            "valley_hook": 5, "wall_up": 6, "max_length": "30 ft", "lap": 8, "clip_spacing": 12}
    found = sheet(metal="zinc", thickness="0.7 mm", stock=["8 ft", 120], fasteners=3, **keys)
    for name, value in keys.items():
        assert getattr(found, name) == (360 if name == "max_length" else value) * INCH, name
    assert (found.metal, found.gauge, found.thickness) == ("zinc", None, 448)
    assert (found.stock, found.fasteners) == ((96 * INCH, 120 * INCH), 3)


@pytest.mark.parametrize(
    ("keys", "gauge", "thick"),
    [
        # From memory: 24 gauge steel 0.0239 in, stainless 0.025 in; 16 oz copper 0.0216 in.
        ({}, 24, "0.0239 in"),
        ({"gauge": 22}, 22, "0.0299 in"),
        ({"metal": "stainless"}, 24, "0.025 in"),
        ({"metal": "copper"}, 16, "0.0216 in"),
        ({"metal": "copper", "gauge": 20}, 20, "0.027 in"),
        ({"metal": "aluminium"}, None, "0.032 in"),
        ({"metal": "zinc"}, None, "0.028 in"),
        ({"metal": "steel", "thickness": 0.03}, None, "0.03 in"),
    ],
)
def test_how_thick_the_metal_is(keys, gauge, thick):
    found = sheet(**keys)
    assert (found.gauge, found.thickness) == (gauge, parse_length(thick, "in"))


@pytest.mark.parametrize(("metal", "thick"), [("aluminium", 0.8), ("zinc", 0.7)])
def test_metals_without_gauges_in_millimetres(metal, thick):
    assert sheet(metric, metal=metal).thickness == thick * MM


@pytest.mark.parametrize(
    ("keys", "key", "got", "mends"),
    [
        ({"metal": "tin"}, "metal", '"tin"',
         ['write "steel", "aluminium", "zinc", "copper" or "stainless"']),
        ({"gauge": 24.0}, "gauge", "24.0", ["whole number from 1 to 40"]),
        ({"gauge": 0}, "gauge", "0", ["whole number from 1 to 40"]),
        ({"gauge": True}, "gauge", "true", ["whole number"]),
        ({"gauge": "24"}, "gauge", '"24"', ["without quotes"]),
        ({"gauge": 25}, "gauge", "25", ["no such gauge of steel is known here", "22, 24, 26"]),
        ({"gauge": 24, "metal": "zinc"}, "gauge", "24", ["goes by its thickness"]),
        ({"gauge": 24, "thickness": 1}, "gauge", "24", ["not both"]),
        ({"thickness": 0}, "thickness", "0", ["more than 0"]),
        ({"male": -1}, "male", "-1", ["cannot be negative"]),
        ({"turn_up": None}, "turn_up", "null", ["write a number"]),
        ({"wall_up": "x"}, "wall_up", '"x"', ["write a number"]),
        ({"max_length": 0}, "max_length", "0", ["more than 0"]),
        ({"max_length": 6}, "max_length", "6", ['not more than the lap of 6"']),
        ({"clip_spacing": 0}, "clip_spacing", "0", ["more than 0"]),
        ({"fasteners": 0}, "fasteners", "0", ["fasteners from 1 to 100"]),
        ({"fasteners": 2.5}, "fasteners", "2.5", ["whole number of fasteners"]),
        ({"stock": 120}, "stock", "120", ['["10 ft", "12 ft"]']),
        ({"stock": [120, 0]}, "stock", "[120, 0]", ["length 2 of the list: it must be more"]),
        ({"stock": [120, 96]}, "stock", "[120, 96]", ["length 2 of the list is not longer",
                                                      "from short to long"]),
        ({"stock": [120, "10 ft"]}, "stock", '[120, "10 ft"]', ["not longer", "each once"]),
        ({"stock": [5, "6", 96]}, "stock", '[5, "6", 96]',
         ['5" and 6" are not more than the lap of 6"']),
        ({"stock": [*range(7, 48)]}, "stock", "a list", ["it lists 41 lengths; at most 40"]),
        ({"colour": "red"}, "colour", '"red"', ["no such key"]),
    ],
)  # fmt: skip
def test_sheets_that_cannot_be(keys, key, got, mends):
    told(the_problem(minimal(sheet=keys)), "sheet", key, got, *mends)


def test_the_lap_counts_where_it_could_be_read_only():
    assert sheet(stock=["6 1/64"], max_length="6 1/64").stock == (6 * INCH + 254,)
    (problem,) = problems(minimal(sheet={"lap": "?", "stock": [3], "max_length": 2}))
    assert problem.key == "lap"
    assert sheet(lap=0, stock=[3], max_length=2).lap == 0


def test_a_misread_metal_has_no_wrong_gauge():
    told(the_problem(minimal(sheet={"metal": "tin", "gauge": 25})), "sheet", "metal", '"tin"')


# Prices


@pytest.mark.parametrize("units", ["in", "mm"])
def test_default_prices(units):
    prices = case_from_document(minimal() if units == "in" else metric()).prices
    assert [name for name, _ in prices] == list(PRICE_NAMES)
    for name, price in prices:
        assert price == Price(*PRICES[units][name], given=False)
        assert price.hours > 0 or price.material > 0, name


def test_default_prices_by_the_foot_and_by_the_metre_are_near_each_other():
    """1 m = 3.28 ft, 1 m² = 10.76 square feet; by the piece they are the same."""
    for name in PRICE_NAMES:
        many = Decimal("10.76") if name == "panel" else Decimal("3.28")
        for foot, metre in zip(PRICES["in"][name], PRICES["mm"][name], strict=True):
            if name in ("panel", *EDGE_KINDS, "closure"):
                assert abs(metre / foot / many - 1) < Decimal("0.05"), name
            else:
                assert metre == foot, name


def test_prices_are_read():
    written = {"hip": {"hours": 0.25}, "clip": {"material": 0}, "curb": {"hours": 1, "material": 9}}
    prices = dict(case_from_document(minimal(prices=written)).prices)
    assert prices["hip"] == Price(Decimal("0.25"), PRICES["in"]["hip"][1], given=True)
    assert prices["clip"] == Price(PRICES["in"]["clip"][0], Decimal(0), given=True)
    assert prices["curb"] == Price(Decimal(1), Decimal(9), given=True)
    assert not prices["wall"].given


@pytest.mark.parametrize(
    ("prices", "where", "key", "got", "mend"),
    [
        ({"pannel": {"hours": 1}}, "prices", "pannel", "a table", 'nearest known one is "panel"'),
        ({"xyzzy": {"hours": 1}}, "prices", "xyzzy", "a table", "known are panel, clip, fastener"),
        ({"hip": 3}, "prices", "hip", "3", "write a table such as { hours = 4"),
        ({"hip": {"hours": -1}}, "prices", "hip.hours", "-1", "cannot be negative"),
        ({"hip": {"hours": "1"}}, "prices", "hip.hours", '"1"', "without quotes"),
        ({"hip": {"money": 1}}, "prices", "hip.money", "1", "known are hours, material"),
        ({"hip": {"hours": 10**9}}, "prices", "hip", "", "more than 10,000,000 for one of it"),
        ([], "", "prices", "[]", "write a table [prices]"),
    ],
)
def test_prices_that_cannot_be(prices, where, key, got, mend):
    told(the_problem(minimal(prices=prices)), where, key, got, mend)


def test_every_cover_has_its_sheet_and_its_prices():
    case = case_from_document(minimal(panel={"cover": [16, 18]}, sheet={"gauge": 22}))
    assert [one.sheet.gauge for one in case.covers] == [22, 22]
    assert all(one.prices == case.prices for one in case.covers)


def test_all_that_is_wrong_is_told_in_the_order_of_the_file():
    document = minimal(
        sheet={"metal": "tin", "stock": [9, 8]}, prices={"hips": {}},
        rules={"setback": {"roof": 1}, "min_piece": 19}, centre=[{"plane": "S", "at": 1}],
    )  # fmt: skip
    spoken = [(problem.where, problem.key) for problem in problems(document)]
    assert spoken == [
        ("sheet", "metal"), ("sheet", "stock"), ("prices", "hips"), ("rules", "setback.roof"),
        ("rules", "min_piece"), ("the 1st centre", "on"),
    ]  # fmt: skip
