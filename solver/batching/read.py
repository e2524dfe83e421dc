"""Reading a case and its CSV as bytes, without looking further into them than it takes."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Final

from solver.batching.one import Task
from solver.case_file.load_file import parse, read_bytes
from solver.errors import CaseError, Problem

_KEY: Final = "penetrations_csv"
_MAY_NAME_ONE: Final = (_KEY.encode(), b"\\u", b"\\U", b"\\x")
"""A file without any of these bytes names no CSV: a key is written out or escaped."""


@dataclass(frozen=True, slots=True)
class CaseBytes:
    """A case as it stands in its files: its bytes and, if it names one, the CSV's name and bytes.

    `sources` are the paths of both.
    """

    suffix: str
    data: bytes = field(repr=False)
    sheet: tuple[str, bytes] | None = field(repr=False)
    sources: tuple[str, ...]

    @property
    def sha256(self) -> str:
        """The hash that the result file says the case has."""
        rows = b"" if self.sheet is None else self.sheet[1]
        return hashlib.sha256(self.data + rows).hexdigest()

    @property
    def size(self) -> int:
        """Bytes of both."""
        return len(self.data) + (0 if self.sheet is None else len(self.sheet[1]))

    def task(self, top: int, limit: float | None) -> Task:
        """The case as something to solve."""
        return Task(self.suffix, self.data, self.sheet, self.sha256, top, limit)


def read_case(path: str) -> CaseBytes:
    """Read a case file and the CSV it names.

    A file that is no case at all is returned as it is: who solves it says what is wrong.

    Raises:
        CaseError: one of the files cannot be read.
    """
    place = Path(path)
    data = read_bytes(place, "")
    name = _sheet_name(data, place.suffix)
    if name is None:
        return CaseBytes(place.suffix, data, None, (path,))
    sheet = _inside(place.parent, name)
    try:
        if sheet is None:
            raise CaseError([])
        rows = read_bytes(sheet, "", "CSV")
    except CaseError:
        raise _told_by_loading(path) from None
    return CaseBytes(place.suffix, data, (name, rows), (path, str(place.parent / name)))


def _sheet_name(data: bytes, suffix: str) -> str | None:
    if not any(mark in data for mark in _MAY_NAME_ONE):
        return None
    try:
        name = parse(data, "", suffix).get(_KEY)
    except CaseError:
        return None
    return name if isinstance(name, str) and name.strip() else None


def _inside(folder: Path, name: str) -> Path | None:
    """The path of a CSV; None where it is no path inside the folder of the case."""
    windows = PureWindowsPath(name)
    if windows.drive or windows.root or PurePosixPath(name).is_absolute() or ".." in windows.parts:
        return None
    try:
        whole = folder.resolve()
        place = (whole / name).resolve()
    except (OSError, ValueError, RuntimeError):  # a NUL, a loop of links
        return None
    return place if place.is_relative_to(whole) else None


def _told_by_loading(path: str) -> CaseError:
    """What loading the case says of a CSV that cannot be had."""
    from solver.case_file.load import load_case

    try:
        load_case(path)
    except CaseError as error:
        return error
    return CaseError([Problem("", "", "", "", "it changed while it was read; run this again")])
