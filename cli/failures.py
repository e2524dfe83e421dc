"""What is told when something is wrong, and the exit code that goes with it.

0 done; 1 a fault of the program; 2 the command line or the case is wrong; 3 no layout satisfies
the rules, or the layout checked breaks them; 4 time ran out before any layout was found; 130
interrupted.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Iterable
from pathlib import Path
from typing import Final, TextIO

from solver.errors import (
    CaseError,
    ChoiceError,
    DisagreementError,
    LengthError,
    OffseamError,
    OutOfTimeError,
)

DONE: Final = 0
FAULT: Final = 1
WRONG_INPUT: Final = 2
NO_LAYOUT: Final = 3
OUT_OF_TIME: Final = 4
INTERRUPTED: Final = 130
TRACEBACK: Final = "OFFSEAM_TRACEBACK"


class OptionError(Exception):
    """One or more options cannot be followed; each message is a sentence that names its option."""

    def __init__(self, *messages: str) -> None:
        self.messages = messages
        super().__init__("\n".join(messages))


class OutputError(Exception):
    """What was asked for cannot be written; the message is a sentence."""


def escaped(text: str) -> str:
    """A text whose line breaks stay and whose other control characters are shown as escapes."""
    return "\n".join(
        "".join(
            char if char.isprintable() else char.encode("unicode_escape").decode() for char in one
        )
        for one in text.split("\n")
    )


def tell(text: str, stream: TextIO | None = None) -> None:
    """Write sentences to standard error; a reader who has gone away is no reason to fail."""
    stream = sys.stderr if stream is None else stream
    if stream is None:  # closed before we were started
        return
    data = escaped(text) + "\n"
    try:
        encoding = getattr(stream, "encoding", None) or "utf-8"
        stream.write(data.encode(encoding, "backslashreplace").decode(encoding))
        stream.flush()
    except (OSError, ValueError):
        return


def tell_no_layout(file: str, head: str, reasons: Iterable[str]) -> None:
    """Why a case has no answer: the file, what is wrong, and every reason on a line of its own."""
    tell(f"{file}: {head}")
    for reason in reasons:
        tell(f"{file}: {reason}".replace("\n", "\\n"))


def exit_code(error: BaseException) -> int:
    """Tell an error and say which exit code it means."""
    match error:
        case KeyboardInterrupt():
            tell("interrupted")
            return INTERRUPTED
        case CaseError() | ChoiceError() | LengthError() | OptionError() | OutputError():
            tell(str(error))
            return WRONG_INPUT
        case OutOfTimeError() | TimeoutError():
            tell("time ran out before any layout was found: give more with --time, or leave it out")
            return OUT_OF_TIME
    _tell_fault(error)
    return FAULT


def _tell_fault(error: BaseException) -> None:
    if os.environ.get(TRACEBACK) == "1":
        tell("".join(traceback.format_exception(error)).rstrip("\n"))
    report = "please report it together with the case file"
    if isinstance(error, DisagreementError):
        tell(f"a fault of the program: two of its own computations disagree, so nothing is shown; "
             f"{report}.\n{error}")
    elif isinstance(error, MemoryError):
        tell("the computer has too little memory for this case: split it into fewer planes")
    elif isinstance(error, OffseamError):
        tell(f"a fault of the program ({error}): {report}")
    else:
        last = traceback.extract_tb(error.__traceback__)[-1:]
        where = f" in {Path(last[0].filename).name}, line {last[0].lineno}" if last else ""
        said = " ".join(str(error).split())
        tell(f"a fault of the program ({type(error).__name__}{f': {said}' if said else ''}"
             f"{where}): {report}; {TRACEBACK}=1 in the environment shows where it happened")
