"""The ways to lay a surveyed roof, side by side: cost, end panels, what changes, what each asks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from cli.report.closing import closing_lines
from cli.report.grid import Column, table
from cli.report.lines import BLANK, Line, Span, Style, clean, heading, wrap
from cli.report.pages import title_lines
from cli.report.survey_part import survey_lines
from cli.report.words import STATE_WORDS, Lengths, id_of, joined, money, plural
from solver.case import Case, Plane
from solver.result import PROVEN
from solver.survey.rerun import Run, surveyed
from solver.survey.ways import Change, EndPanels, OnRoof, Way, Ways

NAMES: Final[dict[Run, str]] = {"as-drawn": "as drawn", "square": "square", "fan": "fan"}
_HERE: Final = "drawn, here"
_MEANS: Final = (
    'As drawn: by the drawing, on paper. Drawn, here: that layout begun at the same end of the '
    "roof as surveyed, seams square to the eave. Square: laid out anew, seams square to the eave, "
    "end panels taper. Fan: end panels keep their widths, the full panels between share what the "
    "roof is wider or narrower at the top."
)
_MOST: Final = 12
"""So many penetrations that change, and breaches, are told of a way; the rest are counted."""


def ways_page(found: Ways) -> list[Line]:
    """All of it: surveys, ways, what each asks of the crew, which is cheapest."""
    lines = title_lines(found.case)
    for plane in surveyed(found.case):
        lines += [BLANK, *survey_lines(found.case, plane)]
    lines += [BLANK, heading("WAYS TO LAY IT"), *wrap(_MEANS, first="  "), *_costs(found)]
    lines += _verdict(found)
    if rows := list(_end_rows(found)):
        lines += [BLANK, heading("END PANELS, AT THE EAVE AND AT THE TOP"), *_ends(rows)]
    for way in found.ways:
        lines += [BLANK, heading(NAMES[way.run].upper()), *_of_way(way)]
        if way.run == "as-drawn" and found.on_roof is not None:
            lines += [BLANK, heading("THAT LAYOUT ON THE ROOF AS SURVEYED")]
            lines += _of_roof(found.on_roof)
    return [*lines, BLANK, *closing_lines(found.case)]


# ---------------------------------------------------------------------------- side by side


def _costs(found: Ways) -> list[Line]:
    columns = [
        Column("way"), Column("extra\ncost", "right"), Column("against\ncheapest", "right"),
        Column("proof"), Column("other\nstates", "right"), Column("pipes\nmoved", "right"),
        Column("", least=10),
    ]
    rows = []
    for way in found.ways:
        rows.append(_cost_row(found, way))
        if way.run == "as-drawn" and found.on_roof is not None:
            rows.append(_roof_row(found, found.on_roof))
    return table(columns, rows, lead="  ")


def _cost_row(found: Ways, way: Way) -> list[Span]:
    name, best, least = NAMES[way.run], way.best, found.cheapest
    if best is None:
        return [Span(name), *[Span("-")] * 5, Span("not possible", "bad")]
    cents = best.judged.cost.total
    against = "-"
    if least is not None and least.best is not None and way.run != "as-drawn":
        against = _signed(cents - least.best.judged.cost.total)
    says, style = ("on paper", "quiet") if way.run == "as-drawn" else ("", "")
    if way is least:
        says, style = "cheapest", "good"
    changed = "-" if way.run == "as-drawn" else str(_other_states(way.changes))
    return [
        Span(name), Span(money(cents)), Span(against),
        Span("proven" if best.proof == PROVEN else f"at least {money(best.bound)}"),
        Span(changed), Span(str(_moved(best.judged.layout.moves))), Span(says, _style(style)),
    ]


def _roof_row(found: Ways, on: OnRoof) -> list[Span]:
    if on.judged is None:
        return [Span(_HERE), *[Span("-")] * 5, Span("cannot be priced", "bad")]
    cents, least, against = on.judged.cost.total, found.cheapest, "-"
    if least is not None and least.best is not None:
        against = _signed(cents - least.best.judged.cost.total)
    breaks = len(on.judged.breaks)
    return [
        Span(_HERE), Span(money(cents)), Span(against), Span("-"),
        Span(str(_other_states(on.changes))), Span(str(_moved(on.judged.layout.moves))),
        Span(f"breaks {plural(breaks, 'rule')}" if breaks else "", "bad" if breaks else ""),
    ]


def _style(name: str) -> Style:
    return "good" if name == "good" else "quiet" if name == "quiet" else ""


def _signed(cents: int) -> str:
    return f"+{money(cents)}" if cents > 0 else money(cents)


def _moved(moves: Sequence[int]) -> int:
    return sum(move != 0 for move in moves)


def _other_states(changes: Sequence[Change]) -> int:
    return sum((one.was, one.was_cut) != (one.now, one.cut) for one in changes)


def _verdict(found: Ways) -> Iterator[Line]:
    least = found.cheapest
    if least is None or least.best is None:
        yield from wrap("No way to lay the roof as it was surveyed obeys the rules: see below.",
                        first="  ", style="bad")
        return
    cents = least.best.judged.cost.total
    others = [
        f"{_signed(way.best.judged.cost.total - cents)} for {NAMES[way.run]}"
        for way in found.ways
        if way.best is not None and way is not least and way.run != "as-drawn"
    ]
    than = f" ({joined(others)})" if others else ""
    sure = "" if least.best.proof == PROVEN else ", as far as the time went"
    yield from wrap(
        f"Cheapest on the roof as it stands: {NAMES[least.run]}, {money(cents)} extra{than}{sure}. "
        f'Write run = "{least.run}" in the surveys to lay it out so.', first="  ", style="head",
    )
    if least.run == "square" and any(way.run == "fan" and way.best for way in found.ways):
        yield from wrap("No rate is charged for a tapered end panel or for fanning: weigh that "
                        "labour yourself.", first="  ")


def _end_rows(found: Ways) -> Iterator[tuple[Case, str, EndPanels]]:
    """By plane, then by way."""
    named: list[tuple[Case, str, tuple[EndPanels, ...]]] = []
    for way in found.ways:
        named.append((way.case, NAMES[way.run], way.ends))
        if way.run == "as-drawn" and found.on_roof is not None:
            named.append((found.on_roof.case, _HERE, found.on_roof.ends))
    for plane in surveyed(found.case):
        for case, name, ends in named:
            yield from ((case, name, one) for one in ends if one.plane == plane.id)


def _ends(rows: Sequence[tuple[Case, str, EndPanels]]) -> list[Line]:
    columns = [
        Column("plane", least=6, cut="middle"), Column("way"), Column("first\neave", "right"),
        Column("first\ntop", "right"), Column("last\neave", "right"), Column("last\ntop", "right"),
        Column("each full panel\nat the top", least=8),
    ]
    cells, shown = [], ""
    for case, name, one in rows:
        near = Lengths(case).near
        widths = (one.eave[0], one.top[0], one.eave[1], one.top[1])
        cells.append([
            Span(id_of(one.plane) if one.plane != shown else ""), Span(name),
            *(Span(near(width)) for width in widths), Span(_share(case, one)),
        ])
        shown = one.plane
    return table(columns, cells, lead="  ")


def _share(case: Case, one: EndPanels) -> str:
    if not one.full or not one.share:
        return "-"
    way = "wider" if one.share > 0 else "narrower"
    return f"{Lengths(case).fine(round(abs(one.share)))} {way}"


# ---------------------------------------------------------------------------- way by way


def _of_way(way: Way) -> Iterator[Line]:
    for plane, says in way.why:
        yield from wrap(f"Not possible on plane {id_of(plane)}: {clean(says)}.",
                        first="  ", rest="    ", style="bad")
    if way.best is None:
        yield from _no_layout(way)
        return
    yield from _asks(way)
    yield from _changed(way.case, way.changes)


def _no_layout(way: Way) -> Iterator[Line]:
    if way.result is None:
        return
    if way.result.stopped:
        yield from wrap("Time ran out before a layout was found: give more with --time.",
                        first="  ", style="bad")
        return
    for finding in way.result.findings:
        if finding.severity == "error":
            yield from wrap(f"No legal layout: {clean(finding.says)}", first="  ", rest="    ",
                            style="bad")


def _asks(way: Way) -> Iterator[Line]:
    if way.run == "as-drawn":
        yield from wrap("Asks the crew: nothing but the drawing, and that is not the roof they "
                        "stand on.", first="  ", rest="    ")
        return
    planes = {plane.id: plane for plane in way.case.planes}
    for one in way.ends:
        says = (_square_asks if way.run == "square" else _fan_asks)(way.case, planes[one.plane],
                                                                    one)
        yield from wrap(f"Asks the crew, plane {id_of(one.plane)}: {says}", first="  ",
                        rest="    ")


def _square_asks(case: Case, plane: Plane, one: EndPanels) -> str:
    near = Lengths(case).near
    tapers = [
        f"the {name} panel from {near(eave)} at the eave to {near(top)} at the top"
        for name, eave, top in zip(("first", "last"), one.eave, one.top, strict=True)
        if near(eave) != near(top)
    ]
    line = ("snap the line square to the eave (a 3-4-5, not along the rake), keep every seam "
            "square to it")
    if not tapers:
        return f"{line}; both end panels keep their widths."
    return (f"{line}; rip {' and '.join(tapers)}, and form the edge along the slant. Tape both "
            "widths before cutting.")


def _fan_asks(case: Case, plane: Plane, one: EndPanels) -> str:
    lengths, lean = Lengths(case), plane.lean
    if not one.full or lean is None or not one.share:
        return ("start along the rake, not square to the eave; every panel keeps its width from "
                "eave to top.")
    way = "wider" if one.share > 0 else "narrower"
    each = lengths.fine(round(abs(one.share)))
    return (
        f"start along the rake, not square to the eave; lay each of the {one.full} full panels "
        f"{each} {way} at the top than at the eave, of a play of {lengths.fine(case.rules.play)}. "
        "Mark every seam at the eave and at the top and lay to both marks."
    )


def _changed(case: Case, changes: Sequence[Change]) -> Iterator[Line]:
    if not changes:
        return
    planes = {plane.id: plane for plane in case.planes}
    on = {pen.id: planes[pen.plane] for pen in case.penetrations}
    yield from wrap(f"Against the layout as drawn {plural(len(changes), 'penetration')} "
                    f"{'stands' if len(changes) == 1 else 'stand'} otherwise:", first="  ")
    for one in changes[:_MOST]:
        was = _stands(case, on[one.id], one.was, one.was_cut, one.was_moved)
        now = _stands(case, on[one.id], one.now, one.cut, one.moved)
        yield from wrap(f"{id_of(one.id)}: {was}; here {now}", first="    ", rest="      ")
    if len(changes) > _MOST:
        yield from wrap(f"and {len(changes) - _MOST:,} more: see --json", first="    ")


def _stands(case: Case, plane: Plane, state: str, cut: int, moved: int) -> str:
    says = next((words for name, words in STATE_WORDS.items() if name == state), state)
    if cut:
        says += f" ({plural(cut, 'seam')} cut)"
    if moved:
        end = plane.high_end if moved > 0 else plane.low_end
        says += f", moved {Lengths(case).near(abs(moved))} towards the {clean(end)}"
    return says


def _of_roof(on: OnRoof) -> Iterator[Line]:
    if on.judged is None:
        yield from wrap(f"It cannot be laid here: {clean(on.why)}.", first="  ", style="bad")
        return
    breaks = on.judged.breaks
    if not breaks:
        yield from wrap("It obeys the rules here as well.", first="  ")
    for breach in breaks[:_MOST]:
        yield from wrap(f"Breaks a rule: {clean(breach.says)}", first="  ", rest="    ",
                        style="bad")
    if len(breaks) > _MOST:
        yield from wrap(f"and {len(breaks) - _MOST:,} more: see --json", first="  ")
    yield from _changed(on.case, on.changes)
