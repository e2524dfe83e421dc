"""Writing a folder whole or not at all.

All files go into a new folder beside the target, which then takes its place. An older folder is
replaced only if its manifest says that this program wrote it and everything in it is as it was
written: nobody loses a file he put there, nor what he filled in.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
import signal
import stat
import tempfile
import threading
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

from cli.failures import OptionError, OutputError
from cli.files import STDOUT, new_mode, reason
from cli.out.manifest import FORMAT, NAME
from cli.report.lines import clean

_BY_FILE_BROWSERS: Final = (".DS_Store", "Thumbs.db", "desktop.ini")
"""What file browsers leave behind in folders that are only looked at."""


def folder_faults(target: str | None, option: str, sources: Iterable[str]) -> list[str]:
    """Why a folder cannot be written there; nothing where none is asked for.

    `sources` are files the case is read from, which must not be in it.
    """
    if target is None:
        return []
    if target == STDOUT or not target or "\0" in target:
        return [f'{option}: "{clean(target)}" is no folder; give the name of one']
    place = Path(os.path.realpath(target))
    try:
        why = _over_source(place, sources) or _fault(place)
    except OSError as error:
        why = f"cannot be written ({reason(error)})"
    return [f"{option}: {target} {why}"] if why else []


def refuse_sources_in(target: str | None, option: str, sources: Iterable[str]) -> None:
    """Refuse a folder that a file the case was read from stands in.

    Raises:
        OptionError: there is such a file.
    """
    if target is not None and (why := _over_source(Path(os.path.realpath(target)), sources)):
        raise OptionError(f"{option}: {target} {why}")


def write_folder(target: str, files: Mapping[str, bytes], option: str) -> None:
    """Write files by their names in the folder, `/` between parts; all of them or nothing.

    Raises:
        OutputError: it cannot be written; the older folder, if any, stands as it was.
    """
    place = Path(os.path.realpath(target))
    try:
        if why := _fault(place):  # it may have come to be while the work went on
            raise OutputError(f"{option}: {target} {why}")
        new = Path(tempfile.mkdtemp(prefix=".offseam-", suffix=".part", dir=place.parent))
        try:
            _fill(new, files)
            new.chmod(stat.S_IMODE(place.stat().st_mode) if place.exists() else new_mode(0o777))
            _swap(new, place)
        finally:
            shutil.rmtree(new, ignore_errors=True)
    except OSError as error:
        raise OutputError(f"{option}: {target} cannot be written ({reason(error)})") from None


def _fault(place: Path) -> str:
    """What stands against writing there, as the rest of a sentence; empty if nothing does."""
    parent = place.parent
    if place.exists() and not place.is_dir():
        return "is a file; give the name of a folder"
    if not parent.is_dir():
        what = "is a file, no folder" if parent.exists() else "does not exist; make it first"
        return f"cannot be written: the folder it should stand in {what}"
    if place == parent or Path.cwd().is_relative_to(place):
        return "is the folder you are in, or one above it; give another"
    if not os.access(parent, os.W_OK | os.X_OK):
        return "cannot be written: you have no permission; choose a place where you have"
    return _not_ours(place) if place.is_dir() and any(place.iterdir()) else ""


def _over_source(place: Path, sources: Iterable[str]) -> str:
    for source in sources:
        try:
            paths = (Path(os.path.realpath(source)), Path(os.path.abspath(source)))
        except ValueError:  # no file name at all, which is told where it is read
            continue
        if any(place in path.parents for path in paths):
            return f"holds a file the case is read from ({source}); give another folder"
    return ""


def _not_ours(place: Path) -> str:
    other = "give an empty folder or a new one"
    known = _known(place / NAME)
    if known is None:
        return f"is not empty and has no {NAME} of offseam; {other}"
    for path in _walk(place):
        name = path.relative_to(place).as_posix()
        if name == NAME or path.name in _BY_FILE_BROWSERS:
            continue
        if path.is_dir() and not path.is_symlink():
            if not any(one.startswith(f"{name}/") for one in known):
                return f"holds {clean(name)}, which offseam did not write; {other}"
        elif name not in known or path.is_symlink() or not path.is_file():
            return f"holds {clean(name)}, which offseam did not write; {other}"
        elif hashlib.sha256(path.read_bytes()).hexdigest() != known[name]:
            return (f"holds {clean(name)}, which was changed since offseam wrote it; {other}, or "
                    "take that file away")
    return ""


def _known(file: Path) -> dict[str, str] | None:
    """The hash of every file that a manifest names; None if that is none of ours."""
    if file.is_symlink() or not file.is_file():
        return None
    try:
        document = json.loads(file.read_bytes())
        if document["format"] != FORMAT:
            return None
        return {str(one["name"]): str(one["sha256"]) for one in document["files"]}
    except (ValueError, LookupError, TypeError, RecursionError):
        return None


def _walk(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.iterdir()):
        yield path
        if path.is_dir() and not path.is_symlink():
            yield from _walk(path)


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    for name, data in files.items():
        path = folder / name
        if not path.parent.exists():
            path.parent.mkdir()
            path.parent.chmod(new_mode(0o777))
        with path.open("xb") as stream:  # two files of one name would be a fault of ours
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        path.chmod(new_mode(0o666))


def _swap(new: Path, place: Path) -> None:
    """Put a folder in the place of another; if that fails the other stands again."""
    with _uninterrupted():
        if not place.exists():
            os.rename(new, place)
            return
        aside = Path(tempfile.mkdtemp(prefix=".offseam-", suffix=".old", dir=place.parent))
        try:
            os.rename(place, aside / "old")
            try:
                os.rename(new, place)
            except BaseException:
                os.rename(aside / "old", place)
                raise
        finally:
            shutil.rmtree(aside, ignore_errors=True)


@contextlib.contextmanager
def _uninterrupted() -> Iterator[None]:
    """Ctrl-C inside takes effect behind: there are two steps, and both or none must be done."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    pressed: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: pressed.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before or signal.SIG_DFL)
    if pressed:
        raise KeyboardInterrupt
