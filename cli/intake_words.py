"""What was taken from a drawing or a schedule, and what was left, in lines of 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

from cli.failures import escaped
from cli.report.lines import WIDTH, clean, shorten
from cli.report.words import plural

if TYPE_CHECKING:
    from solver.intake.drafts import Draft
    from solver.intake.drawing_sheet import Account
    from solver.intake.schedule_columns import Columns
    from solver.intake.schedule_read import Schedule
    from solver.intake.schedule_rows import Rows

_MOST_TOLD: Final = 20
_KINDS: Final = {
    "LWPOLYLINE": "polyline", "POLYLINE": "polyline", "CIRCLE": "circle", "INSERT": "block",
    "TEXT": "text", "MTEXT": "text", "LINE": "line", "ARC": "arc", "ELLIPSE": "ellipse",
    "SPLINE": "spline", "HATCH": "hatch", "DIMENSION": "dimension", "POINT": "point",
}


def drawing_lines(draft: Draft, account: Account, guesses: Iterable[str]) -> list[str]:
    """The account of a drawing."""
    lines = [*guesses, "taken:"]
    lines += _counted(
        (layer, kind, count, f" as {what}")
        for (layer, kind, what), count in sorted(account.took.items())
    )
    if account.left:
        lines.append("left:")
        lines += _counted(
            (layer, kind, count, "") for (layer, kind), count in sorted(account.left.items()))
    lines += _some(account.refused)
    lines += _some(account.notes)
    for plane in draft.planes:
        shape = f"{plane.width} x {plane.length}" if plane.width else (
            f"an outline of {len(plane.outline)} corners")
        lines.append(f"plane {plane.id}: {shape}")
    return [_fit(line) for line in lines]


def schedule_lines(schedule: Schedule, columns: Columns, rows: Rows) -> list[str]:
    """The account of a schedule."""
    lines = []
    if schedule.sheet:
        more = f" (of {len(schedule.sheets)}; --sheet names another)" if len(
            schedule.sheets) > 1 else ""
        lines.append(f'sheet "{schedule.sheet}"{more}')
    lines.append(f"columns, as named in row {columns.header} (--column {columns.taken[0].role}=NAME"
                 " names another):")
    wide = max(len(column.role) for column in columns.taken)
    for column in columns.taken:
        unit = f", bare numbers in {column.unit}" if column.unit else ""
        how = "guessed" if column.guessed else "as named"
        lines.append(f'  {column.role.ljust(wide)}  "{column.called}" ({how}{unit})')
    if columns.left:
        lines += _some([f'column left: "{name}"' for name in columns.left])
    lines += rows.notes
    lines += [f"left: {plural(count, 'row')} of plane {name}"
              for name, count in sorted(rows.others.items())]
    return [_fit(line) for line in lines]


def _counted(rows: Iterable[tuple[str, str, int, str]]) -> Iterator[str]:
    for layer, kind, count, what in rows:
        word = _KINDS.get(kind, kind.lower())
        things = f"{count:,} {word}{'' if count == 1 else 'es' if word.endswith('h') else 's'}"
        yield f"  layer {clean(layer)}: {things}{what}"


def _some(sentences: list[str]) -> list[str]:
    """Sentences, the first of them where there are many."""
    more = len(sentences) - _MOST_TOLD
    return sentences[:_MOST_TOLD] + ([f"and {more:,} more of these"] if more > 0 else [])


def _fit(line: str) -> str:
    """A line as wide as the page; a sentence runs on over several."""
    plain = escaped(line).replace("\n", "\\n")
    if len(plain) <= WIDTH:
        return shorten(plain, WIDTH)
    words, lines = plain.split(" "), [""]
    for word in words:
        if lines[-1].strip() and len(lines[-1]) + 1 + len(word) > WIDTH:
            lines.append("    " + word)
        else:
            lines[-1] = f"{lines[-1]} {word}" if lines[-1] else word
    return "\n".join(lines)
