"""The take-off on a page: money first, then quantities, prices, what to add or deduct, notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cli.report.closing import closing_lines
from cli.report.grid import Column, fitted, head_lines, row_line, table, widths
from cli.report.lines import BLANK, WIDTH, Line, Span, clean, heading, shorten, wrap
from cli.report.takeoff_adjusts import adjust_lines
from cli.report.takeoff_words import TRADES, quantity, rounded, signed, signed_money, whole
from cli.report.words import Lengths, joined
from solver.findings.tradeoff import money
from solver.takeoff.lines import TakeLine, TakeOff
from solver.takeoff.prices import MAN_DAY
from solver.takeoff.quantities import Part

_HEADS: dict[Part, str] = {
    "rest": "THE REST OF THE ROOF (not weighed by the optimizer)",
    "extra": "EXTRA OVER THE SAME ROOF WITH EVERYTHING CLEAR (what the optimizer weighs)",
}
_LEAST_ITEM = 24


def takeoff_page(found: TakeOff, others: Sequence[TakeOff], *, complete: bool) -> list[Line]:
    """The whole take-off; `others` are layouts to set side by side, for which it takes two."""
    lines = [*_title(found), BLANK, *_sums(found)]
    if len(others) > 1:
        lines += [BLANK, *_side_by_side(others, complete=complete)]
    lines += [BLANK, heading("QUANTITIES"), *_quantities(found)]
    for part in _HEADS:
        lines += _prices(found, part)
    lines += [BLANK, *adjust_lines(found), BLANK, heading("CLARIFICATIONS")]
    for note in found.notes:
        lines += wrap(clean(note), first="  - ", rest="    ")
    return [*lines, BLANK, *closing_lines(found.case)]


def _title(found: TakeOff) -> list[Line]:
    case = found.case
    title = clean(case.title).strip() or "(no title)"
    said = [
        f"Revision {clean(case.revision)}" if case.revision else "No revision given",
        f"dated {clean(case.date)}" if case.date else "no date given",
        f"layout {found.rank} of the ranked list" + ("" if found.proven else " (not proven best)"),
        f"panels cover {Lengths(case).near(case.panel.cover)}",
    ]
    return [
        heading("TAKE-OFF"), (Span(shorten(title, WIDTH), "head"),), *wrap("; ".join(said) + "."),
        *wrap("Quantities to be verified before ordering."),
    ]


def _sums(found: TakeOff) -> Iterator[Line]:
    yield heading("WHAT IT COMES TO")
    this, usual, saves = found.sums, found.usual_sums, found.saves_on_usual
    columns = [Column("", least=16), *(Column(head, "right") for head in (
        "extra", "rest of the roof", "together"))]
    rows = [[Span("this layout"), *_money(this.extra, this.rest, this.total)]]
    if usual is not None and saves is not None:
        rows += [
            [Span("usual layout"), *_money(usual.extra, usual.rest, usual.total)],
            [Span("saves on the usual layout"), *_money(saves.extra, saves.rest, saves.total)],
        ]
    if found.blind_mean is not None and found.saves_on_blind is not None:
        rows += [
            [Span("blind start, mean"), Span(money(found.blind_mean)), Span("-"), Span("-")],
            [Span("saves on the blind mean"), Span(money(found.saves_on_blind)), Span("-"),
             Span("-")],
        ]
    yield from table(columns, rows, lead="  ")
    for trade, name in TRADES.items():
        if hours := found.hours(trade):
            yield from wrap(f"{name.capitalize()}: {rounded(hours)} h, "
                            f"{rounded(hours / MAN_DAY)} man-days of {MAN_DAY} h.", first="  ")


def _money(*cents: int) -> list[Span]:
    return [Span(money(each)) for each in cents]


def _side_by_side(others: Sequence[TakeOff], *, complete: bool) -> Iterator[Line]:
    yield heading(f"THE BEST {len(others)} LAYOUTS SIDE BY SIDE")
    first = others[0].sums
    columns = [Column("layout", "right"), *(Column(head, "right") for head in (
        "extra", "rest of the roof", "together", "against the first"))]
    rows = [
        [Span(str(one.rank)), *_money(one.sums.extra, one.sums.rest, one.sums.total),
         Span(signed_money(one.sums.total - first.total))]
        for one in others
    ]
    yield from table(columns, rows, lead="  ")
    says = "They are ranked by the extra alone."
    if not complete:
        says += " Time ran out: the list may go on."
    yield from wrap(says, first="  ")


def _quantities(found: TakeOff) -> list[Line]:
    columns = [
        Column("item", least=_LEAST_ITEM), Column("unit"), Column("usual", "right"),
        Column("this\nlayout", "right"), Column("difference", "right"), Column("charged", least=8),
    ]
    rows = [
        [Span(_item(line)), Span(line.item.unit), Span(quantity(line.usual)),
         Span(quantity(line.this)), Span(signed(line.difference)), Span(_charged(line))]
        for line in found.lines
    ]
    return table(columns, rows, lead="  ")


def _item(line: TakeLine) -> str:
    return clean(line.item.words)


def _charged(line: TakeLine) -> str:
    if line.note:
        return clean(line.note)
    return "extra" if line.item.part == "extra" else ""


def _prices(found: TakeOff, part: Part) -> list[Line]:
    """What this layout takes of one part; what the usual one takes is in the spreadsheet."""
    rows = [line for line in found.lines if line.item.part == part and line.this]
    columns = [
        Column("item", least=_LEAST_ITEM), Column("hours\neach", "right"), Column("hours", "right"),
        Column("material\neach", "right"), Column("material", "right"),
        Column("amount", "right"), Column("whose\nrate"),
    ]
    cells = []
    for line in rows:
        price = line.price
        if price is not None:
            cells.append([
                Span(_item(line)), Span(quantity(price.hours)), Span(rounded(line.hours)),
                Span(whole(price.material)), Span(whole(line.material)), Span(money(line.amount)),
                Span(price.whose, "warn" if price.whose == "guess" else ""),
            ])
    if not cells:
        return []
    hours = dict.fromkeys(
        (line.price.trade, line.price.hour) for line in rows if line.price is not None
    )
    rates = joined([f"{whole(hour)} of the {TRADES[trade]}" for trade, hour in hours])
    lines = [BLANK, heading(_HEADS[part]), *_table_or_pairs(columns, cells)]
    amount = money(sum(line.amount for line in rows))
    lines += wrap(f"Sum: {amount}", first="  ", style="head")
    return [*lines, *wrap(f"An hour costs {rates}.", first="  ")]


def _table_or_pairs(columns: Sequence[Column], rows: Sequence[Sequence[Span]]) -> list[Line]:
    """A table; where the money is too wide for that, the first cell of a row on its own line."""
    needs = widths(columns, rows)
    sizes, gap = fitted(needs, columns, WIDTH - 2)
    if sizes[0] >= min(needs[0], _LEAST_ITEM) and sum(sizes) + gap * (len(sizes) - 1) <= WIDTH - 2:
        return table(columns, rows, lead="  ")
    sizes = needs[1:]
    lines = [*head_lines([columns[0]], [_LEAST_ITEM], 1, "  ")[:1]]
    lines += head_lines(columns[1:], sizes, 1, "    ")
    for row in rows:
        lines += wrap(row[0].text, first="  ", rest="    ")
        lines.append(row_line(columns[1:], sizes, 1, row[1:], "    "))
    return lines
