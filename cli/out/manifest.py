"""The manifest of a folder: what is in it, out of what it was made, and a hash of every file."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from importlib import metadata
from typing import Any, Final

from solver.result import Ranked, Result

NAME: Final = "manifest.json"
FORMAT: Final = "offseam-folder-1"
_WRITERS: Final = ("ezdxf", "openpyxl")
Json = dict[str, Any]


def manifest(result: Result, entry: Ranked, holds: str, files: Mapping[str, bytes]) -> Json:
    """What a folder with these files holds; the manifest itself is not listed.

    `seed` is null: nothing in a folder is drawn at random. No time of day stands in it, so that the
    same case gives the same bytes.
    """
    case = result.case
    return {
        "format": FORMAT,
        "holds": holds,
        "title": case.title,
        "units": case.units,
        "revision": case.revision,
        "date": case.date,
        "case_sha256": case.sha256,
        "layout": entry.rank,
        "layouts": len(result.layouts),
        "proof": entry.proof,
        "complete": result.complete,
        "stopped": result.stopped,
        "engine": result.engine,
        "seed": None,
        "versions": {**result.versions, **{name: _version(name) for name in _WRITERS}},
        "files": [
            {"name": name, "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
            for name, data in sorted(files.items())
        ],
    }


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "unknown"
