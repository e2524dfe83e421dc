"""The stub-up list of every listed layout, a table a plane."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from cli.page.markup import bullets, esc, name, shown, table
from cli.report.stub_words import StubWords
from solver.result import Result
from solver.stubs.list import PlaneSheet, StubList, StubRow
from solver.stubs.vent_notes import ALL_VENTS, is_vent

HAND: Final = (
    '<p class="listed-only">The start or the moves have been changed by hand above: this list is '
    "for the layout as listed.</p>"
)


def stubs_section(result: Result, lists: Sequence[StubList]) -> str:
    """Where the plumber sets every pipe; nothing where no layout is listed."""
    if not lists:
        return ""
    blocks = "".join(
        f'<div data-view="{one.rank}"><h3>Layout {one.rank}</h3>{HAND}{_list(one)}</div>'
        for one in lists
    )
    return (
        '<section id="stubs" class="sheet"><h2>Stub-up list</h2>'
        "<p>A position is the centre of the pipe where it meets the roof surface, measured level "
        "along the eave; the pitch does not change it. Any centre in the acceptable stretch is "
        "clear of seams, as long as the other pipes stand where this list puts them.</p>"
        f"{blocks}</section>"
    )


def _list(found: StubList) -> str:
    out = [_sheet(found, sheet) for sheet in found.sheets if sheet.rows]
    if not out:
        return "<p>Nothing to set.</p>"
    if any(is_vent(row.pen) for sheet in found.sheets for row in sheet.rows):
        out.append("<p>Vents: no plumbing code is checked here.</p>")
        out.append(bullets(note.sentence() for note in ALL_VENTS))
    return "".join(out)


def _sheet(found: StubList, sheet: PlaneSheet) -> str:
    words = StubWords(found.case, sheet)
    heads = ["Pipe", "Set to", "Acceptable", "Bay, and to check", "Make it", "Agreed by"]
    title = f"Plane {shown(sheet.plane.id)}, in order from {shown(sheet.low_end.says())}"
    return table(title, heads, (_row(words, row) for row in sheet.rows))


def _row(words: StubWords, row: StubRow) -> list[str]:
    def cell(text: str) -> str:
        return f'<span dir="auto">{esc(text)}</span>'

    vent = words.vent(row)
    bay = f"{words.bay(row)}; {words.check(row)}"
    making = words.making(row) + (f"; vent: {vent}" if vent else "")
    if row.stands.at_risk:
        making += "; AT RISK: set it closely and tape it again"
    move = words.move(row)
    set_to = words.centre(row, row.taped, row.tape_mark)
    moved = f"<br><b>move {esc(move)}</b>" if move else "<br>as drawn"
    return [
        f"{name(row.pen.id)}<br><small>{esc(words.size(row))}; {esc(words.what(row))}</small>",
        cell(set_to) + moved, cell(words.acceptable(row)), cell(bay), cell(making),
        '<span class="sign-here"></span>',
    ]
