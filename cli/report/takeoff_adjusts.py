"""Prices to add or deduct: each thing more or fewer, and each penetration standing otherwise."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.grid import Column, table
from cli.report.lines import Line, Span, heading, wrap
from cli.report.takeoff_words import signed_money
from cli.report.words import STATE_WORDS, id_of, joined, plural
from solver.takeoff.adjust import PenPrice
from solver.takeoff.lines import TakeOff


def adjust_lines(found: TakeOff) -> Iterator[Line]:
    """Both lists; alike penetrations together."""
    yield heading("TO ADD OR DEDUCT")
    columns = [
        Column("each", least=20), Column("unit"), Column("now", "right"),
        Column("add for\none more", "right"), Column("deduct for\none fewer", "right"),
        Column("whose\nrate"),
    ]
    rows = [
        [Span(one.words), Span(one.unit), Span(str(one.now)), Span(signed_money(one.cents)),
         Span(signed_money(-one.cents) if one.now else "-"),
         Span(one.price.whose, "warn" if one.price.whose == "guess" else "")]
        for one in found.adjusts
    ]
    yield from table(columns, rows, lead="  ")
    groups: dict[tuple[object, ...], list[PenPrice]] = {}
    for one in found.pens:
        groups.setdefault(_alike(one), []).append(one)
    if groups:
        yield from wrap("One penetration standing otherwise, all else as in this layout:",
                        first="  ")
    for alike in groups.values():
        names = joined([id_of(one.pen.id) for one in alike])
        yield from wrap(f"{names} ({_stands(alike[0])}{', each' if len(alike) > 1 else ''}): "
                        f"{_prices(alike[0])}", first="  - ", rest="    ")


def _alike(one: PenPrice) -> tuple[object, ...]:
    pen, stands = one.pen, one.stands
    return (pen.kind, pen.status, stands.state, bool(stands.moved), stands.seams_cut,
            one.on_seam, one.cleared, one.cleared_by_move, one.unmoved)


def _stands(one: PenPrice) -> str:
    pen, stands = one.pen, one.stands
    if pen.kind == "curb":
        cut = f", {plural(stands.seams_cut, 'seam')} cut" if stands.seams_cut else ""
        return f"curb, {STATE_WORDS[stands.state]}{cut}"
    status = {"fixed": "fixed", "stubbed": "roughed in", "planned": "not yet set"}[pen.status]
    return f"{status}, {STATE_WORDS[stands.state]}{', moved' if stands.moved else ''}"


def _prices(one: PenPrice) -> str:
    clear = "clear of seams" if one.pen.kind == "curb" else "clear where it stands"
    told = (
        ("on a seam", one.on_seam), (clear, one.cleared),
        ("moved to the clear", one.cleared_by_move), ("if it need not move", one.unmoved),
    )
    parts = [f"{what} {signed_money(cents)}" for what, cents in told if cents is not None]
    return "; ".join(parts) + "." if parts else "nothing to add or deduct."
