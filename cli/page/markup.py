"""Small pieces of HTML. Every text goes in as data."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

_JOINERS: Final = "\u200c\u200d\ufe0e\ufe0f"
"""They make up emoji and words of some scripts, and hide or turn nothing."""


def shown(text: str) -> str:
    """A text as it may stand on a page: what would turn the line round, or hide, is escaped."""
    return "".join(
        char if char.isprintable() or char in _JOINERS or unicodedata.category(char) in ("Mn", "Mc")
        else char.encode("unicode_escape").decode()
        for char in text
    )


def esc(text: str) -> str:
    """A text of ours or of a report, escaped."""
    return escape(text, quote=True)


def name(text: str) -> str:
    """A text from the case: escaped, and kept from turning what stands beside it."""
    return f"<bdi>{escape(shown(text), quote=True)}</bdi>"


def paragraph(text: str, kind: str = "") -> str:
    """A paragraph of plain text."""
    mark = f' class="{kind}"' if kind else ""
    return f"<p{mark} dir=\"auto\">{esc(text)}</p>"


def bullets(texts: Iterable[str]) -> str:
    """A list of plain texts; nothing for none."""
    items = "".join(f'<li dir="auto">{esc(text)}</li>' for text in texts)
    return f"<ul>{items}</ul>" if items else ""


def table(
    caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]], *, numbers: int = 0,
    kind: str = "",
) -> str:
    """A table of cells that are HTML already; the first cell of a row is its heading.

    `numbers` is from which column on cells are figures and stand to the right; 0 is none.
    """
    def side(place: int) -> str:
        return ' class="n"' if numbers and place >= numbers else ""

    head = "".join(f'<th scope="col"{side(n)}>{esc(text)}</th>' for n, text in enumerate(heads))
    body = []
    for row in rows:
        cells = "".join(f"<td{side(n)}>{cell}</td>" for n, cell in enumerate(row) if n)
        body.append(f'<tr><th scope="row">{row[0]}</th>{cells}</tr>')
    mark = f' class="{kind}"' if kind else ""
    return (f'<div class="scroll" role="group" tabindex="0" aria-label="{esc(caption)}">'
            f"<table{mark}><caption>{esc(caption)}</caption><thead><tr>{head}</tr></thead>"
            f"<tbody>{''.join(body)}</tbody></table></div>")
