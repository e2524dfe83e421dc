"""What would free a layout: single moves, everything clear, rules, joins, removals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cli.report.bent_part import left_out_lines, plain_words
from cli.report.closing import closing_lines
from cli.report.findings_part import findings_lines
from cli.report.free_rows import move_tables, widths_words
from cli.report.grid import Column, table
from cli.report.lines import BLANK, Line, Span, clean, heading, wrap
from cli.report.pages import title_lines
from cli.report.words import Lengths, count_phrase, end_name, id_of, joined, money, plural
from solver.case import Case
from solver.findings.seam_order import from_line, may_bend
from solver.freeing.run import Freed
from solver.freeing.whatif import SMALLER, AllClear, Outcome
from solver.result import COUNT_NAMES, Finding, Judged


def free_page(freed: Freed) -> list[Line]:
    """The report of `offseam free`."""
    case = freed.case
    lines = [*title_lines(case), BLANK, *_now(freed)]
    lines += left_out_lines(case, "what follows")
    if freed.moves is not None and not freed.no_start:
        lines += [BLANK, *move_tables(freed)]
    if freed.clear is not None and not freed.no_start:
        lines += [BLANK, *_clear(case, freed.clear)]
    if freed.rules:
        lines += [BLANK, *_rules(case, freed.rules)]
    if freed.joined:
        lines += [BLANK, *_joins(case, freed.joined)]
    if freed.removed:
        lines += [BLANK, *_removals(freed)]
    if not freed.complete:
        why = "by Ctrl-C" if freed.stopped == "interrupt" else "by the time limit"
        lines += [BLANK, *wrap(
            f"The work was ended {why} after {freed.seconds:.1f} s: what is shown holds, the rest "
            "of the questions was not reached.", style="warn")]
    return [*lines, BLANK, *closing_lines(case)]


def _now(freed: Freed) -> Iterator[Line]:
    case = freed.case
    yield heading("WHAT IT IS COMPARED WITH")
    if freed.no_start:
        says = "There is no first width that obeys the end rule, so no move helps:"
        if may_bend(case) or any(from_line(case, plane) for plane in case.planes):
            says = "No layout of full panels obeys the end rule, so no move helps:"
        yield from wrap(says, first="  ", style="bad")
        yield from findings_lines(freed.no_start)
        return
    if not freed.solved:
        yield from wrap("The best layout was not found in time.", first="  ", style="warn")
        return
    drawn = freed.moves.drawn if freed.moves is not None else None
    if freed.moves is not None and (drawn is not None or freed.moves.complete):
        yield from _compared(case, "Best as drawn (nothing moved but what is agreed)"
                             if case.freeze.moves else "Best as drawn (nothing moved)", drawn)
    yield from _compared(case, "Best with moves", freed.now)
    yield from wrap("Money is the extra over the same roof with every penetration clear.",
                    first="  ")


def _compared(case: Case, name: str, judged: Judged | None) -> Iterator[Line]:
    if judged is None:
        yield from wrap(f"{name}: no layout {plain_words(case)}obeys the rules.", first="  ",
                        rest="    ", style="bad")
        return
    widths = widths_words(case, judged.layout.firsts)
    yield from wrap(f"{name}: {money(judged.cost.total)}; {widths}.", first="  ", rest="    ")


def _clear(case: Case, clear: AllClear) -> Iterator[Line]:
    yield heading("EVERYTHING CLEAR")
    if clear.judged is not None:
        yield from _clear_layout(case, clear.judged, "The cheapest layout in which everything is "
                                 "clear costs")
        return
    yield from wrap(f"No layout {plain_words(case)}has everything clear, whatever is moved.",
                    first="  ")
    if not clear.alone:
        yield from wrap("Each penetration could be clear by itself, so some exclude each "
                        "other (offseam why says which).",
                        first="  ")
        return
    names = joined([id_of(name) for name in clear.alone])
    flat = case.panel.cover - case.panel.seam_back - case.panel.seam_fwd
    wide = all(
        pen.kind == "curb" and pen.across > flat
        for pen in case.penetrations if pen.id in clear.alone
    )
    if len(clear.alone) == 1:
        says = f"{names} could not be clear even if it were alone on the roof"
        why = ": a curb wider than the flat of a panel always cuts a seam" if wide else ""
    else:
        says = f"{names}: not one of them could be clear even if it were alone on the roof"
        why = "; a curb wider than the flat of a panel always cuts a seam" if wide else ""
    yield from wrap(f"{says}{why}.", first="  ")
    aside = f"{'That' if len(clear.alone) == 1 else 'Those'} left aside, "
    if clear.rest is None:
        yield from wrap(f"{aside}the others cannot all be clear either: some exclude each "
                        "other (offseam why says which).",
                        first="  ")
    else:
        yield from _clear_layout(case, clear.rest, f"{aside}the cheapest layout in which all "
                                 "others are clear costs")


def _clear_layout(case: Case, judged: Judged, says: str) -> Iterator[Line]:
    moved = [pen for pen in judged.penetrations if pen.moved]
    moves = f"{plural(len(moved), 'pipe')} moved" if moved else "nothing moved"
    widths = widths_words(case, judged.layout.firsts)
    yield from wrap(f"{says} {money(judged.cost.total)}, {moves}; {widths}.",
                    first="  ", rest="    ")
    lengths = Lengths(case)
    planes = {plane.id: plane for plane in case.planes}
    for pen in moved:
        end = end_name(planes[pen.plane], high=pen.moved > 0)
        yield from wrap(f"{id_of(pen.id)} {lengths.near(abs(pen.moved))} towards the {end}",
                        first="    ", rest="      ", style="moved")


def change_words(outcome: Outcome) -> str:
    """ "saves 92.00", "costs 30.00 more", "changes nothing"."""
    if outcome.judged is None:
        return "no layout then"
    if outcome.saves is None:
        return "makes a layout possible"
    if not outcome.saves:
        return "the same"
    return f"saves {money(outcome.saves)}" if outcome.saves > 0 else (
        f"costs {money(-outcome.saves)} more")


def _rules(case: Case, outcomes: Sequence[Outcome]) -> list[Line]:
    rows = [[_what(case, outcome), *_answer(outcome)] for outcome in outcomes]
    return [
        heading("IF A RULE WERE OTHERWISE (moves allowed, against the best now)"),
        *table(_columns("what if"), rows, lead=" "),
    ]


def _what(case: Case, outcome: Outcome) -> Span:
    lengths = Lengths(case)
    pair = "-".join(id_of(name) for name in outcome.about)
    if outcome.kind == "min-end" and outcome.value is not None:
        inch = "an inch" if case.units == "in" else lengths.near(SMALLER["mm"])
        if case.rules.min_end - outcome.value != SMALLER[case.units]:
            inch = lengths.near(case.rules.min_end - outcome.value)
        return Span(f"least end panel {lengths.near(outcome.value)}, {inch} less")
    if outcome.kind == "no-link":
        return Span(f"link {pair} given up")
    if outcome.kind == "wish":
        return Span(f"link {pair} wished for, no longer a must")
    return Span("no pipe may cross a seam")


def _answer(outcome: Outcome) -> list[Span]:
    style = "good" if outcome.saves is not None and outcome.saves > 0 else ""
    total = "-" if outcome.total is None else money(outcome.total)
    return [Span(total), Span(change_words(outcome), "good" if style else "")]


def _columns(first: str) -> list[Column]:
    return [Column(first, least=12), Column("extra\ncost", "right"), Column("against now")]


def _joins(case: Case, outcomes: Sequence[Outcome]) -> list[Line]:
    by_id = {join.id: join for join in case.joins}
    rows, below = [], []
    for outcome in outcomes:
        join = by_id[outcome.about[0]]
        rows.append([Span(id_of(join.id)), Span(money(outcome.price)), *_answer(outcome)])
        stands = "one curb stands for" if join.keeps is None else f"{id_of(join.keeps)} stays of"
        members = joined([id_of(name) for name in join.penetrations])
        notes = wrap(f"{stands} {members}", first="     ", rest="       ")
        below.append(notes + _notes(outcome.findings))
    columns = _columns("join")
    columns.insert(1, Column("joining\nitself", "right"))
    columns[2] = Column("extra cost\nwith it", "right")
    return [
        heading("JOINED (moves allowed, against the best now; the price of joining included)"),
        *table(columns, rows, below, lead=" "),
    ]


def _notes(findings: Sequence[Finding]) -> list[Line]:
    lines: list[Line] = []
    for finding in findings:
        lines += wrap(f"{finding.severity} [{finding.code}] {clean(finding.says)}",
                      first="     ", rest="       ", style="warn")
    return lines


def _removals(freed: Freed) -> list[Line]:
    """Those that save something, most first; the others by name."""
    case = freed.case
    lines = [heading("WITHOUT ONE PENETRATION (moves allowed, against the best now)")]
    telling = [o for o in freed.removed if o.saves != 0]
    telling.sort(key=lambda o: -(o.saves or 0))
    if telling:
        kinds = {pen.id: pen for pen in case.penetrations}
        rows = []
        for outcome in telling:
            pen = kinds[outcome.about[0]]
            rows.append([Span(id_of(pen.id)), Span(id_of(pen.plane)),
                         *_answer(outcome), Span(_then(freed.now, outcome.judged))])
        columns = [Column("without", least=10, cut="middle"), Column("plane", least=6),
                   *_columns("")[1:], Column("what falls away", least=16)]
        lines += table(columns, rows, lead=" ")
    same = [id_of(outcome.about[0]) for outcome in freed.removed if outcome.saves == 0]
    if same:
        lines += wrap(f"Would save nothing: {', '.join(same)}.", first="  ", rest="    ")
    return lines


def _then(now: Judged | None, then: Judged | None) -> str:
    """What there is less of then."""
    if now is None or then is None:
        return ""
    falls = [
        (name, before - after)
        for name, before, after in zip(COUNT_NAMES, now.counts, then.counts, strict=True)
        if after < before
    ]
    return ", ".join(count_phrase(name, count) for name, count in falls)
