"""The summary of a batch: a row a case, and what is wrong with those that were not solved."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

from cli.batch.row import DONE_BEFORE, STOPPED, Row
from cli.report.closing import CAUTIONS
from cli.report.grid import Column, table
from cli.report.lines import BLANK, Line, Span, Style, clean, heading, shorten_middle, wrap
from cli.report.words import count_phrase, joined, money, plural
from solver.batching import one as batch
from solver.result import PROVEN

_STATES: Final[dict[str, tuple[str, Style]]] = {
    batch.SOLVED: ("solved", ""),
    DONE_BEFORE: ("done before", "quiet"),
    batch.NO_LAYOUT: ("no layout", "warn"),
    batch.OUT_OF_TIME: ("time ran out", "warn"),
    STOPPED: ("stopped", "warn"),
    batch.WRONG_CASE: ("wrong case", "bad"),
    batch.FAULT: ("fault", "bad"),
}
_HUGE: Final = 10_000_000
_WIDE: Final = 11
_NAME: Final = 40


def batch_page(rows: Sequence[Row], summary: str) -> list[Line]:
    """The whole report; `summary` is the path of the spreadsheet that has all of it."""
    lines = [heading(plural(len(rows), "case").upper()), *wrap(_tally(rows), first="  "), BLANK]
    cells = [_cells(row) for row in rows]
    widest = max((len(span.text) for row in cells for span in row[3:7]), default=0)
    lines += table(_columns(7 if widest > _WIDE else 0), cells, [_below(row) for row in rows])
    lines += [BLANK, *wrap(
        "Cost: the extra of the first layout over the same roof with everything clear. Usual: of "
        "the usual layout. Saving: the difference. Blind: the mean of starting anywhere. s: "
        "seconds of solving.", first="  ")]
    lines += [BLANK, heading("BEFORE YOU BUILD FROM THIS")]
    for caution in (*_rates(rows), *CAUTIONS):
        lines += wrap(caution, first="  - ", rest="    ")
    return [*lines, BLANK, *wrap(f"All of it, with the counts: {clean(summary)}")]


def _tally(rows: Sequence[Row]) -> str:
    times = Counter(row.state for row in rows)
    return ", ".join(f"{times[state]:,} {words}" for state, (words, _) in _STATES.items()
                     if times[state]) + "."


def _columns(least: int) -> list[Column]:
    return [
        Column("case", least=12, cut="middle"), Column("state"), Column("proven"),
        *(Column(name, "right", least) for name in ("cost", "usual", "saving", "blind")),
        Column("s", "right"),
    ]


def _cells(row: Row) -> list[Span]:
    figures = row.figures
    words, style = _STATES[row.state]
    proven = "" if figures.cost is None else "yes" if figures.proof == PROVEN else "no"
    return [
        Span(shorten_middle(clean(row.name or row.file), _NAME)),
        Span(words, style),
        Span(proven, "" if proven == "yes" else "warn"),
        *(Span(_sum(cents)) for cents in
          (figures.cost, figures.usual, figures.saving, figures.blind)),
        Span("" if figures.seconds is None else _seconds(figures.seconds)),
    ]


def _sum(cents: int | None) -> str:
    if cents is None:
        return ""
    return money(cents).rpartition(".")[0] if abs(cents) >= _HUGE else money(cents)


def _seconds(seconds: float) -> str:
    return f"{seconds:.2f}" if seconds < 100 else f"{seconds:,.0f}"


def _below(row: Row) -> list[Line]:
    """What counts against the first layout, and the message."""
    counts = [count_phrase(name, n) for name, n in (row.figures.counts or {}).items() if n]
    lines = wrap(joined(counts), first="    ", style="quiet") if counts else []
    if row.message:
        lines += wrap(clean(row.message), first="    ", style=_STATES[row.came_to][1])
    return lines


def _rates(rows: Sequence[Row]) -> list[str]:
    guessed = sum(1 for row in rows if row.figures.guessed_rates)
    if not guessed:
        return []
    return [f"In {plural(guessed, 'case')} rates are guesses: put your own into the case before "
            "the money counts."]
