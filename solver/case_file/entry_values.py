"""Reading one value of a case file: lengths, flags, counts, money, lists of states.

Texts and ids are read in `solver.case_file.entry_texts`. Each reader refuses the wrong type in
plain words; nothing is ever coerced from another type. The validation context says how to read:
`units` ("in" or "mm") of bare numbers, `cells` (true for a spreadsheet, where every value is a
text), `decimal_comma` (true where 3,5 means 3.5).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import lru_cache
from typing import Annotated, Any, Final

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from solver.case import FORBIDDABLE
from solver.case_file.entry_texts import read_id
from solver.units import Units, parse_length

MOST_COVERS: Final = 12
MOST_PANELS: Final = 100_000
MOST_ODD_PANELS: Final = 20
MOST_ODD_WIDTHS: Final = 40
MOST_DIGITS: Final = 30
HIGHEST_RATE: Final = 10**9
_FLAGS: Final = {"true": True, "yes": True, "false": False, "no": False}


def read_length(value: object, info: ValidationInfo) -> int:
    """A length of either sign, in ticks."""
    context = _context(info)
    if isinstance(value, str):
        if context.get("decimal_comma") and "," in value:
            value = _with_point(value)
        return _parse_text(value, context["units"])
    return parse_length(value, context["units"])


@lru_cache(maxsize=65536)  # a spreadsheet repeats its lengths row after row
def _parse_text(text: str, units: Units) -> int:
    return parse_length(text, units)


def _context(info: ValidationInfo) -> dict[str, Any]:
    return info.context or {"units": "in"}


def _with_point(text: str) -> str:
    before, after = text.split(",", 1)
    digits = len(after) - len(after.lstrip("0123456789"))
    if digits == 3:
        raise ValueError(
            "three digits after a comma can mean thousands or thousandths; write a point, or "
            "another number of digits"
        )
    return f"{before}.{after}"


def read_gap(value: object, info: ValidationInfo) -> int:
    """A length of 0 or more, in ticks."""
    ticks = read_length(value, info)
    if ticks < 0:
        raise ValueError("it cannot be negative; write 0 or more")
    return ticks


def read_size(value: object, info: ValidationInfo) -> int:
    """A length of more than 0, in ticks."""
    ticks = read_length(value, info)
    if ticks <= 0:
        raise ValueError("it must be more than 0")
    return ticks


def read_covers(value: object, info: ValidationInfo) -> tuple[int, ...]:
    """One coverage width, or a list of different ones to be compared, in ticks."""
    if not isinstance(value, list | tuple):
        return (read_size(value, info),)
    if not value:
        raise ValueError("the list is empty; write one cover, or several to compare")
    if len(value) > MOST_COVERS:
        raise ValueError(f"it lists {len(value):,} covers; at most {MOST_COVERS} can be compared")
    sizes, faults = read_sizes("cover", value, info)
    covers: dict[int, int] = {}
    for number, cover in sizes:
        same = covers.setdefault(cover, number)
        if same != number:
            faults.append(f"covers {same} and {number} of the list are the same; keep one")
    if faults:
        raise ValueError("; ".join(faults))
    return tuple(covers)


def read_widths(value: object, info: ValidationInfo) -> tuple[int, ...]:
    """A list of widths, in ticks: each once, the narrowest first. An empty list says nothing."""
    if not isinstance(value, list | tuple):
        raise ValueError('write a list of lengths in brackets, such as ["12 in", "15 in"]')
    if len(value) > MOST_ODD_WIDTHS:
        raise ValueError(f"it lists {len(value):,} widths; at most {MOST_ODD_WIDTHS} can be told")
    sizes, faults = read_sizes("width", value, info)
    if faults:
        raise ValueError("; ".join(faults))
    return tuple(sorted({width for _, width in sizes}))


def read_sizes(
    name: str, items: Iterable[object], info: ValidationInfo
) -> tuple[list[tuple[int, int]], list[str]]:
    """Number and ticks of each item of a list that is a size, and what is wrong with the rest."""
    sizes, faults = [], []
    for number, item in enumerate(items, start=1):
        try:
            sizes.append((number, read_size(item, info)))
        except ValueError as error:
            faults.append(f"{name} {number} of the list: {error}")
    return sizes, faults


def read_flag(value: object, info: ValidationInfo) -> bool:
    """True or false; in a cell also yes or no."""
    if isinstance(value, str) and _context(info).get("cells"):
        flag = _FLAGS.get(value.lower())
        if flag is None:
            raise ValueError("write true, false, yes or no")
        return flag
    if not isinstance(value, bool):
        raise ValueError("write true or false, without quotes")
    return value


def read_count(value: object) -> int:
    """How many odd panels: a whole number, 0 or more, of which a plane has only so many."""
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= MOST_ODD_PANELS:
        raise ValueError(f"write a whole number of 0 or more, at most {MOST_ODD_PANELS}")
    return value


def read_panels(value: object) -> int:
    """A whole number of panels, at least 1."""
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_PANELS:
        raise ValueError(f"write a whole number of panels from 1 to {MOST_PANELS:,}")
    return value


def read_money(value: object) -> Decimal:
    """Hours or money: a finite number from 0 to a thousand million, exact as written."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise ValueError("write a number without quotes")
    if isinstance(value, int) and abs(value) > HIGHEST_RATE:
        value = HIGHEST_RATE + 1 if value > 0 else -1  # a huge whole number has no short text
    number = Decimal(float.__repr__(value)) if isinstance(value, float) else Decimal(value)
    if not number.is_finite():
        raise ValueError("a rate is a finite number of 0 or more")
    if number < 0:
        raise ValueError("a rate cannot be negative; write 0 or more")
    if number > HIGHEST_RATE:
        raise ValueError("a rate goes up to 1,000,000,000")
    if len(number.as_tuple().digits) > MOST_DIGITS:
        raise ValueError(f"write it with at most {MOST_DIGITS} digits")
    return number


def read_states(value: object, info: ValidationInfo) -> tuple[str, ...]:
    """A list of states that are not allowed, each named once; in a cell set apart by spaces."""
    if isinstance(value, str) and _context(info).get("cells"):
        value = value.replace(",", " ").replace("|", " ").split()
    names = ", ".join(f'"{state}"' for state in FORBIDDABLE)
    if not isinstance(value, list | tuple):
        raise ValueError(f"write a list of states in brackets, chosen from {names}")
    if any(not isinstance(state, str) or state not in FORBIDDABLE for state in value):
        raise ValueError(f"the states that can be forbidden are {names}")
    return tuple(dict.fromkeys(value))


def read_pair(value: object) -> tuple[str, str]:
    """The ids of two planes."""
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise ValueError('name exactly two planes, such as ["S", "N"]')
    return read_id(value[0]), read_id(value[1])


def one_of(*names: str) -> Callable[[object], str]:
    """A reader that takes one of some words and nothing else."""
    *before, last = (f'"{name}"' for name in names)
    wanted = f"write {', '.join(before)} or {last}"

    def read(value: object) -> str:
        if not isinstance(value, str) or value not in names:
            raise ValueError(wanted)
        return value

    return read


def _number_or_text(**limits: int) -> WithJsonSchema:
    number: dict[str, Any] = {"type": "number", **limits}
    return WithJsonSchema({"anyOf": [number, {"type": "string", "minLength": 1}]})


_ANY = _number_or_text()
_GAP = _number_or_text(minimum=0)
_SIZE = _number_or_text(exclusiveMinimum=0)
_STATES = WithJsonSchema(
    {"type": "array", "items": {"enum": list(FORBIDDABLE)}, "uniqueItems": True}
)
_MONEY = WithJsonSchema({"type": "number", "minimum": 0, "maximum": HIGHEST_RATE})
_COVERS = WithJsonSchema(
    {
        "anyOf": [
            {"type": "number", "exclusiveMinimum": 0},
            {"type": "string", "minLength": 1},
            {"type": "array", "minItems": 1, "maxItems": MOST_COVERS},
        ]
    }
)
_COUNT = WithJsonSchema({"type": "integer", "minimum": 0, "maximum": MOST_ODD_PANELS})
_WIDTHS = WithJsonSchema({"type": "array", "maxItems": MOST_ODD_WIDTHS})
_PANELS = WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_PANELS})

# `Maybe…` is None where the file says nothing; a written null is refused all the same.
Length = Annotated[int, PlainValidator(read_length), _ANY]
MaybeLength = Annotated[int | None, PlainValidator(read_length), _ANY]
MaybeGap = Annotated[int | None, PlainValidator(read_gap), _GAP]
Size = Annotated[int, PlainValidator(read_size), _SIZE]
MaybeSize = Annotated[int | None, PlainValidator(read_size), _SIZE]
Covers = Annotated[tuple[int, ...], PlainValidator(read_covers), _COVERS]
Panels = Annotated[int, PlainValidator(read_panels), _PANELS]
Flag = Annotated[bool, PlainValidator(read_flag), WithJsonSchema({"type": "boolean"})]
MaybeFlag = Annotated[
    bool | None, PlainValidator(read_flag), WithJsonSchema({"type": "boolean"})
]
Count = Annotated[int, PlainValidator(read_count), _COUNT]
Widths = Annotated[tuple[int, ...], PlainValidator(read_widths), _WIDTHS]
MaybeMoney = Annotated[Decimal | None, PlainValidator(read_money), _MONEY]
States = Annotated[tuple[str, ...], PlainValidator(read_states), _STATES]
MaybeStates = Annotated[tuple[str, ...] | None, PlainValidator(read_states), _STATES]
Pair = Annotated[
    tuple[str, str],
    PlainValidator(read_pair),
    WithJsonSchema(
        {"type": "array", "items": {"type": "string"}, "minItems": 2, "maxItems": 2}
    ),
]
