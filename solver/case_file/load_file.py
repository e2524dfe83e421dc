"""From a path to the parsed document: every way in which a file itself can be wrong."""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, Final

from solver.errors import CaseError, Problem

MOST_BYTES: Final = 32 * 1024 * 1024


class Twice(dict[str, Any]):
    """A JSON object in which some keys are written more than once."""

    keys_twice: tuple[str, ...] = ()


def read_bytes(path: Path, file: str, what: str = "case") -> bytes:
    """The bytes of a file.

    Raises:
        CaseError: missing, a directory, unreadable, or larger than 32 MB.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _refused(file, f"there is no such file; give the path of a {what} file") from None
    except IsADirectoryError:
        raise _refused(file, f"this is a folder; give the path of the {what} file in it") from None
    except PermissionError:
        raise _refused(file, "you have no permission to read it; ask for it") from None
    except (OSError, ValueError) as error:  # ValueError: a NUL in the path
        reason = getattr(error, "strerror", None) or str(error)
        raise _refused(file, f"it cannot be read ({reason}); give a readable file") from None
    if len(data) > MOST_BYTES:
        raise _refused(file, f"it is larger than 32 MB, which no {what} file is")
    return data


def parse(data: bytes, file: str, suffix: str) -> dict[str, Any]:
    """A case file as a document; numbers with a point are exact decimals.

    JSON is told by the suffix `.json` or a leading brace; anything else is TOML.

    Raises:
        CaseError: empty, not UTF-8, or neither TOML nor JSON.
    """
    text = decoded(data)
    if text is None:
        raise _refused(file, f"{_not_text(data)}; save the file as UTF-8")
    if not text.strip():
        raise _refused(file, "the file is empty; a case needs at least a title, units, [panel] "
                             "with cover, and a [[plane]]")
    if suffix.lower() == ".json" or text.lstrip().startswith("{"):
        return _parse_json(text, file)
    return _parse_toml(text, file)


def decoded(data: bytes) -> str | None:
    """The text of UTF-8 bytes, with or without a byte-order mark; None where it is none."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return None
    return None if "\x00" in text else text


def _not_text(data: bytes) -> str:
    try:
        data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return f"line {data.count(10, 0, error.start) + 1} is not UTF-8 text"
    return "it holds zero bytes, which UTF-8 text has none of"


def _parse_toml(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except tomllib.TOMLDecodeError as error:
        raise _refused(file, f"it is not TOML: {error}; mend it there") from None
    except RecursionError:
        raise _refused(file, "it is nested too deeply; a case has tables of one level") from None
    except ValueError:  # the interpreter reads no whole number of more than 4,300 digits
        raise _refused(file, "a number in it has far too many digits; lengths go up to 1 km"
                       ) from None


def _parse_json(text: str, file: str) -> dict[str, Any]:
    try:
        document = json.loads(
            text,
            parse_float=_decimal,
            parse_int=_whole,
            parse_constant=Decimal,
            object_pairs_hook=_object,
        )
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise _refused(file, f"it is not JSON: {error.msg} (at {place}); mend it there") from None
    except RecursionError:
        raise _refused(file, "it is nested too deeply; a case has tables of one level") from None
    if not isinstance(document, dict):
        raise _refused(file, 'a case is an object of keys: { "title": …, "units": …, … }')
    return document


def _decimal(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:  # an exponent beyond what decimals hold
        return Decimal(0) if "e-" in text.lower() else Decimal("Infinity")


def _whole(text: str) -> int | Decimal:
    return int(text) if len(text) < 4000 else Decimal("Infinity")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    plain = dict(pairs)
    if len(plain) == len(pairs):
        return plain
    twice = Twice(pairs)
    times = Counter(key for key, _ in pairs)
    twice.keys_twice = tuple(key for key, count in times.items() if count > 1)
    return twice


def _refused(file: str, want: str) -> CaseError:
    return CaseError([Problem(file, "", "", "", want)])
