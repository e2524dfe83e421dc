"""What a batch has to do: every case read once, what is done before set aside, targets checked."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cli.batch import summary_csv
from cli.batch.book import Book
from cli.batch.finding import Found
from cli.batch.names import result_names
from cli.batch.row import Row
from cli.failures import OptionError
from cli.files import check_target
from solver.batching.one import (
    FAULT,
    OUT_OF_TIME,
    WRONG_CASE,
    case_words,
    fault_words,
    figures_of,
    outcome,
)
from solver.batching.read import read_case
from solver.document import FORMAT
from solver.errors import CaseError

_RESULT_MARK: Final = f'"format": "{FORMAT}"'.encode()
_SUMMARY_MARK: Final = ",".join(summary_csv.HEADINGS[:4]).encode()
_HEAD: Final = 200


@dataclass(frozen=True, slots=True)
class Todo:
    """A case to solve: its place on the command line, its result's name, its size in bytes."""

    number: int
    path: str
    name: str
    size: int = 0


def make_folder(folder: str) -> None:
    """Make the folder of results where it does not exist.

    Raises:
        OptionError: it is no folder, or cannot be made or written to.
    """
    if not folder or "\0" in folder:
        raise OptionError(f'--out: "{folder}" is no name of a folder; give one')
    if os.path.lexists(folder) and not os.path.isdir(folder):
        raise OptionError(f"--out: {folder} is no folder; give the name of one")
    try:
        os.mkdir(folder)
    except FileExistsError:
        pass
    except FileNotFoundError:
        raise OptionError(
            f"--out: {folder} cannot be made: the folder it is in does not exist; make that first"
        ) from None
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise OptionError(f"--out: {folder} cannot be made ({reason})") from None


def make_plan(
    found: Found, book: Book, folder: str, top: int, limit: float | None, *, again: bool
) -> tuple[dict[int, Row], list[Todo]]:
    """Rows that are known by their place among the cases, and what is to be solved.

    Raises:
        OptionError: a file to be written is one that is read, or not of this program's making.
    """
    rows = {n: Row(found.cases[n], "", WRONG_CASE, want) for n, want in found.wrong.items()}
    todo: list[Todo] = []
    sources: list[str] = []
    paths = [path for n, path in enumerate(found.cases) if n not in rows]
    names = result_names(paths, folder, book.names())
    for number, path in enumerate(found.cases):
        if number in rows:
            continue
        try:
            case = read_case(path)
        except CaseError as error:
            rows[number] = Row(path, "", WRONG_CASE, case_words(error))
            continue
        except Exception as error:
            rows[number] = Row(path, "", FAULT, fault_words(error))
            continue
        sources += case.sources
        name = names[path]
        before = None if again else book.done(name, case.sha256, top, limit)
        row = None if before is None else _done_row(path, name, before)
        if row is None:
            todo.append(Todo(number, path, name, case.size))
        else:
            rows[number] = row
    _check_targets(book, folder, todo, [*paths, *sources])
    return rows, todo


def _done_row(path: str, name: str, data: bytes) -> Row | None:
    try:
        document = json.loads(data)
        state, message = outcome(document)
        figures = figures_of(document)
    except (ValueError, KeyError, TypeError):
        return None
    if state == OUT_OF_TIME:  # then it is not done, and may have more luck
        return None
    return Row(path, name, state, message, figures, before=True)


def _check_targets(book: Book, folder: str, todo: list[Todo], sources: Iterable[str]) -> None:
    summary = os.path.join(folder, summary_csv.NAME)
    targets = {book.result(one.name): book.knows(one.name) for one in todo}
    wrong = _over_sources([book.path, summary, *targets], sources)
    for target in [book.path, summary, *targets]:
        try:
            check_target(target, "--out")
        except OptionError as error:
            wrong.append(str(error))
    if wrong:
        raise OptionError(*wrong)
    foreign = [target for target, ours in targets.items()
               if not ours and not _begins(target, _RESULT_MARK)]
    if not _begins(summary, _SUMMARY_MARK):
        foreign.append(summary)
    if foreign:
        raise OptionError(*(
            f"--out: {target} was not written by this command; give another folder, or move it "
            "out of the way" for target in foreign
        ))


def _over_sources(targets: list[str], sources: Iterable[str]) -> list[str]:
    """Targets that are files the cases are read from, by whatever path or link."""
    files = {}
    for target in targets:
        if key := _file(target):
            files[key] = target
    return [
        f"--out: {files[key]} is a file the cases are read from ({source}); give another folder"
        for source in sources if (key := _file(source)) in files
    ] if files else []


def _file(path: str) -> tuple[int, int] | None:
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino


def _begins(path: str, mark: bytes) -> bool:
    """Whether a file says at its beginning what it is, or is not there at all."""
    try:
        with Path(path).open("rb") as stream:
            return mark in stream.read(_HEAD)
    except FileNotFoundError:
        return True
