"""The table of one plane's penetrations: where each stands, its room, and what is to be done."""

from __future__ import annotations

from cli.report.grid import Column, fitted, table, widths
from cli.report.lines import WIDTH, Line, Span, Style, line, wrap
from cli.report.obstacle import foul_of_end, obstacle_words
from cli.report.strip import Placed
from cli.report.words import (
    MARKS,
    STATE_STYLE,
    STATE_WORDS,
    Lengths,
    SeamNumbers,
    end_name,
    id_of,
    move_words,
    size_words,
)
from solver.case import Case, Penetration, Plane
from solver.result import JudgedPenetration, JudgedPlane
from solver.risk.creep import has_tolerances

_NEEDED = 6
"""The column that goes first where the table is too wide: room less margin says it as well."""


def penetrations_lines(
    case: Case, plane: Plane, ends: JudgedPlane, here: list[Placed]
) -> list[Line]:
    """Every penetration of a plane, in the order along the eave."""
    if not here:
        return [line("  No penetrations on this plane.")]
    lengths = Lengths(case)
    unit = f"{lengths.unit}\n" if lengths.unit else ""
    columns = [
        Column(" "), Column("id", least=12, cut="middle"), Column("what", least=10),
        Column(f"{unit}at", "right"), Column("state"), Column(f"{unit}room", "right"),
        Column(f"{unit}needed", "right"), Column(f"{unit}margin", "right"),
        Column("between\nseams"),
    ]
    shifts = has_tolerances(case)
    rows = [_row(case, plane, ends, pen, stands, shifts=shifts) for pen, stands in here]
    if shifts:
        columns.insert(8, Column(f"{unit}after\nworst\nshift", "right"))
        if too_wide(columns, rows):
            columns.pop(_NEEDED)
            for row in rows:
                row.pop(_NEEDED)
    below = [_notes(case, plane, ends, pen, stands) for pen, stands in here]
    head = f"Centres measured along the eave from the {end_name(plane, high=False)}:"
    return [
        *(wrap(_shift_words(case), first="  ") if shifts else ()),
        *wrap(head, first="  "),
        *table(columns, rows, below, lead=" "),
    ]


def too_wide(columns: list[Column], rows: list[list[Span]]) -> bool:
    """Whether a table with one blank before it is wider than the page, or cuts what is in it."""
    needs = widths(columns, rows)
    sizes, gap = fitted(needs, columns, WIDTH - 1)
    return sum(sizes) + gap * (len(sizes) - 1) > WIDTH - 1 or sizes[2] < needs[2]


def _shift_words(case: Case) -> str:
    if case.rules.robust:
        return ("States, moves and costs are judged by the margin after the worst shift of seams "
                "and positions (robust = true).")
    return ('"After worst shift" is the margin left when seams and positions are off as far as '
            "the case allows.")


def _row(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration,
    *, shifts: bool,
) -> list[Span]:
    lengths = Lengths(case)
    state, style = _state(case, plane, ends, pen, stands)
    room = "-" if stands.room2 is None else lengths.cell(lengths.down2(stands.room2))
    needed = "-" if stands.needed2 is None else lengths.cell(lengths.up2(stands.needed2))
    mark = "#" if pen.kind == "curb" and stands.state == "clear" else MARKS[stands.state]
    cells = [
        Span(mark, style), Span(id_of(pen.id)), Span(size_words(pen, lengths)),
        Span(lengths.cell(lengths.place(stands.x))), Span(state, style), Span(room),
        Span(needed), _margin(lengths, stands.margin2),
    ]
    if shifts:
        cells.append(_margin(lengths, stands.worst_margin2))
    return [*cells, Span(SeamNumbers(plane, ends, pen.y).beside(stands))]


def _margin(lengths: Lengths, margin2: int | None) -> Span:
    if margin2 is None:
        return Span("no seam")
    return Span(lengths.cell(lengths.down2(margin2)), "warn" if margin2 < 0 else "")


def _state(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> tuple[str, Style]:
    if stands.at_risk:
        return "at risk", "warn"
    word, style = STATE_WORDS[stands.state], STATE_STYLE[stands.state]
    on_seam = pen.kind == "pipe" and stands.state == "on-seam"
    if on_seam and foul_of_end(case, plane, ends, pen, stands):
        word = "meets end"
    return word, style


def _notes(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> list[Line]:
    lengths = Lengths(case)
    agreed = dict(case.freeze.moves).get(pen.id) == stands.moved
    notes: list[Line] = []
    if stands.moved:
        notes += wrap(
            f"MOVE {move_words(plane, stands, lengths)} ({pen.status}"
            f"{', agreed' if agreed else ''}): drawn at {lengths.place(pen.x)}, set to "
            f"{lengths.place(stands.x)}.", first="     ", rest="       ", style="moved",
        )
    elif agreed:
        notes += wrap("agreed: stays as drawn.", first="     ", rest="       ")
    if stands.at_risk:
        notes += wrap("AT RISK: clear as laid out, not after the worst shift.", first="     ",
                      rest="       ", style="warn")
    if says := obstacle_words(case, plane, ends, pen, stands):
        notes += wrap(says, first="     ", rest="       ")
    return notes
