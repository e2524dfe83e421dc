"""The shape of [field] and [movement], and of a plane's [plane.survey]: what the crew goes by."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Final, Literal

from pydantic import Field, PlainValidator, ValidationInfo, WithJsonSchema

from solver.case_file.defaults import said
from solver.case_file.entries_limits import Entry
from solver.case_file.entry_values import Length, MaybeGap, MaybeSize, one_of, read_gap
from solver.units import HOW_TO_WRITE

Surface = Literal["insulated light", "insulated dark", "uninsulated light", "uninsulated dark"]
SURFACES: Final[dict[Surface, int]] = {
    "insulated light": 75,
    "insulated dark": 95,
    "uninsulated light": 60,
    "uninsulated dark": 75,
}
"""From the coldest to the hottest that a steel roof gets, in kelvin: NZ Metal Roof and Wall
Cladding Code of Practice (read)."""
MOST_KELVIN: Final = 300
MOST_OFFSETS: Final = 200
_DIGITS: Final = 10**6
_LONGEST_TEXT: Final = 40
_DEGREES: Final = re.compile(
    r"([0-9]+\.?[0-9]*|\.[0-9]+) ?(?:°|deg(?:rees?)?)? ?([KCF])", re.IGNORECASE
)
_HOW_WARM: Final = (
    "write a difference in kelvin such as 60, or a text such as \"60 K\" or, in degrees "
    'Fahrenheit, "110 F"'
)


def read_kelvin(value: object) -> Decimal:
    """A difference of two temperatures, in kelvin, to a millionth.

    A difference in degrees Fahrenheit is five ninths of it in kelvin; nothing is taken off first.
    """
    if isinstance(value, str):
        exact = _from_text(value)
    elif isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise ValueError(_HOW_WARM)
    else:
        exact = _from_number(value)
    if exact < 0:
        raise ValueError("it cannot be negative; write by how much, 0 or more")
    if exact > MOST_KELVIN:
        raise ValueError(f"a roof does not get that far; write at most {MOST_KELVIN} kelvin")
    return in_kelvin(exact)


def in_kelvin(exact: Fraction) -> Decimal:
    """A temperature difference to the nearest millionth of a kelvin, halves up."""
    count = (2 * exact.numerator * _DIGITS + exact.denominator) // (2 * exact.denominator)
    whole, rest = divmod(count, _DIGITS)
    return Decimal(f"{whole}.{rest:06d}".rstrip("0").rstrip("."))


def _from_text(text: str) -> Fraction:
    found = _DEGREES.fullmatch(text.strip()) if len(text) <= _LONGEST_TEXT else None
    if found is None:
        raise ValueError(_HOW_WARM)
    exact = Fraction(found[1].rstrip("."))
    return exact * 5 / 9 if found[2].upper() == "F" else exact


def _from_number(value: int | float | Decimal) -> Fraction:
    if isinstance(value, int):
        return Fraction(max(min(value, MOST_KELVIN + 1), -1))
    number = Decimal(float.__repr__(value)) if isinstance(value, float) else value
    if not number.is_finite():
        raise ValueError("a difference of temperatures is a finite number")
    if abs(number) > MOST_KELVIN or number < 0:
        return Fraction(-1 if number < 0 else MOST_KELVIN + 1)
    # What is below a millionth goes, before its fraction could take for ever.
    return Fraction(number.quantize(Decimal("1e-12")))


def read_fixed(value: object, info: ValidationInfo) -> int | str:
    """Where panels are fixed: a word, or a height up the slope in ticks."""
    if value in ("top", "bottom", "middle") and isinstance(value, str):
        return value
    try:
        return read_gap(value, info)
    except ValueError as error:
        raise ValueError(
            f'write "top", "bottom" or "middle", or a length up the slope; {error}'
            if str(error) != HOW_TO_WRITE
            else 'write "top", "bottom" or "middle", or a length up the slope such as "10 ft"'
        ) from error


MaybeKelvin = Annotated[
    Decimal | None,
    PlainValidator(read_kelvin),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": 0, "maximum": MOST_KELVIN},
                {"type": "string", "minLength": 1},
            ]
        }
    ),
]
MaybeSurface = Annotated[
    Surface | None,
    PlainValidator(one_of(*SURFACES)),
    WithJsonSchema({"enum": list(SURFACES)}),
]
Fixed = Annotated[
    int | Literal["top", "bottom", "middle"],
    PlainValidator(read_fixed),
    WithJsonSchema({"anyOf": [{"type": "number", "minimum": 0}, {"type": "string"}]}),
]


class FieldEntry(Entry):
    """What the crew's sheet goes by."""

    tape_mark: MaybeGap = Field(
        default=None,
        description="How far before a seam's centre, seen from where laying starts, the face of "
        "the leg stands that a tape hooks, a length. Default: seam_back of [panel].",
    )
    control: MaybeSize = Field(
        default=None,
        description=f"A control line about every so far, a length. Default {said('control')}.",
    )
    closing: MaybeSize = Field(
        default=None,
        description="The last stretch of a run, which is laid to the far end, a length. "
        f"Default {said('closing')}.",
    )
    hook: MaybeGap = Field(
        default=None,
        description="How far a pipe may stand out of the roof before no pan can be hooked over "
        f"it, a length. Default {said('hook')}.",
    )


class MovementEntry(Entry):
    """How much warmer and colder the metal gets, and where panels are fixed."""

    warmer: MaybeKelvin = Field(
        default=None,
        description="How much warmer the metal gets than when it was laid, in kelvin, or a text "
        'such as "110 F". Goes with colder.',
    )
    colder: MaybeKelvin = Field(
        default=None, description="How much colder, in the same way. Goes with warmer."
    )
    range: MaybeKelvin = Field(
        default=None,
        description="From coldest to hottest, in the same way, half of it either way; instead of "
        "warmer and colder.",
    )
    surface: MaybeSurface = Field(
        default=None,
        description='"insulated light", "insulated dark", "uninsulated light" or "uninsulated '
        'dark": the range of such a roof of steel, half of it either way; instead of numbers.',
    )
    fixed: Fixed = Field(
        default="top",
        description='Where panels are fixed: "top" (default), "bottom", "middle", or a length up '
        "the slope, on it.",
    )


class OffsetEntry(Entry):
    """A reading from the base line to a rake."""

    y: Length = Field(description="How far up the base line, from the eave, a length.")
    low: MaybeGap = Field(
        default=None,
        description="From the base line to the rake at the low end, a length. Default: not taken.",
    )
    high: MaybeGap = Field(
        default=None,
        description="From the base line to the rake at the high end, a length. Default: not taken.",
    )


class SurveyEntry(Entry):
    """What was taped of a plane, on the slope: four sides and a diagonal, or offsets."""

    eave: MaybeSize = Field(default=None, description="Along the eave, a length. Default: none.")
    ridge: MaybeSize = Field(default=None, description="Along the ridge, a length. Default: none.")
    low_rake: MaybeSize = Field(
        default=None, description="Up the rake at the low end, a length. Default: none."
    )
    high_rake: MaybeSize = Field(
        default=None, description="Up the rake at the high end, a length. Default: none."
    )
    up: MaybeSize = Field(
        default=None,
        description="The diagonal from the low end of the eave to the high end of the ridge, a "
        "length. Default: none.",
    )
    down: MaybeSize = Field(
        default=None,
        description="The diagonal from the high end of the eave to the low end of the ridge, a "
        "length. Default: none.",
    )
    base: MaybeGap = Field(
        default=None,
        description="Where the base line stands that offsets are taken from, from the low end of "
        "the eave, a length; it runs square to the eave. Goes with offsets.",
    )
    offsets: tuple[OffsetEntry, ...] = Field(
        default=(),
        max_length=MOST_OFFSETS,
        description="Readings from the base line to the rakes, such as "
        '[{ y = 0, low = "20 ft", high = "80 ft" }, …], two of a side or more. Default: none.',
    )
    run: Literal["square", "fan", "as-drawn"] = Field(
        default="as-drawn",
        description='How panels run on what was found: "square" to the eave, "fan" (each seam '
        'turned a little, within play), or "as-drawn" (default; only told).',
    )
