"""What the result of each case is called: unique, the same in every run, harmless anywhere."""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import Final

from cli.batch.finding import CASE_NAMES, place_of

_LONGEST: Final = 100
"""Bytes, well below what any file system takes."""
_FOLDER: Final = 30
_RESERVED: Final = frozenset(
    ["con", "prn", "aux", "nul", "batch", "summary"]
    + [f"{port}{n}" for port in ("com", "lpt") for n in range(10)]
)
"""Names that mean a device on some system, and those of the other files in the folder."""


def result_names(
    paths: Sequence[str], folder: str, known: Mapping[str, str]
) -> dict[str, str]:
    """The name of each case's result by its path, without ending.

    `known` has the names that stand for cases already, by the case's place relative to `folder`: a
    case keeps its name, and no other takes it as long as that case exists. A case is called as its
    file, or as its folder where the file is called case; where two would be called the same, each
    has its folder before it, and what is still the same a hash of where it is.
    """
    places = {path: relative(path, folder) for path in paths}
    base = os.path.realpath(folder)
    held = {
        name.casefold(): name for place, name in known.items()
        if place in places.values() or os.path.exists(os.path.normpath(os.path.join(base, place)))
    }
    names = {
        path: known[place] for path, place in places.items() if place in known
    }
    waiting = [path for path in paths if path not in names]
    for way in (_plain, _with_folder):
        counts = Counter(way(path).casefold() for path in waiting)
        for path in waiting:
            name = way(path)
            if counts[name.casefold()] == 1 and name.casefold() not in held:
                names[path] = name
                held[name.casefold()] = name
        waiting = [path for path in waiting if path not in names]
    for path in waiting:
        mark = hashlib.sha256(places[path].encode("utf-8", "surrogatepass")).hexdigest()[:12]
        names[path] = f"{_with_folder(path)}-{mark}"
    return names


def relative(path: str, folder: str) -> str:
    """Where a case is, seen from the folder of results: both may move together."""
    try:
        return os.path.relpath(place_of(path), os.path.realpath(folder)).replace(os.sep, "/")
    except ValueError:  # on another drive
        return place_of(path)


def harmless(text: str) -> str:
    """A text as a file name that is one everywhere: letters, digits, and `-_.` within."""
    text = unicodedata.normalize("NFC", text)
    kept = "".join(char if char.isalnum() or char in "-_." else "-" for char in text)
    while len(kept.encode()) > _LONGEST:
        kept = kept[:-1]
    kept = kept.strip("-.") or "case"
    return f"case-{kept}" if kept.split(".")[0].casefold() in _RESERVED else kept


def _plain(path: str) -> str:
    return harmless(_parts(path)[1])


def _with_folder(path: str) -> str:
    return harmless("-".join(filter(None, _parts(path))))


def _parts(path: str) -> tuple[str, str]:
    """The folder a case is told apart by, and what it is called."""
    place = PurePath(place_of(path))
    if place.name in CASE_NAMES and place.parent.name:
        return place.parent.parent.name[:_FOLDER], place.parent.name
    return place.parent.name[:_FOLDER], place.stem
