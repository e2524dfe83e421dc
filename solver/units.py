"""Lengths: reading, writing, and the one integer grid all computation stands on.

The grid unit is the tick, 1/640 mm. 1/64 in is 254 ticks, 1 in is 16 256 and 1 mm is 640, so
inches, 64ths, tenths of a millimetre and the halves of all of them are whole numbers (1 in =
25.4 mm exactly: international inch, 1959). This is the only module that rounds a length.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal

from solver.errors import LengthError

Units = Literal["in", "mm"]

TICKS_PER_MM: Final = 640
TICKS_PER_INCH: Final = 16256
TICKS_PER: Final[dict[str, int]] = {"in": TICKS_PER_INCH, "mm": TICKS_PER_MM}
LONGEST: Final = 1_000_000 * TICKS_PER_MM
"""The longest length taken: 1 km. Anything longer is a slip of the pen."""

_MOST_DIGITS: Final = 64
_UNIT_TICKS: Final[dict[str, int]] = {
    "": 0,  # stands for the case's own unit
    "in": TICKS_PER_INCH,
    "inch": TICKS_PER_INCH,
    "inches": TICKS_PER_INCH,
    '"': TICKS_PER_INCH,
    "ft": 12 * TICKS_PER_INCH,
    "foot": 12 * TICKS_PER_INCH,
    "feet": 12 * TICKS_PER_INCH,
    "'": 12 * TICKS_PER_INCH,
    "mm": TICKS_PER_MM,
    "cm": 10 * TICKS_PER_MM,
    "m": 1000 * TICKS_PER_MM,
}
_SAME_MARK: Final = str.maketrans(
    {
        **dict.fromkeys("\u2032\u2019\u2018\u00b4", "'"),  # prime, curly quotes, acute accent
        **dict.fromkeys("\u2033\u201d\u201c", '"'),  # double prime, curly double quotes
        **dict.fromkeys("\u2212\u2013\u2010\u2011", "-"),  # minus, en dash, hyphens
        "\u2044": "/",  # fraction slash
        **dict.fromkeys("\u00a0\u2009\u202f", " "),  # no-break and thin spaces
    }
)
_VULGAR: Final = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}
_VALUE: Final = (
    r"(?:(?:(?P<{0}whole>\d+)[ -])?(?P<{0}num>\d+)/(?P<{0}den>\d+)"
    r"|(?P<{0}dec>\d+\.?\d*|\.\d+))"
)
_SINGLE: Final = re.compile(
    r"(?P<sign>[+-]?) ?"
    + _VALUE.format("a")
    + r" ?(?P<unit>inches|inch|in|\"|feet|foot|ft|'|mm|cm|m|)",
    re.ASCII,
)
_FEET: Final = re.compile(
    r"(?P<sign>[+-]?) ?(?P<feet>\d+) ?(?:'|ft|feet|foot)(?: ?- ?| ?)"
    + _VALUE.format("b")
    + r" ?(?:\"|inches|inch|in|)",
    re.ASCII,
)
HOW_TO_WRITE: Final = (
    "write a number in the case's units or a text such as \"11 1/2\", \"28' 11 1/2\\\"\", "
    '"8.5 ft", "350 mm" or "2.4 m"'
)


def round_half_away(value: Fraction) -> int:
    """Nearest whole number, halves away from zero."""
    size = abs(value)
    whole = (2 * size.numerator + size.denominator) // (2 * size.denominator)
    return whole if value >= 0 else -whole


def parse_length(value: object, units: Units) -> int:
    """Read a length as ticks, rounded once to the nearest tick, halves away from zero.

    A bare number, or a text without a unit, is in `units`.

    Raises:
        LengthError: no length, not finite, or longer than 1 km.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal | str):
        raise LengthError(HOW_TO_WRITE)
    exact = _from_text(value, units) if isinstance(value, str) else _from_number(value, units)
    ticks = round_half_away(exact)
    if abs(ticks) > LONGEST:
        raise LengthError("lengths go up to 1 km")
    return ticks


def _from_number(value: int | float | Decimal, units: Units) -> Fraction:
    number = Decimal(float.__repr__(value)) if isinstance(value, float) else value
    if isinstance(number, Decimal):
        if not number.is_finite():
            raise LengthError("a length is a finite number")
        if len(number.as_tuple().digits) > _MOST_DIGITS:  # exact fractions of it take for ever
            raise LengthError("write it with fewer digits")
        if number and number.adjusted() > 9:
            raise LengthError("lengths go up to 1 km")
        if number.adjusted() < -15:
            return Fraction(0)  # far below half a tick; its fraction could have a huge denominator
    elif abs(number) > 10**9:
        raise LengthError("lengths go up to 1 km")
    return Fraction(number) * TICKS_PER[units]


def _from_text(text: str, units: Units) -> Fraction:
    if len(text) > _MOST_DIGITS:
        raise LengthError(HOW_TO_WRITE)
    plain = text.translate(_SAME_MARK)
    for sign, spelled in _VULGAR.items():
        plain = plain.replace(sign, f" {spelled}")
    plain = " ".join(plain.replace("''", '"').lower().split())
    if feet := _FEET.fullmatch(plain):
        inches = _value(feet, "b")
        if inches >= 12:
            raise LengthError("the inches after feet are below 12")
        ticks = (int(feet["feet"]) * 12 + inches) * TICKS_PER_INCH
        sign_text = feet["sign"]
    elif single := _SINGLE.fullmatch(plain):
        ticks = _value(single, "a") * (_UNIT_TICKS[single["unit"]] or TICKS_PER[units])
        sign_text = single["sign"]
    else:
        raise LengthError(HOW_TO_WRITE)
    return -ticks if sign_text == "-" else ticks


def _value(match: re.Match[str], which: str) -> Fraction:
    if (decimal := match[f"{which}dec"]) is not None:
        return Fraction(Decimal(decimal))
    numerator, denominator = int(match[f"{which}num"]), int(match[f"{which}den"])
    if denominator == 0:
        raise LengthError("a fraction cannot have 0 below the line")
    whole = match[f"{which}whole"]
    if whole is not None and numerator >= denominator:
        raise LengthError("the fraction after a whole number is below 1")
    return int(whole or 0) + Fraction(numerator, denominator)


def to_number(halves: int, units: Units) -> float:
    """Half ticks as a number of `units`, for JSON and drawings (the nearest float)."""
    number = halves / (2 * TICKS_PER[units])
    return int(number) if number.is_integer() else number


def format_length(
    halves: int,
    units: Units,
    mark: int,
    *,
    how: Literal["nearest", "down"] = "nearest",
    feet: bool = False,
) -> str:
    """A length as a person writes it, to the fineness of `mark` (ticks).

    `halves` are half ticks. `feet` splits inches into feet and inches (`28' 11"`). `how="down"`
    never overstates a gap: it rounds towards less, `nearest` takes halves away from zero. Where the
    mark is no common fraction of the unit (a mark of 1 mm in a case in inches), decimals are shown.
    """
    parts, digits = _parts(mark, units)
    exact = Fraction(halves * parts, 2 * TICKS_PER[units])
    count = exact.numerator // exact.denominator if how == "down" else round_half_away(exact)
    sign = "-" if count < 0 else ""
    count = abs(count)
    if units == "mm":
        return f"{sign}{_decimal(count, parts, digits or 0)} mm"
    if feet and count >= 12 * parts:
        whole, rest = divmod(count, 12 * parts)
        # 17' 0 1/2" and not 17' 1/2": a bare fraction behind feet is misread.
        zero = "0 " if 0 < rest < parts and digits is None else ""
        return f"{sign}{whole}' {zero}{_inches(rest, parts, digits)}"
    return sign + _inches(count, parts, digits)


def _parts(mark: int, units: Units) -> tuple[int, int | None]:
    """Into how many parts of a unit a length is shown, and as how many decimals.

    The fewest parts that show every `mark`; inches as fractions (16ths or finer: None decimals)
    where halves of halves of them are a mark.
    """
    per = TICKS_PER[units]
    if units == "in":
        for parts in (16, 32, 64):
            if mark * parts % per == 0:
                return parts, None
        return 1000, 3
    for digits in (0, 1, 2):
        if mark * 10**digits % per == 0:
            return 10**digits, digits
    return 100, 2


def _decimal(count: int, parts: int, digits: int) -> str:
    whole, over = divmod(count, parts)
    return f"{whole}.{over:0{digits}d}" if digits else str(whole)


def _inches(count: int, parts: int, digits: int | None) -> str:
    if digits is not None:
        text = _decimal(count, parts, digits)
        return f'{text.rstrip("0").rstrip(".")}"'
    whole, over = divmod(count, parts)
    if not over:
        return f'{whole}"'
    fraction = Fraction(over, parts)
    text = f"{fraction.numerator}/{fraction.denominator}"
    return f'{whole} {text}"' if whole else f'{text}"'


def say_length(ticks: int, units: Units) -> str:
    """A length of a case as a message repeats it: to 1/16 in where exact, else as a decimal."""
    halves, per = 2 * ticks, TICKS_PER[units]
    if units == "in" and 16 * ticks % per == 0:
        return format_length(halves, units, per // 16)
    text = f"{ticks / per:.3f}".rstrip("0").rstrip(".")
    return f'{text}"' if units == "in" else f"{text} mm"
