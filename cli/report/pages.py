"""The whole report of a command, put together from its parts."""

from __future__ import annotations

from cli.report.bent_part import allowed_words
from cli.report.closing import closing_lines
from cli.report.covers_part import covers_lines
from cli.report.findings_part import findings_lines
from cli.report.layout_detail import detail_lines
from cli.report.lines import BLANK, WIDTH, Line, Span, clean, heading, shorten, wrap
from cli.report.ranked_table import ranked_lines
from cli.report.words import Lengths, id_of, money, plural
from solver.api import Checked
from solver.case import Case
from solver.findings.shifts import checked_findings
from solver.result import Cost, Judged, Result


def solve_page(result: Result, chosen: int) -> list[Line]:
    """The report of a solved case; layout `chosen` (1 is the first) is shown in full."""
    case = result.case
    lines = title_lines(case)
    if not result.layouts:
        lines += [BLANK, *_no_layout(result)]
    if covers := covers_lines(result):
        lines += [BLANK, *covers]
    if result.layouts or result.usual is not None:
        lines += [BLANK, *ranked_lines(result)]
    if result.layouts:
        lines += [*_list_end(result), BLANK]
        entry = result.layouts[chosen - 1]
        lines += [heading(f"LAYOUT {entry.rank} IN FULL")]
        lines += [*_cost_words(case, entry.judged.cost), BLANK]
        lines += detail_lines(case, entry.judged, entry.windows)
    return [*lines, BLANK, *findings_lines(result.findings, case.units), BLANK,
            *closing_lines(case)]


def check_page(checked: Checked, usual: Judged | None) -> list[Line]:
    """The report of a layout that someone chose, beside the usual one."""
    case = checked.case
    lines = [*title_lines(case), BLANK, *_verdict(checked)]
    if checked.judged is not None:
        lines += [*_cost_words(case, checked.judged.cost)]
        if usual is not None:
            lines += _beside_usual(checked.judged, usual)
        lines += [BLANK, *detail_lines(case, checked.judged)]
    return [*lines, BLANK, *findings_lines(checked_findings(checked), case.units), BLANK,
            *closing_lines(case)]


def title_lines(case: Case) -> list[Line]:
    """The title, and what was read."""
    lengths = Lengths(case)
    pipes = sum(pen.kind == "pipe" for pen in case.penetrations)
    curbs = len(case.penetrations) - pipes
    unit = "inches" if case.units == "in" else "millimetres"
    setting = "new roof" if case.setting == "new" else "re-roof"
    title = clean(case.title).strip() or "(no title)"
    lines: list[Line] = [(Span(shorten(title, WIDTH), "head"),)]
    if case.revision or case.date:
        parts = [f"revision {clean(case.revision)}" if case.revision else "", clean(case.date)]
        issued = ", ".join(part for part in parts if part)
        lines += wrap(issued[0].upper() + issued[1:] + ".")
    lines += wrap(
        f"{plural(len(case.planes), 'plane')}, {plural(pipes, 'pipe')}, {plural(curbs, 'curb')}; "
        f"{setting}; panels cover {lengths.near(case.panel.cover)}; "
        f"lengths in {unit}, to {lengths.near(case.mark)}."
    )
    if allowed := allowed_words(case):
        lines += wrap(f"Allowed: {allowed}.")
    if len(case.planes) <= 8:
        names = ", ".join(
            f"{id_of(plane.id)} {lengths.place(plane.width)}" for plane in case.planes
        )
        lines += wrap(f"Along the eave: {names}.")
    return lines


def _no_layout(result: Result) -> list[Line]:
    if result.complete:
        return wrap("NO LAYOUT SATISFIES THE RULES. The findings say why.", style="bad")
    if not result.stopped:
        return wrap(
            "NO LAYOUT WAS FOUND AMONG THE CHOICES LOOKED AT. The findings say which were not.",
            style="bad",
        )
    why = "It was stopped" if result.stopped == "interrupt" else "Time ran out"
    return wrap(f"{why.upper()} BEFORE ANY LAYOUT WAS FOUND.", style="bad")


def _list_end(result: Result) -> list[Line]:
    found = len(result.layouts)
    if not result.complete:
        if not result.stopped:
            return wrap(
                "Not every choice was looked at (see the findings): the list may go on, and there "
                "may be a better one.", first=" ", rest="   ", style="warn",
            )
        why = "by Ctrl-C" if result.stopped == "interrupt" else "by the time limit"
        return wrap(
            f"The work was ended {why} after {result.seconds:.1f} s: the list may go on, and its "
            "last entry may have an equal that is preferable.", first=" ", rest="   ", style="warn",
        )
    lines = wrap(
        "Every layout listed has less of something than each one above it; among all that do, it "
        "is the cheapest.", first=" ", rest="   ",
    ) if found > 1 else []
    unproven = [entry for entry in result.layouts if entry.judged.cost.total > entry.bound]
    if not unproven:
        lines += wrap(f"All {found} are proven." if found > 1 else "It is proven: no layout that "
                      "obeys the rules costs less.", first=" ", rest="   ")
    return lines


def _cost_words(case: Case, cost: Cost) -> list[Line]:
    missed = "links and centres missed" if case.centres else "links missed"
    uneven = "uneven ends, " if case.centres else "uneven ends and "
    parts = [
        f"{name} {money(cents)}"
        for name, cents in (
            ("flashing", cost.flashing), ("moves", cost.moves), ("odd panels", cost.odd_panels),
            ("changes of module", cost.play),
            (uneven + missed, cost.look), ("sheets", cost.stock),
        )
        if cents
    ]
    made = f": {', '.join(parts)}" if parts else ""
    return wrap(f"Extra cost {money(cost.total)}{made}.", rest="  ")


def _verdict(checked: Checked) -> list[Line]:
    if checked.legal:
        return wrap("THIS LAYOUT OBEYS THE RULES.", style="good")
    head = "THIS LAYOUT BREAKS THE RULES:" if checked.judged is not None else (
        "THIS LAYOUT CANNOT BE PRICED:")
    lines = wrap(head, style="bad")
    for reason in checked.reasons:
        lines += wrap(f"[{reason.code}] {clean(reason.says)}", first="  - ", rest="    ")
    return lines


def _beside_usual(mine: Judged, usual: Judged) -> list[Line]:
    apart = mine.cost.total - usual.cost.total
    if not apart:
        says = "the same"
    else:
        says = f"{money(abs(apart))} {'more than' if apart > 0 else 'less than'} that"
    broken = " (which breaks a rule itself)" if usual.breaks else ""
    return wrap(f"The usual layout, ends equal and nothing moved, costs {money(usual.cost.total)}"
                f"{broken}: this one costs {says}.", rest="  ")

