"""Lines of a report: text in spans, measured in terminal cells, never wider than 80.

Whatever a user wrote (titles, ids, names of ends) is data here: control characters are shown
escaped, and nothing in it is read as markup. A style is only a hint; the words say it too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from rich.cells import cell_len

WIDTH: Final = 80
NO_BREAK: Final = "\u00a0"
_IN_A_LENGTH: Final = re.compile(r"(\d'?) (?=\d+(?: \d+)?(?:/\d+)?\"|mm\b)")
Style = Literal["", "head", "good", "warn", "bad", "moved", "quiet"]


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of text in one style."""

    text: str
    style: Style = ""


Line = tuple[Span, ...]
BLANK: Final[Line] = ()


def line(*parts: str | Span) -> Line:
    """A line of plain texts and spans."""
    return tuple(part if isinstance(part, Span) else Span(part) for part in parts)


def heading(text: str) -> Line:
    """The first line of a part of the report."""
    return (Span(shorten(text, WIDTH), "head"),)


def plain(of: Line) -> str:
    """The text of a line without trailing blanks."""
    return "".join(span.text for span in of).rstrip()


def clean(text: str) -> str:
    """A text on one line: what would steer a terminal, or hide, is shown as an escape."""
    if text.isprintable():
        return text
    return "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode() for char in text
    )


def shorten(text: str, width: int) -> str:
    """A text cut to `width` cells, an ellipsis where it was cut; wide characters count two."""
    if cell_len(text) <= width:
        return text
    kept, room = [], width - 1
    for char in text:
        room -= cell_len(char)
        if room < 0:
            break
        kept.append(char)
    return "".join(kept) + "…" if width > 0 else ""


def shorten_middle(text: str, width: int) -> str:
    """A text cut to `width` cells in its middle: ids of a series differ at their end."""
    if cell_len(text) <= width or width < 4:
        return shorten(text, width)
    tail, room = "", width // 2
    for char in reversed(text):
        if cell_len(char + tail) > room:
            break
        tail = char + tail
    return shorten(text, width - cell_len(tail)) + tail


def pad(
    text: str,
    width: int,
    align: Literal["left", "right"] = "left",
    cut: Literal["end", "middle"] = "end",
) -> str:
    """A text filled with blanks to `width` cells, cut where it is longer."""
    text = shorten(text, width) if cut == "end" else shorten_middle(text, width)
    fill = " " * (width - cell_len(text))
    return fill + text if align == "right" else text + fill


def wrap(
    text: str, *, first: str = "", rest: str | None = None, style: Style = "", width: int = WIDTH
) -> list[Line]:
    """A text in lines of at most `width` cells; `first` and `rest` go before them, in no style.

    Breaks at blanks but not inside a length, and inside a word only where that alone is longer than
    a line. A no-break blank in `text` holds as well and is printed as a blank.
    """
    rest = first if rest is None else rest
    lines: list[Line] = []
    lead, now = first, ""
    text = _IN_A_LENGTH.sub(rf"\1{NO_BREAK}", text)
    room = width - max(cell_len(first), cell_len(rest))
    for word in _pieces(filter(None, text.split(" ")), room):
        longer = f"{now} {word}" if now else word
        if now and cell_len(lead) + cell_len(longer) > width:
            lines.append(line(lead, Span(now.replace(NO_BREAK, " "), style)))
            lead, now = rest, word
        else:
            now = longer
    lines.append(line(lead, Span(now.replace(NO_BREAK, " "), style)))
    return lines


def _pieces(words: Iterable[str], width: int) -> Iterable[str]:
    for word in words:
        rest = word
        while cell_len(rest) > width:
            head = shorten(rest, width + 1)[:-1]
            yield head
            rest = rest[len(head) :]
        yield rest
