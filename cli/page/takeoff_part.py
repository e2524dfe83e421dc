"""The take-off of every listed layout: what it comes to, its lines, what they assume."""

from __future__ import annotations

from collections.abc import Sequence

from cli.page.markup import bullets, esc, table
from cli.page.stubs_part import HAND
from cli.report.lines import clean
from cli.report.takeoff_words import TRADES, quantity, rounded, signed
from cli.report.words import money
from solver.takeoff.lines import TakeLine, TakeOff


def takeoff_section(found: Sequence[TakeOff]) -> str:
    """Quantities and prices; nothing where no layout is listed."""
    if not found:
        return ""
    blocks = "".join(
        f'<div data-view="{one.rank}"><h3>Layout {one.rank}</h3>{HAND}{_one(one)}</div>'
        for one in found
    )
    return ('<section id="takeoff" class="sheet"><h2>Take-off</h2>'
            f"<p>Quantities to be verified before ordering.</p>{blocks}</section>")


def _one(found: TakeOff) -> str:
    sums, usual, saves = found.sums, found.usual_sums, found.saves_on_usual
    rows = [["This layout", money(sums.extra), money(sums.rest), money(sums.total)]]
    if usual is not None and saves is not None:
        rows.append(["Usual layout", money(usual.extra), money(usual.rest), money(usual.total)])
        rows.append(["Saves on the usual layout", money(saves.extra), money(saves.rest),
                     money(saves.total)])
    heads = ["", "Extra", "Rest of the roof", "Together"]
    hours = [
        f"{trade.capitalize()}: {rounded(found.hours(key))} h" for key, trade in TRADES.items()
        if found.hours(key)
    ]
    says = f"<p>{esc('; '.join(hours))}.</p>" if hours else ""
    return (table("What it comes to", heads, rows, numbers=1) + says + _lines(found)
            + "<h3>Clarifications</h3>" + bullets(clean(note) for note in found.notes))


def _lines(found: TakeOff) -> str:
    heads = ["Item", "Unit", "Part", "Usual", "This layout", "Difference", "Hours", "Amount",
             "Whose rate"]
    rows = [_row(line) for line in found.lines]
    return table("Quantities and prices", heads, rows)


def _row(line: TakeLine) -> list[str]:
    part = "extra" if line.item.part == "extra" else "rest"
    cells = [esc(clean(line.item.words)), esc(line.item.unit), part, quantity(line.usual),
             quantity(line.this), signed(line.difference)]
    if line.price is None:
        return [*cells, "", "", esc(clean(line.note))]
    return [*cells, rounded(line.hours), money(line.amount), esc(line.price.whose)]
