"""A replan on paper: what was measured, what to lay from here, what changed, who must decide."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from cli.report.closing import closing_lines
from cli.report.findings_part import findings_lines
from cli.report.lines import BLANK, WIDTH, Line, Span, clean, heading, line, pad, shorten, wrap
from cli.report.replan_words import ReplanWords
from cli.report.words import STATE_WORDS, Lengths, end_name, id_of, money, plural
from solver.case import Plane
from solver.replan.answer import Replan, RestPanel, Run


def replan_page(answer: Replan, plan_proven: bool = True) -> list[Line]:
    """The whole page; `plan_proven`: the layout that is being built was proven best."""
    case = answer.case
    title = clean(case.title).strip() or "(no title)"
    lines: list[Line] = [heading("LAYING ON"), (Span(shorten(title, WIDTH), "head"),)]
    lines += wrap(_issued(answer))
    if not plan_proven:
        lines += wrap("The layout was sought under a time limit and is not proven best: make sure "
                      "that it is the one on the field sheet, or give its first widths.",
                      style="warn")
    lines += wrap(_verdict(answer), style="" if answer.legal else "bad")
    for run in answer.runs:
        lines += [BLANK, *_run(answer, run)]
    lines += [BLANK, *_changes(answer)]
    return [*lines, BLANK, *findings_lines(answer.findings, case.units), BLANK,
            *closing_lines(case)]


def _issued(answer: Replan) -> str:
    case = answer.case
    said = [
        f"Revision {clean(case.revision)}" if case.revision else "No revision given",
        f"dated {clean(case.date)}" if case.date else "no date given",
        f"layout {answer.rank} of the ranked list" if answer.rank else
        "the layout with the first widths given",
        f"measured {clean(answer.date)[:40]}" if answer.date else "measured on a day not given",
    ]
    return "; ".join(said) + "."


def _verdict(answer: Replan) -> str:
    if not answer.legal:
        names = ", ".join(id_of(run.plane.id) for run in answer.runs if not run.legal)
        return f"DOES NOT CLOSE AS THE RULES ASK on {names}: see below for what comes nearest."
    now, was = answer.now.cost.total, answer.plan.cost.total
    cost = f"extra cost {money(now)}, planned {money(was)}"
    if all(run.as_planned for run in answer.runs):
        how = "It closes with the panels as planned"
        if answer.changed or answer.moves:
            how += ", but not all pipes and curbs are"
    else:
        how = "It closes, but not with the panels as planned"
    proof = ("nothing that can be laid from here is better" if answer.proven and not answer.better
             else "the layout chosen is kept, though a cheaper rest could be laid from here"
             if answer.better else "not every way to lay the rest was looked at")
    return f"{how}: {cost}; {proof}."


def _run(answer: Replan, run: Run) -> Iterator[Line]:
    words = ReplanWords(answer, run)
    front = run.front
    yield from wrap(f"PLANE {id_of(run.plane.id)}: laid up to seam {front.sign * front.seam}, from "
                    f"the {words.start}", rest="  ", style="head")
    yield from wrap(words.measured(), first="  ", rest="    ")
    yield from wrap("Seams laid before it are taken to share what it is off evenly.", first="  ",
                    rest="    ", style="quiet")
    yield from wrap(words.decision(), first="  ", rest="    ", style="warn")
    for said in words.trouble():
        yield from wrap(said, first="  ", rest="    ", style="bad")
    yield BLANK
    for said in words.at_ridge():
        yield from wrap(said, first="  ", rest="    ")
    yield line("  panels           each wide  last seam, tape mark   what")
    for rows in _grouped(run):
        yield line(*_row(words, rows))
        if note := words.beside(rows[-1]):
            yield from wrap(note, first=" " * 51, rest=" " * 51)


def _grouped(run: Run) -> Iterator[list[RestPanel]]:
    """Like panels in a row together; each by itself in a fan, whose seams read two ways."""
    fanned = run.front.tilt.full > 0

    def like(panel: RestPanel) -> tuple[object, ...]:
        stretch = panel.stretch if panel.kind == "module" else None
        return (panel.number if fanned else 0, panel.kind, panel.width, stretch)

    for _, group in groupby(run.panels, like):
        yield list(group)


def _row(words: ReplanWords, rows: list[RestPanel]) -> tuple[str | Span, ...]:
    first, last = rows[0], rows[-1]
    numbers = str(first.number) if first is last else f"{first.number} to {last.number}"
    return (
        "  ", pad(numbers, 16), pad(words.width(last), 10, "right"), "  ",
        pad(words.far(last), 21), "  ", words.kind(last),
    )


def _changes(answer: Replan) -> Iterator[Line]:
    lengths = Lengths(answer.case)
    yield heading("AGAINST THE PLAN")
    if not answer.changed:
        yield line("  Every pipe and curb is as planned.")
    for one in answer.changed:
        where = "behind the front" if one.laid else f"panel {one.panel}" if one.panel else "there"
        room = "" if one.room2 is None or one.needed2 is None else (
            f"; room {lengths.down2(one.room2)}, to be clear {lengths.up2(one.needed2)}"
        )
        yield from wrap(
            f"{id_of(one.id)} ({where}): planned {STATE_WORDS[one.was]}, now "
            f"{STATE_WORDS[one.now]}{room}.", first="  - ", rest="    ",
            style="" if one.now == "clear" else "warn",
        )
    planes = {plane.id: plane for plane in answer.case.planes}
    on = {pen.id: planes[pen.plane] for pen in answer.case.penetrations}
    for move in answer.moves:
        now, was = (_moved(lengths, on[move.id], size) for size in (move.now, move.was))
        yield from wrap(f"{id_of(move.id)}: set it {now} (planned {was}).",
                        first="  - ", rest="    ", style="moved")
    for link in answer.links:
        names = " and ".join(id_of(name) for name in link.now.planes)
        off = lengths.up2(link.now.strays2)
        tol2 = 2 * answer.case.rules.meet_tol
        meets = "still meet" if link.now.meet and link.now.strays2 <= tol2 else "do not meet now"
        yield from wrap(f"Seams of {names} {meets}: off by {off} at most (planned "
                        f"{lengths.up2(link.was.strays2)}).", first="  - ", rest="    ")
    count = sum(len(run.panels) for run in answer.runs)
    yield from wrap(f"{plural(count, 'panel')} still to lay on the planes named; planes not named "
                    "are left as planned.", first="  ")


def _moved(lengths: Lengths, plane: Plane, move: int) -> str:
    if not move:
        return "as drawn"
    return f"{lengths.near(abs(move))} towards the {end_name(plane, high=move > 0)}"
