"""What a folder of results remembers of each case: `batch.json`, written whole or not at all."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

from cli.batch.names import harmless
from cli.failures import OptionError
from cli.files import write_text
from solver import __version__

FORMAT: Final = "offseam-batch-1"
NAME: Final = "batch.json"
_PAUSE: Final = 10.0
"""A save waits this many times as long as the last one took, if that was a slow one: the book of a
very large portfolio costs a tenth of the time at most."""
_SLOW: Final = 0.05


@dataclass(frozen=True, slots=True)
class Entry:
    """A case that was answered.

    `case` is where it is, seen from the folder of results; `sha256` is of the case and its CSV,
    `result_sha256` of the result file as it was written. `stopped` says why the work ended early:
    empty where it did not, and more time would change nothing.
    """

    case: str
    sha256: str
    program: str
    top: int
    time: float | None
    stopped: str
    result_sha256: str


class Book:
    """The entries of a folder by the name of the result.

    Raises:
        OptionError: there is a file of that name which is not of this program's making.
    """

    def __init__(self, folder: str) -> None:
        self.path = os.path.join(folder, NAME)
        self._folder = folder
        self._entries = _read(self.path)
        self._changed = False
        self._not_before = 0.0

    def names(self) -> dict[str, str]:
        """The name of each case's result, by where the case is."""
        return {entry.case: name for name, entry in self._entries.items()}

    def knows(self, name: str) -> bool:
        """Whether a result of that name was written by a batch."""
        return name in self._entries

    def done(self, name: str, sha256: str, top: int, limit: float | None) -> bytes | None:
        """The result of a case that need not be solved again; None where it must be."""
        entry = self._entries.get(name)
        if entry is None or (entry.stopped and entry.time != limit):
            return None
        if (entry.sha256, entry.program, entry.top) != (sha256, __version__, top):
            return None
        return self._unchanged(name, entry)

    def write(self, name: str, text: str, entry: Entry) -> None:
        """Put a result into the folder and remember it.

        Raises:
            OutputError: it cannot be written.
        """
        write_text(self.result(name), text, "--out")
        self._entries[name] = entry
        self._changed = True
        self.save()

    def forget_other(self, name: str, sha256: str) -> None:
        """A case of that hash has no result: one of an earlier state of it would mislead.

        It is removed where it is as this command wrote it.
        """
        entry = self._entries.get(name)
        if entry is None or entry.sha256 == sha256:
            return
        del self._entries[name]
        self._changed = True
        if self._unchanged(name, entry) is not None:
            with contextlib.suppress(OSError):
                os.unlink(self.result(name))
        self.save()

    def result(self, name: str) -> str:
        """The path of a result."""
        return os.path.join(self._folder, f"{name}.json")

    def save(self, *, now: bool = False) -> None:
        """Write the book if there is news; with `now` without waiting for the next chance.

        Raises:
            OutputError: it cannot be written.
        """
        began = time.monotonic()
        if not self._changed or (began < self._not_before and not now):
            return
        cases = {name: asdict(self._entries[name]) for name in sorted(self._entries)}
        document = {"format": FORMAT, "cases": cases}
        write_text(self.path, json.dumps(document, indent=1, ensure_ascii=False) + "\n", "--out")
        self._changed = False
        ended = time.monotonic()
        took = ended - began
        self._not_before = ended + (_PAUSE * took if took > _SLOW else 0.0)

    def _unchanged(self, name: str, entry: Entry) -> bytes | None:
        try:
            data = Path(self.result(name)).read_bytes()
        except OSError:
            return None
        return data if sha256_of(data) == entry.result_sha256 else None


def sha256_of(data: bytes) -> str:
    """The hash by which a file is known again."""
    return hashlib.sha256(data).hexdigest()


def _read(path: str) -> dict[str, Entry]:
    try:
        document = json.loads(Path(path).read_bytes())
        if document["format"] != FORMAT:
            raise ValueError
        cases = document["cases"].items()
        return {name: _entry(fields) for name, fields in cases if harmless(name) == name}
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise OptionError(
            f"--out: {path} is no list of this program's results; give another folder, or move it "
            "out of the way"
        ) from None


def _entry(fields: dict[str, Any]) -> Entry:
    entry = Entry(**fields)
    texts = (entry.case, entry.sha256, entry.program, entry.stopped, entry.result_sha256)
    if not all(isinstance(text, str) for text in texts):
        raise ValueError
    return entry
