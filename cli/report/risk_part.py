"""The report of how sure an answer is: what is assumed, what it may cost, and the parts below."""

from __future__ import annotations

from cli.report.closing import closing_lines
from cli.report.findings_part import findings_lines
from cli.report.grid import Column, table
from cli.report.lines import BLANK, Line, Span, Style, heading, line, wrap
from cli.report.pages import title_lines
from cli.report.risk_detail import measure_lines, share, tolerance, worst_lines
from cli.report.words import money, plural
from solver.case import Case
from solver.result import Finding
from solver.risk.creep import has_tolerances
from solver.risk.report import LayoutRisk, Risk


def risk_page(risk: Risk, chosen: int) -> list[Line]:
    """The whole report; layout `chosen` (1 is the first) is shown penetration by penetration."""
    case = risk.case
    lines = [*title_lines(case), BLANK]
    if not has_tolerances(case):
        return [*lines, *_nothing_given(case), BLANK, *closing_lines(case)]
    lines += _assumptions(risk)
    if not risk.result.layouts:
        lines += [BLANK, *_no_layout(risk)]
    if risk.layouts:
        lines += [BLANK, *_layouts(risk)]
        layout = next((one for one in risk.layouts if one.rank == chosen), risk.layouts[0])
        lines += [BLANK, *worst_lines(case, layout)]
    if risk.gains is not None:
        lines += [BLANK, *measure_lines(risk)]
    lines += [BLANK, *findings_lines(_other_findings(risk), case.units)]
    return [*lines, BLANK, *closing_lines(case)]


def _other_findings(risk: Risk) -> list[Finding]:
    """What is at risk stands in the tables already, with its figures."""
    return [finding for finding in risk.findings if finding.code != "at-risk"]


def _nothing_given(case: Case) -> list[Line]:
    lines = [heading("HOW SURE IS IT? THE CASE GIVES NO TOLERANCES")]
    lines += wrap("Nothing in this case may be off: no key says by how much. So there is no risk "
                  "to work out, and even a margin of nothing counts as clear. These keys would "
                  "say:", first=" ")
    keys = (
        ("[rules] cover_tol", "how far each panel's real cover may be off"),
        ("[rules] remeasure", "panels between returns to a chalk line (else 4)"),
        ("[rules] width_tol", "how far each plane's width may be off"),
        ("[rules] x_tol", "how far every penetration's position may be off"),
        ("[[penetration]] x_tol", "the same for one of them, counting instead"),
    )
    lines += [line(f"   {key:<23}{what}") for key, what in keys]
    usual = (
        ("positions from a drawing", '1 to 2 in (25 to 50 mm) either way'),
        ("positions taped on site", '1/4 in (6 mm)'),
        ("panels from the factory", '1/32 in (0.8 mm) each'),
        ("panels formed on site", '1/16 in (1.6 mm) each'),
        ("a 200 ft (60 m) eave", '1/2 in (12 mm)'),
    )
    lines += wrap("Usual figures (common practice, no source; put in what you can vouch for):",
                  first=" ")
    return lines + [line(f"   {what:<26}± {size}") for what, size in usual]


def _assumptions(risk: Risk) -> list[Line]:
    case, rules = risk.case, risk.case.rules
    lines = [heading("WHAT MAY BE OFF, AND WHAT IS ASSUMED")]
    panels = plural(rules.remeasure, "panel")
    cover = (
        f"Each panel's cover: ± {tolerance(case, rules.cover_tol)}. Errors add up from panel to "
        f"panel until the crew is back on a chalk line, every {panels}; the "
        "lines themselves, and the first seam of a plane, are taken as exact."
        if rules.cover_tol else "Each panel's cover: taken as exact (no cover_tol)."
    )
    width = (
        f"Each plane's width: ± {tolerance(case, rules.width_tol)}. Positions are measured from "
        "the low end, so seams laid from the high end all go with it."
        if rules.width_tol else "Each plane's width: taken as exact (no width_tol)."
    )
    tolerances = sorted({pen.x_tol for pen in case.penetrations if pen.x_tol})
    exact = sum(not pen.x_tol for pen in case.penetrations)
    if tolerances:
        sizes = tolerance(case, tolerances[0])
        if len(tolerances) > 1:
            sizes += f" to {tolerance(case, tolerances[-1])}"
        position = f"Each position: ± {sizes}, its x_tol"
        position += f"; {exact} taken as exact." if exact else "."
    else:
        position = "Positions: taken as exact (no x_tol)."
    spread = (
        "For the chances each of these is anywhere within its limits with equal chance, and all "
        "are independent of each other: where only a limit is known, nothing speaks for its "
        "middle. Moves, odd panels, changed modules, uneven ends and links cost what they do as "
        "planned."
    )
    for text in (cover, width, position, spread):
        lines += wrap(text, first="  - ", rest="    ")
    if case.rules.robust:
        lines += wrap("The case is robust: layouts were chosen and priced by the room left after "
                      "the worst shift. A draw is judged by how it comes out, so the average may "
                      "lie below what is planned.", first="  - ", rest="    ")
    return lines


def _no_layout(risk: Risk) -> list[Line]:
    if risk.result.complete:
        return wrap("NO LAYOUT SATISFIES THE RULES. The findings say why.", style="bad")
    return wrap("IT WAS STOPPED BEFORE ANY LAYOUT WAS FOUND.", style="bad")


def _layouts(risk: Risk) -> list[Line]:
    columns = [
        Column("layout"), Column("as\nplanned", "right"), Column("on\naverage", "right"),
        Column("1 in 10\nbelow", "right"), Column("half\nbelow", "right"),
        Column("9 in 10\nbelow", "right"), Column("clear,\nat risk", "right"),
        Column("all clear\nstay so", "right"),
    ]
    rows = [_layout_row(layout) for layout in risk.layouts]
    lines = [heading("THE EXTRA COST AS PLANNED, AND AS IT MAY COME OUT")]
    lines += table(columns, rows, lead=" ")
    drawn = [layout for layout in risk.layouts if layout.chance is not None]
    if not drawn:
        return lines + wrap("It was stopped before anything was drawn at random.", first=" ",
                            style="warn")
    lines += wrap(_draw_words(risk, drawn[0]), first=" ", rest="   ")
    return lines + _cheapest_words(drawn)


def _layout_row(layout: LayoutRisk) -> list[Span]:
    chance = layout.chance
    style: Style = "head" if layout.rank == 1 else ""
    cells = [Span(_name(layout), style), Span(money(layout.judged.cost.total), style)]
    if chance is None:
        cells += [Span("-")] * 4
    else:
        spread = chance.spread
        cells += [Span(money(n)) for n in (spread.mean, spread.p10, spread.p50, spread.p90)]
    count = len(layout.at_risk)
    cells.append(Span(f"{count:,}" if count else "-", "warn" if count else "quiet"))
    cells.append(Span(share(chance.all_clear, chance.samples) if chance else "-"))
    return cells


def _draw_words(risk: Risk, layout: LayoutRisk) -> str:
    assert layout.chance is not None
    made = layout.chance.samples
    half = 100 * 0.5 / made**0.5
    stopped = f" of the {risk.asked:,} asked for, stopped early" if made < risk.asked else ""
    return (
        f"From {made:,} random draws{stopped} (seed {risk.seed}), the same for every layout. A "
        f"chance near 50 % may be off by about {2 * half:.1f} points for want of more draws."
    )


def _cheapest_words(drawn: list[LayoutRisk]) -> list[Line]:
    """Which layout is the cheapest on average, where that is not the first."""
    listed = [(layout.chance.spread.mean, layout) for layout in drawn if layout.chance is not None]
    best, layout = min(listed, key=lambda pair: pair[0])
    first, leader = listed[0]
    if layout.rank == leader.rank or leader.rank is None or best >= first:
        return []
    return wrap(
        f"On average layout {_name(layout)} comes out cheapest, {money(first - best)} below layout "
        f"{_name(leader)}: what it costs more as planned it gives back in room for error.",
        first=" ", rest="   ", style="warn",
    )


def _name(layout: LayoutRisk) -> str:
    return "usual" if layout.rank is None else str(layout.rank)
