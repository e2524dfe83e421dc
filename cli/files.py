"""Writing a file whole or not at all.

What is written goes to a temporary file in the same folder, which then takes the place of the
target in one step. A reader never sees half of it, and a failure leaves the old file as it was.
"""

from __future__ import annotations

import contextlib
import os
import stat
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from cli.failures import OptionError, OutputError

STDOUT: Final = "-"


def target_faults(target: str | None, option: str, not_over: str) -> list[str]:
    """What is wrong with a target, as `check_target` says it; nothing where none is given."""
    if target is None:
        return []
    try:
        check_target(target, option, not_over=not_over)
    except OptionError as error:
        return [str(error)]
    return []


def check_target(target: str, option: str, *, not_over: str | None = None) -> None:
    """Refuse a target that cannot be written, before any work is done for it.

    `not_over` is an input file that must not be overwritten.

    Raises:
        OptionError: a folder, in a missing folder, without permission, or the input itself.
    """
    if target == STDOUT:
        return
    if not target or "\0" in target:
        raise OptionError(f'{option}: "{target}" is no file name; give one, or - for the screen')
    try:
        _check(Path(os.path.realpath(target)), target, option, not_over)
    except OSError as error:
        raise OptionError(f"{option}: {target} cannot be written ({reason(error)})") from None


def refuse_sources(target: str | None, option: str, sources: Iterable[str]) -> None:
    """Refuse a target that is one of the files the case was read from, by whatever path or link.

    Raises:
        OptionError: the target is such a file.
    """
    if target is None or target == STDOUT:
        return
    for source in sources:
        if _same(Path(os.path.realpath(target)), Path(source)):
            raise OptionError(f"{option}: {target} is a file the case is read from ({source}); "
                              "give another name")


def _same(place: Path, source: Path) -> bool:
    try:
        return place.exists() and source.exists() and place.samefile(source)
    except (OSError, ValueError):
        return False


def _check(place: Path, target: str, option: str, not_over: str | None) -> None:
    folder = place.parent
    if place.is_dir() or target.endswith(os.sep):
        raise OptionError(f"{option}: {target} is a folder; give the name of a file in it")
    if not folder.is_dir():
        what = "is a file, no folder" if folder.exists() else "does not exist; make it first"
        raise OptionError(f"{option}: {target} cannot be written: its folder {what}")
    if not_over is not None and _same(place, Path(not_over)):
        raise OptionError(f"{option}: {target} is the case itself; give another name")
    if place.exists():
        allowed = os.access(place, os.W_OK) and (_special(place) or os.access(folder, os.W_OK))
    else:
        allowed = os.access(folder, os.W_OK | os.X_OK)
    if not allowed:
        raise OptionError(f"{option}: you have no permission to write {target}; choose a place "
                          "where you have")


def write_text(target: str, text: str, option: str) -> None:
    """Write `text` as UTF-8 to a file, whole or not at all, or to standard output for "-".

    Raises:
        OutputError: it cannot be written; nothing is left behind.
    """
    data = text.encode("utf-8", "backslashreplace")  # a lone surrogate becomes its JSON escape
    if target == STDOUT:
        write_stdout(data)
        return
    place = Path(os.path.realpath(target))
    try:
        if place.exists() and _special(place):
            place.write_bytes(data)  # a device or pipe is written to, never replaced
        else:
            _replace(place, data)
    except OSError as error:
        raise OutputError(f"{option}: {target} cannot be written ({reason(error)})") from None


def write_stdout(data: bytes) -> None:
    """Write bytes to standard output. A reader that closes its end early is no error.

    Raises:
        OutputError: standard output cannot be written, for example because the disk is full.
    """
    if sys.stdout is None:
        raise OutputError("standard output cannot be written (it is closed)")
    try:
        sys.stdout.flush()
        buffer = getattr(sys.stdout, "buffer", None)
        if buffer is None:  # a stand-in without bytes
            sys.stdout.write(data.decode("utf-8"))
        else:
            buffer.write(data)
            buffer.flush()
    except BrokenPipeError:
        silence_stdout()
    except OSError as error:
        silence_stdout()
        raise OutputError(f"standard output cannot be written ({reason(error)})") from None


def plug_streams() -> None:
    """Keep the numbers 0 to 2 from the files we open where the caller closed a standard stream."""
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            with contextlib.suppress(OSError):
                os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free


def silence_stdout() -> None:
    """Send what is still to come nowhere, so that closing down does not fail again."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _replace(place: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=".offseam-", suffix=".part", dir=place.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(name, _mode_for(place))
        os.replace(name, place)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def _mode_for(place: Path) -> int:
    """The permissions of the file replaced, or those a new file gets here."""
    with contextlib.suppress(OSError):
        return stat.S_IMODE(place.stat().st_mode)
    return new_mode(0o666)


def new_mode(wanted: int) -> int:
    """The permissions that something new gets here, of those wanted."""
    mask = os.umask(0)
    os.umask(mask)
    return wanted & ~mask


def _special(place: Path) -> bool:
    return not stat.S_ISREG(place.stat().st_mode)


def reason(error: OSError) -> str:
    """Why the system refused, as it says itself."""
    return (error.strerror or type(error).__name__).lower()
