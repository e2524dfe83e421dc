"""Lengths: reading, rounding, writing.

Outside facts: 1 in = 25.4 mm exactly (international yard and pound agreement, 1959; also NIST
Special Publication 811, appendix B), 1 ft = 12 in. Every other figure is a hand conversion.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import LengthError, OffseamError
from solver.units import (
    LONGEST,
    TICKS_PER_INCH,
    TICKS_PER_MM,
    format_length,
    parse_length,
    round_half_away,
    to_number,
)

INCH, MM = TICKS_PER_INCH, TICKS_PER_MM


def test_an_inch_is_25_4_mm():
    # International inch, 1959.
    assert Fraction(INCH, MM) == Fraction(254, 10)
    assert parse_length("1 in", "mm") == parse_length("25.4 mm", "in") == INCH
    assert parse_length("1 ft", "mm") == parse_length("304.8 mm", "mm") == 12 * INCH
    assert parse_length("1 m", "in") == parse_length("1000 mm", "in")
    assert parse_length("1 m", "in") == parse_length("100 cm", "in")


def test_sixty_fourths_tenths_and_their_halves_are_whole_ticks():
    assert INCH % 128 == 0
    assert MM % 20 == 0


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("11 1/2", Fraction(23, 2)),
        ("11-1/2 in", Fraction(23, 2)),
        ("28' 11\"", Fraction(347)),
        ("28'-11 1/2\"", Fraction(695, 2)),
        ("28' - 11 1/2\"", Fraction(695, 2)),
        ("28'11\"", Fraction(347)),
        ("28 ft 11 in", Fraction(347)),
        ("28' 1/2\"", Fraction(673, 2)),
        ("28' 0 1/2\"", Fraction(673, 2)),
        ("28' 11.5\"", Fraction(695, 2)),
        ("8.5 ft", Fraction(102)),
        ("28'", Fraction(336)),
        ("7/8", Fraction(7, 8)),
        (".5", Fraction(1, 2)),
        ("5.", Fraction(5)),
        ('3"', Fraction(3)),
        ("3 inches", Fraction(3)),
        ("28' 11''", Fraction(347)),
        ("28\u2032 11\u00bd\u2033", Fraction(695, 2)),
        ("28\u2019 11\u201d", Fraction(347)),
        ("11\u00a01\u20442", Fraction(23, 2)),
        ("-3 1/4", Fraction(-13, 4)),
        ("\u22123 1/4", Fraction(-13, 4)),
        ("-2' 6\"", Fraction(-30)),
        ("+4", Fraction(4)),
        ("  6  ", Fraction(6)),
        ("6 IN", Fraction(6)),
    ],
)
def test_every_way_of_writing_inches(text, inches):
    assert parse_length(text, "in") == inches * INCH


@pytest.mark.parametrize(
    ("text", "mm"),
    [("350 mm", 350), ("350", 350), ("2.4 m", 2400), ("12 cm", 120), ("0.5 mm", Fraction(1, 2))],
)
def test_every_way_of_writing_millimetres(text, mm):
    assert parse_length(text, "mm") == mm * MM


def test_a_bare_number_is_in_the_units_of_the_case():
    for value in (3, 3.0, Decimal(3), "3"):
        assert parse_length(value, "in") == 3 * INCH
        assert parse_length(value, "mm") == 3 * MM


def test_floats_are_read_as_they_are_written():
    assert parse_length(0.1, "mm") == parse_length(Decimal("0.1"), "mm") == 64


@pytest.mark.parametrize(
    ("ticks", "rounded"),
    [("1/2", 1), ("-1/2", -1), ("3/2", 2), ("-3/2", -2), ("49/100", 0), ("-49/100", 0), ("2", 2)],
)
def test_halves_go_away_from_zero(ticks, rounded):
    assert round_half_away(Fraction(ticks)) == rounded


def test_off_the_grid_is_rounded_once_where_it_is_read():
    # Half a tick is 1/1280 mm = 0.00078125 mm.
    assert parse_length(Decimal("0.00078125"), "mm") == 1
    assert parse_length(Decimal("-0.00078125"), "mm") == -1
    assert parse_length(Decimal("0.00078124"), "mm") == 0
    assert parse_length("1/3", "in") == 5419  # 16256 / 3 = 5418.67


@pytest.mark.parametrize(
    "text",
    ["", " ", "abc", "1e999", "1e3", "nan", "inf", "11 1/0", "1/0", "11 3/2", "28' 12\"",
     "11 1/2 1/2", "1 2", "3,5", "--3", "3 parsecs", "11 - 1/2", "11 -1/2", "5\"6", "\u0663",
     "1" * 65, "1_000", "0x10", "28' 6' 3\""],
)  # fmt: skip
def test_texts_that_are_no_length(text):
    with pytest.raises(LengthError):
        parse_length(text, "in")


@pytest.mark.parametrize("value", [True, False, None, [], {}, b"3", 3j])
def test_things_that_are_no_length(value):
    with pytest.raises(LengthError, match="write a number in the case's units"):
        parse_length(value, "in")


@pytest.mark.parametrize(
    "value",
    [float("nan"), float("inf"), Decimal("NaN"), Decimal("sNaN"), Decimal("-Infinity")],
)
def test_a_length_is_finite(value):
    with pytest.raises(LengthError, match="finite"):
        parse_length(value, "mm")


@pytest.mark.parametrize(
    "value",
    [1e300, Decimal("1e999"), Decimal("1e999999"), pytest.param(10**5000, id="huge"), "1001 m",
     "9" * 60 + " ft", 1_000_001],
)  # fmt: skip
def test_lengths_go_up_to_1_km(value):
    with pytest.raises(LengthError, match="1 km"):
        parse_length(value, "mm")


def test_1_km_itself_is_a_length():
    assert parse_length("1000 m", "in") == LONGEST
    assert parse_length(-1_000_000, "mm") == -LONGEST


def test_tiny_numbers_are_zero_and_cost_no_time():
    for value in (Decimal("1e-999999"), Decimal("0e999999"), Decimal("0e-999999"), 5e-324):
        assert parse_length(value, "in") == 0


def test_a_million_digits_are_refused_at_once():
    with pytest.raises(LengthError, match="fewer digits"):
        parse_length(Decimal("1." + "3" * 1_000_000), "in")


def test_length_errors_are_value_errors_and_ours():
    assert issubclass(LengthError, ValueError)
    assert issubclass(LengthError, OffseamError)


@pytest.mark.parametrize(
    ("inches", "written", "in_feet"),
    [
        ("11 1/2", '11 1/2"', '11 1/2"'),
        ("347", '347"', "28' 11\""),
        ("347.5", '347 1/2"', "28' 11 1/2\""),
        ("0", '0"', '0"'),
        ("-2 1/2", '-2 1/2"', '-2 1/2"'),
        ("12", '12"', "1' 0\""),
        ("1/16", '1/16"', '1/16"'),
    ],
)
def test_inches_are_written_as_a_person_writes_them(inches, written, in_feet):
    halves = 2 * parse_length(inches, "in")
    mark = INCH // 16
    assert format_length(halves, "in", mark) == written
    assert format_length(halves, "in", mark, feet=True) == in_feet


def test_a_gap_is_never_overstated():
    mark = INCH // 16
    just_below = 2 * INCH - 1  # half a tick short of an inch
    assert format_length(just_below, "in", mark) == '1"'
    assert format_length(just_below, "in", mark, how="down") == '15/16"'
    assert format_length(-1, "in", mark, how="down") == '-1/16"'


def test_millimetres_are_written_to_the_mark():
    assert format_length(2 * 350 * MM, "mm", MM) == "350 mm"
    assert format_length(2 * 350 * MM + MM, "mm", MM // 2) == "350.5 mm"
    assert format_length(-2 * 7 * MM, "mm", MM) == "-7 mm"


def test_numbers_for_files():
    assert to_number(23 * INCH, "in") == 11.5
    assert to_number(2 * 350 * MM, "mm") == 350
    assert isinstance(to_number(2 * INCH, "in"), int)


sixteenths = st.integers(-16 * 3000, 16 * 3000)


@given(sixteenths, st.booleans())
def test_what_is_written_reads_back(count, feet):
    ticks = count * (INCH // 16)
    assert parse_length(format_length(2 * ticks, "in", INCH // 16, feet=feet), "mm") == ticks


@given(st.integers(-(10**6), 10**6))
def test_millimetres_read_back(count):
    assert parse_length(format_length(2 * count * MM, "mm", MM), "in") == count * MM


@given(st.integers(-(10**7), 10**7))
def test_json_numbers_read_back(ticks):
    for units in ("in", "mm"):
        assert parse_length(to_number(2 * ticks, units), units) == ticks


@given(st.text(max_size=80))
def test_no_text_crashes(text):
    try:
        assert abs(parse_length(text, "in")) <= LONGEST
    except LengthError as error:
        assert str(error)
