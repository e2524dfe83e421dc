"""One layout after the worst shift, penetration by penetration, and what to measure again first."""

from __future__ import annotations

from typing import Final

from cli.report.grid import Column, table
from cli.report.lines import BLANK, Line, Span, Style, heading, wrap
from cli.report.words import STATE_WORDS, Lengths, SeamNumbers, id_of, lay_words, money, plural
from solver.case import Case, Plane
from solver.result import JudgedPlane
from solver.risk.chance import LayoutChance, PenetrationChance
from solver.risk.creep import Creep, fine_length
from solver.risk.remeasure_first import POSITIONS
from solver.risk.report import LayoutRisk, Risk

MOST_GAINS: Final = 12
_MOST_NAMES: Final = 24


def worst_lines(case: Case, layout: LayoutRisk) -> list[Line]:
    """One layout plane by plane: margins before and after the worst shift, and the chances."""
    name = "THE USUAL LAYOUT" if layout.rank is None else f"LAYOUT {layout.rank}"
    lines = [heading(f"{name} AFTER THE WORST SHIFT")]
    named = [id_of(creep.stands.id) for creep in layout.at_risk]
    if named:
        more = f" and {len(named) - _MOST_NAMES} more" if len(named) > _MOST_NAMES else ""
        lines += wrap(f"Clear, but at risk: {', '.join(named[:_MOST_NAMES])}{more}.", rest="  ",
                      style="warn")
    else:
        lines += wrap("Whatever is clear stays clear even after the worst shift.", style="good")
    laid = {plane.id: plane for plane in layout.judged.planes}
    chances: tuple[PenetrationChance | None, ...] = (None,) * len(layout.creep)
    if layout.chance is not None:
        chances = layout.chance.penetrations
    for plane in case.planes:
        rows = [
            pair for pair in zip(layout.creep, chances, strict=True)
            if pair[0].stands.plane == plane.id
        ]
        if rows:
            forwards = plane.lay != "right-to-left"
            rows.sort(key=lambda pair: pair[0].stands.x if forwards else -pair[0].stands.x)
            lines += [BLANK, *_plane_table(case, plane, rows, laid[plane.id], layout.chance)]
    lines += [BLANK, *wrap(
        "Seams are numbered from where laying starts; \"panels\" are those laid since the last "
        "control line, up to the seam on either side. The worst margin is what is left of the "
        "margin after the worst shift of what stands nearest (\"shift\", the larger of the two "
        "sides) and of the position itself. \"Stays so\": in how many of 100 draws it comes out in "
        "that state.", first=" ", rest="   ")]
    return lines


def _plane_table(
    case: Case, plane: Plane, rows: list[tuple[Creep, PenetrationChance | None]],
    ends: JudgedPlane, chance: LayoutChance | None,
) -> list[Line]:
    columns = [
        Column("id", least=6, cut="middle"), Column("state"), Column("seams\nbeside"),
        Column("panels", "right"), Column("worst\nshift", "right"), Column("own ±", "right"),
        Column("margin", "right"), Column("worst\nmargin", "right"), Column("stays\nso", "right"),
        Column(""),
    ]
    heights = {pen.id: pen.y for pen in case.penetrations}
    cells = [
        _row(case, creep, drawn, SeamNumbers(plane, ends, heights[creep.stands.id]), plane, chance)
        for creep, drawn in rows
    ]
    laid = lay_words(Lengths(case), plane)
    lines = wrap(f"Plane {id_of(plane.id)}, {laid}", style="head", rest="  ")
    return lines + table(columns, cells, lead=" ")


def _row(
    case: Case, creep: Creep, drawn: PenetrationChance | None, numbers: SeamNumbers, plane: Plane,
    chance: LayoutChance | None,
) -> list[Span]:
    stands = creep.stands
    panels = [_count(creep.panels_low), _count(creep.panels_high)]
    if plane.lay == "right-to-left":
        panels.reverse()
    flag, flagged = "", False
    if stands.at_risk:
        flag, flagged = "AT RISK", True
    elif creep.may_crowd:
        flag, flagged = "may crowd", True
    shift = max(creep.shift_low, creep.shift_high)
    stays, state = "-", stands.state
    if drawn is not None and chance is not None:
        stays, state = share(drawn.stays, chance.samples), drawn.planned
        if state != stands.state:  # a robust case prices it by its worst room
            flag, flagged = f"as {STATE_WORDS[stands.state]}", True
    cell = Lengths(case).cell
    return [
        Span(id_of(stands.id)),
        Span(STATE_WORDS[state]),
        Span(numbers.beside(stands)),
        Span("|".join(panels)),
        Span(cell(tolerance(case, shift)) if shift else "-"),
        Span(cell(tolerance(case, creep.x_tol)) if creep.x_tol else "-"),
        Span(cell(_margin(case, stands.margin2))),
        Span(cell(_margin(case, stands.worst_margin2)), _warn(flagged)),
        Span(stays),
        Span(flag, _warn(flagged)),
    ]


def measure_lines(risk: Risk) -> list[Line]:
    """What knowing each position better would be worth, and what that means."""
    case, gains = risk.case, risk.gains
    assert gains is not None
    lines = [heading("MEASURE AGAIN FIRST")]
    if not gains.uncertain:
        return lines + wrap("Nothing: every position is taken as exact (no x_tol).", first=" ")
    if not gains.possible:
        return lines + wrap("Not worked out: too many planes hang together by links.", first=" ")
    if gains.gains:
        columns = [
            Column("", "right"), Column("id", least=6, cut="middle"), Column("plane", least=4),
            Column("now ±", "right"), Column("worth", "right"), Column("plan changes", "right"),
        ]
        rows = [
            [
                Span(f"{place}"), Span(id_of(gain.id)), Span(id_of(gain.plane)),
                Span(tolerance(case, gain.x_tol)), Span(money(gain.gain)),
                Span(f"{gain.other} of {gain.of}"),
            ]
            for place, gain in enumerate(gains.gains[:MOST_GAINS], 1)
        ]
        lines += table(columns, rows, lead=" ")
    rest = len(gains.gains) - MOST_GAINS
    if rest > 0:
        lines += wrap(f"and {plural(rest, 'more')} worth less", first="    ")
    worthless = gains.looked - len(gains.gains)
    if worthless and gains.gains:
        lines += wrap(f"For the other {worthless} that may be off, no position within their limits "
                      "would change the plan.", first=" ", rest="   ")
    elif worthless:
        lines += wrap("Nothing: wherever within its limits any one of them stands, layout 1 stays "
                      "the best there is.", first=" ", rest="   ")
    if gains.looked < gains.uncertain:
        lines += wrap(f"Stopped after {gains.looked} of {gains.uncertain}: the others may be worth "
                      "more.", first=" ", rest="   ", style="warn")
    robust = " (priced by the worst room, this one certain)" if case.rules.robust else ""
    return lines + wrap(
        "Worth: what knowing this one position exactly would save on average. That is what layout "
        f"1 costs over {POSITIONS} true positions spread evenly over its limits, less what the "
        f"best layout for each of those positions would cost{robust}, everything "
        "else standing as the case says; \"plan changes\" counts the positions for which another "
        "choice is cheaper.", first=" ", rest="   ")


def _count(panels: int | None) -> str:
    return "-" if panels is None else str(panels)


def tolerance(case: Case, ticks: int) -> str:
    """A tolerance or shift, never understated."""
    return fine_length(case, 2 * ticks, "up")


def _margin(case: Case, halves: int | None) -> str:
    """A margin to the crew's mark, never overstated."""
    return "-" if halves is None else Lengths(case).down2(halves)


def share(part: int, whole: int) -> str:
    """A share; only what always or never happened is called 100 % or 0 %."""
    if part in (0, whole):
        return "100 %" if part else "0 %"
    share = 100 * part / whole
    return "> 99 %" if share > 99.5 else "< 1 %" if share < 0.5 else f"{share:.0f} %"


def _warn(flagged: bool) -> Style:
    return "warn" if flagged else ""
