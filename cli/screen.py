"""Putting a report on the screen: in colour where a terminal shows it, as plain text elsewhere."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from cli.files import silence_stdout, write_stdout

if TYPE_CHECKING:
    from cli.report.lines import Line

_STYLES: Final = {
    # Told apart in every common kind of colour blindness, and the words say it too.
    "": "", "head": "bold", "good": "blue", "warn": "yellow", "bad": "bold magenta",
    "moved": "cyan", "quiet": "dim",
}


def show(lines: Sequence[Line]) -> None:
    """Print a report to standard output.

    Raises:
        OutputError: standard output cannot be written.
    """
    if _styled():
        _show_styled(lines)
        return
    text = "".join("".join(span.text for span in line).rstrip() + "\n" for line in lines)
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    write_stdout(text.encode(encoding, "replace"))


def on_terminal() -> bool:
    """Whether someone reads standard output as it is printed, who sees standard error as well."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdout, sys.stderr))


def _styled() -> bool:
    """Whether styles are wanted: on a terminal that knows them, unless NO_COLOR asks for none."""
    return (
        sys.stdout is not None
        and sys.stdout.isatty()
        and not os.environ.get("NO_COLOR")
        and os.environ.get("TERM", "") not in ("dumb", "")
    )


def _show_styled(lines: Sequence[Line]) -> None:
    from rich.console import Console
    from rich.text import Text

    console = Console(highlight=False, markup=False, emoji=False)
    try:
        for line in lines:
            text = Text(end="\n")
            for span in line:
                text.append(span.text, style=_STYLES[span.style])
            console.print(text, soft_wrap=True)
    except BrokenPipeError:
        silence_stdout()
