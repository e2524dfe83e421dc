"""Reading one text of a case file: titles, ids, names of sizes, revisions, dates.

Nothing is coerced from another type, except that a bare number or date is taken as its text where
people write it bare.
"""

from __future__ import annotations

import unicodedata
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Any, Final

from pydantic import PlainValidator, WithJsonSchema

LONGEST_TEXT: Final = 200
LONGEST_ID: Final = 80


def read_text(value: object) -> str:
    """A text that says something and prints on one line."""
    if not isinstance(value, str):
        raise ValueError("write a text in quotes")
    if not value.strip():
        raise ValueError("write a text that is not empty")
    if len(value) > LONGEST_TEXT:
        raise ValueError(f"write at most {LONGEST_TEXT} characters")
    if not value.isprintable() and any(map(_is_control, value)):
        raise ValueError("write it without control characters or line breaks")
    return value


def read_id(value: object) -> str:
    """An id: a short text by which reports and options name a thing."""
    text = read_text(value)
    if text != text.strip():
        raise ValueError("write the id without spaces around it")
    if len(text) > LONGEST_ID:
        raise ValueError(f"write an id of at most {LONGEST_ID} characters")
    return text


def read_ids(value: object) -> tuple[str, ...]:
    """A list of ids."""
    if not isinstance(value, list | tuple):
        raise ValueError('write a list of ids in brackets, such as ["V1", "V2"]')
    return tuple(map(read_id, value))


def read_nominal(value: object) -> str:
    """A nominal size: a short text, or a number, which is taken as its text."""
    text = read_id(_number_as_text(value))
    if text is not value and not Decimal(text) > 0:
        raise ValueError("a nominal size is more than 0")
    return text


def read_revision(value: object) -> str:
    """What a revision is called: nothing, a text, or a number, which is taken as its text."""
    return "" if value == "" else read_text(_number_as_text(value))


def read_date(value: object) -> str:
    """A date as the sheets show it: nothing, a text, or a date of TOML."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    return "" if value == "" else read_text(value)


def _number_as_text(value: object) -> object:
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return value
    number = Decimal(float.__repr__(value)) if isinstance(value, float) else Decimal(value)
    short = number.is_finite() and abs(number) < 10**6 and len(number.as_tuple().digits) <= 20
    if not short:
        raise ValueError("write it as a short text in quotes")
    return format(number.normalize(), "f")  # 3.0 is the size "3"


def _is_control(character: str) -> bool:
    return unicodedata.category(character) in ("Cc", "Cf", "Cs", "Zl", "Zp")


def _text_of(most: int, least: int = 1) -> dict[str, Any]:
    return {"type": "string", "minLength": least, "maxLength": most}


_TEXT = WithJsonSchema(_text_of(LONGEST_TEXT))
_ID = WithJsonSchema(_text_of(LONGEST_ID))
_IDS = WithJsonSchema({"type": "array", "items": _text_of(LONGEST_ID)})
_NOMINAL = WithJsonSchema({"anyOf": [{"type": "number"}, _text_of(LONGEST_ID)]})
_REVISION = WithJsonSchema({"anyOf": [{"type": "number"}, _text_of(LONGEST_TEXT, 0)]})
_DATE = WithJsonSchema(_text_of(LONGEST_TEXT, 0))

# `Maybe…` is None where the file says nothing; a written null is refused all the same.
Text = Annotated[str, PlainValidator(read_text), _TEXT]
MaybeText = Annotated[str | None, PlainValidator(read_text), _TEXT]
Id = Annotated[str, PlainValidator(read_id), _ID]
MaybeId = Annotated[str | None, PlainValidator(read_id), _ID]
Ids = Annotated[tuple[str, ...], PlainValidator(read_ids), _IDS]
MaybeNominal = Annotated[str | None, PlainValidator(read_nominal), _NOMINAL]
Revision = Annotated[str, PlainValidator(read_revision), _REVISION]
Date = Annotated[str, PlainValidator(read_date), _DATE]
