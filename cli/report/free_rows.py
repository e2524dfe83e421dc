"""The tables of single moves: the smallest that pays and the one that saves most, by plane."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cli.report.bent_part import plain_words
from cli.report.grid import Column, table
from cli.report.lines import BLANK, NO_BREAK, Line, Span, heading, wrap
from cli.report.words import Lengths, end_name, id_of, money
from solver.case import Case, Plane
from solver.freeing.paying import Freed as FreedOne
from solver.freeing.paying import Single
from solver.freeing.run import Freed

_FEW_PLANES = 8


def move_tables(freed: Freed) -> Iterator[Line]:
    """Single moves of what can move; then, if asked, of what cannot."""
    case, moves = freed.case, freed.moves
    if moves is None:
        return
    yield heading("IF ONE PIPE WERE MOVED, EVERYTHING ELSE AS DRAWN")
    if moves.drawn is not None:
        yield from wrap(
            f"Against the best as drawn, {money(moves.drawn.cost.total)}. First widths are free; "
            "the price of the move is in; the pipe ends clear and every move rule is kept.",
            first="  ")
    else:
        yield from wrap(f"As drawn no layout {plain_words(case)}obeys the rules; these are the "
                        "single moves that make one possible. The price of the move is in; the "
                        "pipe ends clear and every move rule is kept.", first="  ")
    priced = [one for one in moves.freed if one.priced]
    yield from _by_plane(case, priced, supposed=False)
    yield from _agreed(case)
    supposed = [one for one in moves.freed if not one.priced]
    if not freed.fixed:
        return
    yield BLANK
    yield heading("SUPPOSED: IF ONE THAT CANNOT MOVE STOOD ELSEWHERE")
    yield from wrap(
        "No price for moving it is included, because the case has none. Whole steps, as far as the "
        "pipes of its plane usually reach; a pipe ends clear.", first="  ")
    yield from _by_plane(case, supposed, supposed=True)


def _agreed(case: Case) -> Iterator[Line]:
    agreed = [id_of(name) for name, _ in case.freeze.moves]
    if agreed:
        yield from wrap(f"Agreed and left as they are: {', '.join(agreed)}.", first="  ",
                        rest="    ")


def _by_plane(case: Case, freed: Sequence[FreedOne], *, supposed: bool) -> Iterator[Line]:
    if not freed:
        yield from wrap("There is none." if supposed else "Nothing on this roof can be moved.",
                        first="  ")
        return
    nothing = []
    for plane in case.planes:
        here = [one for one in freed if case.penetrations[one.pen].plane == plane.id]
        paying = [one for one in here if one.smallest is not None]
        nothing += [one for one in here if one.smallest is None]
        if paying:
            yield BLANK
            yield from _table(case, plane, paying)
    if len(nothing) < len(freed):
        yield BLANK
    none = [id_of(case.penetrations[one.pen].id) for one in nothing if one.steps]
    stuck = [id_of(case.penetrations[one.pen].id) for one in nothing if not one.steps]
    if none:
        yield from wrap(f"No single move within the rules pays: {', '.join(none)}.",
                        first="  ", rest="    ")
    if stuck:
        yield from wrap(f"The move rules leave no step open: {', '.join(stuck)}.",
                        first="  ", rest="    ")
    best = min(
        (one for one in freed if one.best is not None),
        key=lambda one: one.best.total if one.best else 0, default=None,
    )
    if best is not None and best.best is not None:
        yield from _most(case, best, best.best)


def _table(case: Case, plane: Plane, paying: Sequence[FreedOne]) -> list[Line]:
    low, high = end_name(plane, high=False), end_name(plane, high=True)
    saved = all(one.smallest is None or one.smallest.saves is not None for one in paying)
    worth = "saves" if saved else "costs\nthen"
    most = "saves most:\nmove" if saved else "cheapest:\nmove"
    columns = [
        Column("id", least=8, cut="middle"), Column("smallest\nmove", "right"),
        Column("\ntowards", least=8), Column(worth, "right"),
        Column(most, "right"), Column("\ntowards", least=8),
        Column(worth, "right"),
    ]
    rows: list[list[Span]] = []
    for one in paying:
        if one.smallest is None or one.best is None:
            continue
        cells = [Span(id_of(case.penetrations[one.pen].id))]
        cells += _cells(case, one.smallest, low, high)
        if one.best == one.smallest:
            cells += [Span("the same"), Span(""), Span("")]
        else:
            cells += _cells(case, one.best, low, high)
        rows.append(cells)
    return [
        *wrap(f"Plane {id_of(plane.id)}, from the {low} to the {high}:", first="  "),
        *table(columns, rows, lead=" "),
    ]


def _cells(case: Case, single: Single, low: str, high: str) -> list[Span]:
    worth = money(single.total if single.saves is None else single.saves)
    return [
        Span(Lengths(case).near(abs(single.move)), "moved"),
        Span(high if single.move > 0 else low), Span(worth, "good"),
    ]


def _most(case: Case, one: FreedOne, single: Single) -> Iterator[Line]:
    lengths = Lengths(case)
    pen = case.penetrations[one.pen]
    plane = next(plane for plane in case.planes if plane.id == pen.plane)
    end = end_name(plane, high=single.move > 0)
    yield from wrap(
        f"Best of all: {id_of(pen.id)} {lengths.near(abs(single.move))} towards the {end}. The "
        f"roof then costs {money(single.total)}; {widths_words(case, single.firsts)}.",
        first="  ", rest="    ")


def widths_words(case: Case, firsts: Sequence[int]) -> str:
    """First widths of all planes; of many planes none."""
    if len(firsts) > _FEW_PLANES:
        return f"{len(firsts)} planes, the result file has their first widths"
    lengths = Lengths(case)
    parts = [
        f"{id_of(plane.id)} {lengths.near(first)}".replace(" ", NO_BREAK)
        for plane, first in zip(case.planes, firsts, strict=True)
    ]
    return f"first {'width' if len(parts) == 1 else 'widths'} {', '.join(parts)}"
