"""The field sheet of every listed layout, a sheet a plane, as the crew's own report has it."""

from __future__ import annotations

from collections.abc import Sequence

from cli.page.markup import esc
from cli.page.stubs_part import HAND
from cli.report.field_part import field_page
from cli.report.lines import plain
from solver.field.parts import FieldSheets
from solver.result import PROVEN, Result


def field_section(result: Result, found: Sequence[FieldSheets]) -> str:
    """Squaring, seam table, control lines, closing, order of work; nothing where none is listed."""
    if not found:
        return ""
    blocks = []
    for entry, sheets in zip(result.layouts, found, strict=True):
        lines = field_page(sheets, entry.proof == PROVEN)
        texts = "\n".join(plain(line) for line in lines).split("=" * 80)
        pages = "".join(
            f'<div class="scroll" tabindex="0" role="group" aria-label="Field sheet">'
            f'<pre dir="ltr">{esc(text.strip(chr(10)))}</pre></div>' for text in texts
        )
        blocks.append(
            f'<div data-view="{entry.rank}"><h3>Layout {entry.rank}</h3>{HAND}{pages}</div>'
        )
    return (f'<section id="field" class="sheet"><h2>Field sheet</h2>{"".join(blocks)}</section>')
