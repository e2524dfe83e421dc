"""The demo cases as plain documents, for tests that work from the case file itself."""

from __future__ import annotations

import csv
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parent.parent / "cases"


def names() -> list[str]:
    """The demo cases, by folder name."""
    return sorted(path.parent.name for path in FOLDER.glob("*/case.toml"))


def plain_names() -> list[str]:
    """Those whose planes are all rectangles, square, with no play, for models that know no more."""
    return [
        name for name in names()
        if not any(
            {"outline", "hole", "survey"} & plane.keys() for plane in document(name)["plane"]
        )
    ]


def plain_document(name: str) -> dict[str, Any]:
    """One of them without what plain models do not know: places where the pattern should sit, and
    curbs built otherwise than on a flange."""
    found = document(name)
    found.pop("centre", None)
    found["penetration"] = [
        pen for pen in found["penetration"] if pen.get("detail", "flange") == "flange"
    ]
    return found


def case_path(name: str) -> Path:
    """The case file of a demo case."""
    return FOLDER / name / "case.toml"


def document(name: str) -> dict[str, Any]:
    """A demo case as one document: the rows of its spreadsheet stand after its penetrations.

    Read with the standard library alone, so that oracles do not depend on the program's reader.
    """
    path = case_path(name)
    found = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    sheet = found.pop("penetrations_csv", None)
    if sheet is not None:
        text = (path.parent / sheet).read_text(encoding="utf-8-sig")
        rows = csv.DictReader(text.splitlines(), delimiter=";")
        for row in rows:
            written: dict[str, Any] = {key: cell for key, cell in row.items() if cell}
            if "forbid" in written:
                written["forbid"] = written["forbid"].split()
            if written:
                found.setdefault("penetration", []).append(written)
    return found
