"""Which cases a command line means: files, folders, and patterns that no shell has spread out."""

from __future__ import annotations

import glob
import json
import os
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from cli.report.words import joined, plural

CASE_NAMES: Final = ("case.toml", "case.json")
_SUFFIXES: Final = (".toml", ".json")
_TABLES: Final = ("panel", "plane", "penetration")
_MOST_NAMED: Final = 6
_MOST_LOOKED_AT: Final = 1024 * 1024


@dataclass
class Found:
    """What the arguments stand for, in their order.

    `cases` are paths, each once. `wrong` has (argument, what is wrong with it) by its place among
    the cases; `skipped` what was passed over, in sentences.
    """

    cases: list[str] = field(default_factory=list)
    wrong: dict[int, str] = field(default_factory=dict)
    skipped: list[str] = field(default_factory=list)
    _seen: set[str] = field(default_factory=set)

    def add(self, path: str) -> None:
        """A case, unless it was given before by whatever path."""
        key = place_of(path)
        if key in self._seen:
            self.skipped.append(f"{path}: given twice, solved once")
            return
        self._seen.add(key)
        self.cases.append(path)

    def refuse(self, argument: str, want: str) -> None:
        """An argument that stands for no case gets a row of its own."""
        self.wrong[len(self.cases)] = want
        self.cases.append(argument)


def place_of(path: str) -> str:
    """A path as it is known by: links in its folders followed, its own name as given.

    A link to a case is a case of its own: it has another folder, which may hold another CSV.
    """
    folder, name = os.path.split(os.path.abspath(path))
    return os.path.join(os.path.realpath(folder), name)


def find_cases(arguments: Sequence[str]) -> Found:
    """The cases that arguments stand for."""
    found = Found()
    for argument in arguments:
        if "\0" in argument or not argument:
            found.refuse(argument, "this is no file name; give the path of a case")
        elif os.path.lexists(argument) or not glob.has_magic(argument):
            _take(argument, found)
        elif matches := sorted(glob.glob(argument, recursive=True)):
            for match in matches:
                _take(match, found)
        else:
            found.refuse(argument, "no file matches this pattern; give the path of a case")
    return found


def _take(path: str, found: Found) -> None:
    if not os.path.isdir(path):
        found.add(path)
        return
    try:
        cases, passed = _in_folder(path)
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        found.refuse(path, f"this folder cannot be read ({reason})")
        return
    if passed:
        found.skipped.append(f"{path}: skipped {joined(passed)}")
    for case in cases:
        found.add(case)
    if not cases:
        found.refuse(path, "there is no case in this folder; a case is a .toml or .json file in it "
                           "or a case.toml one folder further down")


def _in_folder(folder: str) -> tuple[list[str], list[str]]:
    """The cases in a folder by name, and what else is in it, in words."""
    cases: list[str] = []
    no_cases: list[str] = []
    bare: list[str] = []
    others = 0
    for name in sorted(os.listdir(folder)):
        path = os.path.join(folder, name)
        if name.startswith("."):
            continue
        if os.path.isdir(path):
            inside = [os.path.join(path, case) for case in CASE_NAMES]
            taken = [case for case in inside if os.path.isfile(case)]
            cases += taken
            bare += [] if taken else [name]
        elif not name.lower().endswith(_SUFFIXES):
            others += 1
        elif says := _no_case(path):
            no_cases.append(f"{name} ({says})")
        else:
            cases.append(path)
    return cases, list(_passed(no_cases, bare, others))


def _passed(no_cases: list[str], bare: list[str], others: int) -> Iterator[str]:
    yield from no_cases[:_MOST_NAMED]
    if (more := len(no_cases) - _MOST_NAMED) > 0:
        yield f"{plural(more, 'more file')} that {'is' if more == 1 else 'are'} no case"
    if bare:
        named = ", ".join(bare[:_MOST_NAMED]) + (", …" if len(bare) > _MOST_NAMED else "")
        yield f"{plural(len(bare), 'folder')} without case.toml ({named})"
    if others:
        yield f"{plural(others, 'file')} of another kind"


def _no_case(path: str) -> str:
    """Why a file in a folder is taken for no case; empty where it may be one, good or bad."""
    try:
        with open(path, "rb") as stream:
            data = stream.read(_MOST_LOOKED_AT + 1)
        text = data.decode("utf-8-sig")
        if len(data) > _MOST_LOOKED_AT:  # looking is not worth it; solving it says what it is
            return ""
        read = json.loads if text.lstrip().startswith("{") else tomllib.loads
        document = read(text)
    except (OSError, ValueError, RecursionError):
        return ""
    if not isinstance(document, dict):
        return ""
    if str(document.get("format", "")).startswith("offseam-"):
        return "written by this program"
    if not any(table in document for table in _TABLES):
        return "no case: it has neither panel nor plane nor penetration"
    return ""
